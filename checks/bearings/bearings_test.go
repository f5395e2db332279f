package bearings

import (
	"math"
	"testing"
)

const turn = 2 * math.Pi

func near(t *testing.T, what string, got, want, part float64) {
	t.Helper()
	if !(math.Abs(got-want) <= part*math.Abs(want)) {
		t.Errorf("%s is %g, want %g", what, got, want)
	}
}

// TestRatingLife: a bearing rated for 16 kN under 2 kN lasts 512 million revolutions (published examination question), and that of Mott,
// Machine Elements in Mechanical Design (4th edition), example 14-6: 650 lb for 30, 750 lb for 10 and 250 lb for 20 minutes of an hour at 600
// revolutions a minute come to 597 lb. Its 7050 lb then last 1647 million revolutions, 45 700 hours (rating and life from memory).
func TestRatingLife(t *testing.T) {
	var w Wear
	w.Roll(turn, 2000, 2000)
	near(t, "life", w.Cycles(16000), 512e6, 1e-12)
	near(t, "rating", w.Rating(512e6), 16000, 1e-12)

	var mott Wear
	for _, part := range [][2]float64{{650, 30}, {750, 10}, {250, 20}} {
		mott.Roll(600*part[1]*turn, part[0], part[0])
	}
	near(t, "mean load", mott.Equivalent(), 597, 0.001)
	near(t, "revolutions in an hour", mott.Turns, 36000, 1e-12)
	near(t, "hours", mott.Cycles(7050), 1647e6/36000, 0.001)
}

// TestRamp: for a load that grows evenly from nothing the mean is F/∛4 (any handbook: ∫ x³ dx = 1/4), and for one between two values it is
// what many short steps come to.
func TestRamp(t *testing.T) {
	var w Wear
	w.Roll(1, 0, 800)
	near(t, "ramp from nothing", w.Equivalent(), 800/math.Cbrt(4), 1e-12)
	var whole, steps Wear
	whole.Roll(-2, 300, 900)
	const n = 20000
	for i := range n {
		f := 300 + 600*(float64(i)+0.5)/n
		steps.Roll(2./n, f, f)
	}
	near(t, "ramp", whole.Cubed, steps.Cubed, 1e-8)
	near(t, "turns", whole.Turns, steps.Turns, 1e-12)
	near(t, "sum", whole.Add(steps).Cubed, 2*whole.Cubed, 1e-8)
	near(t, "nothing", Wear{}.Equivalent(), 0, 0)
}

// TestToAndFro: a swing by 90° and back is half a revolution a cycle, so that the bearing lasts twice as many cycles as revolutions: 360° / 2 θ
// (Harris's first method, from memory).
func TestToAndFro(t *testing.T) {
	var w Wear
	w.Roll(math.Pi/2, 1000, 1000)
	w.Roll(-math.Pi/2, 1000, 1000)
	near(t, "cycles", w.Cycles(5000), 2*125e6, 1e-12)
}
