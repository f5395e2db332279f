package linkage

import (
	"math"

	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/spatial/r2"
)

// state is one pose while it is being computed, with all the room that takes. Lengths are parts of the size.
type state struct {
	*system
	work *Work

	q, dq, ddq []float64 // unknowns and their derivatives by the lead's stroke
	cos, sin   []float64 // of each moving body, then of the ground
	stroke     []float64 // of each cylinder
	rate       []float64 // of each cylinder, by the lead's stroke
	spun       []float64 // target of each spin row
	follows    []bool    // of each cylinder: it takes what stroke the linkage gives it
	angle      []float64 // of each cylinder, continued over full turns

	phi      []float64
	jac      []float64
	program  *program
	lu       []float64
	negative bool    // sign of the determinant
	growth   float64 // largest multiplier in the factors
	step     []float64
	offset   []float64 // what correct leaves of phi; nil for nothing
	scratch  []float64
	force    []float64 // room for resist
	weakest  []float64 // the motion that meets the least resistance; continued from pose to pose
	sigma    float64   // its resistance: the smallest singular value of the Jacobian
}

// Work counts what a computation took; it does not depend on the machine that runs it.
type Work struct {
	Steps      int // accepted steps along the path
	Halvings   int // steps refused
	Newton     int // corrections solved
	Factorings int
	Orders     int // orders of pivots chosen
}

func (s *system) newState(work *Work) *state {
	n, c := s.cols(), len(s.lines)
	x := &state{
		system: s, work: work,
		q: make([]float64, n), dq: make([]float64, n), ddq: make([]float64, n),
		cos: make([]float64, s.moving+1), sin: make([]float64, s.moving+1),
		stroke: make([]float64, c), rate: make([]float64, c), angle: make([]float64, c),
		spun: make([]float64, len(s.spins)), follows: make([]bool, c),
		phi: make([]float64, s.rows), jac: make([]float64, len(s.template)),
		step: make([]float64, n), scratch: make([]float64, n), weakest: make([]float64, n), force: make([]float64, s.rows),
	}
	copy(x.jac, s.template)
	x.cos[s.moving] = 1
	for i := range s.moving {
		x.q[3*i], x.q[3*i+1] = s.origin[i].X, s.origin[i].Y
	}
	for i, l := range s.lines {
		x.stroke[i], x.angle[i] = l.drawn, l.angle
	}
	seed(x.weakest, 1)
	return x
}

// seed adds a vector that no pattern of a linkage is across, with a norm of about the part.
func seed(v []float64, part float64) {
	part /= math.Sqrt(float64(len(v)))
	for i := range v {
		v[i] += part * (1 + 0.1*float64(i%7))
	}
}

// set takes over the pose and the factors of another state of the same system.
func (x *state) set(o *state) {
	for _, v := range [][2][]float64{{x.q, o.q}, {x.dq, o.dq}, {x.ddq, o.ddq}, {x.cos, o.cos}, {x.sin, o.sin}, {x.stroke, o.stroke},
		{x.rate, o.rate}, {x.spun, o.spun}, {x.angle, o.angle}, {x.weakest, o.weakest}, {x.jac, o.jac}} {
		copy(v[0], v[1])
	}
	copy(x.follows, o.follows)
	x.use(o.program)
	copy(x.lu, o.lu)
	x.negative, x.growth, x.sigma = o.negative, o.growth, o.sigma
}

func (x *state) use(p *program) {
	x.program = p
	if cap(x.lu) < p.size {
		x.lu = make([]float64, p.size)
	}
	x.lu = x.lu[:p.size]
}

// turned gives the arm from a body's origin to a place on it, in the directions of the drawing.
func (x *state) turned(a attach) (rx, ry float64) {
	c, s := x.cos[a.body], x.sin[a.body]
	return c*a.at.X - s*a.at.Y, s*a.at.X + c*a.at.Y
}

// at gives the place of a, and the arm to it.
func (x *state) at(a attach) (px, py, rx, ry float64) {
	rx, ry = x.turned(a)
	if a.body == x.moving {
		return rx, ry, rx, ry
	}
	return x.q[3*a.body] + rx, x.q[3*a.body+1] + ry, rx, ry
}

// evaluate fills phi and the Jacobian from q.
func (x *state) evaluate() {
	for i := range x.moving {
		x.sin[i], x.cos[i] = math.Sincos(x.q[3*i+2])
	}
	for i := range x.pivots {
		p := &x.pivots[i]
		ax, ay, rax, ray := x.at(p.a)
		bx, by, rbx, rby := x.at(p.b)
		x.phi[p.row], x.phi[p.row+1] = ax-bx, ay-by
		x.jac[p.ax], x.jac[p.ay] = -ray, rax
		x.jac[p.bx], x.jac[p.by] = rby, -rbx
	}
	for i := range x.slides {
		l := &x.slides[i]
		px, py, rpx, rpy := x.at(l.point)
		ox, oy, rox, roy := x.at(l.from)
		nx, ny := x.turned(attach{l.from.body, l.normal})
		ex, ey := px-ox, py-oy
		x.phi[l.row] = nx*ex + ny*ey
		x.jac[l.p[0]], x.jac[l.p[1]], x.jac[l.p[2]] = nx, ny, ny*rpx-nx*rpy
		x.jac[l.l[0]], x.jac[l.l[1]], x.jac[l.l[2]] = -nx, -ny, nx*ey-ny*ex-(ny*rox-nx*roy)
	}
	for i := range x.lines {
		l := &x.lines[i]
		ox, oy, rox, roy := x.at(l.rear)
		px, py, rpx, rpy := x.at(l.front)
		length := l.closed + x.stroke[i]
		ux, uy := (px-ox)/length, (py-oy)/length
		x.phi[l.row] = 0.5 * (ux*(px-ox) + uy*(py-oy) - length)
		x.jac[l.r[0]], x.jac[l.r[1]], x.jac[l.r[2]] = -ux, -uy, ux*roy-uy*rox
		x.jac[l.f[0]], x.jac[l.f[1]], x.jac[l.f[2]] = ux, uy, uy*rpx-ux*rpy
	}
	for i, r := range x.spins {
		x.phi[r.row] = x.q[3*r.body+2] - x.spun[i]
	}
}

func (x *state) factor() {
	x.growth, x.negative = x.program.factor(x.jac[:len(x.entries)], x.lu)
	x.work.Factorings++
}

const (
	// newtonEnough is the correction, as a part of the size, after which the next would be below rounding.
	newtonEnough = 1e-13
	// newtonMost is the number of corrections after which a step is refused. Newton doubles the digits each time from 1e-2 on.
	newtonMost = 7
	// newtonStuck is the correction at which rounding near a singular pose may stop the decline.
	newtonStuck = 1e-10
)

// correct moves q onto the constraints. It reports the sum of all corrections, and whether that converged.
func (x *state) correct() (moved float64, ok bool) {
	last := math.Inf(1)
	for range newtonMost {
		x.evaluate()
		x.factor()
		if x.offset != nil {
			floats.Sub(x.phi, x.offset)
		}
		x.program.solve(x.lu, x.phi, x.step, x.scratch)
		x.work.Newton++
		floats.Sub(x.q, x.step)
		size := floats.Norm(x.step, math.Inf(1))
		moved += size
		if size < newtonEnough || size < newtonStuck && size > 0.1*last {
			return moved, true
		}
		if !(size < last) || size > 1 {
			return moved, false
		}
		last = size
	}
	return moved, false
}

// settle gives the cylinders that follow the stroke that they have in a corrected pose.
func (x *state) settle() {
	for i, f := range x.follows {
		if f {
			d, _ := x.span(i)
			x.stroke[i] = r2.Norm(d) - x.lines[i].closed
		}
	}
}

// derive computes dq and ddq at a corrected pose.
func (x *state) derive() {
	b := x.phi
	clear(b)
	for i, l := range x.lines {
		b[l.row] = x.rate[i]
	}
	x.program.solve(x.lu, b, x.dq, x.scratch)
	for i, f := range x.follows {
		if f {
			d, v := x.span(i)
			x.rate[i] = r2.Dot(d, v) / r2.Norm(d)
		}
	}
	x.curvature(b)
	x.program.solve(x.lu, b, x.ddq, x.scratch)
}

// motion gives the velocity of a place by the stroke and the part of its acceleration that its velocity brings, -θ'²r.
func (x *state) motion(a attach) (vx, vy, ax, ay float64) {
	if a.body == x.moving {
		return 0, 0, 0, 0
	}
	rx, ry := x.turned(a)
	d := x.dq[3*a.body : 3*a.body+3]
	return d[0] - ry*d[2], d[1] + rx*d[2], -rx * d[2] * d[2], -ry * d[2] * d[2]
}

// curvature fills b with -(q'ᵀ Φ_qq q').
func (x *state) curvature(b []float64) {
	for i := range x.pivots {
		p := &x.pivots[i]
		_, _, ax, ay := x.motion(p.a)
		_, _, bx, by := x.motion(p.b)
		b[p.row], b[p.row+1] = bx-ax, by-ay
	}
	for i := range x.slides {
		l := &x.slides[i]
		px, py, _, _ := x.at(l.point)
		ox, oy, _, _ := x.at(l.from)
		pvx, pvy, pax, pay := x.motion(l.point)
		ovx, ovy, oax, oay := x.motion(l.from)
		nx, ny := x.turned(attach{l.from.body, l.normal})
		turn := 0.0
		if l.from.body != x.moving {
			turn = x.dq[3*l.from.body+2]
		}
		b[l.row] = turn*turn*(nx*(px-ox)+ny*(py-oy)) - 2*turn*(nx*(pvy-ovy)-ny*(pvx-ovx)) - nx*(pax-oax) - ny*(pay-oay)
	}
	for i := range x.lines {
		l := &x.lines[i]
		ox, oy, _, _ := x.at(l.rear)
		px, py, _, _ := x.at(l.front)
		ovx, ovy, oax, oay := x.motion(l.rear)
		pvx, pvy, pax, pay := x.motion(l.front)
		vx, vy := pvx-ovx, pvy-ovy
		b[l.row] = (x.rate[i]*x.rate[i] - vx*vx - vy*vy - (px-ox)*(pax-oax) - (py-oy)*(pay-oay)) / (l.closed + x.stroke[i])
	}
	for _, r := range x.spins {
		b[r.row] = 0
	}
}

// resist improves sigma and weakest by inverse iteration on JᵀJ. Parts of a machine that don't touch each other would forget the one
// that is stiffer now and weaker later: each time a little of everything is mixed in.
func (x *state) resist(rounds int) {
	seed(x.weakest, 1e-3)
	for range rounds {
		x.program.solveTransposed(x.lu, x.weakest, x.force, x.scratch)
		x.program.solve(x.lu, x.force, x.weakest, x.scratch)
		norm := floats.Norm(x.weakest, 2)
		x.sigma = 1 / math.Sqrt(norm)
		floats.Scale(1/norm, x.weakest)
	}
}
