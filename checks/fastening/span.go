package fastening

// Worst-case sums of sizes.
//
//	[a, b] + [c, d] = [a+c, b+d],   n [a, b] = [n a, n b]
//
// Every size may lie anywhere between its limits, whatever the others do. Lengths in m.

import (
	"fmt"
	"math"
)

// Span is a size between two limits, in m.
type Span struct{ Min, Max float64 }

// Exactly is a size without tolerance.
func Exactly(size float64) Span { return Span{size, size} }

// Plus is the size of two things in a row.
func (s Span) Plus(other Span) Span { return Span{s.Min + other.Min, s.Max + other.Max} }

// Times is the size of n equal things in a row, all at the same limit at worst.
func (s Span) Times(n int) Span { return Span{float64(n) * s.Min, float64(n) * s.Max} }

// Spread is the difference between the limits in m.
func (s Span) Spread() float64 { return s.Max - s.Min }

// Sum is the size of all things in a row: of none, zero.
func Sum(sizes ...Span) Span {
	var total Span
	for _, s := range sizes {
		total = total.Plus(s)
	}
	return total
}

func (s Span) check(name string) error {
	if !(s.Min >= 0) || !(s.Max >= s.Min) || math.IsInf(s.Max, 0) {
		return fmt.Errorf("%s must have limits of zero or more, the lower first, found %g to %g", name, s.Min, s.Max)
	}
	return nil
}
