package linkage

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/spatial/r2"
)

// A Drive says what a sweep moves.
type Drive struct {
	Lead int   // the cylinder that the sweep follows from closed to extended
	With []int // cylinders that move with it, each in the same part of its stroke

	// Follow are cylinders that share a freedom with others that the drive places: they take what stroke the linkage gives them, as
	// cylinders on one line of air do.
	Follow []int

	// At holds the stroke (m) at which each of the others rests; those of the lead, of With and of Follow are not read. Without it they rest as
	// drawn.
	At []float64

	// From and To are the part of the lead's stroke that is swept, m: what stops outside the cylinder leave of it. All of it where To is 0.
	// The pose as drawn must lie in it.
	From, To float64
}

// A Sweep holds the poses of one stroke. They are evenly spaced from closed to extended, those beyond a stop are missing, and a
// stop has a pose of its own.
type Sweep struct {
	Poses     []Pose
	Closing   *Stop // what keeps the cylinder from closing fully; nil when nothing does
	Extending *Stop
	Before    *Stop // what kept the linkage from getting from the drawn pose to where the sweep begins; there are no poses then
	Work      Work
	drive     Drive
}

// A Reason says why a linkage can't go on.
type Reason int

const (
	Unsolved    Reason = iota // no pose was found, for a reason that the solver can't tell
	DeadPoint                 // the cylinder has lost its lever: its line passes through the point about which its ends turn
	Stretched                 // links are in line: they reach no farther
	ChangePoint               // links are in line and two ways lead on
	Binds                     // links that repeat others don't fit any more, or cylinders fight
	StrokeEnds                // a cylinder that follows is at an end of its stroke: Points are its ends
)

func (r Reason) String() string {
	return [...]string{"unsolved", "dead point", "stretched", "change point", "binds", "stroke ends"}[r]
}

// A Stop is where a linkage can't go on, to within 0.01 mm for strokes up to 10 m.
type Stop struct {
	Reason  Reason
	Stroke  float64   // of the lead, m
	Strokes []float64 // of all cylinders, m
	Points  []int     // the pivots of the links concerned
	Bodies  []int     // the links concerned
}

// Sweep follows the linkage from the drawn pose to both ends of the lead's stroke and records n poses, at least two. The error is
// a Fault: the linkage is locked, loose, drawn at a singular pose, the drive is none of this machine's or sets cylinders against each
// other.
func (s *Solver) Sweep(d Drive, n int) (*Sweep, error) {
	w, stop, err := s.ready(d)
	if err != nil || stop != nil {
		return &Sweep{Before: stop}, err
	}
	n = max(n, 2)
	from, to := 0.0, s.lines[d.Lead].stroke
	if d.To > 0 {
		from, to = d.From/s.size, d.To/s.size
	}
	begin := w.here.stroke[d.Lead]
	var down, up []float64
	for k := range n {
		if at := from + (to-from)*float64(k)/float64(n-1); at < begin {
			down = append(down, at)
		} else {
			up = append(up, at)
		}
	}
	slices.Reverse(down)
	room := s.newPoses(len(down)+len(up)+2, len(s.mechanism.Bodies)) // and a pose at either stop
	origin := s.system.newState(&w.work)
	origin.set(w.here)
	out := &Sweep{drive: d}
	below, closing := w.leg(down, room[:len(down)+1])
	w.setProgram(origin.program)
	w.here.set(origin)
	w.head(origin.rate)
	above, extending := w.leg(up, room[len(down)+1:])
	slices.Reverse(below)
	out.Poses = append(below, above...)
	out.Closing, out.Extending, out.Work = closing, extending, w.work
	return out, nil
}

// PoseAt follows the linkage from the drawn pose to the strokes given (m), one for each cylinder: first the others, each in the same part
// of its way, then the lead. The rates of the pose are those of the lead, with the others at rest. Of cylinders that share a freedom as
// many are placed as it takes, the lead among them, and the others follow. The error is a Fault, as for Sweep.
func (s *Solver) PoseAt(strokes []float64, lead int) (*Pose, *Stop, error) {
	if len(strokes) != len(s.lines) || lead < 0 || lead >= len(s.lines) || !s.within(lead, strokes[lead]) {
		return nil, nil, Fault{Kind: WrongDrive, Cylinders: []int{lead}}
	}
	w, stop, err := s.ready(Drive{Lead: lead, At: strokes, Follow: s.followers(lead)})
	if err != nil || stop != nil {
		return nil, stop, err
	}
	to := []float64{strokes[lead] / s.size}
	poses, stop := w.leg(to, s.newPoses(2, len(s.mechanism.Bodies)))
	return &poses[0], stop, nil
}

// Usable is the part of the lead's stroke that the linkage can make (m): all of it unless there is a stop. from = to = 0 where the
// sweep has no poses.
func (w *Sweep) Usable() (from, to float64) {
	if len(w.Poses) == 0 {
		return 0, 0
	}
	return w.Poses[0].Stroke, w.Poses[len(w.Poses)-1].Stroke
}

// leg walks through the strokes and writes a pose at each, and one at a stop.
func (w *walker) leg(strokes []float64, room []Pose) ([]Pose, *Stop) {
	if len(strokes) == 0 {
		return nil, nil // drawn at this end, or beyond it by what Fit allows
	}
	begin := w.here.stroke[w.lead]
	way := math.Copysign(1, strokes[len(strokes)-1]-begin)
	var factors []float64
	write := func(p *Pose) {
		x := w.here
		x.write(p, w.lead)
		if x.rows > x.cols() {
			return
		}
		if cap(factors)-len(factors) < len(x.lu) {
			factors = make([]float64, 0, len(room)*len(x.lu))
		}
		from := len(factors)
		factors = append(factors, x.lu...)
		p.program, p.lu = x.program, factors[from:len(factors):len(factors)]
	}
	count := 0
	for _, at := range strokes {
		if !w.walk(at - begin - w.travelled) {
			stop := w.stop()
			for count > 0 && way*(room[count-1].Stroke-stop.Stroke) >= 0 {
				count-- // recorded before it was known that the way there leads through a singular pose
			}
			write(&room[count])
			return room[:count+1], stop
		}
		w.here.stroke[w.lead] = at // without the rounding of many steps
		write(&room[count])
		count++
	}
	return room[:count], nil
}

// ready puts a walker where a drive begins: the lead as drawn, the others where they shall be.
func (s *Solver) ready(d Drive) (*walker, *Stop, error) {
	if err := s.movable(); err != nil {
		return nil, nil, err
	}
	rate, target, err := s.plan(d)
	if err != nil {
		return nil, nil, err
	}
	for _, i := range s.mobility.Stuck {
		if rate[i] != 0 {
			return nil, nil, Fault{Kind: CylinderStuck, Cylinders: []int{i}, Points: s.ends[i][:]}
		}
	}
	w, ok := s.start(d.Lead, d.Follow...)
	if ok && len(s.mobility.Tied) > 0 {
		if err := w.fight(s, rate); err != nil {
			return nil, nil, err
		}
	}
	if !ok && len(d.Follow) > 0 && w.here.program == nil {
		return nil, nil, Fault{Kind: Undriven, Cylinders: d.Follow} // nothing else holds what they would
	}
	if !ok {
		reason := Unsolved
		if w.misfit >= 0 {
			reason = Binds
		}
		return nil, &Stop{Reason: reason, Stroke: w.here.stroke[d.Lead] * s.size, Strokes: w.here.strokes(), Points: w.misfitPoints()}, nil
	}
	approach, distance := make([]float64, len(target)), 0.0
	for i, t := range target {
		if w.here.follows[i] {
			continue
		}
		approach[i] = t - w.here.stroke[i]
		distance = max(distance, math.Abs(approach[i]))
	}
	if distance > 0 {
		floats.Scale(1/distance, approach)
		for i, v := range approach {
			if math.Abs(v) > math.Abs(approach[w.lead]) {
				w.lead = i // a stop on this way is about what moves
			}
		}
		w.head(approach)
		if !w.walk(distance) {
			stop := w.stop()
			stop.Stroke = stop.Strokes[d.Lead]
			return nil, stop, nil
		}
		w.lead = d.Lead
		for i, t := range target {
			if !w.here.follows[i] {
				w.here.stroke[i] = t // without the rounding of many steps
			}
		}
	}
	w.head(rate)
	return w, nil, nil
}

// fight refuses rates that a surplus cylinder can't follow as drawn: over the lead's stroke it would be off by more than fits. (One
// that can as drawn and not later on is found on the way: it Binds.)
func (w *walker) fight(s *Solver, rate []float64) error {
	x := w.here
	copy(x.rate, rate)
	x.derive()
	for _, set := range s.mobility.Tied {
		for _, i := range set {
			d, v := x.span(i)
			if off := r2.Dot(d, v)/r2.Norm(d) - x.rate[i]; math.Abs(off)*s.lines[w.lead].stroke > w.fit {
				f := Fault{Kind: CylindersFight, Cylinders: set}
				for _, c := range set {
					f.Points = append(f.Points, s.ends[c][:]...)
				}
				slices.Sort(f.Points)
				f.Points = slices.Compact(f.Points)
				return f
			}
		}
	}
	return nil
}

// within tells whether a cylinder has a stroke, but for rounding.
func (s *Solver) within(cylinder int, stroke float64) bool {
	fit := max(leastPart*s.size, s.mechanism.Fit)
	return stroke >= -fit && stroke <= s.mechanism.Cylinders[cylinder].Stroke+fit
}

// plan gives the rates of all cylinders by the lead's, and the strokes where the sweep begins, as parts of the size.
func (s *Solver) plan(d Drive) (rate, target []float64, err error) {
	n := len(s.lines)
	wrong := func(i int) (a, b []float64, err error) { return nil, nil, Fault{Kind: WrongDrive, Cylinders: []int{i}} }
	if d.Lead < 0 || d.Lead >= n {
		return wrong(d.Lead)
	}
	if d.At != nil && len(d.At) != n {
		return wrong(d.Lead)
	}
	if longest := s.mechanism.Cylinders[d.Lead].Stroke; d.To != 0 && !(d.From >= 0 && d.From < d.To && d.To <= longest) {
		return wrong(d.Lead)
	}
	rate, target = make([]float64, n), make([]float64, n)
	lead := &s.lines[d.Lead]
	for i := range s.lines {
		l := &s.lines[i]
		target[i] = l.drawn
		if i == d.Lead {
			rate[i] = 1
			continue
		}
		if slices.Contains(d.With, i) {
			rate[i] = l.stroke / lead.stroke
			target[i] = l.stroke * lead.drawn / lead.stroke
			continue
		}
		if d.At == nil || slices.Contains(d.Follow, i) {
			continue
		}
		if !s.within(i, d.At[i]) {
			return wrong(i)
		}
		target[i] = d.At[i] / s.size
	}
	for _, i := range slices.Concat(d.With, d.Follow) {
		if i < 0 || i >= n || i == d.Lead || slices.Contains(d.With, i) && slices.Contains(d.Follow, i) {
			return wrong(i)
		}
	}
	return rate, target, nil
}
