package stroke

import (
	"fmt"
	"math"
)

const (
	referencePressure    = 1e5    // Pa, ISO 8778
	referenceTemperature = 293.15 // K, ISO 8778
	referenceDensity     = 1.185  // kg/m³, of air at 65 % relative humidity, ISO 8778

	gasConstant = referencePressure / (referenceDensity * referenceTemperature) // J/(kg K), of that air
	heatRatio   = 1.4                                                           // γ of air

	// straight is the pressure ratio from which ψ is a straight line. Nearer to 1 the volumes behind wide passages become stiff and the
	// steps short; further from 1 pressure losses below the difference are too large.
	straight = 0.99

	standardAtmosphere = 101325 // Pa, ISO 2533
	waterDensity       = 1000.0 // kg/m³, as the flow coefficients Kv and Cv are defined
	gallon             = 3.785411784e-3
	psi                = 6894.757293168
)

// A Conductance is what a part lets through (ISO 6358): the sonic conductance C, m³/(s Pa), and the critical pressure ratio b, 0 ≤ b < 1.
// C = 0 lets nothing through.
type Conductance struct{ C, B float64 }

// Ratio is ψ, the flow at the pressure ratio r = p2/p1 as a share of the choked flow.
func (c Conductance) Ratio(r float64) float64 {
	p := pathOf(c)
	return p.ratio(r)
}

// Flow is the mass flow (kg/s) from p1 (Pa absolute) at t1 (K) to p2, p1 ≥ p2.
func (c Conductance) Flow(p1, t1, p2 float64) float64 {
	p := pathOf(c)
	return p.flow(p1, 1/math.Sqrt(t1), p2)
}

func (c Conductance) check(name string) error {
	if !(c.C >= 0) || math.IsInf(c.C, 0) {
		return fmt.Errorf("the sonic conductance of %s must be zero or more and finite, found %g m³/(s Pa)", name, c.C)
	}
	if !(c.B >= 0 && c.B < 1) {
		return fmt.Errorf("the critical pressure ratio of %s must be from 0 to below 1, found %g", name, c.B)
	}
	return nil
}

// FromNominalFlow is the conductance of a part of which the nominal flow qn is given: m³/s of free air (ISO 8778) from 6 to 5 bar gauge,
// as VDI 3290 has it (from memory).
func FromNominalFlow(qn, b float64) Conductance {
	const p1, p2 = 6e5 + standardAtmosphere, 5e5 + standardAtmosphere
	return Conductance{C: qn / (p1 * Conductance{1, b}.Ratio(p2/p1)), B: b}
}

// FromKv is the conductance of a part of which the flow coefficient is given: kv m³/h of water at a loss of 1 bar (VDI/VDE 2173). At a
// small loss air flows as water does, and the two formulae must agree:
//
//	C ρ0 √(2 p Δp / (1 - b)) = Kv √(ρ ρ_water Δp / 1 bar)
//
// which gives C = 5.71 √(1 - b) dm³/(s bar) for Kv = 1 m³/h: 4.0 at b = 0.5.
func FromKv(kv, b float64) Conductance {
	return fromWater(kv/3600/math.Sqrt(1e5), b)
}

// FromCv is the same for a coefficient in US gallons of water a minute at a loss of 1 psi.
func FromCv(cv, b float64) Conductance {
	return fromWater(cv*gallon/60/math.Sqrt(psi), b)
}

// fromWater takes the volume flow of water per root of the pressure loss, m³/(s √Pa).
func fromWater(k, b float64) Conductance {
	return Conductance{C: k * math.Sqrt(waterDensity*(1-b)/(2*gasConstant*referenceTemperature)) / referenceDensity, B: b}
}

// OfTube is the conductance of a smooth straight tube with its two ends, bore and length in m:
//
//	C = 0.029 d² / √(L/d^1.25 + 510),   b = 474 C / d²
//
// Eckersten 1975, as P. Beater has it (Pneumatic Drives, Springer 2007, chapter 5; from memory). Range: turbulent flow, d 2 to 20 mm.
func OfTube(bore, length float64) Conductance {
	c := 0.029 * bore * bore / math.Sqrt(length/math.Pow(bore, 1.25)+510)
	return Conductance{C: c, B: 474 * c / (bore * bore)}
}

// Series is the conductance of parts one behind the other, in the order in which the air passes them. Both ends of the characteristic are
// those of the chain: C is its choked flow (the parts marched through from the outlet on, as ISO 6358-3:2014 does it, from memory, here
// in closed form), and b gives its loss at a small flow:
//
//	(1 - b)/C² = Σ (1 - b_i)/C_i²
//
// For two parts this is Eckersten's rule (as OfTube's source has it). In between the ellipse is off the chain's true flow by less than
// 2 % of the choked flow for parts of like size with b from 0.2 to 0.5.
func Series(parts ...Conductance) Conductance {
	p, small := 0.0, 0.0
	for i := len(parts) - 1; i >= 0; i-- {
		if parts[i].C == 0 {
			return Conductance{}
		}
		p = Upstream(parts[i], 1, p)
		small += (1 - parts[i].B) / (parts[i].C * parts[i].C)
	}
	c := 1 / p
	return Conductance{C: c, B: max(0, 1-c*c*small)}
}

// Upstream is the pressure that drives the flow q, in m³/s of free air at the reference temperature, against p2.
func Upstream(c Conductance, q, p2 float64) float64 {
	choked := q / c.C
	if p2 <= c.B*choked {
		return choked
	}
	// The ellipse, solved for p1: (1 - 2b) p1² + 2b p2 p1 - e = 0, in the form that holds for b = 0.5.
	e := p2*p2 + choked*choked*(1-c.B)*(1-c.B)
	return e / (c.B*p2 + math.Sqrt(c.B*c.B*p2*p2+(1-2*c.B)*e))
}

// A path is a conductance made ready for many evaluations.
type path struct {
	c        float64 // C ρ0 √T0
	b, scale float64 // scale = 1/(1 - b)
	from     float64 // where ψ becomes straight
	slope    float64
}

func pathOf(c Conductance) path {
	p := path{c: c.C * referenceDensity * math.Sqrt(referenceTemperature), b: c.B, scale: 1 / (1 - c.B), from: max(straight, c.B)}
	x := (p.from - p.b) * p.scale
	p.slope = math.Sqrt(1-x*x) / (1 - p.from)
	return p
}

func (p *path) ratio(r float64) float64 {
	switch {
	case r <= p.b:
		return 1
	case r >= p.from:
		return p.slope * (1 - r)
	}
	x := (r - p.b) * p.scale
	return math.Sqrt(1 - x*x)
}

// flow takes 1/√T1 instead of T1.
func (p *path) flow(p1, root, p2 float64) float64 {
	return p.c * p1 * root * p.ratio(p2/p1)
}

// slopes are the flow and what it grows by with p1 and p2.
func (p *path) slopes(p1, root, p2 float64) (q, by1, by2 float64) {
	r := p2 / p1
	share, steep := 1.0, 0.0
	switch {
	case r <= p.b:
	case r >= p.from:
		share, steep = p.slope*(1-r), -p.slope
	default:
		x := (r - p.b) * p.scale
		share = math.Sqrt(1 - x*x)
		steep = -x * p.scale / share
	}
	c := p.c * root
	return c * p1 * share, c * (share - r*steep), c * steep
}
