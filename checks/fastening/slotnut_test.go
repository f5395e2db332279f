package fastening

import (
	"math"
	"testing"
)

// Constructed: M5 in a slot nut with 3.4 mm of thread, steel of 400 MPa, tightened to 4 N m dry. The thread's
// strip load is computed here step by step from the formula of FED-STD-H28/2.
func TestSlotNutUse(t *testing.T) {
	screw, nut := Material{Tensile: 800e6}, Material{Tensile: 400e6}
	strip := must(Strip(coarse["M5"], 3.4*mm, screw, nut))(t)
	internal := math.Pi / 0.8 * 3.4 * 4.826 * (0.4 + (4.826-4.605)/math.Sqrt(3)) * 400 / math.Sqrt(3)
	near(t, "strip load", strip.Weakest(), internal, 0.01)

	p := must(FromTorque(4, 0.2, 0.35, 5*mm))(t)
	near(t, "preload", p.Most, 5400, 1e-9)
	use := must(ThreadUse(strip, Load{Preload: p.Most, Working: 900}, UsualSlotFactor))(t)
	near(t, "thread", use, 1.5*5400/internal, 1e-6)
	near(t, "lip", must(LipUse(5000, Load{Preload: p.Most, Working: 900}, UsualSlotFactor))(t), 1.62, 1e-12)
	// The larger of both governs, not the sum.
	near(t, "working load", must(LipUse(5000, Load{Preload: 100, Working: 900}, 1))(t), 0.18, 1e-12)

	if short := strip.Weakest() / strip.Break; short > 0.9 {
		t.Errorf("a thin slot nut holds %.2f of what breaks the screw", short)
	}
}

func TestSlotNutWithoutThread(t *testing.T) {
	if use := must(ThreadUse(StripLoads{}, Load{Preload: 1}, 1))(t); !math.IsInf(use, 1) {
		t.Errorf("no thread under load: %g", use)
	}
	if use := must(ThreadUse(StripLoads{}, Load{}, 1))(t); use != 0 {
		t.Errorf("no thread without load: %g", use)
	}
	for _, l := range []Load{{-1, 0}, {0, -1}, {math.NaN(), 0}} {
		if _, err := ThreadUse(StripLoads{External: 1, Internal: 1}, l, 1); err == nil {
			t.Errorf("load %v was taken", l)
		}
	}
	if _, err := LipUse(0, Load{}, 1); err == nil {
		t.Error("a lip without a force was taken")
	}
	if _, err := LipUse(1, Load{}, 0); err == nil {
		t.Error("no factor was taken")
	}
}
