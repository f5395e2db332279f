package checks

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"trammel.example/schema"
	"trammel.example/schema/standards"
)

// softeningReserve in K is by how much a plastic under load should stay below where it softens. Common practice, no source.
const softeningReserve = 20

// printable are the materials of the tables that come as filament.
var printable = []string{"PLA", "PETG", "ABS", "PA12"}

const (
	// printWalls is how many walls round its holes a print should have, and eyePins how many pins' diameters of print beside a pin. Common
	// practice, no source.
	printWalls, eyePins = 4, 1
	// anchorPlate is the material that a remedy makes a plate of where a print holds a cylinder, and anchorReserve its reserve.
	anchorPlate, anchorReserve = "S235", 3
	// thinnestPlate and plateStep are the thinnest plate that is worth making, and to what it is rounded up, m.
	thinnestPlate, plateStep = 2e-3, 0.5e-3
)

// prints judges links that are printed.
func (x *examiner) prints() {
	for _, name := range x.motion.links {
		x.printedLink(name)
	}
}

// printedLink looks how the layers of a printed link lie.
func (x *examiner) printedLink(name string) {
	l := x.m.Links[name]
	p := l.Printed
	if !p.Given() {
		return
	}
	s := newSubject(x.m, "printed link", name, p.At)
	x.add(s)
	long := 0.0
	for _, a := range l.Points {
		for _, b := range l.Points {
			pa, pb := x.m.Points[a.Value], x.m.Points[b.Value]
			long = max(long, math.Hypot(pa.X.SI-pb.X.SI, pa.Y.SI-pb.Y.SI))
		}
	}
	s.flag("upright", p.Lies.Value == "upright", p.Lies)
	s.set("long", schema.LengthDim, long, p.Lies)
	s.set("layer", schema.LengthDim, p.Layer.SI, p.Layer)
	s.text("material", p.Material.Value)
	if l.Section.Given() && p.Infill.SI < 1 {
		s.Assumed = append(s.Assumed, schema.Assumption{Path: l.Section.Path, Value: "as strong as solid print", Source: "common practice for thick walls only; infill bears less, so that a test of a print, as `withstands`, tells more"})
	}
	x.warmPrint(s, p)
	x.printedWalls(s, name, p)
	x.printedAnchor(s, name, l)
}

// printedWalls looks at how much print there is round the holes of a link.
func (x *examiner) printedWalls(s *Subject, name string, p schema.Printed) {
	s.set("walls", schema.NumberDim, p.Walls.SI, p.Walls)
	eyes, why := x.eyesOf(name)
	for _, e := range eyes {
		pin := x.m.Pivots[e.point].Pin.Diameter
		if old, seen := s.Facts["eyeWall"]; seen && e.wall-eyePins*pin.SI >= old.SI-s.Facts["eyeWallLeast"].SI {
			continue
		}
		s.set("eyeWall", schema.LengthDim, e.wall, append(slices.Clone(e.from), pin)...)
		s.set("eyeWallLeast", schema.LengthDim, eyePins*pin.SI, pin)
		s.set("eyeWidth", schema.LengthDim, e.hole+2*eyePins*pin.SI)
		s.text("eye", e.point)
	}
	if why != "" && s.Facts["eyeWall"].SI >= s.Facts["eyeWallLeast"].SI { // none of the others fails
		s.open(why, "eyeWall")
	}
}

// printedAnchor finds a cylinder that stands on nothing but a print, and how thick a plate of steel would have to be there: pressed by the pin
// no more than three tenths of its yield strength, pulled over a width of three pins with a reserve of 3.
func (x *examiner) printedAnchor(s *Subject, name string, l schema.Link) {
	if !l.Ground.Value {
		return
	}
	for _, cylinder := range x.motion.cylinders {
		y := x.m.Cylinders[cylinder]
		for _, end := range []schema.CylinderEnd{y.Rear, y.Front} {
			holders := 0
			for _, other := range x.motion.links {
				if o := x.m.Links[other]; o.Ground.Value && goesThrough(o, end.At.Value) {
					holders++
				}
			}
			if !goesThrough(l, end.At.Value) || holders > 1 {
				continue
			}
			s.flag("holdsCylinder", true, l.Printed.Material, end.At)
			s.text("holds", cylinder+" at "+end.At.Value)
			zone, why := x.air.at(cylinder)
			if why+zone.why != "" {
				s.open(why+zone.why, "plate")
				return
			}
			steel, err := standards.MaterialByName(anchorPlate)
			if err != nil {
				s.open(err.Error(), "plate")
				return
			}
			push, _ := pistonAreas(y)
			thrust, d := zone.pressure*push, end.Hole.SI
			if d == 0 {
				d = y.Rod.SI
			}
			thick := max(thrust/(runningPart*steel.Yield*d), anchorReserve*thrust/(steel.Yield*2*d))
			s.set("thrust", schema.ForceDim, thrust, append([]schema.Input{y.Bore}, zone.from...)...)
			s.set("plate", schema.LengthDim, max(thinnestPlate, math.Ceil(thick/plateStep-1e-9)*plateStep))
			s.set("plateWide", schema.LengthDim, 3*d)
			return
		}
	}
	s.flag("holdsCylinder", false, l.Printed.Material)
}

// warmPrint holds the warmth where a printed link is against its material.
func (x *examiner) warmPrint(s *Subject, p schema.Printed) {
	row, err := x.m.Material(p.Material.Value)
	if err != nil || row.Softens == 0 {
		why := fmt.Sprintf("where %s softens is not given: add `softens: degC: …` to it in `materials`", p.Material.Value)
		if err != nil {
			why = err.Error()
		}
		s.open(why, "warmest")
		return
	}
	warm := p.Warmest
	if !warm.Given() {
		warm = x.m.Site.Warmest
	}
	if !warm.Given() && warm.SI == 0 {
		s.open("how warm it gets where it stands is not given: add `site: warmest: degC: 40`", "warmest")
		return
	}
	s.set("warmest", schema.TemperatureDim, warm.SI, p.Material, warm)
	s.set("softens", schema.TemperatureDim, row.Softens, p.Material)
	s.set("warmGood", schema.TemperatureDim, row.Softens-softeningReserve, p.Material)
	if warm.SI <= row.Softens-softeningReserve {
		return
	}
	var stands []string
	for _, name := range printable {
		if other, err := standards.MaterialByName(name); err == nil && warm.SI <= other.Softens-softeningReserve {
			stands = append(stands, name)
		}
	}
	cooler := "keep it below " + schema.Format(schema.TemperatureDim, row.Softens-softeningReserve)
	if len(stands) == 0 {
		s.text("remedyWarm", "Make it of metal, or "+cooler)
		return
	}
	s.text("remedyWarm", fmt.Sprintf("Print it of %s, or %s", strings.Join(stands, " or "), cooler))
}
