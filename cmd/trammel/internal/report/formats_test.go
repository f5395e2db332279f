package report

import (
	"encoding/json"
	"net/url"
	"os"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/owenrumney/go-sarif/v3/pkg/report/v210/sarif"
	"github.com/santhosh-tekuri/jsonschema/v6"

	"trammel.example/rules"
	"trammel.example/schema"
)

func compile(t *testing.T, text string, change func(doc map[string]any)) *jsonschema.Schema {
	t.Helper()
	doc, err := jsonschema.UnmarshalJSON(strings.NewReader(text))
	if err != nil {
		t.Fatal(err)
	}
	if change != nil {
		change(doc.(map[string]any))
	}
	c := jsonschema.NewCompiler()
	c.AssertFormat()
	if err := c.AddResource("report.schema.json", doc); err != nil {
		t.Fatal(err)
	}
	s, err := c.Compile("report.schema.json")
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func parsed(t *testing.T, data string) any {
	t.Helper()
	v, err := jsonschema.UnmarshalJSON(strings.NewReader(data))
	if err != nil {
		t.Fatal(err)
	}
	return v
}

// closed makes every object of the schema refuse fields that it does not describe: nothing may be written that is not documented.
func closed(doc map[string]any) {
	doc["unevaluatedProperties"] = false
	for name, def := range doc["$defs"].(map[string]any) {
		d := def.(map[string]any)
		// A fact is a value with more: it closes both.
		if _, has := d["properties"]; has && d["additionalProperties"] == nil && name != "value" {
			d["unevaluatedProperties"] = false
		}
	}
}

// Outside check: JSON Schema draft 2020-12, by github.com/santhosh-tekuri/jsonschema.
func TestJSONFitsItsSchema(t *testing.T) {
	strict := compile(t, Schema, closed)
	for _, c := range hostileCases {
		if err := strict.Validate(parsed(t, written(t, JSON, c.run()))); err != nil {
			t.Errorf("%s: %v", c.name, err)
		}
	}
	for _, name := range exampleNames(t) {
		if err := strict.Validate(parsed(t, written(t, JSON, exampleRun(t, name)))); err != nil {
			t.Errorf("%s: %v", name, err)
		}
	}
}

// The schema must refuse what a reader could not use.
func TestSchemaRefuses(t *testing.T) {
	s := compile(t, Schema, nil)
	good := written(t, JSON, noGo())
	for _, c := range []struct{ old, new string }{
		{`"verdict":"NO-GO"`, `"verdict":"MAYBE"`},
		{`"version":"1.0"`, `"version":"2.0"`},
		{`"si":0.0123,`, ``},
		{`"kind":"open","level"`, `"kind":"fail","level"`},
		{`"operator":"at least",`, ``},
		{`"line":40`, `"line":0`},
		{`"unit":"m"`, `"unit":"mm"`},
		{`"date":"2027-03-14"`, `"date":"today"`},
	} {
		bad := strings.Replace(good, c.old, c.new, 1)
		if bad == good {
			t.Errorf("the report has no %s", c.old)
			continue
		}
		if s.Validate(parsed(t, bad)) == nil {
			t.Errorf("the schema lets %s pass for %s", c.new, c.old)
		}
	}
}

// A JSON number is what was computed, in SI.
func TestJSONNumbers(t *testing.T) {
	var got jsonReport
	data := strings.ReplaceAll(written(t, JSON, noGo()), `"margin":null`, `"margin":0`)
	if err := json.Unmarshal([]byte(data), &got); err != nil {
		t.Fatal(err)
	}
	m := got.Specs[0].Machines[0]
	want := Counts{Errors: 4, Warnings: 2, Notes: 1, Open: 3, NotApplicable: 1}
	if diff := cmp.Diff(want, m.Counts); diff != "" {
		t.Error(diff)
	}
	for _, f := range m.Findings {
		if f.Rule == engagement.Name && (*f.Value.SI != 0.0091 || f.Limit.Text != "12.3 mm" || len(f.Inputs) != 2) {
			t.Errorf("thread-too-short reads back as %+v", f)
		}
	}
	in := m.Inputs["cylinders.lift.bore"]
	if *in.SI != 0.0254 || in.Unit != "m" || in.Written != "1 in" || *in.Place != (jsonPlace{"bäckerei/parts.cue", 8, 16}) {
		t.Errorf("the bore reads back as %+v", in)
	}
	if a := m.Inputs["site.share"]; a.Place != nil || a.Assumed == "" {
		t.Errorf("an assumption reads back as %+v", a)
	}
}

// Every dimension has its unit, and every unit of the schema's is one of them.
func TestUnits(t *testing.T) {
	s := compile(t, Schema, nil)
	for dim, unit := range unitsSI {
		if len(schema.UnitsOf(dim)) == 0 {
			t.Errorf("there is no dimension %q", dim)
		}
		r := noGo()
		r.Specs[0].Judgements[0].Findings[0].Value = rules.Value{Dim: dim, SI: 1}
		if err := s.Validate(parsed(t, written(t, JSON, r))); err != nil {
			t.Errorf("%s in %s: %v", dim, unit, err)
		}
	}
}

// Outside check: the JSON Schema that OASIS publishes with SARIF 2.1.0 Errata 01.
func TestSARIFFitsOASIS(t *testing.T) {
	oasis, err := os.ReadFile("testdata/sarif-schema-2.1.0.json")
	if err != nil {
		t.Fatal(err)
	}
	s := compile(t, string(oasis), nil)
	for _, c := range hostileCases {
		if err := s.Validate(parsed(t, written(t, SARIF, c.run()))); err != nil {
			t.Errorf("%s: %v", c.name, err)
		}
	}
	for _, name := range exampleNames(t) {
		if err := s.Validate(parsed(t, written(t, SARIF, exampleRun(t, name)))); err != nil {
			t.Errorf("%s: %v", name, err)
		}
	}
	if s.Validate(parsed(t, strings.Replace(written(t, SARIF, noGo()), `"kind":"open"`, `"kind":"closed"`, 1))) == nil {
		t.Error("the schema lets an unknown kind pass")
	}
}

// Outside check: what github.com/owenrumney/go-sarif reads must keep what the standard's text asks beyond its schema.
func TestSARIFReadBack(t *testing.T) {
	for _, c := range cases {
		data := written(t, SARIF, c.run())
		log, err := sarif.FromBytes([]byte(data))
		if err != nil {
			t.Fatalf("%s: %v", c.name, err)
		}
		run := log.Runs[0]
		if run.ColumnKind == nil || *run.ColumnKind != "unicodeCodePoints" {
			t.Errorf("%s: columnKind %v", c.name, run.ColumnKind)
		}
		for i, r := range run.Results {
			if *r.RuleID != *run.Tool.Driver.Rules[r.RuleIndex].ID { // 3.27.7
				t.Errorf("%s result %d: ruleIndex %d is another rule than %s", c.name, i, r.RuleIndex, *r.RuleID)
			}
			if (r.Kind == "fail") == (r.Level == "none") { // 3.27.10
				t.Errorf("%s result %d: kind %s with level %s", c.name, i, r.Kind, r.Level)
			}
			if r.Suppressions == nil { // 3.27.23: in all results or in none
				t.Errorf("%s result %d has no suppressions", c.name, i)
			}
			if strings.ContainsAny(strings.NewReplacer("{{", "", "}}", "").Replace(*r.Message.Text), "{}") { // 3.11.5
				t.Errorf("%s result %d: a single brace in %q", c.name, i, *r.Message.Text)
			}
			for _, l := range r.Locations {
				checkLocation(t, l)
			}
		}
		for _, n := range run.Invocations[0].ToolExecutionNotifications {
			for _, l := range n.Locations {
				checkLocation(t, l)
			}
		}
		if ok := *run.Invocations[0].ExecutionSuccessful; ok != (c.name != "wrong") {
			t.Errorf("%s: executionSuccessful is %v", c.name, ok)
		}
	}
}

func checkLocation(t *testing.T, l *sarif.Location) {
	t.Helper()
	if l.PhysicalLocation == nil {
		return
	}
	a := l.PhysicalLocation.ArtifactLocation
	u, err := url.Parse(*a.URI)
	if err != nil || strings.ContainsFunc(*a.URI, func(r rune) bool { return r > '~' || r <= ' ' }) {
		t.Errorf("%q is no percent-encoded URI: %v", *a.URI, err)
		return
	}
	if relative := a.URIBaseID != nil && *a.URIBaseID == "SRCROOT"; relative == u.IsAbs() { // 3.4.4
		t.Errorf("%q has the base %v", *a.URI, a.URIBaseID)
	}
}

func TestSARIFConcession(t *testing.T) {
	log, err := sarif.FromBytes([]byte(written(t, SARIF, concessions())))
	if err != nil {
		t.Fatal(err)
	}
	for _, r := range log.Runs[0].Results {
		want := 0
		if *r.RuleID == pressure.Name {
			want = 1
		}
		if len(r.Suppressions) != want {
			t.Errorf("%s has %d suppressions, want %d", *r.RuleID, len(r.Suppressions), want)
		}
	}
	var levels []string
	for _, n := range log.Runs[0].Invocations[0].ToolExecutionNotifications {
		levels = append(levels, n.Level)
	}
	if diff := cmp.Diff([]string{"error", "warning"}, levels); diff != "" { // expired, unmatched
		t.Error(diff)
	}
}

func fingerprints(t *testing.T, run Run) map[string]string {
	t.Helper()
	log, err := sarif.FromBytes([]byte(written(t, SARIF, run)))
	if err != nil {
		t.Fatal(err)
	}
	of := map[string]string{}
	for _, r := range log.Runs[0].Results {
		of[*r.RuleID+"/"+r.Properties.Properties["subject"].(string)] = r.PartialFingerprints[fingerprintName]
	}
	return of
}

func TestFingerprintsSurviveMoves(t *testing.T) {
	before := fingerprints(t, noGo())
	moved := noGo()
	for _, f := range moved.Specs[0].Judgements[0].Findings {
		f.At = place("elsewhere.cue", f.At.Line+100, 1)
		f.Value.SI *= 1.01
	}
	if diff := cmp.Diff(before, fingerprints(t, moved)); diff != "" {
		t.Errorf("moving lines changes fingerprints:\n%s", diff)
	}
	seen := map[string]string{}
	for what, print := range before {
		if seen[print] != "" {
			t.Errorf("%s and %s have one fingerprint", what, seen[print])
		}
		seen[print] = what
	}
	renamed := noGo()
	renamed.Specs[0].Judgements[0].Machine.Name = "another"
	for what, print := range fingerprints(t, renamed) {
		if before[what] == print {
			t.Errorf("%s has the same fingerprint in another machine", what)
		}
	}
}

// One rule changed in two ways is two rules.
func TestSARIFRuleOfTwoSpecs(t *testing.T) {
	a, b := concessions(), concessions()
	b.Specs[0].Dir = "z"
	for _, f := range b.Specs[0].Judgements[0].Findings {
		if f.Rule == hot {
			changed := *hot
			changed.Level, changed.Changed = rules.Error, "level error instead of warning"
			f.Rule, f.Level = &changed, rules.Error
		}
	}
	a.Specs = append(a.Specs, b.Specs...)
	log, err := sarif.FromBytes([]byte(written(t, SARIF, a)))
	if err != nil {
		t.Fatal(err)
	}
	list := log.Runs[0].Tool.Driver.Rules
	if len(list) != 3 {
		t.Fatalf("%d rules, want 3", len(list))
	}
	for _, r := range log.Runs[0].Results {
		if d := list[r.RuleIndex]; *d.ID == hot.Name && string(d.DefaultConfiguration.Level) != r.Level {
			t.Errorf("%s at level %s refers to the rule at level %v", *r.RuleID, r.Level, d.DefaultConfiguration.Level)
		}
	}
}

func TestArtifact(t *testing.T) {
	for _, c := range []struct{ file, uri, base string }{
		{"bäckerei/ofen klappe.cue", "b%C3%A4ckerei/ofen%20klappe.cue", "SRCROOT"},
		{"100%#1?.cue", "100%25%231%3F.cue", "SRCROOT"},
		{"a:b.cue", "./a:b.cue", "SRCROOT"}, // RFC 3986, 4.2: a colon in the first segment would be a scheme
		{"/tmp/x y.cue", "file:///tmp/x%20y.cue", ""},
		{"C:/spec/x.cue", "file:///C:/spec/x.cue", ""},
	} {
		if got := artifact(c.file); got != (sarifArtifact{c.uri, c.base}) {
			t.Errorf("artifact(%q) = %+v, want %s with base %q", c.file, got, c.uri, c.base)
		}
	}
}

func TestLiteral(t *testing.T) {
	for in, want := range map[string]string{
		"use {0} or {x}":             "use {{0}} or {{x}}",
		"[here](https://a.example/)": "[here] (https://a.example/)",
		"P[0] \x1b":                  `P[0] \u{{1b}}`,
	} {
		if got := literal(in); got != want {
			t.Errorf("literal(%q) = %q, want %q", in, got, want)
		}
	}
	if got := markdownText("<b>*a*_b_ `c` [d](e) <!-- -->"); strings.ContainsAny(strings.NewReplacer(`\<`, "", `\>`, "", `\*`, "", `\_`, "", "\\`", "", `\[`, "", `\]`, "", `\!`, "").Replace(got), "<>*_`[]!") {
		t.Errorf("markup is left in %s", got)
	}
}
