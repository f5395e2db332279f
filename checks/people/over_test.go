package people

import (
	"math"
	"testing"
)

// Published values: ISO 13857:2019 table 2, high risk (from memory), at its own heights and between them, where the safer holds.
func TestOverGuard(t *testing.T) {
	for _, c := range []struct{ low, high, guard, want float64 }{
		{0, 0, 1, 1.1}, {0, 0, 1.2, 0.5}, {0, 0, 1.4, 0},
		{1, 1, 1, 1.5}, {1, 1, 1.4, 1.0}, {1, 1, 1.6, 0.8}, {1, 1, 1.8, 0},
		{1.4, 1.4, 1.8, 0.8}, {1.6, 1.6, 2, 0.5}, {1.8, 1.8, 2, 0.6}, {2.6, 2.6, 2.5, 0.1}, {2.7, 2.7, 1, 0},
		{1.1, 1.1, 1.4, 1.1},   // between 1 and 1.2: the larger
		{1, 1, 1.5, 1.0},       // between guards of 1.4 and 1.6 m: the lower
		{0.85, 1.35, 1.8, 0.8}, // all that it sweeps
		{2.5, 2.8, 2.4, 0.3},
		{-0.5, -0.2, 1.2, 0.5}, // below the ground that they stand on: as on it
		{2.71, 3, 1, 0},
	} {
		got, err := OverGuard(c.low, c.high, c.guard)
		if err != nil || math.Abs(got-c.want) > 1e-12 {
			t.Errorf("from %g to %g m behind a guard of %g m: %g m, want %g (%v)", c.low, c.high, c.guard, got, c.want, err)
		}
	}
	for _, guard := range []float64{0.99, 0, math.NaN()} {
		if _, err := OverGuard(1, 1, guard); err == nil {
			t.Errorf("a guard of %g m is taken", guard)
		}
	}
	if _, err := OverGuard(1, 0.5, 1.4); err == nil {
		t.Error("heights that fall are taken")
	}
}

// TestOverGuardMonotone: a higher guard never asks for more distance, and more heights never for less.
func TestOverGuardMonotone(t *testing.T) {
	for a := -0.1; a < 2.9; a += 0.05 {
		before := math.Inf(1)
		for b := 1.0; b < 2.8; b += 0.05 {
			one, err := OverGuard(a, a, b)
			more, err2 := OverGuard(a, a+0.3, b)
			if err != nil || err2 != nil || one > before || more < one {
				t.Fatalf("at %g m behind %g m: %g m, then %g; %g before (%v, %v)", a, b, one, more, before, err, err2)
			}
			before = one
		}
	}
}

// TestLowestOver: the advised height is enough, and the next lower one is not.
func TestLowestOver(t *testing.T) {
	for a := 0.0; a < 2.7; a += 0.1 {
		for _, distance := range []float64{0.05, 0.4, 0.8, 1.2} {
			b := LowestOver(a, a+0.2, distance)
			if needed, err := OverGuard(a, a+0.2, b); err != nil || needed > distance+1e-12 {
				t.Errorf("%g m advised, %g m needed for %g (%v)", b, needed, distance, err)
			}
			if needed, err := OverGuard(a, a+0.2, b-0.01); err == nil && needed <= distance {
				t.Errorf("%g m advised for %g m, and lower is enough", b, distance)
			}
		}
	}
}
