package stroke

import (
	"math"
	"math/rand/v2"
	"testing"
)

func near(t *testing.T, what string, got, want, tolerance float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tolerance*math.Abs(want)) {
		t.Errorf("%s: got %.9g, want %.9g", what, got, want)
	}
}

// ISO 6358-1's formula, recomputed outside by hand with bc: free air (ISO 8778) in L/min at 20 °C for C in dm³/(s bar) and absolute
// pressures in bar.
func TestFlow(t *testing.T) {
	for _, c := range []struct{ c, b, p1, p2, want float64 }{
		{1, 0.3, 7.01325, 6.01325, 254.54},
		{1, 0.3, 7, 1, 420},
		{1, 0.3, 7, 2.1, 420},
		{2.5, 0.35, 7, 1, 1050},
		{0.5, 0.2, 6, 5, 109.97},
		{0.5, 0.2, 6, 4, 146.2},
		{1, 0.5, 8, 7, 317.49},
		{1, 0.528, 7, 6, 301.03},
		{2, 0.3, 5, 4.5, 309.05},
		{0.25, 0.4, 7.01325, 6.01325, 68.08},
	} {
		q := Conductance{c.c * dm3bar, c.b}.Flow(c.p1*bar, 293.15, c.p2*bar)
		near(t, "flow", q/1.185*60e3, c.want, 5e-5)
	}
	// Hotter air is thinner: the mass flow goes with 1/√T.
	k := Conductance{dm3bar, 0.3}
	near(t, "hot", k.Flow(7*bar, 4*293.15, bar), k.Flow(7*bar, 293.15, bar)/2, 1e-12)
}

// An ideal nozzle passes p A √(γ/(R T)) (2/(γ+1))^((γ+1)/(2(γ-1))) when choked, which is 0.199 dm³/(s bar) for each mm² (gas dynamics, any
// textbook): the constants of the package are those of air.
func TestFlowOfIdealNozzle(t *testing.T) {
	const area = 1e-6
	c := Conductance{0.199 * dm3bar, 0.528}
	want := 5 * bar * area * math.Sqrt(1.4/(287.05*293.15)) * math.Pow(2/2.4, 3)
	near(t, "choked flow of 1 mm²", c.Flow(5*bar, 293.15, bar), want, 5e-3)
}

// The flow has neither jump where it chokes nor where it turns straight, and none at no pressure difference.
func TestFlowIsContinuous(t *testing.T) {
	for _, b := range []float64{0, 0.3, 0.528, 0.97} {
		k := Conductance{1, b}
		last := k.Ratio(0)
		for r := 0.0; r <= 1; r += 1e-5 {
			now := k.Ratio(r)
			if now > last+1e-15 || last-now > 5e-3 {
				t.Fatalf("b = %g: from %g to %g at r = %g", b, last, now, r)
			}
			last = now
		}
		if got := k.Ratio(1); got != 0 {
			t.Errorf("b = %g: flow %g without a pressure difference", b, got)
		}
	}
}

// FromNominalFlow against ISO 6358's formula: the figure of TestFlow.
func TestFromNominalFlow(t *testing.T) {
	near(t, "C", FromNominalFlow(254.54/60e3, 0.3).C, dm3bar, 5e-5)
}

// VDI/VDE 2173 gives the choked flow of gas as Q = 257 Kv p1/√(ρN T), in m³/h (0 °C, 1013 mbar), bar, kg/m³ and K (from memory), for valves
// with b of about 0.5: for Kv = 1 that is C = 4.0 dm³/(s bar). Cv = 1.156 Kv from the units (gallon of 3.785 L, psi of 6.895 kPa).
func TestFromCoefficients(t *testing.T) {
	const density = 1.2929 // kg/m³, dry air at 0 °C and 1013.25 mbar, ISO 2533 gives 1.2932
	q := 257 * 7 / math.Sqrt(density*293.15) * density / 3600
	near(t, "choked flow", FromKv(1, 0.5).Flow(7*bar, 293.15, bar), q, 0.02)
	near(t, "C", FromKv(1, 0.5).C, 4.0*dm3bar, 0.02)
	near(t, "Cv", FromCv(1.156, 0.4).C, FromKv(1, 0.4).C, 1e-3)
	// Q = 984 Cv L/min is in use for the nominal flow (common practice, no source); it lies within a tenth of the above.
	near(t, "nominal flow", FromCv(1, 0.3).C, FromNominalFlow(984/60e3, 0.3).C, 0.1)
}

// March a flow through parts forward, as ISO 6358-3 does it, each by ISO 6358-1's formula solved for p2.
func marched(parts []Conductance, q float64) (p float64, ok bool) {
	p = 1
	for _, c := range parts {
		x := q / (c.C * p)
		if x > 1 {
			return 0, false
		}
		p *= c.B + (1-c.B)*math.Sqrt(1-x*x)
	}
	return p, true
}

func choked(parts []Conductance) float64 {
	low, high := 0.0, math.Inf(1)
	for _, c := range parts {
		high = min(high, c.C)
	}
	if _, ok := marched(parts, high); ok {
		return high
	}
	for range 200 {
		if q := (low + high) / 2; q == low || q == high {
			break
		} else if _, ok := marched(parts, q); ok {
			low = q
		} else {
			high = q
		}
	}
	return low
}

// Eckersten's rule for two parts, as P. Beater's Pneumatic Drives has it (from memory).
func eckersten(a, b Conductance) Conductance {
	alpha := a.C / (a.B * b.C)
	c := a.C
	if alpha > 1 {
		k := (1 - a.B) / a.B
		c = b.C * alpha * (alpha*a.B + (1-a.B)*math.Sqrt(alpha*alpha+k*k-1)) / (alpha*alpha + k*k)
	}
	return Conductance{c, 1 - c*c*((1-a.B)/(a.C*a.C)+(1-b.B)/(b.C*b.C))}
}

func TestSeries(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 2))
	worst := 0.0 // of the ellipse
	for range 2000 {
		parts := make([]Conductance, 2+rng.IntN(4))
		for i := range parts {
			parts[i] = Conductance{dm3bar * (0.5 + 1.5*rng.Float64()), 0.2 + 0.3*rng.Float64()}
		}
		whole := Series(parts...)
		near(t, "choked flow", whole.C, choked(parts), 1e-12)
		if whole.B < 0 || whole.B >= 1 {
			t.Fatalf("b = %g of %v", whole.B, parts)
		}
		two := eckersten(parts[0], parts[1])
		got := Series(parts[:2]...)
		near(t, "C of two", got.C, two.C, 1e-9)
		near(t, "b of two", got.B, two.B, 1e-6)
		// Between the ends the ellipse is an approximation.
		for x := 0.05; x < 1; x += 0.05 {
			r, ok := marched(parts, x*whole.C)
			if !ok {
				t.Fatalf("%g of the choked flow does not pass %v", x, parts)
			}
			if r < straight {
				worst = max(worst, math.Abs(whole.Ratio(r)-x))
			}
		}
	}
	if worst > 0.02 {
		t.Errorf("the ellipse is off by %.3g of the choked flow", worst)
	}
	// A check valve against the flow stops it.
	if got := Series(Conductance{1, 0.3}, Conductance{}); got.C != 0 {
		t.Errorf("C = %g through a closed check valve", got.C)
	}
}

// Choked adiabatic flow with friction through a tube with a rounded inlet (Fanno; J. D. Anderson, Modern Compressible Flow, chapter 3),
// friction of a smooth tube by Blasius. OfTube, which is fitted to measured tubes with their fittings, lies an eighth below it.
func TestOfTube(t *testing.T) {
	const g, p0, t0 = 1.4, 7 * bar, 293.15
	for _, c := range []struct{ bore, length float64 }{{0.0025, 0.5}, {0.004, 0.5}, {0.004, 2}, {0.006, 1}, {0.008, 5}, {0.012, 10}} {
		area := math.Pi / 4 * c.bore * c.bore
		flow := 0.0
		f := 0.02
		for range 30 {
			// 4 f L*/D at the inlet's Mach number is that of the tube.
			low, high := 1e-4, 1.0
			for range 100 {
				m := (low + high) / 2
				fanno := (1-m*m)/(g*m*m) + (g+1)/(2*g)*math.Log((g+1)*m*m/(2+(g-1)*m*m))
				if fanno > f*c.length/c.bore {
					low = m
				} else {
					high = m
				}
			}
			m := low
			flow = p0 * area * math.Sqrt(g/(287.05*t0)) * m * math.Pow(1+0.2*m*m, -3)
			f = 0.3164 * math.Pow(4*flow/(math.Pi*c.bore*1.82e-5), -0.25)
		}
		got := OfTube(c.bore, c.length)
		near(t, "tube", got.Flow(p0, t0, 0), flow, 0.15)
		if got.B <= 0 || got.B >= 0.7 {
			t.Errorf("b = %g of a tube", got.B)
		}
	}
}
