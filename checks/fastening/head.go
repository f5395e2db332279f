package fastening

// What a head, a nut or a washer presses on.
//
//	p = F / (π/4 (D² − d_h²)),  D = min(D_W, D_K + 2 c) under a washer, one after the other,  c = t max(0.8, √(Re/(3 p_max)))
//
// Symbols: F clamping, N; D_K diameter over which a head or a nut presses, D_W outside of a washer, t its thickness, d_h hole in the part, m;
// p_max what the part bears, Re yield strength of the washer, Pa; c how far it reaches out before it bends up.
//
// Range: flat faces square to the screw, washers of steel. On hard metal a washer reaches as far as the pressure spreads in it; on what is soft
// until it yields.
//
// Source: pressure: VDI 2230-1, 5.5.4; 0.8: ibid., d_Wa = d_W + 1.6 h_S; √: EN 1993-1-8, 6.2.5, a plate on a foundation; all from memory.

import "math"

// washerYield is what washers are reckoned to yield at, Pa: S235, which is less than washers of 200 HV have (ISO 7089).
const washerYield = 235e6

// Spread is the diameter in m over which a washer presses, of outside and thickness in m, under a head that presses over d, on a part that
// bears pressed, Pa.
func Spread(d, outside, thick, pressed float64) float64 {
	reach := thick * max(0.8, math.Sqrt(washerYield/(3*pressed)))
	return max(d, min(outside, d+2*reach))
}

// Under returns the pressure in Pa under what presses over a diameter round a hole, both in m, with a force in N. It returns an error for
// a diameter no wider than the hole.
func Under(force, d, hole float64) (float64, error) {
	if err := positive(quantity{"hole", hole}, quantity{"head beyond its hole", d - hole}); err != nil {
		return 0, err
	}
	return force / (math.Pi / 4 * (d*d - hole*hole)), nil
}
