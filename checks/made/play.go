package made

import (
	"math"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/spatial/r2"

	"trammel.example/checks/linkage"
)

// Pivots are what the pivots of each point have, or nil. The pin of a point belongs to the ground if that is there, else to the first
// body that names the point; every other body there has this play against it and this stiffness.
type Pivots struct {
	Play      []float64 // how far a body can be off its pin, half the clearance of the diameters, m
	Stiffness []float64 // of the pivot with half of the link that it ends, N/m; 0 is rigid
}

// A Need is what a linkage that does not close needs, at most over the poses.
type Need struct {
	Gap   float64 // the largest of all constraints too many, m
	GapAt float64 // stroke, m

	Play   float64 // that every pivot must have, m
	PlayAt float64
	PlayOf []float64 // sizes, in the order of Parts

	// Share is the play needed by the play given, as a part: above 1 the linkage binds. It is infinite where the pivots that would have
	// to give have none. Only with Pivots.Play.
	Share   float64
	ShareAt float64

	// Force is the largest on any pivot by what is left of the gap when the play given (none, when none is given) is used up, N. Only
	// with Pivots.Stiffness.
	Force   float64
	ForceAt float64
	ForceOn linkage.Joint
}

// A Fit is whether links that repeat others fit over the poses.
type Fit struct {
	Redundant int // constraints too many; 0: nothing can bind
	Nominal   Need
	Worst     Need

	// Searched tells that there are too many sizes with a tolerance (over six) to try all limits: those were solved that by adding up
	// what each size does alone make one of the gaps largest. With one gap that is the worst case.
	Searched bool
	Blocked  []Blocked // sizes with which the linkage can't take all poses
}

// Fit finds what play or force unequal links need over the poses of a sweep of the linkage as drawn. The error is a Fault of this
// package or of linkage.
func (m *Machine) Fit(poses []linkage.Pose, on Pivots) (Fit, error) {
	points := len(m.drawn.Points)
	wrong := Fault{Kind: NotAsked}
	if len(poses) == 0 || on.Play != nil && len(on.Play) != points || on.Stiffness != nil && len(on.Stiffness) != points {
		return Fit{}, wrong
	}
	for p := range points {
		if on.Play != nil && !(on.Play[p] >= 0) || on.Stiffness != nil && !(on.Stiffness[p] >= 0) {
			wrong.Points = []int{p}
			return Fit{}, wrong
		}
	}
	out := Fit{Redundant: m.solver.Mobility().Redundant, Searched: len(m.varying) > mostExact}
	if out.Redundant == 0 {
		return out, nil
	}
	var k closing
	into := func(need *Need, sizes []float64) error {
		blocked, err := m.run(poses, sizes, func(_ int, v *linkage.Variant, p *linkage.Pose) {
			v.Closure(&k.Closure)
			k.take(need, on, p.Stroke, sizes)
		})
		if blocked != nil {
			out.Blocked = append(out.Blocked, *blocked)
		}
		return err
	}
	if err := into(&out.Nominal, m.nominal()); err != nil {
		return Fit{}, err
	}
	out.Worst = out.Nominal
	if len(m.varying) == 0 {
		return out, nil
	}
	var ways [][]float64
	for i := range out.Redundant {
		for _, sign := range []float64{1, -1} {
			way := make([]float64, out.Redundant)
			way[i] = sign
			ways = append(ways, way)
		}
	}
	corners, err := m.corners(poses, out.Redundant, func(v *linkage.Variant, _ *linkage.Pose, into []float64) {
		v.Closure(&k.Closure)
		copy(into, k.Gaps)
	}, ways)
	if err != nil {
		return Fit{}, err
	}
	for _, sizes := range corners {
		if err := into(&out.Worst, sizes); err != nil {
			return Fit{}, err
		}
	}
	return out, nil
}

// A closing shares gaps out among pivots.
type closing struct {
	linkage.Closure
	weights []float64
}

func (k *closing) take(need *Need, on Pivots, stroke float64, sizes []float64) {
	gap := 0.0
	for _, g := range k.Gaps {
		gap = max(gap, math.Abs(g))
	}
	if gap > need.Gap {
		need.Gap, need.GapAt = gap, stroke
	}
	if play := k.share(func(int) float64 { return 1 }); play > need.Play || need.PlayOf == nil {
		need.Play, need.PlayAt, need.PlayOf = play, stroke, sizes
	}
	given := func(int) float64 { return 0 }
	if on.Play != nil {
		given = func(pivot int) float64 { return on.Play[k.Pivots[pivot].Point] }
		if share := k.share(given); share > need.Share {
			need.Share, need.ShareAt = share, stroke
		}
	}
	if on.Stiffness != nil {
		if force, pivot := k.force(given, func(pivot int) float64 { return on.Stiffness[k.Pivots[pivot].Point] }); force > need.Force {
			need.Force, need.ForceAt, need.ForceOn = force, stroke, k.Pivots[pivot]
		}
	}
}

const (
	// rounds bounds the repeated weighing; it ends earlier, when both bounds agree to a part of agree.
	rounds = 300
	agree  = 1e-3
)

// gapless is the gap below which rounding decides, m.
const gapless = 1e-12

// total adds up the states of self-stress at a pivot, each times its part.
func (k *closing) total(pivot int, parts []float64) (s r2.Vec) {
	for i, part := range parts {
		s = r2.Add(s, r2.Scale(part, k.Stress[i][pivot]))
	}
	return s
}

// solve finds the parts with Σ_j (Σ_pivots w s_i·s_j) part_j = right_i. ok is false where the pivots with weight can't close a gap.
func (k *closing) solve(weight func(pivot int) float64, right []float64) (parts []float64, ok bool) {
	n := len(k.Gaps)
	gram := mat.NewSymDense(n, nil)
	for i := range n {
		for j := i; j < n; j++ {
			sum := 0.0
			for pivot := range k.Pivots {
				sum += weight(pivot) * r2.Dot(k.Stress[i][pivot], k.Stress[j][pivot])
			}
			gram.SetSym(i, j, sum)
		}
	}
	var factors mat.Cholesky
	if !factors.Factorize(gram) || !(factors.Cond() < 1e14) {
		return nil, false
	}
	var x mat.VecDense
	if factors.SolveVecTo(&x, mat.NewVecDense(n, right)) != nil {
		return nil, false
	}
	return x.RawVector().Data, true
}

// share is the least t with which misfits |r_i| ≤ t play_i close all gaps. With several gaps by Lawson's method (1961, from memory): the
// least sum of weighted squares, with more weight where the misfit is larger, again and again. Each round has a misfit that closes (t
// from above) and a state of self-stress, by which t is at least |gap·λ| / Σ play |s λ|.
func (k *closing) share(play func(pivot int) float64) float64 {
	largest := 0.0
	for _, g := range k.Gaps {
		largest = max(largest, math.Abs(g))
	}
	if largest < gapless {
		return 0
	}
	if len(k.Gaps) == 1 {
		room := 0.0
		for pivot := range k.Pivots {
			room += play(pivot) * r2.Norm(k.Stress[0][pivot])
		}
		return largest / room
	}
	if len(k.weights) != len(k.Pivots) {
		k.weights = make([]float64, len(k.Pivots))
	}
	for i := range k.weights {
		k.weights[i] = 1
	}
	above, below := math.Inf(1), 0.0
	for range rounds {
		parts, ok := k.solve(func(pivot int) float64 { return play(pivot) * play(pivot) / k.weights[pivot] }, k.Gaps)
		if !ok {
			return above
		}
		most, work, room, sum := 0.0, 0.0, 0.0, 0.0
		for i, g := range k.Gaps {
			work += parts[i] * g
		}
		for pivot := range k.Pivots {
			force := r2.Norm(k.total(pivot, parts))
			taken := play(pivot) * force / k.weights[pivot] // |r| by the play
			room += play(pivot) * force
			most = max(most, taken)
			k.weights[pivot] *= taken
			sum += k.weights[pivot]
		}
		above, below = min(above, most), max(below, math.Abs(work)/room)
		if above <= below*(1+agree) {
			break
		}
		for i := range k.weights {
			k.weights[i] = max(k.weights[i]/sum, 1e-12)
		}
	}
	return above
}

// force is the largest force on a pivot when the play is used up.
func (k *closing) force(play, stiffness func(pivot int) float64) (most float64, at int) {
	if k.share(play) <= 1 {
		return 0, 0
	}
	if len(k.Gaps) == 1 {
		left, give := math.Abs(k.Gaps[0]), 0.0
		for pivot := range k.Pivots {
			s := r2.Norm(k.Stress[0][pivot])
			left -= play(pivot) * s
			if stiffness(pivot) > 0 {
				give += s * s / stiffness(pivot)
			}
			if s > r2.Norm(k.Stress[0][at]) {
				at = pivot
			}
		}
		return r2.Norm(k.Stress[0][at]) * left / give, at
	}
	// |v| of the play's work is v²/2u + u/2 at its least over u: solve, take u = |v|, again.
	n := len(k.Pivots)
	u := make([]float64, n)
	var parts []float64
	largest := 0.0
	for round := range rounds {
		next, ok := k.solve(func(pivot int) float64 {
			w := 0.0
			if stiffness(pivot) > 0 {
				w = 1 / stiffness(pivot)
			}
			if round > 0 && play(pivot) > 0 {
				w += play(pivot) / max(u[pivot], 1e-9*largest)
			}
			return w
		}, k.Gaps)
		if !ok {
			return math.Inf(1), 0 // no pivot that would have to give gives
		}
		parts = next
		change := 0.0
		largest = 0
		for pivot := range n {
			force := r2.Norm(k.total(pivot, parts))
			change = max(change, math.Abs(force-u[pivot]))
			u[pivot] = force
			largest = max(largest, force)
		}
		if change <= 1e-9*largest {
			break
		}
	}
	for pivot, force := range u {
		if force > most {
			most, at = force, pivot
		}
	}
	return most, at
}
