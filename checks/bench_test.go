package checks_test

import (
	"io/fs"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"trammel.example/checks"
	"trammel.example/schema"
	"trammel.example/schema/standards"
)

// A bench is a rocker on a post, moved by one cylinder, in which a test writes what it is about. The post goes from O to P, 300 mm apart;
// the rocker of 120 mm turns about P, and the cylinder works between O and the rocker's end Q. Drawn, it is 260 mm long.
type bench struct {
	cylinder string // fields, beside bore, stroke, closed and source
	bore     string // "mm: 25" without one
	stroke   string // "mm: 20"
	closed   string // "mm: 250"
	parts    string // of the air: beside the compressor `source`, which has a relief valve of 10 bar
	runs     string
	machine  string // further fields of the machine
	front    string // of the cylinder: "kind: \"eye\", hole: mm: 8, width: mm: 16"
}

func (b bench) withFork(fields string) bench {
	b.front = `kind: "fork", hole: mm: 8, ` + fields
	return b
}

func (b bench) withEye(fields string) bench {
	b.front = `kind: "eye", ` + fields
	return b
}

func or(text, otherwise string) string {
	if text == "" {
		return otherwise
	}
	return text
}

// spec writes the machine. cos θ = (300² + 120² − 260²) / (2 × 300 × 120) puts Q at (238.667, 103.143).
func (b bench) spec() string {
	air := ""
	if b.runs != "" {
		air = `
	` + airFrom(b.parts, b.runs)
	}
	return `package bench

import "trammel.example/schema"

machines: bench: schema.#Machine & {
	title: "Bench"
	points: {
		O: {x: mm: 0, y: mm: 0}
		P: {x: mm: 300, y: mm: 0}
		Q: {x: mm: 238.66666666666666, y: mm: 103.14283565346165}
	}
	links: {
		post: {points: ["O", "P"], ground: true}
		rocker: {points: ["P", "Q"], mass: kg: 0}
	}
	cylinders: lift: schema.#Cylinder & {
		bore: ` + or(b.bore, "mm: 25") + `
		stroke: ` + or(b.stroke, "mm: 20") + `
		closed: ` + or(b.closed, "mm: 250") + `
		rear: {at: "O", kind: "eye", hole: mm: 8, width: mm: 16}
		front: {at: "Q", ` + or(b.front, `kind: "eye", hole: mm: 8, width: mm: 16`) + `}
		source: "invented"
		` + b.cylinder + `
	}` + air + `
	` + b.machine + `
}
`
}

// airFrom is the air of a bench behind its compressor.
func airFrom(parts, runs string) string {
	return `air: {
		parts: {
			source: schema.#Compressor & {switches: {on: bar: 7, off: bar: 8}, relief: set: bar: 10, ports: "1": thread: "G1/4", source: "plate"}
			` + parts + `
		}
		runs: {` + runs + `}
	}`
}

// regulated is the air of a bench whose cylinder gets the pressure set.
func regulated(set string) (parts, runs string) {
	return `line: schema.#Regulator & {set: ` + set + `, relieving: true, range: {from: bar: 0.5, to: bar: 8.5}, ports: {"1": thread: "G1/4", "2": thread: "G1/4"}, source: "invented"}`,
		`a: {from: "source.1", to: "line.1"}, b: {from: "line.2", to: "lift.rear"}`
}

// ports of a cylinder that has no standard to give them.
const ports = `ports: {rear: thread: "G1/8", front: thread: "G1/8"}`

// An examined machine gives its facts by kind and name of the subject and the fact's own.
type examined struct {
	t        *testing.T
	subjects []*checks.Subject
}

func examine(t *testing.T, b bench) examined {
	t.Helper()
	return examined{t, checks.Examine(load(t, b.spec()))}
}

func examineSpec(t *testing.T, text string) examined {
	t.Helper()
	return examined{t, checks.Examine(load(t, text))}
}

func load(t testing.TB, text string) *schema.Machine {
	t.Helper()
	dir := t.TempDir()
	if err := os.WriteFile(filepath.Join(dir, "bench.cue"), []byte(text), 0o600); err != nil {
		t.Fatal(err)
	}
	l := schema.NewLoader(dir, map[string]fs.FS{"schema": schema.Files, "schema/standards": standards.Files})
	spec, err := l.Load(".")
	if err != nil {
		t.Fatalf("%v\n%s", err, text)
	}
	return spec.Machines[0]
}

func (e examined) fact(kind, name, fact string) (checks.Fact, bool) {
	e.t.Helper()
	for _, s := range e.subjects {
		if s.Kind == kind && s.Name == name {
			f, ok := s.Facts[fact]
			return f, ok
		}
	}
	var have []string
	for _, s := range e.subjects {
		have = append(have, s.Kind+" "+s.Name)
	}
	e.t.Fatalf("no %s %s, but %s", kind, name, strings.Join(have, ", "))
	return checks.Fact{}, false
}

// number is a fact in one of its units.
func (e examined) number(kind, name, fact, unit string) float64 {
	e.t.Helper()
	f, ok := e.fact(kind, name, fact)
	if !ok || f.Kind != checks.Quantity {
		e.t.Errorf("%s %s has no number %s: %v", kind, name, fact, f)
		return math.NaN()
	}
	u, ok := schema.UnitOf(f.Dim, unit)
	if !ok {
		e.t.Fatalf("%s: %q is no unit of %s", fact, unit, f.Dim)
	}
	return u.From(f.SI)
}

func (e examined) want(kind, name, fact, unit string, want, within float64, source string) {
	e.t.Helper()
	if got := e.number(kind, name, fact, unit); !(math.Abs(got-want) <= within) {
		e.t.Errorf("%s %s: %s is %.7g %s, want %.7g ± %.2g (%s)", kind, name, fact, got, unit, want, within, source)
	}
}

func (e examined) flag(kind, name, fact string, want bool, source string) {
	e.t.Helper()
	f, ok := e.fact(kind, name, fact)
	if !ok || f.Kind != checks.Flag || f.Flag != want {
		e.t.Errorf("%s %s: %s is %v, want %v (%s)", kind, name, fact, f, want, source)
	}
}

func (e examined) text(kind, name, fact, want string) {
	e.t.Helper()
	if f, ok := e.fact(kind, name, fact); !ok || f.Kind != checks.Text || f.Text != want {
		e.t.Errorf("%s %s: %s is %q, want %q", kind, name, fact, f.Text, want)
	}
}

func (e examined) open(kind, name, fact string) {
	e.t.Helper()
	if f, ok := e.fact(kind, name, fact); !ok || f.Kind != checks.Open {
		e.t.Errorf("%s %s: %s is %v, want open", kind, name, fact, f)
	}
}
