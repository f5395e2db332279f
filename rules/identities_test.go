package rules_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"sort"
	"strconv"
	"strings"
	"testing"

	"cuelang.org/go/cue/ast"
	"cuelang.org/go/cue/format"
	"cuelang.org/go/cue/parser"
	"cuelang.org/go/cue/token"

	"trammel.example/checks"
	"trammel.example/rules"
)

// What a machine does depends neither on the order of the fields in its spec, nor on the units, nor on the side from which it is drawn.
// Each test rewrites the examples and compares every fact and every outcome.

func TestOrderOfFieldsDoesNotMatter(t *testing.T) {
	for seed := range uint64(5) {
		compareRewritten(t, 0, func(f *ast.File) {
			rng := rand.New(rand.NewPCG(seed, 7))
			ast.Walk(f, func(n ast.Node) bool {
				if s, ok := n.(*ast.StructLit); ok {
					rng.Shuffle(len(s.Elts), func(i, j int) { s.Elts[i], s.Elts[j] = s.Elts[j], s.Elts[i] })
				}
				return true
			}, nil)
		})
	}
}

// other has a unit in place of each that the examples use, and how many of it one of the old makes. The factors are those of NIST
// SP 811, appendix B. MPa stays: it is a unit of pressure and of stress, and ksi of stress alone.
var other = map[string]struct {
	unit   string
	factor float64
}{
	"mm": {"inch", 1 / 25.4}, "inch": {"mm", 25.4}, "bar": {"psi", 1e5 / 6894.757293168361}, "psi": {"bar", 6894.757293168361 / 1e5},
	"N": {"lbf", 1 / 4.4482216152605}, "kg": {"lb", 1 / 0.45359237}, "Nm": {"in lbf", 1 / 0.1129848290276167}, "deg": {"rad", math.Pi / 180},
	"s": {"ms", 1e3}, "L/min": {"cfm", 1 / 28.316846592}, "L": {"mL", 1e3},
}

func TestUnitsDoNotMatter(t *testing.T) {
	compareRewritten(t, 1e-9, func(f *ast.File) {
		ast.Walk(f, func(n ast.Node) bool {
			field, ok := n.(*ast.Field)
			if !ok {
				return true
			}
			name, _, err := ast.LabelName(field.Label)
			if err != nil {
				return true
			}
			x, err := number(field.Value)
			if err != nil {
				return true
			}
			if name == "degC" {
				field.Label, field.Value = ast.NewIdent("degF"), literalOf(x*9/5+32)
			}
			if o, ok := other[name]; ok {
				field.Label, field.Value = ast.NewString(o.unit), literalOf(x*o.factor)
			}
			return true
		}, nil)
	})
}

// TestMirrorDoesNotMatter draws the machine from behind: x becomes −x, and the direction of a force is mirrored.
func TestMirrorDoesNotMatter(t *testing.T) {
	compareRewritten(t, 1e-9, func(f *ast.File) {
		ast.Walk(f, func(n ast.Node) bool {
			field, ok := n.(*ast.Field)
			if !ok {
				return true
			}
			inner, ok := field.Value.(*ast.StructLit)
			if !ok {
				return true
			}
			if name, _, _ := ast.LabelName(field.Label); name == "feet" || name == "bench" {
				for _, e := range inner.Elts { // where they begin and end change places
					end := e.(*ast.Field)
					swapped := map[string]string{"from": "to", "to": "from"}
					if name, _, _ := ast.LabelName(end.Label); swapped[name] != "" {
						end.Label = ast.NewIdent(swapped[name])
						value := end.Value.(*ast.StructLit).Elts[0].(*ast.Field)
						x, _ := number(value.Value)
						value.Value = literalOf(-x)
					}
				}
				return true
			}
			if len(inner.Elts) != 1 {
				return true
			}
			value, ok := inner.Elts[0].(*ast.Field)
			if !ok {
				return true
			}
			x, err := number(value.Value)
			if err != nil {
				return true
			}
			switch name, _, _ := ast.LabelName(field.Label); name {
			case "x":
				value.Value = literalOf(-x)
			case "towards", "looks":
				half := 180.0
				if unit, _, _ := ast.LabelName(value.Label); unit == "rad" {
					half = math.Pi
				}
				value.Value = literalOf(half - x)
			}
			return true
		}, nil)
	})
}

func number(e ast.Expr) (float64, error) {
	text, err := format.Node(e)
	if err != nil {
		return 0, err
	}
	return strconv.ParseFloat(string(text), 64)
}

func literalOf(x float64) ast.Expr {
	lit := &ast.BasicLit{Kind: token.FLOAT, Value: strconv.FormatFloat(math.Abs(x), 'e', -1, 64)}
	if x < 0 {
		return &ast.UnaryExpr{Op: token.SUB, X: lit}
	}
	return lit
}

// compareRewritten judges every example as it is and rewritten, and compares facts within a part of their size and outcomes exactly.
func compareRewritten(t *testing.T, within float64, rewrite func(*ast.File)) {
	t.Helper()
	examples := map[string]map[string]*rules.Judgement{}
	for _, j := range everything(t) {
		if j.fault == nil {
			if examples[j.name] == nil {
				examples[j.name] = map[string]*rules.Judgement{}
			}
			examples[j.name][j.Machine.Name] = j.Judgement
		}
	}
	for example, machines := range examples {
		files, err := exampleFiles(example)
		if err != nil {
			t.Fatal(err)
		}
		for name, text := range files {
			f, err := parser.ParseFile(name, text)
			if err != nil {
				t.Fatal(err)
			}
			rewrite(f)
			data, err := format.Node(f)
			if err != nil {
				t.Fatal(err)
			}
			if string(data) == text {
				t.Fatalf("%s: nothing was rewritten", name)
			}
			files[name] = string(data)
		}
		js, err := judgeFiles(files)
		if err != nil {
			t.Fatalf("%s: %v", example, err)
		}
		if len(js) != len(machines) {
			t.Fatalf("%s: %d machines, rewritten %d", example, len(machines), len(js))
		}
		for _, j := range js {
			compareJudgements(t, machines[j.Machine.Name], j, within)
		}
	}
}

func compareJudgements(t *testing.T, a, b *rules.Judgement, within float64) {
	t.Helper()
	if len(a.Subjects) != len(b.Subjects) {
		t.Fatalf("%s: %d subjects, rewritten %d", a.Machine.Name, len(a.Subjects), len(b.Subjects))
	}
	for i, s := range a.Subjects {
		r := b.Subjects[i]
		if s.Kind != r.Kind || s.Name != r.Name || len(s.Facts) != len(r.Facts) {
			t.Errorf("%s: %s %s with %d facts became %s %s with %d", a.Machine.Name, s.Kind, s.Name, len(s.Facts), r.Kind, r.Name, len(r.Facts))
			continue
		}
		for name, f := range s.Facts {
			g := r.Facts[name]
			// A remedy that names a place names, from behind, that with −x.
			same := f.Kind == g.Kind && f.Dim == g.Dim && strings.ReplaceAll(f.Text, "x -", "x ") == strings.ReplaceAll(g.Text, "x -", "x ") && f.Flag == g.Flag && f.Why == g.Why
			// A length of nothing comes out as a rounding error of what it is the difference of.
			if tolerance := within * max(math.Abs(f.SI), math.Abs(g.SI), 1e-3); !same || math.Abs(f.SI-g.SI) > tolerance {
				t.Errorf("%s: %s of %s %s is %v, rewritten %v (%g, %g)", a.Machine.Name, name, s.Kind, s.Name, f, g, f.SI, g.SI)
			}
		}
	}
	if x, y := outcomes(a), outcomes(b); x != y {
		t.Errorf("%s: other findings\n%s\nrewritten\n%s", a.Machine.Name, x, y)
	}
}

func outcomes(j *rules.Judgement) string {
	var lines []string
	for _, f := range j.Findings {
		lines = append(lines, fmt.Sprint(f.Rule.Name, " ", f.Subject.Name, " ", f.Outcome, " ", f.Level))
	}
	sort.Strings(lines)
	return strings.Join(lines, "\n")
}

// TestSameBytes demands that examining twice gives the same, in the same order.
func TestSameBytes(t *testing.T) {
	for _, j := range everything(t) {
		again := checks.Examine(j.Machine)
		for i, s := range j.Subjects {
			if fmt.Sprint(s.Kind, s.Name, s.Facts) != fmt.Sprint(again[i].Kind, again[i].Name, again[i].Facts) {
				t.Errorf("%s: %s %s differs when it is examined again", j.name, s.Kind, s.Name)
			}
		}
	}
}
