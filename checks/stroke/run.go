package stroke

import "math"

// Run computes one stroke. An error is a mistake in the machine or the options; a stroke that doesn't come to its end is a Verdict.
// Runs share nothing but the mechanism.
func Run(m Machine, o Options) (*Result, error) {
	o, err := o.filled()
	if err != nil {
		return nil, err
	}
	if err := m.check(); err != nil {
		return nil, err
	}
	r := newRun(&m, o)
	r.run()
	return &r.result, nil
}

// A run is one stroke on its way.
type run struct {
	stepper
	options Options
	t       float64
	y       vector
	works   [works]float64
	speed   float64 // below which errors of the speed count as absolute, m/s
	usual   float64 // work of the largest pressure over the way between the stops, J
	energy  Energy
	losses  losses
	course  course
	result  Result
	scales  vector
	spare   [works]float64 // powers that nothing asks for
}

func newRun(m *Machine, o Options) *run {
	r := &run{options: o}
	r.model = newModel(m)
	r.y = r.model.begin()
	largest := max(m.Supply.Pressure, m.Cap.Pressure, m.Rod.Pressure) * max(m.Cap.Area, m.Rod.Area)
	r.usual = largest * (m.High - m.Low)
	r.speed = 0.02 * math.Sqrt(r.usual/m.Mechanism.At(m.Start).Mass)
	r.losses = newLosses(r.model)
	r.course = newCourse(o)
	none := Sample{Time: math.NaN()}
	r.result = Result{Verdict: OutOfTime, Started: math.NaN(), Arrived: math.NaN(), PeakSpeed: none, PeakAcceleration: none, Entry: none}
	return r
}

// An event is what ends a phase within a step.
type event int

const (
	noEvent event = iota
	startsOut
	startsIn
	rests
	passesUp // the next edge at a greater stroke
	passesDown
)

func (r *run) run() {
	x := r.model
	const first = 1e-4
	h, most := first, 5.0 // what the next step may grow by
	r.phase()
	up, down := r.edges()
	limit := r.options.Limit
	for {
		if x.dir == 0 && r.settled() {
			r.result.Verdict = Stalls
			if math.IsNaN(r.result.Started) {
				r.result.Verdict = NeverStarts
			}
			break
		}
		if r.t >= limit {
			break
		}
		if r.result.Steps+r.result.Rejected >= r.options.Steps || h < 1e-13 {
			r.result.Verdict = OutOfSteps
			break
		}
		next := r.nextTime()
		clipped := r.t+h >= next
		tried := h
		if clipped {
			tried = next - r.t
		}
		if over := r.overshoot(tried); over > 1 {
			tried, clipped = tried/over, false
		}
		r.try(tried)
		miss := r.miss(r.scale(), r.options.Tolerance*r.usual)
		if !(miss <= 1) {
			r.result.Rejected++
			h, most = tried*change(miss), 1
			continue
		}
		e, share := r.event(up, down)
		if e == rests && share == 0 && x.dir*r.slopes[0][iV] > 0 {
			// It sets off and comes back within this one step.
			r.result.Rejected++
			h = tried / 4
			continue
		}
		if e != noEvent {
			tried, clipped = r.stepOnto(e, tried, share, up, down), false
		}
		r.accept(tried, clipped, next)
		if e == noEvent && !clipped {
			h = tried * min(most, change(miss))
			most = 5
			r.next()
			continue
		}
		if clipped {
			h = first
		}
		if r.happen(e) {
			break
		}
		r.phase()
		up, down = r.edges()
	}
	r.finish()
}

// change is what a step's length is changed by after a miss, which goes with h⁴.
func change(miss float64) float64 {
	if math.IsNaN(miss) {
		return 0.1
	}
	return max(0.1, 0.85/math.Sqrt(math.Sqrt(max(miss, 1e-10))))
}

// scale is the inverse of the error allowed for each state.
func (r *run) scale() *vector {
	inverse := 1 / r.options.Tolerance
	r.scales[iS] = inverse / (r.model.m.High - r.model.m.Low)
	r.scales[iV] = inverse / max(r.speed, math.Abs(r.from[iV]))
	for i := iP; i < r.model.n; i++ {
		if r.from[i] != 0 { // else a state that the machine lacks
			r.scales[i] = inverse / r.from[i]
		}
	}
	return &r.scales
}

// phase sets what switches, for a motion in the direction r.model.dir from r.y on.
func (r *run) phase() {
	r.switches()
	if r.model.dir == 0 && r.turn() {
		r.switches()
	}
	r.losses.look(r.model, &r.y)
	r.peaks(r.sample(&r.y, &r.slopes[0], r.t))
}

func (r *run) switches() {
	x := r.model
	s := r.y[iS]
	for k := range x.sides {
		c := &x.sides[k]
		c.lineIs, c.portIs = r.t >= c.lineOpen, r.t >= c.portOpen
		c.cushioned = c.Cushion.Length > 0 && c.To != Open && within(s, c.edge, -c.sign, x.dir)
	}
	x.inDamper = x.m.Damper.Length > 0 && within(s, x.damperAt, x.toEnd, x.dir)
	r.start(&r.y)
}

// within reports whether s is beyond the edge in the direction side; on the edge the motion decides.
func within(s, edge, side, dir float64) bool {
	return side*(s-edge) > 0 || s == edge && dir == side
}

// edges are the nearest strokes to either side at which something switches.
func (r *run) edges() (up, down float64) {
	x := r.model
	up, down = x.m.High, x.m.Low
	look := func(edge float64) {
		if edge > r.y[iS] {
			up = min(up, edge)
		}
		if edge < r.y[iS] {
			down = max(down, edge)
		}
	}
	for k := range x.sides {
		if x.sides[k].Cushion.Length > 0 && x.sides[k].To != Open {
			look(x.sides[k].edge)
		}
	}
	if x.m.Damper.Length > 0 {
		look(x.damperAt)
	}
	return up, down
}

// overshoot is how many times a step of h takes the piston past the end that it moves to, as far as its speed tells. Beyond the ends there is
// no mechanism to follow; a little is wanted, to end there by.
func (r *run) overshoot(h float64) float64 {
	s, v := r.from[iS], r.from[iV]
	way := r.model.m.High - s
	if v < 0 {
		way = r.model.m.Low - s
	}
	if way == 0 {
		return 0
	}
	return v * h / (1.1 * way)
}

func (r *run) nextTime() float64 {
	next := r.options.Limit
	for k := range r.model.sides {
		for _, t := range [...]float64{r.model.sides[k].lineOpen, r.model.sides[k].portOpen} {
			if t > r.t {
				next = min(next, t)
			}
		}
	}
	return next
}

// excess is by how much the forces at rest exceed what holds, outward and inward.
func excess(f Forces) (out, in float64) { return f.net() - f.Holding, -f.net() - f.Holding }

// restingForces are those at the share x of the last step, of a mechanism that stands.
func (r *run) restingForces(x float64) Forces {
	y := r.all(x)
	var d vector
	r.model.derive(&y, &d, &r.spare, true)
	return r.model.force
}

// event finds the first event of the last step, and the share of the step at which it happens.
func (r *run) event(up, down float64) (event, float64) {
	m := r.model.m
	dir := r.model.dir
	if dir == 0 {
		out, in := excess(r.model.force)
		switch {
		case out > 0 && r.y[iS] < m.High:
			return startsOut, root(func(x float64) float64 { out, _ := excess(r.restingForces(x)); return out })
		case in > 0 && r.y[iS] > m.Low:
			return startsIn, root(func(x float64) float64 { _, in := excess(r.restingForces(x)); return in })
		}
		return noEvent, 0
	}
	e, share := noEvent, 1.0
	switch v := dir * r.to[iV]; {
	case v < -1e-9*r.speed:
		e, share = rests, root(func(x float64) float64 { return -dir * r.at(iV, x) })
	case v <= r.options.Tolerance*r.speed && v < dir*r.from[iV] && dir*r.slopes[1][iV] <= 0:
		e = rests // what creeps and gets slower comes to rest, or it would take for ever
	}
	if at := r.at(iS, share); dir > 0 && at >= up {
		e, share = passesUp, share*root(func(x float64) float64 { return r.at(iS, share*x) - up })
	} else if dir < 0 && at <= down {
		e, share = passesDown, share*root(func(x float64) float64 { return down - r.at(iS, share*x) })
	}
	return e, share
}

// stepOnto takes the last step, of h, once more up to the event, which is at about the share of it, and returns its length.
func (r *run) stepOnto(e event, h, share, up, down float64) float64 {
	at := h * share
	for range 4 {
		at = min(max(at, 1e-9*h), h)
		if at < h {
			r.try(at)
		}
		by, rate, unseen := r.beyond(e, up, down)
		if math.Abs(by) <= unseen || !(rate > 0) {
			break
		}
		at -= by / rate
	}
	r.snap(e, up, down)
	return r.h
}

// beyond is how far the end of the last step is past the event, how fast that grows, and what of it is within the tolerance.
func (r *run) beyond(e event, up, down float64) (by, rate, unseen float64) {
	m, tolerance := r.model.m, r.options.Tolerance
	dir, s, v := r.model.dir, r.to[iS], r.to[iV]
	switch e {
	case passesUp:
		return s - up, v, tolerance * (m.High - m.Low)
	case passesDown:
		return down - s, -v, tolerance * (m.High - m.Low)
	case rests:
		return -dir * v, -dir * r.slopes[1][iV], tolerance * r.speed
	}
	excessAt := func(y *vector) float64 {
		pose := m.Mechanism.At(y[iS])
		capSide, rodSide := r.model.pressures(y)
		var f Forces
		r.model.forces(&f, &pose, y[iS], 0, capSide, rodSide)
		out, in := excess(f)
		if e == startsIn {
			return in
		}
		return out
	}
	soon, later := r.to, 1e-3*r.h
	for i := range soon {
		soon[i] += later * r.slopes[1][i]
	}
	by = excessAt(&r.to)
	return by, (excessAt(&soon) - by) / later, tolerance * r.usual / (m.High - m.Low)
}

// root finds where f, which is above zero at 1, last was not, in [0, 1], by the Illinois method.
func root(f func(float64) float64) float64 {
	a, b := 0.0, 1.0
	fa, fb := f(a), f(b)
	if fa >= 0 {
		return 0
	}
	for range 60 {
		if b-a < 1e-14 || fb == 0 {
			break
		}
		x := (a*fb - b*fa) / (fb - fa)
		if !(x > a && x < b) {
			x = (a + b) / 2
		}
		switch fx := f(x); {
		case fx < 0:
			a, fa = x, fx
			fb /= 2
		default:
			b, fb = x, fx
			fa /= 2
		}
	}
	return b
}

// accept books the last step.
func (r *run) accept(h float64, clipped bool, next float64) {
	r.result.Steps++
	r.work(&r.works)
	r.losses.book(r.model, &r.to, h)
	r.inside(h)
	r.course.add(r, h)
	r.t += h
	if clipped {
		r.t = next
	}
	r.y = r.to
	r.peaks(r.sample(&r.to, &r.slopes[1], r.t))
}

// snap takes the rounding out of the step onto an event.
func (r *run) snap(e event, up, down float64) {
	switch e {
	case rests:
		r.to[iV] = 0
	case passesUp:
		r.to[iS] = up
	case passesDown:
		r.to[iS] = down
	}
}

// happen makes the event's change and reports whether the stroke is over.
func (r *run) happen(e event) bool {
	switch e {
	case startsOut:
		r.set(1)
	case startsIn:
		r.set(-1)
	case rests:
		r.model.dir = 0
	case passesUp, passesDown:
		return r.pass()
	}
	return false
}

// set sets a mechanism at rest in motion.
func (r *run) set(dir float64) {
	r.model.dir = dir
	if math.IsNaN(r.result.Started) {
		r.result.Started = r.t
	}
}

// turn sets a mechanism at rest in motion if the forces, those of r.model, don't let it rest.
func (r *run) turn() bool {
	switch out, in := excess(r.model.force); {
	case out > 0 && r.y[iS] < r.model.m.High:
		r.set(1)
	case in > 0 && r.y[iS] > r.model.m.Low:
		r.set(-1)
	default:
		return false
	}
	return true
}

// pass deals with an edge that has been come to.
func (r *run) pass() bool {
	x := r.model
	s, v := r.y[iS], r.y[iV]
	kinetic := x.mass * v * v / 2
	end := x.m.end()
	for k := range x.sides {
		c := &x.sides[k]
		if c.sign == -x.toEnd && c.To != Open && c.Cushion.Length > 0 && s == c.edge && x.dir == x.toEnd && math.IsNaN(r.result.Entry.Time) {
			r.result.Entry, r.result.EntryEnergy = r.sample(&r.y, &r.slopes[1], r.t), kinetic
		}
	}
	if s == end {
		r.result.Verdict, r.result.Arrived = Arrives, r.t
		r.energy.Stop = kinetic
		return true
	}
	if s == x.m.High || s == x.m.Low {
		r.energy.Back += kinetic
		r.y[iV] = 0
		x.dir = 0
	}
	return false
}

// settled reports that a mechanism at rest will never move again, and sets the forces to those that stay nearest to moving it. While it
// stands, the pressure of a chamber stays between what it is now, what it is once it has the walls' temperature, that of its tube, and that
// of what the valve joins it to; forces are greatest in one of the corners.
func (r *run) settled() bool {
	x := r.model
	m := x.m
	var least, most [2]float64
	for k := range x.sides {
		least[k], most[k] = r.prospects(k)
	}
	pose := m.Mechanism.At(r.y[iS])
	nearest, held := math.Inf(-1), x.force
	for corner := range 4 {
		capSide, rodSide := least[0], least[1]
		if corner&1 != 0 {
			capSide = most[0]
		}
		if corner&2 != 0 {
			rodSide = most[1]
		}
		var f Forces
		x.forces(&f, &pose, r.y[iS], 0, capSide, rodSide)
		out, in := excess(f)
		if r.y[iS] == m.High {
			out = math.Inf(-1)
		}
		if r.y[iS] == m.Low {
			in = math.Inf(-1)
		}
		if out > 0 || in > 0 {
			return false
		}
		if most := max(out, in); most > nearest {
			nearest, held = most, f
		}
	}
	r.result.Forces = held
	return true
}

// prospects are the least and the greatest pressure that a chamber can come to while the piston stands.
func (r *run) prospects(k int) (least, most float64) {
	c, air := &r.model.sides[k], r.model.m.Air
	if c.To == Open {
		return air.Pressure, air.Pressure
	}
	p := r.y[iP+3*k]
	least, most = p, p
	with := func(p float64) { least, most = min(least, p), max(most, p) }
	if air.Wall > 0 {
		with(r.y[iM+3*k] * gasConstant * air.Temperature / c.volume(r.y[iS]))
	}
	// Another pressure is come to only if the way there passes air in that direction.
	rises, falls := true, true
	if c.tube {
		rises, falls = c.portIn.c > 0, c.portOut.c > 0
	}
	if c.cushioned {
		falls = falls && c.portCushion.c > 0
	}
	toward := func(other float64) {
		if other > p && rises || other < p && falls {
			with(other)
		}
	}
	if c.tube {
		toward(r.y[iTube+3*k])
	}
	if c.To == Shut {
		return least, most
	}
	rises, falls = rises && c.in.c > 0, falls && c.out.c > 0
	if c.To == Supplied {
		toward(r.model.supply(&r.y))
	} else {
		toward(air.Pressure)
	}
	return least, most
}

func (r *run) sample(y, d *vector, t float64) Sample {
	capSide, rodSide := r.model.pressures(y)
	return Sample{Time: t, Stroke: y[iS], Speed: y[iV], Acceleration: d[iV], Cap: capSide, Rod: rodSide}
}

// peaks keeps the extremes at the ends of steps.
func (r *run) peaks(s Sample) {
	q := &r.result
	if r.model.dir != 0 {
		if !(math.Abs(s.Speed) <= math.Abs(q.PeakSpeed.Speed)) || math.IsNaN(q.PeakSpeed.Time) {
			q.PeakSpeed = s
		}
		if !(math.Abs(s.Acceleration) <= math.Abs(q.PeakAcceleration.Acceleration)) || math.IsNaN(q.PeakAcceleration.Time) {
			q.PeakAcceleration = s
		}
	}
	q.PeakCap, q.PeakRod = max(q.PeakCap, s.Cap), max(q.PeakRod, s.Rod)
	way := (s.Stroke - r.model.m.Start) * r.model.toEnd
	q.Forward, q.Backward = max(q.Forward, way), max(q.Backward, -way)
}

// inside keeps the extremes between the ends of the last step, of which it looks for those that can be larger than what is known.
func (r *run) inside(h float64) {
	q := &r.result
	a0, a1 := r.slopes[0][iV], r.slopes[1][iV]
	if r.model.dir != 0 {
		if a0*a1 < 0 && math.Abs(r.from[iV])+h*math.Abs(a0) > math.Abs(q.PeakSpeed.Speed) {
			r.look(root(func(x float64) float64 { return r.slopeAt(iV, x) * math.Copysign(1, a1) }), h)
		}
		// The parabola through three accelerations may have its top between.
		half := r.slopeAt(iV, 0.5)
		bend, rise := a1-2*half+a0, a1-a0
		if x := 0.5 - rise/(4*bend); x > 0 && x < 1 && math.Abs(half-rise*rise/(8*bend)) > math.Abs(q.PeakAcceleration.Acceleration) {
			r.look(x, h)
		}
	}
	for k, peak := range [...]float64{q.PeakCap, q.PeakRod} {
		if i := iP + 3*k; r.slopes[0][i] > 0 && r.slopes[1][i] < 0 && r.from[i]+h*r.slopes[0][i] > peak {
			r.look(root(func(x float64) float64 { return -r.slopeAt(i, x) }), h)
		}
	}
}

func (r *run) look(x, h float64) {
	y := r.all(x)
	var d vector
	r.model.derive(&y, &d, &r.spare, true)
	r.peaks(r.sample(&y, &d, r.t+x*h))
	r.model.derive(&r.to, &d, &r.spare, true) // the model's forces are those of the step's end again
}

func (r *run) finish() {
	x := r.model
	q := &r.result
	var d vector
	x.derive(&r.y, &d, &r.spare, true)
	q.Last = r.sample(&r.y, &d, r.t)
	if q.Verdict != NeverStarts && q.Verdict != Stalls {
		q.Forces = x.force
	}
	w := &r.works
	e := r.energy
	e.Drive, e.Cushion, e.Load, e.Friction, e.Damper = w[wDrive], w[wCushion], w[wLoad], w[wFriction], w[wDamper]
	if q.Verdict != Arrives {
		e.Kinetic = x.mass * r.y[iV] * r.y[iV] / 2
	}
	e.Residual = e.Drive - e.Cushion - e.Load - e.Friction - e.Damper - e.Stop - e.Back - e.Kinetic
	q.Energy = e
	q.Losses = r.losses.shares()
	q.Course = r.course.end(q.Last)
}
