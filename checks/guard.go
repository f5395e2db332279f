package checks

import (
	"fmt"
	"math"
	"slices"

	"trammel.example/checks/linkage"
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
	x.over(s, g)
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

// over compares the distance of a guard with how far people reach over it.
func (x *examiner) over(s *Subject, g schema.Guard) {
	if !g.Given() || g.Kind.Value == "two hands" {
		return
	}
	if !g.Height.Given() {
		x.assume(s, g.Path+".height", "closed above, or higher than anybody reaches over", "common practice: a guard without a `height`, and the `floor` that it is counted from, is closed above")
		return
	}
	s.set("guardHeight", schema.LengthDim, g.Height.SI, g.Height)
	if why := x.motion.unknown(); why != "" {
		s.open(why, "reachOver")
		return
	}
	low, high := x.heights()
	if math.IsInf(low, 1) {
		s.open("no point of the machine moves: how high the dangerous places are is not known", "reachOver")
		return
	}
	low, high = low-g.Floor.SI, high-g.Floor.SI
	s.set("overLow", schema.LengthDim, low, g.Floor)
	s.set("overHigh", schema.LengthDim, high, g.Floor)
	needed, err := people.OverGuard(low, high, g.Height.SI)
	if err != nil {
		s.open(err.Error(), "reachOver")
		return
	}
	s.set("distanceBehind", schema.LengthDim, g.Distance.SI, g.Distance, g.Height)
	s.set("reachOver", schema.LengthDim, needed, g.Height, g.Floor)
	mm := func(l float64) string { return schema.Format(schema.LengthDim, l) }
	s.text("overRemedy", fmt.Sprintf("Make it %s high, or set it %s or more from the nearest moving part", mm(people.LowestOver(low, high, g.Distance.SI)), mm(needed)))
}

// heights are the lowest and the highest that a moving point gets over the sweep, m in the drawing; infinite where none moves.
func (x *examiner) heights() (low, high float64) {
	low, high = math.Inf(1), math.Inf(-1)
	for _, r := range x.motion.runs {
		for p := range x.motion.points {
			if !slices.ContainsFunc(r.Poses, func(pose linkage.Pose) bool { return pose.Points[p] != r.Poses[0].Points[p] }) {
				continue
			}
			for i := range r.Poses {
				y := r.Poses[i].Points[p].Y
				low, high = min(low, y), max(high, y)
			}
		}
	}
	return low, high
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

// A Margin is how far around all that a machine sweeps the people of a zone get: until everything stands still, from when they open a gate or let a
// control go; or through the openings of their guard.
type Margin struct {
	Zone string
	Wide float64 // m; 0 where there is none
	To   string  // what it reaches
	Says string  // how far, or why there is none
}

// Margins are those of all zones, by their names, and at the end one of no zone that says of the others why they have none.
func Margins(m *schema.Machine) (all []Margin) {
	var free []string
	for _, name := range sorted(m.People) {
		z := m.People[name]
		g, one := z.Guard, Margin{Zone: name}
		through, err := 0.0, error(nil)
		if g.Opening.Given() {
			through, err = people.GuardDistance(people.Opening{Shape: people.Shape(g.Shape.Value), Width: g.Opening.SI}, agesOf(z))
		}
		switch {
		case err != nil:
			one.Says = "how far " + name + " gets is not known: " + err.Error()
		case g.Stops.Given():
			one.To = "to standstill"
			if one.Wide, err = people.StopDistance(g.Stops.SI, g.Kind.Value == "two hands", through); err != nil {
				one.Says = "how far " + name + " gets until all stands still is not known: " + err.Error()
				break
			}
			one.Says = name + " gets " + schema.Format(schema.LengthDim, one.Wide) + " far until all stands still"
		case through > 0:
			one.Wide, one.To = through, "through the guard"
			one.Says = name + " gets " + schema.Format(schema.LengthDim, through) + " far through the guard's openings"
		case g.Given():
			one.Says = "the guard of " + name + " has no openings to reach through"
		default:
			free = append(free, name)
			continue
		}
		all = append(all, one)
	}
	if len(free) > 0 {
		all = append(all, Margin{Says: "nothing stops the machine for " + inWords(free) + ": what overruns, or falls when the air goes, stays within the strokes that are drawn"})
	}
	return all
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
