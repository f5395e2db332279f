package stroke

import (
	"math"
	"testing"
)

// A step's error falls with the fifth power of its length, and what it is taken for with the fourth.
func TestStepOrder(t *testing.T) {
	m := lifter()
	after := func(h float64, n int) (speed, guess float64) {
		z := newRun(&m, Options{Tolerance: 1e-6})
		x := z.model
		z.y = vector{0.03, 0.2, 5e5, 0, 5.6e5, 4.5e5, 0, 3e5} // on its way, no two pressures near each other
		for k := range x.sides {
			c := &x.sides[k]
			c.lineIs, c.portIs = true, true
			z.y[iM+3*k] = z.y[iP+3*k] * c.volume(z.y[iS]) / (gasConstant * m.Air.Temperature)
		}
		x.dir = 1
		z.start(&z.y)
		for range n {
			z.try(h / float64(n))
			guess = z.miss(&vector{iV: 1}, math.Inf(1))
			z.next()
		}
		return z.to[iV], guess
	}
	const h = 4e-4
	exact, _ := after(h, 64)
	whole, guess := after(h, 1)
	half, guessHalf := after(h/2, 1)
	exactHalf, _ := after(h/2, 64)
	if ratio := (whole - exact) / (half - exactHalf); !(ratio > 24 && ratio < 40) {
		t.Errorf("half a step has %.1f times less error, want 2⁵", ratio)
	}
	if ratio := guess / guessHalf; !(ratio > 12 && ratio < 20) {
		t.Errorf("half a step is taken to have %.1f times less error, want 2⁴", ratio)
	}
}
