package bending

import (
	"math"
	"testing"
)

const (
	length    = 0.6
	force     = 250.0
	stiffness = 70e9 * 6900e-12
)

func near(t *testing.T, what string, got, want float64) {
	t.Helper()
	if !(math.Abs(got-want) <= 1e-9*math.Abs(want)) {
		t.Errorf("%s: got %.12g, want %.12g", what, got, want)
	}
}

func aside(moments []Moment, a, b, x float64) float64 {
	var out [1]float64
	Aside(moments, stiffness, a, b, []float64{x}, out[:])
	return out[0]
}

// The formulas of table A-9 of Shigley's Mechanical Engineering Design (from memory; any handbook has them).
func TestHandbook(t *testing.T) {
	l, f, ei := length, force, stiffness
	middle := []Moment{{0, 0}, {l / 2, f * l / 4}, {l, 0}}
	near(t, "simple supports, middle load", -aside(middle, 0, l, l/2), f*l*l*l/(48*ei))
	near(t, "at a quarter", -aside(middle, 0, l, l/4), f*(l/4)*(3*l*l-4*l*l/16)/(48*ei))
	near(t, "by formula", Under(f, l, ei, BothEnds), f*l*l*l/(48*ei))

	// held fast: supports a hair apart at the wall
	const hair = 1e-7
	wall := []Moment{{0, -f * l}, {l, 0}}
	if got, want := -aside(wall, 0, hair, l), f*l*l*l/(3*ei); math.Abs(got-want) > 1e-5*want {
		t.Errorf("cantilever: got %g, want %g", got, want)
	}
	near(t, "cantilever by formula", Under(f, l, ei, OneEnd), f*l*l*l/(3*ei))

	// load at a distance a of one support, b of the other, a > b: largest at √((l² − b²)/3)
	b := 0.15
	a := l - b
	x := math.Sqrt((l*l - b*b) / 3)
	near(t, "intermediate load", -aside([]Moment{{0, 0}, {a, f * a * b / l}, {l, 0}}, 0, l, x), f*b*math.Pow(l*l-b*b, 1.5)/(9*math.Sqrt(3)*l*ei))

	// overhang c beyond the second of two supports l apart, load at its end: F c² (l + c) / (3 E I)
	c := 0.2
	near(t, "overhang", -aside([]Moment{{0, 0}, {l, -f * c}, {l + c, 0}}, 0, l, l+c), f*c*c*(l+c)/(3*ei))

	// a couple at one end: M l² / (9√3 E I), largest at l/√3 from the other
	m := 12.0
	near(t, "couple at the end", -aside([]Moment{{0, 0}, {l, m}, {l, 0}}, 0, l, l/math.Sqrt(3)), m*l*l/(9*math.Sqrt(3)*ei))
}

// Before the first and beyond the last moment the bar goes on straight.
func TestBeyondTheLoads(t *testing.T) {
	l := length
	middle := []Moment{{0, 0}, {l / 2, force * l / 4}, {l, 0}}
	slope := force * l * l / (16 * stiffness) // at the supports, same table
	near(t, "beyond", aside(middle, 0, l, l+0.1), 0.1*slope)
	near(t, "before", aside(middle, 0, l, -0.1), 0.1*slope)
	if got := aside(nil, 0, l, l/2); got != 0 {
		t.Errorf("without moments: %g", got)
	}
}
