package fastening

import "testing"

// Tables of bolts give the area under a hexagon head beside the medium hole of ISO 273: M8 74.2 mm² (dw 13 of the old heads, hole 9: 69.1),
// M10 in a hole of 11 with dw 14.63 of ISO 4014. Worked by hand: π/4 (14.63² − 11²) = 73.07 mm². A large washer of ISO 7093-1 (30 × 2.5)
// under it presses over 14.63 + 1.6 × 2.5 = 18.63 mm only on steel, a thick one over all of its outside. EN 1993-1-8, 6.2.5, has c = t √(fy/(3 fjd)): on
// wood that bears 5 N/mm² c = 2 × √(235/15) = 7.916 mm.
func TestUnderHeadByHand(t *testing.T) {
	for _, r := range []struct{ force, d, hole, want float64 }{
		{7307, 14.63e-3, 11e-3, 100e6},
		{6908, 13e-3, 9e-3, 100e6},
	} {
		got, err := Under(r.force, r.d, r.hole)
		if err != nil {
			t.Fatal(err)
		}
		near(t, "pressure", got, r.want, 1e-3*r.want)
	}
	near(t, "thin washer", Spread(14.63e-3, 30e-3, 2.5e-3, 235e6), 18.63e-3, 1e-9)
	near(t, "thick washer", Spread(14.63e-3, 30e-3, 10e-3, 235e6), 30e-3, 1e-9)
	near(t, "washer on wood", Spread(11.63e-3, 40e-3, 2e-3, 5e6), 11.63e-3+2*7.916e-3, 1e-6)
	near(t, "washer smaller than the head", Spread(14.63e-3, 12e-3, 2e-3, 235e6), 14.63e-3, 1e-9)
	if _, err := Under(1, 9e-3, 9e-3); err == nil {
		t.Error("a head as wide as its hole presses on something")
	}
}
