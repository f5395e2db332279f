package fastening

// What a head, a nut or a washer presses on.
//
//	p = F / (π/4 (D² − d_h²)),  D = min(D_W, D_K + 1.6 t) under a washer, one after the other
//
// Symbols: F clamping, N; D_K diameter over which a head or a nut presses, D_W outside of a washer, t its thickness, d_h hole in the part, m.
//
// Range: flat faces square to the screw. A thin washer bends up and presses on a ring no wider than its thickness lets the force spread.
//
// Source: pressure: VDI 2230-1, 5.5.4; how a washer spreads the force: ibid., d_Wa = d_W + 1.6 h_S, from memory.

import "math"

// Spread is the diameter in m over which a washer presses, of outside and thickness in m, under a head that presses over d.
func Spread(d, outside, thick float64) float64 { return max(d, min(outside, d+1.6*thick)) }

// Under returns the pressure in Pa under what presses over a diameter round a hole, both in m, with a force in N. It returns an error for
// a diameter no wider than the hole.
func Under(force, d, hole float64) (float64, error) {
	if err := positive(quantity{"hole", hole}, quantity{"head beyond its hole", d - hole}); err != nil {
		return 0, err
	}
	return force / (math.Pi / 4 * (d*d - hole*hole)), nil
}
