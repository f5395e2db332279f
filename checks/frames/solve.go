package frames

import (
	"errors"
	"math"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/spatial/r2"
)

// A Result is what a frame does under its loads. Its room is used again.
type Result struct {
	Moves     []Displaced // of each node
	Reactions []Reaction  // what holds each node puts on it; nothing where it is not held
	Ends      [][6]float64

	bars   []bar
	spread []r2.Vec // of each member, by its own axes
	points [][]at
	rhs, u *mat.VecDense
}

// A Displaced node has moved (m) and turned (rad). Where only ends meet that turn on it, it has no turn of its own.
type Displaced struct {
	Way  r2.Vec
	Turn float64
}

// A Reaction is a force (N) and a moment (N m).
type Reaction struct {
	Force  r2.Vec
	Moment float64
}

type at struct {
	from  float64
	force r2.Vec
}

// ErrTurns is the answer to a moment on a node that turns freely.
var ErrTurns = errors.New("a moment acts on a joint that turns freely")

// Bear computes what the frame does under loads.
func (s *Stiff) Bear(l Loads, into *Result) error {
	r, n := into, len(s.scale)
	r.size(s)
	if n > 0 {
		r.rhs.Zero()
	}
	push := func(i int, f float64) {
		if i >= 0 {
			r.rhs.SetVec(i, r.rhs.AtVec(i)+f)
		}
	}
	for _, one := range l.Nodes {
		where := s.at[one.Node]
		if one.Moment != 0 && where[2] < 0 && !s.frame.Nodes[one.Node].Held[2] {
			return ErrTurns
		}
		push(where[0], one.Force.X)
		push(where[1], one.Force.Y)
		push(where[2], one.Moment)
	}
	for _, one := range l.Spread {
		r.spread[one.Member] = r2.Add(r.spread[one.Member], s.bars[one.Member].own(one.Force))
	}
	for _, one := range l.Points {
		r.points[one.Member] = append(r.points[one.Member], at{one.At, s.bars[one.Member].own(one.Force)})
	}
	// Ends holds what acts with the ends held, until their displacements are known.
	for i := range s.bars {
		b, m := &s.bars[i], s.frame.Members[i]
		f := b.held(r.spread[i])
		for _, p := range r.points[i] {
			for j, x := range b.heldAt(p.force, p.from) {
				f[j] += x
			}
		}
		if f != [6]float64{} && (m.Free != [2]bool{} || m.Spring != [2]float64{}) {
			k := b.full
			m.soften(&k, &f)
		}
		r.Ends[i] = f
		for j, x := range b.toDrawing(f) {
			push(s.unknowns(i)[j], -x)
		}
	}
	if n > 0 {
		for i, c := range s.scale {
			r.rhs.SetVec(i, r.rhs.AtVec(i)*c)
		}
		// Its condition was looked at when it was prepared.
		if err := s.chol.SolveVecTo(r.u, r.rhs); err != nil && !errors.As(err, new(mat.Condition)) {
			return err
		}
	}
	of := func(i int) float64 {
		if i < 0 {
			return 0
		}
		return r.u.AtVec(i) * s.scale[i]
	}
	for i, where := range s.at {
		r.Moves[i] = Displaced{r2.Vec{X: of(where[0]), Y: of(where[1])}, of(where[2])}
	}
	for i := range s.bars {
		b := &s.bars[i]
		var u [6]float64
		for j, where := range s.unknowns(i) {
			u[j] = of(where)
		}
		u = b.toOwn(u)
		for a := range 6 {
			for c := range 6 {
				r.Ends[i][a] += b.k[a][c] * u[c]
			}
		}
	}
	r.round()
	for i := range s.bars {
		b, m := &s.bars[i], s.frame.Members[i]
		g := b.toDrawing(r.Ends[i])
		for end, node := range []int{m.From, m.To} {
			r.Reactions[node].add(r2.Vec{X: g[3*end], Y: g[3*end+1]}, g[3*end+2])
		}
	}
	for _, one := range l.Nodes {
		r.Reactions[one.Node].add(r2.Scale(-1, one.Force), -one.Moment)
	}
	for i, node := range s.frame.Nodes {
		if !node.Held[0] {
			r.Reactions[i].Force.X = 0 // what rounding leaves
		}
		if !node.Held[1] {
			r.Reactions[i].Force.Y = 0
		}
		if !node.Held[2] {
			r.Reactions[i].Moment = 0
		}
	}
	return nil
}

// round makes nothing of what rounding leaves, by the greatest force and the greatest moment of all ends.
func (r *Result) round() {
	const nothing = 1e-11
	var most [2]float64
	for _, f := range r.Ends {
		for j, x := range f {
			most[j%3/2] = max(most[j%3/2], math.Abs(x))
		}
	}
	for i := range r.Ends {
		for j, x := range r.Ends[i] {
			if math.Abs(x) < nothing*most[j%3/2] {
				r.Ends[i][j] = 0
			}
		}
	}
}

func (r *Reaction) add(force r2.Vec, moment float64) {
	r.Force, r.Moment = r2.Add(r.Force, force), r.Moment+moment
}

// size gives room for a frame's answer, and forgets the last one.
func (r *Result) size(s *Stiff) {
	nodes, members := len(s.frame.Nodes), len(s.bars)
	if len(r.Moves) != nodes || len(r.Ends) != members || r.rhs == nil || r.rhs.Len() != len(s.scale) {
		*r = Result{Moves: make([]Displaced, nodes), Reactions: make([]Reaction, nodes), Ends: make([][6]float64, members),
			spread: make([]r2.Vec, members), points: make([][]at, members)}
		if n := len(s.scale); n > 0 {
			r.rhs, r.u = mat.NewVecDense(n, nil), mat.NewVecDense(n, nil)
		}
	}
	r.bars = s.bars
	clear(r.Reactions)
	clear(r.spread)
	for i := range r.points {
		r.points[i] = r.points[i][:0]
	}
}

// Inside is the force along a member (N, pull positive) and its bending moment (N m) so far from its first node (m).
func (r *Result) Inside(member int, x float64) (along, bends float64) {
	f, q := r.Ends[member], r.spread[member]
	along = -f[0] - q.X*x
	bends = -f[2] + f[1]*x + q.Y*x*x/2
	for _, p := range r.points[member] {
		if x > p.from {
			along -= p.force.X
			bends += p.force.Y * (x - p.from)
		}
	}
	return along, bends
}

// A Worst is the greatest stress in a member (Pa), where that is (m from its first node), and what makes it: the force along (N, pull positive)
// and the bending moment (N m) there. Push is the greatest force that presses along the member (N).
type Worst struct {
	Stress, At, Along, Bends, Push float64
}

// Stressed looks for the greatest stress in a member, whose edge lies so far from the middle of its section (m).
func (r *Result) Stressed(member int, area, moment, edge float64) (s Worst) {
	look := func(x float64) {
		along, bends := r.Inside(member, x)
		if stress := math.Abs(along)/area + math.Abs(bends)*edge/moment; stress > s.Stress {
			s.Stress, s.At, s.Along, s.Bends = stress, x, along, bends
		}
		s.Push = max(s.Push, -along)
	}
	l := r.bars[member].length
	look(0)
	look(l)
	// It bends most where the shear is nothing: at a force, or on the way from one to the next.
	level := func(from float64) {
		shear := r.Ends[member][1]
		for _, p := range r.points[member] {
			if p.from <= from {
				shear += p.force.Y
			}
		}
		if x := -shear / r.spread[member].Y; x > 0 && x < l {
			look(x)
		}
	}
	level(0)
	for _, p := range r.points[member] {
		look(p.from)
		level(p.from)
	}
	return s
}
