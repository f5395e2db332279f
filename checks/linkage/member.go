package linkage

import (
	"cmp"
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r2"
)

// A link is taken as straight bars that join its points without closing a ring: those that its Body names, and the shortest that join what these
// leave apart. Forces at other places, as its weight, reach the nearest bar through a stiff bracket, so that a force beside the bar brings a moment
// to it. With x from one end of a bar it carries
//
//	N(x) = Σ f∥,  V(x) = Σ f⊥,  M(x) = Σ f⊥ (x_i - x) + Σ m_i
//
// over all that acts beyond x, on the bar and on all bars that hang on its other end. For a link that is a plate or a ring these are those of the
// bars that would replace it.

// A Member is what a link carries along one of its bars.
type Member struct {
	From, To    int     // points at its ends
	Length      float64 // m
	Tension     float64 // largest, N; 0 when nothing pulls
	Compression float64 // largest, N; 0 when nothing presses
	Shear       float64 // largest, N
	Bending     float64 // largest, N m, positive where it stretches the side to the right on the way from From to To
	BendingAt   float64 // where, from From, m
	Rest        float64 // what is left of all forces (N) and moments (N m) on the link: rounding, or a spin that a torque would have to keep

	// Moments are the bending moments along it, in order: linear between two of them, and at one place they may jump.
	Moments []Moment
}

// A Moment is the bending moment (N m) at a place along a bar, from its From (m).
type Moment struct{ X, Bending float64 }

// A Limb is one bar of a link. Its From is the To of another one, or the link's first end.
type Limb struct{ From, To int }

// A Scene is what the forces of a linkage were computed for.
type Scene struct {
	Pose                *Pose
	Speed, Acceleration float64 // of the lead, outward positive, m/s and m/s²
	Loads               []Load  // beside those of the case
}

// a foot is what acts on a bar between its ends.
type foot struct {
	limb                     int
	x, along, across, moment float64
	force                    r2.Vec
}

// onBar is how far beside a bar a point of its link may lie that still is on it, as a part of its length.
const onBar = 1e-6

// Limbs are the bars of a moving link; none of a fixed one, and of one with a single point.
func (t *Statics) Limbs(body int) []Limb { return t.limbs[body] }

// Members computes what a moving link carries along each of its Limbs, for forces that were computed for a scene, in the room of into.
func (t *Statics) Members(body int, s Scene, f *Forces, into []Member) []Member {
	limbs := t.limbs[body]
	into = slices.Grow(into[:0], len(limbs))[:len(limbs)]
	if len(limbs) == 0 {
		return into
	}
	t.act(body, s, f)
	for k := len(limbs) - 1; k >= 0; k-- {
		l, m := limbs[k], &into[k]
		from := s.Pose.Points[l.From]
		span := r2.Sub(s.Pose.Points[l.To], from)
		*m = Member{From: l.From, To: l.To, Length: r2.Norm(span), Moments: m.Moments[:0]}
		end := t.at[l.To]
		m.follow(r2.Scale(1/m.Length, span), end, t.feet, k)
		base := &t.at[l.From]
		base.Force, base.Moment = r2.Add(base.Force, end.Force), base.Moment+end.Moment+r2.Cross(span, end.Force)
		for _, f := range t.feet {
			if f.limb == k {
				base.Force, base.Moment = r2.Add(base.Force, f.force), base.Moment+f.moment+f.x*f.across
			}
		}
	}
	left := t.at[limbs[0].From]
	for k := range into {
		into[k].Rest = max(math.Abs(left.Force.X), math.Abs(left.Force.Y), math.Abs(left.Moment))
	}
	return into
}

// follow goes along a bar from its far end, with the sum of what acts beyond that.
func (m *Member) follow(axis r2.Vec, end Wrench, feet []foot, limb int) {
	along, across, moment := r2.Dot(axis, end.Force), r2.Cross(axis, end.Force), end.Moment
	x := m.Length
	note := func(moment float64) {
		if math.Abs(moment) > math.Abs(m.Bending) {
			m.Bending, m.BendingAt = moment, x
		}
		if n := len(m.Moments); n == 0 || m.Moments[n-1] != (Moment{x, moment}) {
			m.Moments = append(m.Moments, Moment{x, moment})
		}
	}
	pass := func(to float64) { // from x to there; among what acts at one place there is no bar
		if to == x {
			return
		}
		note(moment)
		m.Tension, m.Compression, m.Shear = max(m.Tension, along), max(m.Compression, -along), max(m.Shear, math.Abs(across))
		moment += across * (x - to)
		x = to
		note(moment)
	}
	for _, f := range slices.Backward(feet) {
		if f.limb == limb {
			pass(f.x)
			along, across, moment = along+f.along, across+f.across, moment+f.moment
		}
	}
	pass(0)
	slices.Reverse(m.Moments)
}

// act gathers what acts on a link: at each of its points, and on its bars between them.
func (t *Statics) act(body int, s Scene, f *Forces) {
	b := &t.mechanism.Bodies[body]
	limbs, p := t.limbs[body], s.Pose
	for _, point := range b.Points {
		t.at[point] = Wrench{}
	}
	t.feet = t.feet[:0]
	push := func(point int, force r2.Vec) { t.at[point].Force = r2.Add(t.at[point].Force, force) }
	for j, joint := range t.joints {
		if joint.Body == body {
			push(joint.Point, f.Reactions[j])
			t.at[joint.Point].Moment += f.Torque[j]
		}
	}
	beside := func(at, force r2.Vec, moment float64) {
		nearest := math.Inf(1)
		var one foot
		for k, l := range limbs {
			from := p.Points[l.From]
			span, arm := r2.Sub(p.Points[l.To], from), r2.Sub(at, from)
			length := r2.Norm(span)
			axis := r2.Scale(1/length, span)
			x := max(0, min(length, r2.Dot(axis, arm)))
			off := r2.Sub(arm, r2.Scale(x, axis))
			if d := r2.Norm(off); d < nearest-leastPart*t.size {
				nearest = d
				one = foot{limb: k, x: x, along: r2.Dot(axis, force), across: r2.Cross(axis, force), moment: moment + r2.Cross(off, force), force: force}
			}
		}
		t.feet = append(t.feet, one)
	}
	moves := s.Speed != 0 || s.Acceleration != 0
	weighed := func(mass float64, v, a r2.Vec) r2.Vec {
		if !moves {
			return r2.Scale(mass, t.c.Gravity)
		}
		return r2.Scale(mass, r2.Sub(t.c.Gravity, accelerated(v, a, s.Speed, s.Acceleration)))
	}
	if b.Mass != 0 || moves && b.Inertia != 0 {
		v, a := t.motionOf(p, body, b.Centre)
		turn := -b.Inertia * (p.AngleRate[body]*s.Acceleration + p.AngleBend[body]*s.Speed*s.Speed)
		beside(t.placeOf(p, body, b.Centre), weighed(b.Mass, v, a), turn)
	}
	own := func(point int) bool { return t.hub[point] < 0 && t.points[point].body == t.bodyOf[body] }
	for _, loads := range [2][]Load{t.c.Loads, s.Loads} {
		for _, l := range loads {
			if own(l.Point) {
				push(l.Point, r2.Add(l.Force, weighed(l.Mass, p.Velocity[l.Point], p.Acceleration[l.Point])))
			}
		}
	}
	for _, k := range t.c.Springs {
		pull := k.Pull(p)
		if own(k.From) {
			push(k.From, pull)
		}
		if own(k.To) {
			push(k.To, r2.Scale(-1, pull))
		}
	}
	if f.room != nil && f.press >= 0 && own(f.press) {
		push(f.press, r2.Scale(-f.Tool, f.along))
	}
	for i, l := range t.mechanism.Slides {
		if l.Body == body {
			beside(p.Points[l.Point], r2.Scale(-1, f.Slides[i]), 0)
		}
	}
	slices.SortStableFunc(t.feet, func(a, b foot) int { return cmp.Or(a.limb-b.limb, cmp.Compare(a.x, b.x)) })
}

// limbs finds the bars of each moving body, those nearer to the first end before those beyond. The first end is one of the two points that are
// farthest apart.
func limbs(m Mechanism, outermost [][2]int) [][]Limb {
	all := make([][]Limb, len(m.Bodies))
	for i, b := range m.Bodies {
		if !b.Ground && len(b.Points) > 1 {
			all[i] = b.limbs(m.Points, outermost[i][0])
		}
	}
	return all
}

func (b *Body) limbs(points []r2.Vec, first int) []Limb {
	group := make(map[int]int, len(b.Points)) // points that bars join have the same
	for _, p := range b.Points {
		group[p] = p
	}
	var bars []Limb
	join := func(p, q int) {
		if group[p] == group[q] {
			return
		}
		bars = append(bars, Limb{p, q})
		old, now := group[q], group[p]
		for k, g := range group {
			if g == old {
				group[k] = now
			}
		}
	}
	for _, bar := range b.Bars {
		on := b.on(points, bar)
		for k := range len(on) - 1 {
			join(on[k], on[k+1])
		}
	}
	var rest []Limb
	for k, p := range b.Points {
		for _, q := range b.Points[:k] {
			rest = append(rest, Limb{q, p})
		}
	}
	slices.SortStableFunc(rest, func(a, b Limb) int {
		long := func(l Limb) float64 { return r2.Norm2(r2.Sub(points[l.To], points[l.From])) }
		return cmp.Compare(long(a), long(b))
	})
	for _, l := range rest {
		join(l.From, l.To)
	}
	// From the first end outward.
	ordered, reached := make([]Limb, 0, len(bars)), []int{first}
	for k := 0; k < len(reached); k++ {
		for _, l := range bars {
			if l.To == reached[k] {
				l = Limb{l.To, l.From}
			}
			if l.From == reached[k] && !slices.Contains(reached, l.To) {
				ordered, reached = append(ordered, l), append(reached, l.To)
			}
		}
	}
	return ordered
}

// on are the points of a body on a bar between two of them, in order.
func (b *Body) on(points []r2.Vec, bar [2]int) []int {
	from := points[bar[0]]
	span := r2.Sub(points[bar[1]], from)
	length := r2.Norm(span)
	along := func(p int) float64 { return r2.Dot(r2.Sub(points[p], from), span) / length }
	var on []int
	for _, p := range b.Points {
		arm := r2.Sub(points[p], from)
		if x := along(p); p == bar[0] || p == bar[1] || x > 0 && x < length && math.Abs(r2.Cross(arm, span)) <= onBar*length*length {
			on = append(on, p)
		}
	}
	slices.SortFunc(on, func(p, q int) int { return cmp.Compare(along(p), along(q)) })
	return on
}

// outermost finds the two points of each body that are farthest apart.
func outermost(m Mechanism) [][2]int {
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
