package checks_test

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"trammel.example/checks"
)

// TestBendingAgainstHandbook bends the bench's rocker in a single pose by 100 N across it (Shigley's Mechanical Engineering Design, table
// A-9, from memory; any handbook): in the middle between pivot and rod F L³ / 48 E I, and at the end of what sticks out beyond the rod
// F c² (L + c) / 3 E I. What the remedy asks for is tried in the spec.
func TestBendingAgainstHandbook(t *testing.T) {
	const x, y = 238.66666666666666, 103.14283565346165
	l := math.Hypot(x-300, y)
	across := math.Atan2(y, x-300)*180/math.Pi + 90
	for _, r := range []struct {
		at   float64 // of the load, along the rocker, mm
		want float64 // m
	}{
		{l / 2, 100 * math.Pow(l/1000, 3) / (48 * 70e9 * 50e-12)},
		{3 * l, 100 * 4 * l * l * 3 * l * 1e-9 / (3 * 70e9 * 50e-12)},
	} {
		spec := func(moment float64) string {
			b := bench{closed: "mm: 259.99", stroke: "mm: 0.02", machine: fmt.Sprintf(`
	points: R: {x: mm: %.15g, y: mm: %.15g}
	links: rocker: section: {moment: cm4: %.15g, elasticity: GPa: 70}
	loads: push: {at: "R", force: N: 100, towards: deg: %.15g}`, 300+(x-300)*r.at/l, y*r.at/l, moment, across)}
			return strings.Replace(b.spec(), `rocker: {points: ["P", "Q"]`, `rocker: {points: ["P", "Q", "R"]`, 1)
		}
		e := examineSpec(t, spec(0.005))
		e.want("section", "rocker", "deflection", "mm", r.want*1000, 2e-3*r.want*1000, "table of beams")
		e.want("section", "rocker", "deflectionAllowed", "mm", 0.03*0.02, 1e-9, "3 % of the stroke")
		e = examineSpec(t, spec(e.number("section", "rocker", "momentNeeded", "cm4")))
		e.want("section", "rocker", "deflection", "mm", 0.03*0.02, 1e-9, "with the moment asked for")
	}
}

// TestAnchorAgainstHandbook: the post of 600 mm carries the rod's thrust at O, by moments about P, and at P what balances thrust and load.
func TestAnchorAgainstHandbook(t *testing.T) {
	const x, y = 238.66666666666666, 103.14283565346165
	length := math.Hypot(x, y)
	thrust := -100 * (x - 300) / math.Abs(300*y) * length // 100 N down at Q
	atP := math.Hypot(thrust*x/length, thrust*y/length-100)
	most := max(math.Abs(thrust), atP)
	for held, by := range map[string]float64{"both ends": 48, "one end": 3} {
		b := bench{closed: "mm: 259.99", stroke: "mm: 0.02", machine: fmt.Sprintf(`
	links: post: section: {moment: mm4: 6900, material: "S235", span: mm: 600, held: %q}
	loads: push: {at: "Q", force: N: 100, towards: deg: -90}`, held)}
		want := most * 0.6 * 0.6 * 0.6 / (by * 210e9 * 6900e-12) * 1000
		examine(t, b).want("section", "post", "deflection", "mm", want, 2e-3*want, "table of beams: F L³ / (48 or 3) E I")
	}
	b := bench{machine: `links: post: section: {moment: mm4: 6900, material: "S235"}`}
	examine(t, b).open("section", "post", "deflection")
}

// TestLinksBentAgreeWithStress: a link is drawn in the moment in which it is judged.
func TestLinksBentAgreeWithStress(t *testing.T) {
	for name, m := range examples(t) {
		stresses := map[string]float64{}
		for _, s := range checks.Examine(m) {
			if f, ok := s.Facts["stress"]; ok && s.Kind == "member" {
				stresses[s.Name] = f.SI
			}
		}
		for _, b := range checks.HoldingOf(m).Bent {
			if b.Stress > 0 && b.Stress != stresses[b.Link] {
				t.Errorf("%s: %s is drawn with %g Pa and judged with %g", name, b.Link, b.Stress, stresses[b.Link])
			}
		}
		for link := range stresses {
			if !slices.ContainsFunc(checks.HoldingOf(m).Bent, func(b checks.LinkBending) bool { return b.Link == link }) && stresses[link] > 0 {
				t.Errorf("%s: %s is judged and not drawn", name, link)
			}
		}
	}
}
