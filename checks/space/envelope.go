package space

import (
	"errors"
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r2"
)

// Swept envelopes.
//
//	φ(p) = least distance over the sweep from the point p to the outlines        the envelope is where φ ≤ τ
//
// φ comes from the search that finds closest approaches, at most σ above its true value. It is taken at the nodes of a square grid of
// width h, only near its level τ: within a square with half diagonal R around c it lies within R of φ(c). Straight lines through the
// grid's squares follow the level (marching squares). Corners are left out where that moves the boundary by no more than δ
// (Ramer-Douglas-Peucker).
//
// A square through which the sweep passes has φ ≤ √2 h + σ at all its nodes, so the level τ = √2 h + σ + δ encloses the sweep even
// after the boundary has moved inward by δ. The lines leave the level outward by less than (1/2 + √2/2) h. Hence the tolerance is
// (√2 + 1/2 + √2/2) h + σ + 2δ.

// A Region is a set of areas, their boundaries and those of the holes in them, m. A ring runs counter-clockwise around an area and
// clockwise around a hole.
type Region struct {
	Rings [][]r2.Vec
	Area  float64 // m², without the holes
}

// Parts of the tolerance of an envelope: σ, δ and h.
const (
	searched   = 0.05
	simplified = 0.06
	grid       = (1 - searched - 2*simplified) / (1.5*math.Sqrt2 + 0.5)

	mostSquares = 1 << 15 // along a side of the grid
)

// Envelope is the area that shapes sweep together, whatever their layers. It holds every point that any of them covers at any time, and
// no point farther than the tolerance (m) from those. The error says which shape or tolerance is no good.
func (s *Space) Envelope(tolerance float64, shapes ...int) (Region, error) {
	if !(tolerance > 0) || math.IsInf(tolerance, 0) {
		return Region{}, fmt.Errorf("the tolerance of an envelope is %g m, it must be above zero and finite", tolerance)
	}
	if len(shapes) == 0 {
		return Region{}, errors.New("an envelope of no shapes was asked for, it needs one or more")
	}
	e := envelope{
		space: s, width: grid * tolerance, slack: searched * tolerance, level: (grid*math.Sqrt2 + searched + simplified) * tolerance,
	}
	for _, i := range shapes {
		if i < 0 || i >= len(s.whole) {
			return Region{}, fmt.Errorf("an envelope of shape %d was asked for, there are %d shapes, counted from 0", i, len(s.whole))
		}
		e.pieces = append(e.pieces, s.whole[i]...)
	}
	e.pieces = s.uncovered(e.pieces)
	if err := e.layOut(tolerance); err != nil {
		return Region{}, err
	}
	e.visit(0, 0, e.side)
	rings := e.rings()
	if plain := simplifiedRings(rings, simplified*tolerance); apart(plain) {
		rings = plain
	}
	out := Region{Rings: rings}
	for _, ring := range rings {
		out.Area += area(ring)
	}
	return out, nil
}

type envelope struct {
	space               *Space
	pieces              []int
	width, slack, level float64 // h, σ, τ
	origin              r2.Vec
	side                int // squares along a side of the grid, a power of two
	lines               []line
	values              map[int]float64 // φ - τ by node
}

// A line goes from one edge of the grid to another, with the area on its left. Edges are told by a number.
type line struct {
	from, to int
	at       r2.Vec // where it begins
}

// uncovered leaves out pieces that lie wholly within another one of their body, as screw heads do within a bar: they sweep nothing more.
func (s *Space) uncovered(all []int) []int {
	kept := slices.Clone(all)
	return slices.DeleteFunc(kept, func(i int) bool {
		return slices.ContainsFunc(all, func(k int) bool { return s.covers(k, i) && (k < i || !s.covers(i, k)) })
	})
}

// covers says whether a piece holds all of another one of its body.
func (s *Space) covers(outer, inner int) bool {
	o, p := &s.pieces[outer], &s.pieces[inner]
	if outer == inner || o.body != p.body {
		return false
	}
	whole := piece{s.corner[o.from:o.to], o.radius}
	return !slices.ContainsFunc(s.corner[p.from:p.to], func(c r2.Vec) bool {
		d, _ := whole.from(c)
		return d > -p.radius
	})
}

func (e *envelope) node(i, j int) r2.Vec {
	return r2.Vec{X: e.origin.X + float64(i)*e.width, Y: e.origin.Y + float64(j)*e.width}
}

func (e *envelope) layOut(tolerance float64) error {
	s := e.space
	low, high := r2.Vec{X: math.Inf(1), Y: math.Inf(1)}, r2.Vec{X: math.Inf(-1), Y: math.Inf(-1)}
	for _, i := range e.pieces {
		p := &s.pieces[i]
		for k := range s.motion.S {
			// Half of the way to the next step is as far as a corner gets from the nearer of the two.
			r := p.radius
			if k > 0 {
				r = max(r, p.radius+s.moved(p, k-1, k)/2)
			}
			if k < len(s.motion.S)-1 {
				r = max(r, p.radius+s.moved(p, k, k+1)/2)
			}
			for _, c := range s.at(p, k) {
				low = r2.Vec{X: min(low.X, c.X-r), Y: min(low.Y, c.Y-r)}
				high = r2.Vec{X: max(high.X, c.X+r), Y: max(high.Y, c.Y+r)}
			}
		}
	}
	margin := e.level + 2*e.width
	e.origin = r2.Sub(low, r2.Vec{X: margin, Y: margin})
	size := max(high.X-low.X, high.Y-low.Y) + 2*margin
	if !(size <= mostSquares*e.width) {
		return fmt.Errorf("the tolerance of an envelope is %g m, for a sweep over %.3g m it must be %.2g m or more", tolerance, size, size/(mostSquares*grid))
	}
	for e.side = 1; float64(e.side)*e.width < size; {
		e.side *= 2
	}
	// As a boundary once around what the grid covers has, on both of its sides.
	e.values = make(map[int]float64, 8*e.side)
	e.lines = make([]line, 0, 4*e.side)
	return nil
}

// above is φ - τ at a point. Beyond a reach it tells no more than the sign.
func (e *envelope) above(p r2.Vec, reach float64) float64 {
	s := e.space
	s.corner[0] = p
	best := spot{d: e.level + reach + e.slack}
	for _, i := range e.pieces {
		s.least(0, i, e.slack, e.level-reach, &best)
	}
	return best.d - e.level
}

// visit follows the level through a block of squares.
func (e *envelope) visit(i, j, side int) {
	if side == 1 {
		e.square(i, j)
		return
	}
	half := float64(side) / 2
	c := r2.Vec{X: e.origin.X + (float64(i)+half)*e.width, Y: e.origin.Y + (float64(j)+half)*e.width}
	reach := half*e.width*math.Sqrt2*(1+1e-9) + e.slack
	if math.Abs(e.above(c, reach)) >= reach {
		return
	}
	side /= 2
	e.visit(i, j, side)
	e.visit(i+side, j, side)
	e.visit(i, j+side, side)
	e.visit(i+side, j+side, side)
}

// square draws the lines in one square.
func (e *envelope) square(i, j int) {
	row := e.side + 1
	edges := [4]int{2 * (j*row + i), 2*(j*row+i+1) + 1, 2 * ((j+1)*row + i), 2*(j*row+i) + 1}
	corners := [4]r2.Vec{e.node(i, j), e.node(i+1, j), e.node(i+1, j+1), e.node(i, j+1)}
	var value [4]float64
	for k, node := range [4]int{j*row + i, j*row + i + 1, (j+1)*row + i + 1, (j+1)*row + i} {
		known, ok := e.values[node]
		if !ok {
			known = e.above(corners[k], e.width)
			e.values[node] = known
		}
		value[k] = known
	}
	for k := range 4 {
		a, b := value[k], value[next(k, 4)]
		if a > 0 || b <= 0 {
			continue
		}
		// From the edge where the boundary of the square leaves the area to the next where it comes back: where two corners across from
		// each other are inside, they are joined.
		l := k
		for value[next(l, 4)] > 0 {
			l = next(l, 4)
		}
		p := r2.Add(corners[k], r2.Scale(a/(a-b), r2.Sub(corners[next(k, 4)], corners[k])))
		e.lines = append(e.lines, line{edges[k], edges[l], p})
	}
}

// rings joins the lines.
func (e *envelope) rings() [][]r2.Vec {
	from := make(map[int]int, len(e.lines))
	for i, l := range e.lines {
		from[l.from] = i
	}
	used := make([]bool, len(e.lines))
	var out [][]r2.Vec
	for i := range e.lines {
		var ring []r2.Vec
		for !used[i] {
			used[i] = true
			if p := e.lines[i].at; len(ring) == 0 || p != ring[len(ring)-1] {
				ring = append(ring, p)
			}
			i = from[e.lines[i].to]
		}
		if len(ring) > 2 {
			out = append(out, ring)
		}
	}
	return out
}

func simplifiedRings(rings [][]r2.Vec, most float64) [][]r2.Vec {
	out := make([][]r2.Vec, 0, len(rings))
	for _, ring := range rings {
		far := 0 // from corner 0, where the ring is cut in two
		for i, p := range ring {
			if r2.Norm2(r2.Sub(p, ring[0])) > r2.Norm2(r2.Sub(ring[far], ring[0])) {
				far = i
			}
		}
		kept := thinned(nil, ring[:far+1], most)
		kept = thinned(kept, append(slices.Clone(ring[far:]), ring[0]), most)
		if len(kept) < 3 {
			kept = ring
		}
		out = append(out, kept)
	}
	return out
}

// thinned appends the corners of an open line that are needed to stay near it, without its last.
func thinned(out, line []r2.Vec, most float64) []r2.Vec {
	last := len(line) - 1
	far, worst := 0, most*most
	for i := 1; i < last; i++ {
		if _, d := nearest(line[0], line[last], line[i]); d > worst {
			far, worst = i, d
		}
	}
	if far == 0 {
		return append(out, line[0])
	}
	return thinned(thinned(out, line[:far+1], most), line[far:], most)
}

// apart says whether no sides of rings cross or touch each other.
func apart(rings [][]r2.Vec) bool {
	type side struct {
		a, b       r2.Vec
		ring, i, n int
	}
	var all []side
	for k, ring := range rings {
		for i, p := range ring {
			all = append(all, side{p, ring[next(i, len(ring))], k, i, len(ring)})
		}
	}
	slices.SortFunc(all, func(p, q side) int {
		switch a, b := min(p.a.X, p.b.X), min(q.a.X, q.b.X); {
		case a < b:
			return -1
		case a > b:
			return 1
		}
		return 0
	})
	for i, p := range all {
		for _, q := range all[i+1:] {
			if min(q.a.X, q.b.X) > max(p.a.X, p.b.X) {
				break
			}
			neighbours := p.ring == q.ring && (next(p.i, p.n) == q.i || next(q.i, q.n) == p.i)
			if !neighbours && meet(p.a, p.b, q.a, q.b) {
				return false
			}
		}
	}
	return true
}
