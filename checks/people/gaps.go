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
	{"foot", 0.120},
	{"arm", 0.120},
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
