package checks_test

import (
	"fmt"
	"math"
	"strings"
	"testing"
)

// TestRodBuckles holds a rod against Euler's column with both ends turning (Gere and Goodno, Mechanics of Materials, 7th edition, chapter
// 11), and tries in the spec what the remedy asks for.
func TestRodBuckles(t *testing.T) {
	parts, runs := regulated("bar: 6")
	b := func(rod float64) bench {
		return bench{closed: "mm: 240", stroke: "mm: 60", cylinder: fmt.Sprintf("rod: mm: %g\n%s", rod, ports), parts: parts, runs: runs}
	}
	e := examine(t, b(4))
	bears := math.Pi * math.Pi * 200e9 * math.Pi * 256e-12 / 64 / (0.3 * 0.3)
	e.want("cylinder", "lift", "buckleForce", "N", bears, 1e-9*bears, "Euler")
	e.want("cylinder", "lift", "outLength", "mm", 300, 1e-9, "closed and stroke")
	needed := 3.5 * 6e5 * math.Pi / 4 * 0.025 * 0.025
	e.want("cylinder", "lift", "buckleForceNeeded", "N", needed, 1e-9*needed, "3.5 times the thrust")
	e.says("cylinder", "lift", "remedyBuckling", fmt.Sprintf("or set %g bar or less", math.Floor(600*bears/needed)/100))
	rod := e.number("cylinder", "lift", "rodNeeded", "mm")
	e = examine(t, b(rod))
	if got := e.number("cylinder", "lift", "buckleForce", "N"); got < needed || got > 1.1*needed {
		t.Errorf("with %g mm it bears %g N, and %g are needed", rod, got, needed)
	}
}

// TestRodBucklesAsItsEndsAreHeld: Euler's four columns (Gere and Goodno, chapter 11; k 1, 2, 0.699). Two fast ends would have 0.5, and count as
// one that turns: common practice, no source. The rod of 8 mm comes out to 250 mm. A tool with one point on the rod's own line is held by
// nothing else that is seen.
func TestRodBucklesAsItsEndsAreHeld(t *testing.T) {
	parts, runs := regulated("bar: 6")
	for _, c := range []struct {
		rear, front, tool string
		k                 float64
	}{
		{"eye", "eye", `["Q", "G"]`, 1},
		{"fixed", "eye", `["Q", "G"]`, 0.699},
		{"eye", "fixed", `["Q", "G"]`, 0.699},
		{"fixed", "fixed", `["Q", "G"]`, 0.699},
		{"fixed", "fixed", `["Q"]`, 2},
		{"fixed", "eye", `["Q"]`, 2},
		{"eye", "fixed", `["Q"]`, 1},
	} {
		slides, other := `rod: {point: "Q", along: ["A", "B"]}`, ""
		if strings.Contains(c.tool, "G") {
			slides += `, lower: {point: "G", along: ["A", "B"]}`
		} else {
			other = `, other: {points: ["G"], ground: true}`
		}
		end := func(kind string) string {
			if kind == "eye" {
				return `"eye", hole: mm: 8, width: mm: 16`
			}
			return `"fixed"`
		}
		e := examineSpec(t, `package bench

import "trammel.example/schema"

machines: bench: schema.#Machine & {
	title: "Bench"
	points: {A: {x: mm: 0, y: mm: 300}, B: {x: mm: 0, y: mm: 0}, Q: {x: mm: 0, y: mm: 120}, G: {x: mm: 0, y: mm: 60}}
	links: {frame: {points: ["A", "B"], ground: true}, blade: {points: `+c.tool+`, mass: kg: 0.2}`+other+`}
	slides: {`+slides+`}
	cylinders: lift: schema.#Cylinder & {
		bore: mm: 20, rod: mm: 8, stroke: mm: 100, closed: mm: 150, source: "invented"
		rear: {at: "A", kind: `+end(c.rear)+`}
		front: {at: "Q", kind: `+end(c.front)+`}
		`+ports+`
	}
	`+airFrom(parts, runs)+`
}`)
		want := math.Pi * math.Pi * 200e9 * math.Pi * math.Pow(0.008, 4) / 64 / math.Pow(c.k*0.25, 2)
		e.want("cylinder", "lift", "buckleForce", "N", want, 1e-6*want, c.rear+" "+c.front+" "+c.tool)
		e.want("cylinder", "lift", "buckleLength", "mm", c.k*250, 1e-6, c.rear+" "+c.front+" "+c.tool)
	}
}
