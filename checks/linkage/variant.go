package linkage

import (
	"math"

	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/spatial/r2"
)

// A linkage as made has its points a little elsewhere on its bodies than drawn. For each pose of the drawn one, the made one is solved
// at the same strokes by Newton's method from there, with the constraints that hold the drawn one. Of cylinders that share a freedom the later ones follow. Where constraints repeat others,
// those left out are then no longer met: by their gap, and
//
//	s·Φ = gap    for every state of self-stress s, sᵀ J = 0, of unit force at the constraint left out,
//
// whatever small motion shares the gap out among the pivots.

// A Place is where a point lies on a body, in the axes of the drawing with the body as drawn.
type Place struct {
	Body, Point int
	At          r2.Vec // m
}

// A Variant is a linkage with points elsewhere on their bodies. It holds room: each goroutine needs its own.
type Variant struct {
	drawn, made *state
	mechanism   Mechanism
	tolerance   float64
	sorted      bool

	misfit, offset, last []float64 // room for approach
}

// Variant prepares the linkage with places instead of those drawn, and with cylinders that are longer from pin to pin at the same stroke
// by so much each (m; nil for none). The error is a Fault.
func (s *Solver) Variant(places []Place, longer []float64) (*Variant, error) {
	if err := s.movable(); err != nil {
		return nil, err
	}
	moved := map[place]r2.Vec{}
	m := s.mechanism
	for _, p := range places {
		if p.Body < 0 || p.Body >= len(m.Bodies) || p.Point < 0 || p.Point >= len(m.Points) || !has(m.Bodies[p.Body], p.Point) {
			return nil, Fault{Kind: UnknownIndex, Points: []int{p.Point}, Bodies: []int{p.Body}}
		}
		if !finite(p.At.X, p.At.Y) {
			return nil, Fault{Kind: NotANumber, Points: []int{p.Point}, Bodies: []int{p.Body}}
		}
		moved[place{s.bodyOf[p.Body], p.Point}] = p.At
	}
	if longer != nil && (len(longer) != len(m.Cylinders) || !finite(longer...)) {
		return nil, Fault{Kind: WrongDrive}
	}
	for i, b := range m.Bodies {
		at := func(p int) r2.Vec {
			if v, elsewhere := moved[place{s.bodyOf[i], p}]; elsewhere {
				return v
			}
			return m.Points[p]
		}
		for k, p := range b.Points {
			for _, q := range b.Points[:k] {
				if r2.Norm(r2.Sub(at(p), at(q))) <= leastPart*s.size {
					return nil, Fault{Kind: PointsCoincide, Points: []int{q, p}, Bodies: []int{i}}
				}
			}
		}
	}
	w, ok := s.start(0, s.followers(0)...)
	if !ok {
		return nil, Fault{Kind: SingularAsDrawn}
	}
	v := &Variant{drawn: w.here, mechanism: m, tolerance: w.tolerance}
	v.made = build(m, s.size, moved).newState(new(Work))
	for i, by := range longer {
		l := &v.made.lines[i]
		if l.closed += by / s.size; l.closed <= 0 {
			return nil, Fault{Kind: NoLength, Cylinders: []int{i}, Points: s.ends[i][:]}
		}
	}
	copy(v.made.follows, w.here.follows)
	v.misfit, v.offset, v.last = make([]float64, v.made.rows), make([]float64, v.made.rows), make([]float64, v.made.cols())
	v.made.evaluate()
	if v.sort(); !v.sorted {
		return nil, Fault{Kind: SingularAsDrawn}
	}
	return v, nil
}

// sort gives the made linkage the constraints that hold the drawn one.
func (v *Variant) sort() {
	x, y := v.drawn, v.made
	p := order(y.matrix(), inUse(x.program, y.rows, y.rows), nil, 0)
	p.dropped = x.program.dropped
	y.use(p)
	v.sorted = p.square()
}

// farthest, as a part of the size and in rad, is how far one step to a variant may lead. Beyond it another branch may be as near.
const farthest = 0.3

// Pose solves the variant at the strokes of a pose of the solver, and writes it to out, for which it makes room where there is none. Its
// Resistance is that of the pose given. A stop says that the variant can't take these strokes on the same branch.
func (v *Variant) Pose(p *Pose, out *Pose) *Stop {
	x, y := v.drawn, v.made
	if out.q == nil {
		*out = y.newPoses(1, len(v.mechanism.Bodies))[0]
	}
	copy(x.q, p.q)
	copy(x.stroke, p.stroke)
	x.evaluate()
	x.factor()
	copy(y.q, p.q)
	copy(y.stroke, p.stroke)
	y.evaluate()
	if x.rows > x.cols() && p.Resistance < weak || !(x.growth < growthLimit) {
		if program := x.choose(v.tolerance); program != nil {
			x.use(program)
			x.factor()
			v.sort()
		}
	}
	if y.factor(); !v.sorted || !(y.growth < growthLimit) {
		v.sort()
	}
	if !v.sorted || !v.approach(p) {
		return &Stop{Reason: Unsolved, Stroke: p.Stroke, Strokes: x.strokes()}
	}
	y.settle()
	for i := range p.Cylinders {
		y.rate[i] = p.Cylinders[i].Rate
		d, _ := y.span(i)
		y.angle[i] = p.Cylinders[i].Angle + math.Remainder(math.Atan2(d.Y, d.X)-p.Cylinders[i].Angle, 2*math.Pi)
	}
	y.derive()
	y.sigma = p.Resistance
	y.write(out, p.Lead)
	return nil
}

// approach solves the variant from a pose of the drawn linkage: at once, or where that leads astray by leaving a smaller and smaller
// part of the misfit (a homotopy), so that the branch is kept.
func (v *Variant) approach(p *Pose) bool {
	const least = 1.0 / 256
	x, y := v.drawn, v.made
	sound := func() bool {
		moved, ok := y.correct()
		return ok && moved < farthest && y.negative == x.negative
	}
	if sound() {
		return true
	}
	copy(y.q, p.q)
	y.evaluate()
	copy(v.misfit, y.phi)
	defer func() { y.offset = nil }()
	y.offset = v.offset
	part, left := 0.25, 1.0
	for left > 0 {
		copy(v.last, y.q)
		next := max(left-part, 0)
		if next < least {
			next = 0
		}
		floats.ScaleTo(y.offset, next, v.misfit)
		if sound() {
			left = next
			part *= 2
			continue
		}
		copy(y.q, v.last)
		if part /= 4; part < least {
			return false
		}
	}
	return true
}

// A Closure is by how much a variant does not close: with as many Gaps as its linkage has constraints too many.
type Closure struct {
	Gaps []float64 // at each constraint left out, with all others met, along the force that would close it, m

	// Pivots are the bodies at each point beyond the one that has the pin, and Stress the forces on them, for each gap, that are in
	// equilibrium without loads and are of one unit where the gap is.
	Pivots []Joint
	Stress [][]r2.Vec

	c, row []float64
}

// Closure computes by how much the variant does not close in the pose that was solved last.
func (v *Variant) Closure(out *Closure) {
	y := v.made
	dropped := y.program.dropped
	if len(out.Pivots) != len(y.pivots) || len(out.Gaps) != len(dropped) {
		*out = Closure{Gaps: make([]float64, len(dropped)), c: make([]float64, len(dropped)*y.rows), row: make([]float64, y.cols())}
		for _, p := range y.pivots {
			out.Pivots = append(out.Pivots, Joint{p.point, y.bodies[p.a.body]})
		}
		for range dropped {
			out.Stress = append(out.Stress, make([]r2.Vec, len(y.pivots)))
		}
	}
	y.evaluate() // derive used the room of phi
	y.follow(out.c, out.row)
	for i, left := range dropped {
		c := out.c[i*y.rows : (i+1)*y.rows]
		gap, whole := y.phi[left], 1.0
		for _, kept := range y.program.rows {
			gap -= c[kept] * y.phi[kept]
		}
		for k, p := range y.pivots {
			s := r2.Vec{X: unit(left, p.row) - c[p.row], Y: unit(left, p.row+1) - c[p.row+1]}
			if out.Stress[i][k] = s; int(left) == p.row || int(left) == p.row+1 {
				whole = r2.Norm(s)
			}
		}
		out.Gaps[i] = gap * y.size / whole
		for k := range out.Stress[i] {
			out.Stress[i][k] = r2.Scale(1/whole, out.Stress[i][k])
		}
	}
}

// unit is 1 for the row left out. Its coefficient in c is 0.
func unit(left int32, row int) float64 {
	if int(left) == row {
		return 1
	}
	return 0
}
