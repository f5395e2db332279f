package checks

import (
	"math"
	"strings"
	"testing"

	"trammel.example/schema"
)

// TestEndures: EN 1993-1-9, figure 7.1, has for detail category 90 the ranges of 66 MPa at 5·10⁶ cycles and 36 MPa from 10⁸ on (table 8.1,
// from memory), and 90 at 2·10⁶; by 1.35. Twice the amplitude of EN AW-6061-T6, 97 MPa (ASM Handbook, volume 2, from memory), by 3 and 1.35.
func TestEndures(t *testing.T) {
	for _, c := range []struct {
		material string
		cycles   float64
		want     float64 // MPa, before the reserve
		within   float64
	}{
		{"S235", 2e6, 90, 1e-9}, {"S355", 5e6, 66, 0.5}, {"S235", 1e8, 36, 0.5}, {"C45", 1e9, 36, 0.5}, {"1.4301", 1e4, 190 * 1.5 * 1.35, 1e-9},
		{"EN AW-6061-T6", 3e6, 2 * 97. / 3, 1e-9}, {"EN AW-6063-T66", 1e7, 2 * 69. / 3, 1e-9},
	} {
		x := &examiner{m: &schema.Machine{}}
		x.m.Cycle.Cycles.SI = c.cycles
		var sec schema.Section
		sec.Material.Value = c.material
		got, _, why := x.endures(sec)
		if why != "" || math.Abs(got*1.35e-6-c.want) > c.within {
			t.Errorf("%s, %g cycles: %g MPa, %s; want %g", c.material, c.cycles, got*1.35e-6, why, c.want)
		}
	}
	for _, name := range []string{"", "POM", "EN-GJL-250"} {
		x := &examiner{m: &schema.Machine{}}
		x.m.Cycle.Cycles.SI = 1e6
		var sec schema.Section
		sec.Material.Value = name
		if _, _, why := x.endures(sec); !strings.Contains(why, "in 1000000 cycles") {
			t.Errorf("%q: %s", name, why)
		}
	}
}
