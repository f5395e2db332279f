package linkage

import "gonum.org/v1/gonum/spatial/r2"

// A Grip is a pose in which something holds a point while the lead pushes or pulls. Without friction its forces grow evenly with the thrust.
type Grip struct {
	Pose       *Pose
	Point      int
	Along      r2.Vec    // the way of the point with the lead going out, of length 1
	hold, per  float64   // the thrust with nothing held, that moves the loads alone, N; and what it grows by for each newton of the point
	free, unit []float64 // the forces with nothing held, and those of 1 N of the point on what holds it, as kept lists them
}

// Grips appends to grips the pose with each of the points held. One that stands still there can't be held and is left out.
func (t *Statics) Grips(grips []Grip, p *Pose, points []int, f *Forces) []Grip {
	free := t.released(p, f)
	for _, point := range points {
		if r2.Norm(p.Velocity[point]) < leastPart {
			continue
		}
		grips = append(grips, t.grip(p, point, r2.Unit(p.Velocity[point]), free, f))
	}
	return grips
}

// ReversedGrip is a pose with a point held that turns back there, along a way of length 1. Any force on it needs no more thrust: it is taken to be
// the thrust times gain, and the thrust to be what moves the loads alone.
func (t *Statics) ReversedGrip(p *Pose, point int, way r2.Vec, gain float64, f *Forces) Grip {
	g := t.grip(p, point, way, t.released(p, f), f)
	g.hold, g.per = 0, 1/gain
	return g
}

// released computes the forces of a pose with nothing held.
func (t *Statics) released(p *Pose, f *Forces) []float64 {
	t.prepare(p, f)
	f.way, f.press, f.Tool = 0, -1, 0
	clear(f.q)
	t.loads(f.q)
	t.friction(f, 0)
	t.balance(f, f.lambda)
	copy(f.last, f.lambda)
	t.read(f)
	return t.keep(f)
}

// grip computes what a force of 1 N along a way adds to the pose that was released last.
func (t *Statics) grip(p *Pose, point int, way r2.Vec, free []float64, f *Forces) Grip {
	lead := t.lines[p.Lead].row
	g := Grip{Pose: p, Point: point, Along: way, hold: f.last[lead], free: free}
	clear(f.q)
	t.x.push(f.q, t.points[point], r2.Scale(-1, way))
	t.balance(f, f.unit)
	g.per = f.unit[lead]
	for row, u := range f.unit {
		f.lambda[row] = f.last[row] + u
	}
	f.press, f.along, f.Tool = point, way, 1
	t.read(f)
	g.unit = t.keep(f)
	for i, v := range free {
		g.unit[i] -= v
	}
	return g
}

// PressGrip computes the forces that Press does, without friction, with the thrust (N) of the lead.
func (t *Statics) PressGrip(g *Grip, thrust float64, f *Forces) {
	t.pose = g.Pose
	t.makeRoom(f)
	f.way, f.press, f.along = 0, g.Point, g.Along
	f.Tool = (thrust - g.hold) / g.per
	i := 0
	next := func() float64 {
		i++
		return g.free[i-1] + f.Tool*g.unit[i-1]
	}
	for k := range f.Thrust {
		f.Thrust[k] = next()
	}
	for _, part := range [...][]r2.Vec{f.Reactions, f.Rear, f.Front, f.Slides} {
		for k := range part {
			part[k] = r2.Vec{X: next(), Y: next()}
		}
	}
}

// keep lists thrusts, reactions, and the forces of cylinders and slides, in room that many poses share.
func (t *Statics) keep(f *Forces) []float64 {
	n := len(f.Thrust) + 2*(len(f.Reactions)+len(f.Rear)+len(f.Front)+len(f.Slides))
	const together = 64
	if cap(t.kept)-len(t.kept) < n {
		t.kept = make([]float64, 0, together*n)
	}
	from := len(t.kept)
	t.kept = append(t.kept, f.Thrust...)
	for _, part := range [...][]r2.Vec{f.Reactions, f.Rear, f.Front, f.Slides} {
		for _, v := range part {
			t.kept = append(t.kept, v.X, v.Y)
		}
	}
	return t.kept[from:len(t.kept):len(t.kept)]
}
