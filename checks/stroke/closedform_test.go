package stroke

import (
	"math"
	"testing"
)

const gas = 1e5 / (1.185 * 293.15) // J/(kg K)

func mustRun(t *testing.T, m Machine, o Options) *Result {
	t.Helper()
	r, err := Run(m, o)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// held is a piston that stays at the rear end until the pressure of its one chamber, a vessel of 50 cm³, has all but come to its end.
func held(wall float64, supply float64, to Connection) Machine {
	const area, least = 5e-4, 1e-9 // m², N
	vessel := Chamber{Area: area, Dead: 50 * cm3, Pressure: ambient, To: to, Line: Line{Valve: []Element{both("valve", 0.5, 0.3)}}}
	m := Machine{
		Air:       Air{ambient, 293.15, wall},
		Supply:    Supply{Pressure: supply},
		Cap:       vessel,
		Rod:       Chamber{To: Open},
		Stroke:    0.1,
		High:      0.1,
		Mechanism: Constant{Mass: 1, Load: area*(supply-ambient) - least},
		Friction:  Friction{Breakaway: 1},
	}
	if to == Exhausted {
		vessel.Pressure = supply
		m.Stroke, m.High = 0.05, 0.05
		vessel.Dead -= area * m.Stroke
		m.Cap, m.Rod = Chamber{To: Open}, vessel
		m.Mechanism = Constant{Mass: 1, Load: -least}
	}
	return m
}

// Filling of a vessel through a choked passage, which is linear in time, and on through the ellipse: with x = (r - b)/(1 - b),
// dx/dt = k/(1 - b) √(1 - x²), a sine. Adiabatic: the air that flows in heats to γ T, so that k has the factor γ (textbook).
func TestFilling(t *testing.T) {
	const supply, c, b = 7 * bar, 0.5 * dm3bar, 0.3
	for name, factor := range map[string]float64{"isothermal": 1, "adiabatic": 1.4} {
		wall := 0.0
		if name == "isothermal" {
			wall = math.Inf(1)
		}
		r := mustRun(t, held(wall, supply, Supplied), Options{Tolerance: 1e-9, Limit: 0.3, Samples: 200})
		k := factor * gas * 293.15 * c * 1.185 / 50e-6 // 1/s
		chokes := (b - ambient/supply) / k
		seen := [2]int{}
		for _, s := range r.Course {
			want := ambient + k*supply*s.Time
			if s.Time > chokes {
				want = supply * (b + (1-b)*math.Sin(min(math.Pi/2, k*(s.Time-chokes)/(1-b))))
			}
			if want > straight*supply {
				break
			}
			near(t, name, s.Cap, want, 1e-6)
			seen[map[bool]int{false: 0, true: 1}[s.Time > chokes]]++
		}
		if seen[0] < 5 || seen[1] < 10 {
			t.Errorf("%s: %v samples compared", name, seen)
		}
	}
}

// Discharge of a vessel through a choked passage, with 1/τ = R T C ρ0/V: isothermal p = p0 e^(-t/τ); adiabatic
// p = p0 (1 + (γ-1)/2 t/τ)^(-2γ/(γ-1)) (textbook).
func TestDischarge(t *testing.T) {
	const start = 9 * bar
	rate := gas * 293.15 * 0.5 * dm3bar * 1.185 / 50e-6
	for name, law := range map[string]func(float64) float64{
		"isothermal": func(x float64) float64 { return math.Exp(-x) },
		"adiabatic":  func(x float64) float64 { return math.Pow(1+0.2*x, -7) },
	} {
		wall := 0.0
		if name == "isothermal" {
			wall = math.Inf(1)
		}
		r := mustRun(t, held(wall, start, Exhausted), Options{Tolerance: 1e-9, Limit: 0.5, Samples: 200})
		seen := 0
		for _, s := range r.Course {
			if s.Rod < ambient/0.3 {
				break
			}
			near(t, name, s.Rod, start*law(rate*s.Time), 1e-7)
			seen++
		}
		if seen < 10 {
			t.Errorf("%s: %d samples compared", name, seen)
		}
	}
}

// Between the two: the more heat the wall gives, the nearer to isothermal.
func TestWall(t *testing.T) {
	last := 0.0
	for _, wall := range []float64{0, 50, 1e3, 1e5, math.Inf(1)} {
		m := held(wall, 9*bar, Exhausted)
		r := mustRun(t, m, Options{Limit: 0.5, Samples: 400})
		at := 0.0
		for _, s := range r.Course {
			if s.Time > 0.05 {
				at = s.Rod
				break
			}
		}
		if at <= last {
			t.Errorf("wall %g: %g Pa, not above %g", wall, at, last)
		}
		last = at
	}
}

// spring is a frictionless piston between two shut chambers, displaced by x from its equilibrium in the middle of 0.1 m.
func spring(x float64) (Machine, float64) {
	const area, dead, rest, mass = 5e-4, 10 * cm3, 4 * bar, 2.0
	volume := dead + area*0.05
	at := func(v float64) float64 { return rest * math.Pow(volume/v, 1.4) }
	m := Machine{
		Air:       Air{ambient, 293.15, 0},
		Supply:    Supply{Pressure: 6 * bar},
		Cap:       Chamber{Area: area, Dead: dead, Pressure: at(volume + area*x), To: Shut},
		Rod:       Chamber{Area: area, Dead: dead, Pressure: at(volume - area*x), To: Shut},
		Stroke:    0.1,
		High:      0.1,
		Start:     0.05 + x,
		Mechanism: Constant{Mass: mass},
		Friction:  Friction{Breakaway: 1},
	}
	return m, math.Sqrt(2 * 1.4 * rest * area * area / (volume * mass))
}

// A frictionless piston on two columns of air swings about its equilibrium with ω² = γ p A² (1/V1 + 1/V2)/m (Rüchardt's experiment, any
// textbook of thermodynamics), to second order in the amplitude.
func TestOscillation(t *testing.T) {
	const x = 2e-5
	m, omega := spring(x)
	period := 2 * math.Pi / omega
	for _, turns := range []float64{0.25, 1, 3, 10.25} {
		r := mustRun(t, m, Options{Tolerance: 1e-11, Limit: turns * period})
		if r.Verdict != OutOfTime {
			t.Fatalf("%v", r.Verdict)
		}
		sin, cos := math.Sincos(2 * math.Pi * turns)
		if d := r.Last.Stroke - 0.05 - x*cos; math.Abs(d) > 1e-4*x {
			t.Errorf("%g turns: off by %.3g of the amplitude", turns, d/x)
		}
		if d := r.Last.Speed + x*omega*sin; math.Abs(d) > 1e-4*x*omega {
			t.Errorf("%g turns: speed off by %.3g of its peak", turns, d/(x*omega))
		}
	}
	// Far from the middle no longer a sine, but still without loss: after any number of turns it comes to where it began.
	m, _ = spring(0.03)
	r := mustRun(t, m, Options{Tolerance: 1e-9, Limit: 1, Samples: 2000})
	high := 0.0
	for _, s := range r.Course[len(r.Course)/2:] {
		high = max(high, s.Stroke)
	}
	near(t, "furthest stroke", high, 0.08, 1e-4)
	if math.Abs(r.Energy.Residual) > 1e-6 {
		t.Errorf("%+v", r.Energy)
	}
}

// pushed is a piston under the pressure of a chamber so large that it doesn't change: 5 bar on 5 cm², 250 N.
func pushed(mechanism Mechanism, f Friction) Machine {
	return Machine{
		Air:       Air{ambient, 293.15, 0},
		Supply:    Supply{Pressure: 6 * bar},
		Cap:       Chamber{Area: 5e-4, Dead: 1e3, Pressure: ambient + 5*bar, To: Shut},
		Rod:       Chamber{To: Open},
		Stroke:    0.2,
		High:      0.2,
		Mechanism: mechanism,
		Friction:  f,
	}
}

// Constant force and mass: t = √(2 m L/F), v = √(2 F L/m); with viscous friction f v approaches F/f:
// s = F/f (t - m/f (1 - e^(-f t/m))).
func TestConstantForce(t *testing.T) {
	const mass, length = 8.0, 0.2
	load := Constant{Mass: mass, Load: 60, Drag: 10}
	const force = 250 - 60 - 10 - 20
	r := mustRun(t, pushed(load, Friction{Constant: 20, Breakaway: 1.3}), Options{})
	near(t, "time", r.Arrived, math.Sqrt(2*mass*length/force), 1e-6)
	near(t, "speed", r.Last.Speed, math.Sqrt(2*force*length/mass), 1e-6)
	near(t, "acceleration", r.PeakAcceleration.Acceleration, force/mass, 1e-6)
	near(t, "energy into the stop", r.Energy.Stop, force*length, 1e-6)
	near(t, "friction", r.Energy.Friction, 30*length, 1e-6)
	near(t, "load", r.Energy.Load, 60*length, 1e-6)
	near(t, "drive", r.Energy.Drive, 250*length, 1e-6)

	const viscous = 150.0
	r = mustRun(t, pushed(load, Friction{Constant: 20, Viscous: viscous, Breakaway: 1.3}), Options{})
	at := r.Arrived
	decay := math.Exp(-viscous * at / mass)
	near(t, "way", force/viscous*(at-mass/viscous*(1-decay)), length, 1e-6)
	near(t, "speed", r.Last.Speed, force/viscous*(1-decay), 1e-6)
}

// A mass that grows with the stroke, m = m0 (1 + k s), under constant force (Eksergian's equation): by energy v = √(2 F s/m), and
// t = √(m0/(2F)) (√(s (1 + k s)) + asinh √(k s)/√k).
func TestGrowingMass(t *testing.T) {
	const m0, k, force, s = 3.0, 12.0, 250.0, 0.2
	poses := []Pose{{Mass: m0, Slope: m0 * k}, {Mass: m0 * (1 + k*s), Slope: m0 * k}}
	table, err := NewTable([]float64{0, s}, poses)
	if err != nil {
		t.Fatal(err)
	}
	r := mustRun(t, pushed(table, Friction{Breakaway: 1}), Options{})
	near(t, "speed", r.Last.Speed, math.Sqrt(2*force*s/(m0*(1+k*s))), 1e-6)
	near(t, "time", r.Arrived, math.Sqrt(m0/(2*force))*(math.Sqrt(s*(1+k*s))+math.Asinh(math.Sqrt(k*s))/math.Sqrt(k)), 1e-5)
}

// Under a constant force a long damper brings the speed to F/c, or √(F/c) for a force of c v², and takes the work that is not left as
// kinetic energy; a spring takes k x²/2.
func TestDamper(t *testing.T) {
	const c, force = 2000.0, 250.0
	m := pushed(Constant{Mass: 8}, Friction{Breakaway: 1})
	m.Damper = Damper{Length: 0.15, Linear: c}
	r := mustRun(t, m, Options{Tolerance: 1e-8})
	near(t, "speed", r.Last.Speed, force/c, 1e-6)
	near(t, "damper", r.Energy.Damper, force*0.2-8*force*force/(2*c*c), 1e-6)
	m.Damper = Damper{Length: 0.02, Stiffness: 5000}
	r = mustRun(t, m, Options{Tolerance: 1e-8})
	near(t, "stop", r.Energy.Stop, force*0.2-5000*0.02*0.02/2, 1e-6)
	m.Damper = Damper{Length: 0.15, Quadratic: 5e4}
	r = mustRun(t, m, Options{Tolerance: 1e-8})
	near(t, "speed", r.Last.Speed, math.Sqrt(force/5e4), 1e-6)
}

// A cushion whose needle is shut springs the piston back. At the turn the energy at its entry and the work of the force beyond it are in
// the trapped air: ∫ p dV along p V^γ.
func TestShutCushion(t *testing.T) {
	const length, dead, area, force, mass = 0.03, 5 * cm3, 4e-4, 5.0, 2.0
	m := pushed(Constant{Mass: mass, Load: 250 - force}, Friction{Breakaway: 1})
	m.Rod = Chamber{Area: area, Dead: dead, Pressure: ambient, To: Exhausted, Cushion: Cushion{Length: length},
		Line: Line{Valve: []Element{both("valve", 50, 0.3)}}}
	r := mustRun(t, m, Options{Tolerance: 1e-9, Limit: 2})
	volume := dead + area*length
	// The rod's area takes the air's pressure: 5e-4 against 4e-4 m².
	left := func(depth float64) float64 {
		v := volume - area*depth
		trapped := r.Entry.Rod * volume / 0.4 * (math.Pow(volume/v, 0.4) - 1)
		return r.EntryEnergy + (force+ambient*area)*depth - trapped
	}
	low, high := 0.0, length+dead/area
	for range 100 {
		if d := (low + high) / 2; left(d) > 0 {
			low = d
		} else {
			high = d
		}
	}
	near(t, "pressure at the turn", r.PeakRod, r.Entry.Rod*math.Pow(volume/(volume-area*low), 1.4), 1e-6)
	near(t, "energy at the entry", r.EntryEnergy, mass*r.Entry.Speed*r.Entry.Speed/2, 1e-12)
	near(t, "entry", r.Entry.Stroke, 0.2-length, 1e-12)
	if r.Verdict != OutOfTime && r.Verdict != Stalls {
		t.Errorf("%v", r.Verdict)
	}
}
