package linkage

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/floats"
)

// A path is followed from the drawn pose by predictor and corrector: the next pose is predicted from velocity and acceleration and
// corrected by Newton's method. A step is refused, and halved, when the correction is more than a small part of it or when the
// determinant of the Jacobian changes its sign: then another branch is near. So the branch that was drawn is the one that is followed.

const (
	// correctionPart of a step is the most that a correction may be. Larger is faster and may jump to another branch.
	correctionPart = 0.1
	// bendPart of a step is the most that its curvature may be.
	bendPart = 0.5
	// leastStep, as a part of the stroke, is where halving ends: places of stops are exact to a few of these.
	leastStep = 1e-7
	// mostStep, as a part of the stroke, keeps a sweep of few poses from stepping over a singular pose.
	mostStep = 1.0 / 48
	// weak is the resistance below which redundant constraints are sorted anew: others may hold better.
	weak = 0.02
)

type walker struct {
	work                Work
	before, here, trial *state
	lead                int
	fit                 float64 // part of the size
	tolerance           float64
	least, most         float64 // steps
	step                float64 // the last that went well
	misfit              int     // row of a redundant constraint that refused the last step, or -1
	ended               int     // cylinder that follows and would leave its stroke by the last step, or -1
	crossed             bool    // the walker stands before a pose where branches cross
	singular            float64 // and its stroke of the lead, as a part of the size

	travelled float64    // along the present path
	times     [3]float64 // of the last three poses and their resistance
	sigmas    [3]float64
	history   int
}

// start puts a walker on the drawn pose, with cylinders that follow. ok is false when the constraints can't be met there.
func (s *Solver) start(lead int, follow ...int) (w *walker, ok bool) {
	w = &walker{misfit: -1, ended: -1, lead: lead}
	w.before, w.here, w.trial = s.system.newState(&w.work), s.system.newState(&w.work), s.system.newState(&w.work)
	for _, i := range follow {
		w.before.follows[i], w.here.follows[i], w.trial.follows[i] = true, true, true
	}
	w.fit = max(s.mechanism.Fit/s.size, leastPart)
	w.tolerance = tolerance(s.mechanism, s.size)
	stroke := s.lines[lead].stroke
	w.least, w.most = leastStep*stroke, mostStep*stroke
	x := w.here
	x.evaluate()
	p := x.choose(w.tolerance)
	if p == nil {
		return w, false
	}
	w.setProgram(p)
	if _, ok := x.correct(); !ok {
		return w, false
	}
	x.settle()
	ok = w.fits(x)
	x.resist(20)
	return w, ok
}

func (w *walker) setProgram(p *program) {
	w.before.use(p)
	w.here.use(p)
	w.trial.use(p)
}

// choose takes as many rows as there are unknowns, those that hold best, and orders them. It is nil where they don't hold the pose.
// Rows of cylinders that follow are not taken.
func (x *state) choose(tolerance float64) *program {
	x.work.Orders++
	var use []bool
	rows := x.rows
	for i, f := range x.follows {
		if !f {
			continue
		}
		if use == nil {
			use = slices.Repeat([]bool{true}, x.rows)
		}
		use[x.lines[i].row] = false
		rows--
	}
	if rows == x.cols() {
		p := order(x.matrix(), use, nil, 0)
		if !p.square() {
			return nil
		}
		return p
	}
	all := order(x.matrix(), use, x.first, tolerance)
	if !all.square() {
		return nil
	}
	p := order(x.matrix(), inUse(all, x.rows, x.rows), nil, 0)
	if !p.square() {
		return nil
	}
	p.dropped = all.dropped
	return p
}

// fits tells whether the redundant constraints are met, and notes the worst.
func (w *walker) fits(x *state) bool {
	w.misfit = -1
	worst := w.fit
	for _, row := range x.program.dropped {
		if v := math.Abs(x.phi[row]); v > worst {
			worst, w.misfit = v, int(row)
		}
	}
	return w.misfit < 0
}

// strokeLeft tells whether the cylinders that follow are within their strokes, and notes one that is not.
func (w *walker) strokeLeft(x *state) bool {
	w.ended = -1
	for i, f := range x.follows {
		if s := x.stroke[i]; f && (s < -w.fit || s > x.lines[i].stroke+w.fit) {
			w.ended = i
		}
	}
	return w.ended < 0
}

// head sets the rates of the cylinders for the path that begins here.
func (w *walker) head(rate []float64) {
	copy(w.here.rate, rate)
	copy(w.trial.rate, rate)
	copy(w.before.rate, rate)
	w.here.derive()
	w.history, w.travelled, w.step, w.crossed = 0, 0, w.most, false
	w.remember()
}

// remember notes the present pose among the last three.
func (w *walker) remember() {
	w.times[0], w.times[1], w.times[2] = w.times[1], w.times[2], w.travelled
	w.sigmas[0], w.sigmas[1], w.sigmas[2] = w.sigmas[1], w.sigmas[2], w.here.sigma
	w.history++
}

// walk goes on by a distance of the path, forwards or backwards. It reports whether it got there.
func (w *walker) walk(distance float64) bool {
	end := w.travelled + distance
	w.step = max(w.step, w.least)
	for w.travelled != end {
		left := end - w.travelled
		h := math.Copysign(min(math.Abs(left), w.step, w.most), left)
		if !w.try(h) {
			w.work.Halvings++
			w.step = math.Abs(h) / 2
			if w.step < w.least {
				return false
			}
			continue
		}
		w.work.Steps++
		if h == left {
			w.travelled = end
		} else {
			w.travelled += h
		}
		if math.Abs(h) >= w.step {
			w.step = min(2*w.step, w.most)
		}
		w.remember()
		if w.touched() {
			return false
		}
	}
	return true
}

// try takes one step to trial and, if it is sound, makes that the present pose.
func (w *walker) try(h float64) bool {
	x, y := w.here, w.trial
	w.misfit, w.ended = -1, -1
	if !w.predict(x, y, h) {
		return false
	}
	reach := math.Abs(h) * floats.Norm(x.dq, math.Inf(1))
	if 0.5*h*h*floats.Norm(x.ddq, math.Inf(1)) > bendPart*reach {
		return false
	}
	moved, ok := y.correct()
	y.settle()
	if !ok || !w.strokeLeft(y) || moved > correctionPart*reach+newtonStuck || y.negative != x.negative || !w.fits(y) {
		return false
	}
	y.derive()
	if floats.Dot(x.dq, y.dq) < 0.5*floats.Norm(x.dq, 2)*floats.Norm(y.dq, 2) {
		return false
	}
	copy(y.weakest, x.weakest)
	y.resist(2)
	for i := range y.lines {
		d, _ := y.span(i)
		y.angle[i] = x.angle[i] + math.Remainder(math.Atan2(d.Y, d.X)-x.angle[i], 2*math.Pi)
	}
	w.before, w.here, w.trial = x, y, w.before
	if !(y.growth < growthLimit) || y.rows > y.cols() && y.sigma < weak {
		w.reorder()
	}
	return true
}

// predict puts y where x will be after h.
func (w *walker) predict(x, y *state, h float64) bool {
	for i := range y.stroke {
		y.stroke[i] = x.stroke[i] + h*x.rate[i]
		if y.lines[i].closed+y.stroke[i] <= 0 {
			return false
		}
	}
	copy(y.spun, x.spun)
	for i := range y.q {
		y.q[i] = x.q[i] + h*(x.dq[i]+0.5*h*x.ddq[i])
	}
	return true
}

// reorder chooses pivots for the present pose, and keeps them if they hold it better.
func (w *walker) reorder() {
	x := w.here
	p := x.choose(w.tolerance)
	if p == nil {
		return
	}
	old, sigma, growth := x.program, x.sigma, x.growth
	x.use(p)
	x.factor()
	x.resist(6)
	if x.growth > growth && x.sigma < sigma {
		p = old
		x.use(p)
		x.factor()
		x.resist(6)
	}
	w.setProgram(p)
	x.derive()
	if !slices.Equal(p.dropped, old.dropped) {
		w.history = 0 // other rows have another resistance
	}
}

// touched looks for a singular pose that the last two steps went through without a change of sign: two branches that cross at the
// same pose. The resistance then falls to zero and rises again. It leaves the walker just before such a pose.
func (w *walker) touched() bool {
	if w.history < 3 {
		return false
	}
	s := w.sigmas
	if s[1] > s[0] || s[1] > s[2] {
		return false
	}
	ago, since := math.Abs(w.times[1]-w.times[0]), math.Abs(w.times[2]-w.times[1])
	if fall := max((s[0]-s[1])/ago, (s[2]-s[1])/since); s[1] > 2*fall*max(ago, since) {
		return false // too far from zero to have been there
	}
	probe := func(t float64) float64 {
		y := w.trial
		if !w.predict(w.before, y, t-w.times[1]) {
			return math.Inf(1)
		}
		copy(y.weakest, w.before.weakest)
		if _, ok := y.correct(); !ok {
			return 0
		}
		if y.resist(8); math.IsNaN(y.sigma) {
			return 0
		}
		return y.sigma
	}
	t, weakest := narrow(w.times[0], w.times[2], w.least, probe)
	if weakest > 1e-3*s[1] {
		return false
	}
	w.crossed, w.singular = true, w.before.stroke[w.lead]+(t-w.times[1])*w.before.rate[w.lead]
	// Stand on the near side, as near as the constraints can be solved.
	for back := w.least; back < 0.5*ago; back *= 10 {
		near := t - math.Copysign(back, w.times[2]-w.times[0])
		if probe(near) > 0 {
			y := w.trial
			y.derive()
			copy(y.angle, w.before.angle)
			w.here, w.trial, w.travelled = y, w.here, near
			break
		}
	}
	return true
}

// narrow looks for the least value of f between two places, in either order, until they lie no farther apart than asked: a golden section
// search. It gives their middle and the lesser of the last two values.
func narrow(a, b, apart float64, f func(float64) float64) (at, value float64) {
	const golden = 0.6180339887498949
	c, d := b-golden*(b-a), a+golden*(b-a)
	fc, fd := f(c), f(d)
	for math.Abs(b-a) > apart {
		if fc < fd {
			b, d, fd = d, c, fc
			c = b - golden*(b-a)
			fc = f(c)
		} else {
			a, c, fc = c, d, fd
			d = a + golden*(b-a)
			fd = f(d)
		}
	}
	return (a + b) / 2, min(fc, fd)
}
