package space

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/mathext"
	"gonum.org/v1/gonum/spatial/r2"
)

// Hoses between moving points.
//
//	circular arc    c = 2 R sin(L / 2R)
//	elastic curve   c = L (2 E(m)/K(m) - 1)        R = L / (4 √m K(m))
//
// Symbols: L free length m, c chord m, R bend radius m, K and E complete elliptic integrals of the parameter m.
// Range: a hose that is straight when nothing holds it, in one plane, without weight, pressure or twist.
//
// By Schur's comparison theorem no curve of length L between points a chord c apart can be straighter everywhere than the arc, so its
// radius is the best that any routing can have. The elastic curve (Euler's elastica, its ends free to swivel) is tightest in its middle.
// Ends that are held in a direction bend a hose tighter still. Source: both from memory; texts on the elastica have the formulas.

// A HoseEnd is where a hose is held.
type HoseEnd struct {
	Body int
	At   r2.Vec  // in the body's frame, m
	Z    float64 // m
}

// A Hose hangs between two points; its free length (m) is measured between them.
type Hose struct {
	Ends   [2]HoseEnd
	Length float64
}

// A HoseReach is what a hose has to bear over a sweep.
type HoseReach struct {
	Longest, LongestS float64 // straight distance of the ends, m, and where that is
	Nearest, NearestS float64

	// Bend radii where the ends are nearest, m: the largest that any routing can have and that in the middle of a hose whose ends swivel.
	// Both are infinite where the hose is straight or too short.
	Widest, Free float64
}

// Hose finds how far apart and how near the ends of a hose come, to the tolerance (m; 0 stands for 0.01 mm), and how tightly it is bent
// then. The error says which number is no good.
func (s *Space) Hose(h Hose, tolerance float64) (HoseReach, error) {
	if err := positive("the length of a hose", h.Length); err != nil {
		return HoseReach{}, err
	}
	for i, end := range h.Ends {
		if end.Body < 0 || end.Body >= s.motion.bodies() {
			return HoseReach{}, fmt.Errorf("end %d of a hose is on body %d, the sweep has poses of %d bodies, counted from 0", i+1, end.Body, s.motion.bodies())
		}
		if !isFinite(end.At.X) || !isFinite(end.At.Y) || !isFinite(end.Z) {
			return HoseReach{}, fmt.Errorf("end %d of a hose is at (%g, %g, %g), all numbers must be finite", i+1, end.At.X, end.At.Y, end.Z)
		}
	}
	way := 0.0
	for k := range len(s.motion.S) - 1 {
		way = max(way, s.speed(h.Ends[0], k)+s.speed(h.Ends[1], k))
	}
	tolerance, err := tolerable("a hose's search", tolerance, way)
	if err != nil {
		return HoseReach{}, err
	}
	rise := h.Ends[1].Z - h.Ends[0].Z
	far, farAt := s.spread(h, tolerance, 1)
	near, nearAt := s.spread(h, tolerance, -1)
	out := HoseReach{Longest: math.Hypot(far, rise), LongestS: farAt, Nearest: math.Hypot(near, rise), NearestS: nearAt}
	out.Widest, out.Free = BendRadii(h.Length, out.Nearest)
	return out, nil
}

// speed of a hose's end from a step to the next is no more than this.
func (s *Space) speed(end HoseEnd, k int) float64 {
	w := s.way(end.Body, k)
	return w.speed + r2.Norm(end.At)*w.spin
}

// spread is the largest (sign 1) or least (sign -1) distance of the ends in the plane, and where that is.
func (s *Space) spread(h Hose, tolerance, sign float64) (best, at float64) {
	last := len(s.motion.S) - 1
	way := func(k int, u float64) r2.Vec {
		var p [2]r2.Vec
		for i, end := range h.Ends {
			if u == 0 || u == 1 {
				p[i] = s.frames[end.Body*(last+1)+k+int(u)].place(end.At)
			} else {
				p[i] = s.way(end.Body, k).at(u).frame().place(end.At)
			}
		}
		return r2.Sub(p[1], p[0])
	}
	found, place := math.Inf(-1), 0.0
	take := func(v r2.Vec, x float64) {
		if d := sign * r2.Norm(v); d > found {
			found, place = d, x
		}
	}
	for k := range last + 1 {
		take(way(k, 0), float64(k))
	}
	type span struct {
		from, to float64
		at       [2]r2.Vec
	}
	for k := range last {
		speed, bend := s.speed(h.Ends[0], k)+s.speed(h.Ends[1], k), 0.0
		for _, end := range h.Ends {
			w := s.way(end.Body, k)
			bend += w.bend + r2.Norm(end.At)*w.turnBend
		}
		var stack [depth]span
		stack[0] = span{0, 1, [2]r2.Vec{way(k, 0), way(k, 1)}}
		for n := 1; n > 0; {
			n--
			v := stack[n]
			if min(slopeBound(v.at, sign, speed*(v.to-v.from)), curveBound(v.at, sign, bend*(v.to-v.from)*(v.to-v.from)/8)) <= found+tolerance {
				continue
			}
			mid := (v.from + v.to) / 2
			w := way(k, mid)
			take(w, float64(k)+mid)
			stack[n], stack[n+1] = span{mid, v.to, [2]r2.Vec{w, v.at[1]}}, span{v.from, mid, [2]r2.Vec{v.at[0], w}}
			n += 2
		}
	}
	return math.Abs(found), s.parameter(place)
}

func slopeBound(at [2]r2.Vec, sign, moved float64) float64 {
	return (sign*(r2.Norm(at[0])+r2.Norm(at[1])) + moved) / 2
}

func curveBound(at [2]r2.Vec, sign, bend float64) float64 {
	a, b := r2.Norm(at[0]), r2.Norm(at[1])
	if sign > 0 {
		return max(a, b) + bend // a way that is nearly straight has its far ends as its farthest points
	}
	if a == 0 || b == 0 {
		return 0
	}
	both := r2.Dot(at[0], at[1])
	return bend - max(min(a, both/a), min(b, both/b))
}

// BendRadii gives the bend radii (m) of a hose of a length between two points a chord apart: the largest that any routing can have, and
// that in the middle of a hose whose ends swivel. Both are infinite when the chord is as long as the hose or longer, and not a number
// for a length that isn't above zero or a chord below zero.
func BendRadii(length, chord float64) (widest, free float64) {
	if !(length > 0 && chord >= 0) {
		return math.NaN(), math.NaN()
	}
	if chord >= length {
		return math.Inf(1), math.Inf(1)
	}
	x := falling(math.Pi, chord/length, func(x float64) float64 { return math.Sin(x) / x })
	m := falling(1, chord/length, func(m float64) float64 { return 2*mathext.CompleteE(m)/mathext.CompleteK(m) - 1 })
	return length / (2 * x), length / (4 * math.Sqrt(m) * mathext.CompleteK(m))
}

// falling finds where a function that falls between 0 and to has a value.
func falling(to, value float64, f func(float64) float64) float64 {
	from := 0.0
	for {
		mid := (from + to) / 2
		if mid <= from || mid >= to {
			return mid
		}
		if f(mid) > value {
			from = mid
		} else {
			to = mid
		}
	}
}
