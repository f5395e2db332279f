package checks_test

import (
	"fmt"
	"math"
	"strings"
	"testing"
)

// hopper has two rockers 150 mm apart, each 100 mm high and swung by a lever of 40 mm, from upright towards each other.
func hopper(apart float64, valves string) string {
	flap := func(end, lever, pivot, tip string) string {
		return fmt.Sprintf(`{points: ["%s", "%s", "%s"], mass: kg: 0.4, outline: width: mm: 20}`, lever, pivot, tip)
	}
	pivot := func(of string) string {
		return fmt.Sprintf(`{pin: {diameter: {mm: 10, fit: "h6"}, kept: ["clip", "clip"], turnsWith: "frame"}, stack: [{link: "frame", thick: mm: 8, hole: {mm: 10, fit: "H7"}}, {link: "%s", thick: mm: 10, hole: {mm: 10, fit: "H8"}, runs: true}, {link: "frame", thick: mm: 8, hole: {mm: 10, fit: "H7"}}]}`, of)
	}
	return fmt.Sprintf(`package hopper

import "trammel.example/schema"

machines: hopper: schema.#Machine & {
	title: "Hopper"
	points: {
		A: {x: mm: -40, y: mm: -200}, K: {x: mm: -40, y: mm: 0}, P: {x: mm: 0, y: mm: 0}, T: {x: mm: 0, y: mm: 100}
		B: {x: mm: %g, y: mm: -200}, L: {x: mm: %g, y: mm: 0}, Q: {x: mm: %g, y: mm: 0}, U: {x: mm: %g, y: mm: 100}
	}
	links: {
		frame: {points: ["A", "P", "B", "Q"], ground: true}
		left: %s
		right: %s
	}
	cylinders: {
		west: #short & {rear: at: "A", front: at: "K"}
		east: #short & {rear: at: "B", front: at: "L"}
	}
	pivots: {P: %s, Q: %s}
	%s
}

#short: schema.#Cylinder & {
	bore: mm: 20, rod: mm: 8, stroke: mm: 28, closed: mm: 200
	rear: {kind: "eye", hole: mm: 8, width: mm: 16}
	front: {kind: "eye", hole: mm: 8, width: mm: 16}
	ports: {rear: thread: "G1/4", front: thread: "G1/4"}
	source: "invented"
}
`, apart+40, apart+40, apart, apart, flap("A", "K", "P", "T"), flap("B", "L", "Q", "U"), pivot("left"), pivot("right"), valves)
}

const oneEach = `air: {
		parts: {
			source: schema.#Compressor & {switches: {on: bar: 7, off: bar: 8}, relief: set: bar: 10, ports: "1": thread: "G1/4", source: "plate"}
			fork: schema.#Manifold & {` + tee + `, source: "invented"}
			one: schema.#Valve & {function: "5/2", ` + fivePorts + `, source: "invented"}
			two: schema.#Valve & {function: "5/2", ` + fivePorts + `, source: "invented"}
		}
		runs: {
			a: {from: "source.1", to: "fork.1"}, b: {from: "fork.2", to: "one.1"}, c: {from: "fork.3", to: "two.1"}
			d: {from: "one.4", to: "west.rear"}, e: {from: "one.2", to: "west.front"}, f: {from: "two.4", to: "east.rear"}, g: {from: "two.2", to: "east.front"}
		}
	}`

// TestCylindersThatCanMeet: by the cosine rule the levers turn by θ when the rods go from 200 to 228 mm; the tips are then 2 × 100 sin θ nearer,
// and both bars are 20 mm wide.
func TestCylindersThatCanMeet(t *testing.T) {
	far := math.Hypot(40, 200) // from the cylinder's pin to the lever's pivot
	cos := (far*far + 40*40 - 228*228) / (2 * far * 40)
	theta := math.Acos(cos) - math.Acos(40/far)
	e := examineSpec(t, hopper(150, oneEach))
	e.want("pair", "left and right", "distance", "mm", 150-200*math.Sin(theta)-20, 0.011, "between the tips")
	e.flag("pair", "left and right", "meet", true, "only both together")
	e.flag("pair", "left and right", "whatever", false, "only both together")
	e.says("pair", "left and right", "forbidden", "the circuit allows it with one at 14 and two at 14")
	// Each has a valve, and the second is joined the other way round: at rest it is out.
	turned := strings.NewReplacer("two.4", "two.2", "two.2", "two.4").Replace(oneEach)
	examineSpec(t, hopper(150, turned)).says("pair", "left and right", "forbidden", "with one at 14 and two at 12")
	// Nearer, one that leans in meets the other upright one too.
	e = examineSpec(t, hopper(70, oneEach))
	e.flag("pair", "left and right", "meet", false, "whatever the other does")
	e.flag("pair", "left and right", "whatever", true, "whatever the other does")
	examineSpec(t, hopper(175, oneEach)).flag("pair", "left and right", "meet", false, "room enough")
}
