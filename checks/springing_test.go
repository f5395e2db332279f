package checks_test

import (
	"fmt"
	"math"
	"strings"
	"testing"
)

// The bench's rocker in a single pose: PQ from its pivot to the rod, mm.
const rodX, rodY = 238.66666666666666, 103.14283565346165

// longRocker is the bench in that pose, with R on the rocker's line so many times as far out as the rod.
func longRocker(out float64, more string) string {
	b := bench{closed: "mm: 259.99", stroke: "mm: 0.02", machine: fmt.Sprintf(`
	points: R: {x: mm: %.15g, y: mm: %.15g}
	links: rocker: section: {moment: mm4: 50, elasticity: GPa: 70}
	%s`, 300+(rodX-300)*out, rodY*out, more)}
	return strings.Replace(b.spec(), `rocker: {points: ["P", "Q"]`, `rocker: {points: ["P", "Q", "R"]`, 1)
}

// TestSpringsOfRocker: the rod holds Q, so that the tool gives way as a bar on two supports does (Shigley's Mechanical Engineering Design, table
// A-9, from memory): F L³ / 48 E I in the middle, F c² (L + c) / 3 E I at the end of what sticks out.
func TestSpringsOfRocker(t *testing.T) {
	l := math.Hypot(rodX-300, rodY)
	across := math.Atan2(rodY, rodX-300)*180/math.Pi + 90
	for out, want := range map[float64]float64{
		0.5: 100 * l * l * l / (48 * 70e3 * 50),
		1.5: 100 * l / 2 * l / 2 * 1.5 * l / (3 * 70e3 * 50),
	} {
		e := examineSpec(t, longRocker(out, fmt.Sprintf(`loads: push: {at: "R", force: N: 100, towards: deg: %.15g}`, across)))
		e.want("tool under load", "R", "springs", "mm", want, 2e-3*want, "table of beams")
		e.text("tool under load", "R", "springsMost", "`rocker`")
	}
}

// TestSpringsThroughConnectingRod: at R a connecting rod goes to S, which a slide guides and 100 N load. The end of the rocker gives way by
// δ = V c² (L + c) / 3 E I under the part V across it of what the connecting rod bears, and S by δ (n·e) / (s·e): n the way of R, e along the
// connecting rod, s along the slide (velocities of two points of a rigid bar; any handbook).
func TestSpringsThroughConnectingRod(t *testing.T) {
	l := math.Hypot(rodX-300, rodY)
	nx, ny := -rodY/l, (rodX-300)/l
	rx, ry := 300+(rodX-300)*1.5, rodY*1.5
	sx, sy := 420., 320.
	length := math.Hypot(sx-rx, sy-ry)
	ex, ey := (sx-rx)/length, (sy-ry)/length
	v := 100 / ex * (ex*nx + ey*ny)
	want := math.Abs(v*l/2*l/2*1.5*l/(3*70e3*50)*(ex*nx+ey*ny)) / ex
	spec := longRocker(1.5, `
	points: {S: {x: mm: 420, y: mm: 320}, "from": {x: mm: 300, y: mm: 320}, to: {x: mm: 600, y: mm: 320}}
	links: {con: {points: ["R", "S"], mass: kg: 0.000001}, rail: {points: ["from", "to"], ground: true}}
	slides: guide: {point: "S", along: ["from", "to"]}
	loads: push: {at: "S", force: N: 100, towards: deg: 180}`)
	e := examineSpec(t, spec)
	e.want("tool under load", "S", "springs", "mm", want, 2e-3*want, "beam and rigid bar")
}

// TestSpringsOfPost: O gives way on its post (Roark, table of beams, from memory), and the rod takes Q along: what of that lies along the rod, by
// the cosine between the rod and Q's way.
func TestSpringsOfPost(t *testing.T) {
	const ei, ea = 70e3 * 90000., 70e3 * 640.
	b := posted(bar40, "")
	b.machine += "\n loads: hold: {at: \"Q\", force: N: 0.001, towards: deg: 0}"
	alone, against := 0.0, 0.0
	for a := 250.; a <= 270; a += 2 {
		turn := math.Acos((300*300 + 120*120 - a*a) / (2 * 300 * 120))
		x, y := 300-120*math.Cos(turn), 120*math.Sin(turn)
		wx, wy := math.Sin(turn), math.Cos(turn)
		across, up := acrossAndUp(a)
		along := across*wx + up*wy
		for _, thrust := range []float64{thrustAt6bar, -247.400} {
			back := thrust * (across*across*125e6/(3*ei) + up*up*500/ea) // of O along the rod
			alone = max(alone, math.Abs(back/along))
			// The column: a force across and a moment at its end.
			force := thrust * along
			fx, fy := wx*force, wy*force
			ax, ay := x-200, y-20
			m := ax*fy - ay*fx
			const h = 320.
			ux, theta := fx*h*h*h/(3*ei)-m*h*h/(2*ei), m*h/ei-fx*h*h/(2*ei)
			uy := fy * h / ea
			against = max(against, math.Hypot(-back/along*wx-(ux-theta*ay), -back/along*wy-(uy+theta*ax)))
		}
	}
	examine(t, b).want("tool under load", "Q", "springs", "mm", alone, 1e-3*alone, "Roark; rigid bar")
	examine(t, anvilled()).want("tool under load", "Q", "springs", "mm", against, 1e-3*against, "Roark; rigid bar")
}

// TestRemediesOfSprings tries in the spec what they say.
func TestRemediesOfSprings(t *testing.T) {
	const push = `loads: push: {at: "R", force: N: 100, towards: deg: 59}`
	if remedy := examineSpec(t, longRocker(1.5, push)).textOf("tool under load", "R", "remedySprings"); !strings.HasPrefix(remedy, "Bring what loads it nearer") {
		t.Errorf("where the tool hardly moves: %s", remedy)
	}
	rocker := func(moment float64) string {
		b := bench{machine: fmt.Sprintf(`
	points: R: {x: mm: %.15g, y: mm: %.15g}
	links: rocker: section: {moment: mm4: %g, elasticity: GPa: 70}
	%s`, 300+(rodX-300)*1.5, rodY*1.5, moment, push)}
		return strings.Replace(b.spec(), `rocker: {points: ["P", "Q"]`, `rocker: {points: ["P", "Q", "R"]`, 1)
	}
	e := examineSpec(t, rocker(10))
	remedy := e.textOf("tool under load", "R", "remedySprings")
	var times, moment float64
	if _, err := fmt.Sscanf(remedy, "Make `rocker` %g times as stiff (a section with %g mm⁴)", &times, &moment); err != nil {
		t.Fatal(err, remedy)
	}
	for of, enough := range map[float64]bool{moment: true, moment - 0.2*10: false} {
		after := examineSpec(t, rocker(of))
		if got, allowed := after.number("tool under load", "R", "springs", "mm"), after.number("tool under load", "R", "springsAllowed", "mm"); (got <= allowed) != enough {
			t.Errorf("with %g mm⁴: %g mm, %g allowed", of, got, allowed)
		}
	}
	post := func(k float64) bench {
		b := posted(fmt.Sprintf(`{moment: mm4: %g, depth: mm: %g, area: mm2: %g, material: "EN AW-6063-T66"}`, 9000*math.Pow(k, 4), 30*k, 80*k*k), "")
		b.machine += "\n loads: hold: {at: \"Q\", force: N: 0.001, towards: deg: 0}"
		return b
	}
	e = examine(t, post(1))
	remedy = e.textOf("tool under load", "Q", "remedySprings")
	if _, err := fmt.Sscanf(remedy, "Make all its sections %g times", &times); err != nil {
		t.Fatal(err, remedy)
	}
	for size, enough := range map[float64]bool{times: true, times - 0.02: false} {
		after := examine(t, post(size))
		if got, allowed := after.number("tool under load", "Q", "springs", "mm"), after.number("tool under load", "Q", "springsAllowed", "mm"); (got <= allowed) != enough {
			t.Errorf("%g times as large: %g mm, %g allowed", size, got, allowed)
		}
	}
}

// TestSpringsNextToDeadPoint: what comes onto P’s column where the knee comes in line has no bound, and neither has the way that it gives.
func TestSpringsNextToDeadPoint(t *testing.T) {
	b := knee(10, "")
	b.machine = strings.Replace(b.machine, "mm4: 90000, depth: mm: 40,", "mm4: 900000, depth: mm: 80,", 1) // under O
	examine(t, b).leftOpen("tool under load", "Q", "springs", kneeInLine, "In all else")
}
