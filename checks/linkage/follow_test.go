package linkage

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
)

// Where the arms are level the tray goes straight up: the cosine rule gives the stroke.
func TestZeros(t *testing.T) {
	m := lifter()
	s := mustNew(t, m)
	w := mustSweep(t, s, Drive{}, 21)
	level := r2.Rotate(r2.Sub(m.Points[4], m.Points[1]), math.Atan2(70, 240), r2.Vec{})
	want := r2.Norm(r2.Add(m.Points[1], level)) - 232*mm
	found := s.Follow(w).Zeros(func(p *Pose) float64 { return p.Velocity[5].X })
	if len(found) != 1 {
		t.Fatalf("got %d", len(found))
	}
	near(t, "stroke with the arms level", found[0].Stroke, want, 0.01*mm)
	near(t, "turn", found[0].Angles[2], math.Atan2(70, 240), 1e-5)
	if got := s.Follow(w).Zeros(func(p *Pose) float64 { return p.AngleRate[2] }); len(got) != 0 {
		t.Errorf("the arm does not reverse, got %v", got)
	}
}

// A rocker between whose end positions the crank passes the line of coupler and crank: there the follower stands still. Cosine rule.
func TestReversalOfAFollower(t *testing.T) {
	const a, b, c, d = 40 * mm, 120 * mm, 80 * mm, 100 * mm
	// coupler and crank stretched: a + b from the crank's pivot to the follower's end
	want := math.Acos(((a+b)*(a+b) + d*d - c*c) / (2 * (a + b) * d))
	m, at := fourBar(a, b, c, d, want+10*deg, want-30*deg, want+40*deg, 1)
	s := mustNew(t, m)
	found := s.Follow(mustSweep(t, s, Drive{}, 30)).Zeros(func(p *Pose) float64 { return p.AngleRate[3] })
	if len(found) != 1 {
		t.Fatalf("got %d", len(found))
	}
	near(t, "stroke", found[0].Stroke, at(want), 0.01*mm)
	// The follower's end turns back there, to where rounding ends; what pushes it adds nothing to the thrust, and comes along the coupler and
	// the crank, in line, to the crank's pivot: by moments about the follower's pivot F c / (c sin φ), with φ between coupler and follower.
	sweep := mustSweep(t, s, Drive{}, 30)
	poses := sweep.Poses
	statics := mustStatics(t, s, Case{})
	reversed := 0
	for k := 1; k < len(poses); k++ {
		const end = 2
		if r2.Dot(poses[k-1].Velocity[end], poses[k].Velocity[end]) >= 0 {
			continue
		}
		reversed++
		p, ok := s.Follow(sweep).Reversal(end, &poses[k-1], &poses[k])
		if !ok {
			t.Fatal("it does not get there")
		}
		near(t, "stroke", p.Stroke, at(want), 1e-12)
		near(t, "rate", r2.Norm(p.Velocity[end]), 0, 1e-11)
		const force = 1e6
		var f Forces
		grip := statics.ReversedGrip(&p, end, normal(r2.Unit(r2.Sub(p.Points[end], p.Points[3]))), force/10, &f)
		statics.PressGrip(&grip, 10, &f)
		near(t, "thrust", f.Thrust[0], 0, 1e-5)
		sin := math.Sin(math.Acos(((a+b)*(a+b) + c*c - d*d) / (2 * (a + b) * c)))
		near(t, "along crank and coupler", r2.Norm(statics.reaction(&f, 0, 1)), force/sin, 1e-3)
		near(t, "force of the tool", f.Tool, force, 1e-9)
	}
	if reversed != 1 {
		t.Errorf("it reverses %d times", reversed)
	}
}

// The transmission angle of a four-bar is least or greatest where the crank lies along the frame (handbook).
func TestLeast(t *testing.T) {
	m, at := fourBar(40*mm, 120*mm, 80*mm, 100*mm, 20*deg, -30*deg, 45*deg, 1)
	s := mustNew(t, m)
	w := mustSweep(t, s, Drive{}, 12)
	coupler := s.Couplers(0)[0]
	p, least := s.Follow(w).Least(func(p *Pose) float64 { return coupler.Transmission(p, coupler.Driven) })
	near(t, "stroke", p.Stroke, at(0), 0.01*mm)
	near(t, "angle", least, math.Acos((120*120+80*80-60*60)/(2*120*80.0)), 1e-9)
}

func TestFollowerGivesThePosesOfASweep(t *testing.T) {
	for n, r := range randomMachines(t) {
		s := mustNew(t, r.mechanism())
		few, many := mustSweep(t, s, Drive{At: r.Strokes}, 11), mustSweep(t, s, Drive{At: r.Strokes}, 101)
		if few.Before != nil || few.Closing != nil || few.Extending != nil {
			continue
		}
		f := s.Follow(few)
		for i := range many.Poses {
			want := &many.Poses[i]
			p, ok := f.At(want.Stroke)
			if !ok {
				t.Fatalf("machine %d: no pose at %g", n, want.Stroke)
			}
			for k := range p.Points {
				near(t, "place", r2.Norm(r2.Sub(p.Points[k], want.Points[k])), 0, 1e-9*s.size)
				near(t, "velocity", r2.Norm(r2.Sub(p.Velocity[k], want.Velocity[k])), 0, 1e-7*(1+r2.Norm(want.Velocity[k])))
			}
			for k := range p.Cylinders {
				near(t, "angle", p.Cylinders[k].Angle, want.Cylinders[k].Angle, 1e-9)
			}
		}
	}
}
