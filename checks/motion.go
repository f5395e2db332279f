package checks

import (
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
	mechanism                linkage.Mechanism
	ranges                   [][2]float64 // of the stroke of each cylinder, what stops leave of it, m
	solver                   *linkage.Solver
	runs                     []run
	tried                    *int            // what has been spent on remedies
	faults                   []string        // why there is none
	kinds                    []linkage.Fault // the same, as the solver has them
	blame                    []schema.Input  // what to change first for them, where one value is to blame
	unweighed                []string        // moving links without a mass
	weights                  linkage.Case    // what is always there: gravity, on the links and on what they carry, springs, friction
	forces                   []outsideForce
	gripped                  *grips             // nil until asked for
	loaded                   []*linkage.Statics // the same; of loadedBy
	loadedBy                 []string
	burdens                  map[burdenBy]*burden   // by their pistons
	energies                 [][]float64            // the same: for each run, and each of its poses
	contacts                 map[string][][]contact // the same, by zone
	farthest                 map[int]distance       // the same, by point
}

// A run is one sweep of the machine: a cylinder leads, others may move with it, the rest stand still. It has no poses where the linkage
// can't get to where it would begin.
type run struct {
	linkage.Drive
	*linkage.Sweep
}

// moves reports whether a cylinder moves in the run.
func (r *run) moves(cylinder int) bool {
	return r.Lead == cylinder || slices.Contains(r.others(), cylinder)
}

// others are the cylinders that move with the one that leads.
func (r *run) others() []int { return slices.Concat(r.With, r.Follow) }

// An outsideForce is a load that pushes the machine, by its name.
type outsideForce struct {
	name string
	load linkage.Case
}

func move(m *schema.Machine) *motion {
	mo := &motion{points: sorted(m.Points), links: sorted(m.Links), cylinders: sorted(m.Cylinders), tried: new(int), burdens: map[burdenBy]*burden{}}
	mo.draw(m)
	mo.load(m)
	if err := mo.solve(posesPerStroke); err != nil {
		mo.refuse(err)
		for _, f := range mo.kinds {
			if f.Kind == linkage.DrawnTooShort || f.Kind == linkage.DrawnTooLong {
				mo.blame = append(mo.blame, m.Cylinders[mo.cylinders[f.Cylinders[0]]].Closed)
			}
		}
	}
	if mo.solver != nil {
		mo.dangling(m, mo.mechanism.Bodies)
	}
	return mo
}

// draw sets the linkage up in the pose as drawn.
func (mo *motion) draw(m *schema.Machine) {
	mech := &mo.mechanism
	mech.Fit = fitOfDrawing
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
		chain := func(points []schema.Text) {
			for k := range len(points) - 1 {
				if bar := [2]int{index[points[k].Value], index[points[k+1].Value]}; slices.Contains(b.Points, bar[0]) && slices.Contains(b.Points, bar[1]) {
					b.Bars = append(b.Bars, bar)
				}
			}
		}
		if l.Outline.Width.Given() {
			chain(l.Points)
		}
		for _, s := range l.Outline.Shapes {
			chain(s.Along)
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
		c := linkage.Cylinder{Rear: index[y.Rear.At.Value], Front: index[y.Front.At.Value], Closed: y.Closed.SI, Stroke: y.Stroke.SI}
		mech.Cylinders = append(mech.Cylinders, c)
		between := [2]float64{0, c.Stroke}
		for _, stop := range sorted(m.Stops) {
			if at := m.Stops[stop]; at.Cylinder.Value != name {
				continue
			} else if at.MetGoingOut(c.Stroke) {
				between[1] = min(between[1], at.At.SI)
			} else {
				between[0] = max(between[0], at.At.SI)
			}
		}
		mo.ranges = append(mo.ranges, between)
	}
	for _, name := range sorted(m.Slides) {
		l := m.Slides[name]
		from, to := l.Along[0].Value, l.Along[1].Value
		carrier := slices.IndexFunc(mo.links, func(link string) bool { return goesThrough(m.Links[link], from) && goesThrough(m.Links[link], to) })
		mech.Slides = append(mech.Slides, linkage.Slide{Point: index[l.Point.Value], Body: carrier, From: index[from], To: index[to]})
	}
}

// drawnStroke is how far the rod of a cylinder is out as drawn.
func (mo *motion) drawnStroke(c linkage.Cylinder) float64 {
	return r2.Norm(r2.Sub(mo.mechanism.Points[c.Front], mo.mechanism.Points[c.Rear])) - c.Closed
}

// load puts on the linkage what it must move.
func (mo *motion) load(m *schema.Machine) {
	mo.weights.Gravity = r2.Vec{Y: -standardGravity}
	for _, name := range sorted(m.Springs) {
		k := m.Springs[name]
		mo.weights.Springs = append(mo.weights.Springs, linkage.Spring{From: mo.point(k.From.Value), To: mo.point(k.To.Value), Stiffness: k.Rate.SI, Free: k.Free.SI})
	}
	for _, name := range sorted(m.Pivots) {
		if p := m.Pivots[name]; p.Friction.Given() {
			across := p.Pin.Diameter.SI
			if p.Sleeve.Given() {
				across = p.Sleeve.Outside.SI
			}
			mo.weights.Pins = append(mo.weights.Pins, linkage.Pin{Point: mo.point(name), Coefficient: p.Friction.SI, Radius: across / 2})
		}
	}
	for i, name := range sorted(m.Slides) {
		if l := m.Slides[name]; l.Friction.Given() {
			mo.weights.Friction = append(mo.weights.Friction, linkage.SlideFriction{Slide: i, Coefficient: l.Friction.SI})
		}
	}
	for _, name := range sorted(m.Loads) {
		l := m.Loads[name]
		point := mo.point(l.At.Value)
		if l.Mass.Given() {
			mo.weights.Loads = append(mo.weights.Loads, linkage.Load{Point: point, Mass: l.Mass.SI})
			continue
		}
		force := r2.Scale(l.Force.SI, r2.Vec{X: math.Cos(l.Towards.SI), Y: math.Sin(l.Towards.SI)})
		mo.forces = append(mo.forces, outsideForce{name, linkage.Case{Loads: []linkage.Load{{Point: point, Force: force}}}})
	}
}

// solve sweeps the linkage in every way that shows its whole motion, in n poses each. What keeps it from moving at all is the error.
func (mo *motion) solve(n int) error {
	solver, err := linkage.New(mo.mechanism)
	if err != nil {
		return err
	}
	mo.solver = solver
	var faults linkage.Faults
	drives := solver.Drives()
	for _, i := range solver.Mobility().Stuck {
		drives = append(drives, linkage.Drive{Lead: i}) // which says why it is
	}
	for _, d := range drives {
		mo.within(&d)
		sweep, err := solver.Sweep(d, n)
		if err != nil {
			for _, f := range faultsIn(err) {
				if !slices.ContainsFunc(faults, func(g linkage.Fault) bool { return g.Error() == f.Error() }) { // most keep every cylinder from moving
					faults = append(faults, f)
				}
			}
			continue
		}
		mo.runs = append(mo.runs, run{d, sweep})
	}
	if len(faults) > 0 {
		return faults
	}
	return nil
}

// within keeps a drive between the stops.
func (mo *motion) within(d *linkage.Drive) {
	for i, between := range mo.ranges {
		if d.At != nil {
			d.At[i] = min(max(d.At[i], between[0]), between[1])
		}
	}
	lead := mo.mechanism.Cylinders[d.Lead].Stroke
	from, to := mo.ranges[d.Lead][0]/lead, mo.ranges[d.Lead][1]/lead
	for _, i := range d.With {
		stroke := mo.mechanism.Cylinders[i].Stroke
		from, to = max(from, mo.ranges[i][0]/stroke), min(to, mo.ranges[i][1]/stroke)
	}
	if (from > 0 || to < 1) && from < to {
		d.From, d.To = from*lead, to*lead
	}
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

// why says what keeps the motion of a cylinder from being known; "" when it is.
func (mo *motion) why(cylinder string) string {
	if len(mo.faults) > 0 {
		return "the motion is not known: " + strings.Join(mo.faults, "; ")
	}
	for _, r := range mo.runs {
		if r.moves(indexOf(mo.cylinders, cylinder)) && len(r.Poses) >= 2 {
			return ""
		}
	}
	return "the motion is not known: the linkage can't take the stroke of " + cylinder
}

// unknown says what keeps the motion of the machine from being known; "" when it is.
func (mo *motion) unknown() string {
	for _, c := range mo.cylinders {
		if why := mo.why(c); why != "" {
			return why
		}
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

// when says in which pose a machine is: how far each rod is out.
func (mo *motion) when(p *linkage.Pose) string {
	if len(mo.cylinders) == 1 {
		return atStroke(p)
	}
	return "with " + mo.outs(func(i int) float64 { return p.Cylinders[i].Stroke })
}

// rodsOut are how far the rods are out in a pose, m.
func rodsOut(p *linkage.Pose) []float64 {
	rods := make([]float64, len(p.Cylinders))
	for i, c := range p.Cylinders {
		rods[i] = c.Stroke
	}
	return rods
}

// rodsFarthest are how far the rods are out where the one of a cylinder is as far out as it comes.
func (mo *motion) rodsFarthest(cylinder string) (rods []float64) {
	i := indexOf(mo.cylinders, cylinder)
	mo.everyPose(func(_ *run, p *linkage.Pose) {
		if rods == nil || p.Cylinders[i].Stroke > rods[i] {
			rods = rodsOut(p)
		}
	})
	return rods
}

// outs says how far each rod is out.
func (mo *motion) outs(stroke func(cylinder int) float64) string {
	var rods []string
	for i, name := range mo.cylinders {
		rods = append(rods, fmt.Sprintf("%s out by %s", name, schema.Format(schema.LengthDim, stroke(i))))
	}
	return inWords(rods)
}

// everyPose goes through all poses of the machine.
func (mo *motion) everyPose(do func(r *run, p *linkage.Pose)) {
	for k := range mo.runs {
		for i := range mo.runs[k].Poses {
			do(&mo.runs[k], &mo.runs[k].Poses[i])
		}
	}
}

// everyUsablePose goes through all poses but those next to where the linkage itself stops a cylinder: that is a fault of its own, and forces
// and speeds have no bound there.
func (mo *motion) everyUsablePose(do func(r *run, p *linkage.Pose)) {
	for k := range mo.runs {
		poses := mo.runs[k].usable()
		for i := range poses {
			do(&mo.runs[k], &poses[i])
		}
	}
}

// usable are the poses of one run that everyUsablePose goes through.
func (r *run) usable() []linkage.Pose {
	if r.Sweep == nil || len(r.Poses) == 0 {
		return nil
	}
	from, to := 0, len(r.Poses)
	first, last := r.Poses[0].Stroke, r.Poses[to-1].Stroke
	for r.Closing != nil && from < to && r.Poses[from].Stroke < first+spareLeast {
		from++
	}
	for r.Extending != nil && to > from && r.Poses[to-1].Stroke > last-spareLeast {
		to--
	}
	return r.Poses[from:to]
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

// swing is how far one body turns against another over all that the machine does, and why it is not known.
func (mo *motion) swing(a, b string) (float64, string) {
	if why := mo.unknown(); why != "" {
		return 0, why
	}
	least, most := math.Inf(1), math.Inf(-1)
	mo.everyPose(func(_ *run, p *linkage.Pose) {
		angle := mo.bodyAngle(p, a) - mo.bodyAngle(p, b)
		least, most = min(least, angle), max(most, angle)
	})
	return most - least, ""
}
