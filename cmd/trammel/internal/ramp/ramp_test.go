package ramp

import (
	"io/fs"
	"maps"
	"math"
	"testing"
	"time"

	"trammel.example/checks"
	"trammel.example/rules"
	"trammel.example/schema"
	"trammel.example/schema/standards"
)

var day = time.Date(2027, 1, 1, 0, 0, 0, 0, time.UTC)

func example(t testing.TB, name string) (*rules.Set, *schema.Machine) {
	t.Helper()
	l := schema.NewLoader("../../../../examples", map[string]fs.FS{"schema": schema.Files, "schema/standards": standards.Files, "facts": checks.Files, "rules": rules.Files})
	spec, err := l.Load(name)
	if err != nil {
		t.Fatal(err)
	}
	set, faults, err := rules.ForSpec(spec)
	if err != nil || len(faults) > 0 {
		t.Fatal(err, faults)
	}
	return set, spec.Machines[0]
}

func climb(t testing.TB, set *rules.Set, m *schema.Machine) *Plan {
	t.Helper()
	p, err := Climb(set, m, "", 10e5, day, func(int) {})
	if err != nil {
		t.Fatal(err)
	}
	return p
}

func (p *Plan) rung(t *testing.T, rule, subject string, level rules.Level) Rung {
	t.Helper()
	for _, r := range p.Rungs {
		if r.Finding.Rule.Name == rule && r.Finding.Subject.Name == subject && r.Finding.Level == level {
			return r
		}
	}
	t.Fatalf("no rung of %s on %s (%s)", rule, subject, level)
	return Rung{}
}

// TestAgainstWholeExamination: at each pressure the quick way finds what a check of the spec with that setting does.
func TestAgainstWholeExamination(t *testing.T) {
	for _, name := range []string{"tray-lifter", "tray-lifter-draft", "peel-pusher", "glue-press", "dough-clamp", "crate-ejector"} {
		set, m := example(t, name)
		regulator := checks.LeadRegulator(m)
		c := &climber{rising: checks.NewRising(m), regulator: regulator, set: set, day: day, machine: m, looks: map[float64]*look{}, tell: func(int) {}}
		for _, pressure := range []float64{0.7e5, 2.6e5, 8.3e5} {
			n := *m
			n.Air.Parts = maps.Clone(m.Air.Parts)
			for k, p := range n.Air.Parts {
				if p.Kind.Value == "regulator" && (k == regulator || p.Set.SI > pressure) {
					p.Set.SI = pressure
					n.Air.Parts[k] = p
				}
			}
			quick := map[key]*rules.Finding{}
			for _, f := range c.at(pressure).judgement.Findings {
				quick[keyOf(f)] = f
			}
			whole := rules.Judge(set, &n, checks.Examine(&n), day)
			if len(whole.Findings) != len(quick) {
				t.Errorf("%s at %g Pa: %d findings, want %d", name, pressure, len(quick), len(whole.Findings))
			}
			for _, f := range whole.Findings {
				if q := quick[keyOf(f)]; q == nil || q.Outcome != f.Outcome || q.Level != f.Level || q.Value.SI != f.Value.SI || q.Limit.SI != f.Limit.SI {
					t.Errorf("%s at %g Pa: %s on %s differs", name, pressure, f.Rule.Name, f.Subject.Name)
				}
			}
		}
	}
}

// TestEdgesInClosedForm: thrust is pressure × π/4 × bore², so that an end that withstands F breaks above F / (π/4 × bore²), and a load L
// along the rod is more than the thrust below L / (efficiency × π/4 × bore²); a part breaks above its rating, and a share of a range at
// that share. Of a rising setting each is found to the hundredth of a bar.
func TestEdgesInClosedForm(t *testing.T) {
	set, m := example(t, "tray-lifter")
	y := m.Cylinders["lift"]
	y.Rear.Withstands.SI, y.Rating.SI = 1500, 7.23e5
	m.Cylinders["lift"] = y
	p := climb(t, set, m)
	area := math.Pi / 4 * 0.025 * 0.025
	load := 0.0
	for _, s := range p.Judgement.Subjects {
		if s.Kind == "cylinder" {
			load = s.Facts["loadOut"].SI
		}
	}
	near := func(what string, got, want float64, below bool, r Rung) {
		t.Helper()
		if math.Abs(got-want) > resolution*1.01 || r.Below != below {
			t.Errorf("%s at %.0f Pa (below: %v), want %.0f (%v)", what, got, r.Below, want, below)
		}
	}
	r := p.rung(t, "push-too-weak", "lift", rules.Error)
	near("the load stops it", r.At, load/(y.Efficiency.SI*area), true, r)
	r = p.rung(t, "push-too-weak", "lift", rules.Warning)
	near("the load is half of the thrust", r.At, 2*load/(y.Efficiency.SI*area), true, r)
	r = p.rung(t, "part-over-rating", "lift", rules.Error)
	near("the rating is reached", r.At, 7.23e5, false, r)
	r = p.rung(t, "regulator-near-top-of-range", "line", rules.Warning)
	near("four fifths of 0.5 to 8.5 bar", r.At, 6.9e5, false, r)
	if s := p.Stands(); s == nil || s.Finding.Rule.Name != "part-over-rating" {
		t.Errorf("%+v stands in the way, want the rating", s)
	}
	if math.Abs(p.Working-load/(y.Efficiency.SI*area)) > resolution*1.01 {
		t.Errorf("it works from %g Pa", p.Working)
	}
}

// TestStepsRise: from above what moves the machine to its setting, each by no more than is allowed; thrust and the force at the tool rise
// with the pressure.
func TestStepsRise(t *testing.T) {
	for _, name := range []string{"tray-lifter", "peel-pusher", "glue-press", "dough-clamp", "crate-ejector"} {
		set, m := example(t, name)
		p := climb(t, set, m)
		if p.Steps[0].Pressure <= p.Moves || p.Steps[0].Pressure > p.Moves+0.5e5+resolution && p.Steps[0].Pressure > 1.1e5 {
			t.Errorf("%s begins with %g Pa, and moves from %g", name, p.Steps[0].Pressure, p.Moves)
		}
		for i, s := range p.Steps[1:] {
			if from := p.Steps[i]; s.Pressure <= from.Pressure || s.Pressure > from.Pressure+checks.RiseMost(from.Pressure)+1e4 || s.Moves[0].Thrust < from.Moves[0].Thrust {
				t.Errorf("%s: from %g to %g Pa", name, from.Pressure, s.Pressure)
			}
		}
		last := p.Steps[len(p.Steps)-1]
		if !last.Stop || last.Pressure != p.Set {
			t.Errorf("%s stops at %g Pa, want its setting of %g", name, last.Pressure, p.Set)
		}
		for _, v := range last.Moves {
			if !v.Moves || !(v.Press > 0) {
				t.Errorf("%s: %+v at its setting", name, v)
			}
		}
	}
}

// TestStopsBelowWhatBreaks: where a part is rated for less than the setting, the last step is below its rating.
func TestStopsBelowWhatBreaks(t *testing.T) {
	set, m := example(t, "tray-lifter")
	y := m.Cylinders["lift"]
	y.Rating.SI = 4.37e5
	m.Cylinders["lift"] = y
	p := climb(t, set, m)
	if last := p.Steps[len(p.Steps)-1]; p.Judgement.Go() || math.Abs(last.Pressure-4.3e5) > 1 {
		t.Errorf("GO is %v, and it stops at %g Pa, want 4.3 bar", p.Judgement.Go(), last.Pressure)
	}
	if s := p.Stands(); s == nil || s.Finding.Rule.Name != "part-over-rating" || s.At > p.Set {
		t.Errorf("%+v stands in the way, want the rating below the setting", s)
	}
}

func TestNoRegulator(t *testing.T) {
	set, m := example(t, "tray-lifter")
	m.Air = schema.Air{}
	if _, err := Climb(set, m, "", 10e5, day, func(int) {}); err != ErrNoRegulator {
		t.Error(err)
	}
	if _, err := Climb(set, m, "shift", 10e5, day, func(int) {}); err == nil {
		t.Error("a valve is turned up as if it were a regulator")
	}
}

func BenchmarkFlagship(b *testing.B) {
	set, m := example(b, "tray-lifter")
	for b.Loop() {
		climb(b, set, m)
	}
}
