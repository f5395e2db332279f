package people

import (
	"math"
	"strings"
	"testing"
)

// A blow as two masses with a spring between them, followed step by step, comes to the same largest force as the formula: energy is kept.
func TestBlowAgainstTwoMasses(t *testing.T) {
	for _, r := range regions {
		const speed, mass = 0.8, 1.7
		a, b, va, vb, most := 0.0, 0.0, speed, 0.0, 0.0
		const dt = 1e-7
		for squeezed := true; squeezed; {
			f := r.Spring * (a - b)
			va, vb = va-f/mass*dt, vb+f/r.Mass*dt
			a, b = a+va*dt, b+vb*dt
			most = max(most, f)
			squeezed = va > vb
		}
		if got := r.Blow(speed, mass); math.Abs(got/most-1) > 1e-3 {
			t.Errorf("%s: %g N, followed step by step %g N", r.Name, got, most)
		}
	}
}

// A hand of 0.6 kg and 75 N/mm struck by a wall: √(75000 × 0.6) = 212.1 N for each m/s; an upper arm of 3 kg and 30 N/mm 300 N, which is its limit
// (ISO/TS 15066:2016, tables A.2 and A.3, from memory).
func TestStruck(t *testing.T) {
	const wall = 1e9
	for _, c := range []struct {
		atRisk, name string
		force        float64
	}{{"finger", "a hand or finger", 212.132}, {"hand", "a hand or finger", 212.132}, {"arm", "an upper arm", 300}, {"leg", "a lower leg", 2121.32}, {"body", "a lower leg", 2121.32}} {
		r, f, err := Struck(c.atRisk, 1, wall)
		if err != nil || r.Name != c.name || math.Abs(f-c.force) > 1e-2 {
			t.Errorf("%s: %s with %g N, %v; want %s with %g N", c.atRisk, r.Name, f, err, c.name, c.force)
		}
	}
	for atRisk, want := range map[string]string{"head": "no blow to skull and face", "foot": "no figure for a blow to the foot"} {
		if _, _, err := Struck(atRisk, 1, 1); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%s: %v", atRisk, err)
		}
	}
	for _, bad := range [][2]float64{{0, 1}, {1, 0}, {math.NaN(), 1}, {1, math.Inf(1)}} {
		if _, _, err := Struck("hand", bad[0], bad[1]); err == nil {
			t.Errorf("%v is taken", bad)
		}
	}
}
