package linkage

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r2"
)

// A link is taken as a straight bar between the two of its points that are farthest apart. Forces at other places reach it through a
// stiff bracket at their foot on the bar, so that a force beside the bar brings a moment to it. With x from one end, the bar carries
//
//	N(x) = -Σ f∥,  V(x) = -Σ f⊥,  M(x) = Σ f⊥ (x - x_i) - Σ m_i
//
// over what acts before x. For a curved or framed link these are those of the bar that would replace it.

// A Member is what a link carries along its bar.
type Member struct {
	From, To    int     // points at the ends of the bar
	Tension     float64 // largest, N; 0 when nothing pulls
	Compression float64 // largest, N; 0 when nothing presses
	Shear       float64 // largest, N
	Bending     float64 // largest, N m, positive where it stretches the side to the right on the way from From to To
	BendingAt   float64 // where, from From, m
	Rest        float64 // what is left of forces (N) and moments (N m) at the far end: rounding, or a spin that a torque would have to keep
}

type station struct {
	x, along, across, moment float64
}

// Member computes what a moving link carries for the forces that were computed last. A grounded body, and one of a single point,
// carries nothing that can be told here.
func (t *Statics) Member(body int, f *Forces) Member {
	b := &t.mechanism.Bodies[body]
	if b.Ground || len(b.Points) < 2 {
		return Member{}
	}
	m := Member{From: t.bar[body][0], To: t.bar[body][1]}
	m.along(t.stationsOn(body, f))
	return m
}

// A Moment is the bending moment (N m) at a place along a link's bar, from its From (m). Between two of them it is linear; at one place it
// may jump.
type Moment struct{ X, Bending float64 }

// Moments gives the bending moments along the bar of a moving link for the forces that were computed last, in order, written to the room
// of into. Signs and bars are those of Member.
func (t *Statics) Moments(body int, f *Forces, into []Moment) []Moment {
	into = into[:0]
	if b := &t.mechanism.Bodies[body]; b.Ground || len(b.Points) < 2 {
		return into
	}
	shear, moment, x := 0.0, 0.0, 0.0
	for _, s := range t.stationsOn(body, f) {
		moment -= shear * (s.x - x)
		x = s.x
		into = append(into, Moment{x, moment})
		shear -= s.across
		moment -= s.moment
		if s.moment != 0 {
			into = append(into, Moment{x, moment})
		}
	}
	return into
}

// Bar gives the points at the ends of a link's bar.
func (t *Statics) Bar(body int) (from, to int) { return t.bar[body][0], t.bar[body][1] }

// stationsOn lists what acts along a moving link's bar, in order.
func (t *Statics) stationsOn(body int, f *Forces) []station {
	b := &t.mechanism.Bodies[body]
	m := t.bar[body]
	from := t.pose.Points[m[0]]
	axis := r2.Unit(r2.Sub(t.pose.Points[m[1]], from))
	length := r2.Norm(r2.Sub(t.pose.Points[m[1]], from))
	list := t.stations[:0]
	act := func(at, force r2.Vec, moment float64) {
		arm := r2.Sub(at, from)
		x, beside := r2.Dot(axis, arm), r2.Cross(axis, arm)
		s := station{x: max(0, min(length, x)), along: r2.Dot(axis, force), across: r2.Cross(axis, force)}
		s.moment = moment + (x-s.x)*s.across - beside*s.along
		list = append(list, s)
	}
	for j, joint := range t.joints {
		if joint.Body == body {
			act(t.pose.Points[joint.Point], f.Reactions[j], f.Torque[j])
		}
	}
	if b.Mass != 0 {
		act(t.placeOf(t.pose, body, b.Centre), r2.Scale(b.Mass, t.c.Gravity), 0)
	}
	own := func(point int) bool { return t.hub[point] < 0 && t.points[point].body == t.bodyOf[body] }
	for _, l := range t.c.Loads {
		if own(l.Point) {
			act(t.pose.Points[l.Point], r2.Add(l.Force, r2.Scale(l.Mass, t.c.Gravity)), 0)
		}
	}
	for _, k := range t.c.Springs {
		pull := k.Pull(t.pose)
		if own(k.From) {
			act(t.pose.Points[k.From], pull, 0)
		}
		if own(k.To) {
			act(t.pose.Points[k.To], r2.Scale(-1, pull), 0)
		}
	}
	if f.press >= 0 && own(f.press) {
		act(t.pose.Points[f.press], r2.Scale(-f.Tool, f.along), 0)
	}
	for i, l := range t.mechanism.Slides {
		if l.Body == body {
			act(t.pose.Points[l.Point], r2.Scale(-1, f.Slides[i]), 0)
		}
	}
	t.stations = list
	slices.SortStableFunc(list, func(a, b station) int {
		switch {
		case a.x < b.x:
			return -1
		case a.x > b.x:
			return 1
		}
		return 0
	})
	return list
}

func (m *Member) along(list []station) {
	normal, shear, moment, x := 0.0, 0.0, 0.0, 0.0
	bend := func() {
		if math.Abs(moment) > math.Abs(m.Bending) {
			m.Bending, m.BendingAt = moment, x
		}
	}
	for i, s := range list {
		moment -= shear * (s.x - x)
		x = s.x
		bend()
		normal -= s.along
		shear -= s.across
		moment -= s.moment
		if i == len(list)-1 {
			m.Rest = max(math.Abs(normal), math.Abs(shear), math.Abs(moment))
			break
		}
		if list[i+1].x > x { // between places, not among the forces at one
			bend()
			m.Tension, m.Compression = max(m.Tension, normal), max(m.Compression, -normal)
			m.Shear = max(m.Shear, math.Abs(shear))
		}
	}
}

// bars finds the two points of each body that are farthest apart.
func bars(m Mechanism) [][2]int {
	out := make([][2]int, len(m.Bodies))
	for i, b := range m.Bodies {
		most := 0.0
		for k, p := range b.Points {
			for _, q := range b.Points[:k] {
				if d := r2.Norm2(r2.Sub(m.Points[p], m.Points[q])); d > most {
					most, out[i] = d, [2]int{q, p}
				}
			}
		}
	}
	return out
}
