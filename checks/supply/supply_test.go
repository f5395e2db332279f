package supply_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"trammel.example/checks/supply"
)

func near(t *testing.T, what string, got, want, tolerance float64) {
	t.Helper()
	if math.Abs(got-want) > tolerance*math.Abs(want) {
		t.Errorf("%s is %g, and should be %g", what, got, want)
	}
}

// TestStrokeAgainstHandbook: air consumption of bore 25, rod 10, stroke 100 mm at 6 bar gauge. Tables of handbooks count the ratio of free
// air (p + 1.013)/1.013; ISO 8778 has a reference of 1 bar, which makes 1.3 % more.
func TestStrokeAgainstHandbook(t *testing.T) {
	const room, p = 101325, 101325 + 6e5
	rear, front := math.Pi/4*25e-3*25e-3, math.Pi/4*(25e-3*25e-3-10e-3*10e-3)
	near(t, "out", supply.Stroke(rear*0.1, 0, p, room), 0.34426e-3, 1e-4)
	near(t, "in", supply.Stroke(front*0.1, 0, p, room), 0.28918e-3, 1e-4)
	handbook := (rear + front) * 0.1 * (6 + 1.013) / 1.013
	near(t, "a double stroke by the handbook", handbook, 0.62529e-3, 1e-4)
	near(t, "ISO 8778 by the handbook", supply.Stroke((rear+front)*0.1, 0, p, room)/handbook, 1.013, 2e-4)
	// Of a tube of 4 mm and 1 m, between the room's pressure and 6 bar: V Δp/pN, Boyle's law.
	near(t, "the tube's", supply.Stroke(0, math.Pi/4*16e-6, p, room), 12.566e-6*6, 1e-4)
}

// TestReceiverAgainstHandbook: the receiver of handbooks, V = t (q − Q) p0/(p1 − p2), is the isothermal one. 60 s of 500 L/min more than is
// delivered, from 7 to 5 bar at a reference of 1 bar: 500 · 1/2 = 250 L.
func TestReceiverAgainstHandbook(t *testing.T) {
	near(t, "the receiver", supply.Volume(0.5, 8e5, 6e5, supply.Isothermal), 0.25, 1e-12)
	near(t, "its pressure", supply.After(0.25, 8e5, 0.5, supply.Isothermal), 6e5, 1e-12)
	near(t, "its filling", supply.Fill(0.25, 6e5, 8e5, 0.5/60), 60, 1e-12)
}

// TestDischargeAgainstTextbook: reversible adiabatic discharge of a rigid vessel, any textbook of thermodynamics: the air that stays expands
// by p v^κ. From 8 to 2 bar the mass falls to (1/4)^(1/1.4) = 0.3715 of what it was.
func TestDischargeAgainstTextbook(t *testing.T) {
	const volume, p = 0.01, 8e5
	left := math.Exp(math.Log(0.25) / 1.4)
	near(t, "the mass that stays", left, 0.3715, 1e-3)
	taken := (1 - left) * volume * p / supply.Reference
	near(t, "the pressure", supply.After(volume, p, taken, supply.Adiabatic), 2e5, 1e-9)
	near(t, "the volume", supply.Volume(taken, p, 2e5, supply.Adiabatic), volume, 1e-9)
	if got := supply.After(volume, p, 1, supply.Adiabatic); got != 0 {
		t.Errorf("a receiver that holds 80 L has %g Pa after 1000 L", got)
	}
}

// TestEnergyAgainstIntegral: work of a reversible adiabatic expansion to the room's pressure, ∫ p dV, summed up.
func TestEnergyAgainstIntegral(t *testing.T) {
	const volume, p, room = 0.024, 9e5, 101325
	end := volume * math.Pow(p/room, 1/1.4)
	work, n := 0.0, 200_000
	for i := range n {
		v := volume + (end-volume)*(float64(i)+0.5)/float64(n)
		work += p * math.Pow(volume/v, 1.4) * (end - volume) / float64(n)
	}
	near(t, "the energy", supply.Energy(volume, p, room), work, 1e-6)
	// ASME PCC-2, article 5.1, equation II-3 (from memory): E = 2.5 Pat V (1 − (Pa/Pat)^0.286).
	near(t, "that of ASME PCC-2", supply.Energy(volume, p, room), 2.5*p*volume*(1-math.Pow(room/p, 0.286)), 1e-3)
}

// TestShortfallByHand: two strokes at once of 3 L in 1 s, and one of 2 L in 2 s at 6 s, against 1 L/s in 10 s. In the first second 6 L are
// taken and 1 delivered; the later one takes as much as comes.
func TestShortfallByHand(t *testing.T) {
	p := supply.Plan{Period: 10, Draws: []supply.Draw{{At: 0, Takes: 1, Air: 3e-3}, {At: 0, Takes: 1, Air: 3e-3}, {At: 6, Takes: 2, Air: 2e-3}}}
	near(t, "the mean", p.Mean(), 0.8e-3, 1e-12)
	got := p.Shortfall(1e-3)
	near(t, "the shortfall", got.Air, 5e-3, 1e-12)
	if got.From != 0 || got.To != 1 {
		t.Errorf("it lies between %g and %g s", got.From, got.To)
	}
	// With the later stroke at the end of the plan, 1.5 L/s, both follow each other over the seam: 1 + 5 L.
	p.Draws[2] = supply.Draw{At: 8, Takes: 2, Air: 4e-3}
	got = p.Shortfall(1e-3)
	near(t, "the shortfall over the seam", got.Air, 7e-3, 1e-12)
	if got.From != 8 || got.To != 11 {
		t.Errorf("it lies between %g and %g s", got.From, got.To)
	}
	if got := (supply.Plan{Period: 10, Draws: []supply.Draw{{At: 0, Takes: 5, Air: 1e-3}}}).Shortfall(1e-3); got.Air != 0 {
		t.Errorf("a stroke that takes less than is delivered lacks %g m³", got.Air)
	}
}

// TestOddPlans: a stroke that takes longer than the plan is as many at once, and a plan without strokes takes nothing.
func TestOddPlans(t *testing.T) {
	got := supply.Plan{Period: 2, Draws: []supply.Draw{{At: 1, Takes: 5, Air: 10e-3}}}.Shortfall(4e-3)
	near(t, "the shortfall", got.Air, 2e-3, 1e-12) // 2 L/s each: three at once for 1 s and two for 1 s, against 4 L/s
	got = supply.Plan{Period: 1e-6, Draws: []supply.Draw{{Takes: 1e6, Air: 1}}}.Shortfall(1)
	if math.IsNaN(got.Air) || math.IsInf(got.Air, 0) {
		t.Errorf("a very long stroke lacks %g m³", got.Air)
	}
	if got := (supply.Plan{Period: 1}).Shortfall(1); got != (supply.Shortfall{}) {
		t.Errorf("no strokes lack %v", got)
	}
}

// TestShortfallAgainstSteps follows random plans in small steps over three rounds, as one does with a stopwatch and a gauge.
func TestShortfallAgainstSteps(t *testing.T) {
	random := rand.New(rand.NewPCG(4, 8))
	for range 50 {
		p := supply.Plan{Period: 10}
		for range 1 + random.IntN(6) {
			p.Draws = append(p.Draws, supply.Draw{At: 10 * random.Float64(), Takes: 0.2 + 3*random.Float64(), Air: 5e-3 * random.Float64()})
		}
		delivered := p.Mean() * (1 + random.Float64())
		const steps = 30_000
		lack, most := 0.0, 0.0
		for i := range steps {
			at, flow := 30*(float64(i)+0.5)/steps, 0.0
			for _, d := range p.Draws {
				for start := d.At - p.Period; start < 30; start += p.Period {
					if at >= start && at < start+d.Takes {
						flow += d.Air / d.Takes
					}
				}
			}
			lack = max(0, lack+(flow-delivered)*30/steps)
			most = max(most, lack)
		}
		if got := p.Shortfall(delivered).Air; math.Abs(got-most) > 2e-5 {
			t.Errorf("%+v against %g m³/s lacks %g m³, in steps %g", p, delivered, got, most)
		}
	}
}

// TestSaturationAgainstSteamTables: vapour pressures of saturated water in kPa, from steam tables (IAPWS-IF97, rounded).
func TestSaturationAgainstSteamTables(t *testing.T) {
	for c, kpa := range map[float64]float64{0.01: 0.6117, 5: 0.8726, 10: 1.2282, 20: 2.3393, 30: 4.2470, 40: 7.3849} {
		near(t, "saturation", supply.Saturation(c+273.15), kpa*1e3, 4e-3)
		near(t, "the dew point", supply.DewPoint(supply.Saturation(c+273.15)), c+273.15, 1e-12)
	}
	// Psychrometric charts: air of 25 °C and 50 % has a dew point of 13.9 °C.
	near(t, "a dew point of the chart", supply.DewPoint(0.5*supply.Saturation(298.15)), 273.15+13.9, 2e-4)
}

// TestCondensedAgainstTable: tables of handbooks have 17.3 g of water in one m³ of saturated air at 20 °C. Of 8 m³ at 20 °C and saturated,
// pressed into one, 17.3 g stay as vapour and 7 · 17.3 g fall out.
func TestCondensedAgainstTable(t *testing.T) {
	near(t, "the water", supply.Condensed(293.15, 1e5, 1, 8e5), 7*17.3e-3/8, 0.03)
	if got := supply.Condensed(293.15, 1e5, 0.1, 8e5); got != 0 {
		t.Errorf("air of a tenth of saturation, pressed to an eighth, gives off %g kg", got)
	}
}
