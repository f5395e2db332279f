// Package fastening computes what a screw, what it clamps and what it is screwed into need of each other:
// the strength of the threads, the clamping force that a torque gives, the window of screw lengths of a
// stack, and what a tapped or opened hole leaves.
//
// All quantities are SI: m, m2, N, Pa, N m. Figures follow published formulae, named in each file, and hold
// for static loads. They do not replace the judgement of a qualified person or the rules that apply where
// the machine stands.
package fastening

import (
	"fmt"
	"math"
)

// quantity is a value and what a builder calls it.
type quantity struct {
	name  string
	value float64
}

// positive reports the first quantity that is no finite number above zero.
func positive(all ...quantity) error {
	for _, q := range all {
		if !(q.value > 0) || math.IsInf(q.value, 0) {
			return fmt.Errorf("%s must be above zero and finite, found %g", q.name, q.value)
		}
	}
	return nil
}

// notNegative reports the first quantity that is no finite number of zero or more.
func notNegative(all ...quantity) error {
	for _, q := range all {
		if !(q.value >= 0) || math.IsInf(q.value, 0) {
			return fmt.Errorf("%s must be zero or more and finite, found %g", q.name, q.value)
		}
	}
	return nil
}
