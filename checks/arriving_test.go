package checks_test

import (
	"math"
	"regexp"
	"strconv"
	"strings"
	"testing"
)

// TestStopBreaksParts: at the end of the way out, L = 270 mm, the stop takes v within 1 mm, F = k x, so that a = v² / 1 mm where it has given most.
// By virtual work the rod's pin gets m a (L / (300 sin θ))² less the load's 5 g cos θ L / (300 sin θ), and bends by F/8 (eye + 2 cheek) (Roloff and
// Matek, Maschinenelemente, from memory). With the speed of the remedy it bears what it may by the same formula, or a little less.
func TestStopBreaksParts(t *testing.T) {
	b := drivenBench{throttle: "0.4"}.bench()
	b.machine += `
	pivots: Q: {pin: {diameter: mm: 6, yield: MPa: 300, kept: ["clip", "clip"], turnsWith: "rocker"}, stack: [{link: "rocker", thick: mm: 6}, {cylinder: "lift.front", runs: true}, {link: "rocker", thick: mm: 6}]}`
	e := examine(t, b)
	theta := math.Acos((300*300 + 120*120 - 270.*270) / (2 * 300 * 120))
	lever := 270 / (300 * math.Sin(theta))
	share := func(v float64) float64 {
		force := 5*lever*lever*v*v/0.001 - 5*9.80665*math.Cos(theta)*lever
		return 32 * force / 8 * 0.028 / (math.Pi * 0.006 * 0.006 * 0.006) / 150e6
	}
	v := e.number("arrival", "lift first", "arrives", "m/s")
	if share(v) < 1.2 {
		t.Fatalf("the stop brings %g of what the pin may have: too little to see", share(v))
	}
	e.want("arrival", "lift first", "share", "", share(v), 0.01*share(v), "virtual work and d'Alembert by hand")
	e.says("arrival", "lift first", "part", "pin Q bends")
	f, _ := e.fact("arrival", "lift first", "remedyArrival")
	said := regexp.MustCompile(`arrive with (\S+) m/s or less`).FindStringSubmatch(f.Text)
	if said == nil {
		t.Fatalf("the remedy is %q", f.Text)
	}
	slow, _ := strconv.ParseFloat(said[1], 64)
	if got := share(slow); got > 1 || got < 0.7 {
		t.Errorf("arriving with %g m/s the pin has %g of what it may", slow, got)
	}
	// What fails without the stop too has no speed that helps.
	b = drivenBench{throttle: "0.4"}.bench()
	b.machine += `
	points: R: {x: mm: 269.33333333333333, y: mm: 51.571417826730825}
	links: rocker: section: {moment: mm4: 100, depth: mm: 10, area: mm2: 100, material: "S235"}
	reaches: R: rises: mm: 0.001`
	e = examineSpec(t, strings.Replace(b.spec(), `rocker: {points: ["P", "Q"]`, `rocker: {points: ["P", "Q", "R"]`, 1))
	if f, _ := e.fact("arrival", "lift first", "remedyArrival"); !strings.HasPrefix(f.Text, "Let it arrive slower, by") {
		t.Errorf("the remedy is %q", f.Text)
	}
}
