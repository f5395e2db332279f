package fastening

// Clamping that is lost when the faces settle, and how stiff screw and parts are.
//
//	screw    1/k_b = (L + (0.4 + 0.5 + 0.4) d)/(E As)
//	parts    k_m = π E d tan30° / ln{[(2 t tan30° + D − d)(D + d)]/[(2 t tan30° + D + d)(D − d)]}, two such cones of t = L/2 in a row
//	loss     F_Z = f_Z (1/k_b + 1/k_m)⁻¹ at the usual tightening, in proportion below it
//	f_Z      3 µm thread + 2.5 µm head + 2.5 µm nut + 1.5 µm for each face between
//
// Symbols: L grip, d thread diameter, D diameter that the head presses on, m; As stress area, m2; E of steel for both, Pa, which is
// cautious for softer parts: they give more, and lose less. The lengths added to the grip are those of the head, the thread in mesh and
// the nut that stretch too.
//
// Range: faces of metal, rough by less than 10 µm, the load along the screw. Rubber, wood, paint and plastic lose more. f_Z is for a screw
// tightened to 75 % of its proof load; that it is less in proportion below that is common practice, no source.
//
// Source: cones: Shigley's Mechanical Engineering Design, 9th edition, equation 8-20; f_Z and the lengths added: VDI 2230-1, table 5, from memory.

import "math"

const (
	steel = 210e9 // E, Pa
	// usualTightening is the share of the proof load that the amounts of settling are for.
	usualTightening = 0.75
)

// Amounts of settling, m.
const (
	threadSettles = 3e-6
	seatSettles   = 2.5e-6
	faceSettles   = 1.5e-6
)

// screwStretches is the compliance in m/N of a screw over a grip.
func screwStretches(grip, d, area float64) float64 { return (grip + 1.3*d) / (steel * area) }

// cone is the stiffness in N/m of one cone of parts under a head: thickness t, hole d, head D, elasticity e.
func cone(t, d, head, e float64) float64 {
	x := 2 * math.Tan(math.Pi/6) * t
	return math.Pi * e * d * math.Tan(math.Pi/6) / math.Log((x+head-d)*(head+d)/((x+head+d)*(head-d)))
}

// Settles is the share of its clamping that a screw loses, from 0 to 1. Lengths in m, stress area in m2, proof stress in Pa; faces are
// those between the clamped parts. It returns an error for sizes not above zero, and for a head no wider than the thread.
func Settles(grip, d, head, area, proof float64, faces int) (float64, error) {
	if err := positive(quantity{"grip", grip}, quantity{"thread diameter", d}, quantity{"head beyond the thread", head - d}, quantity{"stress area", area},
		quantity{"proof stress", proof}); err != nil {
		return 0, err
	}
	gives := screwStretches(grip, d, area) + 2/cone(grip/2, d, head, steel)
	loss := (threadSettles + 2*seatSettles + faceSettles*float64(faces)) / gives
	return min(1, loss/(usualTightening*proof*area)), nil
}
