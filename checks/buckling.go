package checks

import (
	"fmt"
	"math"

	"trammel.example/checks/columns"
	"trammel.example/schema"
)

const (
	// rodElasticity in Pa is that of a rod of chromed or stainless steel, the lower of the two: from memory.
	rodElasticity = 200e9
	// buckleReserve is by how much a rod must bear more than it pushes. Common practice, 3 to 5.
	buckleReserve = 3.5
	// rodStep is to what a rod's diameter is rounded up, m.
	rodStep = 0.1e-3
)

// buckling holds the rod, as far out as it comes, against the thrust. The barrel is taken to be no stiffer than the rod.
func (x *examiner) buckling(s *Subject, name string, y schema.Cylinder) {
	thrust := s.Facts["thrustSet"]
	needed := buckleReserve * thrust.SI
	s.set("buckleForceNeeded", schema.ForceDim, needed, thrust.From...)
	if !y.Rod.Given() {
		s.open("the rod's diameter is not given: add `rod: mm: …` from the data sheet", "buckleForce")
		return
	}
	ends, loose, held, why := x.rodHeld(name, y)
	if why != "" {
		s.open(why, "buckleForce")
		return
	}
	out := x.motion.ranges[indexOf(x.motion.cylinders, name)][1]
	length := y.Closed.SI + out
	stiffness := rodElasticity * columns.Round(y.Rod.SI)
	s.set("buckleForce", schema.ForceDim, columns.Gives(stiffness, length, ends), y.Rod, y.Closed, y.Stroke, y.Rear.Kind, y.Front.Kind)
	s.worst("buckleForce", "with the rod out by "+schema.Format(schema.LengthDim, out)+", pushing against something that holds", x.motion.rodsFarthest(name)...)
	s.set("outLength", schema.LengthDim, length, y.Closed, y.Stroke)
	s.set("buckleLength", schema.LengthDim, ends*length, y.Closed, y.Stroke)
	s.text("rodHeld", held)
	rod := rodFor(needed, length, ends)
	s.set("rodNeeded", schema.LengthDim, rod, y.Rod)
	if needed <= s.Facts["buckleForce"].SI {
		return // it needs no remedy
	}
	text := fmt.Sprintf("Take a cylinder with a rod of %s or more", schema.Format(schema.LengthDim, rod))
	if loose != "" {
		text += fmt.Sprintf(", or guide %s at two points of it on a rail (two `slides`), for which a rod of %s is enough", loose, schema.Format(schema.LengthDim, rodFor(needed, length, columns.FastTurns)))
	}
	if less := columns.Longest(stiffness, needed, ends) - length; out+less > 0 {
		text += fmt.Sprintf(", or let it come out no further than %s (a stop in `stops`)", schema.Format(schema.LengthDim, math.Floor((out+less)*1e3)/1e3))
	}
	text += fmt.Sprintf(", or set %s or less", schema.Format(schema.PressureDim, math.Floor(s.Facts["set"].SI*s.Facts["buckleForce"].SI/needed/settingStep)*settingStep))
	s.text("remedyBuckling", text)
}

// rodFor is the diameter that bears a force, rounded up.
func rodFor(force, length, ends float64) float64 {
	return math.Ceil(columns.Diameter(rodElasticity, force, length, ends)/rodStep-1e-9) * rodStep
}

// rodHeld is how a cylinder's two ends are held in the plane, in words too. What moves one of them is held sideways by its links and slides,
// or the machine would not move as drawn; but a link with one point, on a slide that is drawn along the rod, may have nothing but the rod to
// hold it, and is named as loose where the other end is fast. No mount is quite stiff: of two fast ends one is taken to turn.
func (x *examiner) rodHeld(name string, y schema.Cylinder) (ends float64, loose, held, why string) {
	rear, front := pinless(y.Rear), pinless(y.Front)
	if !rear && !front {
		return columns.BothTurn, "", "Both of its ends turn on pins", ""
	}
	if why := x.motion.why(name); why != "" {
		return 0, "", "", why
	}
	onRear, onFront := x.spinsAt(y.Rear.At.Value), x.spinsAt(y.Front.At.Value)
	switch {
	case rear && onFront != "":
		return columns.FastFree, onFront, "Its rear end is fast, and nothing else is seen to hold " + onFront + ", which its rod carries", ""
	case front && onRear != "":
		return columns.FastFree, onRear, "Its front end is fast, and nothing else is seen to hold " + onRear + ", which its barrel carries", ""
	case rear && front:
		return columns.FastTurns, "", "Both of its ends are fast and held sideways; one of them is taken to turn a little", ""
	case rear && onRear == "":
		return columns.FastTurns, "", "Its rear end is fast, and its front end turns on something that is held sideways", ""
	case front && onFront == "":
		return columns.FastTurns, "", "Its front end is fast, and its rear end turns on something that is held sideways", ""
	}
	return columns.BothTurn, "", "One of its ends turns on a pin, and the other with what it is fast on", ""
}

// spinsAt names the link at a point that nothing but the joint there keeps from turning, "" where there is none.
func (x *examiner) spinsAt(point string) string {
	for _, i := range x.motion.solver.Mobility().Spins {
		if link := x.motion.links[i]; goesThrough(x.m.Links[link], point) {
			return link
		}
	}
	return ""
}
