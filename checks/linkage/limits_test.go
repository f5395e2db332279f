package linkage

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
)

// The ends of a crank's swing by the cosine rule over 300 random four-bars that no link of which reaches round: where coupler and
// follower are stretched, a² + d² - 2ad cos θ = (b + c)², to 0.01 mm of stroke.
func TestRandomLimitsOfAFourBar(t *testing.T) {
	rng := rand.New(rand.NewPCG(13, 14))
	for n := 0; n < 300; {
		a, b, c, d := between(rng, 0.05, 0.2), between(rng, 0.05, 0.3), between(rng, 0.05, 0.3), between(rng, 0.05, 0.3)
		cos := (a*a + d*d - (b+c)*(b+c)) / (2 * a * d)
		if math.Abs(cos) > 0.95 {
			continue
		}
		limit := math.Acos(cos) // the crank can't turn farther from the frame's line
		low, high := limit-between(rng, 0.3, 0.6), limit+0.3
		drawn := (low + limit) / 2
		// not past the pose where coupler and follower are folded up
		if pin := r2.Norm(r2.Sub(polar(a, low), r2.Vec{X: d})); pin < math.Abs(b-c)+0.01 || low < 0.05 {
			continue
		}
		n++
		m, at := fourBar(a, b, c, d, drawn, low, high, math.Copysign(1, rng.Float64()-0.5))
		w := mustSweep(t, mustNew(t, m), Drive{}, 20)
		wantStop(t, "closing", w.Closing, Stretched, at(limit))
		from, to := w.Usable()
		near(t, "usable from", from, at(limit), exact)
		near(t, "usable to", to, m.Cylinders[0].Stroke, 1e-15)
	}
}

// Grashof: with shortest + longest below the sum of the others and the crank shortest, the crank passes every angle; else its swing
// ends. 300 random four-bars of either class, from -θ to θ about the frame's line in two sweeps.
func TestGrashofTurnsRound(t *testing.T) {
	rng := rand.New(rand.NewPCG(15, 16))
	seen := [2]int{}
	for seen[0]+seen[1] < 300 {
		a, b, c, d := between(rng, 0.03, 0.3), between(rng, 0.05, 0.3), between(rng, 0.05, 0.3), between(rng, 0.05, 0.3)
		l := []float64{a, b, c, d}
		short, long, sum := math.Inf(1), 0.0, 0.0
		for _, v := range l {
			short, long, sum = min(short, v), max(long, v), sum+v
		}
		surplus := (2*(short+long) - sum) / sum
		if math.Abs(surplus) < 0.02 {
			continue // near a change point
		}
		round := surplus < 0 && (a == short || d == short) // the crank or the frame is shortest
		start := between(rng, -math.Pi, math.Pi)
		if !reaches(a, b, c, d, start, start) {
			continue
		}
		// The driver reaches 1.4 rad to either side of its middle: four sweeps, each drawn where the last ended, go right round.
		turned, m, drawn := true, Mechanism{}, start
		side := 1.0
		for range 6 {
			m, _ = fourBar(a, b, c, d, drawn, drawn-0.1, drawn+1.2, side)
			w, err := mustNew(t, m).Sweep(Drive{}, 12)
			if err != nil {
				t.Fatal(err)
			}
			if w.Closing != nil { // the rod closes as the crank turns on
				turned = false
				break
			}
			drawn += 1.1
			p := w.Poses[0]
			// on which side of the line from the crank's pin to the follower's pivot the coupler's end has come to lie
			side = math.Copysign(1, r2.Cross(r2.Sub(p.Points[3], p.Points[1]), r2.Sub(p.Points[2], p.Points[1])))
		}
		if turned != round {
			t.Errorf("links %v: turns round %v, want %v", l, turned, round)
		}
		if round {
			seen[0]++
		} else {
			seen[1]++
		}
	}
	if min(seen[0], seen[1]) < 60 {
		t.Errorf("classes %v: the draw is lopsided", seen)
	}
}

// The inverted slider-crank, a crank's pin in the slot of a rocker (quick return), over 1,000 random ones: the rocker's angle is that of
// the way to the pin, with its speed and acceleration by the crank's angle.
func TestRandomInvertedSliderCranks(t *testing.T) {
	rng := rand.New(rand.NewPCG(17, 18))
	for n := 0; n < 1000; {
		a := between(rng, 0.03, 0.2)
		pivot := r2.Vec{X: between(rng, -0.4, 0.4), Y: between(rng, -0.4, 0.4)}
		if math.Abs(r2.Norm(pivot)-a) < 0.05 {
			continue
		}
		low := between(rng, -math.Pi, math.Pi)
		high := low + between(rng, 0.2, 1.2)
		n++
		drawn := between(rng, low, high)
		rear, closed, stroke, _ := crankDriver(a, low, high)
		pin := polar(a, drawn)
		along := r2.Unit(r2.Sub(pin, pivot))
		m := Mechanism{
			Points: []r2.Vec{{}, pin, pivot, r2.Add(pivot, r2.Scale(0.7, along)), rear},
			Bodies: []Body{{Points: []int{0, 2, 4}, Ground: true}, {Points: []int{0, 1}}, {Points: []int{2, 3}}},
			Slides: []Slide{{Point: 1, Body: 2, From: 2, To: 3}}, Cylinders: []Cylinder{{Rear: 4, Front: 1, Closed: closed, Stroke: stroke}},
		}
		w := mustSweep(t, mustNew(t, m), Drive{}, 5)
		if w.Closing != nil || w.Extending != nil {
			t.Fatalf("%d: stops %+v, %+v", n, w.Closing, w.Extending)
		}
		for i := range w.Poses {
			p := &w.Poses[i]
			q := r2.Sub(p.Points[1], pivot)
			r := r2.Norm(q)
			near(t, "angle", math.Remainder(p.Angles[2]+math.Atan2(along.Y, along.X)-math.Atan2(q.Y, q.X), 2*math.Pi), 0, 1e-10)
			near(t, "along the slot", p.Along[0], r, 1e-11)
			v := normal(p.Points[1]) // by the crank's angle
			acc := r2.Scale(-1, p.Points[1])
			turn := r2.Cross(q, v) / (r * r)
			bend := r2.Cross(q, acc)/(r*r) - 2*turn*r2.Dot(q, v)/(r*r)
			speed, change := p.AngleRate[1], p.AngleBend[1]
			scale := speed*speed + math.Abs(change)
			near(t, "speed", p.AngleRate[2], turn*speed, 1e-8*math.Abs(speed))
			near(t, "acceleration", p.AngleBend[2], bend*speed*speed+turn*change, 1e-7*scale)
		}
	}
}

// The mechanical advantage of a four-bar, torque out by torque in: c sin μ / (a sin ν) with μ between coupler and follower and ν between
// coupler and crank (R. L. Norton, Design of Machinery, from memory; instant centres).
func TestMechanicalAdvantage(t *testing.T) {
	rng := rand.New(rand.NewPCG(19, 20))
	for n := 0; n < 200; {
		a, b, c, d := between(rng, 0.03, 0.2), between(rng, 0.05, 0.4), between(rng, 0.05, 0.4), between(rng, 0.05, 0.4)
		low := between(rng, -math.Pi, math.Pi)
		if !reaches(a, b, c, d, low, low+0.5) {
			continue
		}
		n++
		m, _ := fourBar(a, b, c, d, low+0.2, low, low+0.5, 1)
		s := mustNew(t, m)
		w := mustSweep(t, s, Drive{}, 4)
		for i := range w.Poses {
			p := &w.Poses[i]
			crank, coupler, follower := way(p, 0, 1), way(p, 1, 2), way(p, 3, 2)
			// 10 N across the follower's end make the torque out.
			statics := mustStatics(t, s, Case{Loads: []Load{{Point: 2, Force: r2.Scale(10, normal(polar(1, follower)))}}})
			var f Forces
			if err := statics.Hold(p, Standing, &f); err != nil {
				t.Fatal(err)
			}
			in := f.Thrust[0] * s.Levers()[0].Arm(p)
			out := -10 * c // what the follower gives against that load
			near(t, "advantage", in*c*math.Sin(follower-coupler), out*a*math.Sin(crank-coupler), 1e-9*(1+math.Abs(in)))
		}
	}
}

// The toggle of two equal links: a force P across the knee presses with P/(2 tan α) (handbook formula; sum of forces at the knee).
func TestToggle(t *testing.T) {
	const length = 0.15
	for _, alpha := range []float64{2 * deg, 5 * deg, 15 * deg, 30 * deg} {
		knee := polar(length, alpha)
		m := Mechanism{
			Points: []r2.Vec{{}, knee, {X: 2 * knee.X}, {X: knee.X, Y: knee.Y + 0.3}, {X: 1}, {X: -1}},
			Bodies: []Body{{Points: []int{0, 3, 4, 5}, Ground: true}, {Points: []int{0, 1}}, {Points: []int{1, 2}}},
			Slides: []Slide{{Point: 2, Body: 0, From: 4, To: 5}}, Cylinders: []Cylinder{{Rear: 3, Front: 1, Closed: 0.29, Stroke: 0.1}},
		}
		s := mustNew(t, m)
		p := mustPose(t, s, 0.01)
		var f Forces
		if err := mustStatics(t, s, Case{}).Press(p, Press{Thrust: 500, Point: 2}, false, &f); err != nil {
			t.Fatal(err)
		}
		near(t, "press", f.Tool, 500/(2*math.Tan(alpha)), 1e-6*f.Tool)
		near(t, "way of the tool", p.Velocity[2].X, 2*math.Tan(alpha), 1e-9)
		straight := s.Follow(mustSweep(t, s, Drive{}, 20)).Zeros(func(p *Pose) float64 { return p.Velocity[2].X })
		if len(straight) != 1 {
			t.Fatalf("passes the straight pose %d times", len(straight))
		}
		near(t, "straight", straight[0].Stroke, math.Hypot(length-knee.X, 0.3+knee.Y)-0.29, exact)
	}
}

// Virtual work at every pose of every drive of random linkages, and what the ground carries is all weights and loads.
func TestWorkAtEveryPose(t *testing.T) {
	poses := 0
	for _, r := range randomMachines(t) {
		s := mustNew(t, r.mechanism())
		c := r.loadCase()
		c.Springs = []Spring{{From: 0, To: len(s.mechanism.Points) - 1, Stiffness: 90, Free: 0.1}}
		statics := mustStatics(t, s, c)
		var outside r2.Vec
		for _, b := range s.mechanism.Bodies {
			if !b.Ground {
				outside = r2.Add(outside, r2.Scale(b.Mass, c.Gravity))
			}
		}
		var f Forces
		for _, d := range s.Drives() {
			w := mustSweep(t, s, d, 25)
			for i := range w.Poses {
				p := &w.Poses[i]
				if p.Resistance < 1e-4 {
					continue // at a stop the forces are without bound
				}
				poses++
				if err := statics.Hold(p, Standing, &f); err != nil {
					t.Fatal(err)
				}
				scale := 1.0
				for _, v := range f.Reactions {
					scale = max(scale, r2.Norm(v))
				}
				work := 0.0
				for k := range f.Thrust {
					work += f.Thrust[k] * p.Cylinders[k].Rate
				}
				near(t, "work of the thrusts", work, s.HoldingThrust(p, &c), 1e-8*scale)
				var ground r2.Vec
				for j, joint := range statics.Joints() {
					if s.mechanism.Bodies[joint.Body].Ground {
						ground = r2.Add(ground, f.Reactions[j])
					}
				}
				for i, l := range s.mechanism.Slides {
					if s.mechanism.Bodies[l.Body].Ground {
						ground = r2.Sub(ground, f.Slides[i])
					}
				}
				want := outside
				for _, l := range c.Loads {
					grounded := s.points[l.Point].body == s.moving
					if !grounded || statics.hub[l.Point] >= 0 {
						want = r2.Add(want, l.Force)
					}
				}
				pull := c.Springs[0].Pull(p)
				for k, point := range []int{c.Springs[0].From, c.Springs[0].To} {
					if s.points[point].body != s.moving || statics.hub[point] >= 0 {
						want = r2.Add(want, r2.Scale(float64(1-2*k), pull))
					}
				}
				near(t, "ground", r2.Norm(r2.Sub(ground, want)), 0, 1e-8*scale)
			}
		}
	}
	t.Logf("%d poses", poses)
}
