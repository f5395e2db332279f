package stroke

import "math"

// stages is how many slopes a step has, without that of its end.
const stages = 10

// A stepper takes steps of Ketcheson's method and holds the last one for interpolation.
type stepper struct {
	model  *model
	k      [stages + 1]vector // slopes at the stages, and at the end
	powers [stages + 1][works]float64
	from   vector // start of the last step
	to     vector // its end
	h      float64
}

// start evaluates the slope at the beginning of a phase.
func (z *stepper) start(y *vector) {
	z.to = *y
	z.slope(stages)
	z.next()
}

// slope evaluates that of z.to.
func (z *stepper) slope(stage int) {
	z.model.derive(&z.to, &z.k[stage], &z.powers[stage], stage == stages)
}

// next makes the end of the last step the start of the next.
func (z *stepper) next() {
	z.from = z.to
	z.k[0] = z.k[stages]
	z.powers[0] = z.powers[stages]
}

// try takes a step of h from z.from to z.to.
func (z *stepper) try(h float64) {
	z.h = h
	n := z.model.n
	y, t, k := &z.from, &z.to, &z.k
	sixth, fifteenth, tenth := h/6, h/15, h/10
	*t = *y
	for stage := range 4 {
		for i := range n {
			t[i] += sixth * k[stage][i]
		}
		z.slope(stage + 1)
	}
	for i := range n {
		t[i] = y[i] + fifteenth*(k[0][i]+k[1][i]+k[2][i]+k[3][i]+k[4][i])
	}
	z.slope(5)
	for stage := 5; stage < 9; stage++ {
		for i := range n {
			t[i] += sixth * k[stage][i]
		}
		z.slope(stage + 1)
	}
	for i := range n {
		t[i] = y[i] + tenth*(k[0][i]+k[1][i]+k[2][i]+k[3][i]+k[4][i]+k[5][i]+k[6][i]+k[7][i]+k[8][i]+k[9][i])
	}
	z.slope(stages)
}

// work is what the last step adds to the works.
func (z *stepper) work(w *[works]float64) {
	p, share := &z.powers, z.h/stages
	for i := range w {
		w[i] += share * (p[0][i] + p[1][i] + p[2][i] + p[3][i] + p[4][i] + p[5][i] + p[6][i] + p[7][i] + p[8][i] + p[9][i])
	}
}

// miss is the step's error as a share of what is allowed, of which scale has the inverse; NaN for a step to where there is no state. The works are part of it: a stiff
// damper takes up most of the energy in a time in which the state hardly knows of it.
func (z *stepper) miss(scale *vector, work float64) float64 {
	sum := 0.0
	k := &z.k
	for i := range z.model.n {
		e := z.h * scale[i] * unlike(k[0][i], k[1][i], k[2][i], k[3][i], k[4][i], k[5][i], k[6][i], k[7][i], k[8][i], k[9][i])
		sum += e * e
	}
	p := &z.powers
	unaccounted := 0.0
	for i := range works {
		e := unlike(p[0][i], p[1][i], p[2][i], p[3][i], p[4][i], p[5][i], p[6][i], p[7][i], p[8][i], p[9][i])
		unaccounted += e * e
	}
	unaccounted *= z.h * z.h / (work * work)
	return math.Sqrt(max(sum/float64(z.model.n), unaccounted))
}

// unlike is the mean slope of order 4, in which all stages weigh the same, less that of the embedded method of order 3, whose weights are
// (2, 0, 0, 3, 0, 0, 2, 0, 3, 0)/10.
func unlike(k0, k1, k2, k3, k4, k5, k6, k7, k8, k9 float64) float64 {
	return ((k1 + k2 + k4 + k5 + k7 + k9) - (k0 + k6) - 2*(k3+k8)) * (1.0 / stages)
}

// at is the i-th quantity at the share x of the last step.
func (z *stepper) at(i int, x float64) float64 {
	rise := z.to[i] - z.from[i]
	first, last := z.h*z.k[0][i]-rise, rise-z.h*z.k[stages][i]
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
	first, last := z.h*z.k[0][i]-rise, rise-z.h*z.k[stages][i]
	return (rise + (1-2*x)*first + x*(2-3*x)*(last-first)) / z.h
}
