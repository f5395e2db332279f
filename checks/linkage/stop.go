package linkage

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/spatial/r2"
)

// Where a path ends, the Jacobian is singular. What that means shows when the row of the lead is replaced by the tangent of the path:
// if the linkage without its cylinder has one clear way to go (the bordered matrix is regular), the stroke has turned back: a dead
// point, or links stretched out; if not, two ways lead on. (Pseudo-arclength continuation: Keller 1977, from memory.)

const (
	// split is the resistance of the bordered matrix below which two ways lead on. The path ends within leastStep of the singular
	// pose, and the resistance falls in proportion, so that a true one is far below and a narrow miss is not.
	split = 1e-5
	// splitAtDeadPoint is split where the linkage with its cylinder is as weak: beside a dead point the stroke grows with the square of the
	// turn, so that the last step in stroke leaves the links farther from the singular pose.
	splitAtDeadPoint = 1e-3
	// still is the part of the fastest motion below which the ends of a cylinder stand still against each other.
	still = 0.02
)

// stop says where and why the walker stands.
func (w *walker) stop() *Stop {
	x, lead := w.here, w.lead
	s := &Stop{Stroke: x.stroke[lead] * x.size, Strokes: x.strokes()}
	if w.misfit >= 0 {
		s.Reason, s.Points = Binds, w.misfitPoints()
		return s
	}
	if w.ended >= 0 {
		s.Reason, s.Points = StrokeEnds, x.ends[w.ended][:]
		return s
	}
	if w.crossed {
		s.Stroke = w.singular * x.size
		s.Strokes[lead] = s.Stroke
	}
	x.resist(20)
	s.Bodies, s.Points = x.movers()
	resistance := x.bordered(lead)
	switch {
	case w.crossed || resistance < split || resistance < splitAtDeadPoint && x.sigma > 0.1*resistance:
		s.Reason = ChangePoint
	case x.sigma > 0.1*resistance:
		s.Reason = Unsolved
	default:
		s.Reason = Stretched
		if _, v := x.span(lead); r2.Norm(v) > still*floats.Norm(x.dq, math.Inf(1)) {
			s.Reason = DeadPoint
		}
	}
	return s
}

// strokes are those of all cylinders, m.
func (x *state) strokes() []float64 {
	strokes := slices.Clone(x.stroke)
	floats.Scale(x.size, strokes)
	return strokes
}

func (w *walker) misfitPoints() []int {
	if w.misfit < 0 {
		return nil
	}
	for i, l := range w.here.lines {
		if l.row == w.misfit {
			return w.here.ends[i][:]
		}
	}
	return w.here.pointsOf([]int32{int32(w.misfit)})
}

// bordered is the resistance of the linkage with the lead's row replaced by the tangent. Cylinders that move with the lead go on
// doing so.
func (x *state) bordered(lead int) float64 {
	use := inUse(x.program, x.rows, x.rows+1)
	leadRow := x.lines[lead].row
	use[leadRow] = false
	m := matrix{rows: x.rows + 1, cols: x.cols()}
	put := func(row, col int, v float64) {
		m.entries = append(m.entries, entry{int32(row), int32(col)})
		m.values = append(m.values, v)
	}
	dense := make([][]float64, len(x.lines))
	for i := range dense {
		dense[i] = make([]float64, x.cols())
	}
	firstLine := x.rows - len(x.lines)
	for k, e := range x.entries {
		if int(e.row) < firstLine {
			put(int(e.row), int(e.col), x.jac[k])
		} else {
			dense[int(e.row)-firstLine][e.col] += x.jac[k]
		}
	}
	for i, l := range x.lines {
		if i == lead {
			continue
		}
		if x.rate[lead] != 0 {
			floats.AddScaled(dense[i], -x.rate[i]/x.rate[lead], dense[lead])
		}
		for col, v := range dense[i] {
			if v != 0 {
				put(l.row, col, v)
			}
		}
	}
	norm := floats.Norm(x.dq, 2)
	for col, v := range x.dq {
		put(x.rows, col, v/norm)
	}
	p := order(m, use, nil, 0)
	if !p.square() {
		return 0
	}
	lu, way, back := make([]float64, p.size), slices.Clone(x.weakest), make([]float64, m.rows)
	p.factor(m.values, lu)
	seed(way, 0.1)
	sigma := 0.0
	for range 30 {
		p.solveTransposed(lu, way, back, x.scratch)
		p.solve(lu, back, way, x.scratch)
		norm := floats.Norm(way, 2)
		sigma = 1 / math.Sqrt(norm)
		floats.Scale(1/norm, way)
	}
	if math.IsNaN(sigma) {
		return 0
	}
	return sigma
}

// movers names the bodies that the weakest motion moves, and the pivots between them.
func (x *state) movers() (bodies, points []int) {
	most := floats.Norm(x.weakest, math.Inf(1))
	moves := make([]bool, x.moving+1)
	for i := range x.moving {
		if moves[i] = floats.Norm(x.weakest[3*i:3*i+3], math.Inf(1)) > 0.05*most; moves[i] {
			bodies = append(bodies, x.bodies[i])
		}
	}
	for _, p := range x.pivots {
		if moves[p.a.body] || moves[p.b.body] {
			points = append(points, p.point)
		}
	}
	slices.Sort(points)
	return bodies, slices.Compact(points)
}
