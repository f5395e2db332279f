package checks_test

import (
	"math"
	"testing"
)

// TestPinInWarmAndCold: a pin of steel (12 µm/(m K), EN 1993-1-1, 3.2.6) of 8 h6 (8 − 0.009, ISO 286-2) in 8 H8 (+0.022) of nylon (80 µm/(m K),
// any handbook, from memory): at −10 °C the hole at its least has shrunk by 8 × 80e-6 × 30 = 19.2 µm, the pin at its most by 2.88 µm. Where it
// gets warm instead the hole grows more than the pin, and in aluminium (23, EN 1999-1-1) on brass (20.5) it makes no difference that counts.
func TestPinInWarmAndCold(t *testing.T) {
	spec := func(pin, hole, site string) examined {
		return examine(t, bench{machine: `site: {` + site + `}
		pivots: P: {pin: {diameter: {mm: 8, fit: "h6"}, kept: ["clip", "clip"], turnsWith: "post", material: "` + pin + `"}, stack: [{link: "post", thick: mm: 8}, {link: "rocker", thick: mm: 10, hole: {mm: 8, fit: "H8"}, material: "` + hole + `", runs: true}]}`})
	}
	e := spec("C45", "PA6", "warmest: degC: 40, coldest: degC: -10")
	e.want("fit", "P: link rocker", "roomWarmOrCold", "um", -8*30*(80-12)*1e-3, 1e-6, "by hand")
	e.want("fit", "P: link rocker", "roomAt", "degC", -10, 1e-9, "the colder")
	e.want("fit", "P: link rocker", "roomMore", "um", 20, 1e-6, "16.32 up to 5")
	e = spec("C45", "PA6", "warmest: degC: 40")
	e.want("fit", "P: link rocker", "roomWarmOrCold", "um", 8*20*(80-12)*1e-3, 1e-6, "by hand")
	e = spec("PA6", "C45", "warmest: degC: 40")
	e.want("fit", "P: link rocker", "roomWarmOrCold", "um", -8*20*(80-12)*1e-3, 1e-6, "by hand")
	own := func(grows string) examined {
		return spec("C45", "own", `warmest: degC: 40, coldest: degC: -10}
		materials: own: {tensile: MPa: 60, yield: MPa: 50, elasticity: GPa: 3, source: "data sheet"`+grows)
	}
	own("").open("fit", "P: link rocker", "roomWarmOrCold")
	own(", expansion: 80").want("fit", "P: link rocker", "roomWarmOrCold", "um", -8*30*(80-12)*1e-3, 1e-6, "as nylon")
	e = spec("CuZn39Pb3", "EN AW-6060-T66", "warmest: degC: 60")
	e.want("fit", "P: link rocker", "roomWarmOrCold", "um", 8*40*2.5e-3, 1e-6, "by hand")
}

// TestBlocksOfUnlikeHeight: of two blocks 22 mm apart (10 mm of rocker, two halves of 12 mm) with heights of 20 ± 0.1 mm one can be 0.2 mm
// higher: arctan 0.2 / 22. A bearing that does not align itself takes 5 minutes of arc.
func TestBlocksOfUnlikeHeight(t *testing.T) {
	spec := func(fields string) examined {
		block := `{block: {bore: mm: 8, width: mm: 12, height: {mm: 20, plus: mm: 0.1, minus: mm: 0.1}, ` + fields + ` source: "invented"}, on: "post"}`
		return examine(t, bench{machine: `pivots: P: {pin: {diameter: mm: 8, kept: ["clip", "clip"], turnsWith: "rocker"}, stack: [` + block + `, {link: "rocker", thick: mm: 10}, ` + block + `]}`})
	}
	e := spec("")
	e.want("pivot axis", "P", "askew", "rad", math.Atan(0.2/22), 1e-12, "by hand")
	e.want("pivot axis", "P", "askewAllowed", "deg", 5./60, 1e-12, "from memory")
	e.want("pivot axis", "P", "heightsAllowed", "mm", 0.03, 1e-9, "22 mm × tan 5′ = 0.032 mm")
	e.want("pivot axis", "P", "apartNeeded", "mm", 138, 1e-9, "0.2 / tan 5′ = 137.5 mm")
	spec("selfAligning: deg: 2,").want("pivot axis", "P", "askewAllowed", "deg", 2, 1e-12, "data sheet")
}
