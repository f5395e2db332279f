package checks_test

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"trammel.example/checks"
)

// TestSweptRadius: over 220 to 320 mm of the cylinder the rocker's end gets 320 mm from O, and P stands 300 mm from it.
func TestSweptRadius(t *testing.T) {
	e := examine(t, bench{closed: "mm: 220", stroke: "mm: 100", machine: `people: near: {who: "builder", stays: {from: "O", away: mm: 310}}`})
	e.want("zone", "near", "sweptRadius", "mm", 320, 0.01, "by drawing")
	e.want("zone", "near", "margin", "mm", -10, 0.01, "by drawing")
	// Up to the dead point, where the rod's end stands farthest.
	e = examine(t, bench{closed: "mm: 230", stroke: "mm: 200", machine: `people: near: {who: "builder", stays: {from: "O", away: mm: 310}}`})
	e.want("zone", "near", "sweptRadius", "mm", 420, 1, "300 + 120")
	// What stands still sweeps nothing, however far off: a foot of the post at 900 mm.
	e = examine(t, bench{closed: "mm: 220", stroke: "mm: 100", machine: `points: F: {x: mm: 0, y: mm: -900}, links: foot: {points: ["O", "F"], ground: true}
		people: near: {who: "builder", stays: {from: "O", away: mm: 310}}`})
	e.want("zone", "near", "sweptRadius", "mm", 320, 0.01, "by drawing")
}

// TestTouchForce: at L = 260 the rod of a 25 mm cylinder at 6 bar (294.52 N, ISO 6432) turns the rocker with a lever of 119.01 mm, and
// Q is 120 mm from P.
func TestTouchForce(t *testing.T) {
	parts, runs := regulated("bar: 6")
	e := examine(t, bench{closed: "mm: 259.995", stroke: "mm: 0.01", cylinder: ports, parts: parts, runs: runs, machine: `people: near: {who: "builder", reaches: ["Q"]}`})
	e.want("zone", "near", "touchForce", "N", 294.52*119.01/120, 0.1, "moments about P")
	e.want("zone", "near", "touchForceHighest", "N", 294.52*119.01/120*10/6, 0.2, "relief valve at 10 bar")
	e.flag("zone", "near", "unguarded", true, "as written")
}

// TestTouchEnergy: 5 kg at 0.8 m/s carry 1.6 J (½ m v²). Q moves 120/119.01 times as fast as the rod, and the rod's end speed is taken
// as twice its mean (a light piston ends at 1.5 to 2.5 times it: common practice).
func TestTouchEnergy(t *testing.T) {
	parts, runs := regulated("bar: 6")
	time := 2 * 0.01e-3 * 120 / 119.01 / 0.8
	e := examine(t, bench{closed: "mm: 259.995", stroke: "mm: 0.01", cylinder: fmt.Sprintf("time: s: %g, %s", time, ports), parts: parts, runs: runs,
		machine: `loads: weight: {at: "Q", mass: kg: 5}, people: near: {who: "builder", reaches: ["Q"]}`})
	e.want("zone", "near", "touchSpeed", "m/s", 0.8, 1e-4, "by hand")
	e.want("zone", "near", "touchEnergy", "J", 1.6, 1e-3, "½ m v²")
	e.want("zone", "near", "timeForTouch", "s", time*math.Sqrt(1.6/4), 1e-9, "energy falls with the square of the time")
	// An arm reaches there: of hand, forearm and upper arm the last, of 3 kg and 30 N/mm, comes nearest to its limit.
	blow := 0.8 * math.Sqrt(30e3/(1.0/5+1.0/3))
	e.want("zone", "near", "touchMass", "kg", 5, 1e-3, "all of it is the weight at the point")
	e.want("zone", "near", "touchBlow", "N", blow, 1e-2, "ISO/TS 15066 (from memory), by hand")
	e.want("zone", "near", "touchBlowMost", "N", 300, 1e-9, "ISO/TS 15066 (from memory)")
	e.text("zone", "near", "touchStruck", "an upper arm")
	e.want("zone", "near", "timeForBlow", "s", time*blow/300, 1e-3, "the force grows with the speed")
}

// Where the strokes are computed a point within reach is as fast as they make it: Q, the fastest point of the bench, as fast as the faster of the
// two strokes says, which is held against SciPy. Its time is then not asked for.
func TestTouchByComputedStrokes(t *testing.T) {
	b := drivenBench{throttle: "0.3"}.bench()
	b.machine += "\n\tpeople: near: {who: \"builder\", reaches: [\"Q\"]}"
	e := examine(t, b)
	want := max(e.number("stroke", "lift out", "tipSpeed", "m/s"), e.number("stroke", "lift in", "tipSpeed", "m/s"))
	e.want("zone", "near", "touchSpeed", "m/s", want, 1e-2*want, "the strokes' own")
	// 5 kg hang at Q, and next to nothing else has a mass.
	energy := e.number("zone", "near", "touchEnergy", "J")
	if least := 2.5 * want * want; energy < 0.99*least || energy > 1.2*least {
		t.Errorf("%g J, want %g (½ m v²) and a little for rod and piston", energy, least)
	}
}

// A rod of 0.6 kg that turns about one end strikes at its tip as a third of its mass would: J/L² = m/3, the textbooks' compound pendulum.
func TestMassOfATurningRod(t *testing.T) {
	parts, runs := regulated("bar: 6")
	b := bench{closed: "mm: 259.995", stroke: "mm: 0.01", cylinder: "time: s: 0.001, " + ports, parts: parts, runs: runs, machine: `people: near: {who: "builder", reaches: ["Q"]}`}
	for _, s := range checks.Examine(load(t, strings.Replace(b.spec(), "rocker: {points: [\"P\", \"Q\"], mass: kg: 0}", "rocker: {points: [\"P\", \"Q\"], mass: kg: 0.6}", 1))) {
		if got := s.Facts["touchMass"].SI; s.Kind == "zone" && math.Abs(got-0.2) > 1e-4 {
			t.Errorf("%g kg, want 0.2", got)
		}
	}
}

// TestContactAlongALink: only the middle of the rod of 0.6 kg and 120 mm that turns about P gets into a narrow area, between 60 and 80 mm from P along it. There it
// goes with r/L of its tip's speed, its mass is a third of its own × (L/r)² (J/r²; textbooks' compound pendulum), and it pushes with the moment by the distance.
func TestContactAlongALink(t *testing.T) {
	parts, runs := regulated("bar: 6")
	near := func(closed, stroke, people string) examined {
		b := bench{closed: "mm: " + closed, stroke: "mm: " + stroke, cylinder: "time: s: 0.001, " + ports, parts: parts, runs: runs, machine: `people: near: {who: "builder", ` + people + "}"}
		spec := strings.Replace(b.spec(), "rocker: {points: [\"P\", \"Q\"], mass: kg: 0}", "rocker: {points: [\"P\", \"Q\"], mass: kg: 0.6}", 1)
		return examined{t, checks.Examine(load(t, spec))}
	}
	tip := near("259.995", "0.01", `reaches: ["Q"]`)
	// In the pose of 260 mm from pin to pin, θ between PO and PQ by the law of cosines; P is at (300, 0), O at the origin.
	cos := (300.*300 + 120*120 - 260*260) / (2 * 300 * 120)
	sin := math.Sqrt(1 - cos*cos)
	// Beside P the area begins 60 mm along the rod, and it ends at 80 mm: two lines across it.
	corner := func(along, aside float64) string {
		return fmt.Sprintf("{x: mm: %g, y: mm: %g}", 300-along*cos+aside*sin, along*sin+aside*cos)
	}
	area := "area: [" + corner(60, -20) + ", " + corner(80, -20) + ", " + corner(80, 20) + ", " + corner(60, 20) + "]"
	e := near("259.995", "0.01", area)
	speed := tip.number("zone", "near", "touchSpeed", "m/s")
	e.want("zone", "near", "touchSpeed", "m/s", speed*80/120, 1e-3*speed, "ω r")
	e.want("zone", "near", "touchMass", "kg", 0.2*120*120/(80*80), 2e-3, "J/r²")
	e.says("zone", "near", "touchStrikes", "rocker, 40 mm from point Q,")
	if _, found := e.fact("zone", "near", "touchForce"); found {
		t.Error("who is moved by less than a hundredth of a millimetre is pushed")
	}
	// Who keeps 60 mm from P gets to the rod from there to its tip: the tip strikes, and its other end pushes.
	tip = near("220", "100", `reaches: ["Q"]`)
	speed = tip.number("zone", "near", "touchSpeed", "m/s")
	force := tip.number("zone", "near", "touchForce", "N")
	e = near("220", "100", `stays: {from: "P", away: mm: 60}`)
	e.want("zone", "near", "touchSpeed", "m/s", speed, 1e-3*speed, "ω r")
	e.want("zone", "near", "touchForce", "N", force*120/60, 1e-3*force, "moments about P")
	e.says("zone", "near", "touchPoint", "rocker, 60 mm from point")
	for what, people := range map[string]string{"behind a guard": area + ", guard: distance: mm: 100", "beyond its tip": `stays: {from: "P", away: mm: 121}`} {
		if _, found := near("220", "100", people).fact("zone", "near", "touchForce"); found {
			t.Errorf("%s: people touch it", what)
		}
	}
	// With a bar of 20 mm the tip goes on for 10 mm, and a hand at Q gets to it.
	wide := bench{closed: "mm: 259.995", stroke: "mm: 0.01", cylinder: "time: s: 0.001, " + ports, parts: parts, runs: runs, machine: `people: near: {who: "builder", reaches: ["Q"]}`}
	w := examined{t, checks.Examine(load(t, strings.Replace(wide.spec(), "rocker: {points: [\"P\", \"Q\"]", "rocker: {outline: width: mm: 20, points: [\"P\", \"Q\"]", 1)))}
	speed = near("259.995", "0.01", `reaches: ["Q"]`).number("zone", "near", "touchSpeed", "m/s")
	w.want("zone", "near", "touchSpeed", "m/s", speed*130/120, 2e-3*speed, "ω r")
}

// TestSweptRadiusOfOutlines: a bar of 20 mm about P and Q, 120 mm apart, gets 120 + 10 mm from P, wherever it turns to; a corner 150 mm along and 20 mm beside
// it √(150² + 20²) mm.
func TestSweptRadiusOfOutlines(t *testing.T) {
	cos := (300.*300 + 120*120 - 260*260) / (2 * 300 * 120)
	sin := math.Sqrt(1 - cos*cos)
	corner := func(along, aside float64) string {
		return fmt.Sprintf("{x: mm: %g, y: mm: %g}", 300-along*cos+aside*sin, along*sin+aside*cos)
	}
	for outline, want := range map[string]float64{
		"width: mm: 20": 130,
		"width: mm: 20, shapes: [{at: \"Q\", diameter: mm: 60}]":                                         150,
		"shapes: [{corners: [" + corner(0, 0) + ", " + corner(150, 20) + ", " + corner(120, -20) + "]}]": math.Hypot(150, 20),
	} {
		b := bench{closed: "mm: 220", stroke: "mm: 100", machine: `people: near: {who: "builder", stays: {from: "P", away: mm: 300}}`}
		e := examined{t, checks.Examine(load(t, strings.Replace(b.spec(), "rocker: {points: [\"P\", \"Q\"]", "rocker: {outline: {"+outline+"}, points: [\"P\", \"Q\"]", 1)))}
		// What a round end leaves its chord by between two poses is added: less than 0.1 mm in a hundred of 1 mm.
		if got := e.number("zone", "near", "sweptRadius", "mm"); got < want-1e-3 || got > want+0.1 {
			t.Errorf("%s: %g mm, want %g", outline, got, want)
		}
	}
}

// TestGuardAgainstISO13857 compares the distances that a guard must keep with ISO 13857:2019, table 4 (14 years and over), and takes
// the larger of two rows between them.
func TestGuardAgainstISO13857(t *testing.T) {
	for _, r := range []struct {
		opening             float64
		slot, square, round float64
	}{
		{4, 2, 2, 2}, {5, 10, 5, 5}, {6, 10, 5, 5}, {8, 20, 15, 5}, {10, 80, 25, 20}, {12, 100, 80, 80}, {12.5, 120, 120, 120}, {20, 120, 120, 120},
		{30, 850, 120, 120}, {40, 850, 200, 120}, {120, 850, 850, 850},
	} {
		for shape, want := range map[string]float64{"slot": r.slot, "square": r.square, "round": r.round} {
			e := examine(t, bench{machine: fmt.Sprintf(`people: near: {who: "builder", reaches: ["Q"], guard: {opening: mm: %v, shape: %q, distance: mm: 100}}`, r.opening, shape)})
			e.want("zone", "near", "guardDistanceNeeded", "mm", want, 1e-9, "ISO 13857, table 4")
			e.want("zone", "near", "guardDistance", "mm", 100, 1e-9, "as written")
			e.flag("zone", "near", "unguarded", false, "as written")
			if t.Failed() {
				t.Fatalf("opening of %v mm, %s", r.opening, shape)
			}
		}
	}
}

// TestOverGuardOfRocker: the rocker's end moves between 120 sin θ at 220 and at 320 mm from pin to pin, by the law of cosines. What is asked
// of guards of several heights is that of ISO 13857:2019, table 2 (from memory), for 800 to 1000 mm above the floor.
func TestOverGuardOfRocker(t *testing.T) {
	high := func(pins float64) float64 {
		cos := (300.*300 + 120*120 - pins*pins) / (2 * 300 * 120)
		return 850 + 120*math.Sqrt(1-cos*cos)
	}
	for height, want := range map[int]float64{1000: 1500, 1200: 1400, 1400: 1000, 1600: 800, 1800: 0} {
		e := examine(t, bench{closed: "mm: 220", stroke: "mm: 100", machine: fmt.Sprintf(`people: near: {who: "builder", reaches: ["Q"], guard: {distance: mm: 100, height: mm: %d, floor: mm: -850}}`, height)})
		e.want("zone", "near", "overLow", "mm", high(220), 0.002, "law of cosines")
		e.want("zone", "near", "overHigh", "mm", high(320), 0.002, "law of cosines")
		e.want("zone", "near", "reachOver", "mm", want, 1e-9, "ISO 13857, table 2")
		e.want("zone", "near", "guardHeight", "mm", float64(height), 1e-9, "as written")
	}
}

// TestArea: with the rod out by 100 of 220 + 100 mm the rocker's end stands highest, 120 sin θ above O and P, with
// cos θ = (300² + 120² − 320²) / (2 × 300 × 120). A wall 200 mm above them is so far away, less half of the hair that a link without an
// outline is wide; with one it is nearer by half of its width. (space's own tests hold the distances against Shapely over random shapes.)
func TestArea(t *testing.T) {
	cos := (300.*300 + 120*120 - 320*320) / (2 * 300 * 120)
	high := 120 * math.Sqrt(1-cos*cos)
	area := `people: near: {who: "builder", area: [{x: mm: -500, y: mm: 200}, {x: mm: 900, y: mm: 200}, {x: mm: 900, y: mm: 400}, {x: mm: 100, y: mm: 250}, {x: mm: -500, y: mm: 400}]}`
	e := examine(t, bench{closed: "mm: 220", stroke: "mm: 100", machine: area})
	e.want("zone", "near", "areaMargin", "mm", 200-high-0.05, 0.02, "law of cosines")
	e.flag("zone", "near", "unguarded", true, "as written")
	// The same area from below: the rocker goes 20 mm into it at its highest.
	low := `people: near: {who: "builder", area: [{x: mm: -500, y: mm: 100}, {x: mm: 900, y: mm: 100}, {x: mm: 900, y: mm: 400}, {x: mm: -500, y: mm: 400}]}`
	e = examine(t, bench{closed: "mm: 220", stroke: "mm: 100", machine: low})
	e.want("zone", "near", "areaMargin", "mm", 100-high-0.05, 0.02, "law of cosines")
	e.want("zone", "near", "areaMore", "mm", high-100+0.05, 0.02, "law of cosines")
}

// TestStops: in 0.3 s a person who walks at 1.6 m/s (ISO 13855) gets 480 mm far, and 20 mm squares let a hand 120 mm through (ISO 13857, table 4);
// a control for two hands gives 250 mm more (ISO 13855, from memory).
func TestStops(t *testing.T) {
	for guard, want := range map[string]float64{
		`kind: "gate", stops: s: 0.3, distance: mm: 100`:                                   480,
		`kind: "gate", stops: s: 0.3, opening: mm: 20, shape: "square", distance: mm: 100`: 600,
		`kind: "two hands", stops: s: 0.3, distance: mm: 100`:                              730,
	} {
		e := examine(t, bench{machine: `people: near: {who: "builder", reaches: ["Q"], guard: {` + guard + `}}`})
		e.want("zone", "near", "stopDistanceNeeded", "mm", want, 1e-9, "ISO 13855")
		e.want("zone", "near", "stopDistance", "mm", 100, 1e-9, "as written")
	}
}
