package rules_test

import (
	"math"
	"slices"
	"testing"

	"trammel.example/checks"
	"trammel.example/rules"
	"trammel.example/schema"
)

// TestStrengthsAreMarked demands of every rule on a force, stress, torque or energy that its fact is marked as one on strength, or that it
// stands here with the reason why it is none.
func TestStrengthsAreMarked(t *testing.T) {
	none := map[string]string{
		"touch-force":     "of people, not of parts",
		"touch-energy":    "of people, not of parts",
		"touch-blow":      "of people, not of parts",
		"gap-crushes":     "of people, not of parts",
		"spring-too-weak": "the spring moves a load, it does not hold anything together",
	}
	kinds := definitions(t)
	marked := 0
	for _, r := range shipped(t) {
		i := slices.IndexFunc(kinds[r.Kind], func(d checks.Definition) bool { return d.Name == r.Measure.Fact })
		if i < 0 {
			continue
		}
		d := kinds[r.Kind][i]
		loads := d.Kind == checks.Quantity && slices.Contains([]schema.Dimension{schema.ForceDim, schema.StressDim, schema.TorqueDim, schema.EnergyDim}, d.Dim)
		_, excepted := none[r.Name]
		if loads && r.Strength == excepted || excepted && !loads {
			t.Errorf("%s measures %s (%s): on strength %v", r.Name, d.Name, d.Dim, r.Strength)
		}
		if r.Strength {
			marked++
			if r.Limit.Op == rules.MustBe || d.Kind != checks.Quantity {
				t.Errorf("%s: a strength is a quantity with a limit", r.Name)
			}
		}
	}
	if marked < 25 {
		t.Errorf("%d rules are on strength", marked)
	}
}

// TestUtilised: the share is the load by the strength whichever is measured, and of 1 and more exactly where the rule itself fails.
func TestUtilised(t *testing.T) {
	seen := 0
	for _, j := range everything(t) {
		for _, f := range j.Findings {
			if (f.Utilised != nil) != (f.Rule.Strength && (f.Outcome == rules.Pass || f.Outcome == rules.Fail)) {
				t.Errorf("%s of %s: %s, utilised %v", f.Rule.Name, f.Subject.Name, f.Outcome, f.Utilised)
			}
			if f.Utilised == nil {
				continue
			}
			seen++
			u := f.Utilised
			measured, limit := u.Load, u.Strength
			if f.Rule.Limit.Op == rules.AtLeast {
				measured, limit = limit, measured
			}
			if measured != f.Value || f.Rule.Prefer == nil && limit != f.Limit {
				t.Errorf("%s of %s: %v of %v, and the finding has %v %s %v", f.Rule.Name, f.Subject.Name, u.Load, u.Strength, f.Value, f.Op, f.Limit)
			}
			if !math.IsInf(u.Share, 1) && math.Abs(u.Share*u.Strength.SI-max(u.Load.SI, 0)) > 1e-9*u.Load.SI {
				t.Errorf("%s of %s: %v of %v is not %g", f.Rule.Name, f.Subject.Name, u.Load, u.Strength, u.Share)
			}
			if fails := f.Outcome == rules.Fail && f.Op == f.Rule.Limit.Op && f.Limit == map[bool]rules.Value{true: u.Strength, false: u.Load}[f.Op == rules.AtMost]; fails != (u.Share > 1+1e-9) {
				t.Errorf("%s of %s: %s with %g of its strength used", f.Rule.Name, f.Subject.Name, f.Outcome, u.Share)
			}
		}
	}
	if seen < 200 {
		t.Errorf("only %d were looked at", seen)
	}
}
