package checks_test

import (
	"math"
	"strings"
	"testing"

	"trammel.example/checks"
)

// over is the pressure in MPa of a force in N over a ring, mm.
func over(force, d, hole float64) float64 { return force / (math.Pi / 4 * (d*d - hole*hole)) }

// TestHeadPressure: an M6 socket head (dw 9.38, ISO 4762) in a hole of 6.6 (ISO 273), a washer ISO 7089 of 12 × 1.6, a large one ISO 7093-1
// of 18 × 1.6, which reach out by 1.6 × √(235/45) on POM that bears 15 N/mm² (EN 1993-1-8, 6.2.5) as far as they go; under the nut 8.88 (ISO 4032 as ISO 4014). 1.2 N·m clamps with 1000 N at K 0.2.
func TestHeadPressure(t *testing.T) {
	const screw = `thread: "M6", length: mm: 45, head: "socket", class: "8.8"`
	const nut = `nut: style: "hex"`
	reach := math.Sqrt(235. / 45)
	for stack, want := range map[string]float64{
		`{part: "pad", thick: mm: 10, material: "POM"}, {part: "plate", thick: mm: 20}`:                                                           over(1000, 9.38, 6.6),
		`{washer: size: "M6"}, {part: "pad", thick: mm: 10, material: "POM"}, {part: "plate", thick: mm: 20}`:                                     over(1000, 12, 6.6),
		`{washer: {size: "M6", series: "large"}}, {part: "pad", thick: mm: 10, material: "POM"}, {part: "plate", thick: mm: 20}`:                  over(1000, 9.38+3.2*reach, 6.6),
		`{part: "pad", thick: mm: 10, material: "POM"}, {part: "plate", thick: mm: 10, material: "PLA"}`:                                          over(1000, 8.88, 6.6),
		`{part: "pad", thick: mm: 10, material: "POM", sleeve: true}, {part: "foot", thick: mm: 10, material: "S235"}, {washer: mm: 1.5}`:         over(1000, 8.88, 6.6),
		`{washer: size: "M6"}, {washer: {size: "M6", series: "large"}}, {part: "pad", thick: mm: 10, material: "POM"}, {part: "b", thick: mm: 5}`: over(1000, 18, 6.6),
	} {
		e := examine(t, fastened(screw, stack, nut, "torque: Nm: 1.2"))
		e.want("fastening", "joint", "headPressure", "MPa", want, 1e-3*want, "π/4 (D² − d²) by hand: "+stack)
	}
	// What is called for must do: tightened as the remedy has it the head presses with what the material bears.
	pad := `{part: "pad", thick: mm: 10, material: "POM"}, {part: "plate", thick: mm: 20}`
	e := examine(t, fastened(screw, pad, nut, "torque: Nm: 1.2"))
	bears := e.number("fastening", "joint", "torqueForPressure", "Nm")
	if want := 1.2 * 15 / over(1000, 9.38, 6.6); math.Abs(bears-want) > 1e-3*want {
		t.Errorf("torque for the pressure is %g N·m, want %g", bears, want)
	}
	f, _ := e.fact("fastening", "joint", "remedyPressure")
	if f.Kind != checks.Text || !strings.Contains(f.Text, "large M6 washer") || !strings.Contains(f.Text, "tube of 10 mm through pad") {
		t.Errorf("remedy: %v", f)
	}
	with := examine(t, fastened(screw, `{washer: {size: "M6", series: "large"}}, `+pad, nut, "torque: Nm: 1.2"))
	if p := with.number("fastening", "joint", "headPressure", "MPa"); p > 15 {
		t.Errorf("with the large washer it still presses with %g MPa", p)
	}
	// A screw without a torque: nobody knows.
	unknown := fastened(screw, pad, nut, "count: 1")
	examine(t, unknown).open("fastening", "joint", "headPressure")
}

// TestOwnMaterial: figures of one's own take the place of the tables', and those left out stay; what creeps keeps its share of the yield
// strength that may be pressed.
func TestOwnMaterial(t *testing.T) {
	const screw = `thread: "M6", length: mm: 45, head: "socket", class: "8.8"`
	at := func(material, own string) examined {
		b := fastened(screw, `{part: "pad", thick: mm: 10, material: "`+material+`"}, {part: "plate", thick: mm: 20}`, `nut: style: "hex"`, "torque: Nm: 1.2")
		b.machine += "\nmaterials: {" + own + "}"
		return examine(t, b)
	}
	at("POM", "").want("fastening", "joint", "headPressureAllowed", "MPa", 15, 1e-9, "the table")
	at("POM", `POM: {yield: MPa: 30, source: "test"}`).want("fastening", "joint", "headPressureAllowed", "MPa", 7.5, 1e-9, "a quarter of its own")
	at("POM", `POM: {pressed: MPa: 9, source: "test"}`).want("fastening", "joint", "headPressureAllowed", "MPa", 9, 1e-9, "its own")
	at("oak", `oak: {tensile: MPa: 60, yield: MPa: 40, elasticity: GPa: 11, source: "test"}`).want("fastening", "joint", "headPressureAllowed", "MPa", 10, 1e-9, "a quarter of its own")
}

// TestWarmPrint: where a print gets as warm as the site, or warmer; what the remedy names stands it.
func TestWarmPrint(t *testing.T) {
	at := func(material, more string) examined {
		return examine(t, bench{machine: `links: rocker: printed: {material: "` + material + `", layer: mm: 0.2, walls: 4, infill: 0.4, lies: "flat"` + more + `}
			site: warmest: degC: 40`})
	}
	at("PLA", "").want("printed link", "rocker", "warmest", "degC", 40, 1e-9, "the site")
	e := at("PLA", ", warmest: degC: 50")
	e.want("printed link", "rocker", "warmGood", "degC", 40, 1e-9, "60 − 20")
	e.text("printed link", "rocker", "remedyWarm", "Print it of PETG or ABS or PA12, or keep it below 40 °C")
	at("PETG", ", warmest: degC: 95").text("printed link", "rocker", "remedyWarm", "Make it of metal, or keep it below 58 °C")
	at("EN AW-6063-T6", "").open("printed link", "rocker", "warmest")
}
