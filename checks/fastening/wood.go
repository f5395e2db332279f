package fastening

import (
	"fmt"
	"math"
)

// Screws in wood and in wood-based board, pulled along their axis and pushed across it.
//
//	wood     p = 108.25 G² D L                          along, in side grain; 3/4 of it in end grain
//	board    p = 41.1 √D (L − D/3)^1.25 G²              along, in its face; 31.8 in its edge
//	across   p = K D² min(1, L/7D), K by the density    2/3 of it in end grain
//
// Symbols: p along: mean of what pulls a screw out; across: what it bears before it stays bent, N; G density of the wood by that of water,
// oven-dry; D diameter of the screw over its thread and L length of thread in the wood, mm.
//
// Range: in a lead hole of the usual size, seasoned wood; a part of metal that lies on the wood. End grain is unreliable. Plywood by the
// formula for wood; particle board and MDF, three quarters to twice as strong in its face, by that for board. A fifth of what pulls out is the
// usual working load; of what it bears across, 1/1.6, and half where it shakes.
//
// Source: Wood Handbook (Forest Products Laboratory), chapter 8: withdrawal of wood screws, of screws in particle board, lateral resistance
// of wood screws; from memory.

// UsualWoodReserve is what a screw in wood is reckoned to bear less than its mean along its axis, and UsualLateralReserve less than what bends it
// across.
const (
	UsualWoodReserve    = 5.0
	UsualLateralReserve = 2.0
)

// A Grain is what a screw goes into.
type Grain int

const (
	SideGrain Grain = iota
	EndGrain
	BoardFace
	BoardEdge
)

// endGrainAlong and endGrainAcross are what is left of a screw's hold where it goes in along the grain.
const (
	endGrainAlong  = 0.75
	endGrainAcross = 2. / 3
)

// lateral are K in N/mm² up to a density, for softwood: the least of the kinds of wood.
var lateral = []struct{ gravity, k float64 }{{0.42, 23.17}, {0.47, 29.79}, {math.Inf(1), 36.40}}

// fullLateral is how many diameters of thread in the wood bear all that a screw can across.
const fullLateral = 7

// Withdrawal returns the pull in N at which a screw comes out. Diameter and thread length in m, gravity G. It returns an error for values
// not above zero, and for a screw in board that is less deep than a third of its diameter.
func Withdrawal(in Grain, d, length, gravity float64) (float64, error) {
	if err := woodScrew(d, length, gravity); err != nil {
		return 0, err
	}
	mm, deep := d*1e3, length*1e3
	switch in {
	case BoardFace, BoardEdge:
		k := 41.1
		if in == BoardEdge {
			k = 31.8
		}
		if deep <= mm/3 {
			return 0, fmt.Errorf("a screw in board goes in deeper than a third of its diameter, found %g mm", deep)
		}
		return k * math.Sqrt(mm) * math.Pow(deep-mm/3, 1.25) * gravity * gravity, nil
	case EndGrain:
		return endGrainAlong * 108.25 * gravity * gravity * mm * deep, nil
	}
	return 108.25 * gravity * gravity * mm * deep, nil
}

// Lateral returns the force in N across a screw that it bears before it stays bent. Diameter and thread length in m, gravity G. It returns
// an error for values not above zero.
func Lateral(in Grain, d, length, gravity float64) (float64, error) {
	if err := woodScrew(d, length, gravity); err != nil {
		return 0, err
	}
	k := 0.0
	for _, step := range lateral {
		if k = step.k; gravity <= step.gravity {
			break
		}
	}
	if in == EndGrain || in == BoardEdge {
		k *= endGrainAcross
	}
	return k * d * d * 1e6 * min(1, length/(fullLateral*d)), nil
}

func woodScrew(d, length, gravity float64) error {
	return positive(quantity{"screw diameter", d}, quantity{"thread in the wood", length}, quantity{"density of the wood by that of water", gravity})
}
