package checks_test

import (
	"math"
	"strings"
	"testing"
)

// withEyes is a bench whose rocker, 20 mm wide, turns at P on a pin of 6 mm, in a bush of 8 mm.
func withEyes(links string) bench {
	parts, runs := regulated("bar: 6")
	return bench{cylinder: ports, parts: parts, runs: runs, machine: `
	links: rocker: outline: width: mm: 20
	links: ` + links + `
	pivots: P: {pin: {diameter: mm: 6, kept: ["clip", "clip"], turnsWith: "post"}, stack: [{link: "post", thick: mm: 10, hole: mm: 6}, {link: "rocker", thick: mm: 10, hole: mm: 8, runs: true}]}`}
}

const print = `printed: {material: "PETG", layer: mm: 0.2, walls: 3, infill: 0.4, lies: "flat"}`

// TestPrintedEyes: (20 − 8) / 2 beside the hole, and a pin of 6 wants 6; 8 + 2 × 6 wide.
func TestPrintedEyes(t *testing.T) {
	e := examine(t, withEyes(`rocker: `+print))
	e.want("printed link", "rocker", "eyeWall", "mm", 6, 1e-9, "(20 − 8) / 2")
	e.want("printed link", "rocker", "eyeWallLeast", "mm", 6, 1e-9, "the pin")
	e.want("printed link", "rocker", "eyeWidth", "mm", 20, 1e-9, "8 + 2 × 6")
	e.want("printed link", "rocker", "walls", "", 3, 0, "as it is written")
}

// TestPrintedEyesOfShapes: of a bar of 9 mm 0.5 mm are left beside a hole of 8; of a bar of 9 and a circle of 24 round the same pivot, 8. How
// wide a polygon is there is not known. What fails is told all the same. A section counts as solid though most of the print is infill.
func TestPrintedEyesOfShapes(t *testing.T) {
	shaped := func(shapes string) examined {
		b := withEyes(`rocker: {` + print + `, section: {moment: mm4: 900, depth: mm: 9, area: mm2: 90, material: "PETG"}}`)
		b.machine = strings.Replace(b.machine, "outline: width: mm: 20", "outline: shapes: ["+shapes+"]", 1)
		return examine(t, b)
	}
	const bar, round, plate = `{along: ["P", "Q"], width: mm: 9}`, `{at: "P", diameter: mm: 24}`, `{corners: [{x: mm: 290, y: mm: -10}, {x: mm: 310, y: mm: -10}, {x: mm: 300, y: mm: 10}]}`
	e := shaped(bar)
	e.want("printed link", "rocker", "eyeWall", "mm", 0.5, 1e-9, "(9 − 8) / 2")
	shaped(plate+", "+bar).want("printed link", "rocker", "eyeWall", "mm", 0.5, 1e-9, "the bar")
	shaped(bar+", "+round).want("printed link", "rocker", "eyeWall", "mm", 8, 1e-9, "(24 − 8) / 2")
	shaped(plate).open("printed link", "rocker", "eyeWall")
	for _, s := range e.subjects {
		if s.Kind == "printed link" && (len(s.Assumed) != 1 || s.Assumed[0].Path != "links.rocker.section") {
			t.Errorf("assumed: %v", s.Assumed)
		}
	}
}

// TestPrintedAnchor: the post is all that holds the cylinder of 25 mm, 294.52 N at 6 bar. A plate of S235 (235 N/mm²) bears 0.3 of that beside a pin
// of 8: 0.52 mm, and 3 times as much pulled over 2 × 8 mm: 0.23 mm: thinner than 2 mm is not made. A bore of 100 mm has 4712 N: 8.36 mm, 8.5.
func TestPrintedAnchor(t *testing.T) {
	e := examine(t, withEyes(`post: `+print))
	e.flag("printed link", "post", "holdsCylinder", true, "the only link at O that stands")
	e.text("printed link", "post", "holds", "lift at O")
	e.want("printed link", "post", "thrust", "N", math.Pi/4*625*0.6, 1e-6, "p A")
	e.want("printed link", "post", "plate", "mm", 2, 1e-9, "no thinner")
	e.want("printed link", "post", "plateWide", "mm", 24, 1e-9, "3 × 8")
	large := withEyes(`post: ` + print)
	large.bore = "mm: 100"
	if thick := math.Ceil(math.Pi/4*1e4*0.6/(0.3*235*8)/0.5) * 0.5; thick != 8.5 {
		t.Fatalf("%g", thick)
	}
	examine(t, large).want("printed link", "post", "plate", "mm", 8.5, 1e-9, "thrust / (0.3 Re d)")
	e = examine(t, withEyes(`{post: `+print+`, wall: {points: ["O"], ground: true}}`))
	e.flag("printed link", "post", "holdsCylinder", false, "the wall holds it too")
}

// TestSheetLink: half of 20 mm by a hole of 8 is 1.25; the way from P to Q leans 120.7° from x, which the grain at 30° meets at 89.3°. EN 1999-1-1,
// table 8.2, has 1.2 in metal and EN 1995-1-1, table 8.4, 3 in wood, from memory.
func TestSheetLink(t *testing.T) {
	cut := func(fields string) examined { return examine(t, withEyes(`rocker: sheet: {`+fields+`}`)) }
	way := math.Atan2(103.14283565346165, 238.66666666666666-300) * 180 / math.Pi
	e := cut(`material: "plywood", cut: "laser", kerf: mm: 0.2, compensated: false, grain: deg: 30`)
	e.want("cut link", "rocker", "edgeHoles", "", 1.25, 1e-9, "10 / 8")
	e.want("cut link", "rocker", "edgeHolesUsual", "", 3, 0, "EN 1995-1-1")
	e.want("cut link", "rocker", "holesWider", "mm", 0.2, 1e-12, "the kerf")
	e.want("cut link", "rocker", "acrossGrain", "deg", 180-(way-30), 1e-6, "angles by hand")
	e.text("cut link", "rocker", "remedyEdge", "Make it 48 mm wide there, or take a pin for which a hole of 3 mm is enough")
	f, _ := e.fact("cut link", "rocker", "remedyGrain")
	if !strings.Contains(f.Text, "`grain: deg: -59.3`") {
		t.Errorf("remedy %q, and the link leans %g°", f.Text, way)
	}
	cut(`material: "plywood", cut: "laser", kerf: mm: 0.2, compensated: true, grain: deg: -59.3`).want("cut link", "rocker", "acrossGrain", "deg", 0, 0.05, "as the remedy has it")
	cut(`material: "plywood", cut: "laser", kerf: mm: 0.2, compensated: true`).open("cut link", "rocker", "acrossGrain")
	e = cut(`material: "EN AW-6082-T6", cut: "router", kerf: mm: 6, compensated: true`)
	e.want("cut link", "rocker", "edgeHolesUsual", "", 1.2, 0, "EN 1999-1-1")
	e.want("cut link", "rocker", "holesWider", "mm", 0, 0, "the path is moved")
	e.want("cut link", "rocker", "cutter", "mm", 6, 1e-12, "as it is written")
	e.want("cut link", "rocker", "smallestHole", "mm", 8, 1e-12, "the bush")
	cut(`material: "PMMA", cut: "saw", kerf: mm: 3, compensated: true`).want("cut link", "rocker", "edgeHolesUsual", "", 2, 0, "common practice")
}

// TestCorner: the post of a cantilever bears F h at its foot, h 500 mm, and nothing at its head (statics). Twice that wants three corners for
// 100 N·m in place of one; for 6 N·m nobody puts in 46.
func TestCorner(t *testing.T) {
	const section = `{moment: mm4: 90000, depth: mm: 40, area: mm2: 640, material: "EN AW-6063-T66"}`
	e := examine(t, posted(section+", corner: Nm: 100", ""))
	across, _ := acrossAndUp(250)
	foot := across * thrustAt6bar / 2
	e.want("frame member", "post", "corner", "Nm", foot, 1e-4*foot, "F h")
	e.want("frame member", "post", "cornerAllowed", "Nm", 50, 1e-9, "half of its rating")
	e.text("frame member", "post", "cornerAt", "foot")
	e.text("frame member", "post", "remedyCorner", "Take 3 such connectors there in place of one, or a gusset or a bracket for 272 N·m or more")
	if most := 2 * foot; most > 272 || most < 271 {
		t.Errorf("twice %g N·m", foot)
	}
	examine(t, posted(section+", corner: Nm: 6", "")).text("frame member", "post", "remedyCorner", "Take a gusset or a bracket for 272 N·m or more")
	if f, given := examine(t, posted(section, "")).fact("frame member", "post", "corner"); given {
		t.Errorf("without a rating: %v", f)
	}
}
