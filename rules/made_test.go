package rules_test

import (
	"math"
	"testing"

	"trammel.example/checks"
	"trammel.example/schema"
)

// TestMadeLifter compares what made lengths do to the tray lifter with what they do by hand.
//
// One arm longer by e turns the carrier about the other's end by e / (140 cos φ) to first order, φ the arms' angle: the two ends of the
// carrier are 140 mm apart, upright. At s = 80 φ is 23.6125°; T lies (90, −85) mm from D.
//
// Three arms at equal distances, the middle one long by d and the outer ones short by d, miss each other by 2 d in the middle. Forces in
// equilibrium there are 1 in the middle arm and ½ in each outer one (moments on the carrier), each at both ends: 2 d is shared out to
// Σ|s| = 4 times the play of a pivot, half of its clearance. The clearances are ISO 286-2, in the middle of the fits, at 8 mm: H8/h6
// 11 + 4.5 µm in the arm, H7/h6 7.5 + 4.5 µm in what holds the pin.
func TestMadeLifter(t *testing.T) {
	rows := []struct {
		fault, kind, name, fact string
		want                    float64
		unit                    string
		within                  float64
		by                      string
	}{
		{"brackets-counted", "tool", "T", "turn", 0.13399, "deg", 3e-4, "0.3 / (140 cos 23.6125°)"},
		{"brackets-counted", "tool", "T", "miss", 0.28951, "mm", 6e-4, "0.3 / (140 cos 23.6125°) × √(90² + 85²)"},
		{"brackets-not-counted", "made link", "lower", "off", 22, "mm", 1e-6, "2 × 11"},
		{"ends-let-in", "made linkage", "tray-lifter", "within", 56.332, "mm", 0.06, "228.332 − (312 − 140): the triangle A B K with the rod out"},
		{"three-arms-sawn", "made linkage", "tray-lifter", "gap", 0.8, "mm", 4e-3, "2 × 0.4"},
		{"three-arms-sawn", "made linkage", "tray-lifter", "clearanceNeeded", 0.4, "mm", 2e-3, "2 × 0.8 / 4"},
		{"three-arms-sawn", "made linkage", "tray-lifter", "clearance", 0.0275, "mm", 1e-4, "15.5 + 12 µm at each pivot"},
		{"three-arms-sawn", "made linkage", "tray-lifter", "within", 0.02, "mm", 1e-9, "0.0275 mm, in steps of 0.01 mm"},
		{"three-arms-drilled-together", "made linkage", "tray-lifter", "clearanceNeeded", 0.003, "mm", 2e-5, "2 × 0.006 / 4"},
	}
	facts := map[string]checks.Fact{}
	for _, j := range everything(t) {
		for _, s := range j.Subjects {
			for name, f := range s.Facts {
				facts[j.name+"|"+s.Kind+"|"+s.Name+"|"+name] = f
			}
		}
	}
	for _, r := range rows {
		f, ok := facts[r.fault+"|"+r.kind+"|"+r.name+"|"+r.fact]
		if !ok || f.Kind != checks.Quantity {
			t.Errorf("%s: %s %s has no %s: %v", r.fault, r.kind, r.name, r.fact, f)
			continue
		}
		u, _ := schema.UnitOf(f.Dim, r.unit)
		if got := u.From(f.SI); !(math.Abs(got-r.want) <= r.within) {
			t.Errorf("%s: %s of %s %s is %.6g %s, by hand %.6g (%s)", r.fault, r.fact, r.kind, r.name, got, r.unit, r.want, r.by)
		}
	}
}
