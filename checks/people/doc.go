// Package people computes what published standards ask of the space between a machine and people: the distance behind a guard's
// openings, gaps that don't crush, contact forces, the distance of a light curtain, and the circle that a machine sweeps.
//
// All quantities are SI: m, s, N, J. The figures of the standards are minimum values for the persons they name. They don't replace
// a risk assessment by a qualified person, the text of the standard, or the rules that apply where the machine stands.
package people

import (
	"fmt"
	"math"
)

// roundoff (m) is how far a length may be beyond a limit and still count as on it. It takes up what is lost when mm or inches become
// m. With zero, a 12 mm slot written as 12 × 0.001 could land in the next row of a table.
const roundoff = 1e-9

// positive reports a value that is no finite number above zero.
func positive(name string, value float64) error {
	if !(value > 0) || math.IsInf(value, 0) {
		return fmt.Errorf("%s must be above zero and finite, found %g", name, value)
	}
	return nil
}

// notNegative reports a value that is no finite number of zero or more.
func notNegative(name string, value float64) error {
	if !(value >= 0) || math.IsInf(value, 0) {
		return fmt.Errorf("%s must be zero or more and finite, found %g", name, value)
	}
	return nil
}
