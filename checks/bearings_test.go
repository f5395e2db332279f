package checks_test

import (
	"fmt"
	"testing"
)

// rolling is a bench whose rocker sits on its pin, which turns in two blocks of the post. 20 kg hang at Q.
func rolling(block, plan string) bench {
	b := pinned(`{cylinder: "lift.front"}, {link: "rocker", thick: mm: 6, runs: true}`, `diameter: mm: 8`, `
	loads: sack: {at: "Q", mass: kg: 20}
	pivots: P: {pin: {diameter: mm: 8, kept: ["clip", "clip"], turnsWith: "rocker"}, stack: [`+block+`, {link: "rocker", thick: mm: 10}, `+block+`]}
	`+plan)
	b.closed, b.stroke = "", ""
	return b
}

func ballBlock(ratings string) string {
	return `{block: {bore: mm: 8, width: mm: 12, ` + ratings + ` source: "invented"}, on: "post"}`
}

func outAndIn(fields string) string {
	return `cycle: {period: s: 10, ` + fields + ` steps: [{cylinder: "lift", goes: "out", at: s: 0}, {cylinder: "lift", goes: "in", at: s: 5}]}`
}

// TestBearingLife: the angle of the rocker by the cosine rule, the rod's thrust by moments about P, half of what P bears on each block, and
// the integral of its cube by scipy.integrate.quad (SciPy 1.10):
//
//	a = 260 + s; th = acos((300² + 120² − a²) / (2·300·120)); q = (300 − 120 cos th, 120 sin th)
//	T = W (q₀ − 300) / ((q₀ − 300) q₁ − q₁ q₀) · a; F = |T q / a − (0, W)| / 2, W = 20 · 9.80665
//	rolls = 2 (th(10) − th(−10)) / 2π; cubed = 2 ∫ F³ dth / 2π; 0.0535719, ∛(cubed / rolls) = 90.9384 N, 10⁶ · 300³ / cubed = 6.70169 · 10⁸
func TestBearingLife(t *testing.T) {
	const seat = "P: block on post"
	e := examine(t, rolling(ballBlock("dynamic: N: 300,"), outAndIn("cycles: 50_000_000,")))
	e.want("seat", seat, "rolls", "", 0.053571896, 1e-6, "cosine rule")
	e.want("seat", seat, "meanLoad", "N", 90.938431, 1e-3, "SciPy")
	e.want("seat", seat, "life", "", 6.7016906e8, 2e4, "ISO 281, SciPy")
	e.want("seat", seat, "meanLoadAllowed", "N", 150, 1e-9, "ISO 281")
	e.want("seat", seat, "lifeWanted", "", 5e7, 0, "as given")
	// 2 × 90.94 N is more than the 126.3 N of the life.
	e.want("seat", seat, "dynamicNeeded", "N", 190, 1e-9, "ISO 281")

	// With the rating that it asks for it lasts as long as it must.
	e = examine(t, rolling(ballBlock("dynamic: N: 300,"), outAndIn("cycles: 900_000_000,")))
	needed := e.number("seat", seat, "dynamicNeeded", "N")
	after := examine(t, rolling(ballBlock(fmt.Sprintf("dynamic: N: %g,", needed)), outAndIn("cycles: 900_000_000,")))
	less := examine(t, rolling(ballBlock(fmt.Sprintf("dynamic: N: %g,", needed-10)), outAndIn("cycles: 900_000_000,")))
	if now, before := after.number("seat", seat, "life", ""), less.number("seat", seat, "life", ""); now < 9e8 || before >= 9e8 {
		t.Errorf("with %g N it lasts %g cycles, and with 10 N less %g", needed, now, before)
	}
}

// TestBearingLifeOpen: without a rating the life is open if one is asked for, and nothing is said where none is, or where nothing turns.
func TestBearingLifeOpen(t *testing.T) {
	const seat = "P: block on post"
	examine(t, rolling(ballBlock(""), outAndIn("cycles: 1000,"))).open("seat", seat, "life")
	e := examine(t, rolling(ballBlock("static: N: 900,"), outAndIn("")))
	if f, ok := e.fact("seat", seat, "life"); ok {
		t.Errorf("nobody asked for a life: %v", f)
	}
	e = examine(t, rolling(ballBlock("dynamic: N: 300,"), outAndIn("")))
	e.want("seat", seat, "life", "", 6.7016906e8, 2e4, "told without being asked")
	if _, ok := e.fact("seat", seat, "lifeWanted"); ok {
		t.Error("nobody asked for a life")
	}
	held := pinned(`{cylinder: "lift.front"}, {link: "rocker", thick: mm: 6, runs: true}`, `diameter: mm: 8`, `
	loads: sack: {at: "Q", mass: kg: 20}
	pivots: P: {pin: {diameter: mm: 8, kept: ["clip", "clip"], turnsWith: "post"}, stack: [`+ballBlock("static: N: 900, dynamic: N: 300,")+`, {link: "rocker", thick: mm: 10, runs: true}, `+ballBlock("static: N: 900, dynamic: N: 300,")+`]}
	`+outAndIn("cycles: 1000,"))
	if f, ok := examine(t, held).fact("seat", seat, "life"); ok {
		t.Errorf("a bearing that does not turn lasts for %v", f)
	}
}
