package checks

import (
	"maps"
	"slices"

	"trammel.example/schema"
)

// Examine computes the facts of a machine. It reads nothing but the machine, and gives the same subjects in the same order each time.
func Examine(m *schema.Machine) []*Subject {
	x := &examiner{m: m}
	x.air = followAir(m)
	x.motion = move(m)
	x.begun = x.beginStrokes()
	x.linkage()
	x.levers()
	x.reaches()
	x.cylinders()
	x.stops()
	x.stalls()
	x.guides()
	x.made()
	x.sections()
	x.carrying()
	x.axes()
	x.pivots()
	x.strength()
	x.space()
	x.hoses()
	x.fourBars()
	x.fastenings()
	x.screwGroups()
	x.mounting()
	x.airParts()
	x.strokes()
	x.supplies()
	x.behaviours()
	x.wiring()
	x.zones()
	x.firstAir()
	return x.subjects
}

// An examiner collects the subjects of one machine.
type examiner struct {
	m        *schema.Machine
	air      *airWay
	motion   *motion
	begun    []begunStroke
	carried  *allMoments                // once they are asked for: moments
	areas    map[string]map[string]Fact // of zones, once they are asked for
	briefly  bool                       // leaves out the remedies that take a search
	subjects []*Subject
}

func (x *examiner) add(s *Subject) { x.subjects = append(x.subjects, s) }

func sorted[V any](m map[string]V) []string { return slices.Sorted(maps.Keys(m)) }
