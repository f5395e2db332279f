package checks

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"gonum.org/v1/gonum/spatial/r2"

	"trammel.example/checks/linkage"
	"trammel.example/checks/pins"
	"trammel.example/schema"
	"trammel.example/schema/standards"
)

const (
	// pinReserve is by how much a pin's yield strength must be above its bending: common practice for what swings and knocks.
	pinReserve = 2
	// shearPart is the yield strength in shear as a part of that in tension, 1/√3 (von Mises).
	shearPart = 0.5773502691896258
	// heldPart and runningPart are the shares of the yield strength up to which a pin may press in a hole that it is still in, and in one
	// that turns on it. EN 1993-1-8, table 3.10, has 0.6 for a pin that can be replaced; half of it where it turns is common practice.
	heldPart    = 0.6
	runningPart = 0.3
	// staticReserve is how many times its load the static rating of a bearing should be where it swings and knocks (ISO 76, from memory: 1.5
	// at least for ordinary running).
	staticReserve = 1.5
	// pressedStep is to what a thickness is rounded up, m.
	pressedStep = 0.5e-3
	// longestSeat is how long a hole on a pin is at most made, in diameters: common practice, no source.
	longestSeat = 3
)

// pinSizes are the diameters of pins and bolts that are on the shelf, m: preferred sizes of ISO 2338 and ISO 2341, from memory.
var pinSizes = []float64{3e-3, 4e-3, 5e-3, 6e-3, 8e-3, 10e-3, 12e-3, 16e-3, 20e-3, 24e-3, 30e-3}

// ground is what fixed links are together.
const ground = "the fixed links"

// A borne is a pivot with what presses on its pin.
type borne struct {
	point  string
	pivot  schema.Pivot
	stack  stack
	bodies []string
	load   pins.Load
	of     []int // layers of the load: their members
	pinSection
	worst spread[pressing]
	// stopped is what it has where stops take the speed.
	stopped pressing
}

// A pressing is what each of the bodies has where it presses most, in N.
type pressing []peak[pinned]

// A pinned is what the pin bears then.
type pinned struct {
	carried
	result pins.Result
}

// A carried is what the bodies of a pivot press on its pin in one pose, in which a cylinder pushes or pulls against something that holds a
// tool, or in another moment.
type carried struct {
	forces         []r2.Vec
	pose           *linkage.Pose
	cylinder, tool string
	pulls          bool
	in             *moment
	from           []schema.Input // of its size
}

// when says which case it is.
func (x *examiner) when(c carried) string {
	switch {
	case c.pose == nil:
		return ""
	case c.in != nil:
		return x.whenIn(c.in)
	case c.pulls:
		return fmt.Sprintf("%s, where %s pulls and something holds %s", x.motion.when(c.pose), c.cylinder, c.tool)
	}
	return fmt.Sprintf("%s, where %s pushes and something holds %s", x.motion.when(c.pose), c.cylinder, c.tool)
}

// rods are how far each is out there.
func (c carried) rods() []float64 {
	if c.pose == nil {
		return nil
	}
	return rodsOut(c.pose)
}

// judged says whether a pivot tells enough of its parts to hold them against what they bear.
func judged(p schema.Pivot) bool {
	return p.Pin.Material.Given() || p.Pin.Yield.Given() || slices.ContainsFunc(p.Stack, func(l schema.Layer) bool {
		return l.Material.Given() || l.Pressure.Given() || l.Block.Static.Given()
	})
}

// strength follows the largest forces of the machine into those pins, holes and bearings of which it is written what they are made of.
func (x *examiner) strength() {
	var all []*borne
	for _, point := range sorted(x.m.Pivots) {
		if p := x.m.Pivots[point]; (judged(p) || x.lasts(p)) && len(x.motion.cylinders) > 0 {
			all = append(all, x.borne(point, p))
		}
	}
	if len(all) == 0 {
		return
	}
	why := x.motion.whyNot()
	if why == "" && len(x.motion.unweighed) > 0 {
		why = fmt.Sprintf("the weight of %s is not given: add `mass: kg: …` to each (an estimate will do, nothing will not)", strings.Join(x.motion.unweighed, ", "))
	}
	if why == "" {
		why = x.bear(all)
	}
	for _, b := range all {
		b.bearAll(b.worst.known)
		b.bearAll(b.stopped)
		for _, n := range b.worst.near {
			b.bearAll(n.finite)
			b.bearAll(n.noBound)
		}
		x.pinBears(b, why)
		x.seats(b, why)
	}
	x.lives(all, why)
}

// borne sets up what lies on a pin.
func (x *examiner) borne(point string, p schema.Pivot) *borne {
	b := &borne{point: point, pivot: p, stack: x.stackOf(point, p)}
	widest, spread := -1, 0.0
	first := map[int]float64{}
	for i, m := range b.stack.members {
		if m.body == "" {
			continue
		}
		name := m.body
		if l, ok := x.m.Links[name]; ok && l.Ground.Value {
			name = ground
		}
		body := indexOf(b.bodies, name)
		if body < 0 {
			body = len(b.bodies)
			b.bodies = append(b.bodies, name)
			first[body] = b.stack.at[i].middle()
		}
		at := b.stack.at[i]
		b.load.Layers = append(b.load.Layers, pins.Layer{At: at.middle(), Thick: at.high - at.low, Body: body})
		b.of = append(b.of, i)
		if wide := at.middle() - first[body]; wide > spread+rounding {
			widest, spread = body, wide
		}
	}
	// What sits on the pin farthest apart keeps it straight; where all sit on it once, what it turns with.
	if widest < 0 {
		with := p.Pin.TurnsWith.Value
		if x.m.Links[with].Ground.Value {
			with = ground
		}
		widest = max(0, indexOf(b.bodies, with))
	}
	b.load.Holder = widest
	b.threaded()
	b.worst.known, b.stopped = make(pressing, len(b.bodies)), make(pressing, len(b.bodies))
	return b
}

// threaded finds where on the pin its thread lies, and how thick that is: from the end of the shank, which begins under the head.
func (b *borne) threaded() {
	pin := b.pivot.Pin
	b.pinSection = pinSection{whole: pin.Diameter.SI}
	t, err := standards.ThreadByName(pin.Thread.Value)
	if err != nil || len(b.stack.at) == 0 {
		return
	}
	b.core, b.cut, b.nominal = t.ScrewMinor, stressDiameter(t), t.Nominal
	b.load.Thread = b.threadFrom(pin.Shank.SI)
}

// threadFrom is where the thread of a bolt lies on its stack, with so much of it plain.
func (b *borne) threadFrom(shank float64) pins.Thread {
	first, last := b.stack.at[0].low, b.stack.at[len(b.stack.at)-1].high
	if b.pivot.Pin.Kept[1].Value == "head" {
		return pins.Thread{From: first, To: last - shank}
	}
	return pins.Thread{From: first + shank, To: last}
}

// A pinSection is how thick a pin is, and in its thread the core, which bends, and a circle with the stress area, which is cut; and what the
// thread is called by. In m; no thread is nothing.
type pinSection struct{ whole, core, cut, nominal float64 }

// bending is the largest stress, and whether it is that in the thread.
func (s pinSection) bending(r *pins.Result) (stress float64, inThread bool) {
	return larger(pins.BendingStress, r.Bending, s.whole, r.InThread.Bending, s.core)
}

func (s pinSection) shear(r *pins.Result) (stress float64, inThread bool) {
	return larger(pins.ShearStress, r.Shear, s.whole, r.InThread.Shear, s.cut)
}

// larger is the larger stress of two loads, each on its diameter; without a thread, of 0, that of the first.
func larger(stress func(load, d float64) float64, load, d, inThread, thread float64) (float64, bool) {
	on := stress(load, d)
	if thread > 0 {
		if in := stress(inThread, thread); in > on {
			return in, true
		}
	}
	return on, false
}

// thicker is such a pin of another size. A bolt that is as thick as its thread has a larger one then; that of a shoulder screw is left as it is.
func (s pinSection) thicker(size float64) (pinSection, bool) {
	if s.core == 0 || s.nominal < s.whole-rounding {
		return pinSection{size, s.core, s.cut, s.nominal}, true
	}
	t, ok := standards.CoarseThread(size)
	return pinSection{size, t.ScrewMinor, stressDiameter(t), t.Nominal}, ok
}

// stressDiameter is that of a circle with a thread's stress area, m.
func stressDiameter(t standards.Thread) float64 { return math.Sqrt(4 * t.StressArea / math.Pi) }

// bearAll computes what the pin bears where each body presses most.
func (b *borne) bearAll(all pressing) {
	for i := range all {
		all[i].in.result = b.bear(b.load, all[i].in.carried)
	}
}

// atStop is the largest of something that the pin bears where a stop takes the speed.
func (b *borne) atStop(of func(r *pins.Result) float64) (most peak[pinned]) {
	for i := range b.stopped {
		if one := &b.stopped[i].in; one.pose != nil && most.raised(of(&one.result)) {
			most.in = *one
		}
	}
	return most
}

// most is the largest of something that the pin bears, with what the bodies press then, and the stretches in which it is not known.
func (b *borne) most(of func(r *pins.Result) float64) (most peak[pinned], next []*deadStretch) {
	size := func(p *pressing) (most float64) {
		for i := range *p {
			most = max(most, of(&(*p)[i].in.result))
		}
		return most
	}
	counts, next := b.worst.settle(size)
	for _, p := range counts {
		for i := range *p {
			if one := &(*p)[i].in; most.raised(of(&one.result)) {
				most.in = *one
			}
		}
	}
	return most, next
}

// bear finds the largest forces at each pivot: where the machine pushes against something, and in all other moments.
func (x *examiner) bear(all []*borne) (why string) {
	mo := x.motion
	statics, _, err := mo.cases()
	if err != nil {
		return "the forces are not known: " + err.Error()
	}
	joints := statics[0].Joints()
	take := make([]func(f *linkage.Forces, into []r2.Vec), len(all))
	most := 0
	for i, b := range all {
		take[i] = x.taker(b, joints)
		most = max(most, len(b.bodies))
	}
	room := make([]r2.Vec, most)
	note := func(worst pressing, here []r2.Vec, as *carried) {
		for body := range here {
			if w := &worst[body]; w.raised(math.Sqrt(r2.Norm2(here[body]))) {
				forces := append(w.in.forces[:0], here...)
				w.in.carried = *as
				w.in.forces = forces
			}
		}
	}
	if why = x.presses(func(m *press) {
		as := m.carried()
		for i, b := range all {
			here, largest := room[:len(b.bodies)], 0.0
			take[i](&m.forces, here)
			for _, force := range here {
				largest = max(largest, r2.Norm2(force))
			}
			worst := b.worst.of(m, math.Sqrt(largest))
			if *worst == nil {
				*worst = make(pressing, len(b.bodies))
			}
			note(*worst, here, &as)
		}
	}); why != "" {
		return why
	}
	moments := x.moments()
	each := func(of func(b *borne) pressing) func(m *moment) {
		return func(m *moment) {
			as := moments.as(m)
			for i, b := range all {
				here := room[:len(b.bodies)]
				take[i](&m.forces, here)
				note(of(b), here, &as)
			}
		}
	}
	moments.borne(each(func(b *borne) pressing { return b.worst.known }))
	moments.stopped(each(func(b *borne) pressing { return b.stopped }))
	return ""
}

// taker gives the forces of the bodies on the pin, out of those of the linkage.
func (x *examiner) taker(b *borne, joints []linkage.Joint) func(f *linkage.Forces, into []r2.Vec) {
	type where struct{ joint, rear, front int }
	at := make([]where, len(b.bodies))
	for i, name := range b.bodies {
		at[i] = where{-1, -1, -1}
		if c := indexOf(x.motion.cylinders, name); c >= 0 && x.m.Cylinders[name].Rear.At.Value == b.point {
			at[i].rear = c
			continue
		} else if c >= 0 {
			at[i].front = c
			continue
		}
		at[i].joint = slices.IndexFunc(joints, func(j linkage.Joint) bool {
			link := x.motion.links[j.Body]
			return x.motion.points[j.Point] == b.point && (link == name || name == ground && x.m.Links[link].Ground.Value)
		})
	}
	return func(f *linkage.Forces, into []r2.Vec) {
		for body, w := range at {
			switch {
			case w.rear >= 0:
				into[body] = f.Rear[w.rear]
			case w.front >= 0:
				into[body] = f.Front[w.front]
			case w.joint >= 0:
				into[body] = r2.Scale(-1, f.Reactions[w.joint])
			default:
				into[body] = r2.Vec{}
			}
		}
	}
}

// pinBears judges the pin itself.
func (x *examiner) pinBears(b *borne, why string) {
	pin := b.pivot.Pin
	if !pin.Material.Given() && !pin.Yield.Given() {
		return
	}
	s := newSubject(x.m, "pin", b.point, pin.At)
	x.add(s)
	yield, strength := pin.Yield.SI, schema.Input(pin.Yield)
	if pin.Material.Given() {
		row, err := x.m.Material(pin.Material.Value)
		if err != nil {
			why = err.Error()
		}
		yield, strength = row.Yield, pin.Material
	}
	if why != "" {
		s.open(why, "bending", "shear")
		return
	}
	bent, nextBent := b.most(func(r *pins.Result) float64 { stress, _ := b.bending(r); return stress })
	sheared, nextSheared := b.most(func(r *pins.Result) float64 { stress, _ := b.shear(r); return stress })
	bends, bendsIn, shears, shearsIn := bent.in.result, bent.in.carried, sheared.in.result, sheared.in.carried
	bendingAllowed, shearAllowed := yield/pinReserve, shearPart*yield/pinReserve
	bending, bendsThread := b.bending(&bends)
	shear, shearsThread := b.shear(&shears)
	// from is what a builder would change first: the shank where the thread is what gives.
	from := func(inThread bool, more []schema.Input) []schema.Input {
		all := []schema.Input{pin.Diameter}
		if inThread {
			all = []schema.Input{pin.Shank, pin.Thread, pin.Diameter}
		}
		return append(all, more...)
	}
	most, onWhat := bends.Largest, ""
	if bendsThread {
		most, onWhat = bends.InThread, ", on the core of its thread ("+schema.Format(schema.LengthDim, b.core)+")"
	}
	s.set("bending", schema.StressDim, bending, from(bendsThread, bendsIn.from)...)
	s.worst("bending", x.when(bendsIn), bendsIn.rods()...)
	s.set("bendingAllowed", schema.StressDim, bendingAllowed, strength)
	s.set("moment", schema.TorqueDim, most.Bending)
	s.text("bendsAt", b.beside(most.BendingAt)+onWhat)
	cut, cutWhere := shears.Shear, "between two parts"
	if shearsThread {
		cut, cutWhere = shears.InThread.Shear, "in its thread"
	}
	s.set("shear", schema.StressDim, shear, from(shearsThread, shearsIn.from)...)
	s.worst("shear", x.when(shearsIn), shearsIn.rods()...)
	s.set("shearAllowed", schema.StressDim, shearAllowed, strength)
	s.set("shearForce", schema.ForceDim, cut)
	s.text("shearsAt", cutWhere)
	if pin.Thread.Given() && !pin.Shank.Given() && b.core > 0 {
		s.Assumed = append(s.Assumed, schema.Assumption{Path: pin.Path + ".shank", Value: schema.Format(schema.LengthDim, 0), Source: "a bolt of which no `shank` is given is taken as threaded up to its head"})
	}
	if len(nextBent) > 0 {
		leaveOpen(s, nextBent, "bending", "bendingAllowed")
	}
	if len(nextSheared) > 0 {
		leaveOpen(s, nextSheared, "shear", "shearAllowed")
	}
	x.leaveUnrun(s, "bending", "bendingAllowed")
	x.leaveUnrun(s, "shear", "shearAllowed")
	stopBends := b.atStop(func(r *pins.Result) float64 { stress, _ := b.bending(r); return stress })
	stopShears := b.atStop(func(r *pins.Result) float64 { stress, _ := b.shear(r); return stress })
	x.stopLoads("pin "+b.point, "bends", stopBends.most/bendingAllowed, bending/bendingAllowed, stopBends.in.in)
	x.stopLoads("pin "+b.point, "is sheared", stopShears.most/shearAllowed, shear/shearAllowed, stopShears.in.in)
	bears := func(section pinSection, bent, cut pins.Result) bool {
		bending, _ := section.bending(&bent)
		shear, _ := section.shear(&cut)
		return bending <= bendingAllowed && shear <= shearAllowed
	}
	if bears(b.pinSection, bends, shears) {
		return
	}
	var ways []string
	inThread := bendsThread && bending > bendingAllowed || shearsThread && shear > shearAllowed
	if inThread {
		plain, shank := b.load, shankNeeded(b.pivot, b.stack.members)
		plain.Thread = b.threadFrom(shank)
		if bears(b.pinSection, b.bear(plain, bendsIn), b.bear(plain, shearsIn)) {
			ways = append(ways, fmt.Sprintf("use a bolt that is plain for %s under its head", schema.Format(schema.LengthDim, shank)))
		}
	}
	kind := "pin"
	if b.core > 0 {
		kind = "bolt"
	}
	thicker := slices.IndexFunc(pinSizes, func(size float64) bool {
		section, ok := b.thicker(size)
		return ok && bears(section, bends, shears)
	})
	if thicker >= 0 {
		section, _ := b.thicker(pinSizes[thicker])
		stress, _ := section.bending(&bends)
		ways = append(ways, fmt.Sprintf("take a %s of %s (%s in bending)", kind, schema.Format(schema.LengthDim, section.whole), schema.Format(schema.StressDim, stress)))
	} else {
		ways = append(ways, fmt.Sprintf("take a thicker %s: none of the usual ones does", kind))
	}
	ways = append(ways, fmt.Sprintf("one of a material with a yield strength of %s or more", schema.Format(schema.StressDim, math.Ceil(1e-6*max(pinReserve*bending, pinReserve/shearPart*shear))*1e6)))
	if both, ok := b.heldOnBothSides(); ok && !inThread {
		bent, cut := b.bear(both, bendsIn), b.bear(both, shearsIn)
		if bears(b.pinSection, bent, cut) {
			ways = append(ways, fmt.Sprintf("hold it on both sides of the load, as a fork does: that leaves %s in bending", schema.Format(schema.StressDim, pins.BendingStress(bent.Bending, b.whole))))
		}
	}
	s.text("remedyPin", capital(strings.Join(ways, ", or "))+gentler(bendsIn))
}

func (b *borne) bear(load pins.Load, w carried) pins.Result {
	if load.Forces = w.forces; w.pose == nil {
		load.Forces = make([]r2.Vec, len(b.bodies)) // nothing presses
	}
	return load.Bear(pins.Result{})
}

// heldOnBothSides is the pin with its holder a second time, on the other side of all that it carries.
func (b *borne) heldOnBothSides() (pins.Load, bool) {
	first, last := b.load.Layers[0], b.load.Layers[len(b.load.Layers)-1]
	both := b.load
	holds := func(l pins.Layer) bool { return l.Body == both.Holder }
	n := 0
	for _, l := range both.Layers {
		if holds(l) {
			n++
		}
	}
	if n != 1 || len(both.Layers) < 2 {
		return both, false
	}
	switch {
	case holds(first):
		first.At = last.At + last.Thick/2 + first.Thick/2
		both.Layers = append(slices.Clone(both.Layers), first)
	case holds(last):
		last.At = first.At - first.Thick/2 - last.Thick/2
		both.Layers = append([]pins.Layer{last}, both.Layers...)
	default:
		return both, false
	}
	return both, true
}

// beside says where along a pin something is.
func (b *borne) beside(at float64) string {
	for i, l := range b.load.Layers {
		if math.Abs(at-l.At) <= l.Thick/2+rounding {
			return "in " + b.stack.members[b.of[i]].what
		}
	}
	for i, l := range b.load.Layers[1:] {
		if at < l.At {
			return fmt.Sprintf("between %s and %s", b.stack.members[b.of[i]].what, b.stack.members[b.of[i+1]].what)
		}
	}
	return "at its end"
}

// seats judges the holes and bearings that the pin presses on.
func (x *examiner) seats(b *borne, why string) {
	done, dead := map[string]*Subject{}, map[string][]*deadStretch{}
	for k, l := range b.load.Layers {
		m := b.stack.members[b.of[k]]
		hole := m.Material.Given() || m.Pressure.Given()
		if !hole && !m.Block.Static.Given() {
			continue
		}
		most, next := b.most(func(r *pins.Result) float64 { return r2.Norm(r.Layers[k]) })
		force, in := most.most, most.in.carried
		if len(dead[m.what]) == 0 { // of the layers of one part, what the first says
			dead[m.what] = next
		}
		s := done[m.what]
		if s == nil {
			s = newSubject(x.m, "seat", b.point+": "+m.what, m.At)
			x.add(s)
			done[m.what] = s
		} else if force <= s.Facts["force"].SI {
			continue // of the layers of one part the one that bears most
		}
		fact := "pressure"
		if !hole {
			fact = "force"
		}
		if why != "" {
			s.open(why, fact)
			continue
		}
		s.set("force", schema.ForceDim, force, append([]schema.Input{m.Block.Static}, in.from...)...)
		s.worst("force", x.when(in), in.rods()...)
		if hole {
			x.hole(s, b, m, l.Thick, force, in)
			continue
		}
		s.set("forceAllowed", schema.ForceDim, m.Block.Static.SI/staticReserve, m.Block.Static)
		s.set("staticNeeded", schema.ForceDim, force*staticReserve)
		s.text("dents", "Swinging to and fro, its balls dent their races before they tire")
		if swing, why := x.motion.swing(m.body, b.pivot.Pin.TurnsWith.Value); why == "" && swing < turnsLeast {
			s.text("dents", "It does not turn here, so that the same balls bear all of it, and dent their races where they stand")
		}
	}
	for k := range b.load.Layers {
		what := b.stack.members[b.of[k]].what
		s := done[what]
		if s == nil {
			continue
		}
		fact, does := "pressure", "is pressed"
		if _, hole := s.Facts[fact]; !hole {
			fact, does = "force", "is loaded"
		}
		f, a := s.Facts[fact], s.Facts[fact+"Allowed"]
		if force := s.Facts["force"].SI; f.Kind == Quantity && a.Kind == Quantity && force > 0 {
			stop := b.atStop(func(r *pins.Result) float64 { return r2.Norm(r.Layers[k]) })
			share := f.SI / a.SI
			x.stopLoads(what+" at "+b.point, does, share*stop.most/force, share, stop.in.in)
		}
	}
	for _, what := range sorted(dead) {
		fact := "pressure"
		if _, hole := done[what].Facts[fact]; !hole {
			fact = "force"
		}
		if done[what].Facts[fact].Kind != Quantity {
			continue
		}
		if next := dead[what]; len(next) > 0 {
			leaveOpen(done[what], next, fact, fact+"Allowed")
		}
		x.leaveUnrun(done[what], fact, fact+"Allowed")
	}
}

// hole judges how hard the pin presses in a link's hole.
func (x *examiner) hole(s *Subject, b *borne, m member, thick, force float64, in carried) {
	on := shaft(b.pivot, m.Layer)
	wide := []schema.Input{m.Thick, on}
	if m.Wall.Given() {
		thick, wide = 2*m.Wall.SI, []schema.Input{m.Wall, on}
	}
	allowed, by := m.Pressure.SI, schema.Input(m.Pressure)
	if m.Material.Given() {
		row, err := x.m.Material(m.Material.Value)
		if err != nil {
			s.open(err.Error(), "pressure")
			return
		}
		part := heldPart
		if m.runs {
			part = runningPart
		}
		allowed, by = part*row.Yield, m.Material
	}
	pressure := force / (on.SI * thick)
	s.set("pressure", schema.StressDim, pressure, append(wide, in.from...)...)
	s.worst("pressure", x.when(in), in.rods()...)
	s.set("pressureAllowed", schema.StressDim, allowed, by)
	if pressure <= allowed {
		return
	}
	needed := math.Ceil(force/(on.SI*allowed)/pressedStep-1e-9) * pressedStep
	var ways []string
	if m.Pressure.Given() {
		ways = append(ways, fmt.Sprintf("take a bush that bears %s or more", schema.Format(schema.StressDim, math.Ceil(1e-6*pressure-1e-9)*1e6)))
	}
	// A hole many times as long as it is wide is no way out: the pin bends in it, and presses at its ends.
	switch {
	case m.Wall.Given() && needed <= longestSeat*on.SI:
		ways = append(ways, fmt.Sprintf("put a bush right through it (or plates on its walls), so that it is %s thick where the pin goes through", schema.Format(schema.LengthDim, needed)))
	case needed <= longestSeat*on.SI:
		ways = append(ways, fmt.Sprintf("make the part %s thick where the pin goes through", schema.Format(schema.LengthDim, needed)))
	}
	if !m.Wall.Given() && !m.Pressure.Given() {
		ways = append(ways, fmt.Sprintf("press in a bush that bears %s or more", schema.Format(schema.StressDim, math.Ceil(1e-6*pressure-1e-9)*1e6)))
	}
	if i := slices.IndexFunc(pinSizes, func(d float64) bool { return d > on.SI && force/(d*thick) <= allowed }); i >= 0 {
		ways = append(ways, fmt.Sprintf("take a pin of %s", schema.Format(schema.LengthDim, pinSizes[i])))
	}
	if len(ways) == 0 {
		ways = append(ways, "make it of something that bears more")
	}
	s.text("remedySeat", capital(strings.Join(ways, ", or ")))
}
