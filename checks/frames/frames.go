// Package frames computes what a plane frame of straight members does under its loads, by the stiffness of its members.
//
// # Equations
//
//	K u = F                 u the displacements and turns of all nodes, F what acts on them
//	k = [E A/L, 12 E I/L³, 6 E I/L², 4 E I/L, 2 E I/L …]   of each member along and across its line; turned into the drawing, added up in K
//	f = k u + f₀            what the nodes put on a member's ends; f₀ with its ends held: q L/2 and q L²/12, P b²(3a+b)/L³ and P a b²/L²
//	N(x) = −X₁ − qₓ x,  M(x) = −M₁ + Y₁ x + q x²/2 + P ⟨x − a⟩
//	σ = |N| / A + |M| h / 2 I
//
// An end that turns freely carries no moment: its turn is eliminated from k and f₀ beforehand. The frame is refused where K can't be
// factorised, or so badly (its condition, rows and columns scaled to 1 on the diagonal) that nothing is left of the answer.
//
// # Units, validity, source
//
// SI: m, N, N m, Pa, rad; x to the right, y up, turns counter-clockwise. Small displacements, slender members: no shear of the section, and
// what compression takes of the stiffness is left out, as it may be far below the buckling load. Any textbook of the displacement method, for
// instance Kassimali, Matrix Analysis of Structures.
package frames

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/blas/blas64"
	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/spatial/r2"
)

// mostCondition is up to where a frame is one: with more, a joint moves that nothing but rounding holds. A frame of members a thousand times
// as stiff one as the other comes to 1e8.
const mostCondition = 1e12

// A Node is where members meet. Held are its ways along x and y and its turn.
type Node struct {
	At   r2.Vec
	Held [3]bool
}

// A Member is straight and even from one node to another. Free are its ends that turn on their node.
type Member struct {
	From, To   int
	Elasticity float64 // E, Pa
	Area       float64 // m²
	Moment     float64 // second moment of area I about the axis across the drawing, m⁴
	Free       [2]bool
	Spring     [2]float64 // how stiff each end is turned on its node, N m/rad; nothing where it is as stiff as the member, or Free
}

// A Frame is nodes and members.
type Frame struct {
	Nodes   []Node
	Members []Member
}

// Loads act on nodes and members; forces are in the drawing's directions.
type Loads struct {
	Nodes  []NodeLoad
	Spread []Spread
	Points []Point
}

// A NodeLoad is a force (N) and a moment (N m) on a node.
type NodeLoad struct {
	Node   int
	Force  r2.Vec
	Moment float64
}

// A Spread is even over a member, N/m of its length.
type Spread struct {
	Member int
	Force  r2.Vec
}

// A Point is a force on a member, so far from its first node (m).
type Point struct {
	Member int
	At     float64
	Force  r2.Vec
}

// A Loose frame has a member from which no chain of members leads to a node that is held.
type Loose struct{ Member int }

func (e *Loose) Error() string { return fmt.Sprintf("member %d hangs on nothing", e.Member) }

// A Moves error names the node that moves most, though the members are rigid, and which way: Turns says that it only turns.
type Moves struct {
	Node  int
	Way   r2.Vec
	Turns bool
}

func (e *Moves) Error() string { return fmt.Sprintf("node %d moves", e.Node) }

// A Stiff is a frame that is ready to bear loads.
type Stiff struct {
	frame Frame
	bars  []bar
	at    [][3]int // of each node, the unknowns of its two ways and its turn; -1 where it is held
	scale []float64
	band  int // how far an unknown's number lies from that of another one on the same member, at the most
	chol  mat.BandCholesky
}

// A bar is a member with its stiffness by its own axes, ends that turn eliminated.
type bar struct {
	length, cos, sin float64
	k                [6][6]float64
	full             [6][6]float64 // with both ends stiff
}

// Stiffen prepares a frame. Its errors are *Loose and *Moves; members must have a length, an area, a moment and a modulus above nothing.
func (f Frame) Stiffen() (*Stiff, error) {
	if m := f.loose(); m >= 0 {
		return nil, &Loose{m}
	}
	s := &Stiff{frame: f, bars: make([]bar, len(f.Members)), at: make([][3]int, len(f.Nodes))}
	turned := make([]bool, len(f.Nodes)) // by a member that is stiff there
	for i, m := range f.Members {
		s.bars[i] = f.bar(m)
		turned[m.From] = turned[m.From] || !m.Free[0]
		turned[m.To] = turned[m.To] || !m.Free[1]
	}
	n := 0
	for _, i := range f.along() {
		for d := range 3 {
			if s.at[i][d] = -1; !f.Nodes[i].Held[d] && (d < 2 || turned[i]) {
				s.at[i][d] = n
				n++
			}
		}
	}
	if n == 0 {
		return s, nil
	}
	s.scale = make([]float64, n)
	for i := range s.bars {
		where := s.unknowns(i)
		for _, row := range where {
			for _, column := range where {
				if row >= 0 && column >= row {
					s.band = max(s.band, column-row)
				}
			}
		}
	}
	k := mat.NewSymBandDense(n, s.band, nil)
	raw := k.RawSymBand()
	for i := range s.bars {
		s.assemble(raw, i, s.bars[i].inDrawing())
	}
	for i := range n {
		if d := k.At(i, i); d > 0 {
			s.scale[i] = 1 / math.Sqrt(d)
		} else {
			s.scale[i] = 1 // nothing holds it at all
		}
	}
	for i := range n {
		for j := i; j < min(n, i+s.band+1); j++ {
			k.SetSymBand(i, j, k.At(i, j)*s.scale[i]*s.scale[j])
		}
	}
	if !s.chol.Factorize(k) || s.chol.Cond() > mostCondition {
		return nil, s.moves(k)
	}
	return s, nil
}

// assemble adds the stiffness of a member, by the axes of the drawing, to that of the frame.
func (s *Stiff) assemble(k blas64.SymmetricBand, member int, g [6][6]float64) {
	where := s.unknowns(member)
	for a, row := range where {
		for b, column := range where {
			if row >= 0 && column >= row {
				k.Data[row*k.Stride+column-row] += g[a][b]
			}
		}
	}
}

// along orders the nodes so that those of one member come near to each other (Cuthill and McKee, 1969): layer by layer from an end of each part
// that hangs together.
func (f Frame) along() []int {
	beside := make([][]int, len(f.Nodes))
	for _, m := range f.Members {
		beside[m.From], beside[m.To] = append(beside[m.From], m.To), append(beside[m.To], m.From)
	}
	seen := make([]int, len(f.Nodes)) // by the sweep that saw it last
	sweep := 0
	layers := func(from int) []int {
		sweep++
		list := []int{from}
		seen[from] = sweep
		for k := 0; k < len(list); k++ {
			fresh := len(list)
			for _, next := range beside[list[k]] {
				if seen[next] != sweep {
					seen[next] = sweep
					list = append(list, next)
				}
			}
			slices.SortStableFunc(list[fresh:], func(a, b int) int { return cmp.Compare(len(beside[a]), len(beside[b])) })
		}
		return list
	}
	done := make([]bool, len(f.Nodes))
	order := make([]int, 0, len(f.Nodes))
	for i := range f.Nodes {
		if done[i] {
			continue
		}
		part := layers(i)
		part = layers(part[len(part)-1]) // which lies far from the first
		for _, node := range part {
			done[node] = true
		}
		order = append(order, part...)
	}
	return order
}

// loose is a member that hangs on nothing; -1 where there is none.
func (f Frame) loose() int {
	held := make([]bool, len(f.Nodes))
	for i, n := range f.Nodes {
		held[i] = n.Held != [3]bool{}
	}
	for more := true; more; {
		more = false
		for _, m := range f.Members {
			if held[m.From] != held[m.To] {
				held[m.From], held[m.To], more = true, true, true
			}
		}
	}
	for i, m := range f.Members {
		if !held[m.From] {
			return i
		}
	}
	return -1
}

// moves finds the joint that nothing holds: where the frame gives way most, under what it gives way to most.
func (s *Stiff) moves(k *mat.SymBandDense) error {
	full := mat.NewSymDense(len(s.scale), nil)
	full.CopySym(k)
	var eigen mat.EigenSym
	if !eigen.Factorize(full, true) {
		return &Moves{}
	}
	var vectors mat.Dense
	eigen.VectorsTo(&vectors)
	size := 0.0 // by which a turn becomes a way
	for _, b := range s.bars {
		size = max(size, b.length)
	}
	way := func(node, d int) float64 {
		i := s.at[node][d]
		if i < 0 {
			return 0
		}
		return vectors.At(i, 0) * s.scale[i]
	}
	e, most, turn, turns := &Moves{}, 0.0, 0.0, 0
	for i := range s.at {
		v := r2.Vec{X: way(i, 0), Y: way(i, 1)}
		if r2.Norm(v) > most*(1+1e-9) {
			e.Node, most, e.Way = i, r2.Norm(v), v
		}
		if t := math.Abs(way(i, 2)) * size; t > turn {
			turn, turns = t, i
		}
	}
	if most < 1e-6*turn {
		return &Moves{Node: turns, Turns: true}
	}
	e.Way = r2.Scale(1/most, e.Way)
	if e.Way.X < -1e-9 || math.Abs(e.Way.X) <= 1e-9 && e.Way.Y < 0 {
		e.Way = r2.Scale(-1, e.Way)
	}
	return e
}

func (s *Stiff) unknowns(member int) [6]int {
	m := s.frame.Members[member]
	a, b := s.at[m.From], s.at[m.To]
	return [6]int{a[0], a[1], a[2], b[0], b[1], b[2]}
}

func (f Frame) bar(m Member) bar {
	d := r2.Sub(f.Nodes[m.To].At, f.Nodes[m.From].At)
	b := bar{length: r2.Norm(d)}
	b.cos, b.sin = d.X/b.length, d.Y/b.length
	l, ei := b.length, m.Elasticity*m.Moment
	along, across, lever, near, far := m.Elasticity*m.Area/l, 12*ei/(l*l*l), 6*ei/(l*l), 4*ei/l, 2*ei/l
	b.full = [6][6]float64{
		{along, 0, 0, -along, 0, 0},
		{0, across, lever, 0, -across, lever},
		{0, lever, near, 0, -lever, far},
		{-along, 0, 0, along, 0, 0},
		{0, -across, -lever, 0, across, -lever},
		{0, lever, far, 0, -lever, near},
	}
	b.k = b.full
	m.soften(&b.k, nil)
	return b
}

// soften takes what turns at a member's ends, freely or on a spring, out of its stiffness, and out of what acts with the ends held.
func (m Member) soften(k *[6][6]float64, f *[6]float64) {
	for end := range 2 {
		switch way := 2 + 3*end; {
		case m.Free[end]:
			eliminate(k, f, way)
		case m.Spring[end] > 0:
			yield(k, f, way, m.Spring[end])
		}
	}
}

// yield puts a spring between a way of a member's end and its node: of the end it is eliminated, and the node's takes its place.
func yield(k *[6][6]float64, f *[6]float64, way int, spring float64) {
	sum := k[way][way] + spring
	row := k[way]
	for i := range k {
		for j := range k {
			if i != way && j != way {
				k[i][j] -= row[i] * row[j] / sum
			}
		}
	}
	if f != nil {
		last := f[way]
		for i := range f {
			if i != way {
				f[i] -= row[i] * last / sum
			}
		}
		f[way] = last * spring / sum
	}
	for i := range k {
		if i != way {
			k[way][i], k[i][way] = row[i]*spring/sum, row[i]*spring/sum
		}
	}
	k[way][way] = row[way] * spring / sum
}

// eliminate takes a way out of a stiffness that no force acts along, and out of what acts with the ends held.
func eliminate(k *[6][6]float64, f *[6]float64, way int) {
	pivot := k[way][way]
	if pivot == 0 {
		return
	}
	row := k[way]
	for i := range k {
		part := row[i] / pivot
		for j := range k {
			k[i][j] -= part * row[j]
		}
	}
	if f != nil {
		last := f[way]
		for i := range f {
			f[i] -= row[i] / pivot * last
		}
	}
	for i := range k {
		k[way][i], k[i][way] = 0, 0 // not what rounding leaves
	}
}

// inDrawing is the stiffness by the axes of the drawing.
func (b *bar) inDrawing() (g [6][6]float64) {
	// Columns, then rows.
	for i := range 6 {
		row := b.toDrawing(b.k[i])
		g[i] = row
	}
	for j := range 6 {
		column := b.toDrawing([6]float64{g[0][j], g[1][j], g[2][j], g[3][j], g[4][j], g[5][j]})
		for i := range 6 {
			g[i][j] = column[i]
		}
	}
	return g
}

func (b *bar) toDrawing(v [6]float64) [6]float64 {
	for i := 0; i < 6; i += 3 {
		v[i], v[i+1] = b.cos*v[i]-b.sin*v[i+1], b.sin*v[i]+b.cos*v[i+1]
	}
	return v
}

func (b *bar) toOwn(v [6]float64) [6]float64 {
	for i := 0; i < 6; i += 3 {
		v[i], v[i+1] = b.cos*v[i]+b.sin*v[i+1], -b.sin*v[i]+b.cos*v[i+1]
	}
	return v
}

func (b *bar) own(f r2.Vec) r2.Vec {
	return r2.Vec{X: b.cos*f.X + b.sin*f.Y, Y: -b.sin*f.X + b.cos*f.Y}
}

// held is what the held ends put on a member under an even load and one at a place.
func (b *bar) held(q r2.Vec) [6]float64 {
	l := b.length
	return [6]float64{-q.X * l / 2, -q.Y * l / 2, -q.Y * l * l / 12, -q.X * l / 2, -q.Y * l / 2, q.Y * l * l / 12}
}

func (b *bar) heldAt(p r2.Vec, a float64) [6]float64 {
	l := b.length
	c := l - a
	return [6]float64{-p.X * c / l, -p.Y * c * c * (3*a + c) / (l * l * l), -p.Y * a * c * c / (l * l),
		-p.X * a / l, -p.Y * a * a * (a + 3*c) / (l * l * l), p.Y * a * a * c / (l * l)}
}
