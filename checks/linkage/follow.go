package linkage

import (
	"math"
	"slices"
	"sort"

	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/spatial/r2"
)

// A Follower computes poses between those of a sweep, on the same branch. Each goroutine needs its own.
type Follower struct {
	w     *walker
	sweep *Sweep
	room  *Pose
}

// pinpoint, as a part of the stroke, is how exactly Zeros and Least find a pose: 0.01 mm for strokes up to 10 m, as for stops.
const pinpoint = 1e-7

// Follow prepares a Follower. The sweep must be one of this solver and have poses.
func (s *Solver) Follow(sweep *Sweep) *Follower {
	w, _ := s.start(sweep.drive.Lead, sweep.drive.Follow...)
	return &Follower{w: w, sweep: sweep, room: &s.newPoses(1, len(s.mechanism.Bodies))[0]}
}

// load stands the walker on a pose.
func (w *walker) load(p *Pose) {
	x := w.here
	copy(x.q, p.q)
	copy(x.stroke, p.stroke)
	for i := range p.Cylinders {
		x.angle[i] = p.Cylinders[i].Angle
		rate := p.Cylinders[i].Rate
		w.before.rate[i], w.here.rate[i], w.trial.rate[i] = rate, rate, rate
	}
	x.evaluate()
	x.factor()
	if !(x.growth < growthLimit) || x.rows > x.cols() && p.Resistance < weak {
		if q := x.choose(w.tolerance); q != nil {
			w.setProgram(q)
			x.factor()
		}
	}
	x.resist(8)
	x.derive()
	w.history, w.travelled, w.step, w.crossed = 0, 0, w.most, false
	w.remember()
}

// At computes the pose at a stroke of the lead (m) and whether the linkage gets there. The pose is good until the next call.
func (f *Follower) At(stroke float64) (*Pose, bool) {
	poses, w := f.sweep.Poses, f.w
	k := sort.Search(len(poses), func(i int) bool { return poses[i].Stroke >= stroke })
	if k == len(poses) || k > 0 && stroke-poses[k-1].Stroke < poses[k].Stroke-stroke {
		k--
	}
	w.load(&poses[k])
	ok := w.walk((stroke - poses[k].Stroke) / w.here.size)
	w.here.write(f.room, w.lead)
	return f.room, ok
}

// Zeros finds where a quantity of the pose that changes smoothly crosses zero between two poses of the sweep, and gives the poses
// there. With an AngleRate that is where a link reverses, with a Velocity across a line where a point does.
func (f *Follower) Zeros(of func(p *Pose) float64) (found []Pose) {
	poses := f.sweep.Poses
	for k := 1; k < len(poses); k++ {
		low, high := poses[k-1].Stroke, poses[k].Stroke
		a, b := of(&poses[k-1]), of(&poses[k])
		if a == 0 && k > 1 || !(a*b <= 0) || a == b {
			continue // a zero at a pose is found from its left
		}
		for high-low > f.exact() {
			middle := (low + high) / 2
			p, ok := f.At(middle)
			if !ok {
				break
			}
			if v := of(p); v*a > 0 {
				low = middle
			} else {
				high = middle
			}
		}
		p, _ := f.At(high)
		found = append(found, p.clone())
	}
	return found
}

// Reversal finds the pose between two neighbours of the sweep in which a point turns back: v · w = 0, where w is what its velocity changes by
// between them. By Newton's method, kept between the two, as exactly as the numbers allow: next to it the point moves by s²/2 of what it does
// over a length s of the stroke. ok is false where the linkage does not get there.
func (f *Follower) Reversal(point int, a, b *Pose) (p Pose, ok bool) {
	const rounds, enough = 60, 1e-13
	way := r2.Sub(b.Velocity[point], a.Velocity[point])
	low, high := a.Stroke, b.Stroke
	most := r2.Dot(way, way)
	at := low - r2.Dot(way, a.Velocity[point])/most*(high-low) // as if it changed evenly
	for range rounds {
		q, ok := f.At(at)
		if !ok {
			return p, false
		}
		p = *q
		v := r2.Dot(way, q.Velocity[point])
		if math.Abs(v) <= enough*most {
			break
		}
		if v < 0 {
			low = at
		} else {
			high = at
		}
		if at -= v / r2.Dot(way, q.Acceleration[point]); !(at > low && at < high) {
			at = (low + high) / 2
		}
	}
	return p.clone(), true
}

// Least finds the pose where a smooth quantity is least over the sweep, and its value: of the least pose and what lies on both sides
// of it.
func (f *Follower) Least(of func(p *Pose) float64) (Pose, float64) {
	poses := f.sweep.Poses
	values := make([]float64, len(poses))
	for i := range poses {
		values[i] = of(&poses[i])
	}
	k := floats.MinIdx(values)
	best, least := poses[k], values[k]
	a, b := poses[max(k-1, 0)].Stroke, poses[min(k+1, len(poses)-1)].Stroke
	value := func(stroke float64) float64 {
		p, ok := f.At(stroke)
		if !ok {
			return math.Inf(1)
		}
		v := of(p)
		if v < least {
			best, least = p.clone(), v
		}
		return v
	}
	narrow(a, b, f.exact(), value)
	return best, least
}

func (f *Follower) exact() float64 {
	x := f.w.here
	return pinpoint * x.lines[f.w.lead].stroke * x.size
}

func (p *Pose) clone() Pose {
	out := *p
	for _, v := range []*[]r2.Vec{&out.Points, &out.Velocity, &out.Acceleration, &out.turn} {
		*v = slices.Clone(*v)
	}
	for _, v := range []*[]float64{&out.Angles, &out.AngleRate, &out.AngleBend, &out.Along, &out.q, &out.stroke} {
		*v = slices.Clone(*v)
	}
	out.Cylinders = slices.Clone(out.Cylinders)
	return out
}
