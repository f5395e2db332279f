package checks_test

import (
	"fmt"
	"math"
	"strings"
	"testing"
)

// TestTipAgainstCosineRule: Q goes round P, so that it moves r dγ/dL = L / (p sin γ) times as fast as the rod. A stroke of 20 mm in 25 ms is
// a mean of 0.8 m/s. At 6 bar, 7.013 bar absolute, each stroke fills the cylinder.
func TestTipAgainstCosineRule(t *testing.T) {
	parts, runs := regulated("bar: 6")
	e := examine(t, bench{cylinder: "time: ms: 25, " + ports, parts: parts, runs: runs})
	ratio := 0.0
	for k := range 201 {
		l := 250 + 20*float64(k)/200
		ratio = max(ratio, l/(300*math.Sin(asDrawn.angle(l))))
	}
	e.want("cylinder", "lift", "tipRatio", "", ratio, 1e-6, "cosine rule")
	e.want("cylinder", "lift", "tipSpeed", "m/s", 0.8*ratio, 1e-6, "mean speed of the rod")
	seconds := 0.020 * ratio / 0.5
	e.want("cylinder", "lift", "timeForTip", "s", seconds, 1e-6, "the time in which the mean is 0.5 m/s")
	e.want("cylinder", "lift", "flowForTip", "L/min", math.Pi/4*0.25*0.25*0.2/seconds*60*7.01325, 1e-3, "dm³ filled, by absolute pressures in bar")
}

// guide is a carriage on a rail along x, with two points 50 mm apart on it, that a cylinder pushes beside the rail, against 100 N along it.
func guide(beside, coefficient float64) bench {
	return bench{machine: fmt.Sprintf(`
	points: {R: {x: mm: 0, y: mm: 400}, S: {x: mm: 600, y: mm: 400}, T: {x: mm: 300, y: mm: 400}, U: {x: mm: 350, y: mm: 400}, V: {x: mm: 300, y: mm: %g}, W: {x: mm: 100, y: mm: %g}}
	links: {rail: {points: ["R", "S", "W"], ground: true}, carriage: {points: ["T", "U", "V"], mass: kg: 0}}
	slides: {first: {point: "T", along: ["R", "S"], friction: %g}, second: {point: "U", along: ["R", "S"], friction: %g}}
	loads: drag: {at: "U", force: N: 100, towards: deg: 180}
	cylinders: push: schema.#Cylinder & {bore: mm: 25, stroke: mm: 50, closed: mm: 190, rear: {at: "W", kind: "eye", hole: mm: 8, width: mm: 16}, front: {at: "V", kind: "eye", hole: mm: 8, width: mm: 16}, source: "invented"}`,
		400-beside, 400-beside, coefficient, coefficient)}
}

// TestGuideJams: a thrust T at h beside a rail presses the two guides, b apart, with T h/b each; the thrust is T = F/(1 − 2 μ h/b), and beyond
// h = b/2μ none moves it: the drawer that sticks, of any textbook of statics.
func TestGuideJams(t *testing.T) {
	e := examine(t, guide(60, 0.2))
	e.flag("cylinder", "push", "jams", false, "60 mm is less than 50/(2 × 0.2)")
	e.want("cylinder", "push", "loadOut", "N", 100/(1-2*0.2*60/50), 1e-3, "equilibrium of the carriage")
	e = examine(t, guide(60, 0))
	e.want("cylinder", "push", "loadOut", "N", 100, 1e-6, "equilibrium of the carriage")
	e = examine(t, guide(130, 0.2))
	e.flag("cylinder", "push", "jams", true, "130 mm is more than 50/(2 × 0.2)")
	// The solver gives up where friction takes more than nine tenths of the thrust: a jam in practice.
	if n, most := numbers(e.textOf("cylinder", "push", "remedyJam")), 100*50/(2*0.2*130); n[0] > most || n[0] < 0.9*most {
		t.Errorf("%g %% of the friction, and the textbook says %g %%", n[0], most)
	}
	if text := e.textOf("cylinder", "push", "jamsWhen"); !strings.HasPrefix(text, "Going out, with lift out by ") {
		t.Errorf("says %q", text)
	}
}

// TestPinFriction: the moment of friction about P is the reaction there times μ r; it adds to what the rod must do against a weight (a pivot's
// friction circle, any textbook of machines). Pins at O and Q are smooth.
func TestPinFriction(t *testing.T) {
	pivot := `pivots: P: {friction: 0.2, pin: {diameter: mm: 40, kept: ["head", "clip"], turnsWith: "post"}, stack: [{link: "post", thick: mm: 5}, {link: "rocker", thick: mm: 10, runs: true}]}`
	e := examine(t, bench{closed: "mm: 259.995", stroke: "mm: 0.01", machine: `loads: weight: {at: "Q", force: N: 100, towards: deg: -90}
	` + pivot})
	// Thrust F along the cylinder, weight W at Q, reaction R at P = −(F e + W): the moment of W about P, and μ r R against the motion.
	theta := math.Atan2(asDrawn.q.Y, asDrawn.q.X)
	arm, lever := 119.01, 120*math.Cos(59.262*math.Pi/180)
	thrust := 100 * lever / arm
	for range 50 {
		x, y := thrust*math.Cos(theta), thrust*math.Sin(theta)-100
		thrust = (100*lever + 0.2*20*math.Hypot(x, y)) / arm
	}
	e.want("cylinder", "lift", "loadOut", "N", thrust, 0.02, "equilibrium with a friction circle")
	e.flag("cylinder", "lift", "jams", false, "a small circle")
}

// TestStopForce: against a stop at 12 mm the rod presses with its thrust (294.52 N: ISO 6432, bore 25 at 6 bar) less what holds a weight of
// 100 N at Q, W cos θ r / arm.
func TestStopForce(t *testing.T) {
	parts, runs := regulated("bar: 6")
	b := bench{cylinder: "rod: mm: 10, cushion: length: mm: 12, time: s: 0.5, " + ports, parts: parts, runs: runs,
		machine: fmt.Sprintf(`loads: weight: {at: "Q", mass: kg: %g}
	stops: {out: {cylinder: "lift", at: mm: 12, withstands: N: 200}, back: {cylinder: "lift", at: mm: 5, withstands: N: 400}}`, 100/9.80665)}
	e := examine(t, b)
	hold := func(length float64) float64 { return 100 * (300 - asDrawn.end(length).X) / asDrawn.arm(length) }
	e.want("stop", "out", "force", "N", 294.52-hold(262), 0.01, "thrust less what holds the weight")
	e.want("stop", "back", "force", "N", 247.4+hold(255), 0.01, "ISO 6432: pull of bore 25, rod 10 at 6 bar; the weight presses too")
	e.want("stop", "out", "gap", "mm", 8, 1e-9, "20 − 12")
	e.want("stop", "out", "cushionUsed", "", 1-8./12, 1e-9, "4 of 12 mm")
	e.want("stop", "back", "cushionUsed", "", 1-5./12, 1e-9, "7 of 12 mm")
	if n := numbers(e.textOf("stop", "out", "remedyForce")); math.Abs(n[0]-6*(200+hold(262))/294.52) > 0.01 {
		t.Errorf("%g bar; the thrust that the stop bears is 200 N more than holds the weight", n[0])
	}
	// The weight goes round P: ½ m v² at twice 7 mm in half a second.
	v := 2 * 7e-3 / 0.5 * 262 / (300 * math.Sin(asDrawn.angle(262)))
	e.want("stop", "out", "energy", "J", v*v/2*100/9.80665, 1e-4, "½ m v²")
	if n := numbers(e.textOf("stop", "out", "remedyCushion")); n[0] != 14 || n[1] != 12 {
		t.Errorf("says %v, and half the cushion is used from 14 mm on", n)
	}
}
