package linkage

import (
	"math"
	"slices"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
)

// Rates against central differences of the poses beside, at random linkages.
func TestRatesAgainstDifferences(t *testing.T) {
	for n, r := range randomMachines(t) {
		s := mustNew(t, r.mechanism())
		stroke := r.Cylinders[0].Stroke
		at := slices.Clone(r.Strokes)
		at[0] = min(max(at[0], 0.01*stroke), 0.99*stroke)
		h := 2e-4 * stroke
		pose := func(by float64) *Pose {
			strokes := slices.Clone(at)
			strokes[0] += by
			p, stop, err := s.PoseAt(strokes, 0)
			if stop != nil || err != nil {
				t.Fatalf("machine %d: stop %+v, error %v", n, stop, err)
			}
			return p
		}
		p, back2, back, on, on2 := pose(0), pose(-2*h), pose(-h), pose(h), pose(2*h)
		// Five points: the error goes with the fourth power of the step.
		check := func(what string, got, tolerance float64, f func(p *Pose) float64) {
			t.Helper()
			near(t, what, got, (8*(f(on)-f(back))-f(on2)+f(back2))/(12*h), tolerance*(1+math.Abs(got)))
		}
		for i := range p.Points {
			check("dx/ds", p.Velocity[i].X, 1e-6, func(p *Pose) float64 { return p.Points[i].X })
			check("dy/ds", p.Velocity[i].Y, 1e-6, func(p *Pose) float64 { return p.Points[i].Y })
			check("d²x/ds²", p.Acceleration[i].X, 1e-5, func(p *Pose) float64 { return p.Velocity[i].X })
			check("d²y/ds²", p.Acceleration[i].Y, 1e-5, func(p *Pose) float64 { return p.Velocity[i].Y })
		}
		for i := range p.Angles {
			check("dθ/ds", p.AngleRate[i], 1e-6, func(p *Pose) float64 { return p.Angles[i] })
			check("d²θ/ds²", p.AngleBend[i], 1e-5, func(p *Pose) float64 { return p.AngleRate[i] })
		}
		for i := range p.Cylinders {
			check("dφ/ds", p.Cylinders[i].AngleRate, 1e-6, func(p *Pose) float64 { return p.Cylinders[i].Angle })
		}
		c := r.loadCase()
		for i := range s.mechanism.Bodies {
			s.mechanism.Bodies[i].Inertia = 0.1 + 0.01*float64(i)
		}
		for i := range s.mechanism.Cylinders {
			c := &s.mechanism.Cylinders[i]
			c.BodyMass, c.BodyCentre, c.RodMass, c.RodCentre = 0.7, 0.11, 0.3, 0.05
		}
		_, slope := s.EffectiveMass(p, &c)
		check("dm/ds", slope, 1e-5, func(p *Pose) float64 { mass, _ := s.EffectiveMass(p, &c); return mass })
		weights := Case{Gravity: c.Gravity}
		check("potential energy", s.HoldingThrust(p, &weights), 1e-6, func(p *Pose) float64 { return s.potential(p, c.Gravity) })
	}
}

// potential is the energy of all masses in the field of gravity, J.
func (s *Solver) potential(p *Pose, gravity r2.Vec) float64 {
	sum := 0.0
	for i, b := range s.mechanism.Bodies {
		if !b.Ground {
			sum -= b.Mass * r2.Dot(gravity, s.placeOf(p, i, b.Centre))
		}
	}
	for i, c := range s.mechanism.Cylinders {
		u := polar(1, p.Cylinders[i].Angle)
		sum -= c.BodyMass * r2.Dot(gravity, r2.Add(p.Points[c.Rear], r2.Scale(c.BodyCentre, u)))
		sum -= c.RodMass * r2.Dot(gravity, r2.Sub(p.Points[c.Front], r2.Scale(c.RodCentre, u)))
	}
	return sum
}

// A change of place, size or order, or a mirror, changes the facts only as it must.
func TestSymmetries(t *testing.T) {
	turn := polar(1, 0.7)
	for _, row := range []struct {
		name   string
		place  func(r2.Vec) r2.Vec
		linear func(r2.Vec) r2.Vec
		scale  float64
		mirror float64
	}{
		{"moved", func(p r2.Vec) r2.Vec { return r2.Add(p, r2.Vec{X: 12, Y: -7}) }, func(v r2.Vec) r2.Vec { return v }, 1, 1},
		{"turned", func(p r2.Vec) r2.Vec { return rotate(p, turn) }, func(v r2.Vec) r2.Vec { return rotate(v, turn) }, 1, 1},
		{"mirrored", flip, flip, 1, -1},
		{"as large as a crane", func(p r2.Vec) r2.Vec { return r2.Scale(100, p) }, func(v r2.Vec) r2.Vec { return v }, 100, 1},
		{"as small as a watch", func(p r2.Vec) r2.Vec { return r2.Scale(0.01, p) }, func(v r2.Vec) r2.Vec { return v }, 0.01, 1},
	} {
		for n, r := range randomMachines(t) {
			if n%3 != 0 {
				continue
			}
			m, c := r.mechanism(), r.loadCase()
			other := m
			other.Points, other.Bodies, other.Cylinders = slices.Clone(m.Points), slices.Clone(m.Bodies), slices.Clone(m.Cylinders)
			for i := range other.Points {
				other.Points[i] = row.place(m.Points[i])
			}
			for i := range other.Bodies {
				other.Bodies[i].Centre = row.place(m.Bodies[i].Centre)
			}
			strokes := slices.Clone(r.Strokes)
			for i := range other.Cylinders {
				other.Cylinders[i].Closed *= row.scale
				other.Cylinders[i].Stroke *= row.scale
				strokes[i] *= row.scale
			}
			oc := Case{Gravity: row.linear(c.Gravity)}
			for _, l := range c.Loads {
				oc.Loads = append(oc.Loads, Load{l.Point, row.linear(l.Force), l.Mass})
			}
			p, f, joints := solved(t, m, c, r.Strokes)
			q, g, _ := solved(t, other, oc, strokes)
			for i := range p.Points {
				want := row.place(p.Points[i])
				near(t, row.name+" x", q.Points[i].X, want.X, 1e-8*row.scale)
				near(t, row.name+" y", q.Points[i].Y, want.Y, 1e-8*row.scale)
			}
			for i := range p.Angles {
				near(t, row.name+" angle", q.Angles[i], row.mirror*p.Angles[i], 1e-8)
			}
			near(t, row.name+" resistance", q.Resistance, p.Resistance, 1e-5*p.Resistance)
			for j := range joints {
				want := row.linear(f.Reactions[j])
				near(t, row.name+" reaction", r2.Norm(r2.Sub(g.Reactions[j], want)), 0, 1e-6*(1+r2.Norm(want)))
			}
		}
	}
}

func rotate(p, by r2.Vec) r2.Vec { return r2.Vec{X: by.X*p.X - by.Y*p.Y, Y: by.Y*p.X + by.X*p.Y} }
func flip(p r2.Vec) r2.Vec       { return r2.Vec{X: -p.X, Y: p.Y} }

func solved(t *testing.T, m Mechanism, c Case, strokes []float64) (*Pose, *Forces, []Joint) {
	t.Helper()
	s := mustNew(t, m)
	p, stop, err := s.PoseAt(strokes, 0)
	if err != nil || stop != nil {
		t.Fatalf("stop %+v, error %v", stop, err)
	}
	statics, err := s.Statics(c)
	if err != nil {
		t.Fatal(err)
	}
	var f Forces
	if err := statics.Hold(p, Standing, &f); err != nil {
		t.Fatal(err)
	}
	return p, &f, statics.Joints()
}

// Points, bodies and cylinders in the opposite order give the same machine.
func TestOrderDoesNotMatter(t *testing.T) {
	for n, r := range randomMachines(t) {
		m, c := r.mechanism(), r.loadCase()
		points, bodies := len(m.Points), len(m.Bodies)
		other := Mechanism{Points: slices.Clone(m.Points)}
		slices.Reverse(other.Points)
		for _, b := range slices.Backward(m.Bodies) {
			b.Points = slices.Clone(b.Points)
			for i := range b.Points {
				b.Points[i] = points - 1 - b.Points[i]
			}
			other.Bodies = append(other.Bodies, b)
		}
		for _, l := range slices.Backward(m.Slides) {
			other.Slides = append(other.Slides, Slide{points - 1 - l.Point, bodies - 1 - l.Body, points - 1 - l.From, points - 1 - l.To})
		}
		for _, l := range m.Cylinders { // the lead stays the first
			l.Rear, l.Front = points-1-l.Rear, points-1-l.Front
			other.Cylinders = append(other.Cylinders, l)
		}
		oc := Case{Gravity: c.Gravity}
		for _, l := range slices.Backward(c.Loads) {
			oc.Loads = append(oc.Loads, Load{points - 1 - l.Point, l.Force, l.Mass})
		}
		p, f, joints := solved(t, m, c, r.Strokes)
		q, g, others := solved(t, other, oc, r.Strokes)
		for i := range p.Points {
			near(t, "place", r2.Norm(r2.Sub(p.Points[i], q.Points[points-1-i])), 0, 1e-9)
		}
		for j, joint := range joints {
			k := slices.Index(others, Joint{points - 1 - joint.Point, bodies - 1 - joint.Body})
			if k < 0 {
				t.Fatalf("machine %d: no joint %v", n, joint)
			}
			near(t, "reaction", r2.Norm(r2.Sub(f.Reactions[j], g.Reactions[k])), 0, 1e-6*(1+r2.Norm(f.Reactions[j])))
		}
	}
}

// The factors give back the matrix: J x for random linkages against a plain sum, and the transpose.
func TestFactorsSolve(t *testing.T) {
	for _, r := range randomMachines(t) {
		s := mustNew(t, r.mechanism())
		w, ok := s.start(0)
		if !ok {
			t.Fatal("no start")
		}
		x := w.here
		n := s.cols()
		b, got, back := make([]float64, n), make([]float64, n), make([]float64, n)
		for i := range b {
			b[i] = math.Sin(float64(3*i + 1))
		}
		x.program.solve(x.lu, b, got, x.scratch)
		for k, e := range x.entries {
			back[e.row] += x.jac[k] * got[e.col]
		}
		for i := range b {
			near(t, "J x", back[i], b[i], 1e-11)
		}
		x.program.solveTransposed(x.lu, b, got, x.scratch)
		clear(back)
		for k, e := range x.entries {
			back[e.col] += x.jac[k] * got[e.row]
		}
		for i := range b {
			near(t, "Jᵀ y", back[i], b[i], 1e-11)
		}
	}
}
