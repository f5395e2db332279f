package sheets

import (
	"cmp"
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r2"
)

// The outline of what pieces cover together: the edge of each is cut where it meets the edges of the others, and of what comes of that, all
// that lies within another piece is left out. Where edges of two pieces lie on each other, the later piece's is left out, and both where
// the pieces are on either side. All in mm.

// touching is how near, in mm, two edges are the same: points of a spec are given to a hundredth, and what is meant to lie on a line does.
const touching = 5e-3

// An edge is a stretch of an outline, counter-clockwise around what it bounds: a line from a to b, or where the radius is not 0, part of a
// circle about a, between two angles.
type edge struct {
	a, b     r2.Vec
	radius   float64
	from, to float64 // rad, from < to
}

// at is the place at a share of the way along an edge.
func (e edge) at(share float64) r2.Vec {
	if e.radius == 0 {
		return r2.Add(e.a, r2.Scale(share, r2.Sub(e.b, e.a)))
	}
	sin, cos := math.Sincos(e.from + share*(e.to-e.from))
	return r2.Add(e.a, r2.Vec{X: e.radius * cos, Y: e.radius * sin})
}

// between is the part of an edge between two shares of its way.
func (e edge) between(from, to float64) edge {
	if e.radius == 0 {
		return edge{a: e.at(from), b: e.at(to)}
	}
	e.from, e.to = e.from+from*(e.to-e.from), e.from+to*(e.to-e.from)
	return e
}

// meets are the shares of the way along an edge at which it meets the line or the whole circle that another is part of.
func (e edge) meets(o edge) (shares []float64) {
	put := func(p r2.Vec) {
		share := 0.0
		if e.radius == 0 {
			along := r2.Sub(e.b, e.a)
			share = r2.Dot(r2.Sub(p, e.a), along) / r2.Norm2(along)
		} else {
			v := r2.Sub(p, e.a)
			angle := math.Atan2(v.Y, v.X) - e.from
			share = (angle - 2*math.Pi*math.Floor(angle/(2*math.Pi))) / (e.to - e.from)
		}
		if share > 0 && share < 1 {
			shares = append(shares, share)
		}
	}
	switch {
	case e.radius == 0 && o.radius == 0:
		u, v := r2.Sub(e.b, e.a), r2.Sub(o.b, o.a)
		if turn := r2.Cross(u, v); math.Abs(turn) > 1e-12*r2.Norm(u)*r2.Norm(v) {
			put(r2.Add(e.a, r2.Scale(r2.Cross(r2.Sub(o.a, e.a), v)/turn, u)))
		}
	case e.radius == 0:
		lineMeets(e, o, put)
	case o.radius == 0:
		lineMeets(o, e, put)
	default:
		apart := r2.Sub(o.a, e.a)
		d := r2.Norm(apart)
		if d < touching || d > e.radius+o.radius+touching {
			return nil
		}
		along := (d*d + e.radius*e.radius - o.radius*o.radius) / (2 * d)
		across := math.Sqrt(max(e.radius*e.radius-along*along, 0))
		way := r2.Scale(1/d, apart)
		for _, side := range []float64{-across, across} {
			put(r2.Add(e.a, r2.Add(r2.Scale(along, way), r2.Scale(side, r2.Vec{X: -way.Y, Y: way.X}))))
		}
	}
	return shares
}

// lineMeets gives the places at which a line meets a circle, one of them twice where it touches.
func lineMeets(line, circle edge, put func(r2.Vec)) {
	way := r2.Unit(r2.Sub(line.b, line.a))
	nearest := r2.Add(line.a, r2.Scale(r2.Dot(r2.Sub(circle.a, line.a), way), way))
	off := r2.Norm(r2.Sub(circle.a, nearest))
	if off > circle.radius+touching {
		return
	}
	half := math.Sqrt(max(circle.radius*circle.radius-off*off, 0))
	put(r2.Add(nearest, r2.Scale(half, way)))
	put(r2.Sub(nearest, r2.Scale(half, way)))
}

// A part is a bar between two places, with round ends, or a polygon, whose corners go around counter-clockwise.
type part struct {
	corners []r2.Vec
	half    float64 // half the width of a bar
}

// partsOf are the pieces, bars one by one.
func partsOf(pieces []piece) (all []part) {
	for _, p := range pieces {
		switch n := len(p.through); {
		case p.width == 0:
			around := slices.Clone(p.through)
			area := 0.0
			for i := range around {
				area += r2.Cross(around[i], around[(i+1)%n])
			}
			if area < 0 {
				slices.Reverse(around)
			}
			all = append(all, part{corners: around})
		case n == 1:
			all = append(all, part{[]r2.Vec{p.through[0], p.through[0]}, p.width / 2})
		default:
			for i := range n - 1 {
				all = append(all, part{p.through[i : i+2], p.width / 2})
			}
		}
	}
	return all
}

func (p part) edges() (all []edge) {
	if p.half == 0 {
		for i, c := range p.corners {
			if next := p.corners[(i+1)%len(p.corners)]; r2.Norm(r2.Sub(next, c)) > touching {
				all = append(all, edge{a: c, b: next})
			}
		}
		return all
	}
	a, b := p.corners[0], p.corners[1]
	along := r2.Sub(b, a)
	if r2.Norm(along) < touching {
		return []edge{{a: a, radius: p.half, from: 0, to: math.Pi}, {a: a, radius: p.half, from: math.Pi, to: 2 * math.Pi}}
	}
	turn := math.Atan2(along.Y, along.X)
	side := r2.Scale(p.half/r2.Norm(along), r2.Vec{X: -along.Y, Y: along.X})
	return []edge{
		{a: r2.Sub(a, side), b: r2.Sub(b, side)}, {a: r2.Add(b, side), b: r2.Add(a, side)},
		{a: a, radius: p.half, from: turn + math.Pi/2, to: turn + 3*math.Pi/2}, {a: b, radius: p.half, from: turn - math.Pi/2, to: turn + math.Pi/2},
	}
}

// off is how far a place is outside of a part, below zero within, and the way out.
func (p part) off(at r2.Vec) (distance float64, out r2.Vec) {
	nearest, within, n := math.Inf(1), false, len(p.corners)
	for i := range n {
		a, b := p.corners[i], p.corners[(i+1)%n]
		along, share := r2.Sub(b, a), 0.0
		if l := r2.Norm2(along); l > 0 {
			share = min(max(r2.Dot(r2.Sub(at, a), along)/l, 0), 1)
		}
		v := r2.Sub(at, r2.Add(a, r2.Scale(share, along)))
		if d := r2.Norm(v); d < nearest {
			nearest, out = d, v
			if p.half == 0 {
				out = r2.Vec{X: along.Y, Y: -along.X}
			}
		}
		if (a.Y > at.Y) != (b.Y > at.Y) && at.X < a.X+(b.X-a.X)*(at.Y-a.Y)/(b.Y-a.Y) {
			within = !within
		}
	}
	switch {
	case p.half > 0:
		return nearest - p.half, out
	case within:
		return -nearest, out
	}
	return nearest, out
}

// outlineOf is the outline of what the pieces cover together.
func outlineOf(pieces []piece) (all []edge) {
	parts := partsOf(pieces)
	var edges [][]edge
	for _, p := range parts {
		edges = append(edges, p.edges())
	}
	for i := range parts {
		for _, e := range edges[i] {
			cuts := []float64{0, 1}
			for k := range parts {
				if k == i {
					continue
				}
				for _, o := range edges[k] {
					cuts = append(cuts, e.meets(o)...)
				}
			}
			slices.SortFunc(cuts, cmp.Compare[float64])
			begun := -1.0 // where what is kept begins
			for c := 1; c < len(cuts); c++ {
				from, to := cuts[c-1], cuts[c]
				if to-from < 1e-9 {
					continue
				}
				kept := !hidden(parts, i, e.between(from, to))
				if kept && begun < 0 {
					begun = from
				}
				if begun >= 0 && !kept {
					all, begun = append(all, e.between(begun, from)), -1
				}
			}
			if begun >= 0 {
				all = append(all, e.between(begun, 1))
			}
		}
	}
	return all
}

// hidden reports whether another part covers a stretch of the edge of one, or has the same edge there.
func hidden(parts []part, of int, e edge) bool {
	middle := e.at(0.5)
	_, out := parts[of].off(middle)
	for k, p := range parts {
		if k == of {
			continue
		}
		d, other := p.off(middle)
		first, _ := p.off(e.at(0))
		last, _ := p.off(e.at(1))
		switch {
		case max(math.Abs(first), math.Abs(d), math.Abs(last)) <= touching:
			if k < of || r2.Dot(out, other) < 0 {
				return true
			}
		case d < 0:
			return true
		}
	}
	return false
}
