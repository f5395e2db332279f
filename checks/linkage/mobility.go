package linkage

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/floats"
)

// Mobility counts by the rank of the Jacobian, so that a link that repeats others without harm is not counted against the linkage, as
// a count of bodies and pivots would. The rank is taken at the drawn pose and at one beside it: what holds only for an instant (a
// third parallel link of another length, a pose in line) shows as a difference between the two.
type Mobility struct {
	Freedoms  int   // ways to move with every cylinder free to slide; spins not counted
	Drawn     int   // the same for an instant at the drawn pose; more than Freedoms there are two ways on, or a link that binds
	Redundant int   // constraints that repeat others
	Repeats   []int // points whose pivots or slides repeat others
	Spins     []int // bodies that one point holds: they can spin with nothing else moving, and are taken to keep their angle

	Coincident []int // points of different bodies in one place, within Fit, that are no pivot: often meant as one

	Undriven int     // freedoms left when every cylinder holds its length
	Loose    []int   // bodies that those move
	Surplus  []int   // cylinders beyond the freedoms: they must move together, or they fight
	Tied     [][]int // the sets of cylinders that must move together, each sorted
	Stuck    []int   // cylinders whose ends can't move against each other, whatever the others do

	singular bool  // the drawn pose is held less well than the one beside it
	drawn    Fault // what is concerned then
}

// aside is how far, as a part of the size or in rad, a linkage is moved to see whether its rank holds. Smaller hides links that bind
// later; larger may not be reached.
const aside = 0.03

// tolerance of the rank: a pivot below it is one that Fit lets pass.
func tolerance(m Mechanism, size float64) float64 { return max(leastPart, m.Fit/size) }

func (x *state) matrix() matrix {
	return matrix{x.entries, x.jac[:len(x.entries)], x.rows, x.cols()}
}

// mobility leaves x at a pose beside the drawn one.
func mobility(x *state, tolerance float64) Mobility {
	x.evaluate()
	structure := order(x.matrix(), x.first, nil, tolerance)
	drawn := order(x.matrix(), nil, x.first, tolerance)
	m := Mobility{Drawn: len(structure.free)}
	m.drawn = Fault{Kind: SingularAsDrawn, Points: x.pointsOf(structure.dropped), Bodies: x.loose(drawn), Cylinders: x.linesOf(drawn.dropped)}
	if m.Drawn > 0 && x.moveAside(structure) {
		structure = order(x.matrix(), x.first, nil, tolerance)
	}
	all := order(x.matrix(), nil, x.first, tolerance)
	m.Freedoms = len(structure.free)
	m.Redundant = len(structure.dropped)
	m.Repeats = x.pointsOf(structure.dropped)
	for _, r := range x.spins {
		m.Spins = append(m.Spins, x.bodies[r.body])
	}
	m.Undriven = len(all.free)
	m.Loose = x.loose(all)
	m.Surplus = x.linesOf(all.dropped)
	for _, set := range x.tied(all) {
		if len(set) == 1 {
			m.Stuck = append(m.Stuck, set[0])
		} else {
			m.Tied = append(m.Tied, set)
		}
	}
	m.singular = m.Drawn > m.Freedoms || len(drawn.free) > len(all.free)
	return m
}

// tied finds which cylinders each surplus one follows from, J_surplus = Σ c J, and joins the sets that overlap.
func (x *state) tied(all *program) (sets [][]int) {
	if !all.square() {
		return nil
	}
	p := order(x.matrix(), inUse(all, x.rows, x.rows), nil, 0)
	lu, row, c := make([]float64, p.size), make([]float64, x.cols()), make([]float64, x.rows)
	p.factor(x.jac[:len(x.entries)], lu)
	for _, surplus := range x.linesOf(all.dropped) {
		clear(row)
		for k, e := range x.entries {
			if int(e.row) == x.lines[surplus].row {
				row[e.col] += x.jac[k]
			}
		}
		p.solveTransposed(lu, row, c, x.scratch)
		set := []int{surplus}
		for i, l := range x.lines {
			if math.Abs(c[l.row]) > 1e-6 {
				set = append(set, i)
			}
		}
		sets = slices.DeleteFunc(sets, func(other []int) bool {
			overlap := slices.ContainsFunc(other, func(i int) bool { return slices.Contains(set, i) })
			if overlap {
				set = append(set, other...)
			}
			return overlap
		})
		slices.Sort(set)
		sets = append(sets, slices.Compact(set))
	}
	slices.SortFunc(sets, slices.Compare)
	return sets
}

// linesOf names the cylinders that rows are about.
func (s *system) linesOf(rows []int32) (cylinders []int) {
	for i, l := range s.lines {
		if slices.Contains(rows, int32(l.row)) {
			cylinders = append(cylinders, i)
		}
	}
	return cylinders
}

// pointsOf names the points that rows are about.
func (s *system) pointsOf(rows []int32) (points []int) {
	for _, p := range s.pivots {
		if slices.Contains(rows, int32(p.row)) || slices.Contains(rows, int32(p.row+1)) {
			points = append(points, p.point)
		}
	}
	for i, l := range s.slides {
		if slices.Contains(rows, int32(l.row)) {
			points = append(points, s.slidePoint[i])
		}
	}
	slices.Sort(points)
	return slices.Compact(points)
}

// held completes the rows of a program by ones that hold its free coordinates.
func (x *state) held(p *program) matrix {
	m := matrix{entries: slices.Clone(x.entries), values: slices.Clone(x.jac[:len(x.entries)]), rows: x.rows, cols: x.cols()}
	for _, col := range p.free {
		m.entries = append(m.entries, entry{int32(m.rows), col})
		m.values = append(m.values, 1)
		m.rows++
	}
	return m
}

// inUse marks the rows of a program and those added behind the rows of the system.
func inUse(p *program, rows, total int) []bool {
	use := make([]bool, total)
	for _, r := range p.rows {
		use[r] = true
	}
	for i := rows; i < total; i++ {
		use[i] = true
	}
	return use
}

// moveAside moves every freedom of a program a little, unevenly, along its constraints.
func (x *state) moveAside(p *program) bool {
	start := slices.Clone(x.q)
	for part := aside; part > aside/100; part /= 4 {
		copy(x.q, start)
		target := make([]float64, len(p.free))
		for j, col := range p.free {
			target[j] = start[col] + part*(1-0.3*float64(j%3))
			if j%2 == 1 {
				target[j] = start[col] - part
			}
		}
		if x.newtonHeld(p, target) {
			return true
		}
	}
	copy(x.q, start)
	x.evaluate()
	return false
}

func (x *state) newtonHeld(p *program, target []float64) bool {
	const most = 25
	x.evaluate()
	m := x.held(p)
	square := order(m, inUse(p, x.rows, m.rows), nil, 0)
	if !square.square() {
		return false
	}
	lu := make([]float64, square.size)
	for range most {
		copy(m.values, x.jac[:len(x.entries)])
		b := append(slices.Clone(x.phi), make([]float64, len(p.free))...)
		for j, col := range p.free {
			b[x.rows+j] = x.q[col] - target[j]
		}
		square.factor(m.values, lu)
		square.solve(lu, b, x.step, x.scratch)
		floats.Sub(x.q, x.step)
		x.evaluate()
		size := floats.Norm(x.step, math.Inf(1))
		if size < newtonEnough*10 {
			return true
		}
		if !(size < 1) {
			return false
		}
	}
	return false
}

// loose names the bodies that the free coordinates of a program move.
func (x *state) loose(p *program) (bodies []int) {
	if len(p.free) == 0 {
		return nil
	}
	m := x.held(p)
	square := order(m, inUse(p, x.rows, m.rows), nil, 0)
	lu := make([]float64, square.size)
	square.factor(m.values, lu)
	b, way := make([]float64, m.rows), make([]float64, x.cols())
	for j := range p.free {
		clear(b)
		b[x.rows+j] = 1
		square.solve(lu, b, way, x.scratch)
		for i := range x.moving {
			if floats.Norm(way[3*i:3*i+3], math.Inf(1)) > 1e-6 {
				bodies = append(bodies, x.bodies[i])
			}
		}
	}
	slices.Sort(bodies)
	return slices.Compact(bodies)
}
