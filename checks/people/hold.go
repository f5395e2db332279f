package people

import "slices"

// Hold of a part of the body in a gap that goes on closing.
//
//	F <= F_max      for each part of the body that is too thick for what is left of the gap
//
// Symbols: F N, the force with which the gap closes; F_max N, by the part of the body.
// Range: broad, rounded surfaces; an edge or a point does harm with far less.
//
// Source: ISO/TS 15066:2016 table A.2, forces that last, from memory: pain thresholds of healthy adults at robots made to work beside people, borrowed
// here as a comparison. It has no figure for feet: the 75 N that a powered guard may close with stand in.

// A Hold is the most (N) that may hold a part of the body.
type Hold struct {
	Name  string
	Limit float64
}

// holds by the parts of the body of Gaps: of each the place that bears least. Source: ISO/TS 15066:2016 table A.2, from memory.
var holds = map[string]Hold{
	"body":   {"a belly", 110},
	"head":   {"a face", 65},
	"leg":    {"a lower leg", 130},
	"arm":    {"an upper arm", 150},
	"foot":   {"a foot", ContactForce},
	"hand":   {"a hand or finger", 140},
	"wrist":  {"a hand or finger", 140},
	"fist":   {"a hand or finger", 140},
	"toes":   {"a foot", ContactForce},
	"finger": {"a hand or finger", 140},
}

// Held is the part of the body that bears least of those that a gap holds which opened to a width (m) and has closed to another (m), of the ones at
// risk of Gaps. It is false where it holds none.
func Held(opens, closes float64, atRisk string) (Hold, bool) {
	var least Hold
	for _, g := range gaps {
		in := g.Least <= opens+roundoff && g.Least > closes+roundoff && (atRisk == "body" || slices.Contains(together[atRisk], g.Part))
		if h := holds[g.Part]; in && (least.Name == "" || h.Limit < least.Limit) {
			least = h
		}
	}
	return least, least.Name != ""
}
