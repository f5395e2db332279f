// Package linkage solves planar linkages that cylinders drive: where every point is at every stroke, how fast it moves for the
// speed of the rod, where the machine stops, and what every pivot carries.
//
// # Equations
//
// Each moving body i has the unknowns q = (x, y, θ): the place of one of its points and its turn from the drawn pose. What joins the
// bodies gives rows of Φ(q) = 0:
//
//	pivot     P_a - P_b = 0                  a point that two bodies share (two rows)
//	slide     n·(P - Q) = 0                  P on the line through Q along a body, n its normal
//	cylinder  (d·d - L²)/(2L) = 0            d = front - rear, L = closed length + stroke s
//	spin      θ - θ0 = 0                     a body that nothing else keeps from spinning stays as it is
//
// With the Jacobian J = ∂Φ/∂q, s the stroke and ' = d/ds: J Δq = -Φ (Newton), J q' = -Φ_s, J q” = -(q'ᵀ Φ_qq q'), and the
// equilibrium of all bodies is Jᵀ λ + Q = 0, where λ are the forces that the rows transmit and Q the loads. This is the
// Lagrange-multiplier form of constrained rigid bodies; see for instance E. J. Haug, Computer Aided Kinematics and Dynamics of
// Mechanical Systems, chapters 3 and 6 (from memory).
//
// # Units and validity
//
// Everything goes in and comes out in SI: m, N, kg, rad, s. Inside, lengths are divided by the size of the machine (the longest way
// between two of its points), so that one tolerance serves a watch and a crane. Bodies are rigid, pivots have no play and move in one plane; forces
// are those of rest or slow motion.
package linkage

import "gonum.org/v1/gonum/spatial/r2"

// A Mechanism is a linkage in the pose in which it was drawn. Points, bodies, slides and cylinders are told apart by their index.
type Mechanism struct {
	Points    []r2.Vec // m
	Bodies    []Body
	Slides    []Slide
	Cylinders []Cylinder

	// Fit is the misfit (m) that rounded coordinates and the play of pivots may take up: a link that repeats others may be unequal by
	// it, and a cylinder may be drawn too short or too long by it. Zero stands for 1e-9 of the size; too large a value hides a link
	// that binds.
	Fit float64
}

// A Body is a rigid link through one or more points. A point that several bodies name is a pivot between them.
type Body struct {
	Points  []int
	Ground  bool
	Mass    float64 // kg
	Centre  r2.Vec  // centre of mass in the drawn pose, m
	Inertia float64 // about the centre of mass, kg m²; it counts in motion

	// Bars are those that it is made of, between pairs of its Points. What they leave apart, the shortest bars join.
	Bars [][2]int
}

// A Slide keeps a point on the line through two points of another body. The line has no ends.
type Slide struct {
	Point    int
	Body     int // the body that carries the line
	From, To int // two of its points
}

// A Cylinder acts between two points. Its length between them is Closed + s, and the stroke s goes from 0 to Stroke.
type Cylinder struct {
	Rear, Front    int
	Closed, Stroke float64 // m

	// Masses that swing with the cylinder (kg) and how far their centres lie from the pivot at their end (m).
	BodyMass, BodyCentre float64 // barrel, from the rear pivot
	RodMass, RodCentre   float64 // rod and piston, from the front pivot
}
