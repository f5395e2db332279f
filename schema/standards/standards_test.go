package standards

import (
	"errors"
	"math"
	"slices"
	"strings"
	"testing"

	"cuelang.org/go/cue"
	"cuelang.org/go/cue/ast"
	"cuelang.org/go/cue/cuecontext"
	"cuelang.org/go/cue/load"
	"cuelang.org/go/cue/token"
	"github.com/google/go-cmp/cmp"
)

// near reports numbers that differ by more than tol. SI throughout.
func near(t *testing.T, what string, got, want, tol float64) {
	t.Helper()
	if math.IsNaN(got) || math.Abs(got-want) > tol {
		t.Errorf("%s: got %.9g, want %.9g ± %.2g", what, got, want, tol)
	}
}

func must[T any](v T, err error) func(*testing.T) T {
	return func(t *testing.T) T {
		t.Helper()
		if err != nil {
			t.Fatal(err)
		}
		return v
	}
}

var diffAll = cmp.AllowUnexported(tables{}, limits{}, step{}, named[Thread]{}, named[ClearanceHole]{}, named[*named[Head]]{}, named[Head]{},
	named[*named[Nut]]{}, named[Nut]{}, named[*named[Washer]]{}, named[Washer]{}, named[[]PropertyClass]{}, named[NutClass]{},
	named[[]Cylinder]{}, named[Tube]{}, named[PortThread]{}, named[Material]{})

// evaluated gives the package as CUE evaluates it, written out as a syntax tree.
func evaluated(t *testing.T) *ast.StructLit {
	t.Helper()
	instances := load.Instances([]string{"."}, &load.Config{Dir: "."})
	v := cuecontext.New().BuildInstance(instances[0])
	if err := v.Validate(cue.Concrete(true)); err != nil {
		t.Fatal(err)
	}
	switch x := v.Syntax(cue.Final(), cue.Concrete(true)).(type) {
	case *ast.StructLit:
		return x
	case *ast.File:
		s := &ast.StructLit{}
		for _, d := range x.Decls {
			if _, ok := d.(*ast.Field); ok {
				s.Elts = append(s.Elts, d)
			}
		}
		return s
	default:
		t.Fatalf("unexpected syntax %T", x)
		return nil
	}
}

func TestSameAsCUE(t *testing.T) {
	got := must(read())(t)
	want := must(build(evaluated(t)))(t)
	if d := cmp.Diff(want, got, diffAll); d != "" {
		t.Errorf("the reader and CUE differ (-CUE +reader):\n%s", d)
	}
}

// Each number in the files ends up in a table: change one, and the tables change.
func TestEveryNumberIsRead(t *testing.T) {
	file := must(parse(Files))(t)
	want := must(build(file))(t)
	count := 0
	ast.Walk(file, func(n ast.Node) bool {
		lit, ok := n.(*ast.BasicLit)
		if !ok || lit.Kind != token.INT && lit.Kind != token.FLOAT {
			return true
		}
		count++
		old := lit.Value
		lit.Value = "12345.5"
		got, err := build(file)
		lit.Value = old
		if err == nil && cmp.Equal(want, got, diffAll) {
			t.Errorf("%s: %s is read by nobody", lit.Pos(), old)
		}
		return true
	}, nil)
	if count < 1000 {
		t.Errorf("only %d numbers found", count)
	}
}

// A mistake in a file is an error with its place, never a panic or a silent zero.
func TestMistakesInTheFiles(t *testing.T) {
	for _, c := range []struct{ name, kind, value string }{
		{"expression", "nominal", "2*3"},
		{"text for a number", "nominal", `"6"`},
		{"reference", "pitch", "nominal"},
		{"number with a multiplier", "pitch", "1K"},
	} {
		t.Run(c.name, func(t *testing.T) {
			file := must(parse(Files))(t)
			done := false
			ast.Walk(file, func(n ast.Node) bool {
				f, ok := n.(*ast.Field)
				if !ok || done {
					return !done
				}
				if name, _, _ := ast.LabelName(f.Label); name == c.kind {
					unit := f.Value.(*ast.StructLit).Elts[0].(*ast.Field)
					unit.Value = mistake(c.value)
					done = true
				}
				return true
			}, nil)
			if _, err := build(file); err == nil {
				t.Error("no error")
			}
		})
	}
}

func mistake(text string) ast.Expr {
	switch text[0] {
	case '"':
		return &ast.BasicLit{Kind: token.STRING, Value: text}
	case '2':
		return ast.NewBinExpr(token.MUL, ast.NewLit(token.INT, "2"), ast.NewLit(token.INT, "3"))
	case '1':
		return ast.NewLit(token.INT, text)
	}
	return ast.NewIdent(text)
}

func TestProvenance(t *testing.T) {
	all := must(read())(t)
	known := []string{"checked", "from memory", "common practice"}
	check := func(name string, p Provenance) {
		if p.Source == "" || !slices.Contains(known, p.Certainty) {
			t.Errorf("%s: source %q, certainty %q", name, p.Source, p.Certainty)
		}
	}
	for i, n := range all.threads.names {
		check(n, all.threads.rows[i].Provenance)
	}
	for i, n := range all.clearanceHoles.names {
		check(n, all.clearanceHoles.rows[i].Provenance)
	}
	for i, style := range all.heads.names {
		for j, n := range all.heads.rows[i].names {
			check(style+n, all.heads.rows[i].rows[j].Provenance)
		}
	}
	for i, style := range all.nuts.names {
		for j, n := range all.nuts.rows[i].names {
			check(style+n, all.nuts.rows[i].rows[j].Provenance)
		}
	}
	for i, series := range all.washers.names {
		for j, n := range all.washers.rows[i].names {
			check(series+n, all.washers.rows[i].rows[j].Provenance)
		}
	}
	for i, n := range all.propertyClasses.names {
		for _, c := range all.propertyClasses.rows[i] {
			check(n, c.Provenance)
		}
	}
	for i, n := range all.nutClasses.names {
		check(n, all.nutClasses.rows[i].Provenance)
	}
	for i, n := range all.cylinders.names {
		for _, c := range all.cylinders.rows[i] {
			check(n, c.Provenance)
		}
	}
	for i, n := range all.tubes.names {
		check(n, all.tubes.rows[i].Provenance)
	}
	for i, n := range all.ports.names {
		check(n, all.ports.rows[i].Provenance)
	}
	for i, n := range all.materials.names {
		check(n, all.materials.rows[i].Provenance)
	}
}

// Whoever asks for what is not there is told what is.
func TestErrorsSayWhatIsAllowed(t *testing.T) {
	second := func(_ any, err error) error { return err }
	third := func(_, _ any, err error) error { return err }
	for _, c := range []struct {
		err  error
		want string
	}{
		{second(ThreadByName("M7.5")), `there is no thread "M7.5" in the tables; they have M3, M4, M5, M6, M8, `},
		{second(ClearanceHoleFor("M7")), `there is no clearance hole for "M7"`},
		{second(HeadFor("pan", "M5")), `there is no head "pan" in the tables; they have socket, hex, button, countersunk`},
		{second(HeadFor("button", "M14")), `there is no button head for "M14" in the tables; they have M3, M4, M5, M6, M8, M10, M12, M16`},
		{second(NutFor("lock", "M2")), `there is no lock nut for "M2"`},
		{second(WasherFor("huge", "M5")), `they have plain, large`},
		{second(PropertyClassFor("9.9", 5e-3)), `there is no property class "9.9" in the tables; they have 4.6, `},
		{second(PropertyClassFor("A2-70", 30e-3)), `30 mm is outside the table of ISO 3506-1:2009, class A2-70, which holds sizes above 0 mm up to 24 mm`},
		{second(NutClassByName("7")), `there is no nut class "7"`},
		{second(MaterialByName("wood")), `there is no material "wood"`},
		{second(PortThreadByName("G1/16")), `there is no port thread "G1/16"`},
		{second(CylinderFor("ISO 6432", 0.030)), `there is no ISO 6432 bore of 30 mm in the tables; they have 8 mm, 10 mm, 12 mm, 16 mm, 20 mm, 25 mm`},
		{second(CylinderFor("ISO 1", 0.030)), `they have ISO 6432, ISO 15552`},
		{third(wrap3(Hole("H17", 8e-3))), `there is no hole class "H17" in the tables; they have D, E, F, G, H, JS with a grade from 5 to 16, and K7, M7, N7, N9, P7, P9`},
		{third(wrap3(Shaft("k9", 8e-3))), `there is no shaft class "k9" in the tables; they have c, d, e, f, g, h, m, n, p, s, js with a grade from 5 to 16, and k5, k6, k7`},
		{third(wrap3(Shaft("H7", 8e-3))), `there is no shaft class "H7"`},
		{third(wrap3(Hole("H7", 0.130))), `130 mm is outside the table of ISO 286, which holds sizes above 0 mm up to 120 mm`},
		{third(wrap3(Hole("H7", 0))), `0 mm is outside`},
		{third(wrap3(Hole("H7", math.NaN()))), `NaN mm is outside`},
		{second(ScrewLengthTolerance(0.2)), `200 mm is outside`},
		{second(GeneralTolerance(5)), `5000 mm is outside the table of ISO 2768-1, class m`},
	} {
		var unknown *UnknownError
		var outside *RangeError
		switch {
		case c.err == nil:
			t.Errorf("no error, want %q", c.want)
		case !strings.Contains(c.err.Error(), c.want):
			t.Errorf("got  %q\nwant %q", c.err, c.want)
		case !errors.As(c.err, &unknown) && !errors.As(c.err, &outside):
			t.Errorf("%q is %T", c.err, c.err)
		case unknown != nil && len(unknown.Allowed) == 0:
			t.Errorf("%q has nothing to choose from", c.err)
		}
	}
}

func wrap3(a, b float64, err error) (any, any, error) { return a, b, err }

// A caller that changes what it was given changes nobody else's.
func TestListsAreCopies(t *testing.T) {
	ThreadNames()[0] = "spoilt"
	HoleClasses()[0] = "spoilt"
	ShaftClasses()[0] = "spoilt"
	must(ScrewLengths())(t)[0] = -1
	must(Tubes())(t)[0].Inner[0] = -1
	_, err := ThreadByName("spoilt")
	var unknown *UnknownError
	if !errors.As(err, &unknown) || unknown.Allowed[0] != "M3" {
		t.Errorf("got %v", err)
	}
	unknown.Allowed[0] = "spoilt"
	if ThreadNames()[0] != "M3" || HoleClasses()[0] != "D5" || ShaftClasses()[0] != "c5" || must(ScrewLengths())(t)[0] < 0 || must(Tubes())(t)[0].Inner[0] < 0 {
		t.Error("a list was shared")
	}
}

func BenchmarkRead(b *testing.B) {
	for b.Loop() {
		file, err := parse(Files)
		if err != nil {
			b.Fatal(err)
		}
		if _, err := build(file); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkHole(b *testing.B) {
	for b.Loop() {
		if _, _, err := Hole("H7", 8e-3); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkThread(b *testing.B) {
	for b.Loop() {
		if _, err := ThreadByName("M27x2"); err != nil {
			b.Fatal(err)
		}
	}
}
