package frames

import (
	"math"

	"gonum.org/v1/gonum/blas/blas64"
	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/lapack/lapack64"
	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/spatial/r2"
)

// # Giving way as a whole
//
//	(K + α K_N) φ = 0     α how many times its loads a frame bears; K_N of each piece of a member under its force N along (pull positive):
//	k_N = N / 30 l [36, 3 l, −36, 3 l; 3 l, 4 l², −3 l, −l²; −36, −3 l, 36, −3 l; 3 l, −l², −3 l, 4 l²]
//
// Each member is cut into pieces, the more the nearer N comes to what it bears alone, whose inner joints are eliminated again: what is left is
// positive definite up to α, and the elimination meets no pivot below nothing. That is looked for by halving. The forces along are those of
// small displacements. Source: Przemieniecki, Theory of Matrix Structural Analysis, chapter 15; closed forms in Timoshenko and Gere, Theory of
// Elastic Stability.

const (
	// mostPieces of a member: with six the load of one held fast at both ends is found to two parts in a thousand. With fewer the error of a
	// piece goes with the square of α N l² / E I: below slight one is as good, below moderate two.
	mostPieces       = 6
	slight, moderate = 0.3, 2.5
	// leastReserve is below which no reserve is looked for, and halved how close the answer comes.
	leastReserve, halved = 1e-3, 1e-3
)

// A Mode is how a frame gives way: at a node, or within a member (else -1), mostly along Way.
type Mode struct {
	Node, Member int
	Way          r2.Vec
}

// Buckles is how many times its loads a frame bears in the plane before it gives way, most at the most, with how it does.
func (s *Stiff) Buckles(r *Result, most float64) (reserve float64, how Mode) {
	b := buckling{s: s, r: r}
	n := len(s.scale)
	if n > 0 {
		b.k = mat.NewSymBandDense(n, s.band, nil).RawSymBand()
	}
	if b.stands(most) {
		return most, Mode{-1, -1, r2.Vec{}}
	}
	low, high := leastReserve, most
	if !b.stands(low) {
		return low, b.mode(low / 2)
	}
	for high > low*(1+halved) {
		if middle := math.Sqrt(low * high); b.stands(middle) {
			low = middle
		} else {
			high = middle
		}
	}
	return low, b.mode(low)
}

type buckling struct {
	s    *Stiff
	r    *Result
	k    blas64.SymmetricBand
	root blas64.TriangularBand // of k, which it takes the place of
}

// A column is one member across its line: the way and turn of its nodes, those of its ends beside a joint that turns, and of the joints of its
// pieces: v₀ θ₀ v₁ θ₁ of the nodes, φ₀ φ₁, then v θ of each inner joint.
const columnSize = 6 + 2*(mostPieces-1)

type column struct {
	k    [columnSize][columnSize]float64
	size int // so many of these
}

// stands reports whether the frame does not give way under so many times its loads.
func (b *buckling) stands(times float64) bool {
	clear(b.k.Data)
	for i := range b.s.bars {
		c := b.column(i, times)
		if !c.condense() {
			return false
		}
		bar, m := &b.s.bars[i], b.s.frame.Members[i]
		one := across(bar, m.Elasticity*m.Area/bar.length, &c)
		b.s.assemble(b.k, i, one.inDrawing())
	}
	n := b.k.N
	for i := range n {
		row := b.k.Data[i*b.k.Stride : i*b.k.Stride+min(b.k.Stride, n-i)]
		for j := range row {
			row[j] *= b.s.scale[i] * b.s.scale[i+j]
		}
	}
	if n == 0 {
		return true
	}
	var ok bool
	b.root, ok = lapack64.Pbtrf(b.k)
	return ok
}

func (b *buckling) column(i int, times float64) (c column) {
	bar, m := &b.s.bars[i], b.s.frame.Members[i]
	ei := m.Elasticity * m.Moment
	pieces := 1
	from, _ := b.r.Inside(i, 0)
	to, _ := b.r.Inside(i, bar.length)
	if bent := times * max(math.Abs(from), math.Abs(to)) * bar.length * bar.length / ei; bent > moderate {
		pieces = mostPieces
	} else if bent > slight {
		pieces = 2
	}
	c.size = 6 + 2*(pieces-1)
	l := bar.length / float64(pieces)
	// Of the joint of two pieces: its way and its turn.
	place := func(joint int) (v, turn int) {
		switch joint {
		case 0:
			return 0, 4
		case pieces:
			return 2, 5
		}
		return 6 + 2*(joint-1), 7 + 2*(joint-1)
	}
	for p := range pieces {
		along, _ := b.r.Inside(i, (float64(p)+0.5)*l)
		n := times * along / (30 * l)
		v1, t1 := place(p)
		v2, t2 := place(p + 1)
		k := 12*ei/(l*l*l) + 36*n
		h := 6*ei/(l*l) + 3*l*n
		near, far := 4*ei/l+4*l*l*n, 2*ei/l-l*l*n
		c.add(v1, v1, k)
		c.add(v2, v2, k)
		c.add(v1, v2, -k)
		c.add(v1, t1, h)
		c.add(v1, t2, h)
		c.add(v2, t1, -h)
		c.add(v2, t2, -h)
		c.add(t1, t1, near)
		c.add(t2, t2, near)
		c.add(t1, t2, far)
	}
	for end := range 2 {
		node, own := 1+2*end, 4+end
		switch {
		case m.Free[end]:
		case m.Spring[end] > 0:
			c.add(node, node, m.Spring[end])
			c.add(own, own, m.Spring[end])
			c.add(node, own, -m.Spring[end])
		default: // they are one
			for j := range c.size {
				c.k[node][j] += c.k[own][j]
				c.k[own][j] = 0
			}
			for j := range c.size {
				c.k[j][node] += c.k[j][own]
				c.k[j][own] = 0
			}
			c.k[own][own] = 1
		}
	}
	return c
}

func (c *column) add(i, j int, x float64) {
	c.k[i][j] += x
	if i != j {
		c.k[j][i] += x
	}
}

// eliminate takes one of its ways out; not ok where nothing holds it any more.
func (c *column) eliminate(way int) (ok bool) {
	pivot := c.k[way][way]
	if !(pivot > 0) {
		return false
	}
	for i := range way {
		if part := c.k[i][way] / pivot; part != 0 {
			for j := range way {
				c.k[i][j] -= part * c.k[way][j]
			}
		}
	}
	return true
}

// across is a member with another stiffness across its line.
func across(of *bar, along float64, c *column) bar {
	one := bar{length: of.length, cos: of.cos, sin: of.sin}
	one.k[0][0], one.k[3][3], one.k[0][3], one.k[3][0] = along, along, -along, -along
	to := [4]int{1, 2, 4, 5}
	for i := range 4 {
		for j := range 4 {
			one.k[to[i]][to[j]] = c.k[i][j]
		}
	}
	return one
}

// mode is where the frame moves most under so many times its loads, just before it gives way: under hardly any push at all.
func (b *buckling) mode(times float64) Mode {
	how := Mode{-1, -1, r2.Vec{}}
	for i := range b.s.bars {
		// One that gives way though its nodes are held.
		if c := b.column(i, times*(1+4*halved)); !c.condense() {
			how.Member = i
			return how
		}
	}
	n := len(b.s.scale)
	if n == 0 || !b.stands(times) {
		return how
	}
	x := make([]float64, n)
	for i := range n {
		x[i] = math.Sin(float64(i + 1))
	}
	for range 4 {
		lapack64.Pbtrs(b.root, blas64.General{Rows: n, Cols: 1, Stride: 1, Data: x})
		size := floats.Norm(x, math.Inf(1))
		if size == 0 {
			return how
		}
		floats.Scale(1/size, x)
	}
	most := 0.0
	of := func(i int) float64 {
		if i < 0 {
			return 0
		}
		return x[i] * b.s.scale[i]
	}
	for i, where := range b.s.at {
		if way := (r2.Vec{X: of(where[0]), Y: of(where[1])}); r2.Norm(way) > most*(1+1e-6) {
			most, how.Node, how.Way = r2.Norm(way), i, r2.Scale(1/r2.Norm(way), way)
		}
	}
	// Where its nodes turn more than they go, a member bows between them.
	for i, m := range b.s.frame.Members {
		l := b.s.bars[i].length
		for _, node := range []int{m.From, m.To} {
			if bow := math.Abs(of(b.s.at[node][2])) * l / 4; bow > most*(1+1e-6) {
				most, how = bow, Mode{-1, i, r2.Vec{}}
			}
		}
	}
	return how
}

// condense eliminates all that is no way of its nodes; false where something of that gives way.
func (c *column) condense() bool {
	for inner := c.size - 1; inner >= 4; inner-- {
		if !c.eliminate(inner) {
			return false
		}
	}
	return true
}
