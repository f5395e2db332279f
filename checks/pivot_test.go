package checks_test

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"
)

// exactly is a length without tolerance.
func exactly(mm float64) string {
	return fmt.Sprintf("{mm: %v, plus: mm: 0, minus: mm: 0}", mm)
}

const block = `{block: {bore: {mm: 8, fit: "H7"}, width: {mm: 13, plus: mm: 0, minus: mm: 0}, selfAligning: deg: 2, source: "invented"}, on: "post"}`

// TestGapAgainstShigley: Shigley's Mechanical Engineering Design, 9th ed., example 1-3: a sleeve a of 1.750 ± 0.003 in holds b 0.750 ±
// 0.001, c 0.120 ± 0.005 and d 0.875 ± 0.001: the gap is 0.005 ± 0.010 in, and with d 0.867 at least 0.003.
func TestGapAgainstShigley(t *testing.T) {
	for d, want := range map[string][2]float64{"0.875": {-0.005, 0.015}, "0.867": {0.003, 0.023}} {
		e := examine(t, bench{machine: `pivots: P: {
			pin: {diameter: {mm: 8, fit: "h6"}, length: mm: 80, kept: ["clip", "clip"], turnsWith: "post"}
			stack: [` + block + `,
				{link: "rocker", thick: {inch: 0.750, plus: inch: 0.001, minus: inch: 0.001}, hole: {mm: 8, fit: "H8"}, runs: true},
				{washer: {inch: 0.120, plus: inch: 0.005, minus: inch: 0.005}},
				{spacer: {inch: ` + d + `, plus: inch: 0.001, minus: inch: 0.001}}, ` + block + `]
			between: {inch: 1.750, plus: inch: 0.003, minus: inch: 0.003}
		}`})
		e.want("pivot", "P", "gapLeast", "inch", want[0], 1e-12, "Shigley, example 1-3")
		e.want("pivot", "P", "gapMost", "inch", want[1], 1e-12, "Shigley, example 1-3")
	}
}

// TestGapRemedy builds each stack as advised, and demands the usual gap of 0.1 to 0.5 mm: by a shift of what is nominal, or where the
// tolerances alone take more than 0.4 mm, by limits for the widest of them. 22.3 less 20 and 2 is the middle, 0.3 mm.
func TestGapRemedy(t *testing.T) {
	size := func(mm, off float64) string {
		return fmt.Sprintf("{mm: %v, plus: mm: %v, minus: mm: %v}", mm, off, off)
	}
	pivot := func(sleeve bool, space, rocker string, washers ...string) examined {
		stack := block + `, {link: "rocker", thick: ` + rocker + `, hole: {mm: 8, fit: "H8"}, runs: true}`
		for _, w := range washers {
			stack += `, {washer: ` + w + `}`
		}
		held := `between: ` + space
		if sleeve {
			held = `sleeve: {length: ` + space + `, outside: {mm: 12, fit: "h9"}}`
		}
		return examine(t, bench{machine: `pivots: P: {
			pin: {diameter: {mm: 8, fit: "h6"}, length: mm: 80, kept: ["clip", "clip"], turnsWith: "post"}
			stack: [` + stack + `, ` + block + `]
			` + held + `
		}`})
	}
	type build struct {
		sleeve        bool
		space, rocker string
		washers       []string
	}
	rocker, washer := size(20, 0.05), size(2, 0.05)
	for name, r := range map[string]struct {
		is      build
		advises string
		as      []build // as advised, at its worst
	}{
		"closer": {build{false, size(22.7, 0.05), rocker, []string{washer}},
			"Set the faces 0.4 mm nearer to each other, or put in shims or a spacer of 0.4 mm (which may be off by 0.05 mm): the gap is then between 0.15 mm and 0.45 mm",
			[]build{{false, size(22.3, 0.05), rocker, []string{washer}}, {false, size(22.7, 0.05), rocker, []string{washer, size(0.4, 0.05)}}}},
		"no room for a shim's own tolerance": {build{false, size(22.7, 0.1), rocker, []string{washer}},
			"Set the faces 0.4 mm nearer to each other: the gap is then between 0.1 mm and 0.5 mm",
			[]build{{false, size(22.3, 0.1), rocker, []string{washer}}}},
		"wider": {build{false, size(22, 0.05), rocker, []string{washer}},
			"Make what lies between the faces 0.3 mm thinner in all, or set the faces 0.3 mm further apart: the gap is then between 0.15 mm and 0.45 mm",
			[]build{{false, size(22.3, 0.05), rocker, []string{washer}}, {false, size(22, 0.05), size(19.7, 0.05), []string{washer}}}},
		"a longer sleeve": {build{true, size(22, 0.05), rocker, []string{washer}},
			"Make what lies between the faces 0.3 mm thinner in all, or make the sleeve 0.3 mm longer: the gap is then between 0.15 mm and 0.45 mm",
			[]build{{true, size(22.3, 0.05), rocker, []string{washer}}}},
		"a shorter sleeve": {build{true, size(22.7, 0.1), rocker, []string{washer}},
			"Make the sleeve 0.4 mm shorter: the gap is then between 0.1 mm and 0.5 mm",
			[]build{{true, size(22.3, 0.1), rocker, []string{washer}}}},
		"one wide tolerance": {build{false, size(22.3, 0.05), size(20, 0.3), []string{washer}},
			"Shims don't help, as the tolerances add up to 0.8 mm. Hold link rocker between 19.9 mm and 20.1 mm: then they add up to 0.4 mm, and the gap lies between 0.1 mm and 0.5 mm",
			[]build{{false, size(22.3, 0.05), size(20, 0.1), []string{washer}}}},
		// 0.4 less 0.02 of the rocker is 0.38 for three: 0.1266 each, and 0.12 from one step of 0.005 mm to another.
		"most are wide, and the middle is off": {build{false, size(24, 0.2), size(20, 0.01), []string{size(2, 0.2), size(2, 0.2)}},
			"Shims don't help, as the tolerances add up to 1.22 mm. Hold the distance between the faces between 24.24 mm and 24.36 mm and each washer between 1.94 mm and 2.06 mm: then they add up to 0.38 mm, and the gap lies between 0.11 mm and 0.49 mm",
			[]build{{false, size(24.3, 0.06), size(20, 0.01), []string{size(2, 0.06), size(2, 0.06)}}}},
		// 150 to the thousandth, though a length that large is printed by tenths elsewhere.
		"large": {build{false, size(150.29, 0.3), size(148, 0.02), []string{washer}},
			"Shims don't help, as the tolerances add up to 0.74 mm. Hold the distance between the faces between 150.17 mm and 150.43 mm: then they add up to 0.4 mm, and the gap lies between 0.1 mm and 0.5 mm",
			[]build{{false, size(150.3, 0.13), size(148, 0.02), []string{washer}}}},
		// A distance without tolerance gets 0.015 when it is set anew, in steps 0.01; the other 0.385 go to the rocker, in steps 0.38.
		"an exact distance": {build{false, size(22.503, 0), size(20, 0.3), []string{size(2, 0)}},
			"Shims don't help, as the tolerances add up to 0.6 mm. Hold the distance between the faces between 22.295 mm and 22.305 mm and link rocker between 19.81 mm and 20.19 mm: then they add up to 0.39 mm, and the gap lies between 0.105 mm and 0.495 mm",
			[]build{{false, size(22.3, 0.005), size(20, 0.19), []string{size(2, 0)}}}},
		"only the distance": {build{true, size(22.3, 0.5), rocker, []string{washer}},
			"Shims don't help, as the tolerances add up to 1.2 mm. Hold the sleeve's length between 22.2 mm and 22.4 mm: then they add up to 0.4 mm, and the gap lies between 0.1 mm and 0.5 mm",
			[]build{{true, size(22.3, 0.1), rocker, []string{washer}}}},
		"in order": {build{false, size(22.3, 0.05), rocker, []string{washer}},
			"The gap is the usual one of 0.1 mm to 0.5 mm; for a closer one, hold the tolerances closer, which add up to 0.3 mm", nil},
		"too many shims": {build{false, size(65, 0.1), rocker, slices.Repeat([]string{size(1, 0.1)}, 45)},
			"Use fewer parts between the faces: the tolerances of 46 don't go into a gap of 0.1 mm to 0.5 mm", nil},
	} {
		pivot(r.is.sleeve, r.is.space, r.is.rocker, r.is.washers...).text("pivot", "P", "gapRemedy", r.advises)
		for _, b := range r.as {
			e := pivot(b.sleeve, b.space, b.rocker, b.washers...)
			least, most := e.number("pivot", "P", "gapLeast", "mm"), e.number("pivot", "P", "gapMost", "mm")
			if least < 0.1-1e-9 || most > 0.5+1e-9 {
				t.Errorf("%s: as advised, the gap is %v to %v mm", name, least, most)
			}
		}
	}
}

// TestThrustWashersOnASleeve: a sleeve of 24.3 mm through a rocker of 20 and two washers of 2 mm leaves 0.3 mm, by hand. A washer that
// the sleeve does not go through, one that is held, and the outermost one are clamped by the sleeve and are none of the gap.
func TestThrustWashersOnASleeve(t *testing.T) {
	const post, own = `{link: "post", thick: mm: 8, hole: mm: 8.4}`, `{washer: {mm: 2, plus: mm: 0, minus: mm: 0}}`
	rocker := `{link: "rocker", thick: ` + exactly(20) + `, hole: {mm: 12, fit: "H8"}, runs: true}`
	for _, r := range []struct {
		stack, why string
		gap        float64
	}{
		{post + `, ` + own + `, ` + rocker + `, ` + own + `, ` + post, "24.3 − 24", 0.3},
		{post + `, ` + own + `, ` + rocker + `, ` + post, "24.3 − 22", 2.3},
		// ISO 7089: the hole for M8 is 8.4 mm, that for M12 13 mm and its washer 2.5 ± 0.2.
		{post + `, {washer: size: "M8"}, ` + rocker + `, {washer: size: "M8"}, ` + post, "24.3 − 20", 4.3},
		{post + `, {washer: size: "M12"}, ` + rocker + `, ` + post, "24.3 − (20 + 2.7)", 1.6},
		{post + `, ` + strings.Replace(own, "}}", "}, runs: false}", 1) + `, ` + rocker + `, ` + own + `, ` + post, "24.3 − 22", 2.3},
		{post + `, {spacer: ` + exactly(2) + `}, ` + rocker + `, {spacer: ` + exactly(2) + `, runs: true}, ` + post, "24.3 − 22", 2.3},
		{own + `, ` + own + `, ` + rocker + `, ` + own + `, ` + post, "24.3 − 24", 0.3},
	} {
		e := examine(t, bench{machine: `pivots: P: {
			pin: {diameter: {mm: 8, fit: "h9"}, length: mm: 80, kept: ["clip", "clip"], turnsWith: "post"}
			stack: [` + r.stack + `]
			sleeve: {length: ` + exactly(24.3) + `, outside: {mm: 12, fit: "h9"}}
		}`})
		e.want("pivot", "P", "gapLeast", "mm", r.gap, 1e-9, r.why)
		e.want("pivot", "P", "sleeveNeeded", "mm", 24.4-r.gap, 1e-9, "what lies on it + 0.1")
	}
}

// TestFitsAgainstISO286 compares the least and most clearance of pin and hole with the published ones, µm.
func TestFitsAgainstISO286(t *testing.T) {
	for _, r := range []struct {
		mm          float64
		hole, pin   string
		least, most float64
	}{
		{10, "H7", "g6", 5, 29},
		{12, "H8", "f7", 16, 61},
		{6, "H7", "h6", 0, 20},
		{8, "H9", "h11", 0, 126},
		{8, "H7", "p6", -24, 0},
	} {
		e := examine(t, bench{machine: fmt.Sprintf(`pivots: P: {
			pin: {diameter: {mm: %v, fit: %q}, length: mm: 80, kept: ["clip", "clip"], turnsWith: "post"}
			stack: [{link: "post", thick: mm: 8, hole: mm: 9}, {link: "rocker", thick: mm: 20, hole: {mm: %v, fit: %q}, runs: true}]
		}`, r.mm, r.pin, r.mm, r.hole)})
		e.want("fit", "P: link rocker", "clearanceLeast", "um", r.least, 1e-6, "ISO 286-2")
		e.want("fit", "P: link rocker", "clearanceMost", "um", r.most, 1e-6, "ISO 286-2")
		e.want("fit", "P: link rocker", "nominalMismatch", "mm", 0, 0, "both metric")
		if allowed := e.number("fit", "P: link rocker", "clearanceAllowed", "um"); r.most > allowed {
			t.Errorf("%s/%s at %v mm, an ordinary running fit, is called loose: %v of %v µm", r.hole, r.pin, r.mm, r.most, allowed)
		}
	}
}

// TestClearanceHolesAreNoLooseFits: the medium and the fine holes of ISO 273 for a bolt whose shank has its nominal size.
func TestClearanceHolesAreNoLooseFits(t *testing.T) {
	for thread, holes := range map[string][2]float64{"M5": {5.3, 5.5}, "M6": {6.4, 6.6}, "M8": {8.4, 9}, "M10": {10.5, 11}} {
		for _, hole := range holes {
			e := examine(t, bench{machine: fmt.Sprintf(`pivots: P: {
				pin: {diameter: {mm: %s, fit: "h9"}, thread: %q, shank: mm: 40, length: mm: 80, kept: ["head", "nut"], turnsWith: "post"}
				stack: [{link: "post", thick: mm: 8, hole: {mm: %v, fit: "H13"}}, {link: "rocker", thick: mm: 20, hole: {mm: 10, fit: "H9"}, runs: true}]
			}`, thread[1:], thread, hole)})
			most, allowed := e.number("fit", "P: link post", "clearanceMost", "mm"), e.number("fit", "P: link post", "clearanceAllowed", "mm")
			if most > allowed {
				t.Errorf("%s in its %v mm hole of ISO 273 is called loose: %v of %v mm", thread, hole, most, allowed)
			}
		}
	}
}

// TestInchPinInMetricHole: 5/16 in is 7.9375 mm (NIST SP 811).
func TestInchPinInMetricHole(t *testing.T) {
	e := examine(t, bench{machine: `pivots: P: {
		pin: {diameter: inch: 0.3125, length: mm: 80, kept: ["clip", "clip"], turnsWith: "post"}
		stack: [{link: "post", thick: mm: 8, hole: mm: 9}, {link: "rocker", thick: mm: 20, hole: {mm: 8, fit: "H8"}, runs: true}]
	}`})
	e.want("fit", "P: link rocker", "nominalMismatch", "mm", 0.0625, 1e-9, "25.4 mm to the inch")
}

// boltedPivot is a rocker between two plates of the post on an M8 bolt.
func boltedPivot(pin, sides string) bench {
	parts, runs := regulated("bar: 6")
	side := `{link: "post", thick: ` + exactly(8) + `, hole: mm: 8.4}`
	return bench{bore: "mm: 32", closed: "mm: 259.995", stroke: "mm: 0.01", cylinder: "efficiency: 1, rod: mm: 12, " + ports, parts: parts, runs: runs, machine: `pivots: P: {
		pin: {diameter: {mm: 8, fit: "h9"}, thread: "M8", ` + pin + `, turnsWith: "post"}
		stack: [` + side + `, {link: "rocker", thick: ` + exactly(20) + `, hole: {mm: 8, fit: "H9"}, runs: true}, ` + side + `]
	}` + sides}
}

// TestClampedPivot: 12 N·m on an M8 clamps with T / (K d) = 7500 N; two faces of mean radius 6 mm rub with 0.15 (Coulomb; a clutch's
// torque is n µ F r, as in any textbook of machine design): 13.5 N·m. At L = 260 the rod's lever is 119.01 mm, and a 32 mm bore pushes
// with 482.55 N at 6 bar (ISO 15552): 57.43 N·m.
func TestClampedPivot(t *testing.T) {
	e := examine(t, boltedPivot(`shank: mm: 36, length: mm: 60, kept: ["head", "lock nut"], torque: Nm: 12`, ""))
	e.want("pivot", "P", "clampTorque", "Nm", 2*0.15*7500*0.006, 1e-9, "Coulomb")
	e.want("pivot", "P", "clampShare", "", 13.5/(482.55*0.11901), 1e-4, "Coulomb, and the rod's lever")
	e.want("pivot", "P", "sleeveNeeded", "mm", 20.1, 1e-9, "20 + 0.1: the plates are clamped, and it does not go through them")
	byHand := examine(t, boltedPivot(`shank: mm: 36, length: mm: 60, kept: ["head", "lock nut"]`, ""))
	if f, ok := byHand.fact("pivot", "P", "clampShare"); ok {
		t.Errorf("a nut run down without torque clamps nothing, and here %v", f)
	}
}

// TestBoltLength: stack 36, an ISO 7040 nut of M8 at most 9.5, one pitch of 1.25 mm: 46.75. An ISO 4032 nut has 6.8. DIN 471 (from memory) has
// a groove of 0.9 mm and 0.6 beyond it for 8 mm, DIN 705 a collar of 8, ISO 2341 a hole of 2 with 3.5 beyond its middle. A jam nut by ISO 4035
// has 4. What the builder gives counts in place of all that.
func TestBoltLength(t *testing.T) {
	for kept, needed := range map[string]float64{
		`kept: ["head", "lock nut"]`:                           46.75,
		`kept: ["head", "nut"]`:                                44.05,
		`kept: ["nut", "head"]`:                                44.05,
		`kept: ["head", "nut"], lock: "jam nut"`:               48.05,
		`kept: ["head", "nut"], lock: "lock nut"`:              46.75,
		`kept: ["head", "clip"]`:                               37.5,
		`kept: ["clip", "clip"]`:                               39,
		`kept: ["collar", "head"]`:                             44,
		`kept: ["split pin", "clip"]`:                          36 + 4.5 + 1.5,
		`kept: ["head", "push-on ring"]`:                       38,
		`kept: ["head", "none"]`:                               36,
		`kept: ["clip", "nut"], beyond: [{mm: 2.2}, {mm: 12}]`: 50.2,
	} {
		e := examine(t, boltedPivot(`shank: mm: 36, length: `+exactly(50)+`, `+kept, ""))
		e.want("pivot", "P", "pinNeeded", "mm", needed, 1e-9, "ISO 7040, ISO 4032")
		e.want("pivot", "P", "pinSpare", "mm", 50-needed, 1e-9, "ISO 7040, ISO 4032")
	}
}

// TestBoltLengthTolerance: ISO 4014's tables print an M8 × 50 of 49.5 to 50.5 mm and an M8 × 80 of 79.4 to 80.6 (js15 of product grade A up to
// 10 d), an M8 × 90 of 88.25 to 91.75 (js17 of grade B beyond): from memory. A pin that is no bolt has ISO 2768-1 m, ±0.3 mm up to 120, and
// a tolerance of its own counts. The stack of 36 with a lock nut takes 46.75 mm.
func TestBoltLengthTolerance(t *testing.T) {
	for _, r := range []struct {
		length string
		least  float64
	}{
		{"mm: 50", 49.5}, {"mm: 80", 79.4}, {"mm: 90", 88.25}, {"{mm: 50, minus: mm: 0.1}", 49.9},
	} {
		e := examine(t, boltedPivot(`shank: mm: 36, length: `+r.length+`, kept: ["head", "lock nut"]`, ""))
		e.want("pivot", "P", "pinSpare", "mm", r.least-46.75, 1e-9, "ISO 4014")
	}
	e := examine(t, boltedPivot(`shank: mm: 36, length: mm: 50, kept: ["clip", "clip"]`, ""))
	e.want("pivot", "P", "pinSpare", "mm", 49.7-39, 1e-9, "ISO 2768-1 m, DIN 471")
}

// TestThreadInBearing: from under the head, the rocker ends at 8 + 20 = 28 mm; a shank of 20 leaves 8 of it on thread.
func TestThreadInBearing(t *testing.T) {
	for shank, want := range map[string]float64{"20": 8, "28": 0, "36": 0} {
		e := examine(t, boltedPivot(`shank: mm: `+shank+`, length: mm: 50, kept: ["head", "lock nut"]`, ""))
		e.want("pivot", "P", "threadInBearing", "mm", want, 1e-9, "by hand")
		e.want("pivot", "P", "shankNeeded", "mm", 28, 1e-9, "by hand")
	}
}

// TestShankThroughAFork: a fork of 36 ± 0.1 runs about the rocker in its gap of 20.4 +0.1: its far face lies at 36.1 mm, whatever lies
// between. Where the rocker runs and the fork holds the pin, the rocker's far side lies at most at the second cheek: (36.1 + 20.5) / 2.
func TestShankThroughAFork(t *testing.T) {
	for turns, far := range map[string]float64{"rocker": 36.1, "lift": 28.3} {
		fork, rocker := `{cylinder: "lift.front", runs: true}`, `{link: "rocker", thick: `+exactly(20)+`, hole: {mm: 8, fit: "H8"}}`
		if turns == "lift" {
			fork, rocker = `{cylinder: "lift.front"}`, `{link: "rocker", thick: `+exactly(20)+`, hole: {mm: 8, fit: "H8"}, runs: true}`
		}
		for _, kept := range []string{`"head", "lock nut"`, `"lock nut", "head"`} {
			e := examine(t, bench{machine: `pivots: Q: {
				pin: {diameter: {mm: 8, fit: "h9"}, thread: "M8", shank: mm: 30, length: mm: 60, kept: [` + kept + `], turnsWith: "` + turns + `"}
				stack: [` + fork + `, ` + rocker + `, ` + fork + `]
			}`}.withFork("width: {mm: 36, plus: mm: 0.1, minus: mm: 0.1}, gap: {mm: 20.4, plus: mm: 0.1}"))
			e.want("pivot", "Q", "shankNeeded", "mm", far, 1e-9, "by hand")
			e.want("pivot", "Q", "threadInBearing", "mm", max(0, far-30), 1e-9, "by hand")
			e.want("pivot", "Q", "pinNeeded", "mm", 36.1+9.5+1.25, 1e-9, "the fork, ISO 7040, one pitch")
		}
	}
}

// TestPinThroughHeldParts: the faces stand 24.3 ± 0.05 apart, whatever runs between them: a pin through two blocks of 13 mm needs 50.35, and 1.5 for its clip.
// From the head, the rocker of 20 can lie against a washer of 2 before the far block, which itself ends at 50.35.
func TestPinThroughHeldParts(t *testing.T) {
	const between = `between: {mm: 24.3, plus: mm: 0.05, minus: mm: 0.05}`
	pivot := func(first, second, held string) examined {
		washer := `{washer: ` + exactly(2) + `}`
		return examine(t, bench{machine: `pivots: P: {
			pin: {diameter: {mm: 8, fit: "h6"}, thread: "M8", shank: mm: 30, length: mm: 80, kept: ["head", "clip"], turnsWith: "post"}
			stack: [` + first + `, ` + washer + `, {link: "rocker", thick: ` + exactly(20) + `, hole: {mm: 12, fit: "H8"}, runs: true}, ` + washer + `, ` + second + `]
			` + held + `
		}`})
	}
	post := `{link: "post", thick: ` + exactly(13) + `, hole: mm: 8.4}`
	e := pivot(block, block, between)
	e.want("pivot", "P", "pinNeeded", "mm", 51.85, 1e-9, "24.35 + 2 × 13 + 1.5")
	e.want("pivot", "P", "shankNeeded", "mm", 50.35, 1e-9, "the bearing's far side")
	e = pivot(post, post, between)
	e.want("pivot", "P", "shankNeeded", "mm", 35.35, 1e-9, "13 + 24.35 − 2")
	// On a sleeve the rocker does not touch the bolt, which the second plate shears where the sleeve ends.
	e = pivot(post, post, `sleeve: {length: {mm: 24.3, plus: mm: 0.05, minus: mm: 0.05}, outside: {mm: 12, fit: "h9"}}`)
	e.want("pivot", "P", "pinNeeded", "mm", 51.85, 1e-9, "24.35 + 2 × 13 + 1.5")
	e.want("pivot", "P", "shankNeeded", "mm", 37.35, 1e-9, "13 + 24.35")
	e.want("pivot", "P", "threadInBearing", "mm", 7.35, 1e-9, "37.35 − 30")
}

// TestKeepers counts the kept ends, and those kept by friction.
func TestKeepers(t *testing.T) {
	for kept, want := range map[string][2]float64{`"clip", "clip"`: {2, 0}, `"clip", "none"`: {1, 0}, `"none", "none"`: {0, 0}, `"push-on ring", "push-on ring"`: {2, 2}, `"head", "push-on ring"`: {2, 1}} {
		e := examine(t, boltedPivot(`shank: mm: 36, length: mm: 50, kept: [`+kept+`]`, ""))
		e.want("pivot", "P", "endsKept", "", want[0], 0, "by hand")
		e.want("pivot", "P", "pushOnRings", "", want[1], 0, "by hand")
	}
	for kept, says := range map[string][2]string{
		`"clip", "none"`:                 {"Its second end is not kept", "No push-on ring keeps it"},
		`"none", "push-on ring"`:         {"Its first end is not kept", "A push-on ring keeps its second end"},
		`"none", "none"`:                 {"Neither of its ends is kept", "No push-on ring keeps it"},
		`"push-on ring", "push-on ring"`: {"Both of its ends are kept", "Push-on rings keep both of its ends"},
	} {
		e := examine(t, boltedPivot(`shank: mm: 36, length: mm: 50, kept: [`+kept+`]`, ""))
		e.text("pivot", "P", "endsFree", says[0])
		e.text("pivot", "P", "ringsKeep", says[1])
	}
}

// TestPinWanted: a pin of the length that is advised is long enough at its shortest, and one that is 0.5 mm shorter is not; so is a stock bolt.
func TestPinWanted(t *testing.T) {
	for _, pin := range []string{
		`kept: ["clip", "clip"], length: {mm: %g, plus: mm: 0.1, minus: mm: 0.4}`,
		`kept: ["clip", "collar"], length: mm: %g`,
		`kept: ["head", "lock nut"], length: mm: %g`,
	} {
		at := func(l float64) examined { return examine(t, boltedPivot("shank: mm: 28, "+fmt.Sprintf(pin, l), "")) }
		wanted := at(37).number("pivot", "P", "pinWanted", "mm")
		if spare := at(wanted).number("pivot", "P", "pinSpare", "mm"); spare < 0 {
			t.Errorf("%s: of %g mm lacks %g mm", pin, wanted, -spare)
		}
		if spare := at(wanted-0.5).number("pivot", "P", "pinSpare", "mm"); spare >= 0 && !strings.Contains(pin, "nut") {
			t.Errorf("%s: of %g mm would do, by %g mm", pin, wanted-0.5, spare)
		}
	}
}

// TestKeptRemedy: what is advised for an end that nothing keeps, or only friction, keeps it, on a pin that is long enough for that.
func TestKeptRemedy(t *testing.T) {
	for kept, says := range map[string]string{
		`"clip", "none"`:         "Keep its second end with a clip in a groove, on a pin of 39.5 mm or more; or use a bolt M8 of 50 mm with a head and a lock nut, plain for 28 mm under its head",
		`"push-on ring", "none"`: "Keep both of its ends with a clip in a groove, on a pin of 39.5 mm or more; or use a bolt M8 of 50 mm with a head and a lock nut, plain for 28 mm under its head",
		`"push-on ring", "head"`: "Keep its first end with a clip in a groove, on a pin of 38 mm or more; or use a bolt M8 of 50 mm with a head and a lock nut, plain for 28 mm under its head",
	} {
		examine(t, boltedPivot(`shank: mm: 28, length: mm: 37, kept: [`+kept+`]`, "")).text("pivot", "P", "keptRemedy", says)
	}
	for _, pin := range []string{`kept: ["clip", "clip"], length: mm: 39.5`, `kept: ["clip", "head"], length: {mm: 38, plus: mm: 0.3, minus: mm: 0.3}`, `kept: ["head", "lock nut"], length: mm: 50`} {
		e := examine(t, boltedPivot("shank: mm: 28, "+pin, ""))
		if ends, spare, thread := e.number("pivot", "P", "endsKept", ""), e.number("pivot", "P", "pinSpare", "mm"), e.number("pivot", "P", "threadInBearing", "mm"); ends != 2 || spare < 0 || thread > 0 {
			t.Errorf("%s: as advised, %g ends kept, %g mm to spare, %g mm of thread", pin, ends, spare, thread)
		}
	}
}

// TestPlainNutOnAPivot: a nut run down by hand on what swings is worked to and fro by the swing, whose angle the cosine rule gives; not where
// something locks it, where it is a lock nut, or where its torque clamps it.
func TestPlainNutOnAPivot(t *testing.T) {
	angle := func(l float64) float64 {
		return math.Acos((120*120+l*l-300*300)/(2*120*l)) * 180 / math.Pi
	}
	swing := angle(220) - angle(320)
	for nut, want := range map[string]float64{`"nut"]`: swing, `"nut"], lock: "spring washer"`: swing, `"nut"], lock: "thread lock"`: 0, `"lock nut"]`: -1, `"nut"], torque: Nm: 12`: -1} {
		e := examine(t, bench{closed: "mm: 220", stroke: "mm: 100", machine: `pivots: Q: {
			pin: {diameter: {mm: 8, fit: "h9"}, thread: "M8", shank: mm: 36, length: mm: 50, kept: ["head", ` + nut + `, turnsWith: "rocker"}
			stack: [{cylinder: "lift.front", runs: true}, {link: "rocker", thick: mm: 20}]
		}`})
		if f, ok := e.fact("pivot", "Q", "threadWorked"); want < 0 && ok {
			t.Errorf("%s: %v", nut, f)
		} else if want >= 0 {
			e.want("pivot", "Q", "threadWorked", "deg", want, 0.01, "cosine rule")
		}
	}
}

// TestScrewedEye: the rocker's end is tapped, and the cylinder swings on the bolt by what the cosine rule gives between 220 and 320 mm.
// A spring washer does not lock under transverse motion (test of DIN 65151, from memory).
func TestScrewedEye(t *testing.T) {
	angle := func(l float64) float64 {
		return math.Acos((120*120+l*l-300*300)/(2*120*l)) * 180 / math.Pi
	}
	swing := angle(220) - angle(320)
	for lock, want := range map[string]float64{"none": swing, "spring washer": swing, "jam nut": 0, "thread lock": 0} {
		e := examine(t, bench{closed: "mm: 220", stroke: "mm: 100", machine: `pivots: Q: {
			pin: {diameter: {mm: 8, fit: "h9"}, thread: "M8", shank: mm: 17, length: mm: 36, kept: ["head", "thread"], turnsWith: "rocker", lock: "` + lock + `"}
			stack: [{cylinder: "lift.front", runs: true}, {link: "rocker", thick: mm: 20, screwed: true}]
		}`})
		e.want("pivot", "Q", "threadWorked", "deg", want, 0.01, "cosine rule; DIN 65151")
	}
}

// TestHeldAndMissing counts what can't turn as it must, and what is not on the pin; what is advised mends it.
func TestHeldAndMissing(t *testing.T) {
	const post, rocker = `{link: "post", thick: mm: 8, hole: mm: 9}`, `{link: "rocker", thick: mm: 20, hole: mm: 9`
	for _, r := range []struct {
		stack           string
		locked, missing float64
		says, advises   string // of what is locked
	}{
		{post + `, ` + rocker + `, runs: true}`, 0, 0, "", ""},
		{post + `, ` + rocker + `}`, 1, 0, "is to turn with post, and link rocker is held on it",
			"let link rocker run on the pin (`runs: true`, with a hole that clears)"},
		{rocker + `, runs: true}`, 1, 1, "is to turn with post, and nothing of post holds it",
			"hold the pin in post (a layer of it without `runs`, or a block on it)"},
		{post, 0, 1, "", ""},
		{`{link: "post", thick: mm: 8, runs: true}, ` + rocker + `, runs: true}`, 1, 0, "is to turn with post, and nothing of post holds it",
			"hold the pin in post (a layer of it without `runs`, or a block on it)"},
		{`{link: "post", thick: mm: 8, runs: true}, ` + rocker + `}`, 2, 0, "is to turn with post, and link rocker is held on it and nothing of post holds it",
			"let link rocker run on the pin (`runs: true`, with a hole that clears) and hold the pin in post (a layer of it without `runs`, or a block on it); or write `turnsWith: \"rocker\"`, if that is what really holds the pin"},
	} {
		pivot := func(with string) examined {
			return examine(t, bench{machine: `pivots: P: {pin: {diameter: {mm: 8, fit: "h6"}, length: mm: 60, kept: ["clip", "clip"], turnsWith: "` + with + `"}, stack: [` + r.stack + `]}`})
		}
		e := pivot("post")
		e.want("pivot", "P", "locked", "", r.locked, 0, r.stack)
		e.want("pivot", "P", "missing", "", r.missing, 0, r.stack)
		if r.locked > 0 {
			e.text("pivot", "P", "lockedWhat", r.says)
			e.text("pivot", "P", "lockedRemedy", r.advises)
		}
		if strings.Contains(r.advises, `turnsWith: "rocker"`) {
			pivot("rocker").want("pivot", "P", "locked", "", 0, 0, "as advised")
		}
	}
}

// TestMissingLayers: two bodies are missing at Q, of which the fork takes two layers; written as advised, none is.
func TestMissingLayers(t *testing.T) {
	pivot := func(stack string) examined {
		return examine(t, bench{machine: `
			links: arm: {points: ["Q", "P"], mass: kg: 0}
			pivots: Q: {pin: {diameter: {mm: 8, fit: "h6"}, length: mm: 60, kept: ["clip", "clip"], turnsWith: "arm"}, stack: [{link: "arm", thick: mm: 8, hole: mm: 9}` + stack + `]}`}.
			withFork("width: mm: 36, gap: mm: 20"))
	}
	e := pivot("")
	e.text("pivot", "Q", "missingWhat", "lift and rocker go through this point and are not on its pin")
	e.text("pivot", "Q", "missingLayers", "`{cylinder: \"lift.front\", runs: true}` once for each cheek and `{link: \"rocker\", thick: mm: …, hole: mm: …, runs: true}`")
	const cheek = `, {cylinder: "lift.front", runs: true}`
	e = pivot(cheek + `, {link: "rocker", thick: mm: 20, hole: mm: 9, runs: true}` + cheek)
	e.want("pivot", "Q", "missing", "", 0, 0, "as advised")
	e.want("pivot", "Q", "locked", "", 0, 0, "as advised")
	pivot(cheek+cheek).text("pivot", "Q", "missingWhat", "rocker goes through this point and is not on its pin")
}

// TestLoneBlock: a spherical seat takes no moment (statics), so that the middle of what it carries must lie over it: 6.5 + 2 + 10 mm.
func TestLoneBlock(t *testing.T) {
	rocker := `{washer: ` + exactly(2) + `}, {link: "rocker", thick: ` + exactly(20) + `, hole: {mm: 8, fit: "H8"}, runs: true}`
	pivot := func(stack string) bench {
		return bench{machine: `pivots: P: {pin: {diameter: {mm: 8, fit: "h6"}, length: mm: 60, kept: ["clip", "clip"], turnsWith: "post"}, stack: [` + stack + `]}`}
	}
	examine(t, pivot(block+`, `+rocker)).want("pivot", "P", "loneBlockOffset", "mm", 18.5, 1e-9, "by hand")
	examine(t, pivot(block+`, `+rocker+`, `+block)).want("pivot", "P", "loneBlockOffset", "mm", 0, 0, "two blocks")
}

// TestOffsetLoad: an eye of 16 beside a rocker of 20 mm works 18 mm beside its middle, outside the middle third (the kern of a
// rectangle, as in any textbook of statics), and tilts it by its clearance over its length: (22 + 9) µm of H8/h6 over 20 mm. In a fork
// it works in the rocker's plane.
func TestOffsetLoad(t *testing.T) {
	atP := `pivots: P: {pin: {diameter: {mm: 8, fit: "h6"}, length: mm: 60, kept: ["clip", "clip"], turnsWith: "post"}, stack: [` + block +
		`, {link: "rocker", thick: ` + exactly(20) + `, hole: {mm: 8, fit: "H8"}, runs: true}, ` + block + `]}`
	rocker := `{link: "rocker", thick: ` + exactly(20) + `, hole: {mm: 8, fit: "H7"}}`
	e := examine(t, bench{machine: atP + `
	pivots: Q: {pin: {diameter: {mm: 8, fit: "h6"}, length: mm: 60, kept: ["clip", "clip"], turnsWith: "rocker"}, stack: [{cylinder: "lift.front", runs: true}, ` + rocker + `]}`})
	e.want("pivot", "Q", "offset", "mm", 18, 1e-9, "by hand")
	e.want("pivot", "Q", "offsetTilt", "deg", math.Atan(0.031/20)*180/math.Pi, 1e-6, "ISO 286-2: H8/h6 at 8")
	onSleeve := `pivots: P: {pin: {diameter: {mm: 8, fit: "h6"}, length: mm: 60, kept: ["clip", "clip"], turnsWith: "post"}, stack: [{link: "post", thick: mm: 8, hole: mm: 9},
		{link: "rocker", thick: ` + exactly(20) + `, hole: {mm: 12, fit: "H8"}, runs: true}], sleeve: {length: mm: 20.5, outside: {mm: 12, fit: "h6"}}}`
	e = examine(t, bench{machine: onSleeve + `
	pivots: Q: {pin: {diameter: {mm: 8, fit: "h6"}, length: mm: 60, kept: ["clip", "clip"], turnsWith: "rocker"}, stack: [{cylinder: "lift.front", runs: true}, ` + rocker + `]}`})
	e.want("pivot", "Q", "offsetTilt", "deg", math.Atan(0.038/20)*180/math.Pi, 1e-6, "ISO 286-2: H8/h6 at 12, which turns on the sleeve")
}

// TestFork: a gap of 20 +0.1 takes a rocker of 19.8 ± 0.05 with 0.15 mm to spare at worst.
func TestFork(t *testing.T) {
	b := bench{machine: `
	links: arm: {points: ["Q", "P"], mass: kg: 0}
	pivots: Q: {
		pin: {diameter: {mm: 8, fit: "h6"}, length: mm: 60, kept: ["clip", "clip"], turnsWith: "lift"}
		stack: [{cylinder: "lift.front"}, {link: "rocker", thick: {mm: 19.8, plus: mm: 0.05, minus: mm: 0.05}, hole: {mm: 8, fit: "H8"}, runs: true}, {cylinder: "lift.front"},
			{spacer: {mm: 2.5, plus: mm: 0.1, minus: mm: 0.1}}, {link: "arm", thick: mm: 8, hole: {mm: 8, fit: "H8"}, runs: true}]
	}`}
	e := examine(t, b.withFork("width: mm: 36, gap: {mm: 20, plus: mm: 0.1}"))
	e.want("pivot", "Q", "forkClearance", "mm", 20-19.85, 1e-9, "by hand")
	e.want("pivot", "Q", "lugThickness", "mm", 19.9, 1e-9, "20 − 0.1")
	e.want("pivot", "Q", "forkGapNeeded", "mm", 19.95, 1e-9, "19.85 + 0.1")
}

// TestBesideAFork counts the cheeks with an arm beside them and nothing between. A part with clearance c over a length l leans by c / l:
// H9/h6 at 8 mm (36 + 9 µm) over the fork's 36 mm and H8/h6 (22 + 9 µm) over the arm's 8 mm bring them together at a radius of 9 mm.
func TestBesideAFork(t *testing.T) {
	const arm = `{link: "arm", thick: mm: 8, hole: {mm: 8, fit: "H8"}, runs: true}`
	pivot := func(before, after, outside string) examined {
		return examine(t, bench{machine: `
			links: arm: {points: ["Q", "P"], mass: kg: 0}
			pivots: Q: {
				pin: {diameter: {mm: 8, fit: "h6"}, length: mm: 60, kept: ["clip", "clip"], turnsWith: "lift"}
				stack: [` + before + `{cylinder: "lift.front"}, {link: "rocker", thick: mm: 19.8, hole: {mm: 8, fit: "H8"}, runs: true}, {cylinder: "lift.front"}` + after + `]
			}`}.withFork("width: mm: 36, gap: {mm: 20, plus: mm: 0.1}"+outside))
	}
	const outside = ", outside: mm: 18"
	wanted := 9 * (0.045/36 + 0.031/8)
	spacer := `{spacer: {mm: 2.5, plus: mm: 0.1, minus: mm: 0.1}}`
	for _, r := range []struct {
		before, after string
		bare, packing float64 // none: 0
	}{
		{"", ", " + arm, 1, 0},
		{arm + ", ", ", " + arm, 2, 0},
		{"", ", " + spacer + ", " + arm, 0, 2.4},
		{arm + ", {washer: " + exactly(0.5) + "}, ", ", " + spacer + ", " + arm, 0, 0.5},
		{arm + ", {washer: " + exactly(0.5) + "}, {washer: " + exactly(2.5) + "}, ", ", " + spacer + ", " + arm, 0, 2.4},
		{arm + ", ", ", " + spacer + ", " + arm, 1, 2.4},
	} {
		e := pivot(r.before, r.after, outside)
		e.want("pivot", "Q", "cheeksBare", "", r.bare, 0, "counted")
		e.want("pivot", "Q", "spacerNeeded", "mm", 0.5, 1e-9, "more than they lean")
		if r.packing > 0 {
			e.want("pivot", "Q", "cheekPacking", "mm", r.packing, 1e-9, "by hand")
			e.want("pivot", "Q", "cheekLean", "mm", wanted, 1e-9, "clearance over length")
		}
	}
	loose := pivot("", `, {link: "arm", thick: mm: 8, hole: `+exactly(9)+`, runs: true}`, outside)
	loose.want("pivot", "Q", "spacerNeeded", "mm", 9*(0.045/36+1.009/8), 1e-9, "clearance over length: 9 − 7.991 over 8")
	pivot("", ", "+spacer+", "+arm, "").open("pivot", "Q", "cheekLean")
	if f, ok := pivot("", ", "+spacer, outside).fact("pivot", "Q", "cheeksBare"); ok {
		t.Errorf("no link is beside the fork, and %v of its cheeks are bare", f)
	}
}

// TestSmallEye: a 16 mm cylinder comes with a 6 mm hole in its eye (ISO 6432, from memory). For an 8 mm pin it is opened, or tapped M8
// after the 6.8 mm drill of ISO 2306, which leaves 74 % of the thread by 1.299 P (drill charts).
func TestSmallEye(t *testing.T) {
	e := examine(t, bench{bore: "mm: 16", cylinder: `standard: "ISO 6432"`, machine: `pivots: Q: {
		pin: {diameter: {mm: 8, fit: "h6"}, length: mm: 60, kept: ["clip", "clip"], turnsWith: "rocker"}
		stack: [{cylinder: "lift.front", runs: true}, {link: "rocker", thick: mm: 20, hole: {mm: 8, fit: "H7"}}]
	}`}.withEye("hole: {mm: 6, fit: \"H9\"}, width: mm: 12, outside: mm: 12"))
	e.want("fit", "Q: lift.front", "clearanceLeast", "mm", -2, 1e-9, "6 − 8")
	e.want("fit", "Q: lift.front", "wallIfOpened", "mm", 2, 1e-9, "(12 − 8) / 2")
	e.want("fit", "Q: lift.front", "wallIfTapped", "mm", 2, 1e-9, "(12 − 8) / 2")
	e.want("fit", "Q: lift.front", "drillIfTapped", "mm", 6.8, 1e-9, "ISO 2306")
	e.want("fit", "Q: lift.front", "percentIfTapped", "", 0.74, 0.005, "drill charts")
}

// TestHoleRemedies: what is advised must go through, and must leave the wall that the eye should have: 1.5 mm and half the hole, common
// practice. A bearing's bore is not opened, and of a link the wall is not known.
func TestHoleRemedies(t *testing.T) {
	for _, r := range []struct{ pin, hole, eye, kind, want string }{
		{`{mm: 10, fit: "h6"}`, `{mm: 8, fit: "H8"}`, "", "link rocker", "Use a pin of 8 mm with a class of clearance (h6 to h9), or open the hole to 10 mm H9"},
		{`{mm: 10, fit: "p6"}`, `{mm: 8, plus: mm: 0.1, minus: mm: 0.1}`, "", "link rocker", "Use a pin that is 7.9 mm or less at its thickest, or open the hole to 10.02 mm or more at its narrowest"},
		{`{mm: 8, fit: "h6"}`, "", "hole: {mm: 6, fit: \"H9\"}, width: mm: 12, outside: mm: 12", "lift.front", "Use a pin of 6 mm with a class of clearance (h6 to h9), or take a part with a larger hole: to open this one to 8 mm would leave 2 mm of wall, and 4 mm should stay"},
		{`{mm: 8, fit: "h6"}`, "", "hole: {mm: 6, fit: \"H9\"}, width: mm: 12, outside: mm: 18", "lift.front", "Use a pin of 6 mm with a class of clearance (h6 to h9), or open the hole to 8 mm H9 (that leaves 5 mm of wall), or drill 6.8 mm and tap it for the pivot bolt (5 mm of wall, 74 % of thread)"},
		// A hole that is wider than the tapping drill holds too little thread to advise one: (8 − 7.2) / (1.299 × 1.25) = 49 %.
		{`{mm: 8, fit: "h6"}`, "", "hole: {mm: 7.2, fit: \"H9\"}, width: mm: 12, outside: mm: 18", "lift.front", "Use a pin of 7.2 mm with a class of clearance (h6 to h9), or open the hole to 8 mm H9 (that leaves 5 mm of wall)"},
	} {
		b, point := bench{}, "P"
		stack := `[{link: "post", thick: mm: 8, hole: mm: 11}, {link: "rocker", thick: mm: 20, hole: ` + r.hole + `, runs: true}]`
		if r.eye != "" {
			b, point = bench{}.withEye(r.eye), "Q"
			stack = `[{cylinder: "lift.front", runs: true}, {link: "rocker", thick: mm: 20, hole: mm: 11}]`
		}
		with := map[string]string{"P": "post", "Q": "rocker"}[point]
		b.machine = `pivots: ` + point + `: {pin: {diameter: ` + r.pin + `, length: mm: 60, kept: ["clip", "clip"], turnsWith: "` + with + `"}, stack: ` + stack + `}`
		e := examine(t, b)
		e.text("fit", point+": "+r.kind, "holeRemedy", r.want)
	}
	e := examine(t, bench{machine: `pivots: P: {pin: {diameter: {mm: 10, fit: "h6"}, length: mm: 60, kept: ["clip", "clip"], turnsWith: "post"}, stack: [` + block + `, {link: "rocker", thick: mm: 20, runs: true}]}`})
	e.text("fit", "P: block on post", "holeRemedy", "Use a pin of 8 mm with a class of clearance (h6 to h9), or a block with a bore of 10 mm H7")
}

// TestThreadThroughHoles: a bolt goes in thread first, so that a thread larger than its shank must clear every hole too. ISO 261: M10
// has a nominal diameter of 10 mm. A smaller thread than the pin passes where the pin does.
func TestThreadThroughHoles(t *testing.T) {
	bolt := func(thread string) examined {
		return examine(t, bench{machine: `pivots: P: {
			pin: {diameter: {mm: 8, fit: "h6"}, thread: "` + thread + `", shank: mm: 40, length: mm: 80, kept: ["head", "nut"], turnsWith: "post"}
			stack: [{link: "post", thick: mm: 8, hole: ` + exactly(8.4) + `}, {link: "rocker", thick: mm: 20, hole: {mm: 8, fit: "H8"}, runs: true}]
		}`})
	}
	e := bolt("M10")
	e.want("fit", "P: link post", "clearanceLeast", "mm", -1.6, 1e-9, "ISO 261")
	e.want("fit", "P: link rocker", "clearanceLeast", "mm", -2, 1e-9, "ISO 261")
	e.text("fit", "P: link rocker", "holeRemedy", "Use a thread of M8 or smaller, or a thicker bolt in larger holes")
	both := examine(t, bench{machine: `pivots: P: {
		pin: {diameter: {mm: 10, fit: "h6"}, thread: "M12", length: mm: 80, kept: ["head", "nut"], turnsWith: "post"}
		stack: [{link: "post", thick: mm: 8, hole: ` + exactly(8) + `}]
	}`})
	both.text("fit", "P: link post", "holeRemedy", "Use a pin of 8 mm with a class of clearance (h6 to h9), or open the hole to 10 mm H9; and a thread that is no larger than the pin")
	for _, thread := range []string{"M6", "M8"} {
		bolt(thread).want("fit", "P: link rocker", "clearanceLeast", "mm", 0, 1e-9, "ISO 286-2: H8/h6")
	}
}

// TestTappedEye compares the thread's height for the drills of ISO 2306 with 1.2 / 1.299 P and so on as drill charts print them, and
// the wall with half of what is left.
func TestTappedEye(t *testing.T) {
	for _, r := range []struct {
		thread, drill  string
		percent, major float64
	}{
		{"M6", "5", 0.77, 6}, {"M8", "6.8", 0.74, 8}, {"M10", "8.5", 0.77, 10}, {"M8", "7", 0.62, 8}, {"M8", "7.4", 0.37, 8},
	} {
		e := examine(t, bench{}.withEye(`hole: mm: 4, width: mm: 16, outside: mm: 20, rework: {drill: mm: `+r.drill+`, tap: "`+r.thread+`"}`))
		e.want("hole", "lift.front", "threadPercent", "", r.percent, 0.006, "drill charts")
		e.want("hole", "lift.front", "wall", "mm", (20-r.major)/2, 1e-9, "by hand")
		e.want("hole", "lift.front", "wallLeast", "mm", max(1.5, r.major/2), 1e-9, "1.5 mm and half the hole: common practice")
	}
}
