package checks_test

import (
	"fmt"
	"math"
	"strings"
	"testing"
)

// TestClosingGapsByDrawing: the post's pins P and Q, and the barrel 225 mm long of a cylinder of 250 + 20 mm. With the rod in, the rocker's end of
// 20 mm at Q is 250 − 225 − 10 = 15 mm before the barrel, with the rod out 35 mm: a finger gets in (ISO 13854: 25 mm), a hand does not. The gap
// closes as fast as the rod goes, with its thrust: (25² − 10²) π/4 mm² at 6 bar on the way in, 247.4 N (ISO 6432).
func TestClosingGapsByDrawing(t *testing.T) {
	gap := func(people string, length float64) (examined, bool) {
		parts, runs := regulated("bar: 6")
		b := stacked(6, "outline: width: mm: 20", fmt.Sprintf(barrel, length)+", rod: mm: 10, time: s: 0.5, "+ports, "")
		b.parts, b.runs = parts, strings.Replace(runs, "lift.rear", "lift.front", 1)
		b.machine += "\npeople: near: {who: \"builder\", " + people + "}"
		e := examine(t, b)
		_, found := e.fact("zone", "near", "gapLeast")
		return e, found
	}
	for _, c := range []struct{ length, least, opens float64 }{{225, 15, 35}, {217, 23, 43}} {
		e, _ := gap(`reaches: ["Q"]`, c.length)
		e.want("zone", "near", "gapLeast", "mm", c.least, 0.01, "by drawing")
		e.says("zone", "near", "gapBetween", "rocker and lift barrel")
		e.want("zone", "near", "gapOpens", "mm", c.opens, 0.01, "by drawing")
		e.want("zone", "near", "gapNeeded", "mm", 25, 1e-9, "ISO 13854, finger")
		e.want("zone", "near", "gapForce", "N", 0.6*math.Pi/4*(25*25-10*10), 0.5, "thrust on the way in")
		e.want("zone", "near", "gapForceMost", "N", 140, 1e-9, "ISO/TS 15066, fingers held")
		e.flag("zone", "near", "gapGentle", false, "247.4 N on a finger")
		e.says("zone", "near", "gapRemedy", "set 3.35 bar or less, if the load allows, for a hand or finger") // 6 bar × 140 / 247.4 = 3.395
		e.want("zone", "near", "gapSpeed", "m/s", 2*0.020/0.5, 1e-3, "twice the mean speed of the rod")
	}
	e, _ := gap(`reaches: ["Q"]`, 212)
	e.want("zone", "near", "gapLeast", "mm", 28, 0.01, "by drawing")
	e.want("zone", "near", "gapNeeded", "mm", 25, 1e-9, "ISO 13854, finger")
	e.says("zone", "near", "gapStrikes", "leaves it room")
	for what, people := range map[string]string{
		"behind a guard":     `reaches: ["Q"], guard: distance: mm: 100`,
		"no foot gets in":    `reaches: ["Q"], atRisk: "foot"`,
		"out of their reach": `stays: {from: "O", away: mm: 900}`,
		"not in their area":  `area: [{x: mm: -300, y: mm: -200}, {x: mm: -200, y: mm: -200}, {x: mm: -200, y: mm: 200}]`,
		"beyond a hand at P": `reaches: ["P"], atRisk: "leg"`,
	} {
		if _, found := gap(people, 225); found {
			t.Errorf("%s: the gap is judged", what)
		}
	}
	for what, people := range map[string]string{
		"in their area":      `area: [{x: mm: 100, y: mm: 40}, {x: mm: 400, y: mm: 40}, {x: mm: 400, y: mm: 200}, {x: mm: 100, y: mm: 200}]`,
		"within their reach": `stays: {from: "O", away: mm: 200}`,
	} {
		if _, found := gap(people, 225); !found {
			t.Errorf("%s: the gap is not judged", what)
		}
	}
}

// TestGapClosesAsTheStrokeIsComputed: the same gap along the whole stroke, whose highest speed is that of the faster of the two strokes.
func TestGapClosesAsTheStrokeIsComputed(t *testing.T) {
	driven := drivenBench{set: "6"}.bench()
	b := stacked(6, "outline: width: mm: 20", fmt.Sprintf(barrel, 234.9)+", "+driven.cylinder, "")
	b.parts, b.runs = driven.parts, driven.runs
	b.machine += driven.machine + "\npeople: near: {who: \"builder\", reaches: [\"Q\"]}"
	e := examine(t, b)
	fastest := max(e.number("stroke", "lift out", "peakSpeed", "m/s"), e.number("stroke", "lift in", "peakSpeed", "m/s"))
	e.want("zone", "near", "gapSpeed", "m/s", fastest, 0.01*fastest, "the computed stroke")
}

// TestGapClosedBySpring: the same gap, closed by a spring of 90 N pressed, which a finger bears (ISO/TS 15066: 140 N); without its force, nobody
// knows.
func TestGapClosedBySpring(t *testing.T) {
	for spring, force := range map[string]float64{", spring: N: 60, compressed: N: 90": 90, ", spring: N: 60, compressed: N: 150": 150, ", spring: N: 60": 0} {
		parts, runs := regulated("bar: 6")
		b := stacked(6, "outline: width: mm: 20", fmt.Sprintf(barrel, 225.0)+`, acting: "single", rod: mm: 10, time: s: 0.5, ports: rear: thread: "G1/8"`+spring, "")
		b.parts, b.runs = parts, runs
		b.machine += "\npeople: near: {who: \"builder\", reaches: [\"Q\"]}"
		e := examine(t, b)
		if force == 0 {
			e.open("zone", "near", "gapForce")
			e.flag("zone", "near", "gapGentle", true, "not known to be hard")
			continue
		}
		e.want("zone", "near", "gapForce", "N", force, 1e-6, "the spring's, pressed")
		e.flag("zone", "near", "gapGentle", force <= 140, "ISO/TS 15066, fingers held")
		if strings.Contains(e.textOf("zone", "near", "gapRemedy"), "bar") {
			t.Errorf("air is to make a spring weaker: %s", e.textOf("zone", "near", "gapRemedy"))
		}
	}
}

// TestGapToTheBench: the rocker comes down on the corner of the bench at (200, 50) as the rod goes in. At 250 mm, cos θ = (300² + 120² − 250²) /
// (2 × 300 × 120), and its middle line through P passes the corner at 100 sin θ − 50 cos θ, half of its width nearer.
func TestGapToTheBench(t *testing.T) {
	b := stacked(6, "outline: width: mm: 20", fmt.Sprintf(barrel, 190.0), "")
	b.machine += `
		base: {feet: {from: mm: -100, to: mm: 200, y: mm: 50, across: mm: 200}, mass: kg: 5, centre: {x: mm: 150, y: mm: 80}, friction: 0.3}
		people: near: {who: "builder", reaches: ["Q"], atRisk: "finger"}`
	e := examine(t, b)
	passes := func(length float64) float64 {
		cos := (300.*300 + 120*120 - length*length) / (2 * 300 * 120)
		return 100*math.Sqrt(1-cos*cos) - 50*cos - 10
	}
	e.want("zone", "near", "gapLeast", "mm", passes(250), 0.011, "law of cosines")
	e.want("zone", "near", "gapOpens", "mm", passes(270), 0.011, "law of cosines")
}
