package stroke

import "math"

// A stepper takes steps of Dormand and Prince's pair and holds the last one for interpolation.
type stepper struct {
	model  *model
	k      [7]vector
	powers [7][works]float64
	from   vector // start of the last step
	to     vector // its end
	h      float64
	dense  [3]vector // the continuous extension's coefficients 3 to 5
	isOpen bool      // dense is of this step
}

const (
	a21 = 1.0 / 5
	a31 = 3.0 / 40
	a32 = 9.0 / 40
	a41 = 44.0 / 45
	a42 = -56.0 / 15
	a43 = 32.0 / 9
	a51 = 19372.0 / 6561
	a52 = -25360.0 / 2187
	a53 = 64448.0 / 6561
	a54 = -212.0 / 729
	a61 = 9017.0 / 3168
	a62 = -355.0 / 33
	a63 = 46732.0 / 5247
	a64 = 49.0 / 176
	a65 = -5103.0 / 18656
	b1  = 35.0 / 384
	b3  = 500.0 / 1113
	b4  = 125.0 / 192
	b5  = -2187.0 / 6784
	b6  = 11.0 / 84
	// Of order 5 less those of order 4.
	e1 = 71.0 / 57600
	e3 = -71.0 / 16695
	e4 = 71.0 / 1920
	e5 = -17253.0 / 339200
	e6 = 22.0 / 525
	e7 = -1.0 / 40
	// Of the continuous extension.
	d1 = -12715105075.0 / 11282082432
	d3 = 87487479700.0 / 32700410799
	d4 = -10690763975.0 / 1880347072
	d5 = 701980252875.0 / 199316789632
	d6 = -1453857185.0 / 822651844
	d7 = 69997945.0 / 29380423
)

// start evaluates the slope at the beginning of a phase.
func (z *stepper) start(y *vector) {
	z.to = *y
	z.model.derive(&z.to, &z.k[6])
	z.powers[6] = z.model.power
	z.next()
}

// next makes the end of the last step the start of the next.
func (z *stepper) next() {
	z.from = z.to
	z.k[0] = z.k[6]
	z.powers[0] = z.powers[6]
}

// try takes a step of h from z.from to z.to.
func (z *stepper) try(h float64) {
	z.h, z.isOpen = h, false
	n := z.model.n
	k1, k2, k3, k4, k5, k6, k7 := &z.k[0], &z.k[1], &z.k[2], &z.k[3], &z.k[4], &z.k[5], &z.k[6]
	y, t := &z.from, &z.to
	for i := range n {
		t[i] = y[i] + h*a21*k1[i]
	}
	z.model.derive(t, k2)
	for i := range n {
		t[i] = y[i] + h*(a31*k1[i]+a32*k2[i])
	}
	z.model.derive(t, k3)
	z.powers[2] = z.model.power
	for i := range n {
		t[i] = y[i] + h*(a41*k1[i]+a42*k2[i]+a43*k3[i])
	}
	z.model.derive(t, k4)
	z.powers[3] = z.model.power
	for i := range n {
		t[i] = y[i] + h*(a51*k1[i]+a52*k2[i]+a53*k3[i]+a54*k4[i])
	}
	z.model.derive(t, k5)
	z.powers[4] = z.model.power
	for i := range n {
		t[i] = y[i] + h*(a61*k1[i]+a62*k2[i]+a63*k3[i]+a64*k4[i]+a65*k5[i])
	}
	z.model.derive(t, k6)
	z.powers[5] = z.model.power
	for i := range n {
		t[i] = y[i] + h*(b1*k1[i]+b3*k3[i]+b4*k4[i]+b5*k5[i]+b6*k6[i])
	}
	z.model.derive(t, k7)
	z.powers[6] = z.model.power
}

// work is what the last step adds to the works.
func (z *stepper) work(w *[works]float64) {
	p := &z.powers
	for i := range w {
		w[i] += z.h * (b1*p[0][i] + b3*p[2][i] + b4*p[3][i] + b5*p[4][i] + b6*p[5][i])
	}
}

// miss is the step's error as a share of what is allowed, of which scale has the inverse; NaN for a step to where there is no state. The works are part of it: a stiff
// damper takes up most of the energy in a time in which the state hardly knows of it.
func (z *stepper) miss(scale *vector, work float64) float64 {
	sum := 0.0
	k := &z.k
	for i := range z.model.n {
		e := z.h * (e1*k[0][i] + e3*k[2][i] + e4*k[3][i] + e5*k[4][i] + e6*k[5][i] + e7*k[6][i]) * scale[i]
		sum += e * e
	}
	p := &z.powers
	unaccounted := 0.0
	for i := range works {
		e := e1*p[0][i] + e3*p[2][i] + e4*p[3][i] + e5*p[4][i] + e6*p[5][i] + e7*p[6][i]
		unaccounted += e * e
	}
	unaccounted *= z.h * z.h / (work * work)
	return math.Sqrt(max(sum/float64(z.model.n), unaccounted))
}

func (z *stepper) open() {
	if z.isOpen {
		return
	}
	z.isOpen = true
	k := &z.k
	for i := range z.model.n {
		rise := z.to[i] - z.from[i]
		z.dense[0][i] = z.h*k[0][i] - rise
		z.dense[1][i] = rise - z.h*k[6][i] - z.dense[0][i]
		z.dense[2][i] = z.h * (d1*k[0][i] + d3*k[2][i] + d4*k[3][i] + d5*k[4][i] + d6*k[5][i] + d7*k[6][i])
	}
}

// at is the i-th quantity at the share x of the last step.
func (z *stepper) at(i int, x float64) float64 {
	z.open()
	return z.from[i] + x*(z.to[i]-z.from[i]+(1-x)*(z.dense[0][i]+x*(z.dense[1][i]+(1-x)*z.dense[2][i])))
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
	z.open()
	a, b, c := z.dense[0][i], z.dense[1][i], z.dense[2][i]
	rise := z.to[i] - z.from[i]
	return (rise + (1-2*x)*a + x*(2-3*x)*b + 2*x*(1-x)*(1-2*x)*c) / z.h
}
