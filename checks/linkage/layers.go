package linkage

import "gonum.org/v1/gonum/spatial/r2"

// Forces of one plane act in layers beside each other. A force F on a pin at the distance z from the layer of the body that holds the
// pin bends the pin and turns that body out of the plane with the couple
//
//	M = z ẑ × F = z (-Fy, Fx)
//
// whose part along the body's bar twists it and whose part across bends it out of the plane. Each pin is held by one body, and the
// others run on it in the middle of their layer: they pass no couple on. So a cylinder beside the plane of the links puts thrust times
// distance on its pivots.

// Layers are the places of the middles of bodies and cylinders across the plane, m. A body of two plates, or a fork, counts as its middle.
type Layers struct {
	Bodies    []float64
	Cylinders []float64
	// Holder is the body that holds the pin of each point, or -1 for the ground where it is there, else the first body that names the
	// point. Nil is -1 for all.
	Holder []int
}

// A PinMoment is what forces in other layers do to a pin.
type PinMoment struct {
	Point, Holder int
	Couple        r2.Vec  // on the holder, about x and y, N m
	Bending       float64 // of the pin at the middle of its holder, the larger of both sides, N m
}

// A BodyMoment is what a body gets by the pins that it holds.
type BodyMoment struct {
	Couple r2.Vec // sum, about x and y, N m: what its pivots must keep from tilting it

	// Twist about the bar (as in Member) and Lean across it, N m: the most that any section carries, wherever the body is held.
	Twist, Lean float64
}

// Aside computes the moments of forces in layers. Pins and Bodies are those of the forces computed last.
type Aside struct {
	Pins   []PinMoment  // one for each point where bodies, cylinders or slides meet
	Bodies []BodyMoment // of each body

	t       *Statics
	layers  Layers
	pin     []int       // of each point, its place in Pins or -1
	bending [][2]r2.Vec // of each of Pins, the sum of z F on either side of its holder
}

// Aside prepares moments for layers. The error is a Fault.
func (t *Statics) Aside(l Layers) (*Aside, error) {
	m := &t.mechanism
	if len(l.Bodies) != len(m.Bodies) || len(l.Cylinders) != len(m.Cylinders) || l.Holder != nil && len(l.Holder) != len(m.Points) ||
		!finite(l.Bodies...) || !finite(l.Cylinders...) {
		return nil, Fault{Kind: CaseIncomplete}
	}
	a := &Aside{t: t, layers: l, Bodies: make([]BodyMoment, len(m.Bodies)), pin: make([]int, len(m.Points))}
	for p := range m.Points {
		a.pin[p] = -1
		if t.hub[p] < 0 {
			continue
		}
		holder := t.joints[t.hub[p]].Body
		if l.Holder != nil && l.Holder[p] >= 0 {
			if holder = l.Holder[p]; holder >= len(m.Bodies) || !has(m.Bodies[holder], p) {
				return nil, Fault{Kind: CaseIncomplete, Points: []int{p}}
			}
		}
		a.pin[p] = len(a.Pins)
		a.Pins = append(a.Pins, PinMoment{Point: p, Holder: holder})
	}
	a.bending = make([][2]r2.Vec, len(a.Pins))
	return a, nil
}

// Compute fills Pins and Bodies for the forces that were computed last.
func (a *Aside) Compute(f *Forces) {
	t := a.t
	clear(a.bending)
	for j, joint := range t.joints {
		if joint.Body != a.Pins[a.pin[joint.Point]].Holder {
			a.act(joint.Point, a.layers.Bodies[joint.Body], r2.Scale(-1, f.Reactions[j]))
		}
	}
	for i, e := range t.ends {
		a.act(e[0], a.layers.Cylinders[i], f.Rear[i])
		a.act(e[1], a.layers.Cylinders[i], f.Front[i])
	}
	for i, l := range t.mechanism.Slides {
		a.act(l.Point, a.layers.Bodies[l.Body], f.Slides[i])
	}
	clear(a.Bodies)
	for i := range a.Pins {
		p, b := &a.Pins[i], a.bending[i]
		p.Couple = normal(r2.Add(b[0], b[1]))
		p.Bending = max(r2.Norm(b[0]), r2.Norm(b[1]))
		body := &a.Bodies[p.Holder]
		body.Couple = r2.Add(body.Couple, p.Couple)
	}
	for i := range a.Bodies {
		bar := t.outermost[i]
		if bar[0] == bar[1] {
			continue
		}
		axis := r2.Unit(r2.Sub(t.pose.Points[bar[1]], t.pose.Points[bar[0]]))
		a.Bodies[i].Twist, a.Bodies[i].Lean = a.largest(i, axis), a.largest(i, normal(axis))
	}
}

// act adds a force on a pin in a layer.
func (a *Aside) act(point int, layer float64, force r2.Vec) {
	i := a.pin[point]
	z := layer - a.layers.Bodies[a.Pins[i].Holder]
	side := 0
	if z < 0 {
		side = 1
	}
	a.bending[i][side] = r2.Add(a.bending[i][side], r2.Scale(z, force))
}

// largest is the most of the couples about an axis that a section of a body can carry: all of one sense.
func (a *Aside) largest(body int, axis r2.Vec) float64 {
	left, right := 0.0, 0.0
	for i := range a.Pins {
		if a.Pins[i].Holder == body {
			m := r2.Dot(axis, a.Pins[i].Couple)
			left, right = left+max(m, 0), right+max(-m, 0)
		}
	}
	return max(left, right)
}
