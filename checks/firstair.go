package checks

import (
	"fmt"
	"math"

	"trammel.example/schema"
)

const (
	// firstOver in Pa is by how much the first step may exceed what moves the machine. Common practice, no source.
	firstOver = 0.5e5
	// riseLeast in Pa and riseShare of the step before are what a step may rise by: what the air can do grows with its pressure.
	// Common practice, no source.
	riseLeast, riseShare = 0.5e5, 0.5
	// firstStep in Pa is what the steps of a plan are rounded to: a gauge shows no less.
	firstStep = 0.1e5
)

// firstAir holds the plan of the spec for the first pressurisation against what moves the machine.
func (x *examiner) firstAir() {
	plan := x.m.FirstAir
	if !plan.Given() {
		return
	}
	s := newSubject(x.m, "first air", x.m.Name, plan.At)
	x.add(s)
	s.flag("held", plan.Base.Given(), plan.Base, plan.Steps[0])
	if len(x.air.fed("", func(string) bool { return false })) > 0 {
		fed := x.air.fed("", func(isolator string) bool { return isolator == plan.Isolator.Value })
		s.flag("cutsOff", len(fed) == 0, plan.Isolator, plan.Steps[0])
		s.text("stillFed", cylindersInWords(fed))
	}
	advised := "Put a lockable shut-off valve that exhausts what is behind it before the regulator, and name it in `isolator`"
	for _, name := range sorted(x.m.Air.Parts) {
		only := func(isolator string) bool { return isolator == name }
		if p := x.m.Air.Parts[name]; p.Kind.Value == "isolator" && p.Exhausts.Value && len(x.air.fed("", only)) == 0 {
			advised = fmt.Sprintf("Write `isolator: %q`, and shut and lock it whenever somebody goes to the machine", name)
		}
	}
	s.text("advisedIsolator", advised)
	first, last := plan.Steps[0], plan.Steps[len(plan.Steps)-1]
	s.set("first", schema.PressureDim, first.SI, first)
	s.set("last", schema.PressureDim, last.SI, last)
	beyond := math.Inf(-1)
	for i, p := range plan.Steps[1:] {
		from := plan.Steps[i]
		most := RiseMost(from.SI)
		if d := p.SI - from.SI - most; d > beyond {
			beyond = d
			s.set("rise", schema.PressureDim, p.SI-from.SI, p, from)
			s.set("riseFrom", schema.PressureDim, from.SI, from)
			s.set("riseMost", schema.PressureDim, most, from)
			s.set("between", schema.PressureDim, from.SI+most, from)
		}
	}
	regulator := x.air.lead()
	if regulator == "" {
		s.open("no regulator sets the pressure of a cylinder: its steps can't be held against anything", "firstMost", "set")
		return
	}
	r := x.m.Air.Parts[regulator]
	s.set("set", schema.PressureDim, r.Set.SI, r.Set)
	moves, who, why := LowestMoving(x.m, x.subjects)
	if why != "" {
		s.open(why, "movesAt", "firstMost")
		return
	}
	s.set("movesAt", schema.PressureDim, moves)
	s.text("movesWho", who)
	least := max(moves, r.Range.From.SI)
	s.set("firstMost", schema.PressureDim, least+firstOver, first)
	s.set("firstAdvised", schema.PressureDim, FirstStep(moves, r.Range.From.SI), first)
}

// RiseMost is by how much (Pa) the next step of a first test may exceed a pressure (Pa).
func RiseMost(from float64) float64 { return max(riseLeast, riseShare*from) }

// FirstStep is the pressure (Pa) to begin a first test with: a little above what moves the machine, and what the regulator can be set to.
func FirstStep(moves, settable float64) float64 {
	return math.Ceil(max(moves, settable)/firstStep-rounding)*firstStep + firstStep
}

// LeadRegulator is the regulator that most cylinders hang on; of several the one set highest, then the first by name. "" where none sets
// any cylinder's pressure.
func LeadRegulator(m *schema.Machine) string { return followAir(m).lead() }

func (w *airWay) lead() string {
	m, hang := w.m, map[string]int{}
	for _, way := range w.ways {
		for name := range m.Cylinders {
			for _, r := range way.Parts[name].Regulators {
				hang[r]++
			}
		}
	}
	lead := ""
	for _, name := range sorted(hang) {
		if lead == "" || hang[name] > hang[lead] || hang[name] == hang[lead] && m.Air.Parts[name].Set.SI > m.Air.Parts[lead].Set.SI {
			lead = name
		}
	}
	return lead
}

// MovesFrom is the pressure (Pa) that moves one cylinder over its whole stroke both ways, slowly: by the facts of its strokes, or of one that
// is not computed or does not come to its end by its load and efficiency; why says why it is not known.
func MovesFrom(m *schema.Machine, cylinder string, subjects []*Subject) (pressure float64, why string) {
	y := m.Cylinders[cylinder]
	find := func(kind, name, fact string) (Fact, bool) {
		for _, s := range subjects {
			if s.Kind == kind && s.Name == name {
				f, ok := s.Facts[fact]
				return f, ok
			}
		}
		return Fact{}, false
	}
	push, pull := pistonAreas(y)
	type way struct {
		stroke, load string
		area         float64
	}
	ways := []way{{" out", "loadOut", push}}
	if y.Acting.Value == "double" && !math.IsNaN(pull) {
		ways = append(ways, way{" in", "loadIn", pull})
	}
	for _, w := range ways {
		if f, ok := find("stroke", cylinder+w.stroke, "restartsAt"); ok && f.Kind == Quantity {
			pressure = max(pressure, f.SI)
			continue
		}
		f, ok := find("cylinder", cylinder, w.load)
		if !ok || f.Kind != Quantity {
			return 0, fmt.Sprintf("what moves %s is not known: %s", cylinder, f.Why)
		}
		pressure = max(pressure, f.SI/(y.Efficiency.SI*w.area))
	}
	return pressure, ""
}

// LowestMoving is the least of what moves each cylinder (Pa), and which that is.
func LowestMoving(m *schema.Machine, subjects []*Subject) (pressure float64, cylinder, why string) {
	pressure = math.Inf(1)
	for _, name := range sorted(m.Cylinders) {
		p, why := MovesFrom(m, name, subjects)
		if why != "" {
			return 0, "", why
		}
		if p < pressure {
			pressure, cylinder = p, name
		}
	}
	if cylinder == "" {
		return 0, "", "nothing moves the machine: it has no cylinder"
	}
	return pressure, cylinder, ""
}
