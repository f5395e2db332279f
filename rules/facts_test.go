package rules_test

import (
	"math"
	"testing"

	"trammel.example/checks"
)

// TestFactsAreDefined holds the facts that Examine sets over all examples and faults against facts.cue, both ways.
func TestFactsAreDefined(t *testing.T) {
	type key struct{ kind, fact string }
	defined := map[key]checks.Definition{}
	for kind, facts := range definitions(t) {
		for _, d := range facts {
			defined[key{kind, d.Name}] = d
		}
	}
	set := map[key]bool{}
	for _, j := range everything(t) {
		for _, s := range j.Subjects {
			for name, f := range s.Facts {
				k := key{s.Kind, name}
				d, ok := defined[k]
				switch {
				case !ok:
					t.Errorf("%s: %s of %s %s is not in facts.cue", j.name, name, s.Kind, s.Name)
				case f.Kind == checks.Open:
					if f.Why == "" {
						t.Errorf("%s: %s of %s %s is open for no reason", j.name, name, s.Kind, s.Name)
					}
				case f.Kind != d.Kind || f.Dim != d.Dim:
					t.Errorf("%s: %s of %s %s is kind %v of %q, and facts.cue says %v of %q", j.name, name, s.Kind, s.Name, f.Kind, f.Dim, d.Kind, d.Dim)
				default:
					set[k] = true
				}
				if f.Kind == checks.Quantity && (math.IsNaN(f.SI) || math.IsInf(f.SI, 0)) {
					t.Errorf("%s: %s of %s %s is %v", j.name, name, s.Kind, s.Name, f.SI)
				}
			}
		}
	}
	for k := range defined {
		if !set[k] {
			t.Errorf("facts.cue defines %s of a %s, and no example or fault has it", k.fact, k.kind)
		}
	}
}
