package linkage

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"
)

// friction adds what the forces of the last round rub.
func (t *Statics) friction(f *Forces, way float64) {
	if way == 0 {
		clear(f.pinTorque)
		clear(f.eyes)
		return
	}
	x := t.x
	turn := func(number int) float64 {
		if number == t.moving {
			return 0
		}
		return t.pose.AngleRate[t.bodies[number]] * t.size
	}
	for i := range t.pivots {
		p := &t.pivots[i]
		torque := -t.mu[p.point] * math.Hypot(f.last[p.row], f.last[p.row+1]) * direction(way*(turn(p.a.body)-turn(p.b.body)))
		f.pinTorque[i] = torque
		x.twist(f.q, p.a.body, torque)
		x.twist(f.q, p.b.body, -torque)
	}
	for i, e := range t.ends {
		c := &t.pose.Cylinders[i]
		rear, front := t.eyeForces(f.last, f.eyes, i)
		for k, force := range []r2.Vec{rear, front} {
			a := t.points[e[k]]
			f.eyes[i][k] = -t.mu[e[k]] * r2.Norm(force) * direction(way*(c.AngleRate*t.size-turn(a.body)))
			x.twist(f.q, a.body, -f.eyes[i][k])
		}
		across := r2.Scale((f.eyes[i][0]+f.eyes[i][1])*t.size/c.Length, normal(t.axis(t.pose, i)))
		x.push(f.q, t.points[e[0]], r2.Scale(-1, across))
		x.push(f.q, t.points[e[1]], across)
	}
	for i := range t.slides {
		l := &t.slides[i]
		if t.rub[i] == 0 {
			continue
		}
		force := r2.Scale(-t.rub[i]*math.Abs(f.last[l.row])*direction(way*t.glide(i)), t.lineOf(i))
		x.push(f.q, l.point, force)
		x.push(f.q, t.opposite(i), r2.Scale(-1, force))
	}
}

func direction(v float64) float64 {
	if math.Abs(v) < leastTurn {
		return 0
	}
	return math.Copysign(1, v)
}

// lineOf is the direction of a slide's line in the pose.
func (t *Statics) lineOf(i int) r2.Vec {
	l := &t.slides[i]
	ux, uy := t.x.turned(attach{l.from.body, l.along})
	return r2.Vec{X: ux, Y: uy}
}

// opposite is the place on the body of a slide's line where its point is.
func (t *Statics) opposite(i int) attach {
	l := &t.slides[i]
	return attach{l.from.body, r2.Add(l.from.at, r2.Scale(t.pose.Along[i]/t.size, l.along))}
}

// glide is the speed of a slide's point along its line, by the stroke.
func (t *Statics) glide(i int) float64 {
	l := &t.slides[i]
	p := t.slidePoint[i]
	v := t.pose.Velocity[p]
	if l.from.body != t.moving {
		on := t.bodies[l.from.body]
		o := t.mechanism.Bodies[on].Points[0]
		r := r2.Sub(t.pose.Points[p], t.pose.Points[o])
		v = r2.Sub(v, r2.Add(t.pose.Velocity[o], r2.Scale(t.pose.AngleRate[on], normal(r))))
	}
	return r2.Dot(v, t.lineOf(i))
}

// eyeForces are the forces of a cylinder on the pins at its rear and front.
func (t *Statics) eyeForces(lambda []float64, eyes [][2]float64, i int) (rear, front r2.Vec) {
	rear, front = t.eyeLoads(eyes, i)
	thrust := r2.Scale(lambda[t.lines[i].row], t.axis(t.pose, i))
	return r2.Sub(rear, thrust), r2.Add(front, thrust)
}

// eyeLoads are those without its thrust: its weight, and what the friction of its pins presses across it.
func (t *Statics) eyeLoads(eyes [][2]float64, i int) (rear, front r2.Vec) {
	rear, front = t.swung(t.pose, i, t.c.Gravity)
	if torque := eyes[i][0] + eyes[i][1]; torque != 0 {
		across := r2.Scale(torque*t.size/t.pose.Cylinders[i].Length, normal(t.axis(t.pose, i)))
		rear, front = r2.Sub(rear, across), r2.Add(front, across)
	}
	return rear, front
}
