package checks

import (
	"fmt"
	"math"

	"trammel.example/schema"
	"trammel.example/schema/standards"
)

const (
	// rodEndLeast and rodEndGood are the thread, in diameters, that an eye or a fork should have on a rod. Common practice, no source: a nut
	// of full height has 0.8 to 0.9 and strips after the screw breaks; what swings and is set anew wants more.
	rodEndLeast, rodEndGood = 1, 1.25
)

// screwedOn is how well an eye or a fork sits on the thread of its rod.
func screwedOn(s *Subject, y schema.Cylinder, o schema.ScrewedOn) {
	if !o.Given() {
		return
	}
	s.flag("jammed", o.JamNut.Value, o.JamNut)
	thread, err := standards.ThreadByName(o.Thread.Value)
	if err != nil {
		s.open(err.Error(), "engagedDiameters")
		return
	}
	engaged := o.Engaged.SI / thread.Nominal
	s.set("engaged", schema.LengthDim, o.Engaged.SI, o.Engaged)
	s.set("engagedDiameters", schema.NumberDim, engaged, o.Engaged, o.Thread)
	if engaged >= rodEndGood {
		return
	}
	turns := math.Ceil((rodEndGood*thread.Nominal-o.Engaged.SI)/thread.Pitch - 1e-9)
	deep := o.Engaged.SI + turns*thread.Pitch
	if o.Depth.Given() && deep > o.Depth.SI {
		s.text("remedyScrewedOn", fmt.Sprintf("Take an end whose thread is %s deep or more: this one has %s", schema.Format(schema.LengthDim, deep), schema.Format(schema.LengthDim, o.Depth.SI)))
		return
	}
	turn := "turns"
	if turns == 1 {
		turn = "turn"
	}
	s.text("remedyScrewedOn", fmt.Sprintf("Screw it on by %.0f %s more, to %s; `closed` is %s then, so that the cylinder's other end, or the stroke, has to follow",
		turns, turn, schema.Format(schema.LengthDim, deep), schema.Format(schema.LengthDim, y.Closed.SI-turns*thread.Pitch)))
}
