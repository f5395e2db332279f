package report

import (
	"bytes"
	"encoding/xml"
	"fmt"
	plainhtml "html"
	"io"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
	"unicode"

	"github.com/yuin/goldmark"
	"github.com/yuin/goldmark/extension"
	"github.com/yuin/goldmark/renderer/html"

	"trammel.example/rules"
	"trammel.example/schema"
)

// strangers are texts that a stranger's spec may hold.
var strangers = []string{
	"<script>alert(1)</script>", `"><img src=x onerror=alert(1)>`, "</details></table><b>", "| a | b |", "`code` ``` ~~~", "**bold** _it_ ~~gone~~",
	"[link](javascript:alert(1)) ![picture](http://x.example/p.png)", "@someone #1 https://x.example www.x.example", "::error file=a::b",
	"\n::error::from a new line\r\n\n# Heading\n", "100 %0A::error::", "]]>", "\u202egnp.\u2066", "\x00\x1b[2J\u0085", strings.Repeat("W", 10_000), `a\|b\`, "&lt;b&gt;",
}

func hostileRun(evil string) Run {
	run := noGo()
	j := run.Specs[0].Judgements[0]
	j.Machine.Name = evil
	run.Specs[0].Dir = evil
	run.Specs[0].Mistakes = []schema.Mistake{{At: schema.Place{File: evil, Line: 1}, Text: evil}}
	for _, f := range j.Findings {
		f.Because, f.Remedy, f.Why, f.Subject.Name, f.At.File = evil, evil, evil, evil, evil
	}
	return run
}

// What GitHub renders: GitHub Flavored Markdown, by a renderer that lets raw HTML through.
func rendered(t *testing.T, text string) string {
	t.Helper()
	var b bytes.Buffer
	if err := goldmark.New(goldmark.WithExtensions(extension.GFM), goldmark.WithRendererOptions(html.WithUnsafe())).Convert([]byte(text), &b); err != nil {
		t.Fatal(err)
	}
	return b.String()
}

func TestMarkdown(t *testing.T) {
	run := noGo()
	page := rendered(t, written(t, Markdown, run))
	rows := strings.Count(page, "<tr>") - 1
	if want := len(failures(run.Specs[0].Judgements[0])); rows != want || want == 0 {
		t.Errorf("%d rows for %d failures", rows, want)
	}
	for _, want := range []string{"<h2>NO-GO</h2>", "</details>", "Keep people away at first air"} {
		if !strings.Contains(page, want) {
			t.Errorf("no %q in\n%s", want, page)
		}
	}
}

func TestMarkdownBearsHostileText(t *testing.T) {
	tag := regexp.MustCompile(`<(/?[a-z0-9]+)[ >]`)
	elements := func(run Run) string {
		return strings.Join(tag.FindAllString(rendered(t, written(t, Markdown, run)), -1), "")
	}
	want := elements(hostileRun("harmless"))
	for _, evil := range strangers {
		if got := elements(hostileRun(evil)); got != want {
			t.Errorf("%.30q changes the page's elements to %s", evil, got)
		}
		if n := len(written(t, Markdown, hostileRun(evil))); n > 65_000 {
			t.Errorf("%.30q makes a comment of %d bytes", evil, n)
		}
	}
}

// TestMarkdownFitsAComment demands that many machines make no longer report than a comment takes, and that what is shown and what is
// counted as left out are all there is.
func TestMarkdownFitsAComment(t *testing.T) {
	draft := exampleRun(t, "tray-lifter-draft").Specs[0]
	findings := len(failures(draft.Judgements[0]))
	left := func(text, what string) (n int) {
		if m := regexp.MustCompile(`(\d+) of \d+ ` + what).FindStringSubmatch(text); m != nil {
			n, _ = strconv.Atoi(m[1])
		}
		return n
	}
	for _, c := range []struct {
		machines               int
		allRows, allOf, folded bool
	}{
		{machines: 1, allRows: true, allOf: true, folded: true},
		{machines: 2, allRows: true, allOf: true, folded: true},
		{machines: 4, allRows: true, allOf: true, folded: true},
		{machines: 60, allOf: true},
		{machines: 3000},
	} {
		run := Run{Version: "v1", Date: day}
		for range c.machines {
			run.Specs = append(run.Specs, draft)
		}
		text := written(t, Markdown, run)
		if len(text) > 65_000 || c.machines > 20 && len(text) < 50_000 {
			t.Errorf("%d machines make %d bytes", c.machines, len(text))
		}
		page := rendered(t, text)
		headings := strings.Count(page, "<h3>")
		if got := headings + left(text, "machines and specs"); got != c.machines || (headings == c.machines) != c.allOf {
			t.Errorf("%d machines: %d headings, %d left out", c.machines, headings, got-headings)
		}
		rows := strings.Count(page, "<tr>") - strings.Count(page, "<table>")
		if got := rows + left(text, "rows"); got != c.machines*findings || (got == rows) != c.allRows {
			t.Errorf("%d machines: %d rows, %d left out of %d", c.machines, rows, got-rows, c.machines*findings)
		}
		if strings.Contains(page, "<details>") != c.folded {
			t.Errorf("%d machines: folded lines are there: %v", c.machines, !c.folded)
		}
	}
}

func TestMarkdownOrder(t *testing.T) {
	run := wrong()
	run.Specs = append(run.Specs, noGo().Specs...)
	page := rendered(t, written(t, Markdown, run))
	wrong, bad, good := strings.Index(page, "be judged"), strings.Index(page, "<h3>NO-GO"), strings.Index(page, "<h3>GO")
	if wrong < 0 || bad < wrong || good < bad {
		t.Errorf("mistakes at %d, NO-GO at %d, GO at %d", wrong, bad, good)
	}
}

func TestJUnit(t *testing.T) {
	for _, evil := range append([]string{"plain"}, strangers...) {
		run := hostileRun(evil)
		var all junitSuites
		d := xml.NewDecoder(strings.NewReader(written(t, JUnit, run)))
		if err := d.Decode(&all); err != nil {
			t.Fatalf("%.30q: %v", evil, err)
		}
		if _, err := d.Token(); err != nil && err != io.EOF {
			t.Errorf("%.30q: after the end: %v", evil, err)
		}
		c := count(run.Specs[0].Judgements[0])
		if wrong := all.Suites[0]; wrong.Errors != 1 || wrong.Tests != 1 || wrong.Failures != 0 {
			t.Errorf("%.30q: %+v for one mistake", evil, wrong)
		}
		machine := all.Suites[1]
		if machine.Failures != c.Errors || machine.Errors != 0 {
			t.Errorf("%.30q: %d failures and %d errors, want %d and 0", evil, machine.Failures, machine.Errors, c.Errors)
		}
		if want := c.Errors + c.Warnings + c.Notes + c.Open + c.Conceded + c.Passes; machine.Tests != want || len(machine.Cases) != want || machine.Skipped != c.Open+c.Conceded {
			t.Errorf("%.30q: %d cases, %d skipped, want %d and %d", evil, len(machine.Cases), machine.Skipped, want, c.Open+c.Conceded)
		}
		if machine.Name != Plain(evil) {
			t.Errorf("%.30q reads %.30q", evil, machine.Name)
		}
		if lines := strings.Count(machine.Out, "\n"); lines != c.Warnings+c.Notes {
			t.Errorf("%.30q: %d lines of output for %d warnings and %d notes", evil, lines, c.Warnings, c.Notes)
		}
	}
}

// junitSchema is what JUnit.xsd (github.com/windyroad/JUnit-Schema, 3b076ff; copyright Windy Road Technology, Apache License 2.0) demands of
// each element, taken from it by hand: attributes, those that must be there with what they must look like, and the elements in it in their
// order, "one" that must be there, "any" number, or one of "either" at most.
var junitSchema = map[string]struct {
	required, optional map[string]string
	children           [][2]string
}{
	"testsuites": {children: [][2]string{{"any", "testsuite"}}},
	"testsuite": {
		required: map[string]string{"id": `\d+`, "package": `.*`, "name": `.+`, "tests": `\d+`, "failures": `\d+`, "errors": `\d+`, "time": `\d+(\.\d+)?`,
			"timestamp": `\d{4}-\d\d-\d\dT\d\d:\d\d:\d\d`, "hostname": `.+`},
		optional: map[string]string{"skipped": `\d+`},
		children: [][2]string{{"one", "properties"}, {"any", "testcase"}, {"one", "system-out"}, {"one", "system-err"}},
	},
	"properties": {children: [][2]string{{"any", "property"}}},
	"property":   {required: map[string]string{"name": `.+`, "value": `.*`}},
	"testcase": {
		required: map[string]string{"name": `.*`, "classname": `.*`, "time": `\d+(\.\d+)?`},
		children: [][2]string{{"either", "skipped error failure"}},
	},
	"skipped":    {optional: map[string]string{"message": `.*`, "type": `.*`}}, // anything may stand in it
	"error":      {required: map[string]string{"type": `.*`}, optional: map[string]string{"message": `.*`}},
	"failure":    {required: map[string]string{"type": `.*`}, optional: map[string]string{"message": `.*`}},
	"system-out": {},
	"system-err": {},
}

type xmlElement struct {
	XMLName  xml.Name
	Attrs    []xml.Attr   `xml:",any,attr"`
	Children []xmlElement `xml:",any"`
}

// misfits are the ways in which an element is not as JUnit.xsd wants it.
func (e *xmlElement) misfits() (all []string) {
	name := e.XMLName.Local
	want, known := junitSchema[name]
	if !known {
		return []string{"there is no element " + name}
	}
	say := func(format string, args ...any) { all = append(all, name+": "+fmt.Sprintf(format, args...)) }
	has := map[string]bool{}
	for _, a := range e.Attrs {
		has[a.Name.Local] = true
		pattern, required := want.required[a.Name.Local]
		optional, allowed := want.optional[a.Name.Local]
		if !required && !allowed {
			say("no attribute %s", a.Name.Local)
		} else if !regexp.MustCompile(`(?s)^(?:` + pattern + optional + `)$`).MatchString(a.Value) {
			say("%s=%.40q", a.Name.Local, a.Value)
		}
	}
	for a := range want.required {
		if !has[a] {
			say("%s is missing", a)
		}
	}
	rest := e.Children
	for _, c := range want.children {
		n := 0
		for n < len(rest) && slices.Contains(strings.Fields(c[1]), rest[n].XMLName.Local) {
			all = append(all, rest[n].misfits()...)
			n++
		}
		if rest = rest[n:]; c[0] == "one" && n != 1 || c[0] == "either" && n > 1 {
			say("%d of %s", n, c[1])
		}
	}
	if len(rest) > 0 {
		say("%s is out of place", rest[0].XMLName.Local)
	}
	return all
}

func TestJUnitFitsItsSchema(t *testing.T) {
	runs := map[string]Run{"draft": exampleRun(t, "tray-lifter-draft"), "example": exampleRun(t, "tray-lifter")}
	for _, c := range hostileCases {
		runs[c.name] = c.run()
	}
	for name, run := range runs {
		text := written(t, JUnit, run)
		var root xmlElement
		if err := xml.Unmarshal([]byte(text), &root); err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		for _, m := range root.misfits() {
			t.Errorf("%s: %s", name, m)
		}
		ids := map[string]bool{}
		for _, s := range root.Children {
			for _, a := range s.Attrs {
				if a.Name.Local == "id" && (ids[a.Value] || a.Value != strconv.Itoa(len(ids))) {
					t.Errorf("%s: suite %d has the id %s", name, len(ids), a.Value)
				} else if a.Name.Local == "id" {
					ids[a.Value] = true
				}
			}
		}
	}
	// And what the schema refuses is refused here.
	good := written(t, JUnit, noGo())
	for _, c := range [][2]string{
		{` hostname="localhost"`, ""}, {"<properties></properties>", ""}, {"<system-err></system-err>", ""}, {`type="error"`, ""}, {`id="0"`, `id="first"`},
		{"T00:00:00", "T00:00:00Z"}, {"<testsuites>", `<testsuites tests="1">`}, {"</failure>", "</failure><skipped/>"}, {"</testcase>", "<system-out/></testcase>"},
	} {
		bad := strings.Replace(good, c[0], c[1], 1)
		var root xmlElement
		if err := xml.Unmarshal([]byte(bad), &root); err != nil || bad == good {
			t.Fatalf("%s for %s: %v", c[1], c[0], err)
		}
		if len(root.misfits()) == 0 {
			t.Errorf("%s for %s passes", c[1], c[0])
		}
	}
}

// A line is one command, as the host reads it: ::name properties::text.
func TestAnnotations(t *testing.T) {
	command := regexp.MustCompile(`^::(error|warning|notice) (?:file=([^:,]*),(?:line=[1-9]\d*,col=[1-9]\d*,)?)?title=([^:,]*)::(.*)$`)
	unescape := strings.NewReplacer("%0A", "\n", "%0D", "\r", "%3A", ":", "%2C", ",", "%25", "%")
	for _, evil := range append([]string{"plain"}, strangers...) {
		run := hostileRun(evil)
		run.Specs[0].Mistakes[0].At.Line = 0 // a file as a whole
		lines := strings.Split(strings.TrimSuffix(written(t, Annotations, run), "\n"), "\n")
		list := failures(run.Specs[0].Judgements[0])
		if len(lines) != 1+len(list) {
			t.Fatalf("%.30q: %d lines for a mistake and %d failures", evil, len(lines), len(list))
		}
		for i, line := range lines {
			parts := command.FindStringSubmatch(line)
			if parts == nil {
				t.Fatalf("%.30q: no command: %.200q", evil, line)
			}
			if got := unescape.Replace(parts[2]); got != Plain(evil) {
				t.Errorf("%.30q: the file reads %.60q", evil, got)
			}
			if i > 0 && parts[1] != map[rules.Level]string{rules.Error: "error", rules.Warning: "warning", rules.Note: "notice"}[list[i-1].Level] {
				t.Errorf("%.30q: %s for %s", evil, parts[1], list[i-1].Level)
			}
		}
		for _, r := range strings.Join(lines, "") {
			if !unicode.IsPrint(r) {
				t.Errorf("%.30q: %U is written", evil, r)
			}
		}
	}
}

// TestAnnotationsWorstFirst has more of each level than a host shows, over several machines.
func TestAnnotationsWorstFirst(t *testing.T) {
	draft := exampleRun(t, "tray-lifter-draft").Specs[0]
	run := Run{Version: "v1", Date: day}
	for range 4 {
		run.Specs = append(run.Specs, draft)
	}
	run.Specs = append(run.Specs, SpecResult{Dir: "z", Mistakes: []schema.Mistake{{Text: "z: no file"}}})
	of := map[rules.Level]int{rules.Error: 1}
	worst := 0.0
	for _, f := range failures(draft.Judgements[0]) {
		of[f.Level] += 4
		if f.Level == rules.Error {
			worst = max(worst, shortfall(f))
		}
	}
	shown := map[string][]string{}
	for line := range strings.Lines(written(t, Annotations, run)) {
		level, _, _ := strings.Cut(strings.TrimPrefix(line, "::"), " ")
		shown[level] = append(shown[level], line)
	}
	for level, name := range commands {
		lines := shown[name]
		if len(lines) != min(of[level], mostAnnotations) {
			t.Errorf("%d lines for %d of level %s", len(lines), of[level], level)
		}
		if more := of[level] - mostAnnotations + 1; more > 1 && !strings.Contains(lines[len(lines)-1], fmt.Sprintf("::%d more of level %s", more, level)) {
			t.Errorf("the last of level %s, of %d: %s", level, of[level], lines[len(lines)-1])
		}
	}
	errors := shown["error"]
	if of[rules.Error] <= mostAnnotations || !strings.Contains(errors[0], "z: no file") {
		t.Errorf("%d errors, and the first is %s", of[rules.Error], errors[0])
	}
	for _, f := range failures(draft.Judgements[0]) { // the same of all four machines come before any other
		if f.Level == rules.Error && shortfall(f) == worst {
			for _, line := range errors[1:5] {
				if !strings.Contains(line, commandProperty.Replace(f.Rule.Title)) {
					t.Errorf("%s is worst, and this stands before it: %s", f.Rule.Title, line)
				}
			}
			break
		}
	}
}

// TestReviewersSeeWhatWasMeasured: the formats that stand beside a change name what was measured, of whom something is open and where, and
// cut off no reason, however short they are.
func TestReviewersSeeWhatWasMeasured(t *testing.T) {
	failed, open := 0, 0
	for name, run := range map[string]Run{"no-go": noGo(), "draft": exampleRun(t, "tray-lifter-draft"), "petals": exampleRun(t, "stage-petals")} {
		comment := plainhtml.UnescapeString(written(t, Markdown, run))
		results := plainhtml.UnescapeString(written(t, JUnit, run))
		beside := strings.NewReplacer("%25", "%", "%3A", ":", "%2C", ",").Replace(written(t, Annotations, run))
		has := func(format, report, text string) {
			t.Helper()
			if !strings.Contains(report, Plain(text)) {
				t.Errorf("%s: %s has no %q", name, format, text)
			}
		}
		for _, j := range run.Specs[0].Judgements {
			for _, f := range failures(j) {
				failed++
				text := measured(f.Rule) + ": " + f.Value.String()
				has("Markdown", comment, text)
				has("Markdown", comment, f.Because)
				has("Markdown", comment, f.Remedy)
				has("JUnit", results, text)
				if name != "draft" { // which has more than annotations may
					has("annotations", beside, text)
				}
			}
			for _, g := range gaps(j) {
				open++
				has("Markdown", comment, "* **"+g.who()+"**: "+g.why)
				for _, at := range g.places {
					has("Markdown", comment, placed(at))
				}
			}
		}
	}
	if failed < 5 || open < 3 {
		t.Errorf("%d failures and %d gaps are looked for", failed, open)
	}
}
