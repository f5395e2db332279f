package linkage

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/blas/blas64"
	"gonum.org/v1/gonum/spatial/r2"
)

// Equilibrium of every body at rest or in slow motion: Jᵀ λ + Q = 0. λ are the forces of the pivots, slides and cylinders, Q the loads
// and the friction. Friction depends on λ, so it is solved by repetition: the forces of the last round give the friction of the next
// (Coulomb). Where constraints repeat others, many λ balance the loads; the one with the least sum of squares is given, which is
// what equally stiff members without play would come near to.

const (
	// frictionEnough is the change of the forces, as a part of the largest, at which the rounds end.
	frictionEnough = 1e-13
	// frictionMost is the number of rounds after which friction is said to jam the linkage. Rounds gain on the ratio of pin radius to
	// lever each time; a linkage that needs more is within a hair of jamming.
	frictionMost = 400
	// leastTurn, in rad per size, is the turning below which a pin doesn't rub.
	leastTurn = 1e-9
)

// A Way is the direction in which the linkage moves or is about to, for friction.
type Way int

const (
	Standing  Way = 0 // no friction
	Extending Way = 1
	Closing   Way = -1
)

// A Joint is a body at a point where it meets other bodies, cylinders or slides.
type Joint struct {
	Point, Body int
}

// Forces are what a linkage carries in one pose. The room is used again when they are computed again.
type Forces struct {
	Thrust    []float64 // of each cylinder, N, positive pushes
	Reactions []r2.Vec  // force of the pin on the body, for each of Joints, N
	Torque    []float64 // friction of the pin on the body, for each of Joints, N m
	Rear      []r2.Vec  // force of each cylinder on the pin at its rear, N
	Front     []r2.Vec  // and at its front
	Slides    []r2.Vec  // force of each slide's line on its point, N
	Spin      []float64 // torque that would have to keep each of the bodies Spins of Mobility from falling, N m
	Tool      float64   // force of Press's point on what it presses, N, positive along its way when extending

	// Undetermined tells that constraints repeat others: reactions depend on play and stiffness, and the least set is given.
	Undetermined bool
	Rounds       int // of friction

	*room
}

// room is where forces are computed.
type room struct {
	way                   float64
	along                 r2.Vec // way of the pressed point
	press                 int    // the pressed point, or -1
	lambda, last, q, unit []float64
	vectors               []r2.Vec  // Reactions, Rear, Front and Slides, one after the other
	pinTorque             []float64 // on the first body of each pivot row, from the pin, N m
	eyes                  [][2]float64
	c                     []float64 // dropped rows by kept rows
	gram, small           []float64
	factors               blas64.Triangular // of 1 + C Cᵀ
}

// A Press is a cylinder that pushes with a given thrust while a point of the linkage meets something that takes what is over.
type Press struct {
	Thrust float64 // of the lead, N, negative pulls
	Point  int
}

// Statics computes the forces of one load case. It holds room for the work: each goroutine needs its own.
type Statics struct {
	*Solver
	c         Case
	joints    []Joint
	hub       []int     // of each point: its joint with the hub, or -1
	other     []int     // of each pivot row: its joint
	mu        []float64 // coefficient times radius of each point, as a part of the size
	rub       []float64 // coefficient of each slide
	outermost [][2]int  // points of each body
	limbs     [][]Limb  // of each body
	at        []Wrench  // of each point: what acts on the link that is looked at
	feet      []foot
	x         *state
	pose      *Pose // of the forces computed last
	program   *program
	lu        []float64 // its factors, which may be the pose's own
	kept      loaded    // by grips

	speed, acceleration float64 // of the lead, while Move computes
}

// Statics prepares a load case. The error is a Fault.
func (s *Solver) Statics(c Case) (*Statics, error) {
	if err := s.checkCase(c); err != nil {
		return nil, err
	}
	if err := s.movable(); err != nil {
		return nil, err
	}
	t := &Statics{Solver: s, c: c, hub: make([]int, len(s.points)), mu: make([]float64, len(s.points)), rub: make([]float64, len(s.slides))}
	t.c.Loads, t.c.Springs = slices.Clone(c.Loads), slices.Clone(c.Springs)
	for _, p := range c.Pins {
		t.mu[p.Point] = p.Coefficient * p.Radius / s.size
	}
	for _, f := range c.Friction {
		t.rub[f.Slide] = f.Coefficient
	}
	t.findJoints()
	t.outermost = outermost(s.mechanism)
	t.limbs, t.at = limbs(s.mechanism, t.outermost), make([]Wrench, len(s.points))
	t.x = s.newState(new(Work))
	t.x.evaluate()
	program := t.x.choose(tolerance(s.mechanism, s.size))
	if program == nil {
		return nil, Fault{Kind: SingularAsDrawn}
	}
	t.x.use(program)
	return t, nil
}

// findJoints lists every body at every point where something else joins it: the ground as the first grounded body there.
func (t *Statics) findJoints() {
	shared := make([]bool, len(t.points))
	for _, p := range t.pivots {
		shared[p.point] = true
	}
	for _, e := range t.ends {
		shared[e[0]], shared[e[1]] = true, true
	}
	for _, p := range t.slidePoint {
		shared[p] = true
	}
	seat := make(map[[2]int]int)
	for p := range t.points {
		t.hub[p] = -1
		if !shared[p] {
			continue
		}
		for i, b := range t.mechanism.Bodies {
			number := t.bodyOf[i]
			if _, done := seat[[2]int{p, number}]; done || !has(b, p) {
				continue
			}
			seat[[2]int{p, number}] = len(t.joints)
			if number == t.points[p].body {
				t.hub[p] = len(t.joints)
			}
			t.joints = append(t.joints, Joint{p, i})
		}
	}
	for _, p := range t.pivots {
		t.other = append(t.other, seat[[2]int{p.point, p.a.body}])
	}
}

// Joints lists what the Reactions of Forces are about. The list must not be changed.
func (t *Statics) Joints() []Joint { return t.joints }

// Hold computes the forces when the lead has the thrust that just holds the loads, or moves them slowly the given way. The error is a
// Fault when friction jams the linkage.
func (t *Statics) Hold(p *Pose, way Way, f *Forces) error {
	t.prepare(p, f)
	return t.solve(f, float64(way), nil)
}

// Press computes the forces when the lead pushes or pulls with a given thrust and a point of the linkage takes what the loads leave
// of it. With friction true it opposes the motion that the thrust is after. The error is a Fault: friction jams the linkage, or the
// point doesn't move with the lead.
func (t *Statics) Press(p *Pose, press Press, friction bool, f *Forces) error {
	if press.Point < 0 || press.Point >= len(t.points) || !finite(press.Thrust) {
		return Fault{Kind: CaseIncomplete, Points: []int{press.Point}}
	}
	if r2.Norm(p.Velocity[press.Point]) < leastPart {
		return Fault{Kind: PointStandsStill, Points: []int{press.Point}}
	}
	t.prepare(p, f)
	way := 0.0
	if friction {
		way = math.Copysign(1, press.Thrust)
	}
	return t.solve(f, way, &press)
}

// prepare takes over the pose with the factors of its Jacobian, and makes room.
func (t *Statics) prepare(p *Pose, f *Forces) {
	x := t.x
	t.pose = p
	if p.program != nil {
		for i, by := range p.turn {
			x.cos[i], x.sin[i] = by.X, by.Y
		}
		t.program, t.lu = p.program, p.lu
		t.makeRoom(f)
		f.Undetermined = false
		return
	}
	copy(x.q, p.q)
	copy(x.stroke, p.stroke)
	x.evaluate()
	x.factor()
	if !(x.growth < growthLimit) || x.rows > x.cols() && p.Resistance < weak {
		if program := x.choose(tolerance(t.mechanism, t.size)); program != nil {
			x.use(program)
			x.factor()
		}
	}
	t.program, t.lu = x.program, x.lu
	t.makeRoom(f)
	f.Undetermined = x.rows > x.cols()
	if f.Undetermined {
		t.repeat(f)
	}
}

// makeRoom makes room for forces where there is none yet.
func (t *Statics) makeRoom(f *Forces) {
	x := t.x
	if f.room != nil && len(f.lambda) == x.rows && len(f.Reactions) == len(t.joints) {
		return
	}
	joints, lines := len(t.joints), len(t.lines)
	vectors := make([]r2.Vec, joints+2*lines+len(t.slides))
	part := func(from, n int) []r2.Vec { return vectors[from : from+n : from+n] }
	*f = Forces{
		Thrust: make([]float64, lines), Torque: make([]float64, joints), Spin: make([]float64, len(t.spins)),
		Reactions: part(0, joints), Rear: part(joints, lines), Front: part(joints+lines, lines), Slides: part(joints+2*lines, len(t.slides)),
	}
	f.room = &room{
		vectors: vectors,
		lambda:  make([]float64, x.rows), last: make([]float64, x.rows), unit: make([]float64, x.rows), q: make([]float64, x.cols()),
		pinTorque: make([]float64, len(t.pivots)), eyes: make([][2]float64, len(t.lines)),
	}
	if r := x.rows - x.cols(); r > 0 {
		f.c, f.gram, f.small = make([]float64, r*x.rows), make([]float64, r*r), make([]float64, r)
	}
}

// solve repeats the equilibrium until the friction fits the forces.
func (t *Statics) solve(f *Forces, way float64, press *Press) error {
	x := t.x
	lead := t.lines[t.pose.Lead].row
	f.way, f.press, f.Tool = way, -1, 0
	if press != nil {
		f.press, f.along = press.Point, r2.Unit(t.pose.Velocity[press.Point])
		clear(f.q)
		x.push(f.q, t.points[press.Point], r2.Scale(-1, f.along))
		t.balance(f, f.unit)
	}
	clear(f.lambda)
	clear(f.eyes)
	for f.Rounds = 1; ; f.Rounds++ {
		copy(f.last, f.lambda)
		clear(f.q)
		t.loads(f.q)
		t.friction(f, way)
		t.balance(f, f.lambda)
		if press != nil {
			f.Tool = (press.Thrust - f.lambda[lead]) / f.unit[lead]
			for i, u := range f.unit {
				f.lambda[i] += f.Tool * u
			}
		}
		change, most := 0.0, 0.0
		for i, v := range f.lambda {
			change, most = max(change, math.Abs(v-f.last[i])), max(most, math.Abs(v))
		}
		if way == 0 || change <= frictionEnough*most {
			break
		}
		if f.Rounds == frictionMost || math.IsNaN(most) || math.IsInf(most, 0) {
			return Fault{Kind: FrictionLocks}
		}
	}
	t.read(f)
	return nil
}

// LoadRatio is the thrust that a cylinder has to give as a part of what it can: push out or pull in (N, both positive). It is infinite
// where it would have to do what it can't.
func (f *Forces) LoadRatio(cylinder int, push, pull float64) float64 {
	thrust := f.Thrust[cylinder]
	if thrust == 0 {
		return 0
	}
	if thrust > 0 {
		return thrust / max(push, 0)
	}
	return -thrust / max(pull, 0)
}

// push adds a force at a place to the loads q.
func (x *state) push(q []float64, a attach, force r2.Vec) {
	if a.body == x.moving {
		return
	}
	rx, ry := x.turned(a)
	q[3*a.body] += force.X
	q[3*a.body+1] += force.Y
	q[3*a.body+2] += rx*force.Y - ry*force.X
}

// twist adds a torque, as force times part of the size.
func (x *state) twist(q []float64, body int, torque float64) {
	if body != x.moving {
		q[3*body+2] += torque
	}
}

// loads adds everything but friction.
func (t *Statics) loads(q []float64) {
	for k, i := range t.bodies {
		if b := &t.mechanism.Bodies[i]; b.Mass != 0 {
			centre := r2.Sub(t.inside(b.Centre), t.origin[k])
			t.x.push(q, attach{k, centre}, r2.Scale(b.Mass, t.c.Gravity))
		}
	}
	for i, e := range t.ends {
		rear, front := t.swung(t.pose, i, t.c.Gravity)
		t.x.push(q, t.points[e[0]], rear)
		t.x.push(q, t.points[e[1]], front)
	}
	for _, l := range t.c.Loads {
		t.x.push(q, t.points[l.Point], r2.Add(l.Force, r2.Scale(l.Mass, t.c.Gravity)))
	}
	for _, k := range t.c.Springs {
		pull := k.Pull(t.pose)
		t.x.push(q, t.points[k.From], pull)
		t.x.push(q, t.points[k.To], r2.Scale(-1, pull))
	}
	t.inertia(q)
}

// balance finds the forces that balance the loads q.
func (t *Statics) balance(f *Forces, lambda []float64) {
	x := t.x
	for i := range f.q {
		f.q[i] = -f.q[i]
	}
	for _, row := range t.program.dropped {
		lambda[row] = 0
	}
	t.program.solveTransposed(t.lu, f.q, lambda, x.scratch)
	if f.Undetermined {
		t.least(f, lambda)
	}
}

// read turns the forces of the rows into those of pivots, cylinders and slides.
func (t *Statics) read(f *Forces) {
	t.readRows(f, f.lambda)
	clear(f.Torque)
	for i := range t.pivots {
		f.Torque[t.other[i]] = f.pinTorque[i] * t.size
		t.twistHub(f, t.pivots[i].point, -f.pinTorque[i])
	}
	for i := range t.lines {
		rear, front := t.eyeLoads(f.eyes, i)
		f.Rear[i], f.Front[i] = r2.Add(f.Rear[i], rear), r2.Add(f.Front[i], front)
		for k, force := range [2]r2.Vec{rear, front} {
			t.onHub(f, t.ends[i][k], force)
			t.twistHub(f, t.ends[i][k], -f.eyes[i][k])
		}
	}
	for i := range t.slides {
		if t.rub[i] != 0 {
			force := r2.Scale(-t.rub[i]*math.Abs(f.last[t.slides[i].row])*f.way*direction(t.glide(i)), t.lineOf(i))
			f.Slides[i] = r2.Add(f.Slides[i], force)
			t.onHub(f, t.slidePoint[i], force)
		}
	}
	for _, l := range t.c.Loads {
		t.onHub(f, l.Point, r2.Add(l.Force, r2.Scale(l.Mass, t.c.Gravity)))
	}
	for _, k := range t.c.Springs {
		pull := k.Pull(t.pose)
		t.onHub(f, k.From, pull)
		t.onHub(f, k.To, r2.Scale(-1, pull))
	}
	if f.press >= 0 {
		t.onHub(f, f.press, r2.Scale(-f.Tool, f.along))
	}
}

// readRows gives the part of them that the rows have: without friction, and without what acts on pins directly.
func (t *Statics) readRows(f *Forces, lambda []float64) {
	clear(f.Reactions)
	for i := range t.pivots {
		p := &t.pivots[i]
		force := r2.Vec{X: lambda[p.row], Y: lambda[p.row+1]}
		f.Reactions[t.other[i]] = force
		t.onHub(f, p.point, r2.Scale(-1, force))
	}
	for i := range t.lines {
		f.Thrust[i] = lambda[t.lines[i].row]
		f.Front[i] = r2.Scale(f.Thrust[i], t.axis(t.pose, i))
		f.Rear[i] = r2.Scale(-1, f.Front[i])
		t.onHub(f, t.ends[i][0], f.Rear[i])
		t.onHub(f, t.ends[i][1], f.Front[i])
	}
	for i := range t.slides {
		f.Slides[i] = r2.Scale(lambda[t.slides[i].row], normal(t.lineOf(i)))
		t.onHub(f, t.slidePoint[i], f.Slides[i])
	}
	for i, r := range t.spins {
		f.Spin[i] = lambda[r.row] * t.size
	}
}

// onHub adds a force on a pin to what the pin puts on its hub, and twistHub a torque in parts of the size.
func (t *Statics) onHub(f *Forces, point int, force r2.Vec) {
	if j := t.hub[point]; j >= 0 {
		f.Reactions[j] = r2.Add(f.Reactions[j], force)
	}
}

func (t *Statics) twistHub(f *Forces, point int, torque float64) {
	if j := t.hub[point]; j >= 0 {
		f.Torque[j] += torque * t.size
	}
}
