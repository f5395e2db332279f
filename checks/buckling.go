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

// buckling holds the rod, as far out as it comes, against the thrust. The barrel is taken to be no stiffer than the rod. Only of a cylinder
// that turns on a pin at both ends is it known how it is held.
func (x *examiner) buckling(s *Subject, name string, y schema.Cylinder) {
	if !y.Rod.Given() || pinless(y.Rear) || pinless(y.Front) {
		return
	}
	thrust := s.Facts["thrustSet"]
	out := x.motion.ranges[indexOf(x.motion.cylinders, name)][1]
	length := y.Closed.SI + out
	needed := buckleReserve * thrust.SI
	stiffness := rodElasticity * columns.Round(y.Rod.SI)
	s.set("buckleForce", schema.ForceDim, columns.Gives(stiffness, length, columns.BothTurn), y.Rod, y.Closed, y.Stroke)
	s.worst("buckleForce", "with the rod out by "+schema.Format(schema.LengthDim, out)+", pushing against something that holds", x.motion.rodsFarthest(name)...)
	s.set("buckleForceNeeded", schema.ForceDim, needed, thrust.From...)
	s.set("outLength", schema.LengthDim, length, y.Closed, y.Stroke)
	rod := math.Ceil(columns.Diameter(rodElasticity, needed, length, columns.BothTurn)/rodStep-1e-9) * rodStep
	s.set("rodNeeded", schema.LengthDim, rod, y.Rod)
	if needed <= s.Facts["buckleForce"].SI {
		return // it needs no remedy
	}
	text := fmt.Sprintf("Take a cylinder with a rod of %s or more", schema.Format(schema.LengthDim, rod))
	if less := columns.Longest(stiffness, needed, columns.BothTurn) - length; out+less > 0 {
		text += fmt.Sprintf(", or let it come out no further than %s (a stop in `stops`)", schema.Format(schema.LengthDim, math.Floor((out+less)*1e3)/1e3))
	}
	text += fmt.Sprintf(", or set %s or less", schema.Format(schema.PressureDim, math.Floor(s.Facts["set"].SI*s.Facts["buckleForce"].SI/needed/settingStep)*settingStep))
	s.text("remedyBuckling", text)
}
