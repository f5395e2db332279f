package rules_test

import (
	"bytes"
	"os"
	"path/filepath"
	"reflect"
	"regexp"
	"slices"
	"strings"
	"testing"

	"trammel.example/checks"
	"trammel.example/rules"
	"trammel.example/schema"
)

// TestShippedRulesAreComplete refuses a shipped rule that lacks anything: what it judges and by what, its reasons in the builder's
// numbers, a source, a spec that fails it and one that passes it.
func TestShippedRulesAreComplete(t *testing.T) {
	kinds := definitions(t)
	failed, passed := map[string]bool{}, map[string]bool{}
	for _, j := range everything(t) {
		for _, f := range j.Findings {
			failed[f.Rule.Name] = failed[f.Rule.Name] || f.Outcome == rules.Fail && j.fault != nil
			passed[f.Rule.Name] = passed[f.Rule.Name] || f.Outcome == rules.Pass
		}
	}
	plain := plainInputs(t)
	names := map[string]bool{}
	for _, r := range shipped(t) {
		t.Run(r.Name, func(t *testing.T) {
			if !nameForm.MatchString(r.Name) {
				t.Error("its name is not lower-case words joined by -")
			}
			if names[r.Name] {
				t.Error("the name stands twice")
			}
			names[r.Name] = true
			facts, ok := kinds[r.Kind]
			if !ok {
				t.Fatalf("there is no kind of subject %q", r.Kind)
			}
			if !slices.Contains([]rules.Level{rules.Error, rules.Warning, rules.Note}, r.Level) {
				t.Errorf("level %q", r.Level)
			}
			measured := factsOf(r.Measure)
			if len(measured) == 0 {
				t.Errorf("measures no fact: %v", r.Measure)
			}
			if !slices.Contains([]rules.Operator{rules.AtLeast, rules.AtMost, rules.MustBe}, r.Limit.Op) || r.Limit.By == (rules.Operand{}) {
				t.Errorf("no limit: %v %v", r.Limit.Op, r.Limit.By)
			}
			operands := []rules.Operand{r.Measure, r.Limit.By}
			if r.Prefer != nil {
				operands = append(operands, r.Prefer.By)
			}
			if r.When != nil {
				operands = append(operands, *r.When)
			}
			for name, text := range map[string]rules.Template{"because": r.Because, "remedy": r.Remedy} {
				by := operandsOf(text)
				if len(by) == 0 {
					t.Errorf("its %s has no value of the machine in it: %s", name, text)
				}
				operands = append(operands, by...)
			}
			for _, o := range operands {
				for _, name := range factsOf(o) {
					if name != "name" && !slices.ContainsFunc(facts, func(d checks.Definition) bool { return d.Name == name }) {
						t.Errorf("uses %s, which is no fact of a %s", name, r.Kind)
					}
				}
			}
			judgeSources(t, r)
			judgeWords(t, r)
			if !explained(r, facts, plain) {
				t.Errorf("neither %v nor its limit has an @formula in facts.cue, and it is not an input as the builder wrote it", r.Measure)
			}
			if !failed[r.Name] {
				t.Error("no spec fails it: add one to testdata/faults")
			}
			if !passed[r.Name] {
				t.Error("no spec passes it")
			}
		})
	}
}

var nameForm = regexp.MustCompile(`^[a-z]+(-[a-z]+)*$`)

// placeholder finds text that somebody meant to replace, and the one word that no report of this program prints.
var placeholder = regexp.MustCompile(`(?i)\b(todo|tbd|fixme|xxx|lorem|placeholder|foo|bar baz)\b|\?\?|\.\.\.|safe`)

func judgeSources(t *testing.T, r *rules.Rule) {
	t.Helper()
	if len(r.Source) == 0 {
		t.Error("no source")
	}
	for _, s := range r.Source {
		switch {
		case (s.Standard == "") == (s.Practice == ""):
			t.Errorf("a source is a standard or a practice: %+v", s)
		case s.Standard != "" && s.Part == "":
			t.Errorf("%s: which part of it?", s.Standard)
		}
	}
}

func judgeWords(t *testing.T, r *rules.Rule) {
	t.Helper()
	texts := []string{r.Title, r.Because.String(), r.Remedy.String(), r.Formula}
	for _, s := range r.Source {
		texts = append(texts, s.Standard, s.Part, s.Practice)
	}
	for _, text := range texts {
		if m := placeholder.FindString(text); m != "" {
			t.Errorf("%q in: %s", m, text)
		}
	}
	if r.Title == "" || strings.HasSuffix(r.Title, ".") || strings.ToUpper(r.Title[:1]) != r.Title[:1] {
		t.Errorf("a title begins with a capital and has no full stop: %q", r.Title)
	}
	for _, text := range []string{r.Because.String(), r.Remedy.String()} {
		if !strings.HasSuffix(text, ".") {
			t.Errorf("not whole sentences: %s", text)
		}
	}
}

// explained reports whether a reader can find out how what a rule measures comes about. A text or a flag is told by its comment in
// facts.cue. A quantity has a formula, or its limit has; or it is an input that stands in the spec as it is.
func explained(r *rules.Rule, facts []checks.Definition, plain map[string]bool) bool {
	for _, name := range append(factsOf(r.Measure), factsOf(r.Limit.By)...) {
		for _, d := range facts {
			if d.Name == name && (d.Formula != "" || d.Kind != checks.Quantity && d.Doc != "" || plain[r.Kind+"."+name]) {
				return true
			}
		}
	}
	return false
}

// plainInputs are the quantities and flags that, wherever they were set, have the very value of their first input.
func plainInputs(t *testing.T) map[string]bool {
	plain := map[string]bool{}
	for _, j := range everything(t) {
		for _, s := range j.Subjects {
			for name, f := range s.Facts {
				if f.Kind != checks.Quantity && f.Kind != checks.Flag {
					continue
				}
				key := s.Kind + "." + name
				before, seen := plain[key]
				plain[key] = (before || !seen) && len(f.From) > 0 && isValueOf(f, f.From[0])
			}
		}
	}
	return plain
}

func isValueOf(f checks.Fact, in schema.Input) bool {
	if flag, ok := in.(schema.Flag); ok {
		return f.Kind == checks.Flag && flag.Value == f.Flag
	}
	si := reflect.Indirect(reflect.ValueOf(in)).FieldByName("SI")
	return f.Kind == checks.Quantity && si.IsValid() && si.Float() == f.SI
}

func operandsOf(t rules.Template) []rules.Operand {
	var by []rules.Operand
	for _, p := range t {
		if p.By != nil {
			by = append(by, *p.By)
		}
	}
	return by
}

var givenName = regexp.MustCompile(`given\.(\w+)`)

// factsOf are the facts that an operand names.
func factsOf(o rules.Operand) []string {
	if o.Fact != "" {
		return []string{o.Fact}
	}
	var names []string
	for _, m := range givenName.FindAllStringSubmatch(o.Expression, -1) {
		names = append(names, m[1])
	}
	return names
}

func definitions(t *testing.T) map[string][]checks.Definition {
	t.Helper()
	kinds, err := checks.Definitions()
	if err != nil {
		t.Fatal(err)
	}
	return kinds
}

// TestShippedIsUpToDate compares shipped.json with the .cue files that it is made from.
func TestShippedIsUpToDate(t *testing.T) {
	want, err := rules.Compile(".", filepath.Join(root, "checks", "facts.cue"))
	if err != nil {
		t.Fatal(err)
	}
	got, err := os.ReadFile("shipped.json")
	if err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(got, want) {
		t.Error("rules/shipped.json is stale: run `go generate ./rules`")
	}
}

// TestJudgingNeedsNoCUE: whether a shipped rule applies, and what it measures and asks, are facts. An expression goes to CUE, which takes
// longer for one than all the rest of the judging; only sentences have them, which are for what fails.
func TestJudgingNeedsNoCUE(t *testing.T) {
	for _, r := range shipped(t) {
		operands := []*rules.Operand{r.When, &r.Measure, &r.Limit.By}
		if r.Prefer != nil {
			operands = append(operands, &r.Prefer.By)
		}
		for _, o := range operands {
			if o != nil && o.Expression != "" {
				t.Errorf("%s is judged by the expression `%s`: make it a fact", r.Name, o.Expression)
			}
		}
	}
}
