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
		b := hardlyMoving()
		b.machine += fmt.Sprintf(`
	points: R: {x: mm: 269.33333333333333, y: mm: 51.571417826730825}
	links: rocker: section: {moment: mm4: %.15g, lateral: mm4: %.15g, depth: mm: 10, area: mm2: 50, material: "S235"}
	reaches: R: rises: mm: 0.001`, mm4, lateral)
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

// TestSectionByShape: a drilled flat is weakened where its hole is, W = b (h³ − d³) / 6 h and A = b (h − d), and stays as stiff as without it
// (textbook); a leg of an angle bends about its axis along the pins, and gives sideways about its weakest (EN 10056-1 without radii, by hand).
func TestSectionByShape(t *testing.T) {
	cos := math.Abs(260.*260+120*120-300*300) / (2 * 260 * 120)
	along, moment := thrustAt6bar*cos, thrustAt6bar*math.Sqrt(1-cos*cos)*60
	spec := func(shape string) examined {
		b := hardlyMoving()
		b.machine += `
	points: R: {x: mm: 269.33333333333333, y: mm: 51.571417826730825}
	links: rocker: section: {shape: {` + shape + `}, material: "S235"}
	reaches: R: rises: mm: 0.001`
		return examineSpec(t, strings.Replace(b.spec(), `rocker: {points: ["P", "Q"]`, `rocker: {points: ["P", "Q", "R"]`, 1))
	}
	e := spec(`box: {deep: mm: 25, wide: mm: 6}, drilled: mm: 8`)
	stress := along/(6*(25-8)) + moment*6*25/(6*(25*25*25-8*8*8))
	e.want("member", "rocker", "stress", "MPa", stress, 2e-3*stress, "N / A + M / W beside the hole")
	e.want("section", "rocker", "moment", "mm4", 6*25*25*25/12., 1e-9, "b h³/12")
	bears := math.Pi * math.Pi * 210e3 * (25 * 6 * 6 * 6 / 12) / (120 * 120) / 3.5
	e.want("member", "rocker", "compressionAllowed", "N", bears, 1e-4*bears, "Euler about the weaker axis")
	// Legs of 20 mm, 3 mm thick: A = 111, e = (20 × 3 × 1.5 + 17 × 3 × 11.5) / 111, I of two rectangles; about 45° (I ± Ixy).
	a, c := 111., (20*3*1.5+17*3*11.5)/111
	i := 20*27/12. + 60*(c-1.5)*(c-1.5) + 3*17*17*17/12. + 51*(11.5-c)*(11.5-c)
	xy := 60*(10-c)*(1.5-c) + 51*(1.5-c)*(11.5-c)
	e = spec(`angle: {deep: mm: 20, wide: mm: 20, wall: mm: 3}`)
	e.want("section", "rocker", "moment", "mm4", (i*i-xy*xy)/i, 1e-6*i, "bending about an axis that is no principal one, free sideways")
	bears = math.Pi * math.Pi * 210e3 * (i + xy) / (120 * 120) / 3.5
	e.want("member", "rocker", "compressionAllowed", "N", bears, 1e-4*bears, "Euler about the weakest axis")
	// σ = M (I y − Ixy x) / (I² − Ixy²), largest at the toe of the leg along y.
	worst := 0.0
	for _, q := range [][2]float64{{0, 0}, {20, 0}, {20, 3}, {3, 3}, {3, 20}, {0, 20}} {
		worst = max(worst, math.Abs(i*(q[1]-c)-xy*(q[0]-c))/(i*i-xy*xy))
	}
	stress = along/a + moment*worst
	e.want("member", "rocker", "stress", "MPa", stress, 2e-3*stress, "N / A and bending about both axes")
}

// TestLinkTires: pushed and pulled against what holds its middle, the lever of TestLinkCarries is stressed on one side and on the other: the
// range is what both thrusts make (ISO 6432), and a section grown as the remedy says endures it.
func TestLinkTires(t *testing.T) {
	cos := math.Abs(260.*260+120*120-300*300) / (2 * 260 * 120)
	spec := func(k float64) examined {
		parts, runs := regulated("bar: 6")
		b := bench{closed: "mm: 259.99", stroke: "mm: 0.02", cylinder: ports + ", rod: mm: 10", parts: parts, runs: runs, machine: fmt.Sprintf(`
	points: R: {x: mm: 269.33333333333333, y: mm: 51.571417826730825}
	links: rocker: section: {moment: mm4: %.15g, depth: mm: %.15g, area: mm2: %.15g, material: "S235"}
	cycle: {period: s: 4, cycles: 2_000_000, steps: [{cylinder: "lift", goes: "out", at: s: 0}, {cylinder: "lift", goes: "in", at: s: 2}]}
	reaches: R: rises: mm: 0.001`, 600*math.Pow(k, 4), 10*k, 50*k*k)}
		return examineSpec(t, strings.Replace(b.spec(), `rocker: {points: ["P", "Q"]`, `rocker: {points: ["P", "Q", "R"]`, 1))
	}
	e := spec(1)
	const pull = 247.4004
	// On the side that is pressed when it pushes, and pulled when it pulls.
	want := (thrustAt6bar + pull) * (cos/50 + math.Sqrt(1-cos*cos)*60*5/600)
	e.want("member", "rocker", "stressRange", "MPa", want, 2e-3*want, "statics: pushed, then pulled")
	e.want("member", "rocker", "stressRangeAllowed", "MPa", 90/1.35, 1e-9, "EN 1993-1-9")
	var k float64
	if _, err := fmt.Sscanf(e.textOf("member", "rocker", "remedyTiring"), "Take a section that is %g times", &k); err != nil {
		t.Fatal(err, e.textOf("member", "rocker", "remedyTiring"))
	}
	if got := spec(k).number("member", "rocker", "stressRange", "MPa"); got > 90/1.35 {
		t.Errorf("%g times as large: still %g MPa", k, got)
	}
}

// TestLinkHoldsForce: 800 N across the middle of the rocker, which stands still between its pivot and the rod, bend it by F l / 4 (any handbook); no
// press brings as much.
func TestLinkHoldsForce(t *testing.T) {
	b := hardlyMoving()
	b.machine += `
	points: R: {x: mm: 269.33333333333333, y: mm: 51.571417826730825}
	links: rocker: section: {moment: mm4: 6000, depth: mm: 20, area: mm2: 200, material: "S235"}
	loads: push: {at: "R", force: N: 800, towards: deg: 30.73817}`
	e := examineSpec(t, strings.Replace(b.spec(), `rocker: {points: ["P", "Q"]`, `rocker: {points: ["P", "R", "Q"]`, 1))
	e.want("member", "rocker", "bends", "Nm", 24, 0.01, "F l / 4")
}

// TestCrankBends: a second arm of the rocker, as long and square to the first, carries 10 kg at its end. Its pull across the arm, F = W cos 30.74°,
// bends it there by F l³ / 3 E I, and turns it where both meet by the other's M l / 3 E I: 2 F l³ / 3 E I in all (superposition, any handbook). Both
// arms carry the whole moment where they meet.
func TestCrankBends(t *testing.T) {
	b := hardlyMoving()
	b.machine += `
	points: R: {x: mm: 403.14283565346165, y: mm: 61.33333333333334}
	links: rocker: section: {moment: mm4: 600, depth: mm: 10, area: mm2: 100, material: "S235"}
	loads: bag: {at: "R", mass: kg: 10}`
	e := examineSpec(t, strings.Replace(b.spec(), `rocker: {points: ["P", "Q"]`, `rocker: {points: ["P", "Q", "R"]`, 1))
	force := 10 * 9.80665 * 103.14283565346165 / 120
	deflection := 2 * force * 0.12 * 0.12 * 0.12 / (3 * 210e9 * 600e-12) * 1e3
	e.want("section", "rocker", "deflection", "mm", deflection, 2e-3*deflection, "superposition")
	// With the end of the arm held, the thrust times its arm about the pivot.
	sin := math.Sin(math.Acos((260.*260 + 120*120 - 300*300) / (2 * 260 * 120)))
	moment := thrustAt6bar * sin * 0.12
	e.want("member", "rocker", "bends", "Nm", moment, 0.01*moment, "moments about the pivot")
}

// TestFixedLinkCarries: the post sticks out by 300 mm from where it is held, and something holds Q: the whole thrust at O, taken across it, bends it
// by F l, held at both ends by F l / 4.
func TestFixedLinkCarries(t *testing.T) {
	for held, part := range map[string]float64{"one end": 1, "both ends": 0.25} {
		b := hardlyMoving()
		b.machine += fmt.Sprintf(`
	links: post: section: {moment: mm4: 20000, depth: mm: 20, area: mm2: 200, material: "S235", span: mm: 300, held: %q}
	reaches: Q: rises: mm: 0.001`, held)
		e := examine(t, b)
		stress := thrustAt6bar * 300 * part * 10 / 20000
		e.want("member", "post", "stress", "MPa", stress, 2e-3*stress, "M / W")
	}
}
