package people

// Gaps that don't crush.
//
//	gap >= a      for the largest part of the body that can get into it
//
// Symbols: gap m, the least distance of two parts that move towards each other, or of one towards a fixed part; a least gap m.
// Range: crushing only; not impact, shearing or drawing in. Bulky clothing, safety boots and tools in hand need more.
//
// Source: ISO 13854:2017, the table of minimum gaps (EN 349:1993+A1:2008 has the same), confirmed by the safety lexicon of AUVA, the
// Austrian workers' compensation board, entry "Safety distances". It names the hand as "hands (fists)"; the wrist beside it is from
// memory.

import (
	"fmt"
	"math"
	"slices"
	"strings"
)

// Gap is the least gap in which a part of the body is not crushed.
type Gap struct {
	Part  string
	Least float64 // m
}

// gaps from the largest to the smallest.
var gaps = []Gap{
	{"body", 0.500},
	{"head", 0.300},
	{"leg", 0.180},
	{"arm", 0.120},
	{"foot", 0.120},
	{"hand", 0.100},
	{"wrist", 0.100},
	{"fist", 0.100},
	{"toes", 0.050},
	{"finger", 0.025},
}

// Gaps lists the parts of the body and their least gaps, from the largest gap to the smallest. Source: ISO 13854:2017.
func Gaps() []Gap { return slices.Clone(gaps) }

// LeastGap is the least gap (m) for a part of the body. The error names the parts there are. Source: ISO 13854:2017.
func LeastGap(part string) (float64, error) {
	names := make([]string, len(gaps))
	for i, g := range gaps {
		if g.Part == part {
			return g.Least, nil
		}
		names[i] = g.Part
	}
	return 0, fmt.Errorf("%q is no part of the body with a least gap: %s", part, strings.Join(names, ", "))
}

// together are the parts of the body that come with one: who puts in an arm puts in its hand and fingers.
var together = map[string][]string{
	"finger": {"finger"},
	"hand":   {"finger", "hand", "wrist", "fist"},
	"arm":    {"finger", "hand", "wrist", "fist", "arm"},
	"foot":   {"toes", "foot"},
	"leg":    {"toes", "foot", "leg"},
	"head":   {"finger", "hand", "wrist", "fist", "arm", "head"},
}

// Enters is the largest part of the body that gets into a gap that opens to a width (m), of those that are at risk there: "body" for all of
// it, or the farthest part that gets there. It is false where none gets in. What closes to less than its least gap crushes it. Source: ISO
// 13854:2017; that a part gets in from its least gap on is how the standard is read here.
func Enters(opens float64, atRisk string) (Gap, bool) {
	for _, g := range gaps {
		if opens >= g.Least-roundoff && (atRisk == "body" || slices.Contains(together[atRisk], g.Part)) {
			return g, true
		}
	}
	return Gap{}, false
}

// Largest is the least gap (m) of the largest part of the body at risk: what stays wider crushes nothing. Source: ISO 13854:2017.
func Largest(atRisk string) float64 {
	g, _ := Enters(math.Inf(1), atRisk)
	return g.Least
}

// NextAbove is the smallest part of the body at risk that a gap closed to a width (m) crushes: what opens less far than its least gap crushes
// none. It is false where the gap is wide enough for all. Source: ISO 13854:2017.
func NextAbove(closes float64, atRisk string) (Gap, bool) {
	for _, g := range slices.Backward(gaps) {
		if g.Least > closes+roundoff && (atRisk == "body" || slices.Contains(together[atRisk], g.Part)) {
			return g, true
		}
	}
	return Gap{}, false
}

// HandReach (m) is how far a hand gets round a place that it touches: with the arm held up to the wrist. Source: ISO 13857:2019 table 3,
// reach round with limited movement, from memory.
const HandReach = 0.230
