// Package profiles computes what a section has against pull, bending and giving way, from its outline and its holes.
//
// # Equations
//
// Over the sides of a closed polygon, anticlockwise, with c = x₁ y₂ − x₂ y₁ (Green's theorem; holes count with the other sign):
//
//	A = ½ Σ c,   A ȳ = ⅙ Σ (y₁ + y₂) c,   Iₓ = 1/12 Σ (y₁² + y₁ y₂ + y₂²) c,   Iₓᵧ = 1/24 Σ (x₁ y₂ + 2 x₁ y₁ + 2 x₂ y₂ + x₂ y₁) c
//	about the middle Iₓ − A ȳ² …,   I₁,₂ = (Iₓ + Iᵧ)/2 ± √((Iₓ − Iᵧ)²/4 + Iₓᵧ²)
//	free to give sideways under a moment M about x:   σ = M (Iᵧ y − Iₓᵧ x) / D,   E I = E D / Iᵧ,   D = Iₓ Iᵧ − Iₓᵧ²
//
// # Units, validity, source
//
// SI: m, m², m⁴; y is in the plane in which it is bent, x across it. Sections that keep their shape: no warping, no buckling of thin walls. Any
// textbook of mechanics, for instance Gere and Goodno, Mechanics of Materials, chapters 6 and 12.
package profiles

import (
	"fmt"
	"math"
)

// A Corner is in m.
type Corner struct{ X, Y float64 }

// A Shape is an outline with holes; each is closed from its last corner to its first.
type Shape struct {
	Outline []Corner
	Holes   [][]Corner
	// Drilled is the diameter of a hole across it along x, in the middle of its depth; 0 without one. It weakens the section, and hardly
	// makes the member softer.
	Drilled float64
}

// Properties are those of a section about its own middle.
type Properties struct {
	Area    float64 // beside the hole across it
	Depth   float64 // along y
	Wide    float64 // along x
	Centre  Corner
	X, Y    float64 // second moments about the axes along x and along y, m⁴
	Product float64
	Least   float64 // about the axis about which it is least
	Bends   float64 // against bending in the plane of y where it is free to give sideways
	Edge    float64 // Bends by the section modulus, beside the hole across it: σ = M Edge / Bends
	Gross   float64 // area without that hole
}

// round is into how many corners a circle is made.
const round = 120

// Circle is a circle as a polygon of the same area and, to a part in a million, the same second moment.
func Circle(centre Corner, diameter float64) []Corner {
	r := diameter / 2 * math.Sqrt(2*math.Pi/round/math.Sin(2*math.Pi/round))
	all := make([]Corner, round)
	for i := range all {
		sin, cos := math.Sincos(2 * math.Pi * (float64(i) + 0.5) / round)
		all[i] = Corner{centre.X + r*cos, centre.Y + r*sin}
	}
	return all
}

// Box is a rectangle so deep and wide about the origin, its corners rounded by a radius.
func Box(deep, wide, radius float64) []Corner {
	radius = min(radius, deep/2, wide/2)
	if radius <= 0 {
		return []Corner{{-wide / 2, -deep / 2}, {wide / 2, -deep / 2}, {wide / 2, deep / 2}, {-wide / 2, deep / 2}}
	}
	const steps = round / 4
	// Of the same area as the arcs.
	r := radius * math.Sqrt(math.Pi/2/steps/math.Sin(math.Pi/2/steps))
	var all []Corner
	for quarter := range 4 {
		sx, sy := []float64{1, -1, -1, 1}[quarter], []float64{1, 1, -1, -1}[quarter]
		for i := range steps + 1 {
			sin, cos := math.Sincos(math.Pi / 2 * (float64(quarter) + float64(i)/steps))
			all = append(all, Corner{sx*(wide/2-radius) + r*cos, sy*(deep/2-radius) + r*sin})
		}
	}
	return all
}

// Angle is an L with its heel at the origin, one leg along y and one along x.
func Angle(deep, wide, wall float64) []Corner {
	return []Corner{{0, 0}, {wide, 0}, {wide, wall}, {wall, wall}, {wall, deep}, {0, deep}}
}

// A sum is of a polygon, about the origin.
type sum struct{ a, ax, ay, xx, yy, xy float64 }

func of(p []Corner) (s sum) {
	if len(p) == 0 {
		return s
	}
	o := p[0] // near it less is lost
	for i, one := range p {
		b := p[(i+1)%len(p)]
		x1, y1, x2, y2 := one.X-o.X, one.Y-o.Y, b.X-o.X, b.Y-o.Y
		c := x1*y2 - x2*y1
		s.a += c / 2
		s.ax += (x1 + x2) * c / 6
		s.ay += (y1 + y2) * c / 6
		s.yy += (y1*y1 + y1*y2 + y2*y2) * c / 12
		s.xx += (x1*x1 + x1*x2 + x2*x2) * c / 12
		s.xy += (x1*y2 + 2*x1*y1 + 2*x2*y2 + x2*y1) * c / 24
	}
	s.xx += 2*o.X*s.ax + o.X*o.X*s.a
	s.yy += 2*o.Y*s.ay + o.Y*o.Y*s.a
	s.xy += o.X*s.ay + o.Y*s.ax + o.X*o.Y*s.a
	s.ax, s.ay = s.ax+o.X*s.a, s.ay+o.Y*s.a
	if s.a < 0 {
		return sum{-s.a, -s.ax, -s.ay, -s.xx, -s.yy, -s.xy}
	}
	return s
}

func (s sum) plus(o sum, times float64) sum {
	return sum{s.a + times*o.a, s.ax + times*o.ax, s.ay + times*o.ay, s.xx + times*o.xx, s.yy + times*o.yy, s.xy + times*o.xy}
}

// middle shifts a sum to its own middle.
func (s sum) middle() (centre Corner, x, y, xy float64) {
	centre = Corner{s.ax / s.a, s.ay / s.a}
	return centre, s.yy - s.ay*centre.Y, s.xx - s.ax*centre.X, s.xy - s.ax*centre.Y
}

// Properties computes those of a section without a fault.
func (s Shape) Properties() (p Properties) {
	least, most := bounds(s.Outline)
	p.Depth, p.Wide = most.Y-least.Y, most.X-least.X
	gross := s.sum(func(c []Corner) []Corner { return c })
	p.Centre, p.X, p.Y, p.Product = gross.middle()
	p.Gross, p.Area = gross.a, gross.a
	if math.Abs(p.Product) < 1e-9*math.Sqrt(p.X*p.Y) {
		p.Product = 0 // what rounding leaves of one that is even
	}
	d := p.X*p.Y - p.Product*p.Product
	p.Least = (p.X+p.Y)/2 - math.Hypot((p.X-p.Y)/2, p.Product)
	p.Bends = d / p.Y
	net, edges := gross, s.Outline
	if s.Drilled > 0 {
		middle := (least.Y + most.Y) / 2
		above := func(c []Corner) []Corner { return cut(c, middle+s.Drilled/2, 1) }
		below := func(c []Corner) []Corner { return cut(c, middle-s.Drilled/2, -1) }
		net = s.sum(above).plus(s.sum(below), 1)
		edges = append(above(s.Outline), below(s.Outline)...)
		p.Area = net.a
	}
	centre, x, y, xy := net.middle()
	worst := 0.0
	for _, c := range edges {
		worst = max(worst, math.Abs(y*(c.Y-centre.Y)-xy*(c.X-centre.X)))
	}
	p.Edge = p.Bends * worst / (x*y - xy*xy)
	return p
}

func (s Shape) sum(part func([]Corner) []Corner) sum {
	all := of(part(s.Outline))
	for _, h := range s.Holes {
		all = all.plus(of(part(h)), -1)
	}
	return all
}

// cut leaves what lies on one side of a line along x. Of a hollow outline both parts stay joined along that line, which adds nothing.
func cut(p []Corner, y, side float64) (kept []Corner) {
	for i, a := range p {
		b := p[(i+1)%len(p)]
		in, next := (a.Y-y)*side >= 0, (b.Y-y)*side >= 0
		if in {
			kept = append(kept, a)
		}
		if in != next {
			kept = append(kept, Corner{a.X + (b.X-a.X)*(y-a.Y)/(b.Y-a.Y), y})
		}
	}
	return kept
}

func bounds(p []Corner) (least, most Corner) {
	least, most = p[0], p[0]
	for _, c := range p {
		least, most = Corner{min(least.X, c.X), min(least.Y, c.Y)}, Corner{max(most.X, c.X), max(most.Y, c.Y)}
	}
	return least, most
}

// A Kind says what is wrong with a shape.
type Kind int

const (
	Crosses Kind = iota // the sides of one ring: from its corners A and B
	Twice               // a ring has its corners A and B, one after the other, at one place
	Flat                // a ring encloses nothing
	Outside             // a hole reaches out of the outline, or touches it
	Meet                // two holes A and B
	Through             // the hole across it leaves nothing
)

// A Fault is what is wrong with a shape. Hole is the ring, -1 the outline; A and B are corners, or of Meet the holes.
type Fault struct {
	Kind       Kind
	Hole, A, B int
}

func (f *Fault) Error() string {
	return fmt.Sprintf("shape: fault %d of ring %d, %d and %d", f.Kind, f.Hole, f.A, f.B)
}

// Check finds the first fault of a shape; nil without one.
func (s Shape) Check() *Fault {
	rings := append([][]Corner{s.Outline}, s.Holes...)
	for i, r := range rings {
		if flat(r) {
			return &Fault{Flat, i - 1, 0, 0}
		}
		if f := crosses(r, i-1); f != nil {
			return f
		}
	}
	for i, h := range s.Holes {
		if touch(h, s.Outline) || !inside(h[0], s.Outline) {
			return &Fault{Outside, i, 0, 0}
		}
		for k, other := range s.Holes[:i] {
			if touch(h, other) || inside(h[0], other) || inside(other[0], h) {
				return &Fault{Meet, i, k, i}
			}
		}
	}
	if least, most := bounds(s.Outline); s.Drilled >= most.Y-least.Y {
		return &Fault{Through, -1, 0, 0}
	}
	return nil
}

// flat reports whether all corners of a ring lie on one line.
func flat(r []Corner) bool {
	far := r[0]
	for _, c := range r {
		if math.Hypot(c.X-r[0].X, c.Y-r[0].Y) > math.Hypot(far.X-r[0].X, far.Y-r[0].Y) {
			far = c
		}
	}
	size := math.Hypot(far.X-r[0].X, far.Y-r[0].Y)
	for _, c := range r {
		if math.Abs(side(r[0], far, c)) > 1e-9*size*size {
			return false
		}
	}
	return true
}

// side is twice the area of a triangle: positive where it goes anticlockwise.
func side(p, q, r Corner) float64 { return (q.X-p.X)*(r.Y-p.Y) - (q.Y-p.Y)*(r.X-p.X) }

func meet(p, q, r, s Corner) bool {
	if max(p.X, q.X) < min(r.X, s.X) || max(r.X, s.X) < min(p.X, q.X) || max(p.Y, q.Y) < min(r.Y, s.Y) || max(r.Y, s.Y) < min(p.Y, q.Y) {
		return false
	}
	return side(p, q, r)*side(p, q, s) <= 0 && side(r, s, p)*side(r, s, q) <= 0
}

func crosses(r []Corner, ring int) *Fault {
	n := len(r)
	for i := range n {
		if r[i] == r[(i+1)%n] {
			return &Fault{Twice, ring, i, (i + 1) % n}
		}
	}
	for i := range n {
		a, b := r[i], r[(i+1)%n]
		// A side that comes back on the one before it.
		if c := r[(i+2)%n]; side(a, b, c) == 0 && (b.X-a.X)*(c.X-b.X)+(b.Y-a.Y)*(c.Y-b.Y) < 0 && n > 2 {
			return &Fault{Crosses, ring, i, (i + 1) % n}
		}
		for k := i + 2; k < n; k++ {
			if (k+1)%n != i && meet(a, b, r[k], r[(k+1)%n]) {
				return &Fault{Crosses, ring, i, k}
			}
		}
	}
	return nil
}

func touch(a, b []Corner) bool {
	for i, p := range a {
		for k, r := range b {
			if meet(p, a[(i+1)%len(a)], r, b[(k+1)%len(b)]) {
				return true
			}
		}
	}
	return false
}

func inside(p Corner, ring []Corner) (in bool) {
	for i, a := range ring {
		b := ring[(i+1)%len(ring)]
		if (a.Y > p.Y) != (b.Y > p.Y) && p.X < a.X+(p.Y-a.Y)/(b.Y-a.Y)*(b.X-a.X) {
			in = !in
		}
	}
	return in
}
