// Package made compares a linkage as it will be made with the linkage as it was drawn: the pivot spacings that cut lengths, brackets,
// blocks and caps add up to, where a tool ends up with them, and what play or force it takes where links repeat others and are unequal.
//
// # Equations
//
//	made spacing       a = cut + Σ adds         limits add up: least to least, most to most
//	error of a tool    P_made(s) - P_drawn(s)   both solved at the same strokes s, by checks/linkage
//	needed play        c = least c with |r_i| ≤ c at every pivot i, for misfits r_i that close the linkage: Σ s_i·r_i = gap
//	binding force      s λ with the least of ½ Σ |s_i λ|²/k_i - gap λ + Σ c_i |s_i λ|
//
// s are the states of self-stress: forces of the pivots in equilibrium without loads, one for each constraint too many; gap is by
// how much the made linkage misses that constraint with all others met; r_i, c_i and k_i are misfit, radial play and stiffness of a
// pivot. With one state these are c = |gap| / Σ|s_i| and λ = (|gap| - Σ c_i|s_i|) / Σ(|s_i|²/k_i). They hold to first order: for a
// misfit of 1 % of the links to about 1 %. (Compatibility and complementary energy of structures that are statically indeterminate; S. P.
// Timoshenko, D. H. Young, Theory of Structures, from memory.)
//
// # Units and validity
//
// SI: m, N, rad. Bodies are rigid but for the stiffness given at their pivots. Sizes count as independent of each other, and the worst
// case as one where each is at one of its limits.
package made

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r2"

	"trammel.example/checks/linkage"
)

// A Span is a size with its limits, in m. A size that is taken off counts below zero.
type Span struct{ Nominal, Least, Most float64 }

// Exactly is a size without tolerance.
func Exactly(v float64) Span { return Span{v, v, v} }

// Within is a size that may be off by so much both ways.
func Within(v, off float64) Span { return Span{v, v - off, v + off} }

// Plus adds two sizes.
func (a Span) Plus(b Span) Span {
	return Span{a.Nominal + b.Nominal, a.Least + b.Least, a.Most + b.Most}
}

func (a Span) sound() bool {
	for _, v := range []float64{a.Nominal, a.Least, a.Most} {
		if math.IsNaN(v) || math.IsInf(v, 0) {
			return false
		}
	}
	return a.Least <= a.Nominal && a.Nominal <= a.Most
}

// A Spacing is how the distance between two points of a body is made: a length that is cut, and what brackets, blocks and caps add at
// the ends. To then lies on the drawn line from From, at that distance.
type Spacing struct {
	Body, From, To int
	Cut            Span
	Adds           []Span
}

// Made is the spacing that the parts add up to.
func (s Spacing) Made() Span {
	sum := s.Cut
	for _, a := range s.Adds {
		sum = sum.Plus(a)
	}
	return sum
}

// A Shift is by how much a point lies aside of where the body should have it, along x and y of the drawn pose: a bracket that is out
// of line. It comes on top of spacings, and moves that point alone.
type Shift struct {
	Body, Point int
	X, Y        Span
}

// A Length is by how much a cylinder is longer from pin to pin than drawn, at the same stroke: how far a rod end is screwed on, a clevis.
type Length struct {
	Cylinder int
	By       Span
}

// Parts are all sizes that are made. Sizes in results come in this order: those of spacings, x and y of each shift, those of lengths.
type Parts struct {
	Spacings []Spacing
	Shifts   []Shift
	Lengths  []Length
}

// A Machine is a linkage with its made sizes.
type Machine struct {
	solver  *linkage.Solver
	drawn   linkage.Mechanism
	parts   Parts
	order   []int  // of spacings: each after the one that places its From
	sizes   []Span // in the order of Parts
	varying []int  // sizes that have a tolerance
}

// New checks the parts against a linkage. The error is a Fault.
func New(s *linkage.Solver, p Parts) (*Machine, error) {
	m := &Machine{solver: s, drawn: s.Mechanism(), parts: p}
	for i, x := range p.Spacings {
		if x.From == x.To || !m.has(x.Body, x.From) || !m.has(x.Body, x.To) {
			return nil, Fault{Kind: NotOnBody, Part: ASpacing, Index: i, Points: []int{x.From, x.To}}
		}
		sound := x.Cut.sound()
		for _, a := range x.Adds {
			sound = sound && a.sound()
		}
		if made := x.Made(); !sound || !(made.Least > 0) {
			return nil, Fault{Kind: NoLength, Part: ASpacing, Index: i, Points: []int{x.From, x.To}}
		}
		for _, other := range p.Spacings[:i] {
			if other.Body == x.Body && other.To == x.To {
				return nil, Fault{Kind: PlacedTwice, Part: ASpacing, Index: i, Points: []int{x.To}}
			}
		}
		m.sizes = append(m.sizes, x.Made())
	}
	for i, x := range p.Shifts {
		if !m.has(x.Body, x.Point) {
			return nil, Fault{Kind: NotOnBody, Part: AShift, Index: i, Points: []int{x.Point}}
		}
		if !x.X.sound() || !x.Y.sound() {
			return nil, Fault{Kind: NoLength, Part: AShift, Index: i, Points: []int{x.Point}}
		}
		for _, other := range p.Shifts[:i] {
			if other.Body == x.Body && other.Point == x.Point {
				return nil, Fault{Kind: PlacedTwice, Part: AShift, Index: i, Points: []int{x.Point}}
			}
		}
		m.sizes = append(m.sizes, x.X, x.Y)
	}
	for i, x := range p.Lengths {
		if x.Cylinder < 0 || x.Cylinder >= len(m.drawn.Cylinders) {
			return nil, Fault{Kind: NoCylinder, Part: ALength, Index: i}
		}
		y := m.drawn.Cylinders[x.Cylinder]
		ends := []int{y.Rear, y.Front}
		if !x.By.sound() || y.Closed+x.By.Least <= 0 {
			return nil, Fault{Kind: NoLength, Part: ALength, Index: i, Points: ends}
		}
		for _, other := range p.Lengths[:i] {
			if other.Cylinder == x.Cylinder {
				return nil, Fault{Kind: PlacedTwice, Part: ALength, Index: i, Points: ends}
			}
		}
		m.sizes = append(m.sizes, x.By)
	}
	for i, x := range m.sizes {
		if x.Most > x.Least {
			m.varying = append(m.varying, i)
		}
	}
	return m, m.sort()
}

func (m *Machine) has(body, point int) bool {
	return body >= 0 && body < len(m.drawn.Bodies) && slices.Contains(m.drawn.Bodies[body].Points, point)
}

// sort puts spacings in an order in which each finds its From in place.
func (m *Machine) sort() error {
	placed := make([]bool, len(m.parts.Spacings))
	for len(m.order) < len(placed) {
		next := slices.IndexFunc(m.parts.Spacings, func(x Spacing) bool {
			i := slices.IndexFunc(m.parts.Spacings, func(o Spacing) bool { return o.Body == x.Body && o.To == x.To })
			waits := slices.IndexFunc(m.parts.Spacings, func(o Spacing) bool { return o.Body == x.Body && o.To == x.From })
			return !placed[i] && (waits < 0 || placed[waits])
		})
		if next < 0 {
			i := slices.Index(placed, false)
			x := m.parts.Spacings[i]
			return Fault{Kind: InACircle, Part: ASpacing, Index: i, Points: []int{x.From, x.To}}
		}
		placed[next] = true
		m.order = append(m.order, next)
	}
	return nil
}

// places are where the points lie on their bodies for sizes given.
func (m *Machine) places(sizes []float64) (places []linkage.Place) {
	at := map[[2]int]r2.Vec{}
	put := func(body, point int, p r2.Vec) {
		at[[2]int{body, point}] = p
		places = append(places, linkage.Place{Body: body, Point: point, At: p})
	}
	where := func(body, point int) r2.Vec {
		if p, ok := at[[2]int{body, point}]; ok {
			return p
		}
		return m.drawn.Points[point]
	}
	for _, i := range m.order {
		x := m.parts.Spacings[i]
		along := r2.Unit(r2.Sub(m.drawn.Points[x.To], m.drawn.Points[x.From]))
		put(x.Body, x.To, r2.Add(where(x.Body, x.From), r2.Scale(sizes[i], along)))
	}
	for k, x := range m.parts.Shifts {
		i := len(m.parts.Spacings) + 2*k
		put(x.Body, x.Point, r2.Add(where(x.Body, x.Point), r2.Vec{X: sizes[i], Y: sizes[i+1]}))
	}
	return places
}

// longer is by how much each cylinder is longer for sizes given.
func (m *Machine) longer(sizes []float64) []float64 {
	by := make([]float64, len(m.drawn.Cylinders))
	first := len(m.parts.Spacings) + 2*len(m.parts.Shifts)
	for k, x := range m.parts.Lengths {
		by[x.Cylinder] = sizes[first+k]
	}
	return by
}

// A Compared is a made spacing against the drawn one.
type Compared struct {
	Made  Span
	Drawn float64 // m
	Off   float64 // nominal made less drawn, m
	Cut   float64 // the length to cut for the drawn spacing, m; not above zero where the parts at the ends alone are too long
}

// Compare gives each of the spacings as made against the drawn one.
func (m *Machine) Compare() []Compared {
	out := make([]Compared, len(m.parts.Spacings))
	for i, x := range m.parts.Spacings {
		drawn := r2.Norm(r2.Sub(m.drawn.Points[x.To], m.drawn.Points[x.From]))
		off := m.sizes[i].Nominal - drawn
		out[i] = Compared{Made: m.sizes[i], Drawn: drawn, Off: off, Cut: x.Cut.Nominal - off}
	}
	return out
}
