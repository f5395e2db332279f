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
	ages := people.From14
	if z.Who.Value == "child" {
		ages = people.From3
	}
	g := z.Guard
	s.flag("unguarded", !g.Given(), z.Who)
	shape, distance := people.Square, advisedDistance
	if g.Given() {
		shape, distance = people.Shape(g.Shape.Value), g.Distance.SI
	}
	if widest, err := people.WidestOpening(shape, 0, distance, ages); err == nil {
		advice := "a closed guard"
		if widest > 0 {
			advice = fmt.Sprintf("a fixed guard with %s openings up to %s, %s or more from the moving part", shape, schema.Format(schema.LengthDim, widest), schema.Format(schema.LengthDim, distance))
		}
		s.text("guardAdvised", advice)
	}
	if !g.Opening.Given() {
		return
	}
	s.set("guardDistance", schema.LengthDim, g.Distance.SI, g.Distance)
	needed, err := people.GuardDistance(people.Opening{Shape: shape, Width: g.Opening.SI}, ages)
	if err != nil {
		s.open(err.Error(), "guardDistanceNeeded")
		return
	}
	s.set("guardDistanceNeeded", schema.LengthDim, needed, g.Opening, g.Shape, z.Who)
}
