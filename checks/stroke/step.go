package stroke

import "math"

// stages is how many slopes a step has, without that of its end.
const stages = 6

// The coefficients of RODAS (E. Hairer and G. Wanner, Solving Ordinary Differential Equations II, section IV.10; from memory, the orders
// tested): a stage is at a sum of earlier increments, and its slope is mixed with a sum of them over the step.
const (
	gamma = 0.25

	a21 = 1.544
	a31 = 0.9466785280815826
	a32 = 0.2557011698983284
	a41 = 3.314825187068521
	a42 = 2.896124015972201
	a43 = 0.9986419139977817
	a51 = 1.221224509226641
	a52 = 6.019134481288629
	a53 = 12.53708332932087
	a54 = -0.6878860361058950

	c21 = -5.6688
	c31 = -2.430093356833875
	c32 = -0.2063599157091915
	c41 = -0.1073529058151375
	c42 = -9.594562251023355
	c43 = -20.47028614809616
	c51 = 7.496443313967647
	c52 = -10.24680431464352
	c53 = -33.99990352819905
	c54 = 11.70890893206160
	c61 = 8.083246795921522
	c62 = -7.981132988064893
	c63 = -31.52159432874371
	c64 = 16.31930543123136
	c65 = -6.058818238834054
)

// A stepper takes steps of a linearly implicit method and holds the last one for interpolation.
type stepper struct {
	model      *model
	from       vector // start of the last step
	to         vector // its end
	slopes     [2]vector
	powers     [2][works]float64
	increments [stages]vector
	worked     [stages][works]float64
	jacobian   jacobian
	system     eliminated
	fresh      bool // the jacobian is that of from
	h          float64
}

// start evaluates the slope at the beginning of a phase.
func (z *stepper) start(y *vector) {
	z.to = *y
	z.end()
	z.next()
}

// end evaluates the slope at z.to.
func (z *stepper) end() { z.model.derive(&z.to, &z.slopes[1], &z.powers[1], true) }

// next makes the end of the last step the start of the next.
func (z *stepper) next() {
	z.from = z.to
	z.slopes[0], z.powers[0] = z.slopes[1], z.powers[1]
	z.fresh = false
}

// try takes a step of h from z.from to z.to.
func (z *stepper) try(h float64) {
	z.h = h
	if !z.fresh {
		z.model.differentiate(&z.from, &z.jacobian)
		z.fresh = true
	}
	z.system.eliminate(&z.jacobian, z.model, 1/(h*gamma))
	from, y, k, w := &z.from, &z.to, &z.increments, &z.worked
	inverse := 1 / h
	k[0], w[0] = z.slopes[0], z.powers[0]
	z.increase(0)
	for i := range states {
		y[i] = from[i] + a21*k[0][i]
	}
	z.slope(1)
	for i := range states {
		k[1][i] += inverse * c21 * k[0][i]
	}
	for i := range works {
		w[1][i] += inverse * c21 * w[0][i]
	}
	z.increase(1)
	for i := range states {
		y[i] = from[i] + a31*k[0][i] + a32*k[1][i]
	}
	z.slope(2)
	for i := range states {
		k[2][i] += inverse * (c31*k[0][i] + c32*k[1][i])
	}
	for i := range works {
		w[2][i] += inverse * (c31*w[0][i] + c32*w[1][i])
	}
	z.increase(2)
	for i := range states {
		y[i] = from[i] + a41*k[0][i] + a42*k[1][i] + a43*k[2][i]
	}
	z.slope(3)
	for i := range states {
		k[3][i] += inverse * (c41*k[0][i] + c42*k[1][i] + c43*k[2][i])
	}
	for i := range works {
		w[3][i] += inverse * (c41*w[0][i] + c42*w[1][i] + c43*w[2][i])
	}
	z.increase(3)
	for i := range states {
		y[i] = from[i] + a51*k[0][i] + a52*k[1][i] + a53*k[2][i] + a54*k[3][i]
	}
	z.slope(4)
	for i := range states {
		k[4][i] += inverse * (c51*k[0][i] + c52*k[1][i] + c53*k[2][i] + c54*k[3][i])
	}
	for i := range works {
		w[4][i] += inverse * (c51*w[0][i] + c52*w[1][i] + c53*w[2][i] + c54*w[3][i])
	}
	z.increase(4)
	for i := range states {
		y[i] += k[4][i]
	}
	z.slope(5)
	for i := range states {
		k[5][i] += inverse * (c61*k[0][i] + c62*k[1][i] + c63*k[2][i] + c64*k[3][i] + c65*k[4][i])
	}
	for i := range works {
		w[5][i] += inverse * (c61*w[0][i] + c62*w[1][i] + c63*w[2][i] + c64*w[3][i] + c65*w[4][i])
	}
	z.increase(5)
	for i := range states {
		y[i] += k[5][i]
	}
	z.end()
}

// slope evaluates that of z.to in the place of the stage's increments, of which those of states that the machine lacks may be what a step to
// where there is no state left there.
func (z *stepper) slope(stage int) {
	z.increments[stage] = vector{}
	z.model.derive(&z.to, &z.increments[stage], &z.worked[stage], false)
}

// increase makes slopes increments.
func (z *stepper) increase(stage int) {
	d, w := &z.increments[stage], &z.worked[stage]
	z.system.solve(&z.jacobian, d)
	if z.model.dir == 0 {
		return
	}
	z.jacobian.work(d, w)
	for i := range w {
		w[i] *= z.h * gamma
	}
}

// work is what the last step adds to the works.
func (z *stepper) work(w *[works]float64) {
	k := &z.worked
	for i := range w {
		w[i] += a51*k[0][i] + a52*k[1][i] + a53*k[2][i] + a54*k[3][i] + k[4][i] + k[5][i]
	}
}

// conservative is how many times the step's error the last increment commonly is, as TestTolerance measures it.
const conservative = 5

// miss is the step's error as a share of what is allowed, of which scale has the inverse; NaN for a step to where there is no state. It
// goes by the last increment, without which the step is one of order 3. The works are part of it: a stiff damper takes up most of the
// energy in a time in which the state hardly knows of it.
func (z *stepper) miss(scale *vector, work float64) float64 {
	sum := 0.0
	for i := range z.model.n {
		e := scale[i] * z.increments[stages-1][i]
		sum += e * e
	}
	unaccounted := 0.0
	for _, e := range z.worked[stages-1] {
		unaccounted += e * e
	}
	return math.Sqrt(max(sum/float64(z.model.n), unaccounted/(work*work))) / conservative
}

// at is the i-th quantity at the share x of the last step.
func (z *stepper) at(i int, x float64) float64 {
	rise := z.to[i] - z.from[i]
	first, last := z.h*z.slopes[0][i]-rise, rise-z.h*z.slopes[1][i]
	return z.from[i] + x*(rise+(1-x)*(first+x*(last-first)))
}

// all is the state at the share x of the last step.
func (z *stepper) all(x float64) (y vector) {
	for i := range z.model.n {
		y[i] = z.at(i, x)
	}
	return y
}

// slopeAt is the slope of the i-th quantity at the share x of the last step.
func (z *stepper) slopeAt(i int, x float64) float64 {
	rise := z.to[i] - z.from[i]
	first, last := z.h*z.slopes[0][i]-rise, rise-z.h*z.slopes[1][i]
	return (rise + (1-2*x)*first + x*(2-3*x)*(last-first)) / z.h
}
