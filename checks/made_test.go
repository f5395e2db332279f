package checks_test

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"trammel.example/checks"
)

// madeRocker says how the bench's rocker is made: 120 mm from P to Q.
func madeRocker(fields string) bench {
	return bench{machine: "links: rocker: made: {" + fields + "}"}
}

func (e examined) says(kind, name, fact, part string) {
	e.t.Helper()
	if f, ok := e.fact(kind, name, fact); !ok || f.Kind != checks.Text || !strings.Contains(f.Text, part) {
		e.t.Errorf("%s %s: %s is %q, want %q in it", kind, name, fact, f.Text, part)
	}
}

// TestMadeLength adds up a cut list by hand. The bar is as long as the pivots are apart and a block with its bore 11 mm above its foot
// sits on each end: the pivots come out 22 mm too far apart, and 98 mm is what to cut. An end plate that is let in takes away. General
// tolerances are those of ISO 2768-1 m: 0.3 mm from 30 to 120 mm, 0.2 mm from 6 to 30 mm.
func TestMadeLength(t *testing.T) {
	for _, r := range []struct {
		fields          string
		made, off, most float64 // mm; most 0 where it is not judged
		cut             string
	}{
		{`cut: mm: 120, adds: [{mm: 11}, {mm: 11}]`, 142, 22, 0, "Cut it 98 mm long"},
		{`cut: mm: 98, adds: [{mm: 11}, {mm: 11}]`, 120, 0, 0.3 + 2*0.2, "Cut it 98 mm long"},
		{`cut: {mm: 98, plus: mm: 0.1, minus: mm: 0.2}, adds: [{mm: 11, plus: mm: 0.05}, {mm: 11.2, minus: mm: 0.1}]`, 120.2, 0.2, 0.35, "Cut it 97.8 mm long"},
		{`cut: mm: 98, adds: [{mm: 11}, {mm: 11}, {mm: -3}, {mm: 2.6}]`, 119.6, 0.4, 0.4 + 0.3 + 2*0.2 + 2*0.1, "Cut it 98.4 mm long"},
		{`cut: inch: 4, adds: [{inch: 1}]`, 127, 7, 0, "Cut it 94.6 mm long"},
		{`cut: mm: 10, adds: [{mm: 60}, {mm: 60}]`, 130, 10, 0, "leaves nothing to cut of the 120 mm drawn"},
	} {
		e := examine(t, madeRocker(r.fields))
		e.want("made link", "rocker", "drawn", "mm", 120, 1e-3, "as drawn")
		e.want("made link", "rocker", "made", "mm", r.made, 1e-9, "sum by hand")
		e.want("made link", "rocker", "off", "mm", r.off, 1e-3, "difference by hand")
		e.says("made link", "rocker", "remedyCut", r.cut)
		if r.most > 0 {
			e.want("made link", "rocker", "offMost", "mm", r.most, 1e-3, "limits add up, ISO 2768-1 m")
		} else if _, ok := e.fact("made link", "rocker", "offMost"); ok {
			t.Errorf("%s: the tolerance is judged of a wrong length", r.fields)
		}
	}
}

// TestMadeTolerance: what the remedy says keeps the sum of the limits within half a millimetre, by hand.
func TestMadeTolerance(t *testing.T) {
	for _, r := range []struct{ fields, want string }{
		{`cut: {mm: 98, plus: mm: 2, minus: mm: 2}, adds: [{mm: 11}, {mm: 11}]`, "Hold the cut length within ±0.09 mm"},                                                             // 0.5 − 2 × 0.2, less what the drawing rounds
		{`cut: {mm: 98.2, plus: mm: 2, minus: mm: 2}, adds: [{mm: 11, plus: mm: 0.1}, {mm: 11, minus: mm: 1}]`, "Hold the cut length and each of what its ends add within ±0.1 mm"}, // (0.5 − 0.2) / 3,
		{`cut: {mm: 98.3, plus: mm: 2, minus: mm: 2}, adds: [{mm: 11, minus: mm: 0.1}, {mm: 11, minus: mm: 0.1}]`, "Hold the cut length within ±0.2 mm"},                            // 0.5 − 0.3
	} {
		e := examine(t, madeRocker(r.fields))
		e.says("made link", "rocker", "remedyTolerance", r.want)
	}
}

// TestLooseLinkMayBeOff: pivots that can shift by more than half a millimetre let the spacing be off by as much: ISO 286-2 class H13 at
// 8 mm is up to 0.22 mm, so that a hole of 9.2 on a pin of 8 has 1.2 mm at least, half of it at either end of the rocker.
func TestLooseLinkMayBeOff(t *testing.T) {
	b := madeRocker(`cut: mm: 121`)
	for _, point := range []string{"P", "Q"} {
		held, by := "post", "{link: \"post\", thick: mm: 10, hole: {mm: 8, fit: \"H7\"}}"
		if point == "Q" {
			held, by = "lift", `{cylinder: "lift.front"}`
		}
		b.machine += fmt.Sprintf(`
	pivots: %s: {
		pin: {diameter: {mm: 8, fit: "h6"}, kept: ["clip", "clip"], turnsWith: %q}
		stack: [%s, {link: "rocker", thick: mm: 10, hole: {mm: 9.2, fit: "H13"}, runs: true}]
	}`, point, held, by)
	}
	e := examine(t, b)
	e.want("made link", "rocker", "offAllowed", "mm", 1.2, 1e-9, "2 × 1.2 / 2")
}

// TestMissOfARocker compares where the rocker's end comes out with the cosine rule: sides 300 mm (post), 260 mm (cylinder), and the
// rocker as long as made.
func TestMissOfARocker(t *testing.T) {
	b := madeRocker(`cut: {mm: 121, plus: mm: 0.5, minus: mm: 0.2}`)
	b.closed, b.stroke = "mm: 259.995", "mm: 0.01"
	b.machine += `
	loads: weight: {at: "Q", mass: kg: 1}`
	e := examine(t, b)
	end := func(r float64) (x, y, turn float64) {
		const post, cylinder = 300, 260
		at := math.Acos((post*post + cylinder*cylinder - r*r) / (2 * post * cylinder))
		x, y = cylinder*math.Cos(at), cylinder*math.Sin(at)
		return x, y, math.Atan2(y, x-post)
	}
	x, y, turn := end(120)
	worstX, worstY, worstTurn := end(121.5)
	e.want("tool", "Q", "miss", "mm", math.Hypot(worstX-x, worstY-y), 2e-3, "cosine rule")
	e.want("tool", "Q", "turn", "deg", math.Abs(worstTurn-turn)*180/math.Pi, 2e-3, "cosine rule")
	e.says("tool", "Q", "remedyMiss", "Bring rocker nearest to the drawing first, 120 mm from P to Q: it alone makes 1.5")
}

// TestMadeRockerTooShort: post and rocker in line reach 300 mm + the rocker, and the cylinder comes to 419 mm: 119 mm is the shortest.
func TestMadeRockerTooShort(t *testing.T) {
	for _, r := range []struct {
		cut    float64
		blocks bool
	}{{118.5, true}, {119.5, false}} {
		b := madeRocker(fmt.Sprintf(`cut: {mm: %g, plus: mm: 0.01, minus: mm: 0.01}`, r.cut))
		b.closed, b.stroke = "mm: 230", "mm: 189"
		e := examine(t, b)
		e.flag("made linkage", "bench", "takesStroke", !r.blocks, "triangle inequality")
		if r.blocks {
			e.want("made linkage", "bench", "within", "mm", 1, 0.06, "triangle inequality: 120 − 119 mm; the solver stops a little before the dead point")
			e.says("made linkage", "bench", "stopsAt", "With the rod of lift out by 189 mm")
		}
	}
}

// TestPlayAtTheEndOfALever adds up what three clearances do at the end of a lever. A clearance c in line with the cylinder moves the
// end by c L / r, r the cylinder's arm about the pivot (common practice, and any textbook on levers); one at the pivot turns the lever
// about the cylinder's end besides shifting it. Rigid-body kinematics by hand: with n across the lever, a along the cylinder, dP the
// shift of the pivot: ω = −dP·a / (120 n·a), dR = dP + 360 ω n.
func TestPlayAtTheEndOfALever(t *testing.T) {
	b := bench{closed: "mm: 259.995", stroke: "mm: 0.01"}
	b.machine = `
	points: R: {x: mm: 116, y: mm: 309.42850696038485}
	loads: weight: {at: "R", mass: kg: 1}
	pivots: {
		O: {pin: {diameter: {mm: 7.9, plus: um: 0}, kept: ["clip", "clip"], turnsWith: "post"}, stack: [{link: "post", thick: mm: 10, hole: {mm: 7.9, plus: um: 0}}, {cylinder: "lift.rear", runs: true}]}
		P: {pin: {diameter: {mm: 8, plus: um: 0}, kept: ["clip", "clip"], turnsWith: "post"}, stack: [{link: "post", thick: mm: 10, hole: {mm: 8, plus: um: 0}}, {link: "rocker", thick: mm: 10, hole: {mm: 8.2, plus: um: 0}, runs: true}]}
		Q: {pin: {diameter: {mm: 7.7, plus: um: 0}, kept: ["clip", "clip"], turnsWith: "rocker"}, stack: [{link: "rocker", thick: mm: 10, hole: {mm: 7.7, plus: um: 0}}, {cylinder: "lift.front", runs: true}]}
	}
	cylinders: lift: rear: hole: plus: um: 0
	cylinders: lift: front: hole: plus: um: 0`
	e := examineSpec(t, strings.Replace(b.spec(), `rocker: {points: ["P", "Q"]`, `rocker: {points: ["P", "Q", "R"]`, 1))
	const x, y = 238.66666666666666, 103.14283565346165
	length, lever := math.Hypot(x, y), math.Hypot(x-300, y)
	ax, ay := x/length, y/length
	nx, ny := -y/lever, (x-300)/lever
	arm := lever * math.Abs(nx*ax+ny*ay)
	want := 0.0
	for d := range 3600 {
		sin, cos := math.Sincos(math.Pi * float64(d) / 3600)
		across := nx*cos + ny*sin
		// R·u of a shift of P along x and along y
		gx := cos - 3*ax/(nx*ax+ny*ay)*across
		gy := sin - 3*ay/(nx*ax+ny*ay)*across
		want = max(want, 0.2*math.Hypot(gx, gy)+(0.1+0.3)*3*lever/arm*math.Abs(across))
	}
	e.want("tool", "R", "play", "mm", want, 0.006*want, "levers by hand")
	e.says("tool", "R", "playAt", "Q")
	e.want("tool", "R", "playShare", "mm", 0.3*3*lever/arm, 0.006*want, "c L / r")
	e.want("tool", "R", "playLeft", "mm", want-0.27*3*lever/arm, 0.01*want, "0.03 mm instead of 0.3 mm at Q")
}

// A link that stands on its end on the printer's bed has its layers across the way between its points, P and Q, 120 mm.
func TestPrintedLink(t *testing.T) {
	for lies, upright := range map[string]bool{"flat": false, "on edge": false, "upright": true} {
		e := examine(t, bench{machine: `links: rocker: printed: {material: "PETG", layer: mm: 0.2, walls: 4, infill: 0.4, lies: "` + lies + `"}`})
		e.flag("printed link", "rocker", "upright", upright, "as it lies")
		e.want("printed link", "rocker", "long", "mm", 120, 2e-3, "the bench's rocker")
	}
}
