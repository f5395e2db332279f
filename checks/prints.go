package checks

import (
	"fmt"
	"strings"

	"trammel.example/schema"
	"trammel.example/schema/standards"
)

// softeningReserve in K is by how much a plastic under load should stay below where it softens. Common practice, no source.
const softeningReserve = 20

// printable are the materials of the tables that come as filament.
var printable = []string{"PLA", "PETG", "ABS", "PA12"}

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
