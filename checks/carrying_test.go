package checks_test

import (
	"fmt"
	"math"
	"strings"
	"testing"
)

// TestLinkCarries: the thrust of 6 bar on a 25 mm piston (ISO 6432) meets the rocker's end, and something holds its middle. Across the
// rocker the thrust bends it there by F a, and its part along the rocker presses it against its pivot (cosine rule at Q). What the
// remedies ask for is tried in the spec.
func TestLinkCarries(t *testing.T) {
	cos := math.Abs(260.*260+120*120-300*300) / (2 * 260 * 120)
	along, moment := thrustAt6bar*cos, thrustAt6bar*math.Sqrt(1-cos*cos)*0.06
	spec := func(mm4, lateral float64) string {
		parts, runs := regulated("bar: 6")
		b := bench{closed: "mm: 259.99", stroke: "mm: 0.02", cylinder: ports, parts: parts, runs: runs, machine: fmt.Sprintf(`
	points: R: {x: mm: 269.33333333333333, y: mm: 51.571417826730825}
	links: rocker: section: {moment: mm4: %.15g, lateral: mm4: %.15g, depth: mm: 10, area: mm2: 50, material: "S235"}
	reaches: R: rises: mm: 0.001`, mm4, lateral)}
		return strings.Replace(b.spec(), `rocker: {points: ["P", "Q"]`, `rocker: {points: ["P", "Q", "R"]`, 1)
	}
	e := examineSpec(t, spec(600, 0.5))
	e.want("member", "rocker", "compression", "N", along, 2e-3*along, "component along the rocker")
	bears := math.Pi * math.Pi * 210e9 * 0.5e-12 / (0.12 * 0.12) / 3.5
	e.want("member", "rocker", "compressionAllowed", "N", bears, 1e-4*bears, "Euler")
	e.want("member", "rocker", "bends", "Nm", moment, 1e-3*moment, "load beside a support")
	stress := along/50 + moment*1e3*5/600
	e.want("member", "rocker", "stress", "MPa", stress, 2e-3*stress, "N / A + M / W")
	e.want("member", "rocker", "stressAllowed", "MPa", 117.5, 1e-9, "half of the yield strength")
	printed := strings.Replace(spec(600, 0.5), `links: rocker: section`, `links: rocker: printed: {material: "PETG", layer: mm: 0.2, walls: 4, infill: 1, lies: "flat"}
	links: rocker: section`, 1)
	examineSpec(t, strings.Replace(printed, `"S235"`, `"PETG"`, 1)).want("member", "rocker", "stressAllowed", "MPa", 20./3, 1e-9, "a third, of a print")
	mm4, lateral := e.number("member", "rocker", "momentForStress", "mm4"), e.number("member", "rocker", "momentForBuckling", "mm4")
	e = examineSpec(t, spec(mm4, lateral))
	e.want("member", "rocker", "stress", "MPa", 117.5, 1e-6, "with the moment asked for")
	e.want("member", "rocker", "compressionAllowed", "N", e.number("member", "rocker", "compression", "N"), 1e-6, "with the moment asked for")
	b := bench{machine: `
	links: rocker: section: {moment: mm4: 600, depth: mm: 10, area: mm2: 50, elasticity: GPa: 70}
	reaches: Q: rises: mm: 1`}
	e = examine(t, b)
	e.open("member", "rocker", "compression")
	e.open("member", "rocker", "stress")
}
