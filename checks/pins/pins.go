// Package pins computes what a pin bears that goes through several parts, each of which presses on it.
//
// # Equations
//
//	V(z) = −∫ q dz,  M(z) = ∫ V dz     q the force across the pin by its length, of each part even over its thickness
//	σ = 32 M / (π d³)                   bending stress at the surface of a round pin
//	τ = 4/3 V / A,  A = π d² / 4        shear stress in the middle of a round pin
//	p = F / (d t)                       pressure in a hole, on its projected area
//
// Where the pin has a thread, d is that of its core in bending, and that of a circle with its stress area in shear.
//
// A body that has several layers on the pin shares its force evenly among them; but one, the holder, keeps the pin straight: its layers get
// what a stiff pin on equally stiff seats gives them, f = a + b z. A holder of a single layer is taken as two of half its thickness.
// For an eye in a fork this gives the handbook's M = F/8 (eye + 2 cheek).
//
// # Units, validity, source
//
// SI: m, N, N m, Pa. Pins with play in their holes, longer than they are thick (statics; any handbook, for instance Roloff and Matek,
// Maschinenelemente, pins and bolts; Hibbeler, Mechanics of Materials, for shear).
package pins

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"
)

// A Layer is where a body sits on the pin: the middle of its thickness, and that.
type Layer struct {
	At, Thick float64
	Body      int // of the loads; see Load
}

// A Load is what a pin bears: the layers, sorted along it, and the force of each body on the pin, N. That of the holder follows from the
// others.
type Load struct {
	Layers []Layer
	Forces []r2.Vec
	Holder int
	Thread Thread
}

// A Thread lies on a pin from one place along it to another; none has no length.
type Thread struct{ From, To float64 }

func (t Thread) has(z float64) bool { return t.From < t.To && z >= t.From && z <= t.To }

// A Result is what is largest along a pin, on the whole of it and in its thread. Layers are the forces of the layers on the pin.
type Result struct {
	Largest
	InThread Largest
	Layers   []r2.Vec
}

// A Largest is the largest of bending moment (N m) and shear force (N), and where the moment is.
type Largest struct {
	Bending, Shear float64
	BendingAt      float64
}

func (l *Largest) raise(z, shear, bends float64) {
	l.Shear = max(l.Shear, shear)
	if bends > l.Bending*(1+1e-12) {
		l.Bending, l.BendingAt = bends, z
	}
}

// parts is in how many pieces a layer is looked at; an even number has its middle.
const parts = 8

// Bear computes what the pin bears. The room of into is used again.
func (l Load) Bear(into Result) Result {
	r := Result{Layers: append(into.Layers[:0], make([]r2.Vec, len(l.Layers))...)}
	var sum, turn r2.Vec // of all but the holder: force, and force times place
	held, middle := 0, 0.0
	for i, a := range l.Layers {
		if a.Body == l.Holder {
			held++
			middle += a.At
			continue
		}
		f := r2.Scale(1/float64(l.count(a.Body)), l.Forces[a.Body])
		r.Layers[i] = f
		sum, turn = r2.Add(sum, f), r2.Add(turn, r2.Scale(a.At, f))
	}
	if held == 0 {
		return r
	}
	middle /= float64(held)
	spread := 0.0
	for _, a := range l.Layers {
		if a.Body == l.Holder {
			spread += (a.At - middle) * (a.At - middle)
		}
	}
	// The holder's forces together are −sum, and their turning about its middle is −(turn − middle sum).
	even := r2.Scale(-1/float64(held), sum)
	moment := r2.Scale(-1, r2.Sub(turn, r2.Scale(middle, sum)))
	stretches := make([]stretch, 0, len(l.Layers)+1)
	for i, a := range l.Layers {
		switch {
		case a.Body != l.Holder:
			stretches = append(stretches, stretch{a.At - a.Thick/2, a.Thick, r.Layers[i]})
		case held == 1:
			r.Layers[i] = even
			couple := r2.Scale(2/a.Thick, moment)
			half := r2.Scale(0.5, even)
			stretches = append(stretches, stretch{a.At - a.Thick/2, a.Thick / 2, r2.Sub(half, couple)}, stretch{a.At, a.Thick / 2, r2.Add(half, couple)})
		default:
			r.Layers[i] = r2.Add(even, r2.Scale((a.At-middle)/spread, moment))
			stretches = append(stretches, stretch{a.At - a.Thick/2, a.Thick, r.Layers[i]})
		}
	}
	r.along(stretches, l.Thread)
	return r
}

func (l Load) count(body int) int {
	n := 0
	for _, a := range l.Layers {
		if a.Body == body {
			n++
		}
	}
	return n
}

// A stretch is a force that is even over a part of the pin.
type stretch struct {
	from, long float64
	force      r2.Vec
}

func (r *Result) along(all []stretch, thread Thread) {
	var shear, moment r2.Vec
	at := all[0].from
	// follow goes on to a place, under a force that presses evenly on the way.
	follow := func(to float64, presses r2.Vec, pieces int) {
		long := to - at
		look := func(part float64) {
			v := r2.Add(shear, r2.Scale(-part, presses))
			z, cut, bends := at+long*part, r2.Norm(v), r2.Norm(r2.Add(moment, r2.Scale(long*part/2, r2.Add(shear, v))))
			r.raise(z, cut, bends)
			if thread.has(z) {
				r.InThread.raise(z, cut, bends)
			}
		}
		for i := 1; i <= pieces; i++ {
			look(float64(i) / float64(pieces))
		}
		for _, end := range [2]float64{thread.From, thread.To} {
			if thread.has(end) && end >= at && end < to {
				look((end - at) / long)
			}
		}
		after := r2.Sub(shear, presses)
		moment = r2.Add(moment, r2.Scale(long/2, r2.Add(shear, after)))
		shear, at = after, to
	}
	for _, s := range all {
		follow(s.from, r2.Vec{}, 1)
		follow(s.from+s.long, s.force, parts)
	}
}

// BendingStress is that at the surface of a round pin.
func BendingStress(moment, diameter float64) float64 {
	return 32 * moment / (math.Pi * diameter * diameter * diameter)
}

// ShearStress is the largest in a round pin.
func ShearStress(force, diameter float64) float64 {
	return 16 * force / (3 * math.Pi * diameter * diameter)
}
