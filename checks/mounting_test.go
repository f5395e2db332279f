package checks_test

import (
	"math"
	"slices"
	"strings"
	"testing"

	"trammel.example/schema"
)

// based is a posted bench, of next to no mass, on a base of 30 kg whose feet stand from -100 to 400 mm, 500 mm below O.
func based(more string) bench {
	b := posted(bar40, "")
	b.machine = b.machine[:strings.Index(b.machine, "frame:")] + `base: {
		feet: {from: mm: -100, to: mm: 400, y: mm: -500, across: mm: 200}
		mass: kg: 30
		centre: {x: mm: 120, y: mm: -300}
		friction: 0.4
		` + more + `
	}`
	return b
}

// caughtAtQ goes through the presses of a posted bench: where Q is (m) and what comes onto the machine when something beside it holds Q. By
// moments about P that is the part of the thrust across the rocker, against Q's way.
func caughtAtQ(do func(x, y, across, up float64)) {
	for a := 250.; a <= 270; a += 2 {
		turn := math.Acos((300*300 + 120*120 - a*a) / (2 * 300 * 120))
		wx, wy := math.Sin(turn), math.Cos(turn)
		across, up := acrossAndUp(a)
		for _, thrust := range []float64{thrustAt6bar, -247.400} {
			force := -thrust * (wx*across + wy*up)
			do((300-120*math.Cos(turn))/1e3, 120*math.Sin(turn)/1e3, force*wx, force*wy)
		}
	}
}

// TestCaughtBesideTheBase: statics by hand of a base that only its weight holds. Without anything beside it that catches Q, nothing pushes
// it, and an assumption says so.
func TestCaughtBesideTheBase(t *testing.T) {
	const weight, centre, from, to, height = 30 * 9.80665, 0.12, -0.1, 0.4, 0.5
	reserve, slides, allowed := math.Inf(1), 0.0, 0.0
	caughtAtQ(func(x, y, across, up float64) {
		for _, edge := range []float64{from, to} {
			side := math.Copysign(1, edge-centre) // turns over the edge at 400 mm clockwise
			holds, tips := weight*math.Abs(edge-centre), side*((x-edge)*up-(y+height)*across)
			if tips < 0 {
				reserve = min(reserve, holds/-tips)
			}
		}
		if down := weight - up; 1.5*math.Abs(across)-0.4*down > 1.5*slides-1.5*allowed {
			slides, allowed = math.Abs(across), 0.4*down/1.5
		}
	})
	e := examine(t, based(`caught: ["Q"]`))
	e.want("base", "base", "reserve", "", reserve, 1e-3*reserve, "moments about the edges")
	e.want("base", "base", "slides", "N", slides, 1e-3*slides, "what Q pushes back")
	e.want("base", "base", "slidesAllowed", "N", allowed, 1e-3*allowed, "friction")
	e = examine(t, based(""))
	e.want("base", "base", "slides", "N", 0, 2, "all within the base, but for what the rocker gets when it arrives")
	for _, s := range e.subjects {
		if s.Kind == "base" && !slices.ContainsFunc(s.Assumed, func(a schema.Assumption) bool { return a.Path == "base.caught" }) {
			t.Errorf("assumed: %v", s.Assumed)
		}
	}
}

// TestCaughtPullsScrews: by hand, two screws in a row across the base, 20 mm beside its edge at the right: what lifts or turns it to the right
// pulls them over that edge, what turns it to the left over the other one.
func TestCaughtPullsScrews(t *testing.T) {
	const weight, centre, row = 30 * 9.80665, 0.12, 0.38
	pull := 0.0
	caughtAtQ(func(x, y, across, up float64) {
		turns := (x-row)*up - (y+0.5)*across - (centre-row)*weight // anticlockwise, about the row
		heel := 0.48
		if turns < 0 {
			heel = 0.02
		}
		tension := (up - weight + math.Abs(turns)/heel) / 2
		pull = max(pull, math.Hypot(max(0, tension), across/2))
	})
	e := examine(t, based(`caught: ["Q"]
		screws: {at: [{x: mm: 380, z: mm: 60}, {x: mm: 380, z: mm: -60}], withstands: kN: 20}`))
	e.want("base", "base", "pull", "N", pull, 1e-3*pull, "the edge towards which it turns")
}
