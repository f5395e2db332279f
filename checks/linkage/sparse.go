package linkage

import (
	"math"
	"slices"
)

// Sparse LU factors of a matrix whose pattern stays while its values change from pose to pose. order chooses the pivots once, by
// Markowitz' count (Management Science 3, 1957) among entries that are large enough, and writes down where every product goes; factor
// only replays that. A row that falls below the tolerance on the way repeats others: that gives the rank. order is quadratic in the
// number of rows; factor and solve go with the number of entries, which is linear for linkages.

const (
	// pivotShare is the least part of the largest entry of its column that a pivot may be. Larger is steadier, smaller fills less.
	pivotShare = 0.1
	// growthLimit is the multiplier above which an order of pivots no longer fits the pose and is chosen anew. Larger loses digits.
	growthLimit = 1e3
)

// An entry is a place of the matrix that may differ from zero.
type entry struct{ row, col int32 }

// A matrix is a pattern with the values of one pose.
type matrix struct {
	entries    []entry
	values     []float64
	rows, cols int
}

// A program is an order of pivots with the products that follow from it.
type program struct {
	rows, cols []int32 // row and column of the k-th pivot
	dropped    []int32 // rows that repeat others
	free       []int32 // columns without a pivot
	odd        bool    // parity of the order

	size      int     // places for values; the last one is written and never read
	scatter   []int32 // place of each entry
	diag      []int32
	lowStart  []int32 // entries below the k-th pivot
	lowPlace  []int32
	lowStep   []int32
	upStart   []int32 // entries right of it
	upPlace   []int32
	upStep    []int32
	target    []int32 // places that products are taken from, in order
	lowerRows []int32
	upperCols []int32
}

type cell struct {
	col, place int32
	value      float64
}

// order chooses pivots among the rows in use (all, when use is nil), those in first before the others.
func order(m matrix, use, first []bool, tolerance float64) *program {
	p := &program{size: len(m.entries), scatter: make([]int32, len(m.entries))}
	left := make([]bool, m.rows)
	active := make([][]cell, m.rows)
	for i := range left {
		left[i] = use == nil || use[i]
	}
	for k, e := range m.entries {
		p.scatter[k] = -1
		if left[e.row] {
			p.scatter[k] = int32(k)
			active[e.row] = append(active[e.row], cell{e.col, int32(k), m.values[k]})
		}
	}
	for _, row := range active {
		slices.SortFunc(row, func(a, b cell) int { return int(a.col - b.col) })
	}
	if first != nil {
		candidates := make([]bool, m.rows)
		for i := range candidates {
			candidates[i] = left[i] && first[i]
		}
		p.eliminate(active, left, candidates, m.cols, tolerance)
	}
	p.eliminate(active, left, slices.Clone(left), m.cols, tolerance)
	p.finish(m)
	return p
}

// eliminate takes pivots from the candidates until none is large enough; the candidates that are left repeat others.
func (p *program) eliminate(active [][]cell, left, candidates []bool, cols int, tolerance float64) {
	largest, count := make([]float64, cols), make([]int, cols)
	for {
		clear(largest)
		clear(count)
		for i, row := range active {
			if candidates[i] {
				for _, c := range row {
					count[c.col]++
					largest[c.col] = max(largest[c.col], math.Abs(c.value))
				}
			}
		}
		best, bestValue, pivotRow, pivot := math.MaxInt, 0.0, -1, cell{}
		for i, row := range active {
			if !candidates[i] {
				continue
			}
			for _, c := range row {
				v := math.Abs(c.value)
				if v <= tolerance || v < pivotShare*largest[c.col] {
					continue
				}
				fill := (len(row) - 1) * (count[c.col] - 1)
				if fill < best || fill == best && v > bestValue {
					best, bestValue, pivotRow, pivot = fill, v, i, c
				}
			}
		}
		if pivotRow < 0 {
			break
		}
		left[pivotRow], candidates[pivotRow] = false, false
		p.take(active, left, int32(pivotRow), pivot)
	}
	for i, c := range candidates {
		if c {
			left[i] = false
			p.dropped = append(p.dropped, int32(i))
		}
	}
}

// take records one pivot and subtracts its row from those left.
func (p *program) take(active [][]cell, left []bool, pivotRow int32, pivot cell) {
	p.rows = append(p.rows, pivotRow)
	p.cols = append(p.cols, pivot.col)
	p.diag = append(p.diag, pivot.place)
	p.lowStart = append(p.lowStart, int32(len(p.lowPlace)))
	p.upStart = append(p.upStart, int32(len(p.upPlace)))
	rest := slices.DeleteFunc(active[pivotRow], func(c cell) bool { return c.col == pivot.col })
	for _, c := range rest {
		p.upPlace = append(p.upPlace, c.place)
		p.upperCols = append(p.upperCols, c.col)
	}
	for i, row := range active {
		if !left[i] {
			continue
		}
		at := slices.IndexFunc(row, func(c cell) bool { return c.col == pivot.col })
		if at < 0 {
			continue
		}
		factor := row[at].value / pivot.value
		p.lowPlace = append(p.lowPlace, row[at].place)
		p.lowerRows = append(p.lowerRows, int32(i))
		active[i] = p.subtract(slices.Delete(row, at, at+1), rest, factor)
	}
}

// subtract returns row - factor*other, with the union of their patterns, in order of columns.
func (p *program) subtract(row, other []cell, factor float64) []cell {
	sum := make([]cell, 0, len(row)+len(other))
	for len(other) > 0 {
		switch {
		case len(row) == 0 || row[0].col > other[0].col:
			sum = append(sum, cell{other[0].col, int32(p.size), -factor * other[0].value})
			p.target = append(p.target, int32(p.size))
			p.size++
			other = other[1:]
		case row[0].col < other[0].col:
			sum = append(sum, row[0])
			row = row[1:]
		default:
			sum = append(sum, cell{row[0].col, row[0].place, row[0].value - factor*other[0].value})
			p.target = append(p.target, row[0].place)
			row, other = row[1:], other[1:]
		}
	}
	return append(sum, row...)
}

// finish turns rows and columns into steps.
func (p *program) finish(m matrix) {
	rowStep, colStep := make([]int32, m.rows), make([]int32, m.cols)
	for j := range colStep {
		colStep[j] = -1
	}
	for k := range p.rows {
		rowStep[p.rows[k]], colStep[p.cols[k]] = int32(k), int32(k)
	}
	for _, i := range p.lowerRows {
		p.lowStep = append(p.lowStep, rowStep[i])
	}
	for _, j := range p.upperCols {
		p.upStep = append(p.upStep, colStep[j])
	}
	for j, step := range colStep {
		if step < 0 {
			p.free = append(p.free, int32(j))
		}
	}
	p.lowStart = append(p.lowStart, int32(len(p.lowPlace)))
	p.upStart = append(p.upStart, int32(len(p.upPlace)))
	for k, place := range p.scatter {
		if place < 0 {
			p.scatter[k] = int32(p.size)
		}
	}
	p.size++
	p.odd = oddOrder(p.rows) != oddOrder(p.cols)
}

// oddOrder tells whether an odd number of swaps sorts the list.
func oddOrder(list []int32) bool {
	sorted := slices.Clone(list)
	slices.Sort(sorted)
	rank := make(map[int32]int, len(list))
	for i, v := range sorted {
		rank[v] = i
	}
	seen := make([]bool, len(list))
	odd := false
	for i := range list {
		for j := i; !seen[j]; j = rank[list[j]] {
			seen[j] = true
			if j != i {
				odd = !odd
			}
		}
	}
	return odd
}

// square tells whether the factors can solve for every column.
func (p *program) square() bool { return len(p.free) == 0 }

// factor writes the factors of the values into lu. It returns the largest multiplier and the sign of the determinant; a pivot of zero
// gives an infinite multiplier or one that is not a number.
func (p *program) factor(values, lu []float64) (growth float64, negative bool) {
	clear(lu[len(values):])
	for k, place := range p.scatter {
		lu[place] = values[k]
	}
	negative = p.odd
	t := 0
	for k, d := range p.diag {
		pivot := lu[d]
		if pivot < 0 {
			negative = !negative
		}
		inverse := 1 / pivot
		lu[d] = inverse // multiplying by it is faster in solve
		up := p.upPlace[p.upStart[k]:p.upStart[k+1]]
		for _, place := range p.lowPlace[p.lowStart[k]:p.lowStart[k+1]] {
			l := lu[place] * inverse
			lu[place] = l
			growth = max(growth, math.Abs(l))
			for _, u := range up {
				lu[p.target[t]] -= l * lu[u]
				t++
			}
		}
		if math.IsInf(inverse, 0) {
			growth = inverse
		}
	}
	return math.Abs(growth), negative
}

// solve finds x with J x = b; work has the length of x.
func (p *program) solve(lu, b, x, work []float64) {
	for k, row := range p.rows {
		work[k] = b[row]
	}
	for k := range p.rows {
		v := work[k]
		for e := p.lowStart[k]; e < p.lowStart[k+1]; e++ {
			work[p.lowStep[e]] -= lu[p.lowPlace[e]] * v
		}
	}
	for k := len(p.rows) - 1; k >= 0; k-- {
		v := work[k]
		for e := p.upStart[k]; e < p.upStart[k+1]; e++ {
			v -= lu[p.upPlace[e]] * work[p.upStep[e]]
		}
		v *= lu[p.diag[k]]
		work[k] = v
		x[p.cols[k]] = v
	}
}

// solveTransposed finds y with Jᵀ y = c. Rows that are not in use are left as they are.
func (p *program) solveTransposed(lu, c, y, work []float64) {
	for k, col := range p.cols {
		work[k] = c[col]
	}
	for k := range p.rows {
		v := work[k] * lu[p.diag[k]]
		work[k] = v
		for e := p.upStart[k]; e < p.upStart[k+1]; e++ {
			work[p.upStep[e]] -= lu[p.upPlace[e]] * v
		}
	}
	for k := len(p.rows) - 1; k >= 0; k-- {
		v := work[k]
		for e := p.lowStart[k]; e < p.lowStart[k+1]; e++ {
			v -= lu[p.lowPlace[e]] * work[p.lowStep[e]]
		}
		work[k] = v
		y[p.rows[k]] = v
	}
}
