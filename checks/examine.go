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
	var closings map[string][]pinch
	closed := x.apart(func(y *examiner) { closings = y.closingGaps() })
	made := x.apart((*examiner).made, (*examiner).prints)
	var circuit *electric
	switching := x.apart((*examiner).airParts, (*examiner).behaviours, func(y *examiner) { circuit = y.wiring() })
	x.linkage()
	x.levers()
	x.reaches()
	x.cylinders()
	x.stops()
	x.guides()
	x.sections()
	x.axes()
	x.pivots()
	x.space()
	x.hoses()
	x.stalls() // from here on it waits for the strokes
	x.carrying()
	x.strength()
	x.stoppings()
	x.fastenings()
	x.screwGroups()
	x.fixings()
	x.mounting()
	x.frame()
	x.springings()
	x.hubs()
	closed()
	x.closings = closings
	x.zones()
	x.purchases()
	made()
	x.fourBars()
	x.strokes()
	switching()
	x.supplies()
	circuit.lettingGo(x)
	x.firstAir()
	return x.subjects
}

// apart begins to examine what hangs on no other subject, while the caller goes on; what it gives waits for that and adds the subjects.
func (x *examiner) apart(parts ...func(*examiner)) (join func()) {
	y := &examiner{m: x.m, air: x.air, motion: x.motion, begun: x.begun}
	done := make(chan struct{})
	go func() {
		defer close(done)
		for _, part := range parts {
			part(y)
		}
	}()
	return func() {
		<-done
		x.subjects = append(x.subjects, y.subjects...)
	}
}

// An examiner collects the subjects of one machine.
type examiner struct {
	m        *schema.Machine
	air      *airWay
	motion   *motion
	begun    []begunStroke
	carried  *allMoments // once they are asked for: moments
	arrivals []arriving
	areas    map[string]map[string]Fact // of zones, once they are asked for
	closings map[string][]pinch         // of zones, likewise
	standing *Standing                  // once the base is judged
	groups   *[]ScrewGroup              // of screws, where they are asked for
	stood    *stood                     // the frame, with what it bears, once that is known
	bears    *borneBy
	behaves  behaviour // what cylinders do on each event, once it is asked for
	briefly  bool      // leaves out the remedies that take a search
	subjects []*Subject
}

func (x *examiner) add(s *Subject) { x.subjects = append(x.subjects, s) }

func sorted[V any](m map[string]V) []string { return slices.Sorted(maps.Keys(m)) }
