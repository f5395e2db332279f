package air

import "math"

// Power of the jet in which a chamber's air leaves, and the sound of it.
//
//	W = C ρ₀ P · c_p T (1 − (a/P)^(2/7))
//	L = 10 lg(η W / 10⁻¹² W) − 10 lg(4 π)      dB, 1 m away in the open, the same all round
//
// Symbols: W W, of the air that expands to the room's pressure without losses; C m³/(s Pa), sonic conductance of the narrowest on the way out (ISO 6358),
// at ρ₀ = 1.185 kg/m³ (ISO 8778); P and a Pa absolute, of the chamber as it opens and of the room; c_p = 1005 J/(kg K), T = 293.15 K; η the share of the
// power that becomes sound.
// Range: η is 10⁻⁴ of a jet at the speed of sound by Lighthill's law (AIAA Journal 1, 1963, "Jet noise"), and up to 10⁻² of a choked
// one with shocks in it (NASA SP-8072 has 0.002 to 0.01 for rockets); both from memory. The level holds for the moment in which the valve opens, not for
// a day; at the narrowest far inside, less gets out.

const (
	roomTemperature = 293.15 // K
	airDensity      = 1.185  // kg/m³, as conductances count air, ISO 8778
	airHeat         = 1005.0 // J/(kg K), at constant pressure
	leastSound      = 1e-4
	mostSound       = 1e-2
)

// JetPower is that (W) of the jet behind a conductance (m³/(s Pa)), with a gauge pressure (Pa) before it in a room at an absolute pressure (Pa).
func JetPower(conductance, gauge, room float64) float64 {
	p := gauge + room
	return conductance * airDensity * p * airHeat * roomTemperature * (1 - math.Pow(room/p, (heatRatio-1)/heatRatio))
}

// JetSound is the range of the sound level (dB) 1 m from a jet of a power (W).
func JetSound(power float64) (least, most float64) {
	level := func(share float64) float64 { return 10*math.Log10(share*power/1e-12) - 10*math.Log10(4*math.Pi) }
	return level(leastSound), level(mostSound)
}
