package made

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"

	"trammel.example/checks/linkage"
)

// With the cylinders held, pins that are off their holes by r_i move a tool by Σ G_i r_i. G_i is found by putting the hole there and
// solving again. The farthest in a direction u, with every |r_i| ≤ c_i, is Σ c_i |G_iᵀ u|.

// slopDirections is how many directions are tried: they find the farthest to 1 - cos(π/64), 0.1 %.
const slopDirections = 64

// A Slop is how far a tool can be off by the play of pivots, at most over the poses. Where links repeat others it is that of the links
// that hold without them: the others can only make it less.
type Slop struct {
	Distance   float64 // from the place without play, m
	DistanceAt float64 // stroke, m
	Turn       float64 // either way, rad
	TurnAt     float64
	Of         []Give // what each adds to the distance where that is largest
	Blocked    []Blocked
}

// A Give is what the play of one pivot, or at both ends of one cylinder, does to a tool.
type Give struct {
	On       linkage.Joint // the body that is off the pin, where it is not a cylinder
	Cylinder int           // or -1
	Distance float64       // part of Slop.Distance, m
}

type effect struct {
	give Give
	at   [2][]r2.Vec  // of each pose, by play along x and along y of the body; for a cylinder along it
	turn [2][]float64 // rad
}

// Slop finds how far the play of pivots lets a tool wander with all cylinders held. play is that of every point, as in Pivots: bodies
// beyond the one with the pin, and cylinders, have it against the pin. The error is a Fault of this package or of linkage.
func (m *Machine) Slop(poses []linkage.Pose, t Tool, play []float64) (Slop, error) {
	wrong := Fault{Kind: NotAsked, Points: []int{t.Point}}
	if len(poses) == 0 || !m.known(t) || len(play) != len(m.drawn.Points) {
		return Slop{}, wrong
	}
	for p, c := range play {
		if !(c >= 0) || math.IsInf(c, 0) {
			wrong.Points = []int{p}
			return Slop{}, wrong
		}
	}
	var out Slop
	sizes := m.nominal()
	places, longer := m.places(sizes), m.longer(sizes)
	at, angle := make([]r2.Vec, len(poses)), make([]float64, len(poses))
	var closure linkage.Closure
	stroke, blocked, err := m.solve(poses, places, longer, func(i int, v *linkage.Variant, p *linkage.Pose) {
		at[i], angle[i] = p.Points[t.Point], p.Angles[t.Body]
		v.Closure(&closure)
	})
	if blocked {
		out.Blocked = []Blocked{{stroke, sizes}}
	}
	if err != nil || blocked {
		return out, err
	}
	var effects []effect
	try := func(e *effect, k int, places []linkage.Place, longer []float64) error {
		e.at[k], e.turn[k] = make([]r2.Vec, len(poses)), make([]float64, len(poses))
		stroke, blocked, err := m.solve(poses, places, longer, func(i int, _ *linkage.Variant, p *linkage.Pose) {
			e.at[k][i], e.turn[k][i] = r2.Sub(p.Points[t.Point], at[i]), p.Angles[t.Body]-angle[i]
		})
		if blocked {
			out.Blocked = append(out.Blocked, Blocked{stroke, sizes})
		}
		return err
	}
	for _, pivot := range closure.Pivots {
		c := play[pivot.Point]
		if c == 0 {
			continue
		}
		e := effect{give: Give{On: pivot, Cylinder: -1}}
		for k, by := range [2]r2.Vec{{X: c}, {Y: c}} {
			if err := try(&e, k, m.aside(places, pivot, by), longer); err != nil {
				return Slop{}, err
			}
		}
		effects = append(effects, e)
	}
	for i, y := range m.drawn.Cylinders {
		c := play[y.Rear] + play[y.Front]
		if c == 0 {
			continue
		}
		e := effect{give: Give{Cylinder: i}}
		by := append([]float64{}, longer...)
		by[i] += c
		if err := try(&e, 0, places, by); err != nil {
			return Slop{}, err
		}
		e.at[1], e.turn[1] = make([]r2.Vec, len(poses)), make([]float64, len(poses))
		effects = append(effects, e)
	}
	out.add(poses, effects)
	return out, nil
}

// aside puts a point of a body aside.
func (m *Machine) aside(places []linkage.Place, on linkage.Joint, by r2.Vec) []linkage.Place {
	from := m.drawn.Points[on.Point]
	for _, p := range places {
		if p.Body == on.Body && p.Point == on.Point {
			from = p.At
		}
	}
	return append(append([]linkage.Place{}, places...), linkage.Place{Body: on.Body, Point: on.Point, At: r2.Add(from, by)})
}

func (s *Slop) add(poses []linkage.Pose, effects []effect) {
	for i := range poses {
		turn := 0.0
		for k := range effects {
			turn += math.Hypot(effects[k].turn[0][i], effects[k].turn[1][i])
		}
		if turn > s.Turn {
			s.Turn, s.TurnAt = turn, poses[i].Stroke
		}
		for k := range slopDirections {
			sin, cos := math.Sincos(math.Pi * float64(k) / slopDirections)
			u := r2.Vec{X: cos, Y: sin}
			sum := 0.0
			for k := range effects {
				sum += effects[k].along(i, u)
			}
			if sum <= s.Distance {
				continue
			}
			s.Distance, s.DistanceAt, s.Of = sum, poses[i].Stroke, s.Of[:0]
			for k := range effects {
				effects[k].give.Distance = effects[k].along(i, u)
				s.Of = append(s.Of, effects[k].give)
			}
		}
	}
}

func (e *effect) along(pose int, u r2.Vec) float64 {
	return math.Hypot(r2.Dot(u, e.at[0][pose]), r2.Dot(u, e.at[1][pose]))
}
