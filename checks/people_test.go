package checks_test

import (
	"fmt"
	"math"
	"strings"
	"testing"
)

// TestSweptRadius: over 220 to 320 mm of the cylinder the rocker's end gets 320 mm from O, and P stands 300 mm from it.
func TestSweptRadius(t *testing.T) {
	e := examine(t, bench{closed: "mm: 220", stroke: "mm: 100", machine: `people: near: {who: "builder", stays: {from: "O", away: mm: 310}}`})
	e.want("zone", "near", "sweptRadius", "mm", 320, 0.01, "by drawing")
	e.want("zone", "near", "margin", "mm", -10, 0.01, "by drawing")
	// Up to the dead point, where the rod's end stands farthest.
	e = examine(t, bench{closed: "mm: 230", stroke: "mm: 200", machine: `people: near: {who: "builder", stays: {from: "O", away: mm: 310}}`})
	e.want("zone", "near", "sweptRadius", "mm", 420, 1, "300 + 120")
	// What stands still sweeps nothing, however far off: a foot of the post at 900 mm.
	e = examine(t, bench{closed: "mm: 220", stroke: "mm: 100", machine: `points: F: {x: mm: 0, y: mm: -900}, links: foot: {points: ["O", "F"], ground: true}
		people: near: {who: "builder", stays: {from: "O", away: mm: 310}}`})
	e.want("zone", "near", "sweptRadius", "mm", 320, 0.01, "by drawing")
}

// TestTouchForce: at L = 260 the rod of a 25 mm cylinder at 6 bar (294.52 N, ISO 6432) turns the rocker with a lever of 119.01 mm, and
// Q is 120 mm from P.
func TestTouchForce(t *testing.T) {
	parts, runs := regulated("bar: 6")
	e := examine(t, bench{closed: "mm: 259.995", stroke: "mm: 0.01", cylinder: ports, parts: parts, runs: runs, machine: `people: near: {who: "builder", reaches: ["Q"]}`})
	e.want("zone", "near", "touchForce", "N", 294.52*119.01/120, 0.1, "moments about P")
	e.want("zone", "near", "touchForceHighest", "N", 294.52*119.01/120*10/6, 0.2, "relief valve at 10 bar")
	e.flag("zone", "near", "unguarded", true, "as written")
}

// TestTouchEnergy: 5 kg at 0.8 m/s carry 1.6 J (½ m v²). Q moves 120/119.01 times as fast as the rod, and the rod's end speed is taken
// as twice its mean (a light piston ends at 1.5 to 2.5 times it: common practice).
func TestTouchEnergy(t *testing.T) {
	parts, runs := regulated("bar: 6")
	time := 2 * 0.01e-3 * 120 / 119.01 / 0.8
	e := examine(t, bench{closed: "mm: 259.995", stroke: "mm: 0.01", cylinder: fmt.Sprintf("time: s: %g, %s", time, ports), parts: parts, runs: runs,
		machine: `loads: weight: {at: "Q", mass: kg: 5}, people: near: {who: "builder", reaches: ["Q"]}`})
	e.want("zone", "near", "touchSpeed", "m/s", 0.8, 1e-4, "by hand")
	e.want("zone", "near", "touchEnergy", "J", 1.6, 1e-3, "½ m v²")
	e.want("zone", "near", "timeForTouch", "s", time*math.Sqrt(1.6/4), 1e-9, "energy falls with the square of the time")
}

// TestGuardAgainstISO13857 compares the distances that a guard must keep with ISO 13857:2019, table 4 (14 years and over), and takes
// the larger of two rows between them.
func TestGuardAgainstISO13857(t *testing.T) {
	for _, r := range []struct {
		opening             float64
		slot, square, round float64
	}{
		{4, 2, 2, 2}, {5, 10, 5, 5}, {6, 10, 5, 5}, {8, 20, 15, 5}, {10, 80, 25, 20}, {12, 100, 80, 80}, {12.5, 120, 120, 120}, {20, 120, 120, 120},
		{30, 850, 120, 120}, {40, 850, 200, 120}, {120, 850, 850, 850},
	} {
		for shape, want := range map[string]float64{"slot": r.slot, "square": r.square, "round": r.round} {
			e := examine(t, bench{machine: fmt.Sprintf(`people: near: {who: "builder", reaches: ["Q"], guard: {opening: mm: %v, shape: %q, distance: mm: 100}}`, r.opening, shape)})
			e.want("zone", "near", "guardDistanceNeeded", "mm", want, 1e-9, "ISO 13857, table 4")
			e.want("zone", "near", "guardDistance", "mm", 100, 1e-9, "as written")
			e.flag("zone", "near", "unguarded", false, "as written")
			if t.Failed() {
				t.Fatalf("opening of %v mm, %s", r.opening, shape)
			}
		}
	}
}

// The rocker's end is highest with the rod out: y = 120 sin θ with cos θ = (300² + 120² − 270²)/72000, 107.907 mm. Beside it people are
// from 200 mm up.
func TestAreaOfPeople(t *testing.T) {
	b := bench{}
	b.machine = `people: near: {who: "bystander", area: [{x: mm: 0, y: mm: 200}, {x: mm: 600, y: mm: 200}, {x: mm: 600, y: mm: 400}, {x: mm: 0, y: mm: 400}]}`
	e := examine(t, b)
	e.want("zone", "near", "areaMargin", "mm", 200-107.907, 0.15, "law of cosines by hand; the line of the rocker is taken 0.1 mm wide")
	b.machine = strings.ReplaceAll(b.machine, "y: mm: 200", "y: mm: 100")
	if got := examine(t, b).number("zone", "near", "areaMargin", "mm"); got > -1 {
		t.Errorf("%g mm with the area 8 mm lower than the rocker gets, want it within", got)
	}
	e.flag("zone", "near", "unguarded", true, "nothing stands between")
}
