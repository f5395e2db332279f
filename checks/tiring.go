package checks

import (
	"fmt"
	"math"
	"strings"

	"trammel.example/schema"
)

// A screening of what is stressed to and fro: the range of stress over all that the machine does in its cycles, against one that members with
// plain drilled holes and no welds endure that often. A part that passes needs no more; one that does not wants a closer look.
//
//	steel, EN 1993-1-9:2005, table 8.1, detail category 90 (members with holes), from memory:
//	   Δσ = 90 MPa (2·10⁶ / N)^⅓ up to 5·10⁶ cycles, then (5·10⁶ / N)^⅕ of what it is there, up to 10⁸
//	wrought aluminium, 5·10⁸ cycles: twice the amplitude that plain bars endure, ASM Handbook, volume 2 (from memory), by 3 for a hole (Kirsch)
//	both by 1.35 for what can't be looked at and would fall (EN 1993-1-9, table 3.1, from memory)

const (
	tiringReserve  = 1.35
	holeNotch      = 3.0 // Kirsch: a round hole in a wide plate under pull
	steelCategory  = 90e6
	categoryCycles = 2e6
	kneeCycles     = 5e6
	lastCycles     = 1e8
	// elasticPart is the most that a range may be of the yield strength, EN 1993-1-9, 8 (1), from memory.
	elasticPart = 1.5
	// aluminiumCycles is for how many the amplitudes of aluminium are told.
	aluminiumCycles = 5e8
)

// aluminium are the amplitudes in Pa that plain bars of wrought alloys endure.
var aluminium = map[string]float64{"EN AW-6060": 69e6, "EN AW-6061": 97e6, "EN AW-6063": 69e6, "EN AW-6082": 97e6}

// structural steels are those that the category is for; free-cutting, cast and hardened ones are not.
var structural = map[string]bool{"S235": true, "S355": true, "C45": true, "1.4301": true}

// endures is the range of stress in Pa that a section endures for the planned cycles, with why that is not known.
func (x *examiner) endures(sec schema.Section) (allowed float64, from []schema.Input, why string) {
	n := x.m.Cycle.Cycles.SI
	from = []schema.Input{sec.Endures, sec.Material, x.m.Cycle.Cycles}
	if sec.Endures.Given() {
		return sec.Endures.SI, from[:1], ""
	}
	name := sec.Material.Value
	row, err := x.m.Material(name)
	alloy, _, _ := strings.Cut(name, "-T")
	switch plain := aluminium[alloy]; {
	case err == nil && structural[name]:
		allowed = steelCategory * math.Cbrt(categoryCycles/min(n, kneeCycles))
		if n > kneeCycles {
			allowed *= math.Pow(kneeCycles/min(n, lastCycles), 0.2)
		}
		return min(allowed/tiringReserve, elasticPart*row.Yield), from, ""
	case err == nil && plain > 0 && n <= aluminiumCycles:
		return 2 * plain / holeNotch / tiringReserve, from, ""
	case name == "":
		name = "what it is made of"
	}
	return 0, nil, fmt.Sprintf("there is no figure of what %s endures in %s cycles: add `endures: MPa: …` to its section, the range of stress by its data sheet or by tests", name, schema.Format(schema.NumberDim, n))
}

// swingPlaces is at how many places along a member its stress is followed, from end to end.
const swingPlaces = 5

// A swing is the least and the largest stress in Pa at places along a member, on both of its sides, and in what it has them. The unloaded member
// counts.
type swing[T any] struct {
	at [2 * swingPlaces]struct {
		low, high     float64
		lowIn, highIn T
	}
}

// add notes what a pull along the member and a moment stress a place with.
func (w *swing[T]) add(place int, pull, bends float64, in T) {
	for side, s := range [2]float64{pull + bends, pull - bends} {
		p := &w.at[2*place+side]
		if s > p.high*(1+tieBreak) {
			p.high, p.highIn = s, in
		}
		if s < p.low*(1+tieBreak) {
			p.low, p.lowIn = s, in
		}
	}
}

// with notes all that another has.
func (w *swing[T]) with(o *swing[T]) {
	for i := range w.at {
		p, q := &w.at[i], &o.at[i]
		if q.high > p.high*(1+tieBreak) {
			p.high, p.highIn = q.high, q.highIn
		}
		if q.low < p.low*(1+tieBreak) {
			p.low, p.lowIn = q.low, q.lowIn
		}
	}
}

// worst is the largest range, and between what it lies; of two as large the one that is pulled more.
func (w *swing[T]) worst() (by, low, high float64, lowIn, highIn T) {
	for i := range w.at {
		p := &w.at[i]
		if now := p.high - p.low; now > by*(1+tieBreak) || now > by*(1-tieBreak) && p.high > high*(1+tieBreak) {
			by, low, high, lowIn, highIn = now, p.low, p.high, p.lowIn, p.highIn
		}
	}
	return by, low, high, lowIn, highIn
}

// tires judges a range of stress.
func (x *examiner) tires(s *Subject, sec schema.Section, by, low, high float64, when string, from []schema.Input, larger func(allowed float64) string) {
	allowed, limits, why := x.endures(sec)
	if why != "" {
		s.open(why, "stressRange")
		return
	}
	s.set("stressRange", schema.StressDim, by, from...)
	s.worst("stressRange", when)
	s.set("stressLow", schema.StressDim, low)
	s.set("stressHigh", schema.StressDim, high)
	s.set("stressRangeAllowed", schema.StressDim, allowed, limits...)
	s.set("worked", schema.NumberDim, x.m.Cycle.Cycles.SI)
	if by > allowed && !x.briefly {
		s.text("remedyTiring", larger(allowed))
	}
}
