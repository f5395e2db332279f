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

// Places says which places are followed.
type Places struct {
	Apart    float64                        // along edges, m
	Within   float64                        // m; places whose gap never gets so narrow are left out; 0 stands for no limit
	Interest func(step int, at r2.Vec) bool // of a place that is so at no step, no gap is looked for; nil for all
}

// Narrowings follows the gaps between two parts, each given by its shapes. The error says what is wrong with the scene, the motion or the
// search.
func Narrowings(scene Scene, motion Motion, first, second []int, search Places) ([]Narrowing, error) {
	if err := motion.check(); err != nil {
		return nil, err
	}
	if err := scene.check(motion.bodies()); err != nil {
		return nil, err
	}
	if err := positive("the way from place to place", search.Apart); err != nil {
		return nil, err
	}
	for _, part := range [][]int{first, second} {
		for _, i := range part {
			if i < 0 || i >= len(scene.Shapes) {
				return nil, errors.New("a part has a shape that the scene does not have")
			}
		}
	}
	frames := make([][]frame, len(motion.S))
	for k, poses := range motion.Poses {
		for _, p := range poses {
			frames[k] = append(frames[k], p.frame())
		}
	}
	if search.Within == 0 {
		search.Within = math.Inf(1)
	}
	n := &narrower{scene: scene, frames: frames, search: search, gaps: make([]float64, len(frames)), on: make([][2]r2.Vec, len(frames))}
	for i := range scene.Shapes {
		n.sizes = append(n.sizes, scene.Shapes[i].Outline.Farthest())
	}
	return append(n.follow(first, second, true), n.follow(second, first, false)...), nil
}

type narrower struct {
	scene  Scene
	frames [][]frame // by step, then by body
	search Places
	sizes  []float64 // how far each shape gets from the origin of its body's frame, m
	gaps   []float64 // of the place in work, by step
	on     [][2]r2.Vec
}

// follow goes along the edge of one part.
func (n *narrower) follow(own, other []int, first bool) []Narrowing {
	var out []Narrowing
	for _, i := range own {
		for k, p := range n.scene.Shapes[i].Outline.pieces {
			for _, at := range p.places(n.search.Apart) {
				at.shape, at.piece = i, k
				if !n.interests(&at) {
					continue
				}
				seen := false
				for step := range n.frames {
					n.gaps[step], n.on[step] = n.gap(&at, own, other, n.frames[step])
					seen = seen || n.gaps[step] <= n.search.Within // not where it is NaN
				}
				if seen {
					out = append(out, Narrowing{Own: first, Gap: slices.Clone(n.gaps), On: slices.Clone(n.on)})
				}
			}
		}
	}
	return out
}

func (n *narrower) interests(p *place) bool {
	if n.search.Interest == nil {
		return true
	}
	body := n.scene.Shapes[p.shape].Body
	for step := range n.frames {
		if n.search.Interest(step, n.frames[step][body].place(p.at)) {
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
		if f := &frames[s.Body]; hypot(at.X-f.x, at.Y-f.y)-n.sizes[i]-p.radius >= least {
			continue
		}
		for k := range s.Outline.pieces {
			q := &s.Outline.pieces[k]
			d, on := q.from(frames[s.Body], at)
			plane := max(0, d-p.radius)
			if g := hypot(plane, z); g < least {
				least, to, over = g, on, d <= p.radius
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
		for k := range s.Outline.pieces {
			if i == p.shape && k == p.piece {
				continue
			}
			for _, at := range points {
				if d, _ := s.Outline.pieces[k].from(frames[s.Body], at); d < -1e-9 {
					return true
				}
			}
		}
	}
	return false
}

// from is how far a point of the machine's frame is from a piece, below zero within it, and the piece's nearest.
func (p *piece) from(f frame, at r2.Vec) (float64, r2.Vec) {
	x, y := at.X-f.x, at.Y-f.y
	c := r2.Vec{X: f.cos*x + f.sin*y, Y: f.cos*y - f.sin*x}
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
		return -d - p.radius, at
	}
	if d > 0 {
		on = r2.Add(on, r2.Scale(p.radius/d, r2.Sub(c, on)))
	}
	return d - p.radius, f.place(on)
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
