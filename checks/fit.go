package checks

import (
	"fmt"
	"math"
	"strings"

	"trammel.example/schema"
	"trammel.example/schema/standards"
)

// What ordinary joints are made with, m: a bearing's bore on its shaft; an eye, a clevis or a bushed link on its pin (H9 on h11 of 6 to
// 10 mm gives up to 0.126 mm). Common practice, no source.
const (
	bearingClearance = 0.05e-3
	eyeClearance     = 0.2e-3
	// looseClearance is added to the medium clearance hole of ISO 273 for a link that a bolt clamps: such a hole is made H13 (0.27 mm from
	// 10 to 18 mm), on a shank that may be h9 or looser.
	looseClearance = 0.4e-3
	// Between these shares of its height a thread is neither too weak nor too hard to tap: common practice, as the rules have it.
	threadShareLeast = 0.6
	threadShareMost  = 0.85
	// rounding in m is by how much a wall may miss its least: sizes in inches do not come out even.
	rounding = 1e-9
	// roomStep is to what room is rounded up, m.
	roomStep = 5e-6
)

// fits compares the pin of a pivot with every hole that it goes through.
func (x *examiner) fits(point string, p schema.Pivot) {
	done := map[string]bool{}
	for _, m := range x.members(p) {
		if m.Screwed.Value || done[m.what] {
			continue
		}
		var hole schema.Size
		seat, allowed := "", eyeClearance
		var outside schema.Length
		switch {
		case m.Block.Given():
			hole, seat, allowed = m.Block.Bore, "bearing", bearingClearance
		case m.Cylinder.Given():
			hole, seat, outside = m.end.Hole, m.end.Kind.Value, m.end.Outside
			if m.end.Rework.Open.Given() {
				hole = m.end.Rework.Open
			}
		case m.Link.Given():
			hole, seat = m.Hole, "link"
			if clear, err := standards.ClearanceHoleFor(p.Pin.Thread.Value); err == nil && !m.runs {
				allowed = clear.Medium - p.Pin.Diameter.SI + looseClearance
			}
		default:
			continue
		}
		done[m.what] = true
		s := newSubject(x.m, "fit", point+": "+m.what, m.At)
		x.add(s)
		s.text("seat", seat)
		pin, what := shaft(p, m.Layer), "pin"
		if p.Sleeve.Given() && m.runs {
			what = "sleeve"
		}
		if !hole.Given() {
			s.open(fmt.Sprintf("the hole of %s is not given: add `hole: {mm: …, fit: \"H9\"}` to its layer", m.what), "clearanceLeast", "clearanceMost")
			continue
		}
		s.set("pin", schema.LengthDim, pin.SI, pin)
		s.set("hole", schema.LengthDim, hole.SI, hole)
		s.set("clearanceLeast", schema.LengthDim, hole.Least-pin.Most, hole, pin)
		s.text("goesThrough", fmt.Sprintf("%s (%s)", what, schema.Format(schema.LengthDim, pin.SI)))
		thread, err := standards.ThreadByName(p.Pin.Thread.Value)
		threadLarger := err == nil && what == "pin" && thread.Nominal > pin.Most+rounding
		if threadLarger {
			s.set("clearanceLeast", schema.LengthDim, hole.Least-thread.Nominal, p.Pin.Thread, hole, pin)
			s.text("goesThrough", fmt.Sprintf("pin's thread (%s)", thread.Name))
		}
		s.set("clearanceMost", schema.LengthDim, hole.Most-pin.Least, pin, hole)
		s.set("clearanceAllowed", schema.LengthDim, allowed)
		if m.runs && m.Link.Given() && what == "pin" && !threadLarger {
			x.warmth(s, p.Pin, m)
		}
		mismatch := 0.0
		if (hole.Unit.Name == "inch") != (pin.Unit.Name == "inch") {
			mismatch = math.Abs(hole.SI - pin.SI)
		}
		s.set("nominalMismatch", schema.LengthDim, mismatch, pin, hole)
		if outside.Given() && hole.Least < pin.Most {
			reworkFacts(s, outside, pin, hole)
		}
		remedy := holeRemedy(s, what, seat, pin, hole, outside)
		switch {
		case threadLarger && hole.Least < pin.Most:
			remedy += "; and a thread that is no larger than the pin"
		case threadLarger:
			remedy = threadRemedy(hole)
		}
		s.text("holeRemedy", remedy)
	}
}

// asMeasured is the temperature at which sizes are meant (ISO 1), K.
const asMeasured = 293.15

// warmth is what is left of the room between a pin and the hole that turns on it, at the ends of the temperatures where the machine stands.
func (x *examiner) warmth(s *Subject, pin schema.Pin, m member) {
	one, err1 := x.m.Material(pin.Material.Value)
	other, err2 := x.m.Material(m.Material.Value)
	if err1 != nil || err2 != nil {
		return
	}
	for _, of := range []struct {
		grows float64
		name  schema.Text
	}{{one.Expansion, pin.Material}, {other.Expansion, m.Material}} {
		if of.grows == 0 {
			s.open(fmt.Sprintf("by how much %s grows with warmth is not given: add `expansion: …`, in millionths for each kelvin, to `materials: %q`", of.name.Value, of.name.Value), "roomWarmOrCold")
			return
		}
	}
	least, at := math.Inf(1), schema.Temperature{}
	for _, t := range []schema.Temperature{x.m.Site.Warmest, x.m.Site.Coldest} {
		if t.SI == 0 {
			continue
		}
		left := m.Hole.Least*(1+other.Expansion*(t.SI-asMeasured)) - pin.Diameter.Most*(1+one.Expansion*(t.SI-asMeasured))
		if left < least {
			least, at = left, t
		}
	}
	if math.IsInf(least, 1) {
		return
	}
	s.set("roomWarmOrCold", schema.LengthDim, least, m.Hole, pin.Diameter, m.Material, pin.Material, at)
	s.set("roomAt", schema.TemperatureDim, at.SI, at)
	s.set("roomMore", schema.LengthDim, math.Ceil(-least/roomStep-1e-9)*roomStep)
}

// holeRemedy says what makes a pin or a sleeve go through its hole, and leaves out what would leave too little round it. A class of
// clearance lies below its nominal size and H9 above it, which only helps where the other one does not lie beyond its own.
func holeRemedy(s *Subject, what, seat string, pin, hole schema.Size, outside schema.Length) string {
	mm := func(si float64) string { return schema.Format(schema.LengthDim, si) }
	text := fmt.Sprintf("Use a %s of %s with a class of clearance (h6 to h9)", what, mm(hole.SI))
	if hole.Least < hole.SI-rounding {
		text = fmt.Sprintf("Use a %s that is %s or less at its thickest", what, mm(hole.Least))
	}
	size, wanted := pin.SI, mm(pin.SI)+" H9"
	if pin.Most > pin.SI+rounding {
		size, wanted = pin.Most, mm(pin.Most)+" or more at its narrowest"
	}
	wall, least := (outside.SI-size)/2, wallLeast(size)
	switch {
	case seat == "bearing":
		return fmt.Sprintf("%s, or a block with a bore of %s", text, strings.Replace(wanted, "H9", "H7", 1))
	case !outside.Given():
		return fmt.Sprintf("%s, or open the hole to %s", text, wanted)
	case wall < least-rounding:
		return fmt.Sprintf("%s, or take a part with a larger hole: to open this one to %s would leave %s of wall, and %s should stay", text, mm(size), mm(wall), mm(least))
	}
	text += fmt.Sprintf(", or open the hole to %s (that leaves %s of wall)", wanted, mm(wall))
	if share := s.Facts["percentIfTapped"].SI; share >= threadShareLeast && share <= threadShareMost {
		text += fmt.Sprintf(", or drill %v and tap it for the pivot bolt (%v of wall, %.0f %% of thread)", s.Facts["drillIfTapped"], s.Facts["wallIfTapped"], 100*share)
	}
	return text
}

// threadRemedy names the largest coarse thread that goes through a hole.
func threadRemedy(hole schema.Size) string {
	fits := ""
	for _, name := range standards.ThreadNames() {
		if t, err := standards.ThreadByName(name); err == nil && !isFine(name) && t.Nominal <= hole.Least+rounding {
			fits = name
		}
	}
	if fits == "" {
		return "Use a pin without a thread, kept by clips"
	}
	return fmt.Sprintf("Use a thread of %s or smaller, or a thicker bolt in larger holes", fits)
}

// reworkFacts says what opening a hole to the pin, or tapping it for a thread of the pin's size, would leave round it.
func reworkFacts(s *Subject, outside schema.Length, pin, hole schema.Size) {
	s.set("wallIfOpened", schema.LengthDim, (outside.SI-pin.SI)/2, outside, pin)
	for _, name := range standards.ThreadNames() {
		t, err := standards.ThreadByName(name)
		if err != nil || math.Abs(t.Nominal-pin.SI) > 1e-6 {
			continue
		}
		drill := math.Max(t.Drill, hole.SI)
		s.set("wallIfTapped", schema.LengthDim, (outside.SI-t.Nominal)/2, outside, pin)
		s.set("drillIfTapped", schema.LengthDim, drill, hole)
		s.set("percentIfTapped", schema.NumberDim, threadPercent(t, drill), hole)
		return // the coarse thread comes first
	}
}

// threadPercent is the height of a thread in a drilled hole, as a share of that in drill charts: 3/4 of the sharp triangle.
func threadPercent(t standards.Thread, drill float64) float64 {
	return (t.Nominal - drill) / (1.5 * math.Sqrt(3) / 2 * t.Pitch)
}

// eyes judges what is left round the holes of the cylinders' ends, and the threads cut into them.
func (x *examiner) eyes() {
	for _, name := range x.motion.cylinders {
		y := x.m.Cylinders[name]
		for _, e := range []struct {
			name string
			of   schema.CylinderEnd
		}{{"front", y.Front}, {"rear", y.Rear}} {
			if !e.of.Given() || !e.of.Hole.Given() {
				continue
			}
			s := newSubject(x.m, "hole", name+"."+e.name, e.of.Hole.At)
			x.add(s)
			r := e.of.Rework
			size := e.of.Hole.SI
			from := []schema.Input{e.of.Hole}
			switch {
			case r.Open.Given():
				size, from = r.Open.SI, []schema.Input{r.Open}
			case r.Tap.Given():
				size = tapFacts(s, r.Tap, r.Drill, e.of.Hole)
				from = []schema.Input{r.Tap}
			}
			if !e.of.Outside.Given() {
				s.open("the size round the hole is not given: add `outside: mm: …`", "wall")
				continue
			}
			wallFacts(s, (e.of.Outside.SI-size)/2, size, e.of.Outside.SI, append(from, e.of.Outside))
		}
	}
}

// tapFacts sets the facts of a thread tapped in a hole and returns the diameter to which the tap cuts.
func tapFacts(s *Subject, tap schema.Text, drill schema.Length, hole schema.Size) float64 {
	t, err := standards.ThreadByName(tap.Value)
	if err != nil {
		return hole.SI // the loader refuses such a thread
	}
	d := t.Drill
	from := []schema.Input{tap, hole}
	if drill.Given() {
		d = drill.SI
		from = []schema.Input{drill, tap}
	}
	d = math.Max(d, hole.SI)
	s.set("threadPercent", schema.NumberDim, threadPercent(t, d), from...)
	s.set("drill", schema.LengthDim, t.Drill, tap)
	return t.Nominal
}

// wallFacts sets what is left beside a hole, what should be, and the largest coarse thread that would leave it.
func wallFacts(s *Subject, wall, hole, outside float64, from []schema.Input) {
	s.set("wall", schema.LengthDim, wall, from...)
	s.set("wallLeast", schema.LengthDim, wallLeast(hole), from...)
	fits := "none"
	for _, name := range standards.ThreadNames() {
		if t, err := standards.ThreadByName(name); err == nil && !isFine(name) && (outside-t.Nominal)/2 >= wallLeast(t.Nominal)-rounding {
			fits = name
		}
	}
	s.text("threadThatFits", fits)
}

// wallLeast is the least that should stay beside a hole: 1.5 mm, and half the hole. Common practice, no source.
func wallLeast(hole float64) float64 { return math.Max(1.5e-3, hole/2) }

func isFine(thread string) bool {
	for _, r := range thread {
		if r == 'x' {
			return true
		}
	}
	return false
}
