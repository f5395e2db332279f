package linkage

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
)

// A lever that swings: its pivot carries m r ω² inwards and m r α along, by any textbook of dynamics, and the rod m r² α by the lever arm.
func TestMoveOfALever(t *testing.T) {
	s := mustNew(t, rocker(90*deg, 220*mm, 150*mm))
	s.mechanism.Bodies[1].Inertia = 0.02
	p := mustPose(t, s, 40*mm)
	statics := mustStatics(t, s, Case{Loads: []Load{{Point: 2, Mass: 3}}})
	arm := s.Levers()[0].Arm(p)
	const v, a = 0.4, 7.0
	w, e := p.AngleRate[1]*v, p.AngleRate[1]*a+p.AngleBend[1]*v*v
	var f Forces
	if err := statics.Move(p, v, a, &f); err != nil {
		t.Fatal(err)
	}
	near(t, "thrust", math.Abs(f.Thrust[0]), math.Abs((3*0.12*0.12+0.02)*e/arm), 1e-9)
	r := p.Points[2]
	want := r2.Scale(3, r2.Sub(r2.Scale(e, normal(r)), r2.Scale(w*w, r))) // m a of the mass, which pivot and rod give
	got := r2.Add(r2.Scale(1, statics.reaction(&f, 0, 1)), f.Front[0])
	near(t, "x", got.X, want.X, 1e-9)
	near(t, "y", got.Y, want.Y, 1e-9)
	if err := statics.Hold(p, Standing, &f); err != nil {
		t.Fatal(err)
	}
	near(t, "at rest again", f.Thrust[0], 0, 1e-9)
}

// In motion the thrust is that of Lagrange's equation with the effective mass, in random linkages, and what the ground carries is all
// weights and all that the masses set against their acceleration.
func TestMoveClosesInRandomMachines(t *testing.T) {
	checked := 0
	for n, random := range randomMachines(t) {
		s := mustNew(t, random.mechanism())
		for i := range s.mechanism.Cylinders {
			s.mechanism.Cylinders[i].BodyMass, s.mechanism.Cylinders[i].RodMass = 0, 0
		}
		c := Case{Gravity: StandardGravity}
		statics := mustStatics(t, s, c)
		w := mustSweep(t, s, Drive{}, 7)
		var f Forces
		for i := range w.Poses {
			p := &w.Poses[i]
			const v, a = -0.3, 2.5
			if p.Resistance < 1e-3 || statics.Move(p, v, a, &f) != nil {
				continue
			}
			mass, slope := s.EffectiveMass(p, &c)
			want := s.HoldingThrust(p, &c) + mass*a + slope*v*v/2
			if off := math.Abs(f.Thrust[p.Lead] - want); off > 1e-7*(1+math.Abs(want)) {
				t.Errorf("machine %d: thrust %g, want %g", n, f.Thrust[p.Lead], want)
			}
			weight, inertia := s.OnGround(p, &c, v, a)
			var ground r2.Vec
			moment := 0.0
			for j, joint := range statics.joints {
				if s.mechanism.Bodies[joint.Body].Ground {
					ground = r2.Add(ground, f.Reactions[j])
					moment += r2.Cross(p.Points[joint.Point], f.Reactions[j])
				}
			}
			if len(s.slides) == 0 && len(s.spins) == 0 {
				checked++
				sum := r2.Add(weight.Force, inertia.Force)
				near(t, "ground, x", ground.X, sum.X, 1e-6*(1+r2.Norm(sum)))
				near(t, "ground, y", ground.Y, sum.Y, 1e-6*(1+r2.Norm(sum)))
				near(t, "ground, moment", moment, weight.Moment+inertia.Moment, 1e-6*(1+s.size*r2.Norm(sum)))
			}
		}
	}
	if checked < 20 {
		t.Errorf("only %d poses had a ground to check", checked)
	}
}
