package linkage

import "gonum.org/v1/gonum/spatial/r2"

// A Grip is a pose in which something holds a point while the lead pushes or pulls. Without friction its forces grow evenly with the thrust.
type Grip struct {
	Pose       *Pose
	Point      int
	Along      r2.Vec  // the way of the point with the lead going out, of length 1
	hold, per  float64 // the thrust with nothing held, that moves the loads alone, N; and what it grows by for each newton of the point
	free, unit loaded  // the forces with nothing held, and those of 1 N of the point on what holds it
}

// loaded are Forces in short: the thrusts, and all forces one after the other.
type loaded struct {
	thrusts []float64
	vectors []r2.Vec
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
func (t *Statics) released(p *Pose, f *Forces) loaded {
	t.prepare(p, f)
	f.way, f.press, f.Tool = 0, -1, 0
	clear(f.q)
	t.loads(f.q)
	t.friction(f, 0)
	t.balance(f, f.lambda)
	t.read(f)
	return t.keep(f)
}

// grip computes what a force of 1 N along a way adds to the pose that was released last.
func (t *Statics) grip(p *Pose, point int, way r2.Vec, free loaded, f *Forces) Grip {
	clear(f.q)
	t.x.push(f.q, t.points[point], r2.Scale(-1, way))
	t.balance(f, f.unit)
	t.readRows(f, f.unit)
	t.onHub(f, point, r2.Scale(-1, way))
	lead := t.lines[p.Lead].row
	return Grip{Pose: p, Point: point, Along: way, hold: f.lambda[lead], per: f.unit[lead], free: free, unit: t.keep(f)}
}

// PressGrip computes the forces that Press does, without friction, with the thrust (N) of the lead.
func (t *Statics) PressGrip(g *Grip, thrust float64, f *Forces) {
	t.pose = g.Pose
	t.makeRoom(f)
	f.way, f.press, f.along = 0, g.Point, g.Along
	f.Tool = (thrust - g.hold) / g.per
	for i, free := range g.free.thrusts {
		f.Thrust[i] = free + f.Tool*g.unit.thrusts[i]
	}
	for i, free := range g.free.vectors {
		f.vectors[i] = r2.Add(free, r2.Scale(f.Tool, g.unit.vectors[i]))
	}
}

// keep lists the forces in room that many poses share.
func (t *Statics) keep(f *Forces) (kept loaded) {
	const together = 64
	all := &t.kept
	if cap(all.vectors)-len(all.vectors) < len(f.vectors) || cap(all.thrusts)-len(all.thrusts) < len(f.Thrust) {
		all.thrusts, all.vectors = make([]float64, 0, together*len(f.Thrust)), make([]r2.Vec, 0, together*len(f.vectors))
	}
	thrusts, vectors := len(all.thrusts), len(all.vectors)
	all.thrusts, all.vectors = append(all.thrusts, f.Thrust...), append(all.vectors, f.vectors...)
	return loaded{all.thrusts[thrusts:len(all.thrusts):len(all.thrusts)], all.vectors[vectors:len(all.vectors):len(all.vectors)]}
}
