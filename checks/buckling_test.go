package checks_test

import (
	"fmt"
	"math"
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
