package checks_test

import (
	"fmt"
	"math"
	"strings"
	"testing"
)

// TestThrustAgainstISO6432AndISO15552 compares the force of each standard bore at 6 bar with the theoretical forces that the trade's
// tables print: pressure × area, N. Rod diameters by ISO 6432 and ISO 15552, from memory.
func TestThrustAgainstISO6432AndISO15552(t *testing.T) {
	for _, r := range []struct {
		standard           string
		bore, extend, pull float64
	}{
		{"ISO 6432", 8, 30.159, 22.619},
		{"ISO 6432", 10, 47.124, 39.584},
		{"ISO 6432", 12, 67.858, 50.894},
		{"ISO 6432", 16, 120.64, 103.67},
		{"ISO 6432", 20, 188.5, 158.34},
		{"ISO 6432", 25, 294.52, 247.4},
		{"ISO 15552", 32, 482.55, 414.69},
		{"ISO 15552", 40, 753.98, 633.35},
		{"ISO 15552", 50, 1178.1, 989.6},
		{"ISO 15552", 63, 1870.3, 1681.9},
		{"ISO 15552", 80, 3015.9, 2721.4},
		{"ISO 15552", 100, 4712.4, 4417.9},
		{"ISO 15552", 125, 7363.1, 6880.6},
	} {
		parts, runs := regulated("bar: 6")
		e := examine(t, bench{bore: fmt.Sprintf("mm: %g", r.bore), cylinder: fmt.Sprintf("standard: %q, efficiency: 1", r.standard), parts: parts, runs: runs})
		e.want("cylinder", "lift", "thrustOut", "N", r.extend, 1e-4*r.extend, r.standard)
		e.want("cylinder", "lift", "thrustSet", "N", r.extend, 1e-4*r.extend, r.standard)
		e.want("cylinder", "lift", "thrustIn", "N", r.pull, 1e-4*r.pull, r.standard)
		e.want("cylinder", "lift", "thrustHighest", "N", r.extend*10/6, 2e-4*r.extend, "relief valve at 10 bar")
	}
}

// TestThrustInTradeUnits: a 16 mm cylinder pushes with about 35 N at 25 psi and 69 N at 50 psi. Common practice, no source; 1 psi is
// 6894.757 Pa by NIST SP 811.
func TestThrustInTradeUnits(t *testing.T) {
	for psi, want := range map[float64]float64{25: 35, 50: 69} {
		parts, runs := regulated(fmt.Sprintf("psi: %g", psi))
		e := examine(t, bench{bore: "mm: 16", cylinder: `standard: "ISO 6432"`, parts: parts, runs: runs})
		e.want("cylinder", "lift", "thrustSet", "N", want, 0.5, "common practice")
	}
}

// TestRockerSwing compares the swing of both ends with the cosine rule in the triangle O P Q: 300, 120 and the cylinder's length.
func TestRockerSwing(t *testing.T) {
	angleAt := func(a, b, opposite float64) float64 {
		return math.Acos((a*a+b*b-opposite*opposite)/(2*a*b)) * 180 / math.Pi
	}
	e := examine(t, bench{closed: "mm: 220", stroke: "mm: 100"})
	atO := func(l float64) float64 { return angleAt(300, l, 120) }
	atQ := func(l float64) float64 { return angleAt(120, l, 300) }
	// The angle at O is largest where the cylinder touches the circle of the rocker's end: sin = 120/300, L = √(300² − 120²) = 275.
	widest := math.Asin(0.4) * 180 / math.Pi
	e.want("cylinder end", "lift.rear", "swing", "deg", widest-min(atO(220), atO(320)), 0.01, "cosine rule")
	e.want("cylinder end", "lift.front", "swing", "deg", atQ(220)-atQ(320), 0.01, "cosine rule")
	e.want("link", "rocker", "turns", "deg", angleAt(300, 120, 320)-angleAt(300, 120, 220), 0.01, "cosine rule")
}

// TestRockerStopsAtItsDeadPoint: the cylinder can be no longer than 300 + 120 and no shorter than 300 − 120.
func TestRockerStopsAtItsDeadPoint(t *testing.T) {
	e := examine(t, bench{closed: "mm: 230", stroke: "mm: 200"})
	e.want("cylinder", "lift", "strokeReached", "mm", 420-230, 0.02, "triangle inequality")
	if f, _ := e.fact("cylinder", "lift", "strokeStops"); !strings.Contains(f.Text, "can't extend beyond 190 mm, where its line runs through the pivot about which it turns rocker: a dead point") {
		t.Errorf("says %q", f.Text)
	}
	e = examine(t, bench{closed: "mm: 150", stroke: "mm: 140"})
	e.want("cylinder", "lift", "strokeReached", "mm", 290-180, 0.02, "triangle inequality")
}

// TestRockerLoad balances moments about P: a weight at Q, lever |x|, against the rod, lever p r sin θ / L. At L = 260 the lever is
// 119.01 mm and θ 59.262° (the cylinder rocker of any textbook: p 300, r 120).
func TestRockerLoad(t *testing.T) {
	parts, runs := regulated("bar: 6")
	// A stroke of a hundredth of a millimetre keeps the pose.
	b := bench{closed: "mm: 259.995", stroke: "mm: 0.01", cylinder: "efficiency: 1, rod: mm: 10, " + ports, parts: parts, runs: runs}
	b.machine = `loads: weight: {at: "Q", force: N: 100, towards: deg: 90}`
	e := examine(t, b)
	// Out is counter to the rocker's fall: it turns Q about P to larger x; an upward force helps while Q rises on that way.
	theta := 59.262 * math.Pi / 180
	want := 100 * 120 * math.Cos(theta) / 119.01
	e.want("cylinder", "lift", "loadIn", "N", want, 0.01*want, "moments about P")
	e.want("cylinder", "lift", "loadRatioIn", "", want/247.4, 0.01, "bore 25, rod 10 at 6 bar: 247.4 N (ISO 6432)")
	// ISO 6432: pull = p π/4 (D² − d²), here twice the load at 6 bar with the rod as it is.
	e.want("cylinder", "lift", "boreForHalf", "mm", math.Sqrt(2*want/0.6*4/math.Pi+10*10), 0.01, "pull of ISO 6432, solved for the bore")
	b.machine = `loads: weight: {at: "Q", force: N: 100, towards: deg: -90}`
	e = examine(t, b)
	e.want("cylinder", "lift", "loadOut", "N", want, 0.01*want, "moments about P")
	e.want("cylinder", "lift", "loadRatioOut", "", want/294.52, 0.01, "bore 25 at 6 bar: 294.52 N (ISO 6432)")
	e.want("cylinder", "lift", "boreForHalf", "mm", 25*math.Sqrt(want/294.52/0.5), 0.2, "thrust grows with the square of the bore")
}

// TestHelpingForceMayBeAbsent: a weight of 100 N is held against by 60 N. Moments about P without the force ask for all of the thrust, and
// with it, going in, for the difference; the same force against the motion adds up.
func TestHelpingForceMayBeAbsent(t *testing.T) {
	b := bench{closed: "mm: 259.995", stroke: "mm: 0.01"}
	hold := 120 * math.Cos(59.262*math.Pi/180) / 119.01 // of the rod, for each newton at Q
	weight := fmt.Sprintf(`weight: {at: "Q", mass: kg: %g}`, 100/9.80665)
	for _, r := range []struct {
		loads   string
		out, in float64
		when    string
	}{
		{weight, 100, 0, ""},
		{weight + `, spring: {at: "Q", force: N: 60, towards: deg: 90}`, 100, 0, "without spring"},
		{weight + `, spring: {at: "Q", force: N: 160, towards: deg: 90}`, 100, 60, "without spring"},
		{weight + `, push: {at: "Q", force: N: 60, towards: deg: -90}`, 160, 0, ""},
		{weight + `, push: {at: "Q", force: N: 60, towards: deg: -90}, spring: {at: "Q", force: N: 60, towards: deg: 90}`, 160, 0, "without spring"},
	} {
		b.machine = `loads: {` + r.loads + `}`
		e := examine(t, b)
		e.want("cylinder", "lift", "loadOut", "N", r.out*hold, 0.02*hold, "moments about P")
		e.want("cylinder", "lift", "loadIn", "N", r.in*hold, 0.02*hold, "moments about P")
		if f, _ := e.fact("cylinder", "lift", "loadOut"); !strings.HasSuffix(f.Worst, r.when) {
			t.Errorf("%s: worst %q", r.loads, f.Worst)
		}
	}
}

// TestWeakestInLine: at a stall every part in line with the rod carries all of its force (equilibrium), so that the weakest breaks.
func TestWeakestInLine(t *testing.T) {
	parts, runs := regulated("bar: 6")
	b := bench{cylinder: "rear: withstands: N: 800, front: withstands: N: 700, " + ports, parts: parts, runs: runs, machine: "links: rocker: withstands: N: 589.05"}
	e := examine(t, b)
	e.want("cylinder", "lift", "pathWithstands", "N", 589.05, 1e-6, "the least of three")
	e.want("cylinder", "lift", "setForPath", "bar", 12, 1e-3, "589.05 N is twice 294.52 N (ISO 6432, bore 25 at 6 bar)")
}

// TestLinkageFaults: a rocker that moves, a cylinder that does not reach, and links between its end and O that it does not hold.
func TestLinkageFaults(t *testing.T) {
	for want, b := range map[float64]bench{
		0: {},
		1: {closed: "mm: 200", stroke: "mm: 50"}, // reaches 250 and is drawn 260 long
	} {
		examine(t, b).want("linkage", "bench", "faults", "", want, 0, "by drawing")
	}
	loose := bench{machine: `
	points: {R: {x: mm: 200, y: mm: 250}, S: {x: mm: 50, y: mm: 200}}
	links: {one: {points: ["Q", "R"], mass: kg: 1}, two: {points: ["R", "S"], mass: kg: 1}, three: {points: ["S", "O"], mass: kg: 1}}`}
	examine(t, loose).want("linkage", "bench", "faults", "", 1, 0, "Grübler: 3 × 4 moving links − 2 × 5 pivots − 1 cylinder = 1 freedom left")
	// One mistake is one, however many cylinders it keeps from moving.
	loose.machine = `
	points: {R: {x: mm: 200, y: mm: 250}, S: {x: mm: 50, y: mm: 200}, U: {x: mm: 0, y: mm: 100}}
	links: {one: {points: ["Q", "R"], mass: kg: 1}, two: {points: ["R", "S"], mass: kg: 1}, three: {points: ["S", "U"], mass: kg: 1}, four: {points: ["U", "O"], mass: kg: 1}}
	cylinders: other: schema.#Cylinder & {bore: mm: 25, stroke: mm: 20, closed: mm: 260, rear: {at: "P", kind: "eye", hole: mm: 8, width: mm: 16}, front: {at: "R", kind: "eye", hole: mm: 8, width: mm: 16}, source: "invented"}`
	examine(t, loose).want("linkage", "bench", "faults", "", 1, 0, "Grübler: 3 × 5 moving links − 2 × 6 pivots − 2 cylinders = 1 freedom left")
}

// TestDanglingLink: a link on one pivot has a freedom of its own (Grübler: 3 × 2 moving links − 2 × 2 pivots − 1 cylinder = 1), and rests
// only where nothing turns it: without weight or load, or with its centre of mass on the pivot (moments about the pivot).
func TestDanglingLink(t *testing.T) {
	for _, r := range []struct {
		link, loads string
		want        float64
	}{
		{`points: ["Q", "R"], mass: kg: 1`, "", 1},
		{`points: ["Q", "R"]`, "", 1},
		{`points: ["Q", "R"], mass: kg: 0`, `tray: {at: "R", mass: kg: 2}`, 1},
		{`points: ["Q", "R"], mass: kg: 0`, `push: {at: "R", force: N: 2, towards: deg: 0}`, 1},
		{`points: ["Q"], mass: kg: 1, centre: {x: mm: 250, y: mm: 103}`, "", 1},
		{`points: ["Q", "R"], mass: kg: 0`, "", 0},
		{`points: ["Q", "R"], mass: kg: 0`, `tray: {at: "Q", mass: kg: 2}`, 0},
		{`points: ["Q"], mass: kg: 1`, `tray: {at: "Q", mass: kg: 2}`, 0},
		{`points: ["Q", "R", "P"], mass: kg: 1`, `tray: {at: "R", mass: kg: 2}`, 0},
	} {
		end := ""
		if strings.Contains(r.link, "R") {
			end = "points: R: {x: mm: 200, y: mm: 250}, "
		}
		e := examine(t, bench{machine: end + `links: hung: {` + r.link + `}, loads: {` + r.loads + `}`})
		e.want("linkage", "bench", "faults", "", r.want, 0, "Grübler; moments about the pivot")
		if t.Failed() {
			t.Fatal(r.link, r.loads)
		}
	}
}
