package checks_test

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"trammel.example/checks"
)

// posted is a bench whose cylinder stands at O on a post of 500 mm that is held fast below. P is carried by something else. It pushes with the
// 294.52 N of 6 bar against something that holds Q, and pulls with 247.40 N.
func posted(section, more string) bench {
	b := drivenBench{set: "6"}.bench()
	// So light that nothing but the thrust counts, also where it arrives.
	b.cylinder = strings.Replace(b.cylinder, "moving: kg: 0.1", "moving: kg: 0.00001", 1)
	b.machine = strings.Replace(b.machine, "mass: kg: 5", "mass: kg: 0.00001", 1) + `
	reaches: Q: rises: mm: 0.001
	frame: {
		nodes: foot: {x: mm: 0, y: mm: -500}
		members: post: {between: ["foot", "O"], section: ` + section + `, mass: kg: 0.000001}
		supports: [{at: "foot", held: "fixed"}]
		beside: ["P"]
		` + more + `
	}`
	return b
}

// across and up are the ways of the rod where it is so long (mm), by the cosine rule at O.
func acrossAndUp(a float64) (across, up float64) {
	across = (a*a + 300*300 - 120*120) / (2 * a * 300)
	return across, math.Sqrt(1 - across*across)
}

// TestPostUnderCylinder: a cantilever under what the cylinder pushes back on it (Roark, table of beams, from memory): F h³ / (3 E I) aside
// and F h at its foot for the part of the force across it, the part along it over its area. The rod lies flattest as short as it is, and
// steepest as long.
func TestPostUnderCylinder(t *testing.T) {
	e := examine(t, posted(`{moment: mm4: 90000, depth: mm: 40, area: mm2: 640, material: "EN AW-6063-T66"}`, ""))
	across, up := acrossAndUp(250)
	across, up = across*thrustAt6bar, up*thrustAt6bar
	aside := across * 125e6 / (3 * 70e3 * 90000)
	down := up * 500 / (70e3 * 640)
	e.want("frame", "frame", "gives", "mm", math.Hypot(aside, down), 1e-4*aside, "Roark")
	e.text("frame", "frame", "givesAt", "O")
	e.want("frame", "frame", "sway", "mm", aside, 1e-4*aside, "Roark")
	e.want("frame", "frame", "swayAllowed", "mm", 500./300, 1e-9, "ENV 1993-1-1")
	e.want("frame", "frame", "givesAllowed", "mm", 0.03*20, 1e-9, "3 % of the stroke")
	stress := across*500*20/90000 + up/640
	e.want("frame member", "post", "stress", "MPa", stress, 1e-4*stress, "beam theory")
	e.want("frame member", "post", "bends", "Nm", across/2, 1e-4*across, "statics")
	e.want("frame member", "post", "stressAllowed", "MPa", 100, 1e-9, "half of EN 755-2")
	_, steepest := acrossAndUp(270)
	e.want("frame member", "post", "compression", "N", steepest*thrustAt6bar, 0.03, "statics")
	e.want("frame member", "post", "compressionAllowed", "N", min(math.Pi*math.Pi*70e3*90000/250000/3.5, 64000), 1, "Euler; yield")
	e.text("frame member", "post", "stressedAt", "at foot")
	e.flag("frame", "frame", "moves", false, "held fast")
	e.says("frame", "frame", "feet", fmt.Sprintf("%.1f N·m", across/2))
}

// TestRemediesOfFrame tries in the spec what the remedies say: a larger section for the stress, and one for the sway.
func TestRemediesOfFrame(t *testing.T) {
	section := func(k float64) string {
		return fmt.Sprintf(`{moment: mm4: %g, depth: mm: %g, area: mm2: %g, material: "EN AW-6063-T66"}`, 4000*math.Pow(k, 4), 15*k, 80*k*k)
	}
	e := examine(t, posted(section(1), ""))
	var k float64
	var rest string
	if _, err := fmt.Sscanf(e.textOf("frame member", "post", "remedyStress"), "Take a section for it that is %g times %s", &k, &rest); err != nil {
		t.Fatal(err, e.textOf("frame member", "post", "remedyStress"))
	}
	for size, enough := range map[float64]bool{k: true, k - 0.02: false} {
		after := examine(t, posted(section(size), ""))
		if got, allowed := after.number("frame member", "post", "stress", "MPa"), after.number("frame member", "post", "stressAllowed", "MPa"); (got <= allowed) != enough {
			t.Errorf("%g times as large: %g MPa, %g allowed", size, got, allowed)
		}
	}
	if _, err := fmt.Sscanf(e.textOf("frame", "frame", "remedySway"), "Make all its sections %g times %s", &k, &rest); err != nil {
		t.Fatal(err, e.textOf("frame", "frame", "remedySway"))
	}
	for size, enough := range map[float64]bool{k: true, k - 0.02: false} {
		after := examine(t, posted(section(size), ""))
		if got, allowed := after.number("frame", "frame", "sway", "mm"), after.number("frame", "frame", "swayAllowed", "mm"); (got <= allowed) != enough {
			t.Errorf("%g times as large: sways %g mm, %g allowed", size, got, allowed)
		}
	}
}

const bar40 = `{moment: mm4: 90000, depth: mm: 40, area: mm2: 640, material: "EN AW-6063-T66"}`

// anvilled is a posted bench that presses against a table on a post of its own.
func anvilled() bench {
	b := posted(bar40, `anvil: "table"`)
	b.machine = strings.Replace(b.machine, "nodes: foot:", `nodes: {"other foot": {x: mm: 200, y: mm: -300}, table: {x: mm: 200, y: mm: 20}}
		nodes: foot:`, 1)
	b.machine = strings.Replace(b.machine, "members: post:", `members: column: {between: ["other foot", "table"], section: `+bar40+`, mass: kg: 0.000001}
		members: post:`, 1)
	b.machine = strings.Replace(b.machine, "supports: [", `supports: [{at: "other foot", held: "fixed"}, `, 1)
	return b
}

// TestAnvil: what Q presses against stands on a post of its own. By moments about P something that holds Q gets the part of the thrust across
// the rocker, on Q's way, and the post's foot its moment about that (statics).
func TestAnvil(t *testing.T) {
	b := anvilled()
	e := examine(t, b)
	const reach, pull = 120., 247.400 // N, ISO 6432: pressure × (piston − rod)
	moment, stress := 0.0, 0.0
	for a := 250.; a <= 270; a += 2 {
		turn := math.Acos((300*300 + reach*reach - a*a) / (2 * 300 * reach)) // of the rocker, from PO
		x, y := 300-reach*math.Cos(turn), reach*math.Sin(turn)
		wx, wy := math.Sin(turn), math.Cos(turn) // a unit along Q's way, going out
		across, up := acrossAndUp(a)
		for _, thrust := range []float64{thrustAt6bar, -pull} {
			force := thrust * (wx*across + wy*up)
			bends := math.Abs((x-200)*wy*force - (y+300)*wx*force)
			if s := bends*20/90000 + math.Abs(wy*force)/640; s > stress {
				moment, stress = bends/1e3, s
			}
		}
	}
	e.want("frame member", "column", "bends", "Nm", moment, 1e-4*moment, "statics")
	e.want("frame member", "column", "stress", "MPa", stress, 1e-4*stress, "beam theory")
}

// TestFrameThatMoves: a post that turns on its foot falls over, and what is said to hold it does.
func TestFrameThatMoves(t *testing.T) {
	const bar = `{moment: mm4: 90000, depth: mm: 40, area: mm2: 640, material: "EN AW-6063-T66"}`
	b := posted(bar, "")
	b.machine = strings.Replace(b.machine, `held: "fixed"`, `held: "pinned"`, 1)
	e := examine(t, b)
	e.flag("frame", "frame", "moves", true, "a post on a hinge")
	e.text("frame", "frame", "movesAt", "O")
	e.text("frame", "frame", "movesWay", "sideways")
	e.says("frame", "frame", "remedyMoves", "Hold it against turning at `foot` (`held: \"fixed\"`)")
	// Turning on it, instead.
	b = posted(bar, "")
	b.machine = strings.Replace(b.machine, `between: ["foot", "O"],`, `between: ["foot", "O"], turns: ["foot"],`, 1)
	e = examine(t, b)
	e.says("frame", "frame", "remedyMoves", "Make `post` stiff at `foot`")
}

// knee is posted with a strut from Q that pushes T along a guide on the line at 120° through P, and comes into line with the rocker where that
// lies at 60° to PO: there the rod is out by √(300² + 120² − 300 × 120) − 250 = 11.53 mm (cosine rule), and what presses on P has no bound.
// What stands under O carries the thrust alone, wherever that is. P stands on a column so many times as large all round as the post.
func knee(size float64, more string) bench {
	b := posted(`{moment: mm4: 90000, depth: mm: 40, area: mm2: 640, material: "EN AW-6063-T66"}`, "")
	const long = 150.0
	qx, qy := 238.66666666666666-300, 103.14283565346165
	ux, uy := -0.5, math.Sqrt(0.75)
	at := qx*ux + qy*uy
	at += math.Sqrt(long*long - (120*120 - at*at))
	b.machine = strings.Replace(b.machine, `beside: ["P"]`, fmt.Sprintf(`beside: ["U", "V"]
		nodes: base: {x: mm: 300, y: mm: -500}
		members: column: {between: ["base", "P"], section: {moment: cm4: %g, depth: mm: %g, area: mm2: %g, material: "EN AW-6063-T66"}, mass: kg: 0.000001}
`, 9*math.Pow(size, 4), 40*size, 640*size*size), 1)
	b.machine = strings.Replace(b.machine, `supports: [{at: "foot", held: "fixed"}]`, `supports: [{at: "foot", held: "fixed"}, {at: "base", held: "fixed"}]`, 1)
	b.machine += fmt.Sprintf(`
	points: {T: {x: mm: %.12g, y: mm: %.12g}, U: {x: mm: %.12g, y: mm: %.12g}, V: {x: mm: %.12g, y: mm: %.12g}}
	links: {strut: {points: ["Q", "T"], mass: kg: 0.000001}, rail: {points: ["U", "V"], ground: true}}
	slides: shoe: {point: "T", along: ["U", "V"]}
	reaches: T: rises: mm: 0.001
	%s
`, 300+at*ux, at*uy, 300+200*ux, 200*uy, 300+400*ux, 400*uy, more)
	return b
}

// kneeInLine is how far the rod of knee is out where its strut and its rocker are in line, mm (cosine rule).
var kneeInLine = math.Sqrt(300*300+120*120-300*120) - 250

// leftOpen checks that a fact is open from a little before a place on the stroke to a little after it (mm), and what it says of all else.
func (e examined) leftOpen(kind, name, fact string, at float64, says string) {
	e.t.Helper()
	f, _ := e.fact(kind, name, fact)
	if f.Kind != checks.Open {
		e.t.Errorf("%s %s: %s is %v, want open", kind, name, fact, f)
		return
	}
	var from, to float64
	if _, err := fmt.Sscanf(f.Why, "with lift out between %g mm and %g mm,", &from, &to); err != nil || from > at || to < at-0.005 || to-from > 1 {
		e.t.Errorf("the dead point is at %g mm: %s", at, f.Why)
	}
	if !strings.Contains(f.Why, says) {
		e.t.Error(f.Why)
	}
}

// TestFrameNextToDeadPoint: the column of knee bears what P does, the post under O does not.
func TestFrameNextToDeadPoint(t *testing.T) {
	strong, weak := examine(t, knee(10, "")), examine(t, knee(1, ""))
	strong.leftOpen("frame member", "column", "stress", kneeInLine, "In all else")
	// Judged before: what does not bear it, and what already fails.
	want := examine(t, posted(`{moment: mm4: 90000, depth: mm: 40, area: mm2: 640, material: "EN AW-6063-T66"}`, "")).number("frame member", "post", "stress", "MPa")
	strong.want("frame member", "post", "stress", "MPa", want, 1e-3*want, "beam theory")
	f, _ := weak.fact("frame member", "column", "stress")
	if f.Kind != checks.Quantity || !strings.Contains(f.Worst, "and more next to a dead point, with lift out between") {
		t.Errorf("the stress of the weak column is %v, %s", f, f.Worst)
	}
}

// TestLargerForceHidesNoDeadPoint: a load that puts more on P than the press does in the poses on both sides of its dead point leaves what
// that does without bound, in frame and screws.
func TestLargerForceHidesNoDeadPoint(t *testing.T) {
	screws := `looks: deg: 90, screws: [`
	for i := range 24 {
		screws += fmt.Sprintf(`{x: mm: %d, y: mm: -20, z: mm: %d},`, 190+i/2*20, 30-i%2*60)
	}
	screws += "]"
	e := examine(t, knee(15, `loads: push: {at: "Q", force: kN: 250, towards: deg: -30}
	fixings: foot: {tested: {pullOut: kN: 5000, across: kN: 5000, source: "test"}, parts: [{on: "post", carries: ["P"], `+screws+`}]}
	fastenings: bolts: {screw: {thread: "M16", length: mm: 80, head: "hex", class: "10.9"}, stack: [{part: "foot", thick: mm: 50, material: "S235"}], into: nut: style: "hex", count: 24, torque: Nm: 300
		joints: [{on: "post", carries: ["P"], friction: 0.5, `+screws+`}]}`))
	e.leftOpen("frame member", "column", "compression", kneeInLine, "In all else")
	e.leftOpen("frame member", "column", "stress", kneeInLine, "In all else")
	e.leftOpen("fixing", "foot at P", "holdShare", kneeInLine, "In all else")
	for _, fact := range []string{"slides", "pull", "shear"} {
		e.leftOpen("screw group", "bolts at P", fact, kneeInLine, "In all else")
	}
}

// TestJointOfFrame: on a foot that turns by 0.4° under 20 N·m a post leans by M h / s more (Roark, table of beams, from
// memory; a hinge on a spring by hand), and what is said to be firm enough is.
func TestJointOfFrame(t *testing.T) {
	stiffness := 20e3 / (0.4 * math.Pi / 180) // N mm/rad
	spec := func(moment float64) examined {
		b := posted(`{moment: mm4: 200000, depth: mm: 40, area: mm2: 640, material: "EN AW-6063-T66"}`, "")
		b.machine = strings.Replace(b.machine, `members: post: {`, fmt.Sprintf(`members: post: {gives: foot: {turns: deg: 0.4, under: Nm: %g}, `, moment), 1)
		return examine(t, b)
	}
	across, _ := acrossAndUp(250)
	across *= thrustAt6bar
	bent, turned := across*125e6/(3*70e3*200000), across*500*500/stiffness
	e := spec(20)
	e.want("frame", "frame", "sway", "mm", bent+turned, 1e-4*(bent+turned), "Roark, and a hinge on a spring")
	e.want("frame member", "post", "bends", "Nm", across/2, 1e-4*across, "statics: it stands on one foot")
	var times, deg float64
	var rest string
	remedy := e.textOf("frame", "frame", "remedySway")
	if _, err := fmt.Sscanf(remedy, "Take corners that are %g times as stiff where its joints give (`post` at `foot`: %g° under %s", &times, &deg, &rest); err != nil {
		t.Fatal(err, remedy)
	}
	// bent + turned / n = h / 300.
	if least := turned / (500./300 - bent); times < least || times > least+0.2 {
		t.Errorf("%g times as stiff, where %g is just enough", times, least)
	}
	for moment, enough := range map[float64]bool{20 * times: true, 20 * (times - 0.2): false} {
		after := spec(moment)
		if got, allowed := after.number("frame", "frame", "sway", "mm"), after.number("frame", "frame", "swayAllowed", "mm"); (got <= allowed) != enough {
			t.Errorf("%g N·m: leans by %g mm, %g allowed", moment, got, allowed)
		}
	}
}

// TestStiffJointsAssumed: where the machine's frame has an angle that nothing is written about, it is taken to be stiff, and the report says so.
func TestStiffJointsAssumed(t *testing.T) {
	const bar = `{moment: mm4: 90000, depth: mm: 40, area: mm2: 640, material: "EN AW-6063-T66"}`
	for more, want := range map[string]string{
		``:                  `stiff joints at head`,
		`turns: ["head"], `: ``,
		`gives: head: {turns: deg: 0.1, under: Nm: 20}, `: `joints that give turn in proportion to the moment on them`,
	} {
		b := posted(bar, "")
		b.machine = strings.Replace(b.machine, "nodes: foot:", `nodes: head: {x: mm: -200, y: mm: 0}
		members: beam: {between: ["O", "head"], section: `+bar+`, mass: kg: 0.000001}
		members: leg: {between: ["left", "head"], `+more+`section: `+bar+`, mass: kg: 0.000001}
		nodes: left: {x: mm: -200, y: mm: -500}
		nodes: foot:`, 1)
		b.machine = strings.Replace(b.machine, `between: ["foot", "O"],`, `between: ["foot", "O"], turns: ["O"],`, 1)
		b.machine = strings.Replace(b.machine, "supports: [", `supports: [{at: "left", held: "fixed"}, `, 1)
		var got []string
		for _, s := range examine(t, b).subjects {
			for _, a := range s.Assumed {
				if s.Kind == "frame" && strings.Contains(a.Value, "joints") {
					got = append(got, a.Value)
				}
			}
		}
		if strings.Join(got, "; ") != want {
			t.Errorf("%q: %q", more, got)
		}
	}
}
