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

// The figures are those of EN 349 as the AUVA safety lexicon prints them: finger 25 mm, toes 50, hand 100, arm and foot 120, leg 180, head
// 300, body 500.
func TestEnters(t *testing.T) {
	for _, r := range []struct {
		opens  float64 // mm
		atRisk string
		part   string
		least  float64 // mm
	}{
		{24.9, "body", "", 0},
		{25, "body", "finger", 25},
		{50, "body", "toes", 50},
		{50, "arm", "finger", 25},
		{99.9, "arm", "finger", 25},
		{100, "arm", "hand", 100},
		{120, "body", "arm", 120},
		{400, "arm", "arm", 120},
		{400, "hand", "hand", 100},
		{400, "finger", "finger", 25},
		{179.9, "leg", "foot", 120},
		{180, "leg", "leg", 180},
		{49, "foot", "", 0},
		{299, "head", "arm", 120},
		{300, "head", "head", 300},
		{499, "body", "head", 300},
		{500, "body", "body", 500},
	} {
		g, in := Enters(r.opens*mm, r.atRisk)
		if in != (r.part != "") || g.Part != r.part || math.Abs(g.Least-r.least*mm) > 1e-12 {
			t.Errorf("%g mm, %s at risk: got %q at %g mm, want %q at %g", r.opens, r.atRisk, g.Part, g.Least/mm, r.part, r.least)
		}
	}
}

// By the same figures: a gap that closes to 60 mm crushes no finger and no toe, and a hand if one gets in.
func TestNextAbove(t *testing.T) {
	for _, r := range []struct {
		closes float64 // mm
		atRisk string
		least  float64 // mm; 0 for none
	}{{0, "body", 25}, {25, "body", 50}, {60, "body", 100}, {60, "foot", 120}, {25, "finger", 0}, {499, "body", 500}, {500, "body", 0}, {150, "arm", 0}} {
		g, found := NextAbove(r.closes*mm, r.atRisk)
		if found != (r.least > 0) || math.Abs(g.Least-r.least*mm) > 1e-12 {
			t.Errorf("closed to %g mm, %s at risk: got %q at %g mm, want %g", r.closes, r.atRisk, g.Part, g.Least/mm, r.least)
		}
	}
}

// By the same figures.
func TestLargest(t *testing.T) {
	for atRisk, want := range map[string]float64{"body": 500, "head": 300, "leg": 180, "foot": 120, "arm": 120, "hand": 100, "finger": 25} {
		if got := Largest(atRisk); math.Abs(got-want*mm) > 1e-12 {
			t.Errorf("%s: got %g mm, want %g", atRisk, got/mm, want)
		}
	}
}
