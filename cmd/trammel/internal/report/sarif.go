package report

import (
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"io"
	"net/url"
	"path"
	"reflect"
	"slices"
	"strings"
	"time"

	"trammel.example/rules"
	"trammel.example/schema"
)

// SARIF is written from types of our own. The library go-sarif (v3.3.1), which the tests read the reports with, can't write two things that
// the standard asks for: `suppressions` must be an array in all results of a run or in none (3.27.23), and it drops the empty ones; `rank`
// must be absent unless the kind is fail (3.27.25), and it always writes one.
type (
	sarifLog struct {
		Schema  string     `json:"$schema"`
		Version string     `json:"version"`
		Runs    []sarifRun `json:"runs"`
	}
	sarifRun struct {
		Tool        sarifTool            `json:"tool"`
		Invocations []sarifInvocation    `json:"invocations"`
		Bases       map[string]sarifBase `json:"originalUriBaseIds"`
		ColumnKind  string               `json:"columnKind"`
		Results     []sarifResult        `json:"results"`
		Properties  map[string]any       `json:"properties"`
	}
	sarifTool struct {
		Driver sarifDriver `json:"driver"`
	}
	sarifDriver struct {
		Name    string      `json:"name"`
		Version string      `json:"version,omitempty"`
		Rules   []sarifRule `json:"rules"`
	}
	sarifBase struct {
		Description sarifMessage `json:"description"`
	}
	sarifRule struct {
		ID         string         `json:"id"`
		Name       string         `json:"name"`
		Short      sarifMessage   `json:"shortDescription"`
		Full       sarifMessage   `json:"fullDescription"`
		Help       sarifMessage   `json:"help"`
		Default    sarifDefault   `json:"defaultConfiguration"`
		Properties map[string]any `json:"properties"`
	}
	sarifDefault struct {
		Level rules.Level `json:"level"`
	}
	sarifMessage struct {
		Text     string `json:"text"`
		Markdown string `json:"markdown,omitempty"`
	}
	sarifInvocation struct {
		Successful    bool                `json:"executionSuccessful"`
		Notifications []sarifNotification `json:"toolExecutionNotifications"`
	}
	sarifNotification struct {
		Level     rules.Level     `json:"level"`
		Message   sarifMessage    `json:"message"`
		Locations []sarifLocation `json:"locations,omitempty"`
	}
	sarifResult struct {
		RuleID       string             `json:"ruleId"`
		RuleIndex    int                `json:"ruleIndex"`
		Kind         rules.Outcome      `json:"kind"`
		Level        rules.Level        `json:"level"`
		Message      sarifMessage       `json:"message"`
		Locations    []sarifLocation    `json:"locations"`
		Related      []sarifLocation    `json:"relatedLocations,omitempty"`
		Fingerprints map[string]string  `json:"partialFingerprints"`
		Suppressions []sarifSuppression `json:"suppressions"`
		Properties   map[string]any     `json:"properties"`
	}
	sarifLocation struct {
		Physical *sarifPhysical `json:"physicalLocation,omitempty"`
		Logical  []sarifLogical `json:"logicalLocations,omitempty"`
		Message  *sarifMessage  `json:"message,omitempty"`
	}
	sarifPhysical struct {
		Artifact sarifArtifact `json:"artifactLocation"`
		Region   *sarifRegion  `json:"region,omitempty"`
	}
	sarifArtifact struct {
		URI  string `json:"uri"`
		Base string `json:"uriBaseId,omitempty"`
	}
	sarifRegion struct {
		Line   int `json:"startLine"`
		Column int `json:"startColumn,omitempty"`
	}
	sarifLogical struct {
		Name string `json:"name"`
		Full string `json:"fullyQualifiedName"`
	}
	sarifSuppression struct {
		Kind          string         `json:"kind"`
		Status        string         `json:"status"`
		Location      *sarifLocation `json:"location,omitempty"`
		Justification string         `json:"justification"`
	}
)

const (
	sarifSchemaURI = "https://docs.oasis-open.org/sarif/sarif/v2.1.0/errata01/os/schemas/sarif-schema-2.1.0.json"
	sourceRoot     = "SRCROOT"
	// fingerprintName names how a fingerprint is made; another way needs another name.
	fingerprintName = "machineRuleSubject/v1"
	levelNone       = rules.Level("none") // of a result that is no failure
)

// SARIF writes what fails and what is open as SARIF 2.1.0. Mistakes, remarks and idle concessions are notifications.
func SARIF(w io.Writer, run Run) error {
	one := sarifRun{
		Tool:        sarifTool{sarifDriver{Name: "trammel", Version: run.Version}},
		Invocations: []sarifInvocation{{Successful: true, Notifications: []sarifNotification{}}},
		Bases:       map[string]sarifBase{sourceRoot: {message("The folder that trammel was called in.")}},
		ColumnKind:  "unicodeCodePoints",
		Results:     []sarifResult{},
		Properties:  map[string]any{"judgedOn": run.Date.Format(time.DateOnly), "verdict": run.verdict(), "caution": Caution},
	}
	book := &ruleBook{index: map[*rules.Rule]int{}, named: map[string][]int{}, list: []sarifRule{}}
	inv := &one.Invocations[0]
	for _, s := range inOrder(run.Specs) {
		for _, m := range s.Mistakes {
			inv.Successful = false
			inv.Notifications = append(inv.Notifications, sarifNotification{rules.Error, message(m.Text), at(m.At)})
		}
		for _, r := range s.Remarks {
			text := strings.TrimSpace(path.Base(r.At.File) + " " + r.Text)
			inv.Notifications = append(inv.Notifications, sarifNotification{rules.Note, message(text), at(r.At)})
		}
		for _, j := range s.Judgements {
			inv.Notifications = append(inv.Notifications, concessionNotes(j)...)
			for _, f := range sortedFindings(j) {
				i := book.add(f.Rule)
				if f.Outcome == rules.Fail || f.Outcome == rules.Open {
					one.Results = append(one.Results, resultOf(j.Machine.Name, f, i))
				}
			}
		}
	}
	one.Tool.Driver.Rules = book.list
	return json.NewEncoder(unsteered{w}).Encode(sarifLog{Schema: sarifSchemaURI, Version: "2.1.0", Runs: []sarifRun{one}})
}

// concessionNotes tells of the concessions that are of no use: those past their day, and those that accept nothing.
func concessionNotes(j *rules.Judgement) []sarifNotification {
	var notes []sarifNotification
	for _, c := range j.Concessions {
		what := fmt.Sprintf("The concession for %s of %q in %s", c.Rule, c.Of, j.Machine.Name)
		switch c.State {
		case rules.Expired:
			notes = append(notes, sarifNotification{rules.Error, message(fmt.Sprintf("%s ended on %s: NO-GO until it is mended, or accepted anew.", what, c.Until)), at(c.At)})
		case rules.Unmatched:
			notes = append(notes, sarifNotification{rules.Warning, message(what + " accepts nothing: no such finding fails."), at(c.At)})
		}
	}
	return notes
}

// A ruleBook numbers the rules of all specs. Two specs may have changed one rule in different ways: each way is a rule of its own here,
// and results tell them apart by the index.
type ruleBook struct {
	index map[*rules.Rule]int
	named map[string][]int // those of one name
	list  []sarifRule
}

func (b *ruleBook) add(r *rules.Rule) int {
	if i, ok := b.index[r]; ok {
		return i
	}
	one := ruleOf(r)
	i := len(b.list)
	if k := slices.IndexFunc(b.named[r.Name], func(k int) bool { return reflect.DeepEqual(b.list[k], one) }); k >= 0 {
		i = b.named[r.Name][k]
	} else {
		b.list = append(b.list, one)
		b.named[r.Name] = append(b.named[r.Name], i)
	}
	b.index[r] = i
	return i
}

func ruleOf(r *rules.Rule) sarifRule {
	p := map[string]any{"tags": []string{r.Domain}}
	if r.Changed != "" {
		p["changed"], p["relaxed"] = r.Changed, r.Relaxed
	}
	return sarifRule{
		ID: r.Name, Name: joined(r.Name), Short: message(r.Title), Full: message(r.Because.String()), Help: helpOf(r), Default: sarifDefault{r.Level}, Properties: p,
	}
}

// joined makes one identifier of a rule's name, as SARIF wants it beside the other: TipTooFast.
func joined(name string) string {
	var b strings.Builder
	for word := range strings.SplitSeq(name, "-") {
		b.WriteString(strings.ToUpper(word[:min(1, len(word))]) + word[min(1, len(word)):])
	}
	return b.String()
}

func helpOf(r *rules.Rule) sarifMessage {
	judges := "each " + r.Kind
	if r.When != nil {
		judges += ", when " + r.When.String()
	}
	holds := fmt.Sprintf("%s is %s %s", r.Measure, r.Limit.Op, r.Limit.By)
	if r.Limit.Op == rules.MustBe {
		holds = fmt.Sprintf("%s is %s", r.Measure, r.Limit.By)
	}
	better := ""
	if r.Prefer != nil {
		better = fmt.Sprintf("%s %s", r.Prefer.Op, r.Prefer.By)
	}
	computed := ""
	if r.Formula != "" {
		computed = r.Measure.Fact + " = " + r.Formula
	}
	var text, markdown strings.Builder
	for _, part := range [][2]string{
		{"Judges", judges}, {"Holds if", holds}, {"Better", better}, {"Computed", computed},
		{"Why", r.Because.String()}, {"Remedy", r.Remedy.String()}, {"Source", sources(r)}, {"Caution", Caution},
	} {
		if part[1] == "" {
			continue
		}
		text.WriteString(part[0] + ": " + literal(part[1]) + "\n")
		markdown.WriteString("**" + part[0] + ":** " + markdownText(part[1]) + "\n\n")
	}
	return sarifMessage{Text: strings.TrimSpace(text.String()), Markdown: strings.TrimSpace(markdown.String())}
}

func resultOf(machine string, f *rules.Finding, index int) sarifResult {
	r := sarifResult{
		RuleID: f.Rule.Name, RuleIndex: index, Kind: f.Outcome, Level: levelNone, Locations: at(f.At), Suppressions: []sarifSuppression{},
		Fingerprints: map[string]string{fingerprintName: fingerprint(machine, f)},
		Properties:   map[string]any{"machine": machine, "subjectKind": f.Subject.Kind, "subject": f.Subject.Name},
	}
	who := subject(f.Subject) + " of " + machine
	switch f.Outcome {
	case rules.Open:
		r.Message = message(fmt.Sprintf("Not judged whether this holds: %s (%s). What is missing: %s", f.Rule.Title, who, f.Why))
	default:
		r.Level = f.Level
		// Viewers with little room show the first sentence alone.
		text := fmt.Sprintf("%s (%s): %s %s.", f.Rule.Title, who, measured(f.Rule), against(f))
		if f.Worst != "" {
			text += " Worst: " + f.Worst + "."
		}
		if f.Because != "" {
			text += " " + f.Because
		}
		if f.Remedy != "" {
			text += " Remedy: " + f.Remedy
		}
		r.Message = message(text)
	}
	if len(r.Locations) == 0 {
		r.Locations = []sarifLocation{{}}
	}
	r.Locations[0].Logical = []sarifLogical{{f.Subject.Name, machine + "/" + f.Subject.Kind + "/" + f.Subject.Name}}
	for _, in := range distinct(f.Inputs) {
		o := schema.OriginOf(in)
		if o.Assumed != "" || o.At == f.At {
			continue
		}
		for _, l := range at(o.At) {
			m := message(o.Path + " = " + in.String())
			l.Message = &m
			r.Related = append(r.Related, l)
		}
	}
	if conceded(f) {
		c := f.Concession
		s := sarifSuppression{Kind: "external", Status: "accepted", Justification: fmt.Sprintf("%s (%s, until %s)", Plain(c.Reason), Plain(c.By), Plain(c.Until))}
		for _, l := range at(c.At) {
			s.Location = &l
		}
		r.Suppressions = append(r.Suppressions, s)
	}
	return r
}

// fingerprint is the same wherever in the spec the machine stands.
func fingerprint(machine string, f *rules.Finding) string {
	h := sha256.New()
	for _, part := range []string{machine, f.Rule.Name, f.Subject.Kind, f.Subject.Name} {
		fmt.Fprintf(h, "%d:%s,", len(part), part) // lengths keep the parts apart
	}
	return hex.EncodeToString(h.Sum(nil)[:16])
}

// at is the location of a place; none for nowhere.
func at(p schema.Place) []sarifLocation {
	if p.File == "" {
		return nil
	}
	physical := &sarifPhysical{Artifact: artifact(p.File)}
	if p.Line > 0 {
		physical.Region = &sarifRegion{p.Line, p.Column}
	}
	return []sarifLocation{{Physical: physical}}
}

// artifact is a file as a percent-encoded URI: relative to the folder that trammel was called in, or whole where it lies elsewhere.
func artifact(file string) sarifArtifact {
	if strings.HasPrefix(file, "/") {
		return sarifArtifact{URI: (&url.URL{Scheme: "file", Path: file}).String()}
	}
	if len(file) > 2 && file[1] == ':' && file[2] == '/' { // a drive of Windows
		return sarifArtifact{URI: (&url.URL{Scheme: "file", Path: "/" + file}).String()}
	}
	return sarifArtifact{URI: (&url.URL{Path: file}).String(), Base: sourceRoot}
}

func message(text string) sarifMessage { return sarifMessage{Text: literal(text)} }

// literal writes text so that a viewer takes nothing in it for a placeholder (3.11.5) or a link (3.11.6).
func literal(text string) string { return literally.Replace(Plain(text)) }

// markdownText is literal, with what Markdown would take for markup escaped.
func markdownText(text string) string { return literallyInMarkdown.Replace(Plain(text)) }

var (
	literally           = strings.NewReplacer("{", "{{", "}", "}}", "](", "] (")
	literallyInMarkdown = strings.NewReplacer("{", "{{", "}", "}}", `\`, `\\`, "`", "\\`", "*", `\*`, "_", `\_`, "[", `\[`, "]", `\]`, "<", `\<`, ">", `\>`,
		"#", `\#`, "|", `\|`, "~", `\~`, "&", `\&`, "!", `\!`)
)
