// Package bearings computes the rating life of rolling bearings that swing to and fro under a load that varies.
//
// # Equations
//
//	L10 = (C / P)³                        millions of revolutions that nine of ten ball bearings last
//	P³ N = ∫ F³ |dφ| / 2π,  N = ∫ |dφ| / 2π   over one cycle: damage adds up (Palmgren, Miner), by the way that the balls roll
//	cycles = 10⁶ (C / P)³ / N
//
// Between two places F is taken as straight, for which the integral of F³ is |Δφ| (F₀³ + F₀² F₁ + F₀ F₁² + F₁³) / 4.
// A swing to and fro counts as the revolutions that it adds up to.
//
// # Units, validity, source
//
// SI: N, rad. Ball bearings under P ≤ C / 2 that are lubricated and turn by more than about the way from ball to ball (where they swing by
// less, the grease leaves the contact and they fret before they tire). ISO 281:2007, basic rating life, and the usual mean of a load that
// varies (ISO 281 and any handbook, from memory); to and fro by the angle: Harris's first method in Menck and Stammler, Wind Energy Science 9
// (2024) 777, doi 10.5194/wes-9-777-2024 (from memory).
package bearings

import "math"

// millions are the revolutions of the rating.
const millions = 1e6

// A Wear is what the passing of balls under load adds up to: revolutions, and the cube of the load (N³) by revolutions.
type Wear struct{ Turns, Cubed float64 }

// Roll adds a turn by an angle (rad, either way) under a load (N) that goes evenly from one value to the other.
func (w *Wear) Roll(angle, from, to float64) {
	turns := math.Abs(angle) / (2 * math.Pi)
	w.Turns += turns
	w.Cubed += turns * (from + to) * (from*from + to*to) / 4
}

// Add is the wear of both.
func (w Wear) Add(v Wear) Wear { return Wear{w.Turns + v.Turns, w.Cubed + v.Cubed} }

// Equivalent is the constant load that wears as much, N.
func (w Wear) Equivalent() float64 {
	if w.Turns == 0 {
		return 0
	}
	return math.Cbrt(w.Cubed / w.Turns)
}

// Cycles is how often nine of ten bearings of the rating c (N) go through the wear of one cycle.
func (w Wear) Cycles(c float64) float64 { return millions * c * c * c / w.Cubed }

// Rating is that with which they go through it so often, N.
func (w Wear) Rating(cycles float64) float64 { return math.Cbrt(cycles * w.Cubed / millions) }
