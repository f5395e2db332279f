package air

import (
	"math"
	"testing"
)

// Tables of isentropic flow (γ = 1.4, as in NACA Report 1135): at M = 0.5 the pressure ratio is 0.8430, at M = 1 0.5283, and the momentum function
// 1 + γ M² is 1.35 and 2.4.
func TestJetForceAgainstTables(t *testing.T) {
	const room = 101325
	d := math.Sqrt(4e-6 / math.Pi) // 1 mm²
	for _, c := range []struct{ absolute, want float64 }{
		{room / 0.8430, room * 1e-6 * 1.4 * 0.25},
		{room / 0.5283, room * 1e-6 * 1.4},
		{6 * room, 1e-6 * (6*room*0.5283*2.4 - room)},
	} {
		if got := JetForce(d, c.absolute-room, room); math.Abs(got/c.want-1) > 1e-3 {
			t.Errorf("%.0f Pa: %g N, want %g", c.absolute, got, c.want)
		}
	}
	if f := JetForce(d, 0, room); f != 0 {
		t.Errorf("no pressure pushes with %g N", f)
	}
	// The two formulas meet where the jet chokes.
	critical := room * (math.Pow(1.2, 3.5) - 1)
	if a, b := JetForce(d, critical*(1-1e-9), room), JetForce(d, critical*(1+1e-9), room); math.Abs(a/b-1) > 1e-6 {
		t.Errorf("%g and %g N", a, b)
	}
}
