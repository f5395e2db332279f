package people

import (
	"cmp"
	"math"
	"slices"
	"strings"
	"testing"
)

// EN 953:1997+A1:2009 clause 5.2.5.2 and EN ISO 23125:2010+A1:2012 clause 5.2.2.2 b), as quoted in print: 150 N and 10 J with a
// protective device that reopens the guard, 75 N and 4 J without.
func TestContactAgainstQuotedClauses(t *testing.T) {
	if got, want := [4]float64{ReopeningForce, ReopeningEnergy, ContactForce, ContactEnergy}, [4]float64{150, 10, 75, 4}; got != want {
		t.Errorf("got %v, want %v", got, want)
	}
}

func TestLeastGapAgainstPublishedTables(t *testing.T) {
	for _, r := range []struct {
		source, part string
		want         float64 // mm
	}{
		{"AUVA safety lexicon, entry Safety distances, for EN 349", "body", 500},
		{"same", "head", 300},
		{"same", "leg", 180},
		{"same", "foot", 120},
		{"same", "toes", 50},
		{"same", "arm", 120},
		{"same", "hand", 100},
		{"same", "fist", 100},
		{"same", "finger", 25},
		{"ISO 13854:2017, from memory", "wrist", 100},
	} {
		got, err := LeastGap(r.part)
		if err != nil || math.Abs(got-r.want*mm) > 1e-12 {
			t.Errorf("%s: %s: got %g mm, %v; want %g", r.source, r.part, got/mm, err, r.want)
		}
	}
}

func TestGapsAreListedFromTheLargest(t *testing.T) {
	all := Gaps()
	if !slices.IsSortedFunc(all, func(a, b Gap) int { return cmp.Compare(b.Least, a.Least) }) {
		t.Errorf("out of order: %v", all)
	}
	for _, g := range all {
		if got, err := LeastGap(g.Part); err != nil || got != g.Least {
			t.Errorf("%s: listed %g, looked up %g, %v", g.Part, g.Least, got, err)
		}
	}
	all[0].Least = 0
	if got, _ := LeastGap(all[0].Part); got == 0 {
		t.Error("the list is not a copy")
	}
}

func TestLeastGapNamesTheParts(t *testing.T) {
	for _, part := range []string{"", "Hand", "tail"} {
		_, err := LeastGap(part)
		if err == nil {
			t.Fatalf("%q has a gap", part)
		}
		for _, g := range Gaps() {
			if !strings.Contains(err.Error(), g.Part) {
				t.Errorf("%v does not name %s", err, g.Part)
			}
		}
	}
}
