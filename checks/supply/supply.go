// Package supply computes whether a compressor and its receiver keep up with what a plan of strokes takes.
//
// Free air is counted as the volume that it fills at pN = 100 kPa and TN = 293.15 K (ISO 8778). All pressures are absolute.
//
//	N  = (A s p + (V_dead + V_tube) (p − p0)) / pN     of a stroke: what is swept is filled from nothing, what stays from the room's pressure
//	D  = max over t0 ≤ t of ∫ (q − Q) dt               the most that the plan takes beyond what the compressor delivers meanwhile
//	p  = p1 (1 − D pN / (V p1))^κ                      the receiver then, if the compressor started at p1 and no heat came in
//	V  = D pN / (p1 (1 − (p2/p1)^(1/κ)))               the receiver that falls from p1 to p2
//	E  = p V / (κ − 1) (1 − (p0/p)^((κ−1)/κ))          what a receiver gives off when it bursts
//
// κ is 1.4 for air that gets no heat from the walls, 1 for air that keeps the temperature of the room. A receiver gets its heat back in
// tens of seconds, a burst of strokes lasts a few: 1.4 gives the lowest pressure that there can be. The air of a stroke is taken evenly over
// the time of the stroke. Range: dry air as an ideal gas, up to some 20 bar.
//
// Sources: any textbook of thermodynamics (discharge of a vessel); the receiver of handbooks, V = t (q − Q) p0/(p1 − p2), is κ = 1; the
// energy is that of ASME PCC-2, article 5.1 (from memory).
package supply

import (
	"math"
	"slices"
)

const (
	Reference            = 1e5    // Pa, ISO 8778
	ReferenceTemperature = 293.15 // K, ISO 8778
	Adiabatic            = 1.4
	Isothermal           = 1.0
)

// A Draw is what one stroke takes.
type Draw struct {
	At    float64 // s from the beginning of the plan, at least 0 and less than its period
	Takes float64 // s, more than 0
	Air   float64 // m³ of free air
}

// A Plan is repeated for ever.
type Plan struct {
	Period float64 // s
	Draws  []Draw
}

// Stroke is the free air, m³, of one stroke: it sweeps a volume, and fills another that is there at its beginning.
func Stroke(swept, still, pressure, room float64) float64 {
	return (swept*pressure + still*(pressure-room)) / Reference
}

// Mean is the flow of free air, m³/s.
func (p Plan) Mean() float64 {
	sum := 0.0
	for _, d := range p.Draws {
		sum += d.Air
	}
	return sum / p.Period
}

// A Shortfall is the free air that has to come from the receiver, m³, between two moments of the plan (s; the later one may lie in the
// next round).
type Shortfall struct{ Air, From, To float64 }

// Shortfall finds the most that the plan takes beyond what a compressor delivers meanwhile, m³/s. A plan that takes more on the mean is
// followed over one round alone.
func (p Plan) Shortfall(delivered float64) Shortfall {
	// The flow is constant between these moments, and what is lacking is largest between two of them.
	var moments []float64
	for _, d := range p.Draws {
		for _, at := range []float64{d.At, math.Mod(d.At+d.Takes, p.Period)} {
			moments = append(moments, at, at+p.Period)
		}
	}
	slices.Sort(moments)
	moments = slices.Compact(moments)
	flows := make([]float64, len(moments)) // from each moment to the next
	for i := range len(moments) - 1 {
		flows[i] = p.flow((moments[i] + moments[i+1]) / 2)
	}
	var most Shortfall
	for i, from := range moments {
		if from >= p.Period {
			break
		}
		lack := 0.0
		for j := i + 1; j < len(moments) && moments[j] <= from+p.Period; j++ {
			to := moments[j]
			lack += (flows[j-1] - delivered) * (to - moments[j-1])
			if lack > most.Air {
				most = Shortfall{Air: lack, From: from, To: to}
			}
		}
	}
	return most
}

// flow is what is taken at a moment, m³/s.
func (p Plan) flow(at float64) float64 {
	sum := 0.0
	for _, d := range p.Draws {
		since := math.Mod(at-d.At, p.Period)
		if since < 0 {
			since += p.Period
		}
		if since < d.Takes {
			// A stroke that takes longer than the plan overlaps itself.
			sum += d.Air / d.Takes * (1 + math.Floor((d.Takes-since)/p.Period))
		}
	}
	return sum
}

// After is the pressure, Pa, in a receiver of some volume (m³) that free air (m³) was taken from; 0 where it holds less than that.
func After(volume, pressure, air, exponent float64) float64 {
	return pressure * math.Pow(max(0, 1-air*Reference/(volume*pressure)), exponent)
}

// Volume is that of the receiver, m³, that falls from one pressure to another, below it, when free air (m³) is taken from it.
func Volume(air, from, to, exponent float64) float64 {
	return air * Reference / (from * (1 - math.Pow(to/from, 1/exponent)))
}

// Fill is the time, s, in which a flow of free air (m³/s) brings a receiver (m³) from one pressure to another, at the room's temperature.
func Fill(volume, from, to, flow float64) float64 {
	return volume * (to - from) / (Reference * flow)
}

// Energy in J is what a receiver (m³) at a pressure gives off when it bursts.
func Energy(volume, pressure, room float64) float64 {
	const k = Adiabatic
	return pressure * volume / (k - 1) * (1 - math.Pow(room/pressure, (k-1)/k))
}
