package rules_test

import (
	"math"
	"testing"

	"trammel.example/checks"
	"trammel.example/schema"
)

// TestLifterFacts compares the main numbers of the tray lifter with what they are by hand, so that a wrong number shows where it is made
// and not only in a verdict.
//
// The arms are a parallelogram: carrier and tray shift without turning. With AB = 140, BD = 250, BK = √(219.2² + 63.93²) = 228.332 mm,
// L = 232 + s the cylinder and φ the arms' angle above the horizontal (K lies on the line from B to D within 0.003°):
//
//	L² = AB² + BK² + 2 AB BK sin φ         (cosines in the triangle A B K)
//	dφ/ds = L / (AB BK cos φ)
//	rod force = Σ m g dy/ds = g L / (AB BK) (1.2 × 250 + 2.5 × 250 + 0.16 × 125 + 0.16 × (250 + 228.332)/3): cos φ falls out
//
// s = 0: φ −16.2699°; s = 80: φ +23.6125°. The pressures, sums and windows are the spec's numbers added by hand; thrust is p A
// (ISO 6432); tolerances are ISO 286-2 (H7 +15, H8 +22, H9 +36, h6 −9 µm from 6 to 10 mm), ISO 2768-1 m and js15 of ISO 286-2
// (0.35 mm for 12, 0.42 for 30, 0.5 above 30); thread areas after FED-STD-H28/2 with the limits of ISO 965-2.
func TestLifterFacts(t *testing.T) {
	rows := []struct {
		kind, name, fact string
		want             float64
		unit             string
		within           float64
		by               string
	}{
		{"link", "lower", "turns", 39.8824, "deg", 2e-3, "φ(80) − φ(0)"},
		{"link", "upper", "turns", 39.8824, "deg", 2e-3, "the arms stay parallel"},
		{"link", "carrier", "turns", 0, "deg", 1e-3, "the tray stays level"},
		{"cylinder", "lift", "strokeReached", 80, "mm", 1e-9, "no dead point before φ = 90°, at s = 140 + 228.33 − 232"},
		{"cylinder", "lift", "deadLength", 152, "mm", 1e-9, "232 − 80"},
		{"cylinder", "lift", "set", 5, "bar", 1e-9, "the regulator's"},
		{"cylinder", "lift", "highest", 8, "bar", 1e-9, "the relief valve's"},
		{"cylinder", "lift", "thrustSet", 245.437, "N", 1e-3, "0.5 MPa × π/4 × 25²"},
		{"cylinder", "lift", "thrustHighest", 392.699, "N", 1e-3, "0.8 MPa × π/4 × 25²"},
		{"cylinder", "lift", "thrustOut", 208.621, "N", 1e-3, "0.85 × 245.437"},
		{"cylinder", "lift", "thrustIn", 175.242, "N", 1e-3, "0.85 × 0.5 MPa × π/4 × (25² − 10²)"},
		{"cylinder", "lift", "loadOut", 92.892, "N", 5e-3, "rod force at L = 312 (69.07 N at 232)"},
		{"cylinder", "lift", "loadIn", 0, "N", 1e-9, "the load never pulls"},
		{"cylinder", "lift", "loadRatioOut", 0.44527, "", 5e-5, "92.892 / 208.621"},
		{"cylinder", "lift", "boreForHalf", 23.592, "mm", 2e-3, "25 √(0.44527 / 0.5)"},
		{"cylinder", "lift", "setForHalf", 4.4527, "bar", 5e-4, "5 × 0.44527 / 0.5"},
		{"cylinder", "lift", "pathWithstands", 900, "N", 1e-9, "the arms, the least of 900, 1400 and 1500"},
		{"cylinder", "lift", "setForPath", 18.3346, "bar", 1e-3, "900 N / (π/4 × 25²)"},
		{"cylinder end", "lift.rear", "swing", 28.7594, "deg", 2e-3, "angle at A, cos α = (140² + L² − BK²) / (280 L): 70.869° − 42.110°"},
		{"cylinder end", "lift.front", "swing", 11.1230, "deg", 2e-3, "39.8824° − 28.7594°"},

		{"pivot", "A", "gapLeast", 0.12, "mm", 1e-9, "50.3 − 50 − (0.03 + 0.03 + 6 × 0.02)"},
		{"pivot", "A", "gapMost", 0.48, "mm", 1e-9, "50.3 − 50 + 0.18"},
		{"pivot", "B", "gapLeast", 0.18, "mm", 1e-9, "24.3 − 24 − (0.05 + 0.03 + 2 × 0.02)"},
		{"pivot", "D", "gapMost", 0.42, "mm", 1e-9, "50.3 − 50 + 0.05 + 0.03 + 2 × 0.02"},
		{"pivot", "A", "pinSpare", 1.97, "mm", 1e-9, "82 − 0.3 − (50.33 + 2 × 13.2 + 2 × 1.5), DIN 471"},
		{"pivot", "B", "pinSpare", 1.95, "mm", 1e-9, "56 − 0.3 − (24.35 + 2 × 13.2 + 2 × 1.5), DIN 471"},
		{"pivot", "C", "pinSpare", 0.15, "mm", 1e-9, "70 − 0.3 − (50.35 + 2 × 8.1 + 2 × 1.5), DIN 471"},
		{"pivot", "K", "pinSpare", 2.4, "mm", 1e-9, "42 − 0.3 − (36 + 0.3 + 2 × 1.5), the fork's width, DIN 471"},
		{"pivot", "K", "forkClearance", 0.37, "mm", 1e-9, "20.4 − 20.03"},
		{"fit", "A: block on post", "clearanceMost", 0.024, "mm", 1e-9, "H7/h6 at 8: 15 + 9 µm"},
		{"fit", "A: link lower", "clearanceMost", 0.031, "mm", 1e-9, "H8/h6 at 8: 22 + 9 µm"},
		{"fit", "K: lift.front", "clearanceMost", 0.045, "mm", 1e-9, "H9/h6 at 8: 36 + 9 µm"},
		{"fit", "K: lift.front", "clearanceLeast", 0, "mm", 1e-9, "H/h: nothing at the least"},
		{"hole", "lift.rear", "wall", 5, "mm", 1e-9, "(18 − 8) / 2"},
		{"hole", "valve to bench", "wall", 6, "mm", 1e-9, "8 − 4/2"},
		{"hole", "valve to bench", "threadPercent", 0.7698, "", 5e-4, "(4 − 3.3) / (1.299 × 0.7)"},

		{"fastening", "block to post", "gripMost", 6.7, "mm", 1e-9, "washer 1.1 + 5.6"},
		{"fastening", "block to post", "lengthLeast", 11.95, "mm", 1e-6, "6.7 + lip 1.6 + nut 3.3 + 0.35"},
		{"fastening", "block to post", "lengthMost", 13.55, "mm", 1e-6, "6.3 + slot 8.1 − 0.5 − 0.35"},
		{"fastening", "block to post", "tipClearance", 2.05, "mm", 1e-9, "8.1 − (12.35 − 6.3)"},
		{"fastening", "block to post", "cavitySpare", 3, "mm", 1e-9, "8.1 − 1.6 − 3.5"},
		{"fastening", "block to post", "clamp", 3000, "N", 1e-6, "3 N·m / (0.2 × 5 mm)"},
		{"fastening", "block to post", "proofShare", 0.3643, "", 1e-3, "3000 / (580 × 14.2)"},
		{"fastening", "block to post", "pullOutAllowed", 3333.33, "N", 0.01, "5000 / 1.5"},
		{"fastening", "block to post", "torqueForPullOut", 3.33333, "Nm", 1e-4, "0.2 × 5 mm × 3333.33"},
		{"fastening", "block to post", "stripForce", 9525, "N", 10, "ASn 10.000 mm²/mm × 3.3 × 500 / √3"},
		{"fastening", "block to post", "stripForceNeeded", 5625, "N", 1e-6, "1.5 × 1.25 × 3000"},
		{"fastening", "carrier plates", "lengthLeast", 25.32, "mm", 1e-6, "washers 2 × 1.8 + 8.1 + 4.2 + lock nut 8 + 1 + 0.42"},
		{"fastening", "carrier plates", "pitchesProud", 5.68, "", 1e-6, "29.58 − 15.9 − 8"},
		{"fastening", "carrier plates", "stripForce", 19567, "N", 20, "ASs 8.6458 mm²/mm × 4.9 × 800 / √3: the nylon ring bears nothing"},
		{"fastening", "carrier plates", "torqueForProof", 10.4922, "Nm", 0.01, "0.2 × 6 mm × 0.75 × 580 × 20.1"},
		{"fastening", "valve to bench", "threadEngagement", 10.48, "mm", 1e-9, "30 − 0.42 − (0.9 + 18.2)"},
		{"fastening", "valve to bench", "threadEngagementNeeded", 3.6455, "mm", 0.01, "1.5 × 1.25 × 1.5 N·m / (0.2 × 4 mm) / (ASn 7.7690 mm²/mm × 215 / √3)"},
		{"fastening", "valve to bench", "tipClearance", 0.08, "mm", 1e-9, "12 − (30.42 − 18.5)"},
		{"fastening", "valve to bench", "engagementDiameters", 2.62, "", 1e-9, "10.48 / 4"},
		{"fastening", "valve to bench", "drilledNeeded", 14.1, "mm", 1e-9, "12 + 3 × 0.7"},
		{"fastening", "valve to bench", "stripForce", 10107, "N", 20, "ASn 7.7690 mm²/mm × 10.48 × 215 / √3"},

		{"part", "source", "pressure", 8, "bar", 1e-9, "before the regulator: the relief valve's"},
		{"part", "clean", "pressure", 8, "bar", 1e-9, "before the regulator"},
		{"part", "line", "pressure", 8, "bar", 1e-9, "its body has what comes in"},
		{"part", "shift", "pressure", 5, "bar", 1e-9, "behind the regulator"},
		{"part", "lift", "pressureFailed", 8, "bar", 1e-9, "with the regulator open"},
		{"part", "clean", "proof", 15, "bar", 1e-9, "1.5 × 10"},
		{"tube", "main", "rating", 12, "bar", 1e-9, "listed at 40 °C"},
		{"tube", "up", "rating", 8.5, "bar", 1e-9, "listed at 40 °C"},
		{"regulator", "line", "setShare", 0.5625, "", 1e-9, "(5 − 0.5) / (8.5 − 0.5)"},
		{"regulator", "line", "overSet", 0.5, "bar", 1e-9, "5.5 − 5"},
		{"supply", "source", "reliefRatio", 1.142857, "", 1e-6, "8 / 7"},
		{"supply", "source", "reliefAdvised", 7.7, "bar", 1e-9, "1.1 × 7"},
		{"supply", "source", "weakest", 10, "bar", 1e-9, "compressor and filter; the main tube bears 12 at 40 °C"},

		{"plane", "lift", "outOfPlane", 0, "mm", 1e-9, "all stacks are symmetric"},
		{"pair", "upper and lift barrel", "distance", 13.6885, "mm", 3e-3, "s = 0: from the barrel's front corner, 170 along and 15 beside A K at 19.130°, to B K at −16.270°, less 10"},
		{"pair", "upper and lift barrel", "needed", 3.076, "mm", 1e-9, "3 + 0.045 (H9/h6 at 8) + 0.031 (H8/h6 at 8)"},
		{"room", "tray-lifter", "unseen", 0, "", 0, "all have outlines"},
		{"hose", "down", "longest", 312, "mm", 1e-6, "A K is the cylinder, 232 + 80"},
		{"hose", "down", "nearest", 232, "mm", 0.01, "A K is the cylinder, 232 closed"},
		{"hose", "down", "lengthNeeded", 343.2, "mm", 1e-6, "1.1 × 312"},
		{"hose", "down", "bend", 89.36, "mm", 1e-2, "elastica by SciPy's ellipk, ellipe and brentq: 350 long over 232"},

		{"zone", "passers", "sweptRadius", 366.785, "mm", 0.01, "T at s = 80: (250 cos φ + 90, 250 sin φ + 55) from A, and half of 24 mm more"},
		{"zone", "passers", "margin", 233.215, "mm", 0.01, "600 − 366.785"},
		{"zone", "gardener", "touchForce", 129.855, "N", 0.01, "245.437 / (250 dφ/ds = 1.89009 at s = 0)"},
		{"zone", "gardener", "touchForceHighest", 207.767, "N", 0.01, "129.855 × 8 / 5"},
		{"zone", "gardener", "setForTouch", 2.88785, "bar", 1e-3, "5 × 75 / 129.855"},
	}
	facts := map[string]checks.Fact{}
	for _, j := range everything(t) {
		if j.name != "tray-lifter" {
			continue
		}
		for _, s := range j.Subjects {
			for name, f := range s.Facts {
				facts[s.Kind+"|"+s.Name+"|"+name] = f
			}
		}
	}
	for _, r := range rows {
		f, ok := facts[r.kind+"|"+r.name+"|"+r.fact]
		if !ok || f.Kind != checks.Quantity {
			t.Errorf("%s %s has no %s: %v", r.kind, r.name, r.fact, f)
			continue
		}
		u, ok := schema.UnitOf(f.Dim, r.unit)
		if !ok {
			t.Fatalf("%s: %q is no unit of %s", r.fact, r.unit, f.Dim)
		}
		if got := u.From(f.SI); math.Abs(got-r.want) > r.within {
			t.Errorf("%s %s: %s is %.6g %s, by hand %.6g (%s)", r.kind, r.name, r.fact, got, r.unit, r.want, r.by)
		}
	}
}
