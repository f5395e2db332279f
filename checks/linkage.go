package checks

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"

	"gonum.org/v1/gonum/spatial/r2"

	"trammel.example/checks/linkage"
	"trammel.example/schema"
)

// posesPerStroke is how many poses a stroke is looked at in. Forces and angles change slowly along it: between two of so many poses
// those of an ordinary linkage differ by less than one in a thousand.
const posesPerStroke = 201

// fitOfDrawing in m is by how much rounded coordinates may miss a link's or a cylinder's length. Drawings give tenths of a millimetre.
const fitOfDrawing = 0.1e-3

const standardGravity = 9.80665 // m/s²

// A motion is a machine's linkage over the strokes of its cylinders.
type motion struct {
	points, links, cylinders []string // sorted: the solver's indexes
	solver                   *linkage.Solver
	sweeps                   map[string]*linkage.Sweep // by cylinder
	faults                   []string                  // why there is none
	blame                    []schema.Input            // what to change first for them, where one value is to blame
	unweighed                []string                  // moving links without a mass
	weights                  linkage.Case              // what is always there: gravity, on the links and on what they carry, and springs
	forces                   []outsideForce
}

// An outsideForce is a load that pushes the machine, by its name.
type outsideForce struct {
	name string
	load linkage.Case
}

func move(m *schema.Machine) *motion {
	mo := &motion{points: sorted(m.Points), links: sorted(m.Links), cylinders: sorted(m.Cylinders), sweeps: map[string]*linkage.Sweep{}}
	mech := linkage.Mechanism{Fit: fitOfDrawing}
	index := map[string]int{}
	for i, name := range mo.points {
		index[name] = i
		p := m.Points[name]
		mech.Points = append(mech.Points, r2.Vec{X: p.X.SI, Y: p.Y.SI})
	}
	for _, name := range mo.links {
		l := m.Links[name]
		b := linkage.Body{Ground: l.Ground.Value, Mass: l.Mass.SI}
		for _, p := range l.Points {
			b.Points = append(b.Points, index[p.Value])
		}
		b.Centre = centreOf(l, mech.Points, b.Points)
		b.Inertia = rodInertia(l.Mass.SI, mech.Points, b.Points)
		if !l.Ground.Value && !l.Mass.Given() {
			mo.unweighed = append(mo.unweighed, name)
		}
		mech.Bodies = append(mech.Bodies, b)
	}
	for _, name := range mo.cylinders {
		y := m.Cylinders[name]
		mech.Cylinders = append(mech.Cylinders, linkage.Cylinder{Rear: index[y.Rear.At.Value], Front: index[y.Front.At.Value], Closed: y.Closed.SI, Stroke: y.Stroke.SI})
	}
	for _, name := range sorted(m.Slides) {
		l := m.Slides[name]
		from, to := l.Along[0].Value, l.Along[1].Value
		carrier := slices.IndexFunc(mo.links, func(link string) bool { return goesThrough(m.Links[link], from) && goesThrough(m.Links[link], to) })
		mech.Slides = append(mech.Slides, linkage.Slide{Point: index[l.Point.Value], Body: carrier, From: index[from], To: index[to]})
	}
	mo.weights.Gravity = r2.Vec{Y: -standardGravity}
	for _, name := range sorted(m.Springs) {
		k := m.Springs[name]
		mo.weights.Springs = append(mo.weights.Springs, linkage.Spring{From: index[k.From.Value], To: index[k.To.Value], Stiffness: k.Rate.SI, Free: k.Free.SI})
	}
	for _, name := range sorted(m.Loads) {
		l := m.Loads[name]
		point := index[l.At.Value]
		if l.Mass.Given() {
			mo.weights.Loads = append(mo.weights.Loads, linkage.Load{Point: point, Mass: l.Mass.SI})
			continue
		}
		force := r2.Scale(l.Force.SI, r2.Vec{X: math.Cos(l.Towards.SI), Y: math.Sin(l.Towards.SI)})
		mo.forces = append(mo.forces, outsideForce{name, linkage.Case{Loads: []linkage.Load{{Point: point, Force: force}}}})
	}
	solver, err := linkage.New(mech)
	if err != nil {
		mo.faults = mo.sentences(err)
		return mo
	}
	mo.solver = solver
	mo.dangling(m, mech.Bodies)
	for i, name := range mo.cylinders {
		sweep, err := solver.Sweep(linkage.Drive{Lead: i}, posesPerStroke)
		if err != nil {
			for _, text := range mo.sentences(err) {
				if !slices.Contains(mo.faults, text) { // most keep every cylinder from moving
					mo.faults = append(mo.faults, text)
				}
			}
			continue
		}
		mo.sweeps[name] = sweep
	}
	return mo
}

func goesThrough(l schema.Link, point string) bool {
	return slices.ContainsFunc(l.Points, func(p schema.Text) bool { return p.Value == point })
}

// centreOf is a link's centre of mass as drawn: as given, else the mean of its points.
func centreOf(l schema.Link, points []r2.Vec, of []int) r2.Vec {
	if l.Centre.X.Given() {
		return r2.Vec{X: l.Centre.X.SI, Y: l.Centre.Y.SI}
	}
	var sum r2.Vec
	for _, i := range of {
		sum = r2.Add(sum, points[i])
	}
	return r2.Scale(1/float64(len(of)), sum)
}

// rodInertia takes a link for a slender rod between its two points that lie farthest apart: m L²/12 about its middle.
func rodInertia(mass float64, points []r2.Vec, of []int) float64 {
	long := 0.0
	for _, i := range of {
		for _, j := range of {
			long = max(long, r2.Norm(r2.Sub(points[i], points[j])))
		}
	}
	return mass * long * long / 12
}

// dangling finds the links that hang on one pivot and nothing else, and that weight or a load turns about it: no cylinder says where they
// are. A link whose mass is not given has weight; one that is said to weigh nothing may spin, and so may one that balances on its pivot.
func (mo *motion) dangling(m *schema.Machine, bodies []linkage.Body) {
	loads := map[string]string{}
	for _, name := range sorted(m.Loads) {
		loads[m.Loads[name].At.Value] = name
	}
	for _, i := range mo.solver.Mobility().Spins {
		l := m.Links[mo.links[i]]
		held := slices.IndexFunc(l.Points, func(p schema.Text) bool { return joined(m, p.Value) })
		if held < 0 {
			continue
		}
		pivot := l.Points[held]
		at := m.Points[pivot.Value]
		turned := ""
		if off := r2.Norm(r2.Sub(bodies[i].Centre, r2.Vec{X: at.X.SI, Y: at.Y.SI})); off > fitOfDrawing && (l.Mass.SI > 0 || !l.Mass.Given()) {
			turned = "its weight"
		}
		for _, p := range l.Points {
			if load, ok := loads[p.Value]; ok && p.Value != pivot.Value {
				turned = "load " + load
			}
		}
		if turned != "" {
			mo.faults = append(mo.faults, fmt.Sprintf("%s hangs on the pivot at %s alone, and %s swings it about: join it at a second point, or make it part of the link that carries it", mo.links[i], pivot.Value, turned))
			mo.blame = append(mo.blame, pivot)
		}
	}
}

// joined reports whether a point is where a link meets another, or a cylinder.
func joined(m *schema.Machine, point string) bool {
	n := 0
	for _, l := range m.Links {
		for _, p := range l.Points {
			if p.Value == point {
				n++
			}
		}
	}
	for _, y := range m.Cylinders {
		if y.Rear.At.Value == point || y.Front.At.Value == point {
			n++
		}
	}
	for _, s := range m.Slides {
		if s.Point.Value == point {
			n++
		}
	}
	return n > 1
}

// sentences say in the builder's names why a linkage can't be computed.
func (mo *motion) sentences(err error) []string {
	var faults linkage.Faults
	if !errors.As(err, &faults) {
		var one linkage.Fault
		if !errors.As(err, &one) {
			return []string{err.Error()}
		}
		faults = linkage.Faults{one}
	}
	var texts []string
	for _, f := range faults {
		texts = append(texts, mo.faultText(f))
	}
	return texts
}

func (mo *motion) faultText(f linkage.Fault) string {
	bodies, points, cylinders := mo.names(f.Bodies, mo.links), mo.names(f.Points, mo.points), mo.names(f.Cylinders, mo.cylinders)
	mm := func(x float64) string { return schema.Format(schema.LengthDim, x) }
	switch f.Kind {
	case linkage.NoGround:
		return "no link is fixed to the ground"
	case linkage.NothingMoves:
		return "every link is fixed to the ground"
	case linkage.NotConnected:
		return fmt.Sprintf("nothing joins %s to the fixed links", bodies)
	case linkage.SameBody:
		return fmt.Sprintf("%s has both ends on %s and can never move", cylinders, bodies)
	case linkage.DrawnTooShort:
		return fmt.Sprintf("%s is drawn %s long from pin to pin, and closed it is %s: it does not fit between %s", cylinders, mm(f.Length), mm(f.Least), points)
	case linkage.DrawnTooLong:
		return fmt.Sprintf("%s is drawn %s long from pin to pin, and with the rod out it reaches %s: it does not reach between %s", cylinders, mm(f.Length), mm(f.Most), points)
	case linkage.Locked:
		return fmt.Sprintf("the links can't move, whatever the cylinders do (%s): a pivot too many, or links that should be equal and are not", bodies)
	case linkage.Undriven:
		return fmt.Sprintf("with every cylinder held, %s can still move: a link or a cylinder is missing", bodies)
	case linkage.SingularAsDrawn:
		return fmt.Sprintf("the pose as drawn is one from which two ways lead on (%s): draw it where the links are not in line", points)
	}
	return f.Error()
}

// stopText says in the builder's names what is at the end of the way that the links let a cylinder go.
func (mo *motion) stopText(s *linkage.Stop) string {
	links, points := mo.names(s.Bodies, mo.links), mo.names(s.Points, mo.points)
	stand := "stand"
	if len(s.Bodies) == 1 {
		stand = "stands"
	}
	switch s.Reason {
	case linkage.DeadPoint:
		return "where its line runs through the pivot about which it turns " + links + ": a dead point, at which it has no lever"
	case linkage.Stretched:
		return fmt.Sprintf("where %s %s stretched out in line, and reach no farther", links, stand)
	case linkage.ChangePoint:
		return fmt.Sprintf("where %s %s in line, and can fold one way or the other (a change point)", links, stand)
	case linkage.Binds:
		return "where the links no longer fit together at " + points + ": one that repeats others has not their length"
	}
	return "and no pose was found beyond it"
}

func (mo *motion) names(indexes []int, of []string) string {
	var names []string
	for _, i := range indexes {
		names = append(names, of[i])
	}
	if len(names) == 0 {
		return "the links"
	}
	return inWords(names)
}

// inWords is "a, b and c".
func inWords(names []string) string {
	if len(names) == 1 {
		return names[0]
	}
	return strings.Join(names[:len(names)-1], ", ") + " and " + names[len(names)-1]
}

// why says what keeps the motion of a cylinder from being known; "" when it is.
func (mo *motion) why(cylinder string) string {
	switch s := mo.sweeps[cylinder]; {
	case len(mo.faults) > 0:
		return "the motion is not known: " + strings.Join(mo.faults, "; ")
	case s == nil || len(s.Poses) < 2:
		return "the motion is not known: the linkage can't take the stroke of " + cylinder
	}
	return ""
}

func (mo *motion) point(name string) int { return indexOf(mo.points, name) }
func (mo *motion) link(name string) int  { return indexOf(mo.links, name) }

func indexOf(names []string, name string) int {
	for i, n := range names {
		if n == name {
			return i
		}
	}
	return -1
}

func atStroke(p *linkage.Pose) string {
	return "with the rod out by " + schema.Format(schema.LengthDim, p.Stroke)
}

// turning is how far a link turns over a cylinder's stroke.
func (mo *motion) turning(cylinder string, angle func(p *linkage.Pose) float64) float64 {
	least, most := math.Inf(1), math.Inf(-1)
	for i := range mo.sweeps[cylinder].Poses {
		a := angle(&mo.sweeps[cylinder].Poses[i])
		least, most = min(least, a), max(most, a)
	}
	return most - least
}

// thrusts are the largest forces with which a cylinder must push (out) and pull (in) to hold the loads at a pose, and when that is.
// Weights are always there. A force may be absent, so that each counts only where it works against the motion.
func (mo *motion) thrusts(p *linkage.Pose) (out, in float64, outWhen, inWhen string) {
	weights := mo.solver.HoldingThrust(p, &mo.weights)
	out, in = weights, -weights
	var absentOut, absentIn []string
	for _, f := range mo.forces {
		if hold := mo.solver.HoldingThrust(p, &f.load); hold > 0 {
			out += hold
			absentIn = append(absentIn, f.name)
		} else if hold < 0 {
			in -= hold
			absentOut = append(absentOut, f.name)
		}
	}
	return out, in, atStroke(p) + without(absentOut), atStroke(p) + without(absentIn)
}

func without(loads []string) string {
	if len(loads) == 0 {
		return ""
	}
	return " and without " + inWords(loads)
}

// bodyAngle is the angle of a link, or of a cylinder, by its name.
func (mo *motion) bodyAngle(p *linkage.Pose, body string) float64 {
	if i := mo.link(body); i >= 0 {
		return p.Angles[i]
	}
	if i := indexOf(mo.cylinders, body); i >= 0 {
		return p.Cylinders[i].Angle
	}
	return 0
}

// swing is how far one body turns against another over all strokes, at most, and why it is not known.
func (mo *motion) swing(a, b string) (float64, string) {
	most := 0.0
	for _, c := range mo.cylinders {
		if why := mo.why(c); why != "" {
			return 0, why
		}
		most = max(most, mo.turning(c, func(p *linkage.Pose) float64 { return mo.bodyAngle(p, a) - mo.bodyAngle(p, b) }))
	}
	return most, ""
}

// linkage judges the motion as a whole, and each moving link.
func (x *examiner) linkage() {
	m, mo := x.m, x.motion
	s := newSubject(m, "linkage", m.Name, m.At)
	s.set("faults", schema.NumberDim, float64(len(mo.faults)), mo.blame...)
	s.text("fault", strings.Join(mo.faults, "; "))
	x.add(s)
	for _, name := range mo.links {
		l := m.Links[name]
		if l.Ground.Value || len(mo.cylinders) == 0 {
			continue
		}
		s := newSubject(m, "link", name, l.At)
		turns := 0.0
		for _, c := range mo.cylinders {
			if why := mo.why(c); why != "" {
				s.open(why, "turns")
				break
			}
			turns = max(turns, mo.turning(c, func(p *linkage.Pose) float64 { return mo.bodyAngle(p, name) }))
			s.set("turns", schema.AngleDim, turns)
		}
		x.add(s)
	}
}
