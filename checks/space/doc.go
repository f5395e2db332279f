// Package space finds how near the parts of a machine come to each other while it moves, what room they sweep, and what a hose between
// two of them has to bear.
//
// # Equations
//
// An outline is a union of convex pieces: the points within a radius r of a core, which is a point, a line or a convex polygon with the
// corners k. With n a unit vector, the gap of two pieces A and B along n and their distance are
//
//	g(n) = min_j n·b_j - max_i n·a_i - rA - rB        d = max_n g(n)
//
// d > 0 is the distance of the nearest points; d < 0 is how far the pieces have to be moved to come apart.
//
// A body moves from one step to the next along a cubic in u = 0…1, for its place c and its turn θ, which has the poses and rates of
// both steps (without rates it is a straight line). With ρ the distance of the farthest corner from the body's origin, no corner moves
// faster than v = max|c'| + ρ max|θ'|, and no corner's acceleration exceeds κ = max|c”| + ρ (max|θ”| + max θ'²). Both maxima are those of
// the cubic's derivatives. Hence, between u = a and u = b, w being the v of both bodies times (b - a):
//
//	d ≥ (d(a) + d(b) - w) / 2                         wherever the motion goes
//	d ≥ min(d(a), g_b(n_a)) - (κA + κB)(b-a)²/8       n_a is the direction of d at a, g_b the gap along it at b; likewise from b
//
// Intervals whose bound is below the least distance found so far, less the tolerance, are halved. So nothing slips through between two
// steps. The first bound is the Piyavskii-Shubert one for functions of limited slope, the second the remainder of linear
// interpolation (both from memory, proofs in any text on global optimisation and numerical analysis).
//
// # Units and validity
//
// Lengths are m, angles rad, counter-clockwise. The parameter s of a sweep may have any unit, it only has to rise. Parts are rigid and
// move in one plane; each has an interval of z that it never leaves, and parts whose intervals don't overlap pass each other. Results
// are those of the motion through the steps: how near that is to the machine's is for the caller to judge, see Motion.
package space
