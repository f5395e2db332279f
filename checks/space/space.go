package space

import (
	"errors"
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r2"
)

// A Shape is an outline that moves with a body and fills an interval of z.
type Shape struct {
	Body      int // index into the poses of a motion
	Outline   Outline
	Low, High float64 // z, m; a shape that begins where this one ends doesn't meet it
}

// A Scene is what moves: shapes and which of them may touch.
type Scene struct {
	Shapes  []Shape
	Ignored [][2]int // pairs of bodies that aren't compared, such as a rod and the barrel around it
	Joints  []Joint
}

// A Space holds a scene and its motion, ready to be searched. One goroutine may use it at a time.
type Space struct {
	scene  Scene
	motion Motion
	pairs  []pair
	pieces []placed // the first is a point that stands still, for envelopes
	whole  [][]int  // pieces of each shape
	corner []r2.Vec // of all pieces, in the frames of their bodies

	ways     []stretch // by body, then by step
	farthest float64   // that a corner goes in one step, m
	gone     []gone    // by body, then by step
	frames   []frame   // by body, then by step
	corners  []r2.Vec  // by piece, then by step, in the machine's frame
	placed   []bool    // which of them are worked out

	here  [2][]r2.Vec // corners of two pieces between steps
	runs  [depth]run  // what the searches have still to look at
	parts [depth]part
}

// A placed piece belongs to a body, or stands still in the machine's frame.
type placed struct {
	index, body   int
	from, to      int // corners
	radius, reach float64
}

const still = -1 // instead of a body

// A pair of shapes that is compared; what is left of either beyond the joints of the two.
type pair struct {
	shapes [2]int
	pieces [2][]int
}

// roundoff (m) is how far a layer may reach into the next and still only touch it: what is lost when mm or inches become m.
const roundoff = 1e-9

// New takes a scene and its motion. It keeps the slices that it is given. The error says what is wrong with them: a number that isn't
// finite, steps that don't rise, a body that has no pose, a layer upside down, a shape without outline.
func New(scene Scene, motion Motion) (*Space, error) {
	if err := motion.check(); err != nil {
		return nil, err
	}
	if err := scene.check(motion.bodies()); err != nil {
		return nil, err
	}
	s := &Space{scene: scene, motion: motion, whole: make([][]int, len(scene.Shapes))}
	s.add(still, []piece{{core: []r2.Vec{{}}}})
	left := make([][][]int, len(scene.Shapes)) // pieces of each shape as another body meets it
	for i, shape := range scene.Shapes {
		left[i] = make([][]int, motion.bodies())
		s.whole[i] = s.add(shape.Body, shape.Outline.pieces)
		for body := range left[i] {
			left[i][body] = s.whole[i]
			if rest, cut := scene.cut(shape, body); cut {
				left[i][body] = s.add(shape.Body, rest)
			}
		}
	}
	for i, a := range scene.Shapes {
		for j := i + 1; j < len(scene.Shapes); j++ {
			b := scene.Shapes[j]
			if a.Body == b.Body || scene.ignores(a.Body, b.Body) || min(a.High, b.High)-max(a.Low, b.Low) <= roundoff {
				continue
			}
			s.pairs = append(s.pairs, pair{[2]int{i, j}, [2][]int{left[i][b.Body], left[j][a.Body]}})
		}
	}
	s.settle()
	return s, nil
}

func (c *Scene) check(bodies int) error {
	known := func(body int) bool { return body >= 0 && body < bodies }
	for i, shape := range c.Shapes {
		if !known(shape.Body) {
			return fmt.Errorf("shape %d is on body %d, the sweep has poses of %d bodies, counted from 0", i, shape.Body, bodies)
		}
		if len(shape.Outline.pieces) == 0 {
			return fmt.Errorf("shape %d has no outline, it needs a bar, a circle or a polygon", i)
		}
		if !isFinite(shape.Low) || !isFinite(shape.High) || !(shape.Low < shape.High) {
			return fmt.Errorf("the layer of shape %d goes from z = %g to %g m, it must go upward between finite numbers", i, shape.Low, shape.High)
		}
	}
	for i, p := range c.Ignored {
		if !known(p[0]) || !known(p[1]) {
			return fmt.Errorf("ignored pair %d is of bodies %d and %d, the sweep has poses of %d bodies, counted from 0", i, p[0], p[1], bodies)
		}
	}
	for i, j := range c.Joints {
		if !known(j.Bodies[0]) || !known(j.Bodies[1]) || j.Bodies[0] == j.Bodies[1] {
			return fmt.Errorf("joint %d is of bodies %d and %d, it needs two of the %d bodies, counted from 0", i, j.Bodies[0], j.Bodies[1], bodies)
		}
		if err := finite(fmt.Sprintf("joint %d", i), j.At[:]); err != nil {
			return err
		}
		if err := positive(fmt.Sprintf("the radius of joint %d", i), j.Radius); err != nil {
			return err
		}
	}
	return nil
}

func (c *Scene) ignores(a, b int) bool {
	return slices.Contains(c.Ignored, [2]int{a, b}) || slices.Contains(c.Ignored, [2]int{b, a})
}

// cut gives what is left of a shape beyond its body's joints with another, and whether there are such joints.
func (c *Scene) cut(shape Shape, other int) (left []piece, cut bool) {
	left = shape.Outline.pieces
	for _, j := range c.Joints {
		var centre r2.Vec
		switch [2]int{shape.Body, other} {
		case j.Bodies:
			centre = j.At[0]
		case [2]int{j.Bodies[1], j.Bodies[0]}:
			centre = j.At[1]
		default:
			continue
		}
		cut = true
		var rest []piece
		for _, p := range left {
			for _, core := range beyond(nil, p.core, centre, j.Radius) {
				rest = append(rest, piece{core, p.radius})
			}
		}
		left = rest
	}
	return left, cut
}

// add keeps pieces of a body and gives their indices.
func (s *Space) add(body int, pieces []piece) []int {
	out := make([]int, len(pieces))
	for i, p := range pieces {
		reach := 0.0
		for _, c := range p.core {
			reach = max(reach, r2.Norm(c))
		}
		out[i] = len(s.pieces)
		s.pieces = append(s.pieces, placed{out[i], body, len(s.corner), len(s.corner) + len(p.core), p.radius, reach})
		s.corner = append(s.corner, p.core...)
	}
	return out
}

// settle makes the tables of the motion.
func (s *Space) settle() {
	steps := len(s.motion.S)
	s.ways, s.gone = s.motion.stretches()
	s.frames = make([]frame, s.motion.bodies()*steps)
	for k, poses := range s.motion.Poses {
		for body, p := range poses {
			s.frames[body*steps+k] = p.frame()
		}
	}
	s.farthest = 0
	for i := range s.pieces {
		for k := range steps - 1 {
			s.farthest = max(s.farthest, s.moved(&s.pieces[i], k, k+1))
		}
	}
	s.corners, s.placed = make([]r2.Vec, len(s.corner)*steps), make([]bool, len(s.pieces)*steps)
	most := 0
	for _, p := range s.pieces {
		most = max(most, p.to-p.from)
	}
	s.here = [2][]r2.Vec{make([]r2.Vec, most), make([]r2.Vec, most)}
}

// at gives the corners of a piece at a step, and works them out when they are first asked for.
func (s *Space) at(p *placed, k int) []r2.Vec {
	if p.body == still {
		return s.corner[p.from:p.to]
	}
	n, steps := p.to-p.from, len(s.motion.S)
	out := s.corners[p.from*steps+k*n:][:n]
	if ready := &s.placed[p.index*steps+k]; !*ready {
		*ready = true
		s.frames[p.body*steps+k].placeAll(out, s.corner[p.from:p.to])
	}
	return out
}

// inside gives the corners of a piece between a step and the next, in room that the next call overwrites.
func (s *Space) inside(room int, p *placed, k int, u float64) []r2.Vec {
	f := s.way(p.body, k).at(u).frame()
	out := s.here[room][:p.to-p.from]
	f.placeAll(out, s.corner[p.from:p.to])
	return out
}

func (s *Space) way(body, k int) *stretch {
	if body == still {
		return &noWay
	}
	return &s.ways[body*(len(s.motion.S)-1)+k]
}

var noWay stretch

// Pose gives a body's pose at a parameter of the sweep, on the way that the search takes. Beyond either end it is that of the end.
func (s *Space) Pose(body int, at float64) (Pose, error) {
	if body < 0 || body >= s.motion.bodies() || math.IsNaN(at) {
		return Pose{}, errors.New("there is no such body or parameter")
	}
	return s.pose(body, at), nil
}

func (s *Space) pose(body int, at float64) Pose {
	last := len(s.motion.S) - 1
	if at <= s.motion.S[0] {
		return s.motion.Poses[0][body]
	}
	if at >= s.motion.S[last] {
		return s.motion.Poses[last][body]
	}
	k, u := s.motion.find(at)
	return s.way(body, k).at(u)
}
