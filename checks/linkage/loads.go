package linkage

import "gonum.org/v1/gonum/spatial/r2"

// Virtual work: at rest the thrust F of the lead and all loads do no work together on a small motion,
//
//	F + Σ load·dP/ds + Σ moment·dθ/ds = 0
//
// with the rates of a Pose. Friction is left out here; Statics takes it in.

// A Case is what acts on the linkage besides its cylinders. Loads at a point that is a pivot act on its pin.
type Case struct {
	Gravity  r2.Vec // m/s²
	Loads    []Load
	Springs  []Spring
	Pins     []Pin
	Friction []SlideFriction
}

// A Load is a force of constant direction, a mass that is carried, or both.
type Load struct {
	Point int
	Force r2.Vec  // N
	Mass  float64 // kg
}

// A Spring acts along the line between two points: it pulls when longer than its free length, and pushes when shorter.
type Spring struct {
	From, To  int
	Stiffness float64 // N/m
	Free      float64 // m
}

// A Pin is a pivot with friction: the force that passes between a link and the pin, times coefficient and radius, is the torque that
// opposes their turning. The pin is taken to stay with the ground or, away from it, with the first body that names the point.
type Pin struct {
	Point       int
	Coefficient float64
	Radius      float64 // m
}

// A SlideFriction opposes the motion of a slide with the coefficient times the force across it.
type SlideFriction struct {
	Slide       int
	Coefficient float64
}

// checkCase refuses what does not fit the mechanism.
func (s *Solver) checkCase(c Case) error {
	incomplete := Fault{Kind: CaseIncomplete}
	point := func(i int) bool { return i >= 0 && i < len(s.points) }
	if !finite(c.Gravity.X, c.Gravity.Y) {
		return incomplete
	}
	for _, l := range c.Loads {
		if !point(l.Point) || !finite(l.Force.X, l.Force.Y, l.Mass) || l.Mass < 0 {
			incomplete.Points = append(incomplete.Points, l.Point)
			return incomplete
		}
	}
	for _, k := range c.Springs {
		if !point(k.From) || !point(k.To) || k.From == k.To || !finite(k.Stiffness, k.Free) || k.Stiffness < 0 || k.Free < 0 {
			incomplete.Points = append(incomplete.Points, k.From, k.To)
			return incomplete
		}
	}
	for _, p := range c.Pins {
		if !point(p.Point) || !finite(p.Coefficient, p.Radius) || p.Coefficient < 0 || p.Radius < 0 {
			incomplete.Points = append(incomplete.Points, p.Point)
			return incomplete
		}
	}
	for _, f := range c.Friction {
		if f.Slide < 0 || f.Slide >= len(s.slides) || !finite(f.Coefficient) || f.Coefficient < 0 {
			incomplete.Slides = append(incomplete.Slides, f.Slide)
			return incomplete
		}
	}
	return nil
}

// StandardGravity is the pull of the earth downwards (ISO 80000-3), m/s².
var StandardGravity = r2.Vec{Y: -9.80665}

// HoldingThrust is the thrust (N, positive pushes) of the lead that keeps the linkage at rest in a pose, without friction, by
// virtual work. Where other cylinders move with the lead, it is what all of them do together by the lead's stroke. The
// case must fit the mechanism; Statics checks that.
func (s *Solver) HoldingThrust(p *Pose, c *Case) float64 {
	work := 0.0
	for i := range s.mechanism.Bodies {
		if b := &s.mechanism.Bodies[i]; !b.Ground && b.Mass != 0 {
			v, _ := s.motionOf(p, i, b.Centre)
			work += b.Mass * r2.Dot(c.Gravity, v)
		}
	}
	for i := range s.mechanism.Cylinders {
		rear, front := s.swung(p, i, c.Gravity)
		m := &s.mechanism.Cylinders[i]
		work += r2.Dot(rear, p.Velocity[m.Rear]) + r2.Dot(front, p.Velocity[m.Front])
	}
	for _, l := range c.Loads {
		work += r2.Dot(r2.Add(l.Force, r2.Scale(l.Mass, c.Gravity)), p.Velocity[l.Point])
	}
	for _, k := range c.Springs {
		work += r2.Dot(k.Pull(p), r2.Sub(p.Velocity[k.From], p.Velocity[k.To]))
	}
	return -work
}

// Pull is the force of the spring on its From; To feels the opposite.
func (k Spring) Pull(p *Pose) r2.Vec {
	d := r2.Sub(p.Points[k.To], p.Points[k.From])
	length := r2.Norm(d)
	if length == 0 {
		return r2.Vec{} // no direction
	}
	return r2.Scale(k.Stiffness*(length-k.Free)/length, d)
}

// placeOf gives a place on a body in a pose, given where it is drawn.
func (s *Solver) placeOf(p *Pose, body int, drawn r2.Vec) r2.Vec {
	o := s.mechanism.Bodies[body].Points[0]
	return r2.Add(p.Points[o], turned(r2.Sub(drawn, s.mechanism.Points[o]), p.turn[s.bodyOf[body]]))
}

// motionOf gives velocity and acceleration, by the stroke, of a place on a body, given where it is drawn.
func (s *Solver) motionOf(p *Pose, body int, drawn r2.Vec) (v, a r2.Vec) {
	o := s.mechanism.Bodies[body].Points[0]
	r := turned(r2.Sub(drawn, s.mechanism.Points[o]), p.turn[s.bodyOf[body]])
	w, e := p.AngleRate[body], p.AngleBend[body]
	v = r2.Add(p.Velocity[o], r2.Scale(w, normal(r)))
	a = r2.Add(p.Acceleration[o], r2.Sub(r2.Scale(e, normal(r)), r2.Scale(w*w, r)))
	return v, a
}

// turned is v turned by an angle of which the cosine and the sine are given.
func turned(v, by r2.Vec) r2.Vec {
	return r2.Vec{X: by.X*v.X - by.Y*v.Y, Y: by.Y*v.X + by.X*v.Y}
}

// normal is v turned by a quarter, from x towards y.
func normal(v r2.Vec) r2.Vec { return r2.Vec{X: -v.Y, Y: v.X} }

// axis is the direction of a cylinder from its rear to its front.
func (s *Solver) axis(p *Pose, cylinder int) r2.Vec {
	c := &s.mechanism.Cylinders[cylinder]
	return r2.Scale(1/p.Cylinders[cylinder].Length, r2.Sub(p.Points[c.Front], p.Points[c.Rear]))
}

// swung gives what the weights of a cylinder's barrel and rod put on its rear and front pivot. The part across the cylinder is shared
// by the lever; the part along it stays with the end that the barrel or the rod is fixed to.
func (s *Solver) swung(p *Pose, cylinder int, gravity r2.Vec) (rear, front r2.Vec) {
	c := &s.mechanism.Cylinders[cylinder]
	if c.BodyMass == 0 && c.RodMass == 0 {
		return rear, front
	}
	at := &p.Cylinders[cylinder]
	n := normal(s.axis(p, cylinder))
	across := r2.Scale(r2.Dot(n, gravity), n)
	barrel, rod := c.BodyCentre/at.Length, c.RodCentre/at.Length
	rear = r2.Add(r2.Scale(c.BodyMass, r2.Sub(gravity, r2.Scale(barrel, across))), r2.Scale(c.RodMass*rod, across))
	front = r2.Add(r2.Scale(c.RodMass, r2.Sub(gravity, r2.Scale(rod, across))), r2.Scale(c.BodyMass*barrel, across))
	return rear, front
}

// EffectiveMass is the mass (kg) that the rod of the lead feels, m = Σ m (dP/ds)² + Σ I (dθ/ds)², and its slope dm/ds (kg/m), of bodies,
// carried masses, barrels and rods. The thrust in motion is the holding thrust + m s̈ + (dm/ds) ṡ²/2 (Lagrange's equation).
func (s *Solver) EffectiveMass(p *Pose, c *Case) (mass, slope float64) {
	add := func(m float64, v, a r2.Vec) {
		mass += m * r2.Norm2(v)
		slope += 2 * m * r2.Dot(v, a)
	}
	for i := range s.mechanism.Bodies {
		if b := &s.mechanism.Bodies[i]; !b.Ground {
			v, a := s.motionOf(p, i, b.Centre)
			add(b.Mass, v, a)
			mass += b.Inertia * p.AngleRate[i] * p.AngleRate[i]
			slope += 2 * b.Inertia * p.AngleRate[i] * p.AngleBend[i]
		}
	}
	for _, l := range c.Loads {
		add(l.Mass, p.Velocity[l.Point], p.Acceleration[l.Point])
	}
	for i := range s.mechanism.Cylinders {
		m := &s.mechanism.Cylinders[i]
		at := &p.Cylinders[i]
		rear, front := p.Acceleration[m.Rear], p.Acceleration[m.Front]
		u := s.axis(p, i)
		w := at.AngleRate
		e := (r2.Dot(normal(u), r2.Sub(front, rear)) - 2*w*at.Rate) / at.Length
		v, a := r2.Scale(w, normal(u)), r2.Sub(r2.Scale(e, normal(u)), r2.Scale(w*w, u))
		add(m.BodyMass, r2.Add(p.Velocity[m.Rear], r2.Scale(m.BodyCentre, v)), r2.Add(rear, r2.Scale(m.BodyCentre, a)))
		add(m.RodMass, r2.Sub(p.Velocity[m.Front], r2.Scale(m.RodCentre, v)), r2.Sub(front, r2.Scale(m.RodCentre, a)))
	}
	return mass, slope
}
