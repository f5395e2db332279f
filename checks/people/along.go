package people

// Contact along a link, not only at its ends.
//
//	v(t) = v₀ + t (v₁ − v₀)      on a straight piece of a rigid link
//	|v|² is a quadratic in t: it is largest at an end, and least where v · (v₁ − v₀) = 0, or at an end
//	F = P / |v|                  force by virtual work, P the rods' thrust times their speeds
//	m = 2 E / |v|²               effective mass, E the energy of all that moves
//
// Symbols: t from 0 to 1, share of the way along the piece; v m/s of a place on it. With one freedom the force is largest where |v| is least, and the blow
// where it is largest. Range: the plane of the mechanism; places between the poses of a sweep are not looked at.
//
// Source: kinematics of a rigid body, virtual work.

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r2"
)

// A Part is what is taken of a straight piece, between two shares of its way, 0 to 1.
type Part struct{ From, To float64 }

// InArea are the parts of a straight piece from a to b in a polygon, in order. Corners are in m, in either order; sides must not cross.
func InArea(corners []r2.Vec, a, b r2.Vec) []Part {
	way := r2.Sub(b, a)
	cuts := []float64{0, 1}
	for i, c := range corners {
		side := r2.Sub(corners[(i+1)%len(corners)], c)
		across := r2.Cross(way, side)
		if across == 0 {
			continue // along it: the sides beside it cut
		}
		from := r2.Sub(c, a)
		t, u := r2.Cross(from, side)/across, r2.Cross(from, way)/across
		if t > 0 && t < 1 && u >= 0 && u <= 1 {
			cuts = append(cuts, t)
		}
	}
	slices.Sort(cuts)
	var parts []Part
	for i, to := range cuts[1:] {
		from := cuts[i]
		switch middle := r2.Add(a, r2.Scale((from+to)/2, way)); {
		case to <= from || !inside(corners, middle):
		case len(parts) > 0 && parts[len(parts)-1].To == from:
			parts[len(parts)-1].To = to
		default:
			parts = append(parts, Part{from, to})
		}
	}
	return parts
}

// inside counts the sides that a ray along x crosses.
func inside(corners []r2.Vec, p r2.Vec) bool {
	in := false
	for i, a := range corners {
		b := corners[(i+1)%len(corners)]
		if (a.Y > p.Y) != (b.Y > p.Y) && p.X < a.X+(p.Y-a.Y)/(b.Y-a.Y)*(b.X-a.X) {
			in = !in
		}
	}
	return in
}

// InCircle is the part of a straight piece from a to b within a radius (m) of a centre; false where it passes by.
func InCircle(centre r2.Vec, radius float64, a, b r2.Vec) (Part, bool) {
	from, way := r2.Sub(a, centre), r2.Sub(b, a)
	long := r2.Norm2(way)
	if long == 0 {
		return Part{0, 1}, r2.Norm(from) <= radius
	}
	nearest := -r2.Dot(from, way) / long
	half := radius*radius - r2.Norm2(r2.Add(from, r2.Scale(nearest, way)))
	if half < 0 {
		return Part{}, false
	}
	half = math.Sqrt(half / long)
	p := Part{max(0, nearest-half), min(1, nearest+half)}
	return p, p.To >= p.From
}

// OutsideCircle are the parts of a straight piece from a to b farther than a radius (m) from a centre, in order.
func OutsideCircle(centre r2.Vec, radius float64, a, b r2.Vec) []Part {
	in, cut := InCircle(centre, radius, a, b)
	if !cut {
		return []Part{{0, 1}}
	}
	var parts []Part
	if in.From > 0 {
		parts = append(parts, Part{0, in.From})
	}
	if in.To < 1 {
		parts = append(parts, Part{in.To, 1})
	}
	return parts
}

// Fastest is the place of a part of a straight piece that moves fastest, by the velocities (m/s) of the piece's two ends, and its speed.
func Fastest(p Part, v0, v1 r2.Vec) (t, speed float64) {
	change := r2.Sub(v1, v0)
	from, to := r2.Norm(r2.Add(v0, r2.Scale(p.From, change))), r2.Norm(r2.Add(v0, r2.Scale(p.To, change)))
	if to > from {
		return p.To, to
	}
	return p.From, from
}

// Slowest is the place of a part of a straight piece that moves slowest of those that move as fast as a least speed (m/s) or faster, and its speed; it is
// false where none does.
func Slowest(p Part, v0, v1 r2.Vec, least float64) (t, speed float64, ok bool) {
	fast, most := Fastest(p, v0, v1)
	if most < least {
		return 0, 0, false
	}
	change := r2.Sub(v1, v0)
	k := r2.Norm2(change)
	if k == 0 {
		return fast, most, true
	}
	still := -r2.Dot(v0, change) / k
	t = max(p.From, min(p.To, still))
	if speed = r2.Norm(r2.Add(v0, r2.Scale(t, change))); speed >= least {
		return t, speed, true
	}
	// On the way to the fastest place it is passed where k (t − still)² + the least of all squared makes the least speed.
	rest := r2.Norm2(r2.Add(v0, r2.Scale(still, change)))
	return still + math.Copysign(math.Sqrt(max(0, least*least-rest)/k), fast-still), least, true
}
