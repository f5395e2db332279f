package air

import "math"

// Jet of a tube's open end.
//
//	F = p A (1 + γ M²) − a A
//
// Symbols: F N, the push on the tube's end, against the jet; A m², the end's opening; p Pa absolute, the pressure in the opening; a Pa absolute, that
// of the room; M the Mach number there; γ = 1.4. From an absolute pressure P of air at rest, without losses on the way: where P is more than
// 1.893 a the jet is choked, M = 1 and p = 0.5283 P; below, p = a and M² = 5 ((P/a)^(2/7) − 1).
// Range: no loss in the tube, which is the most that it can push; a long tube pushes less.
//
// Source: momentum of the isentropic flow of a perfect gas, any textbook of gas dynamics; the ratios are those of its tables (M = 1: 0.5283).

const heatRatio = 1.4

// JetForce is the push (N) of a tube's open end of a diameter (m), with a gauge pressure (Pa) behind it in a room at an absolute pressure (Pa).
func JetForce(diameter, gauge, room float64) float64 {
	area := math.Pi / 4 * diameter * diameter
	ratio := (gauge + room) / room
	critical := math.Pow((heatRatio+1)/2, heatRatio/(heatRatio-1))
	if ratio >= critical {
		return area * ((gauge+room)/critical*(1+heatRatio) - room)
	}
	mach2 := 2 / (heatRatio - 1) * (math.Pow(ratio, (heatRatio-1)/heatRatio) - 1)
	return area * room * heatRatio * mach2
}
