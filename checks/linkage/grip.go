package linkage

import "gonum.org/v1/gonum/spatial/r2"

// A Grip is a pose in which something holds a point while the lead pushes or pulls. Without friction its forces grow evenly with the thrust.
type Grip struct {
	Pose       *Pose
	Point      int
	along      r2.Vec
	hold, per  float64   // the thrust with nothing held, that moves the loads alone, N; and what it grows by for each newton of the point
	free, unit []float64 // the forces with nothing held, and those of 1 N of the point on what holds it, as kept lists them
}

// Grips appends to grips the pose with each of the points held. One that stands still there can't be held and is left out.
func (t *Statics) Grips(grips []Grip, p *Pose, points []int, f *Forces) []Grip {
	t.prepare(p, f)
	f.way, f.press, f.Tool = 0, -1, 0
	clear(f.q)
	t.loads(f.q)
	t.friction(f, 0)
	t.balance(f, f.lambda)
	copy(f.last, f.lambda)
	t.read(f)
	free := t.keep(f)
	lead := t.lines[p.Lead].row
	for _, point := range points {
		if r2.Norm(p.Velocity[point]) < leastPart {
			continue
		}
		g := Grip{Pose: p, Point: point, along: r2.Unit(p.Velocity[point]), hold: f.last[lead], free: free}
		clear(f.q)
		t.x.push(f.q, t.points[point], r2.Scale(-1, g.along))
		t.balance(f, f.unit)
		g.per = f.unit[lead]
		for row, u := range f.unit {
			f.lambda[row] = f.last[row] + u
		}
		f.press, f.along, f.Tool = point, g.along, 1
		t.read(f)
		g.unit = t.keep(f)
		for i, v := range free {
			g.unit[i] -= v
		}
		grips = append(grips, g)
	}
	return grips
}

// PressGrip computes the forces that Press does, without friction, with the thrust (N) of the lead.
func (t *Statics) PressGrip(g *Grip, thrust float64, f *Forces) {
	t.pose = g.Pose
	t.makeRoom(f)
	f.way, f.press, f.along = 0, g.Point, g.along
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
