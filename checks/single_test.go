package checks_test

import (
	"fmt"
	"math"
	"strings"
	"testing"
)

// spring is the bench with a single-acting cylinder on a 3/2 valve, wide lines, and only what moves with the rod as mass: the linkage
// is without weight.
type springBench struct {
	port     string // rear or front
	spring   string
	controls string // enters of a flow control at the cylinder, "" for none
	set      string // of the flow control
	load     string // kg at Q
	cylinder string
}

func (b springBench) bench() bench {
	port := or(b.port, "rear")
	tube := `tube: {outer: mm: 8, inner: mm: 6, material: "polyurethane", burst: bar: 40, source: "invented"}, length: mm: `
	parts := `
		line: schema.#Regulator & {set: bar: 5, relieving: true, range: {from: bar: 0.1, to: bar: 8.5}, ports: {"1": thread: "G1/4", "2": tube: mm: 8}, source: "invented"}
		shift: schema.#Valve & {function: "3/2", passage: {C: "L/(s bar)": 2, b: 0.3}, ports: {"1": tube: mm: 8, "2": tube: mm: 8, "3": thread: "G1/8"}, source: "invented"}
		quiet: schema.#Silencer & {passage: {C: "L/(s bar)": 2, b: 0.3}, ports: "1": {thread: "G1/8", male: true}, source: "invented"}`
	runs := `a: {from: "source.1", to: "line.1"}, b: {from: "line.2", to: "shift.1", ` + tube + `20}, q: {from: "quiet.1", to: "shift.3"}`
	if b.controls == "" {
		runs += fmt.Sprintf(`, c: {from: "shift.2", to: "lift.%s", %s20}`, port, tube)
	} else {
		parts += fmt.Sprintf(`
		control: schema.#FlowControl & {passage: {C: "L/(s bar)": 2, b: 0.3}, throttles: {enters: %q, set: "L/(s bar)": %s}, ports: {"1": tube: mm: 8, "2": tube: mm: 8}, source: "invented"}`, b.controls, b.set)
		runs += fmt.Sprintf(`, c: {from: "shift.2", to: "control.2", %s20}, d: {from: "control.1", to: "lift.%s", %s20}`, tube, port, tube)
	}
	return bench{
		cylinder: fmt.Sprintf(`acting: "single", spring: N: %s, rod: mm: 10, moving: kg: 4, friction: N: 10, breakaway: 1, dead: mL: 3, ports: %s: tube: mm: 8, %s`, or(b.spring, "60"), port, b.cylinder),
		parts:    parts, runs: runs, machine: `loads: weight: {at: "Q", mass: kg: ` + or(b.load, "0.001") + `}`,
	}
}

// A spring that meets only mass and friction makes an even acceleration: s = (F − R) t²/2m, v = √(2 (F − R) s/m). The air leaves by 2
// L/(s bar), which takes a few milliseconds of the hundred.
func TestSpringReturn(t *testing.T) {
	for _, row := range []struct{ port, way string }{{"rear", "in"}, {"front", "out"}} {
		e := examine(t, springBench{port: row.port}.bench())
		name := "lift " + row.way
		v := math.Sqrt(2 * (60 - 10) * 0.02 / 4)
		e.flag("stroke", name, "arrives", true, "60 N against 10 N")
		e.want("stroke", name, "endSpeed", "m/s", v, 0.03*v, "constant force on a constant mass: v = √(2 F s/m)")
		e.flag("stroke", name, "unthrottled", true, "there is no flow control")
		e.flag("stroke", name, "exhaustBare", false, "a silencer sits there")
		if _, set := e.fact("stroke", name, "movesAt"); set {
			t.Errorf("%s has a pressure that moves it, and a spring does", name)
		}
	}
	// The harmonic motion of a spring that loses force on its way from 100 to 40 N: ½ m v² is the work, the mean force times the way.
	e := examine(t, springBench{spring: "40", cylinder: `stroke: mm: 20, compressed: N: 100`}.bench())
	v := math.Sqrt(2 * (70 - 10) * 0.02 / 4)
	e.want("stroke", "lift in", "endSpeed", "m/s", v, 0.03*v, "work of a linear spring: (40 + 100)/2 × s")
	// On its way out the air works against the pressed spring: (100 + 10) N on π/4 × 25² mm².
	e.want("stroke", "lift out", "restartsAt", "bar", 110/49.0874, 0.002, "equilibrium by hand")
	e.want("stroke", "lift out", "movesAt", "bar", 50/49.0874, 0.002, "equilibrium by hand")
}

func TestSpringTooWeak(t *testing.T) {
	// 1.5 kg at Q: its load on the rod is √ as of the bench's 5 kg, 29.2394 × 1.5/5 N with the rod in. It helps the spring in, so that the
	// front-ported cylinder, which the spring drives out, has to lift it.
	b := springBench{port: "front", spring: "12", load: "1.5"}
	e := examine(t, b.bench())
	e.flag("stroke", "lift out", "arrives", false, "8.8 N of load and 10 N of friction against 12 N")
	f, _ := e.fact("stroke", "lift out", "remedyArrive")
	var least float64
	if _, err := fmt.Sscanf(f.Text, "Take one whose spring has %f N", &least); err != nil || least < 18.77 || least > 25 {
		t.Errorf("%q: want 8.77 + 10 N or some more", f.Text)
	}
	b.spring = fmt.Sprint(least)
	examine(t, b.bench()).flag("stroke", "lift out", "arrives", true, "the remedy")
	strong := springBench{spring: "400"}.bench()
	f, _ = examine(t, strong).fact("stroke", "lift out", "remedyArrive")
	if !strings.Contains(f.Text, "a bore of 40 mm") {
		t.Errorf("%q: want the next standard bore above the 32.3 mm that press 410 N at 5 bar", f.Text)
	}
}

// The one flow control of a single-acting cylinder holds back what it throttles: the way out by the air that enters, or the way in by
// the air that leaves.
func TestThrottledSingle(t *testing.T) {
	in := examine(t, springBench{controls: "2", set: "0.01"}.bench())
	out := examine(t, springBench{controls: "1", set: "0.01"}.bench())
	for _, row := range []struct {
		e         examined
		slow, way string
	}{{in, "lift out", "lift in"}, {out, "lift in", "lift out"}} {
		row.e.flag("stroke", row.slow, "unthrottled", false, "the flow control throttles this way")
		row.e.flag("stroke", row.way, "unthrottled", true, "the flow control is free this way")
		for _, name := range []string{row.slow, row.way} {
			if f, set := row.e.fact("stroke", name, "backward"); set {
				t.Errorf("backward of %s is %v, and there is one port to throttle at", name, f)
			}
		}
		if a, b := row.e.number("stroke", row.slow, "time", "s"), row.e.number("stroke", row.way, "time", "s"); a < 3*b {
			t.Errorf("%s takes %g s throttled, %s %g s free", row.slow, a, row.way, b)
		}
	}
	// Filling through a choked C: the mass flow C ρ0 p1 needs V p2/p1 … v = C p1/p2 × p0/p0 … at 60 + 10 N, p2 = 1.426 + 1.013 bar abs.
	p1, p2 := 6.01325, (60+10)/49.0874+1.01325
	v := 0.01e-3 * p1 / p2 / 4.90874e-4 // m/s
	in.want("stroke", "lift out", "meanSpeed", "m/s", v, 0.15*v, "ideal gas and ISO 6358's C, choked: v = C p1/(p2 A) × 1 bar/p0")
}

// Each end on a 3/2 valve of its own moves as with one 5/2 valve.
func TestTwoValvesForOneCylinder(t *testing.T) {
	one := drivenBench{silenced: true}
	b := one.bench()
	b.parts = strings.ReplaceAll(b.parts, `shift: schema.#Valve & {function: "5/2", returns: "nothing", passage: {C: "L/(s bar)": 1, b: 0.3}, ports: {"1": tube: mm: 6, "2": tube: mm: 6, "3": thread: "G1/8", "4": tube: mm: 6, "5": thread: "G1/8"}, source: "invented"}`,
		`shift: schema.#Valve & {function: "3/2", returns: "nothing", passage: {C: "L/(s bar)": 1, b: 0.3}, ports: {"1": tube: mm: 6, "2": tube: mm: 6, "3": thread: "G1/8"}, source: "invented"}
		other: schema.#Valve & {function: "3/2", returns: "nothing", passage: {C: "L/(s bar)": 1, b: 0.3}, ports: {"1": tube: mm: 6, "2": tube: mm: 6, "3": thread: "G1/8"}, source: "invented"}
		fork: schema.#Manifold & {ports: {"1": tube: mm: 6, "2": tube: mm: 6, "3": tube: mm: 6}, source: "invented"}`)
	b.runs = strings.ReplaceAll(b.runs, `to: "shift.1", `, `to: "fork.1", `)
	b.runs = strings.ReplaceAll(b.runs, `"shift.5"`, `"shift.3"`)
	b.runs = strings.Replace(b.runs, `to: "shift.3"}, q5`, `to: "other.3"}, q5`, 1)
	b.runs = strings.ReplaceAll(b.runs, `from: "shift.2"`, `from: "other.2"`)
	b.runs = strings.ReplaceAll(b.runs, `from: "shift.4"`, `from: "shift.2"`)
	tube := `tube: {outer: mm: 6, inner: mm: 4, material: "polyurethane", burst: bar: 40, source: "invented"}, length: mm: 20`
	b.runs += `, s1: {from: "fork.2", to: "shift.1", ` + tube + `}, s2: {from: "fork.3", to: "other.1", ` + tube + `}`
	e, want := examine(t, b), examine(t, one.bench())
	for _, name := range []string{"lift out", "lift in"} {
		w := want.number("stroke", name, "time", "s")
		e.want("stroke", name, "time", "s", w, 0.02*w, "the same stroke by one 5/2 valve")
	}
	// A cylinder between an outlet of one valve that has more of them and another valve's hangs on states that nobody declares.
	five := one.bench()
	five.parts += "\n\t\tother: " + strings.SplitN(strings.SplitN(five.parts, "shift: ", 2)[1], "\n", 2)[0]
	five.runs = strings.ReplaceAll(five.runs, `from: "shift.2"`, `from: "other.2"`)
	f, _ := examine(t, five).fact("stroke", "lift out", "arrives")
	if !strings.Contains(f.Why, "or with a 3/2 valve for each end") {
		t.Errorf("%v %q", f, f.Why)
	}
}
