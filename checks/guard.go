package checks

import (
	"fmt"

	"trammel.example/checks/people"
	"trammel.example/schema"
)

// advisedDistance in m is how far behind a guard that is advised the moving part is taken to be: a mesh on the frame of a bench machine.
const advisedDistance = 0.12

// guard compares the openings of a guard with its distance. A guard without openings keeps hands out at any distance.
func (x *examiner) guard(s *Subject, z schema.Zone) {
	ages, shape := agesOf(z), people.Shape(z.Guard.Shape.Value)
	g := z.Guard
	s.flag("unguarded", !g.Given(), z.Who)
	s.text("guardAdvised", guardAdvice(z))
	if !g.Opening.Given() {
		x.stops13855(s, g, 0)
		return
	}
	s.set("guardDistance", schema.LengthDim, g.Distance.SI, g.Distance)
	needed, err := people.GuardDistance(people.Opening{Shape: shape, Width: g.Opening.SI}, ages)
	if err != nil {
		s.open(err.Error(), "guardDistanceNeeded")
		if g.Stops.Given() {
			s.open(err.Error(), "stopDistanceNeeded")
		}
		return
	}
	s.set("guardDistanceNeeded", schema.LengthDim, needed, g.Opening, g.Shape, z.Who)
	x.stops13855(s, g, needed)
}

// stops13855 compares the distance of a gate or a control for two hands with how far people get until the machine stands still. Through
// is how far a hand gets through the gate's openings, m.
func (x *examiner) stops13855(s *Subject, g schema.Guard, through float64) {
	if !g.Stops.Given() {
		return
	}
	hands := g.Kind.Value == "two hands"
	needed, err := people.StopDistance(g.Stops.SI, hands, through)
	if err != nil {
		s.open(err.Error(), "stopDistanceNeeded")
		return
	}
	s.set("stopTime", schema.TimeDim, g.Stops.SI, g.Stops)
	s.set("stopDistance", schema.LengthDim, g.Distance.SI, g.Distance, g.Stops)
	s.set("stopDistanceNeeded", schema.LengthDim, needed, g.Stops, g.Kind)
	what, opened := "the gate", "is opened"
	if hands {
		what, opened = "the control", "is let go"
	}
	s.text("stopBy", what)
	s.text("stopWhen", what+" "+opened)
	advice := fmt.Sprintf("Set %s %s or more from the nearest moving part", what, schema.Format(schema.LengthDim, needed))
	if most := people.StopTime(g.Distance.SI, hands, through); most > 0 {
		advice += ", or have everything stand still within " + schema.Format(schema.TimeDim, most)
	}
	s.text("stopRemedy", advice)
}

func agesOf(z schema.Zone) people.Ages {
	if z.Who.Value == "child" {
		return people.From3
	}
	return people.From14
}

// guardAdvice names a guard that keeps a zone's people out: of the kind and at the distance that theirs has.
func guardAdvice(z schema.Zone) string {
	shape, distance := people.Square, advisedDistance
	if z.Guard.Given() {
		shape, distance = people.Shape(z.Guard.Shape.Value), z.Guard.Distance.SI
	}
	widest, err := people.WidestOpening(shape, 0, distance, agesOf(z))
	if err != nil || widest == 0 {
		return "a closed guard"
	}
	return fmt.Sprintf("a fixed guard with %s openings up to %s, %s or more from the moving part", shape, schema.Format(schema.LengthDim, widest), schema.Format(schema.LengthDim, distance))
}
