package linkage

import (
	"slices"

	"gonum.org/v1/gonum/spatial/r2"
)

// Equilibrium in motion by d'Alembert: to the loads are added, of each body and each carried mass,
//
//	−m a,   −I α,   a = V s̈ + A ṡ²,   α = θ' s̈ + θ'' ṡ²
//
// with the rates V, A, θ', θ'' of a Pose by the stroke s of the lead (m), ṡ its speed (m/s) and s̈ its acceleration (m/s²). Range: one
// cylinder leads; masses that a Mechanism gives to barrels and rods are left out.
//
// Source: any textbook of dynamics.

// A Wrench is a force and its moment about the origin of the drawing, N and N m.
type Wrench struct {
	Force  r2.Vec
	Moment float64
}

// Plus adds a force at a place.
func (w Wrench) Plus(at, force r2.Vec) Wrench {
	return Wrench{r2.Add(w.Force, force), w.Moment + r2.Cross(at, force)}
}

// About is the moment about a place.
func (w Wrench) About(at r2.Vec) float64 { return w.Moment - r2.Cross(at, w.Force) }

// Move computes the forces while the lead goes with a speed and an acceleration, positive outward, without friction. Thrust is what the
// rod gives then, stops included.
func (t *Statics) Move(p *Pose, speed, acceleration float64, f *Forces) error {
	t.speed, t.acceleration = speed, acceleration
	defer func() { t.speed, t.acceleration = 0, 0 }()
	return t.Hold(p, Standing, f)
}

// inertia adds what the masses set against their acceleration.
func (t *Statics) inertia(q []float64) {
	if t.speed == 0 && t.acceleration == 0 {
		return
	}
	for k, i := range t.bodies {
		b := &t.mechanism.Bodies[i]
		if b.Mass != 0 {
			centre := r2.Sub(t.inside(b.Centre), t.origin[k])
			v, a := t.motionOf(t.pose, i, b.Centre)
			t.x.push(q, attach{k, centre}, r2.Scale(-b.Mass, accelerated(v, a, t.speed, t.acceleration)))
		}
		t.x.twist(q, k, -b.Inertia*(t.pose.AngleRate[i]*t.acceleration+t.pose.AngleBend[i]*t.speed*t.speed)/t.size)
	}
	for _, l := range t.c.Loads {
		a := accelerated(t.pose.Velocity[l.Point], t.pose.Acceleration[l.Point], t.speed, t.acceleration)
		t.x.push(q, t.points[l.Point], r2.Scale(-l.Mass, a))
	}
}

func accelerated(v, a r2.Vec, speed, acceleration float64) r2.Vec {
	return r2.Add(r2.Scale(acceleration, v), r2.Scale(speed*speed, a))
}

// OnGround is what all that moves puts on what carries it while the lead goes so: by its weight, and by its acceleration.
func (s *Solver) OnGround(p *Pose, c *Case, speed, acceleration float64) (weight, inertia Wrench) {
	s.masses(p, c, func(m float64, at, v, a r2.Vec) {
		weight = weight.Plus(at, r2.Scale(m, c.Gravity))
		inertia = inertia.Plus(at, r2.Scale(-m, accelerated(v, a, speed, acceleration)))
	})
	for i := range s.mechanism.Bodies {
		if b := &s.mechanism.Bodies[i]; !b.Ground {
			inertia.Moment -= b.Inertia * (p.AngleRate[i]*acceleration + p.AngleBend[i]*speed*speed)
		}
	}
	return weight, inertia
}

// masses goes through all that moves and has one, with its place, and its velocity and acceleration by the stroke.
func (s *Solver) masses(p *Pose, c *Case, do func(m float64, at, v, a r2.Vec)) {
	for i := range s.mechanism.Bodies {
		if b := &s.mechanism.Bodies[i]; !b.Ground && b.Mass != 0 {
			v, a := s.motionOf(p, i, b.Centre)
			do(b.Mass, s.placeOf(p, i, b.Centre), v, a)
		}
	}
	for _, l := range c.Loads {
		if l.Mass != 0 {
			do(l.Mass, p.Points[l.Point], p.Velocity[l.Point], p.Acceleration[l.Point])
		}
	}
}

// Clone keeps what pivots, slides and cylinders carry; the rest of the room is not copied.
func (f *Forces) Clone() Forces {
	room := make([]r2.Vec, 0, len(f.Reactions)+len(f.Rear)+len(f.Front)+len(f.Slides))
	keep := func(v []r2.Vec) []r2.Vec {
		room = append(room, v...)
		return room[len(room)-len(v) : len(room) : len(room)]
	}
	numbers := slices.Concat(f.Thrust, f.Torque)
	return Forces{Thrust: numbers[:len(f.Thrust):len(f.Thrust)], Torque: numbers[len(f.Thrust):], Reactions: keep(f.Reactions), Rear: keep(f.Rear), Front: keep(f.Front), Slides: keep(f.Slides), Tool: f.Tool}
}

// Add puts the forces of another load on top: without friction they add up.
func (f *Forces) Add(g *Forces) {
	for i, v := range g.Thrust {
		f.Thrust[i] += v
	}
	for _, p := range [][2][]r2.Vec{{f.Reactions, g.Reactions}, {f.Rear, g.Rear}, {f.Front, g.Front}, {f.Slides, g.Slides}} {
		for i, v := range p[1] {
			p[0][i] = r2.Add(p[0][i], v)
		}
	}
}

// EachMass goes through all that moves and has a mass, with its place in a pose.
func (s *Solver) EachMass(p *Pose, c *Case, do func(mass float64, at r2.Vec)) {
	s.masses(p, c, func(m float64, at, _, _ r2.Vec) { do(m, at) })
}
