package checks_test

import (
	"math"
	"testing"

	"trammel.example/checks"
)

// rising is the rocker with a mass of 5 kg at its end Q, a cylinder between a regulator and a valve-less line, and a plan.
func rising(plan string) bench {
	parts, runs := regulated("bar: 6")
	return bench{
		closed: "mm: 259.995", stroke: "mm: 0.01", cylinder: "efficiency: 0.9, rod: mm: 10, moving: kg: 0, " + ports, parts: parts, runs: runs,
		machine: `loads: weight: {at: "Q", mass: kg: 5}, ` + plan,
	}
}

// TestFirstAirByHand: the weight of 5 kg at Q, 238.67 mm along and 103.14 mm up from O, with P at (300, 0), turns the rocker about P by
// 5 × 9.80665 × 61.33 mm = 3.007 Nm, that is 25.27 N along the rod with its lever of 119.01 mm. Q moves to the right and up as the rod goes
// out, so that the rod lifts it, and of a 25 mm piston (490.87 mm²) 0.9 counts: 0.572 bar. A regulator goes down to 0.5 bar.
func TestFirstAirByHand(t *testing.T) {
	e := examine(t, rising(`firstAir: steps: [{bar: 1.2}, {bar: 2}, {bar: 2.8}, {bar: 4.3}]`))
	moves := 5 * 9.80665 * 0.061333 / 0.11901 / (0.9 * math.Pi / 4 * 0.025 * 0.025) / 1e5
	e.want("first air", "bench", "movesAt", "bar", moves, 1e-3, "moments about P, by hand")
	e.want("first air", "bench", "firstMost", "bar", moves+0.5, 1e-3, "0.5 bar above it: common practice, no source")
	e.want("first air", "bench", "firstAdvised", "bar", 0.7, 1e-9, "up to a tenth of a bar, and one more")
	e.want("first air", "bench", "first", "bar", 1.2, 1e-9, "as written")
	e.want("first air", "bench", "last", "bar", 4.3, 1e-9, "as written")
	e.want("first air", "bench", "set", "bar", 6, 1e-9, "the regulator's setting")
	// Of 1.2 to 2 (0.6 allowed), 2 to 2.8 (1) and 2.8 to 4.3 (1.4) the first is the farthest beyond, by 0.2 bar.
	e.want("first air", "bench", "rise", "bar", 0.8, 1e-9, "by hand")
	e.want("first air", "bench", "riseMost", "bar", 0.6, 1e-9, "half of 1.2 bar")
	e.want("first air", "bench", "between", "bar", 1.8, 1e-9, "1.2 + 0.6")
	e.flag("first air", "bench", "held", false, "no base is written")
	e.flag("first air", "bench", "cutsOff", false, "there is no shut-off valve")
}

// TestFirstAirIsolated: a shut-off valve cuts off what lies behind it, and nothing beside it.
func TestFirstAirIsolated(t *testing.T) {
	for _, c := range []struct {
		runs string
		cuts bool
	}{
		{`a: {from: "source.1", to: "tap.1"}, n: {from: "tap.2", to: "line.1"}, b: {from: "line.2", to: "lift.rear"}`, true},
		{`a: {from: "source.1", to: "tee.1"}, n: {from: "tee.2", to: "line.1"}, b: {from: "line.2", to: "lift.rear"}, c: {from: "tee.4", to: "tap.1"}`, false},
	} {
		b := rising(`firstAir: {steps: [{bar: 1}], isolator: "tap", base: "clamped"}`)
		b.parts += `
			tap: schema.#Isolator & {exhausts: true, lockable: true, ports: {"1": thread: "G1/4", "2": thread: "G1/4"}, source: "invented"}
			tee: schema.#Manifold & {ports: {"1": thread: "G1/4", "2": thread: "G1/4", "4": thread: "G1/4"}, source: "invented"}`
		b.runs = c.runs
		e := examine(t, b)
		e.flag("first air", "bench", "cutsOff", c.cuts, "by the drawing of the circuit")
		e.flag("first air", "bench", "held", true, "as written")
	}
}

// TestGraspAndSweep: pressed by a rod with a lever of 119.01 mm, Q pushes with 119.01/120 of the thrust; it moves 420 mm from O at most,
// past its dead point, where P, which it circles, has it at 120 mm all the way.
func TestGraspAndSweep(t *testing.T) {
	r := checks.NewRising(load(t, rising("").spec()))
	if g := r.Grasps()["lift"]; g.Point != "Q" || math.Abs(g.Gain-119.01/120) > 1e-4 {
		t.Errorf("the grasp is %+v, want %.4f at Q", g, 119.01/120)
	}
	if radius, about := r.Swept(); about != "P" || math.Abs(radius-0.120) > 1e-6 {
		t.Errorf("it sweeps %g about %s, want 0.12 about P", radius, about)
	}
	wide := rising("")
	wide.machine += "\nlinks: rocker: outline: width: mm: 20"
	if radius, _ := checks.NewRising(load(t, wide.spec())).Swept(); math.Abs(radius-0.130) > 1e-6 {
		t.Errorf("with an outline 20 mm wide it sweeps %g, want 0.13", radius)
	}
}

func TestRiseAndFirstStep(t *testing.T) {
	for _, c := range []struct{ from, want float64 }{{0.4e5, 0.5e5}, {1e5, 0.5e5}, {3e5, 1.5e5}} {
		if got := checks.RiseMost(c.from); math.Abs(got-c.want) > 1e-6 {
			t.Errorf("after %g Pa it may rise by %g, want %g", c.from, got, c.want)
		}
	}
	for _, c := range []struct{ moves, settable, want float64 }{{2.01e5, 0.5e5, 2.2e5}, {2e5, 0.5e5, 2.1e5}, {0, 0.5e5, 0.6e5}} {
		if got := checks.FirstStep(c.moves, c.settable); math.Abs(got-c.want) > 1e-3 {
			t.Errorf("moved by %g Pa, it begins with %g, want %g", c.moves, got, c.want)
		}
	}
}
