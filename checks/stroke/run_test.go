package stroke

import (
	"math"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
)

func TestVerdicts(t *testing.T) {
	heavy := lifter()
	heavy.Mechanism = Constant{Mass: 5, Load: 400} // 6 bar on 4.91 cm² give 295 N
	climbs := lifter()
	climbs.Mechanism = polynomial{Mass: [3]float64{5}, Load: [3]float64{100, 4000}} // 295 N at 49 mm
	climbs.Friction.Viscous = 2000
	blocked := lifter()
	blocked.Rod.Line.Port[0].Out.C = 0
	blocked.Rod.Pressure = 3*bar + ambient
	backwards := lifter()
	backwards.Start = 0.05
	backwards.Mechanism = Constant{Mass: 5, Load: 400}
	for _, c := range []struct {
		name    string
		machine Machine
		options Options
		want    Verdict
		stroke  float64 // m, and how near
		within  float64
	}{
		{"as it is", lifter(), Options{}, Arrives, 0.1, 0},
		{"a load above the thrust", heavy, Options{}, NeverStarts, 0, 0},
		{"a load that grows beyond the thrust", climbs, Options{}, Stalls, 0.045, 0.005},
		{"an exhaust that lets nothing out", blocked, Options{}, Stalls, 0.025, 0.005},
		{"a load that pushes it back", backwards, Options{}, Stalls, 0, 0},
		{"a short time", lifter(), Options{Limit: 0.1}, OutOfTime, 0.003, 0.003},
		{"few steps", lifter(), Options{Steps: 40}, OutOfSteps, 0, 0},
	} {
		r := mustRun(t, c.machine, c.options)
		if r.Verdict != c.want || math.Abs(r.Last.Stroke-c.stroke) > c.within {
			t.Errorf("%s: %v at %g m, want %v at %g m", c.name, r.Verdict, r.Last.Stroke, c.want, c.stroke)
		}
		if (r.Verdict == Arrives) == math.IsNaN(r.Arrived) {
			t.Errorf("%s: %v, arrived at %g s", c.name, r.Verdict, r.Arrived)
		}
		if (r.Verdict == NeverStarts) && !math.IsNaN(r.Started) {
			t.Errorf("%s: started at %g s", c.name, r.Started)
		}
		if r.Verdict == Stalls || r.Verdict == NeverStarts {
			// The forces returned show why: what is left over is within what friction holds, or pushes onto the stop.
			net := r.Forces.Air - r.Forces.Load - r.Forces.Damper
			if net > r.Forces.Holding || net < -r.Forces.Holding && r.Last.Stroke > 0 {
				t.Errorf("%s: %+v at %g m don't hold it", c.name, r.Forces, r.Last.Stroke)
			}
			if r.Last.Speed != 0 {
				t.Errorf("%s: stands at %g m/s", c.name, r.Last.Speed)
			}
		}
		if r.Energy.Imbalance() > 1e-5 {
			t.Errorf("%s: %+v", c.name, r.Energy)
		}
	}
	r := mustRun(t, backwards, Options{})
	near(t, "way back", r.Backward, 0.05, 1e-12)
	if r.Energy.Back <= 0 || r.Energy.Stop != 0 {
		t.Errorf("%+v", r.Energy)
	}
}

// A tube of a few mm³ behind wide passages, stiff as nothing that is built, costs hardly more steps than the same machine without it.
func TestStiff(t *testing.T) {
	m := lifter()
	m.Rod.Line = Line{Valve: []Element{both("valve", 100, 0.3)}, Tube: Tube{0.01, 0.001}, Port: []Element{both("port", 100, 0.3)}}
	stiff := mustRun(t, m, Options{})
	m.Rod.Line.Tube = Tube{}
	plain := mustRun(t, m, Options{})
	if stiff.Verdict != Arrives || stiff.Steps+stiff.Rejected > 2*(plain.Steps+plain.Rejected) {
		t.Errorf("%v after %d and %d steps, %d and %d without the tube", stiff.Verdict, stiff.Steps, stiff.Rejected, plain.Steps, plain.Rejected)
	}
	near(t, "arrival", stiff.Arrived, plain.Arrived, 1e-2)
}

// Turned end for end a machine makes the same stroke.
func TestMirror(t *testing.T) {
	m := lifter()
	m.Mechanism = polynomial{Mass: [3]float64{5, 30, 40}, Load: [3]float64{60, 500, -900}, Drag: 5}
	m.Damper = Damper{Length: 0.02, Linear: 50, Quadratic: 20, Stiffness: 300}
	m.Low, m.High, m.Start = 0.003, 0.098, 0.003
	n := m
	n.Cap, n.Rod = m.Rod, m.Cap
	n.Low, n.High, n.Start, n.Inward = 0.1-m.High, 0.1-m.Low, 0.1-m.Start, true
	n.Mechanism = mirrored{m.Mechanism}
	a, b := mustRun(t, m, Options{}), mustRun(t, n, Options{})
	for _, c := range []struct {
		what string
		a, b float64
	}{
		{"start", a.Started, b.Started},
		{"arrival", a.Arrived, b.Arrived},
		{"peak speed", a.PeakSpeed.Speed, -b.PeakSpeed.Speed},
		{"peak acceleration", a.PeakAcceleration.Acceleration, -b.PeakAcceleration.Acceleration},
		{"entry", a.EntryEnergy, b.EntryEnergy},
		{"peak pressure", a.PeakCap, b.PeakRod},
		{"other peak pressure", a.PeakRod, b.PeakCap},
		{"drive", a.Energy.Drive, b.Energy.Drive},
		{"load", a.Energy.Load, b.Energy.Load},
		{"cushion", a.Energy.Cushion, b.Energy.Cushion},
		{"damper", a.Energy.Damper, b.Energy.Damper},
		{"stop", a.Energy.Stop, b.Energy.Stop},
	} {
		if c.a == 0 {
			t.Errorf("%s is nothing", c.what)
		}
		near(t, c.what, c.b, c.a, 1e-5)
	}
}

type mirrored struct{ of Mechanism }

func (m mirrored) At(s float64) Pose {
	p := m.of.At(0.1 - s)
	p.Slope, p.Load = -p.Slope, -p.Load
	return p
}

// What is known of the parts (ISO 4414's reasons for soft start and for meter-out; common practice, no source): the first stroke into an
// empty exhaust side is the fastest; a throttle on the exhaust takes the larger part of the loss and slows; an empty cushion takes less.
func TestFirstStrokeSlams(t *testing.T) {
	full := mustRun(t, lifter(), Options{})
	m := lifter()
	m.Rod.Pressure = ambient
	empty := mustRun(t, m, Options{})
	if empty.PeakSpeed.Speed < 1.5*full.PeakSpeed.Speed || empty.Arrived >= full.Arrived || empty.EntryEnergy < 2*full.EntryEnergy {
		t.Errorf("from empty: %g m/s, %g s; from full: %g m/s, %g s", empty.PeakSpeed.Speed, empty.Arrived, full.PeakSpeed.Speed, full.Arrived)
	}
	m = lifter()
	m.Rod.Line.Port[0].Out.C /= 2
	if slower := mustRun(t, m, Options{}); slower.Arrived < 1.3*full.Arrived {
		t.Errorf("%g s with half the opening, %g s before", slower.Arrived, full.Arrived)
	}
	// The wrong way round, the control no longer throttles what leaves.
	m = lifter()
	e := &m.Rod.Line.Port[0]
	e.In, e.Out = e.Out, e.In
	if free := mustRun(t, m, Options{}); free.PeakSpeed.Speed < 1.5*full.PeakSpeed.Speed {
		t.Errorf("%g m/s with the control reversed, %g m/s before", free.PeakSpeed.Speed, full.PeakSpeed.Speed)
	}
}

func TestLosses(t *testing.T) {
	r := mustRun(t, lifter(), Options{})
	sum, most := 0.0, Loss{}
	var names []string
	for _, l := range r.Losses {
		if l.Share < 0 || l.Mean < 0 {
			t.Errorf("%+v", l)
		}
		sum += l.Share
		if l.Share > most.Share {
			most = l
		}
		names = append(names, l.Name)
	}
	near(t, "sum of the shares", sum, 1, 1e-12)
	if most.Name != "flow control" || !most.Rod {
		t.Errorf("most is lost at %+v", most)
	}
	if d := cmp.Diff([]string{"valve", "tube", "flow control", "silencer", "valve", "tube", "flow control", "cushion"}, names); d != "" {
		t.Error(d)
	}
	// At a small flow the loss goes with (1 - b)/C². Two parts between a vessel and its supply that differ in C by 2 differ in loss by 4.
	m := held(0, 1.02*bar, Supplied)
	m.Cap.Pressure = ambient
	m.Cap.Line.Valve = []Element{both("wide", 1, 0.3), both("narrow", 0.5, 0.3)}
	m.Air.Pressure = ambient
	r = mustRun(t, m, Options{Limit: 0.1})
	near(t, "loss of the narrow part", r.Losses[1].Mean, 4*r.Losses[0].Mean, 0.02)
	// Without temperature changes all that is lost falls between the supply and the vessel.
	near(t, "losses", r.Losses[0].Share+r.Losses[1].Share, 1, 1e-12)
}

// The piston starts when the cap's pressure on its area exceeds load, drag and breakaway, with the rod's chamber emptied.
func TestLowestPressure(t *testing.T) {
	m := lifter()
	m.Mechanism = Constant{Mass: 5, Load: 80, Drag: 6}
	low, err := LowestPressure(m, Options{}, 1e-3)
	if err != nil {
		t.Fatal(err)
	}
	want := ambient + (80+6+1.4*5)/(m.Cap.Area-1.4*3e-5)
	if !low.Moved || !low.Reached || math.Abs(low.Moves-want) > 2e-3*6*bar {
		t.Errorf("moves from %g Pa, want %g", low.Moves, want)
	}
	if low.Arrives < low.Moves || low.Arrives > low.Moves+0.1*bar {
		t.Errorf("arrives from %g Pa, moves from %g Pa", low.Arrives, low.Moves)
	}
	// A load that grows takes more to arrive than to move, and just below it does not.
	m = lifter()
	m.Mechanism = polynomial{Mass: [3]float64{5}, Load: [3]float64{50, 1200}}
	if low, err = LowestPressure(m, Options{}, 1e-3); err != nil {
		t.Fatal(err)
	}
	if low.Arrives < low.Moves+bar {
		t.Errorf("arrives from %g Pa, moves from %g Pa", low.Arrives, low.Moves)
	}
	for _, c := range []struct {
		p    float64
		want bool
	}{{low.Arrives, true}, {low.Arrives - 2e-3*6*bar, false}} {
		m.Supply.Pressure, m.Rod.Pressure = c.p, c.p
		if r := mustRun(t, m, Options{}); (r.Verdict == Arrives) != c.want {
			t.Errorf("at %g Pa: %v", c.p, r.Verdict)
		}
	}
	m = lifter()
	m.Mechanism = Constant{Mass: 5, Load: 400}
	if low, err = LowestPressure(m, Options{}, 1e-3); err != nil || low.Moved || low.Reached {
		t.Errorf("%+v, %v", low, err)
	}
}

// The valve's delay and the time that sound takes through the tube pass before anything is felt at the cylinder (343 m/s at 20 °C).
func TestDelay(t *testing.T) {
	m := lifter()
	m.Cap.Line.Tube.Length = 4
	r := mustRun(t, m, Options{Samples: 2000})
	for _, s := range r.Course {
		if felt := s.Cap > ambient*(1+1e-6); felt != (s.Time > 0.015+4/343.2) && math.Abs(s.Time-0.015-4/343.2) > 5e-4 {
			t.Errorf("%g Pa at %g s", s.Cap, s.Time)
			break
		}
	}
}

// What leaves a receiver is in tube and chamber, and what stays expands adiabatically.
func TestReceiver(t *testing.T) {
	m := lifter()
	m.Rod = Chamber{To: Open}
	m.Supply.Receiver = 300 * cm3
	r := newRun(&m, Options{Tolerance: 1e-8, Limit: 1, Steps: 1e5})
	mass := func() float64 {
		tube := math.Pi / 4 * 0.004 * 0.004 * 0.8
		return r.y[iSupM] + r.y[iM] + r.y[iTube]*tube/(gas*293.15)
	}
	before, density := mass(), r.y[iSupM]
	r.run()
	if r.result.Verdict != Arrives {
		t.Fatalf("%v", r.result.Verdict)
	}
	near(t, "air", mass(), before, 1e-9)
	near(t, "receiver", r.y[iSupP], m.Supply.Pressure*math.Pow(r.y[iSupM]/density, 1.4), 1e-7)
	if r.y[iSupP] > 0.9*m.Supply.Pressure {
		t.Errorf("no droop: %g Pa", r.y[iSupP])
	}
}

func TestCourse(t *testing.T) {
	r := mustRun(t, lifter(), Options{Samples: 50})
	n := len(r.Course)
	if n < 20 || n > 50 {
		t.Fatalf("%d samples", n)
	}
	if r.Course[0].Time != 0 || r.Course[n-1] != r.Last {
		t.Errorf("from %+v to %+v", r.Course[0], r.Course[n-1])
	}
	step := r.Course[1].Time
	for i := 1; i < n-1; i++ {
		near(t, "time", r.Course[i].Time, float64(i)*step, 1e-9)
		if r.Course[i].Stroke < r.Course[i-1].Stroke-1e-9 {
			t.Errorf("back at %g s", r.Course[i].Time)
		}
	}
	fine := mustRun(t, lifter(), Options{Tolerance: 1e-10, Samples: 50})
	for i, s := range fine.Course {
		if d := math.Abs(s.Stroke - r.Course[i].Stroke); d > 1e-6 {
			t.Errorf("%g s: off by %g m", s.Time, d)
		}
	}
}

// The steps allocate nothing: ten times as many take no more.
func TestStepsAllocateNothing(t *testing.T) {
	m := lifter()
	count := func(o Options) (float64, int) {
		steps := 0
		return testing.AllocsPerRun(5, func() { r, _ := Run(m, o); steps = r.Steps }), steps
	}
	few, some := count(Options{Tolerance: 1e-5})
	many, more := count(Options{Tolerance: 1e-12, Steps: 1e6})
	if more < 3*some || many != few {
		t.Errorf("%g allocations in %d steps, %g in %d", few, some, many, more)
	}
}

func TestMistakes(t *testing.T) {
	for _, c := range []struct {
		change func(*Machine, *Options)
		want   string
	}{
		{func(m *Machine, _ *Options) { m.Supply.Pressure = 0.8 * bar }, "absolute"},
		{func(m *Machine, _ *Options) { m.Cap.Area = 0 }, "the area of the cap chamber must be above 0 and finite, found 0 m²"},
		{func(m *Machine, _ *Options) { m.Rod.Dead = 0 }, "the dead volume of the rod chamber must be above 0"},
		{func(m *Machine, _ *Options) { m.Rod.Pressure = math.NaN() }, "the pressure at the start in the rod chamber"},
		{func(m *Machine, _ *Options) { m.High = 0.2 }, "the stops"},
		{func(m *Machine, _ *Options) { m.Start = 0.1 }, "start between the stops"},
		{func(m *Machine, _ *Options) { m.Mechanism = nil }, "the mechanism is missing"},
		{func(m *Machine, _ *Options) { m.Mechanism = Constant{} }, "the effective mass must be above zero, found 0 kg at the stroke 0 m"},
		{func(m *Machine, _ *Options) { m.Mechanism = Constant{Mass: 1, Drag: -1} }, "the drag"},
		{func(m *Machine, _ *Options) { m.Mechanism = Constant{Mass: 1, Load: math.Inf(1)} }, "must be finite"},
		{func(m *Machine, _ *Options) { m.Friction.Breakaway = 0.5 }, "the breakaway ratio must be 1 or more and finite, found 0.5"},
		{func(m *Machine, _ *Options) { m.Air.Wall = -1 }, "the heat transfer coefficient"},
		{func(m *Machine, _ *Options) { m.Damper.Length = 1 }, "the damper must be no longer"},
		{func(m *Machine, _ *Options) { m.Rod.Cushion.Length = 1 }, "the cushion of the rod chamber must be no longer"},
		{func(m *Machine, _ *Options) { m.Rod.Cushion.Needle.B = 1 }, "the critical pressure ratio of the cushion needle of the rod chamber must be from 0 to below 1, found 1"},
		{func(m *Machine, _ *Options) { m.Cap.Line.Valve = []Element{both("inlet valve", 0, 0.3)} }, "the sonic conductance of inlet valve is zero both ways"},
		{func(m *Machine, _ *Options) { m.Cap.Line.Valve = []Element{both("inlet valve", -1, 0.3)} }, "the sonic conductance of inlet valve must be zero or more"},
		{func(m *Machine, _ *Options) { m.Cap.Line = Line{} }, "the line of the cap chamber has no part"},
		{func(m *Machine, _ *Options) { m.Cap.Line.Tube.Bore = 0 }, "the bore of the tube to the cap chamber"},
		{func(m *Machine, _ *Options) { m.Cap.To = 7 }, "unknown connection"},
		{func(_ *Machine, o *Options) { o.Tolerance = 1 }, "the tolerance must be from 1e-12 to 0.01, found 1"},
		{func(_ *Machine, o *Options) { o.Limit = -1 }, "the time limit"},
		{func(_ *Machine, o *Options) { o.Samples = 1 }, "samples"},
	} {
		m, o := lifter(), Options{}
		c.change(&m, &o)
		_, err := Run(m, o)
		if err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("got %v, want %q", err, c.want)
		}
	}
	if _, err := LowestPressure(lifter(), Options{}, 0); err == nil {
		t.Error("a precision of 0 is taken")
	}
}

// No stroke of a random machine with something odd in it crashes or gives figures that are none.
func TestOddMachines(t *testing.T) {
	for n, c := range randomStrokes(t) {
		for i, change := range []func(*Machine){
			func(m *Machine) { m.Friction = Friction{Breakaway: 1} },
			func(m *Machine) { m.Cap.To, m.Rod.To = Supplied, Supplied },
			func(m *Machine) { m.Cap.To, m.Rod.To = Exhausted, Exhausted },
			func(m *Machine) { m.Cap.To, m.Rod.To = Shut, Shut },
			func(m *Machine) { m.Supply.Pressure = m.Air.Pressure },
			func(m *Machine) { m.Cap.Cushion.Length, m.Rod.Cushion.Length = m.Stroke, m.Stroke },
			func(m *Machine) { m.Damper = Damper{Length: (m.High - m.Low) / 2, Linear: 1e6} },
			func(m *Machine) { m.Mechanism = Constant{Mass: 1e-3} },
			func(m *Machine) { m.Friction.PerPressure = 1 },
		} {
			m := c.machine()
			change(&m)
			r := mustRun(t, m, Options{Tolerance: 1e-5, Limit: 1, Steps: 5000})
			// Of a motion of some µm, which a huge friction stops, the account is of next to nothing.
			usual := max(m.Supply.Pressure, m.Cap.Pressure, m.Rod.Pressure) * max(m.Cap.Area, m.Rod.Area) * (m.High - m.Low)
			if !(r.Energy.Imbalance() <= 1e-3 || math.Abs(r.Energy.Residual) <= 1e-8*usual) || math.IsNaN(r.Last.Stroke+r.Last.Speed+r.Last.Cap+r.Last.Rod) || r.Steps+r.Rejected > 5001 {
				t.Errorf("stroke %d, change %d: %v, %+v, %+v", n, i, r.Verdict, r.Last, r.Energy)
			}
			if r.Last.Stroke < m.Low || r.Last.Stroke > m.High {
				t.Errorf("stroke %d, change %d: stands at %g m", n, i, r.Last.Stroke)
			}
		}
	}
}

func BenchmarkStroke(b *testing.B) {
	m := lifter()
	b.ReportAllocs()
	for b.Loop() {
		r, err := Run(m, Options{})
		if err != nil || r.Verdict != Arrives {
			b.Fatal(r, err)
		}
	}
}

func BenchmarkLowestPressure(b *testing.B) {
	m := lifter()
	for b.Loop() {
		if _, err := LowestPressure(m, Options{Tolerance: 1e-5}, 1e-3); err != nil {
			b.Fatal(err)
		}
	}
}
