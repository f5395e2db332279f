package space

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/spatial/r2"
)

// A Search says how closely to look.
type Search struct {
	Tolerance float64 // of distances, m; 0 stands for 0.01 mm
	Clearance float64 // m; how near a pair may come
	Within    float64 // m; pairs that stay farther apart are of no interest; 0 stands for no limit
}

// An Approach is how near two shapes come over a sweep.
type Approach struct {
	Shapes [2]int

	// Distance (m) is the least, above it by the tolerance at most. Below zero the shapes overlap, and it is how far the convex parts
	// that overlap most would have to be moved to come apart.
	Distance float64
	S        float64   // parameter where that is
	On       [2]r2.Vec // nearest points on each, or deepest in each other, m, in the machine's frame

	Nearer bool    // the pair comes nearer than the clearance
	First  float64 // parameter from which on it does; before that it may be nearer by the tolerance at most

	// Far tells that the pair stays farther apart than Within, to the tolerance. The distance is Within then and S and On aren't set.
	Far bool
}

// Tolerances in m. The least keeps what is asked for above the roundoff of lengths of some metres.
const (
	leastTolerance = 1e-9
	usualTolerance = 1e-5
)

// finest is the least part of the way of a step that a search may be asked to tell; its stacks have room for the halvings down to it.
const (
	finest = 1e-15
	depth  = 64
)

// tolerable checks a tolerance, and puts the usual one in for none. Corners go as far as the way given in one step.
func tolerable(what string, tolerance, way float64) (float64, error) {
	if tolerance == 0 {
		tolerance = usualTolerance
	}
	if !(tolerance >= leastTolerance) || math.IsInf(tolerance, 0) {
		return 0, fmt.Errorf("the tolerance of %s is %g m, it must be %g m or more", what, tolerance, leastTolerance)
	}
	if !(way*finest <= tolerance) {
		return 0, fmt.Errorf("corners go %g m in one step, %s to %g m allows %g m at most", way, what, tolerance, tolerance/finest)
	}
	return tolerance, nil
}

// Closest finds the closest approach of every pair of shapes that is to be compared, in the order of the shapes. Shapes of one body,
// of ignored pairs, in layers apart, or of which joints leave nothing are not compared. The error is a number in the search that is no
// good, or what Solve says.
func (s *Space) Closest(q Search) ([]Approach, error) {
	var err error
	if q.Tolerance, err = tolerable("a search", q.Tolerance, s.farthest); err != nil {
		return nil, err
	}
	if !isFinite(q.Clearance) {
		return nil, fmt.Errorf("the clearance of the search is %g m, it must be a finite number", q.Clearance)
	}
	if q.Within == 0 {
		q.Within = math.Inf(1)
	}
	if !(q.Within > 0 && q.Within >= q.Clearance) {
		return nil, fmt.Errorf("the search is for pairs within %g m with a clearance of %g m, it must reach as far as the clearance", q.Within, q.Clearance)
	}
	out := make([]Approach, 0, len(s.pairs))
	for i := range s.pairs {
		p := &s.pairs[i]
		if len(p.pieces[0]) == 0 || len(p.pieces[1]) == 0 {
			continue
		}
		a := s.closest(p, q)
		for tries := 0; s.motion.Solve != nil && !a.Far; tries++ {
			added, err := s.solve(p, &a, q)
			if err != nil {
				return nil, err
			}
			if !added {
				break
			}
			if tries == mostSolved {
				return nil, fmt.Errorf("the solved poses near %g are not those of any smooth way, they must be of the same motion as the steps", a.S)
			}
			a = s.closest(p, q)
		}
		out = append(out, a)
	}
	return out, nil
}

// mostSolved steps are added for one pair. With rates it takes one or two, without them and few steps some dozens.
const mostSolved = 1000

// solve takes solved poses in as steps where the ways between steps are too far off at the places found. It says whether it did.
func (s *Space) solve(p *pair, a *Approach, q Search) (added bool, err error) {
	places := []float64{a.S}
	if a.Nearer {
		places = append(places, a.First)
	}
	for _, at := range places {
		poses, rates, err := s.motion.Solve(at)
		if err != nil {
			return false, fmt.Errorf("no pose at %.4g m of the stroke: %w", at, err)
		}
		if len(poses) != s.motion.bodies() {
			return false, fmt.Errorf("the solved pose at %g is of %d bodies, the steps are of %d", at, len(poses), s.motion.bodies())
		}
		off := 0.0
		for side, shape := range p.shapes {
			body := s.scene.Shapes[shape].Body
			way := s.pose(body, at)
			reach := 0.0
			for _, i := range p.pieces[side] {
				reach = max(reach, s.pieces[i].reach)
			}
			off = max(off, r2.Norm(r2.Sub(poses[body].At, way.At))+reach*math.Abs(poses[body].Turn-way.Turn))
		}
		if math.IsNaN(off) {
			return false, fmt.Errorf("the solved pose at %g is not finite", at)
		}
		if off > q.Tolerance/2 {
			if k, u := s.motion.find(at); u <= 0 || u >= 1 {
				return false, fmt.Errorf("the solved pose at %g differs from step %d, it must be the same", at, k+int(u)+1)
			}
			if err := s.motion.insert(at, poses, rates); err != nil {
				return false, err
			}
			s.settle()
			return true, nil
		}
	}
	return false, nil
}

// A spot is a place of the sweep where two pieces are at the distance d. Places count steps: 2.25 is a quarter of the way from step 2
// to step 3.
type spot struct {
	d, at  float64
	pieces [2]int
}

func (s *Space) closest(p *pair, q Search) Approach {
	best := spot{d: q.Within, at: -1}
	for _, a := range p.pieces[0] {
		for _, b := range p.pieces[1] {
			s.least(a, b, q.Tolerance, math.Inf(-1), &best)
		}
	}
	out := Approach{Shapes: p.shapes, Distance: best.d}
	if best.at < 0 {
		out.Far = true
		return out
	}
	s.polish(&best)
	out.Distance, out.S = best.d, s.parameter(best.at)
	a, b := &s.pieces[best.pieces[0]], &s.pieces[best.pieces[1]]
	k, u := s.split(best.at)
	g, pa, pb := between(s.core(0, a, k, u), s.core(1, b, k, u))
	out.On = [2]r2.Vec{r2.Add(pa, r2.Scale(a.radius, g.n)), r2.Sub(pb, r2.Scale(b.radius, g.n))}
	if out.Distance < q.Clearance {
		first := best.at
		for _, a := range p.pieces[0] {
			for _, b := range p.pieces[1] {
				first = s.first(a, b, q, first)
			}
		}
		out.Nearer, out.First = true, s.parameter(first)
	}
	return out
}

func (s *Space) parameter(at float64) float64 {
	k, u := s.split(at)
	if u == 0 {
		return s.motion.S[k]
	}
	return s.motion.S[k] + u*(s.motion.S[k+1]-s.motion.S[k])
}

func (s *Space) split(at float64) (k int, u float64) {
	k = int(at)
	return k, at - float64(k)
}

// core gives a piece's corners at any place.
func (s *Space) core(room int, p *placed, k int, u float64) []r2.Vec {
	switch {
	case u == 0 || p.body == still:
		return s.at(p, k)
	case u == 1:
		return s.at(p, k+1)
	}
	return s.inside(room, p, k, u)
}

// gapAt is the gap of two pieces at any place.
func (s *Space) gapAt(a, b *placed, k int, u float64) gap {
	g, _, _ := between(s.core(0, a, k, u), s.core(1, b, k, u))
	g.d -= a.radius + b.radius
	return g
}

// moved is how far the corners of a piece go at most from step i to step j.
func (s *Space) moved(p *placed, i, j int) float64 {
	if p.body == still {
		return 0
	}
	v, w := &s.gone[p.body*len(s.motion.S)+i], &s.gone[p.body*len(s.motion.S)+j]
	return w.path - v.path + p.reach*(w.turned-v.turned)
}

// What the searches halve: a run of steps, or a part of the way from one step to the next, with the gaps at both ends.
type (
	run struct {
		from, to int
		at       [2]gap
	}
	part struct {
		from, to float64
		at       [2]gap
	}
)

// least searches two pieces for a distance below the best one so far, less the tolerance. It stops when that is little enough.
func (s *Space) least(ia, ib int, tolerance, enough float64, best *spot) {
	a, b := &s.pieces[ia], &s.pieces[ib]
	take := func(k int) gap {
		g := s.gapAt(a, b, k, 0)
		if g.d < best.d {
			*best = spot{g.d, float64(k), [2]int{ia, ib}}
		}
		return g
	}
	last := len(s.motion.S) - 1
	from := take(0)
	if last == 0 {
		return
	}
	stack := &s.runs
	stack[0] = run{0, last, [2]gap{from, take(last)}}
	for n := 1; n > 0 && best.d > enough; {
		n--
		v := stack[n]
		if (v.at[0].d+v.at[1].d-s.moved(a, v.from, v.to)-s.moved(b, v.from, v.to))/2 >= best.d-tolerance {
			continue
		}
		if v.to == v.from+1 {
			s.leastBetween(ia, ib, v.from, v.at, tolerance, enough, best)
			continue
		}
		mid := (v.from + v.to) / 2
		g := take(mid)
		next, later := n+1, n
		if v.at[1].d < v.at[0].d {
			next, later = n, n+1
		}
		stack[next], stack[later] = run{v.from, mid, [2]gap{v.at[0], g}}, run{mid, v.to, [2]gap{g, v.at[1]}}
		n += 2
	}
}

// leastBetween goes on between a step and the next.
func (s *Space) leastBetween(ia, ib, k int, at [2]gap, tolerance, enough float64, best *spot) {
	a, b := &s.pieces[ia], &s.pieces[ib]
	stack := &s.parts
	stack[0] = part{0, 1, at}
	for n := 1; n > 0 && best.d > enough; {
		n--
		v := stack[n]
		if s.bound(a, b, k, &v, best.d-tolerance) >= best.d-tolerance {
			continue
		}
		mid := (v.from + v.to) / 2
		g := s.gapAt(a, b, k, mid)
		if g.d < best.d {
			*best = spot{g.d, float64(k) + mid, [2]int{ia, ib}}
		}
		stack[n], stack[n+1] = part{mid, v.to, [2]gap{g, v.at[1]}}, part{v.from, mid, [2]gap{v.at[0], g}}
		if v.at[1].d < v.at[0].d {
			stack[n], stack[n+1] = stack[n+1], stack[n]
		}
		n += 2
	}
}

// bound is a distance that two pieces don't come below in a part of a step. It works no harder than needed to get above the limit.
func (s *Space) bound(a, b *placed, k int, v *part, limit float64) float64 {
	wa, wb := s.way(a.body, k), s.way(b.body, k)
	h := v.to - v.from
	slope := (v.at[0].d + v.at[1].d - (wa.speed+a.reach*wa.spin+wb.speed+b.reach*wb.spin)*h) / 2
	if slope >= limit {
		return slope
	}
	bend := (wa.bend + a.reach*wa.turnBend + wb.bend + b.reach*wb.turnBend) * h * h / 8
	if min(v.at[0].d, v.at[1].d)-bend < limit {
		return slope
	}
	r := a.radius + b.radius
	after := along(v.at[0].n, s.core(0, a, k, v.to), s.core(1, b, k, v.to)) - r
	if curve := min(v.at[0].d, after) - bend; curve >= limit {
		return curve
	}
	before := along(v.at[1].n, s.core(0, a, k, v.from), s.core(1, b, k, v.from)) - r
	return max(slope, min(v.at[1].d, before)-bend)
}

// polish goes down to the bottom near the best place found, by golden section over the step before and the step after.
func (s *Space) polish(best *spot) {
	last := float64(len(s.motion.S) - 1)
	a, b := &s.pieces[best.pieces[0]], &s.pieces[best.pieces[1]]
	at := func(x float64) float64 {
		k, u := s.split(x)
		d := s.gapAt(a, b, k, u).d
		if d < best.d {
			best.d, best.at = d, x
		}
		return d
	}
	from, to := max(0, best.at-1), min(last, best.at+1)
	if from == to || s.moved(a, int(from), int(math.Ceil(to)))+s.moved(b, int(from), int(math.Ceil(to))) == 0 {
		return
	}
	part := 2 - math.Phi
	x, y := from+part*(to-from), to-part*(to-from)
	dx, dy := at(x), at(y)
	for to-from > polished*max(1, to) {
		if dx <= dy {
			to, y, dy = y, x, dx
			x = from + part*(to-from)
			dx = at(x)
		} else {
			from, x, dx = x, y, dy
			y = to - part*(to-from)
			dy = at(y)
		}
	}
}

// polished is the part of a step to which the place of the least distance is brought. Near a smooth bottom nothing finer can be told.
const polished = 1e-7

// first gives where two pieces first come nearer than the clearance, or what it is given when they don't before that.
func (s *Space) first(ia, ib int, q Search, before float64) float64 {
	a, b := &s.pieces[ia], &s.pieces[ib]
	last := int(math.Ceil(before))
	from := s.gapAt(a, b, 0, 0)
	if from.d < q.Clearance {
		return 0
	}
	if last == 0 {
		return before
	}
	stack := &s.runs
	stack[0] = run{0, last, [2]gap{from, s.gapAt(a, b, last, 0)}}
	for n := 1; n > 0; {
		n--
		v := stack[n]
		if v.at[1].d >= q.Clearance && (v.at[0].d+v.at[1].d-s.moved(a, v.from, v.to)-s.moved(b, v.from, v.to))/2 >= q.Clearance-q.Tolerance {
			continue
		}
		if v.to == v.from+1 {
			if u, found := s.firstBetween(a, b, v.from, v.at, q); found {
				return min(before, float64(v.from)+u)
			}
			continue
		}
		mid := (v.from + v.to) / 2
		g := s.gapAt(a, b, mid, 0)
		stack[n], stack[n+1] = run{mid, v.to, [2]gap{g, v.at[1]}}, run{v.from, mid, [2]gap{v.at[0], g}}
		n += 2
	}
	return before
}

// firstBetween goes on between a step and the next. The pair keeps the clearance at the step.
func (s *Space) firstBetween(a, b *placed, k int, at [2]gap, q Search) (u float64, found bool) {
	stack := &s.parts
	stack[0] = part{0, 1, at}
	speed := s.moved(a, k, k+1) + s.moved(b, k, k+1)
	for n := 1; n > 0; {
		n--
		v := stack[n]
		least := q.Clearance - q.Tolerance
		if speed*(v.to-v.from) <= q.Tolerance || s.bound(a, b, k, &v, least) >= least {
			if v.at[1].d < q.Clearance {
				return s.crossing(a, b, k, v.from, v.to, q.Clearance), true
			}
			continue
		}
		mid := (v.from + v.to) / 2
		g := s.gapAt(a, b, k, mid)
		stack[n], stack[n+1] = part{mid, v.to, [2]gap{g, v.at[1]}}, part{v.from, mid, [2]gap{v.at[0], g}}
		n += 2
	}
	return 0, false
}

// crossing halves a part of a step, at whose end alone the pair is nearer than the clearance, until there is nothing left to halve.
func (s *Space) crossing(a, b *placed, k int, from, to, clearance float64) float64 {
	for {
		mid := (from + to) / 2
		if mid <= from || mid >= to {
			return to
		}
		if s.gapAt(a, b, k, mid).d < clearance {
			to = mid
		} else {
			from = mid
		}
	}
}
