package report

import (
	"maps"
	"strings"
	"testing"

	"golang.org/x/net/html"

	"trammel.example/cmd/trammel/internal/compare"
	"trammel.example/rules"
)

// changedCopy is a judgement of which findings were changed: the first few that hold, one after the other.
func changedCopy(j *rules.Judgement, changes ...func(f *rules.Finding)) *rules.Judgement {
	out := *j
	machine := *j.Machine
	out.Machine, out.Findings = &machine, nil
	for _, f := range j.Findings {
		if f.Outcome == rules.Pass && len(changes) > 0 {
			changed := *f
			changes[0](&changed)
			f, changes = &changed, changes[1:]
		}
		out.Findings = append(out.Findings, f)
	}
	return &out
}

func side(judgements map[string]*rules.Judgement) (s compare.Side) {
	for folder, j := range judgements {
		s.Specs = append(s.Specs, compare.Spec{Folder: folder, Judgements: []*rules.Judgement{j}})
	}
	return s
}

// What one missing value leaves open is told once, with all rules that lack it, and after what fails.
func TestOpenTogether(t *testing.T) {
	base := exampleRun(t, "tray-lifter").Specs[0].Judgements[0]
	lacks := func(what string) func(f *rules.Finding) {
		return func(f *rules.Finding) { f.Outcome, f.Why = rules.Open, what+" is missing" }
	}
	head := changedCopy(base, lacks("the key"), lacks("the wedge"), lacks("the key"), func(f *rules.Finding) { f.Outcome, f.Level = rules.Fail, rules.Warning }, lacks("the key"))
	v := comparedOf(compare.Of(side(map[string]*rules.Judgement{"a": base}), side(map[string]*rules.Judgement{"a": head}), 0.05))
	lines := v.Machines[0].Sections[0].Lines
	if len(lines) != 3 || strings.HasPrefix(lines[0].Text, "Open") {
		t.Fatalf("%d lines, want what fails first and two that are open: %+v", len(lines), lines)
	}
	key, wedge := lines[1], lines[2]
	if !strings.Contains(key.Text, "key") {
		key, wedge = wedge, key
	}
	if key.Text != "Open: the key is missing" || !strings.HasPrefix(key.More, "3 findings not judged for lack of it, of the rules ") || !strings.Contains(wedge.More, "the wedge is missing") {
		t.Errorf("what is open is told as %+v and %+v", key, wedge)
	}
	for _, f := range head.Findings {
		if f.Outcome == rules.Open && !strings.Contains(key.More+wedge.More, f.Rule.Name) {
			t.Errorf("%s is not named", f.Rule.Name)
		}
	}
}

// Of two machines with one name, in two folders, each page section shows its own mechanism.
func TestOverlayOfNamesakes(t *testing.T) {
	base := exampleRun(t, "tray-lifter").Specs[0].Judgements[0]
	fails := func(f *rules.Finding) { f.Outcome, f.Level = rules.Fail, rules.Warning }
	moved, same := changedCopy(base, fails), changedCopy(base, fails)
	moved.Machine.Points = maps.Clone(base.Machine.Points)
	p := moved.Machine.Points["T"]
	p.X.SI += 0.02
	moved.Machine.Points["T"] = p
	c := compare.Of(side(map[string]*rules.Judgement{"a": base, "b": base}), side(map[string]*rules.Judgement{"a": moved, "b": same}), 0.05)
	var b strings.Builder
	if err := CompareHTML(&b, c); err != nil {
		t.Fatal(err)
	}
	nested(t, b.String())
	root, err := html.Parse(strings.NewReader(b.String()))
	if err != nil {
		t.Fatal(err)
	}
	var pictures []int
	for n := range root.Descendants() {
		switch {
		case n.Data == "section":
			pictures = append(pictures, 0)
		case n.Data == "figure":
			pictures[len(pictures)-1]++
		}
	}
	if len(pictures) != 2 || pictures[0] != 1 || pictures[1] != 0 {
		t.Errorf("the machines in a and b have %v pictures, want 1 and none", pictures)
	}
}

// A path breaks between its fields, never within a name, and reads and copies as it is written.
func TestBreaking(t *testing.T) {
	for path, want := range map[string]string{
		`fastenings."valve to bench".stack[1].thick`: `fastenings<wbr>.&#34;valve to bench&#34;<wbr>.stack<wbr>[1]<wbr>.thick`,
		`links."<script>".mass`:                      `links<wbr>.&#34;&lt;script&gt;&#34;<wbr>.mass`,
	} {
		got := string(breaking(path))
		if got != want {
			t.Errorf("%s is written %s", path, got)
		}
		if read := reader(t, got); read != path {
			t.Errorf("%s reads as %s", path, read)
		}
	}
}
