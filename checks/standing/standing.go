// Package standing computes whether a machine that stands on feet tips over or slides.
//
//	reserve   Σ stabilising moments / Σ overturning moments, about the edge of the feet
//	slides    |Σ F_x| against mu N,  N = −Σ F_y
//	tilt      tan α = distance of the centre of mass from the edge / its height, both along the bench
//
// Symbols: F forces onto the machine in the plane of its drawing, N, y up; moments about z, N m; mu friction under the feet; α the slope
// at which it tips by its weight alone, rad.
//
// Range: a stiff base on a stiff level bench, at rest or pushed for long enough to follow: a knock of a few hundredths of a second
// tips less than is reckoned here. Clamps are forces that press down; their own friction at the top is not counted.
//
// Source: statics. A reserve of 1.5 is common practice, no source.
package standing

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/spatial/r2"
)

// A Push is one cause of forces onto the machine: a weight, what the masses set against their acceleration, a load, a clamp.
type Push struct {
	At, Force r2.Vec
	Moment    float64 // about At, N m
}

// Feet are where the machine stands, m.
type Feet struct {
	From, To, Y float64
	Friction    float64
}

// A Result is how it stands.
type Result struct {
	Left         bool    // the edge over which it tips sooner
	Holds, Tips  float64 // moments about that edge that keep it down and that turn it over, N m
	Down, Across float64 // N: the sum that presses on the bench, and the one along it
}

// Reserve is Holds by Tips, infinite where nothing tips it.
func (r Result) Reserve() float64 {
	if r.Tips <= 0 {
		return math.Inf(1)
	}
	return r.Holds / r.Tips
}

// Slides is the force along the bench that friction holds, N, nothing where the machine is lifted.
func (f Feet) Slides(r Result) float64 { return f.Friction * max(0, r.Down) }

// Stand sums the pushes up about both edges. It returns an error for feet without a width.
func (f Feet) Stand(pushes []Push) (Result, error) {
	if !(f.To > f.From) {
		return Result{}, fmt.Errorf("feet must begin before they end, found %g to %g", f.From, f.To)
	}
	var r Result
	for _, p := range pushes {
		r.Down -= p.Force.Y
		r.Across += p.Force.X
	}
	r.Across = math.Abs(r.Across)
	for _, left := range []bool{true, false} {
		edge, sign := r2.Vec{X: f.To, Y: f.Y}, 1.0
		if left {
			edge, sign = r2.Vec{X: f.From, Y: f.Y}, -1
		}
		holds, tips := 0.0, 0.0
		for _, p := range pushes {
			m := sign * (p.Moment + r2.Cross(r2.Sub(p.At, edge), p.Force))
			holds, tips = holds+max(0, m), tips+max(0, -m)
		}
		if one := (Result{left, holds, tips, r.Down, r.Across}); left || one.Reserve() < r.Reserve() || math.IsInf(r.Reserve(), 1) && holds < r.Holds {
			r = one
		}
	}
	return r, nil
}

// Tilt is the slope of the bench, rad, at which a body of this centre of mass tips over the nearer edge of feet this far apart; below
// nothing where it falls by itself.
func Tilt(nearer, height float64) float64 { return math.Atan2(nearer, height) }
