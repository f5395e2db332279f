package stroke

import (
	"encoding/json"
	"math"
	"os"
	"testing"
)

// A polynomial is a mechanism in closed form: coefficients of 1, s and s².
type polynomial struct {
	Mass, Load [3]float64
	Drag       float64
}

func (p polynomial) At(s float64) Pose {
	at := func(c [3]float64) float64 { return c[0] + s*(c[1]+s*c[2]) }
	return Pose{Mass: at(p.Mass), Slope: p.Mass[1] + 2*p.Mass[2]*s, Load: at(p.Load), Drag: p.Drag}
}

// A randomStroke is one of testdata/strokes.json.
type randomStroke struct {
	Machine struct {
		Machine
		Isothermal bool
		Polynomial polynomial
	}
	Result struct {
		Started, Arrived                                                                *float64
		PeakSpeed, PeakAcceleration, PeakCap, PeakRod, EntryEnergy, Stop, Stroke, Speed float64
		Drive, Cushion, Load, Friction, Damper, Cap, Rod                                float64
	}
}

func (r *randomStroke) machine() Machine {
	m := r.Machine.Machine
	m.Mechanism = r.Machine.Polynomial
	if r.Machine.Isothermal {
		m.Air.Wall = math.Inf(1)
	}
	return m
}

func randomStrokes(t testing.TB) []randomStroke {
	t.Helper()
	data, err := os.ReadFile("testdata/strokes.json")
	if err != nil {
		t.Fatal(err)
	}
	var all struct{ Strokes []randomStroke }
	if err := json.Unmarshal(data, &all); err != nil {
		t.Fatal(err)
	}
	if len(all.Strokes) < 50 {
		t.Fatalf("only %d strokes", len(all.Strokes))
	}
	return all.Strokes
}

// Strokes of random machines as SciPy's solve_ivp finds them at 1e-10 (testdata/strokes.py): times, speeds, pressures and works to 1e-4,
// of the larger of the quantity and of what is usual for it in that stroke.
func TestRandomStrokesAgainstSciPy(t *testing.T) {
	for n, c := range randomStrokes(t) {
		m := c.machine()
		got, err := Run(m, Options{Limit: 5})
		if err != nil {
			t.Errorf("stroke %d: %v", n, err)
			continue
		}
		want := c.Result
		near := func(what string, got, want, usual float64) {
			if !(math.Abs(got-want) <= 1e-4*max(math.Abs(want), usual)) {
				t.Errorf("stroke %d, %s: got %.9g, want %.9g", n, what, got, want)
			}
		}
		energy := want.Stop + math.Abs(want.Drive) + math.Abs(want.Cushion)
		if (got.Verdict == Arrives) != (want.Arrived != nil) {
			t.Errorf("stroke %d: %v, SciPy's %v", n, got.Verdict, want.Arrived)
			continue
		}
		if want.Started != nil {
			near("start", got.Started, *want.Started, 0)
		}
		if want.Arrived != nil {
			near("arrival", got.Arrived, *want.Arrived, 0)
			near("speed at the end", got.Last.Speed, want.Speed, want.PeakSpeed)
			near("energy into the stop", got.Energy.Stop, want.Stop, energy)
			near("cap's pressure at the end", got.Last.Cap, want.Cap, 0)
			near("rod's pressure at the end", got.Last.Rod, want.Rod, 0)
			near("cap's peak pressure", got.PeakCap, want.PeakCap, 0)
			near("rod's peak pressure", got.PeakRod, want.PeakRod, 0)
		}
		near("end", got.Last.Stroke, want.Stroke, m.Stroke)
		near("peak speed", math.Abs(got.PeakSpeed.Speed), want.PeakSpeed, 0)
		if want.PeakSpeed > 0 {
			near("peak acceleration", math.Abs(got.PeakAcceleration.Acceleration), want.PeakAcceleration, 0)
		}
		near("energy at the cushion", got.EntryEnergy, want.EntryEnergy, energy)
		near("drive", got.Energy.Drive, want.Drive, energy)
		near("cushion", got.Energy.Cushion, want.Cushion, energy)
		near("load", got.Energy.Load, want.Load, energy)
		near("friction", got.Energy.Friction, want.Friction, energy)
		near("damper", got.Energy.Damper, want.Damper, energy)
		if got.Energy.Imbalance() > 1e-5 {
			t.Errorf("stroke %d: the account of the energy is off by %.3g: %+v", n, got.Energy.Imbalance(), got.Energy)
		}
	}
}

// What a run is off by at a tolerance is about that tolerance: nine tenths of the strokes are within it, and all within ten times.
func TestTolerance(t *testing.T) {
	for _, tolerance := range []float64{1e-4, 1e-6} {
		beyond, count := 0, 0
		for n, c := range randomStrokes(t) {
			if c.Result.Arrived == nil {
				continue
			}
			m := c.machine()
			got := mustRun(t, m, Options{Tolerance: tolerance})
			want := mustRun(t, m, Options{Tolerance: 1e-10, Steps: 1e6})
			energy := want.Energy.Stop + math.Abs(want.Energy.Drive) + math.Abs(want.Energy.Cushion)
			for what, off := range map[string]float64{
				"arrival":            (got.Arrived - want.Arrived) / want.Arrived,
				"speed at the end":   (got.Last.Speed - want.Last.Speed) / want.PeakSpeed.Speed,
				"energy to the stop": (got.Energy.Stop - want.Energy.Stop) / energy,
				"drive":              (got.Energy.Drive - want.Energy.Drive) / energy,
			} {
				count++
				if off = math.Abs(off); off > tolerance {
					beyond++
				}
				if off > 10*tolerance {
					t.Errorf("stroke %d at a tolerance of %g: %s is off by %.2g", n, tolerance, what, off)
				}
			}
		}
		if beyond > count/10 {
			t.Errorf("at a tolerance of %g %d of %d figures are off by more", tolerance, beyond, count)
		}
	}
}

// The same strokes take SciPy's solve_ivp (RK45, rtol 1e-6, right side in Python) some 400 ms each, as strokes.py prints: about 2000 times as
// long, measured on one machine.
func BenchmarkRandomStrokes(b *testing.B) {
	var machines []Machine
	for _, c := range randomStrokes(b) {
		if c.Result.Arrived != nil {
			machines = append(machines, c.machine())
		}
	}
	for b.Loop() {
		for _, m := range machines {
			if _, err := Run(m, Options{}); err != nil {
				b.Fatal(err)
			}
		}
	}
	b.ReportMetric(float64(b.Elapsed().Microseconds())/float64(b.N*len(machines)), "µs/stroke")
}
