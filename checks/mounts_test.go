package checks_test

import (
	"fmt"
	"math"
	"testing"
)

// TestFixedCylinderOnARocker: the bench's cylinder on a flange at O. By the cosine rule in the triangle O P Q (300, 120 and its length L)
// it stands at the angle α(L) = acos((300² + L² − 120²) / (600 L)), and Q strays by L sin(α − α middle) from the line in the middle.
func TestFixedCylinderOnARocker(t *testing.T) {
	at := func(l float64) float64 { return math.Acos((300*300 + l*l - 120*120) / (600 * l)) }
	const closed, extended = 200.0, 240.0 // the angle grows all the way: up to L = √(300² − 120²) = 275
	middle := (at(closed) + at(extended)) / 2
	want := extended*math.Sin(at(extended)-middle) - closed*math.Sin(at(closed)-middle)
	spec := `
	cylinders: lift: rear: {at: "O", kind: "fixed"}
	cylinders: lift: front: {at: "Q", kind: "eye", hole: {mm: 8, fit: "H9"}, width: mm: 16}
	cylinders: lift: schema.#Cylinder & {bore: mm: 25, stroke: mm: 40, closed: mm: 200, source: "invented"}
	pivots: Q: {
		pin: {diameter: {mm: 8, fit: "h6"}, kept: ["clip", "clip"], turnsWith: "rocker"}
		stack: [{link: "rocker", thick: mm: 10, hole: {mm: 8, fit: "H7"}}, {cylinder: "lift.front", runs: true}]
	}`
	x := (300*300 + 220*220 - 120*120) / 600.0
	e := examineSpec(t, fmt.Sprintf(`package bench

import "trammel.example/schema"

machines: bench: schema.#Machine & {
	title: "Bench"
	points: {O: {x: mm: 0, y: mm: 0}, P: {x: mm: 300, y: mm: 0}, Q: {x: mm: %.15g, y: mm: %.15g}}
	links: {post: {points: ["O", "P"], ground: true}, rocker: {points: ["P", "Q"], mass: kg: 0}}
	%s
}`, x, math.Sqrt(220*220-x*x), spec))
	e.want("cylinder end", "lift.rear", "sideways", "mm", want, 2e-3, "cosine rule")
	e.want("cylinder end", "lift.rear", "swing", "deg", (at(extended)-at(closed))*180/math.Pi, 1e-3, "cosine rule")
	e.want("cylinder end", "lift.rear", "sidewaysAllowed", "mm", 0.05+0.036+0.009, 1e-9, "H9/h6 at 8 mm: 36 + 9 µm (ISO 286-2)")
}

// TestDeadLengthAgainstCompactCylinders: no compact cylinder of ISO 21287 (its length without a stroke by bore, from memory) is shorter
// than what is said to be the least, and none is half as long again.
func TestDeadLengthAgainstCompactCylinders(t *testing.T) {
	for bore, length := range map[float64]float64{20: 37, 25: 39, 32: 44, 40: 45, 50: 45, 63: 49, 80: 54, 100: 67} {
		e := examine(t, bench{bore: fmt.Sprintf("mm: %g", bore)})
		least := e.number("cylinder", "lift", "deadLengthLeast", "mm") - 2*8 // without its eyes
		if !(least <= length && length <= 1.5*least) {
			t.Errorf("bore %g: %g mm at least, and the standard's is %g mm", bore, least, length)
		}
		e.want("cylinder", "lift", "closedLeast", "mm", 20+16+least, 1e-9, "stroke and eyes added by hand")
	}
}

// TestTilt adds up by hand how pins lean, and what that is at the end of a stack (tan 1° = 0.017455).
func TestTilt(t *testing.T) {
	machine := func(front, rear string) string {
		return fmt.Sprintf(`
	cylinders: lift: front: %s
	cylinders: lift: rear: %s
	pivots: O: {
		tilt: deg: 1
		pin: {diameter: {mm: 8, fit: "h6"}, kept: ["clip", "clip"], turnsWith: "post"}
		stack: [{link: "post", thick: mm: 10, hole: {mm: 8, fit: "H7"}}, {cylinder: "lift.rear", runs: true}]
	}
	pivots: Q: {
		tilt: deg: 2
		pin: {diameter: {mm: 8, fit: "h6"}, kept: ["clip", "clip"], turnsWith: "rocker"}
		stack: [{link: "rocker", thick: mm: 10, hole: {mm: 8, fit: "H7"}}, {cylinder: "lift.front", runs: true}]
	}`, front, rear)
	}
	e := examine(t, bench{machine: machine("tilts: deg: 12", "swing: deg: 90")})
	e.want("cylinder end", "lift.front", "tilt", "deg", 3, 1e-9, "1° + 2°")
	e.want("pivot axis", "O", "tilt", "deg", 1, 1e-9, "as written")
	e.want("pivot axis", "O", "shim", "mm", 26*0.017455065, 1e-6, "26 mm of stack")
	if f, ok := e.fact("pivot axis", "Q", "tilt"); ok {
		t.Errorf("the ball at Q does not take the tilt up: %v", f)
	}
	e = examine(t, bench{machine: machine("tilts: deg: 12", "tilts: deg: 8")})
	e.want("cylinder end", "lift.front", "tilt", "deg", 2, 1e-9, "the other ball takes its own")
}

// TestRodThatTurns: a tool that hangs on its rod alone can turn about it; one that a guide leads at two points can't (counted by hand).
func TestRodThatTurns(t *testing.T) {
	for tool, want := range map[string]bool{`["Q"]`: true, `["Q", "G"]`: false} {
		guide := ""
		if !want {
			guide = `, lower: {point: "G", along: ["A", "B"]}`
		}
		e := examineSpec(t, `package bench

import "trammel.example/schema"

machines: bench: schema.#Machine & {
	title: "Bench"
	points: {A: {x: mm: 0, y: mm: 300}, B: {x: mm: 0, y: mm: 0}, Q: {x: mm: 0, y: mm: 120}, G: {x: mm: 0, y: mm: 60}}
	links: {frame: {points: ["A", "B"], ground: true}, blade: {points: `+tool+`, mass: kg: 0.2}}
	`+map[bool]string{true: `links: other: {points: ["G"], ground: true}`}[want]+`
	slides: {rod: {point: "Q", along: ["A", "B"]}`+guide+`}
	cylinders: press: schema.#Cylinder & {
		bore: mm: 20, stroke: mm: 100, closed: mm: 150, source: "invented"
		rear: {at: "A", kind: "fixed"}
		front: {at: "Q", kind: "fixed"}
	}
}`)
		e.flag("cylinder end", "press.front", "turnsFree", want, "counted by hand")
		e.want("cylinder end", "press.rear", "sideways", "mm", 0, 1e-9, "straight along the slide")
		if want {
			e.want("cylinder end", "press.front", "sideForce", "N", 0, 1e-9, "upright: nothing across")
		}
	}
}

// TestBlocksOnOnePin counts by hand: two blocks of the post with one of the rocker beside them make a line, three of the post one too many. Bore H7 on h6 at 8 mm leaves nothing at the least, G7 5 µm (ISO 286-2).
func TestBlocksOnOnePin(t *testing.T) {
	block := func(fit, on string) string {
		return fmt.Sprintf(`{block: {bore: {mm: 8, fit: %q}, width: mm: 13, source: "invented"}, on: %q}`, fit, on)
	}
	machine := func(third string) string {
		return `
	pivots: P: {
		pin: {diameter: {mm: 8, fit: "h6"}, kept: ["clip", "clip"], turnsWith: "post"}
		stack: [` + block("G7", "post") + `, {link: "rocker", thick: mm: 10, hole: {mm: 8, fit: "H8"}, runs: true}, ` + block("G7", "post") + `, ` + third + `]
	}`
	}
	e := examine(t, bench{machine: machine(block("G7", "rocker"))})
	e.want("pivot axis", "P", "blocks", "", 2, 0, "counted")
	e = examine(t, bench{machine: machine(block("G7", "post"))})
	e.want("pivot axis", "P", "blocks", "", 3, 0, "counted")
	e.want("pivot axis", "P", "inLine", "mm", 0.005, 1e-9, "G7: +5 µm, h6: 0")
	e = examine(t, bench{machine: machine(block("H7", "post"))})
	e.want("pivot axis", "P", "inLine", "mm", 0, 1e-9, "H7: 0, h6: 0")
}

// TestLoadAcrossARod: a rod that lies 30° above the level carries 2 kg and a push of 10 N straight down: (2 kg × 9.80665 + 10 N) cos 30°
// (components of a force). It bears 5 % of 245.44 N, the thrust of a bore of 25 mm at 5 bar (ISO 6432).
func TestLoadAcrossARod(t *testing.T) {
	parts, runs := regulated("bar: 5")
	at := func(l float64) string {
		return fmt.Sprintf("{x: mm: %.15g, y: mm: %.15g}", l*math.Cos(math.Pi/6), l/2)
	}
	e := examineSpec(t, `package bench

import "trammel.example/schema"

machines: bench: schema.#Machine & {
	title: "Bench"
	points: {A: {x: mm: 0, y: mm: 0}, B: `+at(400)+`, Q: `+at(180)+`}
	links: {frame: {points: ["A", "B"], ground: true}, blade: {points: ["Q"], mass: kg: 0.5}}
	slides: rod: {point: "Q", along: ["A", "B"]}
	loads: {soil: {at: "Q", mass: kg: 1.5}, push: {at: "Q", force: N: 10, towards: deg: -90}}
	cylinders: lift: schema.#Cylinder & {
		bore: mm: 25, stroke: mm: 100, closed: mm: 150, source: "invented"
		rear: {at: "A", kind: "fixed"}
		front: {at: "Q", kind: "fixed"}
		`+ports+`
	}
	`+airFrom(parts, runs)+`
}`)
	e.want("cylinder end", "lift.front", "sideForce", "N", (2*9.80665+10)*math.Sqrt(3)/2, 1e-6, "components by hand")
	e.want("cylinder end", "lift.front", "sideForceAllowed", "N", 0.05*245.437, 1e-3, "thrust of ISO 6432")
}
