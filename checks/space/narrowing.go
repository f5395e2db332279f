package space

import (
	"errors"
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r2"
)

// How a gap narrows at each place of a part's edge.
//
//	g(p) = √( max(0, d(p))² + z² )      d(p) = min_B |b - p| - rA - rB
//
// Symbols: p a place on the core of a piece of one part, along its edge, in steps of the spacing; d how far the disc of the core's radius
// about p is from the other part in the plane, m; z how far their layers are apart along the pins, m. A place counts only in poses in which
// the nearest of the other part lies before it: along the edge's normal to within 84°, with nothing of its own part between.
//
// Range: the least of two parts as such is Closest's; here it is the course of each place that counts, since what opens and closes beside a
// hinge does not touch the least. Between two steps of the motion, and between two places, nothing is looked at: the error is that of a
// chord, h²/8 times the curvature.

// A Narrowing is the gap between one place of a part's edge and another part over a sweep.
type Narrowing struct {
	Own bool      // the place is on the first of the two parts
	Gap []float64 // by step, m; NaN where the other part isn't before the place
	// On are the place, on the edge, and the nearest of the other part, m, in the machine's frame; by step.
	On [][2]r2.Vec
}

// facing is the least cosine between an edge's normal and the direction to what lies before it.
const facing = 0.1

// A place is on a core, with the normals of the sides that meet there; none is a disc, which faces all ways.
type place struct {
	at      r2.Vec
	radius  float64
	normals []r2.Vec
	shape   int
	piece   int // index in the shape's outline
}

// Edges are those of a scene's shapes, ready to be followed through a motion.
type Edges struct {
	scene  Scene
	frames [][]frame  // by step, then by body
	places [][]place  // of each shape
	boxes  [][]r2.Box // around each shape's pieces, in its body's frame: far quicker to measure to than the pieces
}

// NewEdges takes places along the edges, at most so far apart (m). The error says what is wrong with the scene or the motion.
func NewEdges(scene Scene, motion Motion, apart float64) (*Edges, error) {
	if err := motion.check(); err != nil {
		return nil, err
	}
	if err := scene.check(motion.bodies()); err != nil {
		return nil, err
	}
	if err := positive("the way from place to place", apart); err != nil {
		return nil, err
	}
	e := &Edges{scene: scene, places: make([][]place, len(scene.Shapes)), boxes: make([][]r2.Box, len(scene.Shapes))}
	for _, poses := range motion.Poses {
		frames := make([]frame, len(poses))
		for i, p := range poses {
			frames[i] = p.frame()
		}
		e.frames = append(e.frames, frames)
	}
	for i := range scene.Shapes {
		for k := range scene.Shapes[i].Outline.pieces {
			p := &scene.Shapes[i].Outline.pieces[k]
			e.boxes[i] = append(e.boxes[i], p.box())
			for _, at := range p.places(apart) {
				at.shape, at.piece = i, k
				e.places[i] = append(e.places[i], at)
			}
		}
	}
	return e, nil
}

// Narrowings follows the gaps between two parts, each given by its shapes. Places whose gap never gets so narrow as within (m) are left
// out, and so are those of interest at no step; nil is interest in all.
func (e *Edges) Narrowings(first, second []int, within float64, interest func(step int, at r2.Vec) bool) ([]Narrowing, error) {
	for _, part := range [][]int{first, second} {
		for _, i := range part {
			if i < 0 || i >= len(e.scene.Shapes) {
				return nil, errors.New("a part has a shape that the scene does not have")
			}
		}
	}
	n := &narrower{Edges: e, within: within, interest: interest, gaps: make([]float64, len(e.frames)), on: make([][2]r2.Vec, len(e.frames))}
	return append(n.follow(first, second, true), n.follow(second, first, false)...), nil
}

type narrower struct {
	*Edges
	within   float64
	interest func(step int, at r2.Vec) bool
	gaps     []float64 // of the place in work, by step
	on       [][2]r2.Vec
}

// follow goes along the edge of one part.
func (n *narrower) follow(own, other []int, first bool) []Narrowing {
	var out []Narrowing
	for _, i := range own {
		for k := range n.places[i] {
			at := &n.places[i][k]
			if !n.nears(at, other) || !n.interests(at) {
				continue
			}
			seen := false
			for step := range n.frames {
				n.gaps[step], n.on[step] = n.gap(at, own, other, n.frames[step])
				seen = seen || n.gaps[step] <= n.within // not where it is NaN
			}
			if seen {
				out = append(out, Narrowing{Own: first, Gap: slices.Clone(n.gaps), On: slices.Clone(n.on)})
			}
		}
	}
	return out
}

// nears says whether a place may come so near to another part that it is followed.
func (n *narrower) nears(p *place, other []int) bool {
	body := n.scene.Shapes[p.shape].Body
	for _, frames := range n.frames {
		at := frames[body].place(p.at)
		for _, i := range other {
			c := frames[n.scene.Shapes[i].Body].local(at)
			for _, b := range n.boxes[i] {
				if outside(&b, c)-p.radius <= n.within {
					return true
				}
			}
		}
	}
	return false
}

func (n *narrower) interests(p *place) bool {
	if n.interest == nil {
		return true
	}
	body := n.scene.Shapes[p.shape].Body
	for step := range n.frames {
		if n.interest(step, n.frames[step][body].place(p.at)) {
			return true
		}
	}
	return false
}

// places along a piece's edge.
func (p *piece) places(spacing float64) []place {
	var out []place
	count := len(p.core)
	side := func(i int) (from, to, normal r2.Vec) {
		from, to = p.core[i], p.core[next(i, count)]
		way := r2.Unit(r2.Sub(to, from))
		return from, to, r2.Vec{X: way.Y, Y: -way.X} // outward of a counter-clockwise ring
	}
	between := func(i int, normals ...r2.Vec) {
		from, to, _ := side(i)
		parts := math.Ceil(r2.Norm(r2.Sub(to, from)) / spacing)
		for k := 1.0; k < parts; k++ {
			out = append(out, place{at: r2.Add(from, r2.Scale(k/parts, r2.Sub(to, from))), radius: p.radius, normals: normals})
		}
	}
	if count < 3 {
		for _, c := range p.core {
			out = append(out, place{at: c, radius: p.radius})
		}
		if count == 2 {
			_, _, normal := side(0)
			between(0, normal, r2.Scale(-1, normal))
		}
		return out
	}
	for i := range p.core {
		_, _, before := side((i + count - 1) % count)
		_, _, after := side(i)
		out = append(out, place{at: p.core[i], radius: p.radius, normals: []r2.Vec{before, after}})
		between(i, after)
	}
	return out
}

// hypot is math.Hypot for lengths of a machine, whose squares neither overflow nor vanish.
func hypot(x, y float64) float64 { return math.Sqrt(x*x + y*y) }

// gap is that at a place in a pose.
func (n *narrower) gap(p *place, own, other []int, frames []frame) (float64, [2]r2.Vec) {
	self := n.scene.Shapes[p.shape]
	at := frames[self.Body].place(p.at)
	least, to, over := math.Inf(1), r2.Vec{}, false
	for _, i := range other {
		s := &n.scene.Shapes[i]
		z := max(0, s.Low-self.High, self.Low-s.High)
		c := frames[s.Body].local(at)
		for k := range s.Outline.pieces {
			if outside(&n.boxes[i][k], c)-p.radius >= least {
				continue
			}
			d, on := s.Outline.pieces[k].from(c)
			plane := max(0, d-p.radius)
			if g := hypot(plane, z); g < least {
				least, to, over = g, frames[s.Body].place(on), d <= p.radius
			}
		}
	}
	if over {
		return least, [2]r2.Vec{at, at} // they lie over each other
	}
	way := r2.Sub(to, at)
	direction := r2.Unit(way)
	before := len(p.normals) == 0
	for _, normal := range p.normals {
		f := frames[self.Body]
		before = before || f.cos*(normal.X*direction.X+normal.Y*direction.Y)+f.sin*(normal.X*direction.Y-normal.Y*direction.X) >= facing
	}
	edge := r2.Add(at, r2.Scale(p.radius, direction))
	if !before || n.covered(p, own, frames, r2.Add(edge, r2.Scale(beyondEdge, direction)), r2.Scale(0.5, r2.Add(edge, to))) {
		return math.NaN(), [2]r2.Vec{}
	}
	return least, [2]r2.Vec{edge, to}
}

// beyondEdge in m is how far before an edge it is looked whether the part itself goes on there, as it does at a seam between two pieces.
const beyondEdge = 1e-4

// covered says whether a part lies over one of some points.
func (n *narrower) covered(p *place, own []int, frames []frame, points ...r2.Vec) bool {
	for _, i := range own {
		s := &n.scene.Shapes[i]
		for _, at := range points {
			c := frames[s.Body].local(at)
			for k := range s.Outline.pieces {
				if i == p.shape && k == p.piece || outside(&n.boxes[i][k], c) > 0 {
					continue
				}
				if d, _ := s.Outline.pieces[k].from(c); d < -1e-9 {
					return true
				}
			}
		}
	}
	return false
}

func (p *piece) box() r2.Box {
	b := r2.Box{Min: p.core[0], Max: p.core[0]}
	for _, c := range p.core[1:] {
		b.Min = r2.Vec{X: min(b.Min.X, c.X), Y: min(b.Min.Y, c.Y)}
		b.Max = r2.Vec{X: max(b.Max.X, c.X), Y: max(b.Max.Y, c.Y)}
	}
	r := r2.Vec{X: p.radius, Y: p.radius}
	return r2.Box{Min: r2.Sub(b.Min, r), Max: r2.Add(b.Max, r)}
}

// outside is how far a point is from a box, zero within it.
func outside(b *r2.Box, p r2.Vec) float64 {
	return hypot(max(0, b.Min.X-p.X, p.X-b.Max.X), max(0, b.Min.Y-p.Y, p.Y-b.Max.Y))
}

// from is how far a point of the body's frame is from a piece, below zero within it, and the piece's nearest; the point itself within it.
func (p *piece) from(c r2.Vec) (float64, r2.Vec) {
	least, on, inside := math.Inf(1), p.core[0], len(p.core) > 2
	if len(p.core) == 1 {
		least = r2.Norm2(r2.Sub(c, on))
	}
	for i, n := 0, sides(p.core); i < n; i++ {
		from, to := p.core[i], p.core[next(i, len(p.core))]
		inside = inside && turn(from, to, c) > 0
		if near, d := nearest(from, to, c); d < least {
			least, on = d, near
		}
	}
	d := math.Sqrt(least)
	if inside {
		return -d - p.radius, c
	}
	if d > 0 {
		on = r2.Add(on, r2.Scale(p.radius/d, r2.Sub(c, on)))
	}
	return d - p.radius, on
}

// Within says how far an outline in the machine's frame is from a line between two points of it, m; below zero where they meet.
func (o *Outline) Within(from, to r2.Vec) float64 {
	line := []r2.Vec{from, to}
	if from == to {
		line = line[:1]
	}
	least := math.Inf(1)
	for _, p := range o.pieces {
		g, _, _ := between(p.core, line)
		least = min(least, g.d-p.radius)
	}
	return least
}

// Farthest is how far an outline gets from the origin of its frame, m.
func (o *Outline) Farthest() float64 {
	most := 0.0
	for _, p := range o.pieces {
		for _, c := range p.core {
			most = max(most, r2.Norm(c)+p.radius)
		}
	}
	return most
}
