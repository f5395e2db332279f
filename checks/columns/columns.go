// Package columns computes the force at which a straight bar pressed along its length gives way sideways.
//
// # Equations
//
//	F = π² E I / (k L)²     k by the ends: 1 both turn, 2 one fast and one free, 0.699 one fast and one turns, 0.5 both fast
//	I = π d⁴ / 64           of a round bar
//
// # Units, validity, source
//
// SI: m, N, Pa, m⁴. Straight bars pressed in their middle, so slender that they bend before they crush: of steel, longer than 20 times
// their diameter; a stockier one is taken for stronger than it is. Euler; Gere and Goodno, Mechanics of Materials, 7th edition, chapter 11.
package columns

import "math"

// How the ends of a bar are held: the length that counts by the bar's own.
const (
	BothTurn  = 1.0
	FastFree  = 2.0
	FastTurns = 0.699
	BothFast  = 0.5
)

// Gives is the force at which a bar with the stiffness E I gives way.
func Gives(stiffness, length, ends float64) float64 {
	return math.Pi * math.Pi * stiffness / (ends * ends * length * length)
}

// Round is the second moment of area of a round bar.
func Round(diameter float64) float64 {
	d2 := diameter * diameter
	return math.Pi / 64 * d2 * d2
}

// Longest is the length that a bar may have under a force.
func Longest(stiffness, force, ends float64) float64 {
	return math.Pi / ends * math.Sqrt(stiffness/force)
}

// Diameter is how thick a round bar of a modulus of elasticity must be to bear a force.
func Diameter(elasticity, force, length, ends float64) float64 {
	k := ends * length
	return math.Pow(64*force*k*k/(math.Pi*math.Pi*math.Pi*elasticity), 0.25)
}
