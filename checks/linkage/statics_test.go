package linkage

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/spatial/r2"
)

func mustStatics(t testing.TB, s *Solver, c Case) *Statics {
	t.Helper()
	statics, err := s.Statics(c)
	if err != nil {
		t.Fatal(err)
	}
	return statics
}

// reaction of the pin of a point on a body.
func (t *Statics) reaction(f *Forces, point, body int) r2.Vec {
	for j, joint := range t.joints {
		if joint == (Joint{point, body}) {
			return f.Reactions[j]
		}
	}
	return r2.Vec{X: math.NaN()}
}

func TestLifterStatics(t *testing.T) {
	s := mustNew(t, lifter())
	c := lifterCase()
	c.Springs = []Spring{{From: 1, To: 2, Stiffness: 120, Free: 0.1}}
	c.Loads = append(c.Loads, Load{Point: 4, Force: r2.Vec{X: 3, Y: -5}}, Load{Point: 0, Force: r2.Vec{X: 100}})
	s.mechanism.Cylinders[0].BodyMass, s.mechanism.Cylinders[0].BodyCentre = 0.3, 0.09
	s.mechanism.Cylinders[0].RodMass, s.mechanism.Cylinders[0].RodCentre = 0.12, 0.06
	statics := mustStatics(t, s, c)
	w := mustSweep(t, s, Drive{}, 50)
	var f Forces
	for i := range w.Poses {
		p := &w.Poses[i]
		if err := statics.Hold(p, Standing, &f); err != nil {
			t.Fatal(err)
		}
		near(t, "thrust by virtual work", f.Thrust[0], s.HoldingThrust(p, &c), 1e-9)
		// Taken as one piece, what the ground carries is all weights and outer forces; the spring is anchored on it.
		sum := r2.Add(statics.reaction(&f, 0, 0), statics.reaction(&f, 1, 0))
		weight := (0.16 + 0.16 + 1.2 + 2.5 + 0.3 + 0.12) * 9.80665
		near(t, "ground, x", sum.X, 103, 1e-9)
		near(t, "ground, y", sum.Y, -weight-5, 1e-9)
		for body := 1; body <= 3; body++ {
			near(t, "rest of the link", restOf(statics, body, &f), 0, 1e-9)
		}
	}
}

// Free bodies of random linkages close with friction in every pivot and slide, and thrust and friction do the work that they must.
func TestFrictionCloses(t *testing.T) {
	for n, r := range randomMachines(t) {
		s := mustNew(t, r.mechanism())
		c := r.loadCase()
		for i := range s.mechanism.Points {
			c.Pins = append(c.Pins, Pin{Point: i, Coefficient: 0.15, Radius: 0.004})
		}
		for i := range s.mechanism.Slides {
			c.Friction = append(c.Friction, SlideFriction{Slide: i, Coefficient: 0.05})
		}
		statics := mustStatics(t, s, c)
		p, _, err := s.PoseAt(r.Strokes, 0)
		if err != nil {
			t.Fatal(err)
		}
		var f Forces
		for _, way := range []Way{Closing, Standing, Extending} {
			if err := statics.Hold(p, way, &f); err != nil {
				if way != Standing && err.(Fault).Kind == FrictionLocks {
					continue
				}
				t.Fatal(err)
			}
			loss := 0.0
			for i := range s.pivots {
				loss += f.pinTorque[i] * s.size * (turnRate(s, p, s.pivots[i].a.body) - turnRate(s, p, s.pivots[i].b.body))
			}
			for i, e := range s.ends {
				for k := range e {
					loss += f.eyes[i][k] * s.size * (p.Cylinders[i].AngleRate - turnRate(s, p, s.points[e[k]].body))
				}
			}
			for i := range s.slides {
				loss += r2.Dot(f.Slides[i], statics.lineOf(i)) * statics.glide(i)
			}
			if float64(way)*loss > 0 {
				t.Errorf("machine %d: friction drives, %g", n, loss)
			}
			tolerance := 1e-8 * (1 + math.Abs(f.Thrust[0]))
			near(t, "work with friction", f.Thrust[0], s.HoldingThrust(p, &c)-loss, tolerance)
			for body := range s.mechanism.Bodies {
				near(t, "rest of the link", restOf(statics, body, &f), 0, tolerance)
			}
		}
	}
}

func turnRate(s *Solver, p *Pose, number int) float64 {
	if number == s.moving {
		return 0
	}
	return p.AngleRate[s.bodies[number]]
}

// A lever with a rough pin: the moments about the pin, with the torque of the reaction that balances thrust and load, found by
// bisection.
func TestRoughPinOfALever(t *testing.T) {
	const friction, radius = 0.2, 0.010
	s := mustNew(t, rocker(90*deg, 220*mm, 150*mm))
	p := mustPose(t, s, 60*mm)
	load := r2.Vec{X: 150, Y: -400}
	statics := mustStatics(t, s, Case{Loads: []Load{{Point: 2, Force: load}}, Pins: []Pin{{0, friction, radius}}})
	var f Forces
	arm := p.Points[2]
	u := polar(1, p.Cylinders[0].Angle)
	turns := math.Copysign(1, p.AngleRate[1])
	for _, way := range []Way{Closing, Extending} {
		if err := statics.Hold(p, way, &f); err != nil {
			t.Fatal(err)
		}
		moment := func(thrust float64) float64 {
			reaction := r2.Norm(r2.Add(load, r2.Scale(thrust, u)))
			return r2.Cross(arm, load) + thrust*r2.Cross(arm, u) - friction*radius*reaction*float64(way)*turns
		}
		low, high := -5000.0, 5000.0
		for range 100 {
			if middle := (low + high) / 2; moment(middle)*moment(low) > 0 {
				low = middle
			} else {
				high = middle
			}
		}
		near(t, "thrust", f.Thrust[0], low, 1e-8)
		if f.Rounds < 3 {
			t.Errorf("only %d rounds", f.Rounds)
		}
	}
}

// A piston on a rough slide: rod force S along φ with S cos φ = L ± μ S sin φ.
func TestRoughSlide(t *testing.T) {
	const mu, load = 0.12, 800.0
	m, at := sliderCrank(0.05, 0.2, 0, 70*deg, 20*deg, 110*deg, 1)
	s := mustNew(t, m)
	p := mustPose(t, s, at(60*deg))
	statics := mustStatics(t, s, Case{Loads: []Load{{Point: 2, Force: r2.Vec{X: -load}}}, Friction: []SlideFriction{{0, mu}}})
	var f Forces
	phi := math.Asin(0.05 * math.Sin(60*deg) / 0.2)
	for _, way := range []Way{Closing, Standing, Extending} {
		if err := statics.Hold(p, way, &f); err != nil {
			t.Fatal(err)
		}
		// Rubbing points against the motion: with the load where the piston moves along it.
		out := math.Copysign(1, p.Velocity[2].X*float64(way)) * math.Abs(float64(way))
		rod := load / (math.Cos(phi) - out*mu*math.Sin(phi))
		near(t, "rod", r2.Norm(statics.reaction(&f, 2, 2)), rod, 1e-8)
		near(t, "across the slide", math.Abs(f.Slides[0].Y), rod*math.Sin(phi), 1e-8)
		near(t, "along the slide", f.Slides[0].X, -out*mu*rod*math.Sin(phi), 1e-8)
		member := worstBar(statics, 2, &f)
		near(t, "compression of the rod", member.Compression, rod, 1e-8)
		near(t, "bending of the rod", member.Bending, 0, 1e-9)
	}
}

// A thrust that is given and the force of the tool that takes it: the law of the lever, and the same pose with that force as a load.
func TestPress(t *testing.T) {
	s := mustNew(t, rocker(90*deg, 220*mm, 150*mm))
	p := mustPose(t, s, 40*mm)
	statics := mustStatics(t, s, Case{})
	var f Forces
	if err := statics.Press(p, Press{Thrust: 295, Point: 2}, false, &f); err != nil {
		t.Fatal(err)
	}
	near(t, "load ratio pushing", f.LoadRatio(0, 590, 400), 0.5, 1e-9)
	f.Thrust[0] = -100
	near(t, "load ratio pulling", f.LoadRatio(0, 590, 400), 0.25, 1e-9)
	if got := f.LoadRatio(0, 590, 0); !math.IsInf(got, 1) {
		t.Errorf("a cylinder that can't pull: got %g", got)
	}
	if err := statics.Press(p, Press{Thrust: 295, Point: 2}, false, &f); err != nil {
		t.Fatal(err)
	}
	near(t, "torque by the arm", f.Tool*0.120, 35.108, 1e-3)

	s = mustNew(t, lifter())
	c := lifterCase()
	c.Pins = []Pin{{0, 0.1, 0.004}, {1, 0.1, 0.004}, {2, 0.1, 0.004}, {3, 0.1, 0.004}, {4, 0.1, 0.004}}
	p = mustPose(t, s, 33*mm)
	statics = mustStatics(t, s, c)
	for _, thrust := range []float64{250, -120} {
		way := Way(math.Copysign(1, thrust))
		if err := statics.Press(p, Press{Thrust: thrust, Point: 5}, true, &f); err != nil {
			t.Fatal(err)
		}
		near(t, "thrust", f.Thrust[0], thrust, 1e-9)
		for body := 1; body <= 3; body++ {
			near(t, "rest of the link", restOf(statics, body, &f), 0, 1e-9)
		}
		with := c
		with.Loads = append([]Load{{Point: 5, Force: r2.Scale(-f.Tool, r2.Unit(p.Velocity[5]))}}, c.Loads...)
		var g Forces
		other := mustStatics(t, s, with)
		if err := other.Hold(p, way, &g); err != nil {
			t.Fatal(err)
		}
		near(t, "thrust that holds the same", g.Thrust[0], thrust, 1e-8)
		for j := range f.Reactions {
			near(t, "reaction", r2.Norm(r2.Sub(f.Reactions[j], g.Reactions[j])), 0, 1e-8)
		}
	}
	// A grip gives the same, without friction, from one computation.
	var whole, g Forces
	grips := statics.Grips(nil, p, []int{0, 5}, &whole)
	if len(grips) != 1 || grips[0].Point != 5 {
		t.Fatalf("%d are held", len(grips))
	}
	for _, thrust := range []float64{250, 0, -120} {
		if err := statics.Press(p, Press{Thrust: thrust, Point: 5}, false, &f); err != nil {
			t.Fatal(err)
		}
		member := worstBar(statics, 2, &f)
		statics.PressGrip(&grips[0], thrust, &g)
		near(t, "force of the tool", g.Tool, f.Tool, 1e-9)
		near(t, "thrust of the grip", g.Thrust[0], thrust, 1e-9)
		for j := range f.Reactions {
			near(t, "reaction of the grip", r2.Norm(r2.Sub(f.Reactions[j], g.Reactions[j])), 0, 1e-8)
		}
		near(t, "bending by the grip", worstBar(statics, 2, &g).Bending, member.Bending, 1e-9)
	}
	if err := statics.Press(p, Press{Thrust: 1, Point: 0}, false, &f); err == nil || err.(Fault).Kind != PointStandsStill {
		t.Errorf("got %v", err)
	}
}

// A spring does the work of its energy k (l - l0)²/2.
func TestSpringEnergy(t *testing.T) {
	s := mustNew(t, lifter())
	spring := Spring{From: 1, To: 2, Stiffness: 700, Free: 0.2}
	c := Case{Springs: []Spring{spring}}
	energy := func(stroke float64) float64 {
		p := mustPose(t, s, stroke)
		x := r2.Norm(r2.Sub(p.Points[1], p.Points[2])) - spring.Free
		return spring.Stiffness * x * x / 2
	}
	const h = 1e-5
	for _, stroke := range []float64{5 * mm, 40 * mm, 75 * mm} {
		near(t, "thrust", s.HoldingThrust(mustPose(t, s, stroke), &c), (energy(stroke+h)-energy(stroke-h))/(2*h), 1e-4)
	}
}

// Handbook formula F a b / L: 300 N at 200 of 600 mm bends by 40 N m. The beam hangs level on a pivot and on an upright cylinder.
func TestBendingOfABeam(t *testing.T) {
	s := mustNew(t, Mechanism{
		Points:    []r2.Vec{{}, {X: 0.6}, {X: 0.2}, {X: 0.6, Y: -0.3}},
		Bodies:    []Body{{Points: []int{0, 3}, Ground: true}, {Points: []int{0, 1, 2}, Mass: 0.5, Centre: r2.Vec{X: 0.6}}},
		Cylinders: []Cylinder{{Rear: 3, Front: 1, Closed: 0.29, Stroke: 0.05}},
	})
	p := mustPose(t, s, 0.01)
	statics := mustStatics(t, s, Case{Gravity: StandardGravity, Loads: []Load{{Point: 2, Force: r2.Vec{Y: -300, X: 50}}}})
	var f Forces
	if err := statics.Hold(p, Standing, &f); err != nil {
		t.Fatal(err)
	}
	m := worstBar(statics, 1, &f)
	near(t, "bending, N m", m.Bending, 40, 1e-9)
	near(t, "where, m", m.BendingAt, 0.2, 1e-12)
	near(t, "shear, N", m.Shear, 200, 1e-9)
	near(t, "tension up to the load, N", m.Tension, 50, 1e-9)
	near(t, "compression, N", m.Compression, 0, 1e-9)
	near(t, "thrust, N", f.Thrust[0], 100+0.5*9.80665, 1e-9)
	near(t, "rest", m.Rest, 0, 1e-9)
}

// A lever of three points, pushed at a horn 50 mm off the line of the others: two bars that meet there.
func TestBendingByAHorn(t *testing.T) {
	s := mustNew(t, Mechanism{
		Points:    []r2.Vec{{}, {X: 0.5}, {X: 0.2, Y: 0.05}, {X: -0.2, Y: 0.05}},
		Bodies:    []Body{{Points: []int{0, 3}, Ground: true}, {Points: []int{0, 1, 2}}},
		Cylinders: []Cylinder{{Rear: 3, Front: 2, Closed: 0.38, Stroke: 0.05}},
	})
	p := mustPose(t, s, 0.02)
	statics := mustStatics(t, s, Case{Loads: []Load{{Point: 1, Force: r2.Vec{Y: 40}}}})
	var f Forces
	if err := statics.Hold(p, Standing, &f); err != nil {
		t.Fatal(err)
	}
	// Moments about the pivot: the push along x with the arm -50 mm and 40 N at 500 mm.
	near(t, "thrust", f.Thrust[0], 40*0.5/0.05, 1e-9)
	m := worstBar(statics, 1, &f)
	near(t, "bending beside the horn, N m", m.Bending, 40*0.3, 1e-9)
	near(t, "where, m", m.BendingAt, math.Hypot(0.2, 0.05), 1e-12)
	near(t, "along the bars, N", m.Compression+m.Tension, (400*0.2+40*0.05)/math.Hypot(0.2, 0.05)+40*0.05/math.Hypot(0.3, 0.05), 1e-9)
}

// With a third equal arm there is one state of self-stress: the forces of least squares are those of the pseudo-inverse (gonum's
// singular values), and what is determined stays the same.
func TestLeastForcesOfARedundantLinkage(t *testing.T) {
	s := mustNew(t, third(lifter(), r2.Vec{}))
	c := lifterCase()
	statics := mustStatics(t, s, c)
	for _, stroke := range []float64{0, 37 * mm, 80 * mm} {
		p := mustPose(t, s, stroke)
		var f Forces
		if err := statics.Hold(p, Standing, &f); err != nil {
			t.Fatal(err)
		}
		if !f.Undetermined {
			t.Error("not marked as undetermined")
		}
		near(t, "thrust", f.Thrust[0], s.HoldingThrust(p, &c), 1e-9)
		x := statics.x
		jt := mat.NewDense(x.cols(), x.rows, nil)
		for k, e := range x.entries {
			jt.Set(int(e.col), int(e.row), jt.At(int(e.col), int(e.row))+x.jac[k])
		}
		q := make([]float64, x.cols())
		statics.loads(q)
		for i := range q {
			q[i] = -q[i]
		}
		var svd mat.SVD
		if !svd.Factorize(jt, mat.SVDThin) {
			t.Fatal("no singular values")
		}
		var want mat.VecDense
		svd.SolveVecTo(&want, mat.NewVecDense(len(q), q), svd.Rank(1e-9))
		for i, v := range f.lambda {
			near(t, "force", v, want.AtVec(i), 1e-8)
		}
		for body := 1; body <= 4; body++ {
			near(t, "rest of the link", restOf(statics, body, &f), 0, 1e-9)
		}
	}
}

// The resistance is the smallest singular value of the Jacobian, as gonum finds it. Two rounds for each pose
// follow it with a small lag where two motions are about equally weak.
func TestResistanceIsTheSmallestSingularValue(t *testing.T) {
	for n, r := range randomMachines(t) {
		s := mustNew(t, r.mechanism())
		w := mustSweep(t, s, Drive{At: r.Strokes}, 30)
		if len(w.Poses) == 0 {
			continue
		}
		x := s.newState(new(Work))
		for i := range w.Poses {
			p := &w.Poses[i]
			copy(x.q, p.q)
			copy(x.stroke, p.stroke)
			x.evaluate()
			j := mat.NewDense(x.rows, x.cols(), nil)
			for k, e := range x.entries {
				j.Set(int(e.row), int(e.col), x.jac[k])
			}
			var svd mat.SVD
			if !svd.Factorize(j, mat.SVDNone) {
				t.Fatal("no singular values")
			}
			values := svd.Values(nil)
			if least := values[len(values)-1]; math.Abs(p.Resistance/least-1) > 0.1 {
				t.Errorf("machine %d, pose %d: got %g, want %g", n, i, p.Resistance, least)
			}
			near(t, "condition", s.Condition(p)*p.Resistance/values[0], 1, 0.03)
		}
	}
}

// A roller that a single point holds can spin: it keeps its angle, and the torque that would have to keep it is told.
func TestSpin(t *testing.T) {
	m := lifter()
	m.Bodies = append(m.Bodies, Body{Points: []int{5}, Mass: 2, Centre: r2.Add(m.Points[5], r2.Vec{X: 0.03, Y: 0.01})})
	s := mustNew(t, m)
	got := s.Mobility()
	if got.Freedoms != 1 || got.Undriven != 0 || len(got.Spins) != 1 || got.Spins[0] != 4 {
		t.Fatalf("got %+v", got)
	}
	var f Forces
	if err := mustStatics(t, s, Case{Gravity: StandardGravity}).Hold(mustPose(t, s, 50*mm), Standing, &f); err != nil {
		t.Fatal(err)
	}
	near(t, "torque, N m", f.Spin[0], 2*9.80665*0.03, 1e-9)
}

// A carriage on a straight guide: two of its points slide on one line, so that it can't turn. A load at a height h tilts it against the
// guide with F h / d at either (sum of moments).
func TestCarriage(t *testing.T) {
	const d, h, load = 0.12, 0.3, 250.0
	along := polar(1, 25*deg)
	across := normal(along)
	at := func(x, y float64) r2.Vec { return r2.Add(r2.Scale(x, along), r2.Scale(y, across)) }
	s := mustNew(t, Mechanism{
		Points: []r2.Vec{at(0, 0), at(1, 0), at(0.3, 0), at(0.3+d, 0), at(0.35, h)},
		Bodies: []Body{{Points: []int{0, 1}, Ground: true}, {Points: []int{2, 3, 4}}},
		Slides: []Slide{{Point: 2, Body: 0, From: 0, To: 1}, {Point: 3, Body: 0, From: 0, To: 1}}, Cylinders: []Cylinder{{Rear: 0, Front: 2, Closed: 0.2, Stroke: 0.3}},
	})
	if got := s.Mobility(); got.Freedoms != 1 || got.Redundant != 0 {
		t.Fatalf("got %+v", got)
	}
	statics := mustStatics(t, s, Case{Loads: []Load{{Point: 4, Force: r2.Scale(-load, along)}}})
	w := mustSweep(t, s, Drive{}, 5)
	if len(w.Poses) != 5 || w.Closing != nil || w.Extending != nil {
		t.Fatalf("stops %+v, %+v", w.Closing, w.Extending)
	}
	var f Forces
	for i := range w.Poses {
		p := &w.Poses[i]
		if err := statics.Hold(p, Standing, &f); err != nil {
			t.Fatal(err)
		}
		near(t, "turn", p.Angles[1], 0, 1e-13)
		near(t, "way", p.Along[0], 0.2+p.Stroke, 1e-13)
		near(t, "thrust", f.Thrust[0], load, 1e-9)
		near(t, "guide at the rear", r2.Dot(f.Slides[0], across), load*h/d, 1e-9)
		near(t, "guide at the front", r2.Dot(f.Slides[1], across), -load*h/d, 1e-9)
	}
}

// barsOf are those of a link for the forces computed last.
func barsOf(t *Statics, body int, f *Forces) []Member {
	return t.Members(body, Scene{Pose: t.pose}, f, nil)
}

// worstBar is the largest of all that a link carries along its bars.
func worstBar(t *Statics, body int, f *Forces) (most Member) {
	for _, m := range barsOf(t, body, f) {
		if math.Abs(m.Bending) > math.Abs(most.Bending) {
			most.From, most.To, most.Bending, most.BendingAt = m.From, m.To, m.Bending, m.BendingAt
		}
		most.Tension, most.Compression, most.Shear = max(most.Tension, m.Tension), max(most.Compression, m.Compression), max(most.Shear, m.Shear)
		most.Rest = max(most.Rest, m.Rest)
	}
	return most
}

func restOf(t *Statics, body int, f *Forces) float64 { return worstBar(t, body, f).Rest }
