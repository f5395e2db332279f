package space

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"sort"

	"gonum.org/v1/gonum/spatial/r2"
)

// A Pose puts a body's own frame into the machine's: a point p of the body is at At + R(Turn) p.
type Pose struct {
	At   r2.Vec  // m
	Turn float64 // rad, counted on over full turns
}

// A Motion is how bodies move over a sweep.
//
// Between steps the bodies take smooth ways (package comment). Choose the origin of a body's frame on one of its pivots, best on one that
// stands still: the ways are then nearest to the machine's. With rates they err by about h⁴/384 times the fourth derivative, h the step;
// without, by about h²/8 times the second.
type Motion struct {
	S     []float64 // parameter of each step, rising
	Poses [][]Pose  // by step, then by body
	Rates [][]Pose  // d/ds of the poses, likewise; nil for straight ways

	// Solve gives the poses of all bodies at a parameter between the first and the last, and the rates where Rates are given. It may be
	// nil. Closest calls it where a pair comes nearest and where it first meets, and takes its answer in as a step where the way between
	// the steps is off by more than half the tolerance.
	Solve func(s float64) (poses, rates []Pose, err error)
}

// A stretch is the motion of one body from a step to the next, as cubics in u = 0…1, and bounds of their derivatives.
type stretch struct {
	x, y, turn     [4]float64
	speed, spin    float64
	bend, turnBend float64 // c”, and θ” + θ'²
}

// A gone is how far a body has gone and turned up to a step: sums of speed and spin.
type gone struct{ path, turned float64 }

// A frame is a pose ready for use.
type frame struct{ x, y, cos, sin float64 }

func (p Pose) frame() frame {
	sin, cos := math.Sincos(p.Turn)
	return frame{p.At.X, p.At.Y, cos, sin}
}

func (f frame) place(p r2.Vec) r2.Vec {
	return r2.Vec{X: f.x + f.cos*p.X - f.sin*p.Y, Y: f.y + f.sin*p.X + f.cos*p.Y}
}

// local is the place in the body's own frame.
func (f frame) local(p r2.Vec) r2.Vec {
	x, y := p.X-f.x, p.Y-f.y
	return r2.Vec{X: f.cos*x + f.sin*y, Y: f.cos*y - f.sin*x}
}

func (f frame) placeAll(out, points []r2.Vec) {
	for i, p := range points {
		out[i] = f.place(p)
	}
}

func (s *stretch) at(u float64) Pose {
	return Pose{At: r2.Vec{X: cubic(&s.x, u), Y: cubic(&s.y, u)}, Turn: cubic(&s.turn, u)}
}

func cubic(c *[4]float64, u float64) float64 { return c[0] + u*(c[1]+u*(c[2]+u*c[3])) }

func (m *Motion) bodies() int { return len(m.Poses[0]) }

// check reports a motion that isn't one.
func (m *Motion) check() error {
	if len(m.S) == 0 {
		return errors.New("the sweep has no steps, it needs one or more")
	}
	if len(m.Poses) != len(m.S) {
		return fmt.Errorf("the sweep has poses for %d steps and parameters for %d, it needs as many of both", len(m.Poses), len(m.S))
	}
	if m.Rates != nil && len(m.Rates) != len(m.S) {
		return fmt.Errorf("the sweep has rates for %d steps and parameters for %d, it needs as many of both or no rates", len(m.Rates), len(m.S))
	}
	for k, s := range m.S {
		if !isFinite(s) {
			return fmt.Errorf("step %d of the sweep is at %g, it must be a finite number", k+1, s)
		}
		if k > 0 && !(s > m.S[k-1]) {
			return fmt.Errorf("step %d of the sweep is at %g, it must be beyond the step before it at %g", k+1, s, m.S[k-1])
		}
		if err := m.checkStep("poses", s, m.Poses[k]); err != nil {
			return err
		}
		if m.Rates == nil {
			continue
		}
		if err := m.checkStep("rates", s, m.Rates[k]); err != nil {
			return err
		}
	}
	return nil
}

func (m *Motion) checkStep(what string, s float64, poses []Pose) error {
	if len(poses) != m.bodies() {
		return fmt.Errorf("the sweep has %s of %d bodies at %g and poses of %d at its first step, it needs as many at each", what, len(poses), s, m.bodies())
	}
	for i, p := range poses {
		if !isFinite(p.At.X) || !isFinite(p.At.Y) || !isFinite(p.Turn) {
			return fmt.Errorf("the %s of body %d at %g are (%g, %g) and %g, they must be finite", what, i, s, p.At.X, p.At.Y, p.Turn)
		}
	}
	return nil
}

// stretches gives the motion of all bodies, those of one body one after the other.
func (m *Motion) stretches() ([]stretch, []gone) {
	steps := len(m.S) - 1
	out, sums := make([]stretch, m.bodies()*steps), make([]gone, m.bodies()*(steps+1))
	for body := range m.bodies() {
		sum := sums[body*(steps+1):]
		for k := range steps {
			s := &out[body*steps+k]
			from, to := m.Poses[k][body], m.Poses[k+1][body]
			way := r2.Sub(to.At, from.At)
			turn := to.Turn - from.Turn
			vo, vp, wo, wp := way, way, turn, turn
			if m.Rates != nil {
				h := m.S[k+1] - m.S[k]
				o, p := m.Rates[k][body], m.Rates[k+1][body]
				vo, vp, wo, wp = r2.Scale(h, o.At), r2.Scale(h, p.At), h*o.Turn, h*p.Turn
				vo, vp = shortened(vo, max(r2.Norm(way), r2.Norm(vp))), shortened(vp, max(r2.Norm(way), r2.Norm(vo)))
				wo, wp = shorter(wo, max(math.Abs(turn), math.Abs(wp))), shorter(wp, max(math.Abs(turn), math.Abs(wo)))
			}
			s.x = hermite(from.At.X, way.X, vo.X, vp.X)
			s.y = hermite(from.At.Y, way.Y, vo.Y, vp.Y)
			s.turn = hermite(from.Turn, turn, wo, wp)
			// A cubic's derivative stays within the hull of its three control points.
			mid := r2.Sub(r2.Scale(3, way), r2.Add(vo, vp))
			s.speed = max(r2.Norm(vo), r2.Norm(mid), r2.Norm(vp))
			s.spin = max(math.Abs(wo), math.Abs(3*turn-wo-wp), math.Abs(wp))
			s.bend = max(math.Hypot(2*s.x[2], 2*s.y[2]), math.Hypot(2*s.x[2]+6*s.x[3], 2*s.y[2]+6*s.y[3]))
			s.turnBend = max(math.Abs(2*s.turn[2]), math.Abs(2*s.turn[2]+6*s.turn[3])) + s.spin*s.spin
			sum[k+1] = gone{sum[k].path + s.speed, sum[k].turned + s.spin}
		}
	}
	return out, sums
}

// hermite gives the cubic that begins at a, goes the way d, and has the slopes v and w at its ends.
func hermite(a, d, v, w float64) [4]float64 { return [4]float64{a, v, 3*d - 2*v - w, v + w - 2*d} }

// steep is how much longer than its neighbour or the straight way a rate at one end of a step may be. Towards a dead point rates grow
// without end, and a cubic with such a slope would swing wide of a way that is smooth. A fifth more is an arc of over a quarter turn.
const steep = 1.2

func shortened(v r2.Vec, limit float64) r2.Vec {
	if l := r2.Norm(v); l > steep*limit {
		return r2.Scale(steep*limit/l, v)
	}
	return v
}

func shorter(v, limit float64) float64 { return max(-steep*limit, min(v, steep*limit)) }

// find gives the step before a parameter and the part u of the way to the next.
func (m *Motion) find(s float64) (k int, u float64) {
	if len(m.S) == 1 {
		return 0, 0
	}
	k = min(max(sort.SearchFloat64s(m.S, s)-1, 0), len(m.S)-2)
	return k, (s - m.S[k]) / (m.S[k+1] - m.S[k])
}

// insert adds a step.
func (m *Motion) insert(s float64, poses, rates []Pose) error {
	if err := m.checkStep("poses", s, poses); err != nil {
		return err
	}
	k, _ := m.find(s)
	m.S = slices.Insert(slices.Clone(m.S), k+1, s)
	m.Poses = slices.Insert(slices.Clone(m.Poses), k+1, poses)
	if m.Rates != nil {
		if err := m.checkStep("rates", s, rates); err != nil {
			return err
		}
		m.Rates = slices.Insert(slices.Clone(m.Rates), k+1, rates)
	}
	return nil
}
