package checks_test

import (
	"math"
	"strings"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
)

// parallelogram is a bench with a second rocker beside the first, and a coupler that keeps them parallel. The two fixed pivots lie in the
// direction that the rocker gets within some degrees of, when the rod is out.
func parallelogram(short float64) bench {
	along := math.Pi - asDrawn.angle(270) - short/degrees
	by := r2.Vec{X: 80 * math.Cos(along), Y: 80 * math.Sin(along)}
	return fourBar{asDrawn, r2.Add(asDrawn.q, by), r2.Add(asDrawn.p, by)}.spec("")
}

// TestParallelogramNearItsLine: between parallel links every angle is the one between rocker and fixed link, or its supplement.
func TestParallelogramNearItsLine(t *testing.T) {
	name := ""
	e := examine(t, parallelogram(3))
	for _, s := range e.subjects {
		if s.Kind == "four-bar" {
			name = s.Name
		}
	}
	e.want("four-bar", name, "surplus", "", 0, 1e-6, "opposite links are equal")
	e.want("four-bar", name, "margin", "deg", 3, 1e-4, "the angle between rocker and fixed link")
	e.want("four-bar", name, "marginNeeded", "deg", 5, 1e-9, "no play is known")
	// 5° are left where the rocker stands 2° before its end.
	at := 0.0
	for (asDrawn.angle(270)-asDrawn.angle(250+at))*degrees > 2 {
		at += 0.5
	}
	at -= 0.5
	text := e.textOf("four-bar", name, "remedyStops")
	want := 3 + (asDrawn.angle(270)-asDrawn.angle(250+at))*degrees
	if n := numbers(text); n[0] != at || math.Abs(n[1]-want) > 0.01 {
		t.Errorf("says %q; at %g mm the links stay %.4g° clear", text, at, want)
	}

	e = examine(t, parallelogram(6))
	e.want("four-bar", name, "margin", "deg", 6, 1e-4, "the angle between rocker and fixed link")

	// Past the line there are two ways on.
	e = examine(t, parallelogram(-2))
	if text := e.textOf("cylinder", "lift", "strokeStops"); !strings.HasSuffix(text, "(a change point): follower and rocker go on side by side, as drawn, or crossed") {
		t.Errorf("says %q", text)
	}
	e.want("four-bar", name, "margin", "deg", 0, 0.05, "in line")
}
