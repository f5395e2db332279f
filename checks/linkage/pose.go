package linkage

import (
	"math"

	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/spatial/r2"
)

// A Pose is the linkage at one stroke. Rates are by the stroke of the cylinder that leads, ' = d/ds: multiply them by the speed of its
// rod to get speeds.
type Pose struct {
	Stroke       float64  // of the cylinder that leads, m
	Points       []r2.Vec // m
	Velocity     []r2.Vec // dP/ds, m/m
	Acceleration []r2.Vec // d²P/ds², 1/m

	Angles    []float64 // turn of each body from the drawn pose, counted on over full turns, rad
	AngleRate []float64 // dθ/ds, rad/m
	AngleBend []float64 // d²θ/ds², rad/m²

	Cylinders []CylinderPose
	Along     []float64 // how far each slide's point is from the slide's From towards its To, m

	// Resistance is the smallest singular value of the constraint Jacobian in lengths divided by the size: how far the linkage is
	// from a pose where it can't be moved or held. It is 0 at dead points and change points, and good to about a tenth elsewhere.
	Resistance float64

	Lead   int
	q      []float64
	stroke []float64 // of each cylinder, as a part of the size
	turn   []r2.Vec  // cosine and sine of the turn of each moving body, then of the ground

	// The Jacobian's factors, where the pose is of a sweep and its constraints are as many as its unknowns.
	program *program
	lu      []float64
}

// Condition is the condition number of the constraint Jacobian, its largest singular value by its Resistance: how many times a small
// error of the lengths grows in the places at most, to about a tenth. It is infinite at dead points and change points.
func (s *Solver) Condition(p *Pose) float64 {
	x := s.newState(new(Work))
	copy(x.q, p.q)
	copy(x.stroke, p.stroke)
	x.evaluate()
	largest := 0.0
	for range 100 { // power iteration on JᵀJ
		clear(x.force)
		clear(x.step)
		for k, e := range x.entries {
			x.force[e.row] += x.jac[k] * x.weakest[e.col]
		}
		for k, e := range x.entries {
			x.step[e.col] += x.jac[k] * x.force[e.row]
		}
		norm := floats.Norm(x.step, 2)
		largest = math.Sqrt(norm)
		floats.ScaleTo(x.weakest, 1/norm, x.step)
	}
	return largest / p.Resistance
}

// A CylinderPose is where a cylinder is.
type CylinderPose struct {
	Stroke, Length float64 // m
	Angle          float64 // of the way from rear to front against x, counted on over full turns, rad
	AngleRate      float64 // rad/m
	Rate           float64 // its stroke by the stroke of the cylinder that leads

	// Transmission is the acute angle between the cylinder and the normal of the way its front takes as seen from its rear, rad:
	// π/2 where all of the stroke moves the linkage, 0 at a dead point.
	Transmission float64
}

// newPoses makes room for n poses in a few pieces of memory.
func (s *system) newPoses(n, bodies int) []Pose {
	points, cylinders, slides, cols := len(s.points), len(s.lines), len(s.slides), s.cols()
	poses := make([]Pose, n)
	vectors := make([]r2.Vec, n*(3*points+s.moving+1))
	numbers := make([]float64, n*(3*bodies+slides+cols+cylinders))
	rods := make([]CylinderPose, n*cylinders)
	vec := func(k int) (v []r2.Vec) {
		v, vectors = vectors[:k:k], vectors[k:]
		return v
	}
	num := func(k int) (v []float64) {
		v, numbers = numbers[:k:k], numbers[k:]
		return v
	}
	for i := range poses {
		p := &poses[i]
		p.Points, p.Velocity, p.Acceleration, p.turn = vec(points), vec(points), vec(points), vec(s.moving+1)
		p.Angles, p.AngleRate, p.AngleBend = num(bodies), num(bodies), num(bodies)
		p.Along, p.q, p.stroke = num(slides), num(cols), num(cylinders)
		p.Cylinders, rods = rods[:cylinders:cylinders], rods[cylinders:]
	}
	return poses
}

// write puts the state into a pose, in SI.
func (x *state) write(p *Pose, lead int) {
	p.Lead, p.Stroke, p.Resistance = lead, x.stroke[lead]*x.size, x.sigma
	copy(p.q, x.q)
	copy(p.stroke, x.stroke)
	for i := range p.turn {
		p.turn[i] = r2.Vec{X: x.cos[i], Y: x.sin[i]}
	}
	for i, a := range x.points {
		px, py, rx, ry := x.at(a)
		vx, vy, ax, ay := x.motion(a)
		if a.body != x.moving {
			d := x.ddq[3*a.body : 3*a.body+3]
			ax, ay = ax+d[0]-ry*d[2], ay+d[1]+rx*d[2]
		}
		p.Points[i] = r2.Vec{X: px*x.size + x.middle.X, Y: py*x.size + x.middle.Y}
		p.Velocity[i] = r2.Vec{X: vx, Y: vy}
		p.Acceleration[i] = r2.Vec{X: ax / x.size, Y: ay / x.size}
	}
	for i, body := range x.bodies {
		p.Angles[body], p.AngleRate[body], p.AngleBend[body] = x.q[3*i+2], x.dq[3*i+2]/x.size, x.ddq[3*i+2]/(x.size*x.size)
	}
	for i := range x.lines {
		p.Cylinders[i] = x.cylinder(i)
	}
	for i, l := range x.slides {
		px, py, _, _ := x.at(l.point)
		ox, oy, _, _ := x.at(l.from)
		tx, ty := x.turned(attach{l.from.body, l.along})
		p.Along[i] = (tx*(px-ox) + ty*(py-oy)) * x.size
	}
}

func (x *state) cylinder(i int) CylinderPose {
	l := &x.lines[i]
	d, v := x.span(i)
	length := r2.Norm(d)
	speed := r2.Norm(v)
	c := CylinderPose{
		Stroke: x.stroke[i] * x.size, Length: (l.closed + x.stroke[i]) * x.size,
		Angle: x.angle[i], AngleRate: r2.Cross(d, v) / (length * length * x.size), Rate: x.rate[i],
	}
	if speed > 0 {
		c.Transmission = asin(r2.Dot(d, v) / (length * speed))
	}
	return c
}

// span is the way from rear to front of a cylinder and its rate.
func (x *state) span(i int) (d, v r2.Vec) {
	l := &x.lines[i]
	ox, oy, _, _ := x.at(l.rear)
	px, py, _, _ := x.at(l.front)
	ovx, ovy, _, _ := x.motion(l.rear)
	pvx, pvy, _, _ := x.motion(l.front)
	return r2.Vec{X: px - ox, Y: py - oy}, r2.Vec{X: pvx - ovx, Y: pvy - ovy}
}
