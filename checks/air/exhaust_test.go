package air

import (
	"math"
	"testing"
)

// Air of 6 bar gauge and 20 °C behind 1 dm³/(s bar): 7.01325 × 1.185 g/s, and by the tables of isentropic flow (NACA Report 1135) at p/P = 0.14448 a
// Mach number of 1.92, T/T₀ = 0.5756, √(1.4 × 287.05 × 168.74) × 1.92 = 500.0 m/s.
func TestJetPower(t *testing.T) {
	want := 7.01325 * 1.185e-3 / 2 * 500.0 * 500.0
	if got := JetPower(1e-8, 6e5, 1.01325e5); math.Abs(got/want-1) > 2e-3 {
		t.Errorf("%g W, want %g", got, want)
	}
	if got := JetPower(1e-8, 0, 1.01325e5); got != 0 {
		t.Errorf("%g W without pressure", got)
	}
}

// A source of 1 W that sounds the same all round: 120 dB, less 11 dB at 1 m (ISO 3744, from memory).
func TestJetSound(t *testing.T) {
	if least, most := JetSound(100); math.Abs(most-109) > 0.01 || math.Abs(most-least-20) > 1e-9 {
		t.Errorf("%g to %g dB", least, most)
	}
}
