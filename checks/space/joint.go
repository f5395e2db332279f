package space

import (
	"math"
	"math/bits"

	"gonum.org/v1/gonum/spatial/r2"
)

// A Joint is where two bodies are held together, such as a pivot: their parts meet there and shall not count as colliding. For parts of
// these two bodies only what lies beyond the radius from the joint is compared: the middle line of a bar, the centre of a circle, the area
// of a polygon (16 straight cuts stand in for the circle, 2 % of the radius inside it at most). A bar that is cut is round at the cut, as
// at its ends, so its outline reaches back by half its width.
type Joint struct {
	Bodies [2]int
	At     [2]r2.Vec // the joint in the frame of each of the two, m
	Radius float64   // m
}

const cuts = 16 // a power of two

// beyond appends what is left of a core beyond a circle, as convex cores.
func beyond(out [][]r2.Vec, core []r2.Vec, centre r2.Vec, radius float64) [][]r2.Vec {
	switch len(core) {
	case 1:
		if r2.Norm(r2.Sub(core[0], centre)) > radius {
			out = append(out, core)
		}
		return out
	case 2:
		return lineBeyond(out, core, centre, radius)
	}
	// Each cut takes off what lies outside one side of the polygon in the circle; the rest goes to the next cut.
	apothem := radius * math.Cos(math.Pi/cuts)
	rest := core
	for i := uint8(0); i < cuts && len(rest) > 0; i++ {
		// Opposite sides come first, then those halfway between: the large parts go whole and slivers are few.
		sin, cos := math.Sincos(2 * math.Pi * float64(bits.Reverse8(i)) / 256)
		n := r2.Vec{X: cos, Y: sin}
		at := r2.Dot(n, centre) + apothem
		if outside := clipped(rest, n, at); len(outside) > 0 {
			out = append(out, outside)
		}
		rest = clipped(rest, r2.Scale(-1, n), -at)
	}
	return out
}

func lineBeyond(out [][]r2.Vec, core []r2.Vec, centre r2.Vec, radius float64) [][]r2.Vec {
	from, way := core[0], r2.Sub(core[1], core[0])
	o := r2.Sub(from, centre)
	// |o + t way|² = radius²
	a, b, c := r2.Norm2(way), r2.Dot(o, way), r2.Norm2(o)-radius*radius
	root := b*b - a*c
	if root <= 0 {
		return append(out, core)
	}
	enter, leave := (-b-math.Sqrt(root))/a, (-b+math.Sqrt(root))/a
	if enter >= 1 || leave <= 0 {
		return append(out, core)
	}
	if enter > 0 {
		out = append(out, []r2.Vec{from, r2.Add(from, r2.Scale(enter, way))})
	}
	if leave < 1 {
		out = append(out, []r2.Vec{r2.Add(from, r2.Scale(leave, way)), core[1]})
	}
	return out
}

// clipped is the part of a convex ring where n·p ≥ at, nil when that has no area.
func clipped(ring []r2.Vec, n r2.Vec, at float64) []r2.Vec {
	var out []r2.Vec
	for i, p := range ring {
		q := ring[next(i, len(ring))]
		dp, dq := r2.Dot(n, p)-at, r2.Dot(n, q)-at
		if dp >= 0 {
			out = append(out, p)
		}
		if dp > 0 && dq < 0 || dp < 0 && dq > 0 {
			out = append(out, r2.Add(p, r2.Scale(dp/(dp-dq), r2.Sub(q, p))))
		}
	}
	if len(out) < 3 || area(out) <= 0 {
		return nil
	}
	return out
}
