package space

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"
)

// A gap is the distance of two cores, below zero where they overlap, with its direction from the first to the second.
type gap struct {
	d float64
	n r2.Vec
}

// between finds the gap of two convex cores and the points where it is: b = a + d n.
func between(p, q []r2.Vec) (g gap, a, b r2.Vec) {
	if len(p) == 1 {
		if g, b, apart := fromPoint(p[0], q); apart {
			return g, p[0], b
		}
	}
	least := math.Inf(1)
	if len(p) == 1 && len(q) == 1 {
		a, b = p[0], q[0]
		least = r2.Norm2(r2.Sub(b, a))
	}
	for i, sides := 0, sides(p); i < sides; i++ {
		from, to := p[i], p[next(i, len(p))]
		for _, c := range q {
			if near, d := nearest(from, to, c); d < least {
				least, a, b = d, near, c
			}
		}
	}
	for j, sides := 0, sides(q); j < sides; j++ {
		from, to := q[j], q[next(j, len(q))]
		for _, c := range p {
			if near, d := nearest(from, to, c); d < least {
				least, a, b = d, c, near
			}
		}
	}
	if d := math.Sqrt(least); d > 0 {
		n := r2.Scale(1/d, r2.Sub(b, a))
		// The direction of the nearest points parts the cores, or they overlap and nothing does.
		if support(q, n) > -support(p, r2.Vec{X: -n.X, Y: -n.Y}) {
			return gap{d, n}, a, b
		}
	}
	return overlap(p, q)
}

// fromPoint is between for a point and a core that it lies outside of: most of what a search for an envelope does.
func fromPoint(p r2.Vec, q []r2.Vec) (g gap, near r2.Vec, apart bool) {
	least := math.Inf(1)
	if len(q) == 1 {
		near = q[0]
		least = r2.Norm2(r2.Sub(near, p))
	}
	for j, sides := 0, sides(q); j < sides; j++ {
		if on, d := nearest(q[j], q[next(j, len(q))], p); d < least {
			least, near = d, on
		}
	}
	d := math.Sqrt(least)
	if !(d > 0) {
		return gap{}, near, false
	}
	n := r2.Scale(1/d, r2.Sub(near, p))
	return gap{d, n}, near, support(q, n) > n.X*p.X+n.Y*p.Y
}

// sides of a core: a line has one, which between goes over from both of its ends.
func sides(core []r2.Vec) int {
	if len(core) < 3 {
		return len(core) - 1
	}
	return len(core)
}

func next(i, n int) int {
	if i++; i < n {
		return i
	}
	return 0
}

// nearest is the point of a line between two points that is nearest to c, and the square of its distance.
func nearest(from, to, c r2.Vec) (r2.Vec, float64) {
	ex, ey := to.X-from.X, to.Y-from.Y
	cx, cy := c.X-from.X, c.Y-from.Y
	t := ex*cx + ey*cy
	if t <= 0 {
		return from, cx*cx + cy*cy
	}
	l := ex*ex + ey*ey
	if t >= l {
		cx, cy = c.X-to.X, c.Y-to.Y
		return to, cx*cx + cy*cy
	}
	// The distance from the line is a quotient of its own: differences of places would lose digits in it.
	across := ex*cy - ey*cx
	return r2.Vec{X: from.X + ex*(t/l), Y: from.Y + ey*(t/l)}, across * across / l
}

// support is how far along n the core begins.
func support(core []r2.Vec, n r2.Vec) float64 {
	least := n.X*core[0].X + n.Y*core[0].Y
	for _, c := range core[1:] {
		least = min(least, n.X*c.X+n.Y*c.Y)
	}
	return least
}

// along is the gap of two cores along a direction, at most their distance.
func along(n r2.Vec, p, q []r2.Vec) float64 {
	return support(q, n) + support(p, r2.Vec{X: -n.X, Y: -n.Y})
}

// overlap finds the direction in which two cores that overlap come apart soonest. It is the normal of one of their sides, since the
// differences of their points fill a convex polygon with just these normals.
func overlap(p, q []r2.Vec) (g gap, a, b r2.Vec) {
	g = gap{math.Inf(-1), r2.Vec{X: 1}}
	try := func(n r2.Vec) {
		if d := along(n, p, q); d > g.d {
			g = gap{d, n}
		}
	}
	for _, core := range [2][]r2.Vec{p, q} {
		for i := range core {
			e := r2.Sub(core[next(i, len(core))], core[i])
			if l := r2.Norm(e); l > 0 {
				n := r2.Vec{X: e.Y / l, Y: -e.X / l}
				try(n)
				try(r2.Vec{X: -n.X, Y: -n.Y})
			}
		}
	}
	if math.IsInf(g.d, -1) {
		return gap{0, r2.Vec{X: 1}}, p[0], q[0] // two points in the same place
	}
	b = q[0] // the corner that is deepest in the other core
	for _, c := range q[1:] {
		if r2.Dot(g.n, c) < r2.Dot(g.n, b) {
			b = c
		}
	}
	return g, r2.Sub(b, r2.Scale(g.d, g.n)), b
}
