package people

import "testing"

// The forces that last are half of those of a blow, and 65 N in the face (ISO/TS 15066:2016, table A.2, from memory), which stand with the regions. For
// feet, which it leaves out, the 75 N of ISO 14120. The gaps are those of ISO 13854.
func TestHeld(t *testing.T) {
	for _, c := range []struct {
		opens, closes float64
		atRisk        string
		name          string
		limit         float64
	}{
		{0.090, 0.010, "arm", "a hand or finger", 140},
		{0.150, 0.110, "arm", "an upper arm", 150},
		{0.150, 0.010, "arm", "a hand or finger", 140},
		{0.600, 0.400, "body", "a belly", 110},
		{0.600, 0.200, "body", "a face", 65},
		{0.600, 0.150, "leg", "a lower leg", 130},
		{0.600, 0.100, "leg", "a foot", 75},
		{0.090, 0.040, "foot", "a foot", 75},
	} {
		h, ok := Held(c.opens, c.closes, c.atRisk)
		if !ok || h.Name != c.name || h.Limit != c.limit {
			t.Errorf("%g to %g m, %s: %v %v, want %s with %g N", c.opens, c.closes, c.atRisk, h, ok, c.name, c.limit)
		}
	}
	for _, c := range []struct {
		opens, closes float64
		atRisk        string
	}{{0.020, 0.001, "finger"}, {0.090, 0.025, "finger"}, {0.090, 0.040, "arm"}} {
		if h, ok := Held(c.opens, c.closes, c.atRisk); ok {
			t.Errorf("%g to %g m, %s: holds %v", c.opens, c.closes, c.atRisk, h)
		}
	}
	for _, r := range regions {
		least := holds[r.part].Limit
		if least > r.Limit/2 {
			t.Errorf("%s may be held with %g N, and its part with %g N", r.Name, r.Limit/2, least)
		}
	}
}
