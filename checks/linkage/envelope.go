package linkage

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"
)

// Envelope is the smallest box, along x and y, that a point stays in over the poses. Between two poses it takes the way given by
// their places and velocities (a cubic).
func (w *Sweep) Envelope(point int) r2.Box {
	low, high := r2.Vec{X: math.Inf(1), Y: math.Inf(1)}, r2.Vec{X: math.Inf(-1), Y: math.Inf(-1)}
	for k := range w.Poses {
		p := &w.Poses[k]
		at := p.Points[point]
		low = r2.Vec{X: min(low.X, at.X), Y: min(low.Y, at.Y)}
		high = r2.Vec{X: max(high.X, at.X), Y: max(high.Y, at.Y)}
		if k == 0 {
			continue
		}
		o := &w.Poses[k-1]
		h := p.Stroke - o.Stroke
		from, vo, vp := o.Points[point], r2.Scale(h, o.Velocity[point]), r2.Scale(h, p.Velocity[point])
		way, fo, fp := r2.Norm(r2.Sub(at, from)), r2.Norm(vo), r2.Norm(vp)
		vo, vp = shortened(vo, fo, 1.2*max(way, fp)), shortened(vp, fp, 1.2*max(way, fo))
		for _, v := range turning(from.X, vo.X, at.X, vp.X) {
			low.X, high.X = min(low.X, v), max(high.X, v)
		}
		for _, v := range turning(from.Y, vo.Y, at.Y, vp.Y) {
			low.Y, high.Y = min(low.Y, v), max(high.Y, v)
		}
	}
	return r2.Box{Min: low, Max: high}
}

// shortened keeps the length of v at most at the limit. Towards a dead point velocities grow without end, and the cubic would swing
// wide of a way that is smooth; a fifth more than the straight way is an arc of well over a quarter turn.
func shortened(v r2.Vec, length, limit float64) r2.Vec {
	if length <= limit {
		return v
	}
	return r2.Scale(limit/length, v)
}

// turning gives the values at the turning points between 0 and 1 of the cubic with values a, b and slopes u, v at the ends; the
// value at an end stands in for one that isn't there.
func turning(a, u, b, v float64) [2]float64 {
	out := [2]float64{a, b}
	// slope: u + 2 c t + 3 d t²
	c, d := 3*(b-a)-2*u-v, 2*(a-b)+u+v
	root := c*c - 3*d*u
	if root < 0 {
		return out
	}
	w := -(c + math.Copysign(math.Sqrt(root), c))
	for i, t := range [2]float64{w / (3 * d), u / w} {
		if t > 0 && t < 1 {
			out[i] = a + t*(u+t*(c+t*d))
		}
	}
	return out
}
