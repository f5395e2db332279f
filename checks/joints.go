package checks

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"gonum.org/v1/gonum/spatial/r2"

	"trammel.example/checks/fastening"
	"trammel.example/schema"
	"trammel.example/schema/standards"
)

const (
	// slipReserve is by how much friction must hold more than slides, and pullReserve by how much clamping must be above what pulls. Common
	// practice, no source.
	slipReserve, pullReserve = 2, 1.5
	// shearReserve is by how much screws and holes must bear more than what shears and presses them: 1.25 of EN 1993-1-8 and EN 1999-1-1,
	// and what swings and knocks on top. Common practice.
	shearReserve = 2
	// roughest is the friction up to which rougher faces are a remedy: blasted metal, EN 1090-2, class A.
	roughest = 0.5
	// reversed is the share of the largest shear that must come the other way for it to count as to and fro, and looseReserve by how much
	// friction must hold more than that where nothing locks the thread. Common practice, no source.
	reversed, looseReserve = 0.1, 4
	// goodSettling is the share of its clamping that a screw may lose. Common practice, no source.
	goodSettling = 0.4
	// addHeel asks for what screws in a row tip their part over.
	addHeel = ": add `heel: mm: …`, from the screws to the edge of the foot"
)

// A tightened screw is what clamps a joint, N.
type tightened struct {
	thread  standards.Thread
	class   standards.PropertyClass
	settled float64 // share
	nominal float64
	kept    float64 // at the least, after settling
	torque  float64
	faces   int
	grip    float64
	head    float64
	arm     float64 // torque by clamping, m
	share   float64 // lost by settling in proportion to the clamping
	lost    float64 // lost by settling however much it clamps
}

// keptAt is what is left of the clamping of a torque at the least, and torqueFor the torque of which so much is left.
func (t tightened) keptAt(torque float64) float64 {
	return max(0, torque/t.arm*(1-torqueScatter-t.share)-t.lost)
}

func (t tightened) torqueFor(kept float64) float64 {
	if t.share >= 1-torqueScatter {
		return math.Inf(1)
	}
	return (kept + t.lost) * t.arm / (1 - torqueScatter - t.share)
}

// tighten is a fastening with a torque, or with another thread.
func tighten(f schema.Fastening, thread string, torque float64) (t tightened, err error) {
	if t.thread, err = standards.ThreadByName(thread); err != nil {
		return t, err
	}
	if t.class, err = standards.PropertyClassFor(f.Screw.Class.Value, t.thread.Nominal); err != nil {
		return t, err
	}
	head, err := standards.HeadFor(f.Screw.Head.Value, thread)
	if err != nil {
		return t, err
	}
	var all []fastening.Span
	for _, l := range f.Stack {
		switch {
		case l.Washer.Given():
			all = append(all, span(l.Washer.Size))
		case l.Spring.Given():
			all = append(all, span(l.Spring))
		default:
			all = append(all, span(l.Thick))
		}
	}
	t.faces = max(0, len(all)-1)
	if !f.Into.Nut.Given() {
		t.faces = len(all)
	}
	if f.Into.SlotNut.Given() {
		all = append(all, span(f.Into.Profile.Slot.Lip))
	}
	whole := fastening.Sum(all...)
	t.grip, t.head = (whole.Min+whole.Max)/2, max(head.Bearing, 1.4*t.thread.Nominal) // a countersunk head presses on its cone
	t.torque, t.arm = torque, f.NutFactor.SI*t.thread.Nominal
	t.nominal = torque / t.arm
	if f.Settles.Given() {
		if t.lost = f.Settles.SI; t.nominal > 0 {
			t.settled = min(1, t.lost/t.nominal)
		}
	} else {
		if t.share, err = fastening.Settles(t.grip, t.thread.Nominal, t.head, t.thread.StressArea, t.class.Proof, t.faces); err != nil {
			return t, err
		}
		t.settled = t.share
	}
	t.kept = t.keptAt(torque)
	return t, nil
}

// settling sets what a screw loses of its clamping as its faces settle.
func (x *examiner) settling(s *Subject, f schema.Fastening, t tightened) {
	s.set("settled", schema.NumberDim, t.settled, f.Settles, f.Screw.Length, f.Screw.Thread)
	if !f.Settles.Given() {
		x.assume(s, f.Path+".settles", fmt.Sprintf("%.0f %% of the clamping (%s)", 100*t.settled, schema.Format(schema.ForceDim, t.settled*t.nominal)),
			"VDI 2230-1, table 5 (from memory), for 75 % of the proof load; in proportion below it: common practice")
	}
}

// A bolted joint is one part on one face.
type bolted struct {
	f     schema.Fastening
	j     schema.Joint
	group fastening.Group
	// The face's axes along the drawing: u and n of a face on edge; of one in the drawing it has none.
	u, n r2.Vec
	mid  r2.Vec     // of the screws, in the drawing
	on   []foothold // of what the part carries
}

func newBolted(f schema.Fastening, j schema.Joint) *bolted {
	b := &bolted{f: f, j: j}
	for _, h := range j.Screws {
		b.mid = r2.Add(b.mid, r2.Scale(1/float64(len(j.Screws)), r2.Vec{X: h.X.SI, Y: h.Y.SI}))
	}
	sin, cos := math.Sincos(j.Looks.SI)
	b.n, b.u = r2.Vec{X: cos, Y: sin}, r2.Vec{X: -sin, Y: cos}
	for _, h := range j.Screws {
		at := r2.Vec{X: h.X.SI, Y: h.Y.SI}
		if j.Looks.Given() {
			b.group.Screws = append(b.group.Screws, fastening.Place{U: r2.Dot(at, b.u), W: h.Z.SI})
		} else {
			b.group.Screws = append(b.group.Screws, fastening.Place{U: at.X, W: at.Y})
		}
	}
	b.group.Heel = j.Heel.SI
	return b
}

// onto is a force at a place in the drawing, in the middle plane of the links, as the face has it. The part hands on what the link gives.
func (b *bolted) onto(at, force r2.Vec) fastening.Onto {
	if !b.j.Looks.Given() {
		return fastening.Onto{U: force.X, W: force.Y, At: fastening.Place{U: at.X, W: at.Y}, Height: b.j.Off.SI}
	}
	return fastening.Onto{U: r2.Dot(force, b.u), N: r2.Dot(force, b.n), At: fastening.Place{U: r2.Dot(at, b.u)}, Height: r2.Dot(r2.Sub(at, b.mid), b.n)}
}

// A governed is the share of a screw that is worst, and the moment in which it has it.
type governed struct {
	fastening.Share
	screw int
	in    *moment
}

// valuesOf are the texts as they are written.
func valuesOf(texts []schema.Text) (values []string) {
	for _, t := range texts {
		values = append(values, t.Value)
	}
	return values
}

// screwGroups follows what the machine carries into the screws of which it is written where they are.
func (x *examiner) screwGroups() {
	for _, name := range sorted(x.m.Fastenings) {
		f := x.m.Fastenings[name]
		for _, j := range f.Joints {
			s := newSubject(x.m, "screw group", name+" at "+inWords(valuesOf(j.Carries)), j.At)
			x.add(s)
			x.joint(s, newBolted(f, j))
		}
	}
}

func (x *examiner) joint(s *Subject, b *bolted) {
	f, j := b.f, b.j
	s.set("screws", schema.NumberDim, float64(len(j.Screws)))
	b.edges(s)
	t, err := tighten(f, f.Screw.Thread.Value, f.Torque.SI)
	why := ""
	switch {
	case err != nil:
		why = err.Error()
	case !f.Torque.Given():
		why = "the tightening torque is not given: add `torque: Nm: …`"
	}
	all := x.moments()
	s.Assumed = append(s.Assumed, all.assumed...)
	if why == "" {
		why = all.why
	}
	if why == "" {
		why = all.unrun
	}
	if why != "" {
		s.open(why, "shear", "pull")
		return
	}
	hole := b.hole()
	b.group.Ring = (t.head + hole) / 4
	b.on = x.footholds(j.On, j.Carries)
	slips, pulls, shears, why := x.share(b, t, 0)
	if why != "" {
		s.open(why, "shear", "pull")
		return
	}
	nearSlips, nearPulls, nearShears, _ := x.share(b, t, 1)
	deadSlips, deadPulls, deadShears, _ := x.share(b, t, 2)
	nextSlips := slips.nextToDead(nearSlips, deadSlips, func(g governed) float64 { return slipReserve*g.Shear() + j.Friction.SI*g.Tension })
	nextPulls := pulls.nextToDead(nearPulls, deadPulls, func(g governed) float64 { return g.Tension })
	nextShears := shears.nextToDead(nearShears, deadShears, func(g governed) float64 { return g.Shear() })
	from := func(g governed, first ...schema.Input) []schema.Input {
		return append(first, x.carried.from[g.in.cylinder]...)
	}
	x.settling(s, f, t)
	if t.settled > goodSettling {
		s.text("remedySettling", lessSettling(f, t))
	}
	s.set("clampKept", schema.ForceDim, t.kept, f.Torque, f.NutFactor, f.Screw.Thread)
	s.set("pull", schema.ForceDim, max(0, pulls.Tension), from(pulls, f.Torque)...)
	s.worst("pull", x.whenIn(pulls.in), rodsOut(pulls.in.pose)...)
	s.set("pullAllowed", schema.ForceDim, t.kept/pullReserve, f.Torque, f.NutFactor)
	if t.kept/pullReserve < pulls.Tension {
		s.text("remedyPull", x.holdsBetter(b, t, false))
	}
	if !j.Located.Value {
		allowed := max(0, j.Friction.SI*(t.kept-slips.Tension)) / slipReserve
		s.set("slides", schema.ForceDim, slips.Shear(), from(slips, f.Torque)...)
		s.worst("slides", x.whenIn(slips.in), rodsOut(slips.in.pose)...)
		s.set("slidesAllowed", schema.ForceDim, allowed, f.Torque, j.Friction, f.NutFactor)
		s.set("slipPull", schema.ForceDim, max(0, slips.Tension))
		s.text("slipPulled", "")
		if slips.Tension > tieBreak*slips.Shear() {
			s.text("slipPulled", " and is pulled with "+schema.Format(schema.ForceDim, slips.Tension))
		}
		if slips.Shear() > allowed {
			s.text("remedySlip", x.holdsBetter(b, t, true))
		}
		x.loosens(s, b, slips, allowed)
	}
	s.set("shear", schema.ForceDim, shears.Shear(), from(shears, f.Screw.Thread)...)
	s.worst("shear", x.whenIn(shears.in), rodsOut(shears.in.pose)...)
	if bears, err := fastening.ScrewShear(t.thread.StressArea, t.class.Tensile); err == nil {
		s.set("shearAllowed", schema.ForceDim, bears/shearReserve, f.Screw.Thread, f.Screw.Class)
		s.set("classNeeded", schema.StressDim, t.class.Tensile*shears.Shear()*shearReserve/bears)
	}
	b.bearing(s, t.thread.Nominal, hole, shears.Shear())
	x.pictured(s, b, hole, slips, pulls, shears)
	x.withLess(b, t)
	if _, known := s.Facts["slides"]; known && len(nextSlips) > 0 {
		leaveOpen(s, nextSlips, "slides", "slidesAllowed")
	}
	if len(nextPulls) > 0 {
		leaveOpen(s, nextPulls, "pull", "pullAllowed")
	}
	if len(nextShears) > 0 {
		allowed := "shearAllowed"
		if bearing, known := s.Facts["bearingAllowed"]; known && bearing.SI < s.Facts[allowed].SI {
			allowed = "bearingAllowed"
		}
		leaveOpen(s, nextShears, "shear", allowed)
	}
}

// keepsStill reports whether a joint slips and opens nowhere that is known (see moment.near).
func (x *examiner) keepsStill(b *bolted, t tightened) bool {
	for near := range 2 {
		slips, pulls, _, _ := x.share(b, t, near)
		switch {
		case near == 0 && slips.in == nil:
			return false
		case slips.in == nil:
			continue
		case t.kept < pullReserve*pulls.Tension*(1-tieBreak):
			return false
		case !b.j.Located.Value && b.j.Friction.SI*(t.kept-slips.Tension) < slipReserve*slips.Shear()*(1-tieBreak):
			return false
		}
	}
	return true
}

// nextToDead takes in what is known next to dead points, and gives the stretches in which the rest is not.
func (g *governed) nextToDead(near, dead governed, size func(governed) float64) []*deadStretch {
	if dead.in != nil && (near.in == nil || beyond(size(dead), size(near))) && beyond(size(dead), size(*g)) {
		return []*deadStretch{dead.in.next}
	}
	if near.in != nil && beyond(size(near), size(*g)) {
		*g = near
	}
	return nil
}

// share finds the screws that are worst off against slipping, pull and shear, away from dead points or next to them (see moment.near).
func (x *examiner) share(b *bolted, t tightened, near int) (slips, pulls, shears governed, why string) {
	least, sheared := math.Inf(1), 0.0
	var onto []fastening.Onto
	var shares []fastening.Share
	var err error
	list := x.carried.list
	for i := range list {
		m := &list[i]
		if m.airLost() || m.near() != near {
			continue
		}
		onto = x.ontoJoint(b, m, onto[:0])
		if shares, err = b.group.Bear(onto, shares); err != nil {
			return slips, pulls, shears, err.Error() + addHeel
		}
		for k, one := range shares {
			g, shear := governed{one, k, m}, one.Shear()
			// What is left of the clamping, by what friction must hold: the least is the worst.
			if left := (b.j.Friction.SI*(t.kept-one.Tension) - slipReserve*shear) / t.nominal; left < least-tieBreak {
				least, slips = left, g
			}
			if pulls.in == nil || one.Tension > pulls.Tension*(1+tieBreak)+tieBreak {
				pulls = g
			}
			if shears.in == nil || shear > sheared*(1+tieBreak)+tieBreak {
				shears, sheared = g, shear
			}
		}
	}
	if shears.in == nil {
		why = "no cylinder moves anything"
	}
	return slips, pulls, shears, why
}

func (x *examiner) ontoJoint(b *bolted, m *moment, onto []fastening.Onto) []fastening.Onto {
	for i := range b.on {
		f := &b.on[i]
		onto = append(onto, b.onto(x.motion.mechanism.Points[f.point], x.on(m, f)))
	}
	return onto
}

// loosens judges a screw that is pushed to and fro: it turns back where the faces come to slide, and long before it is lost nobody sees it.
func (x *examiner) loosens(s *Subject, b *bolted, worst governed, allowed float64) {
	f := b.f
	locked := f.Into.Nut.Style.Value == "lock" || f.Lock.Given() && f.Lock.Value != "none" && f.Lock.Value != "spring washer"
	to, fro := worst.Share, 0.0
	var onto []fastening.Onto
	var shares []fastening.Share
	for i := range x.carried.list {
		m := &x.carried.list[i]
		if m.kind == inPress || m.airLost() {
			continue // which is not every stroke
		}
		onto = x.ontoJoint(b, m, onto[:0])
		shares, _ = b.group.Bear(onto, shares)
		one := shares[worst.screw]
		if back := -(one.U*to.U + one.W*to.W) / to.Shear(); back > fro {
			fro = back
		}
	}
	back := to.Shear() > 0 && fro > reversed*to.Shear()
	s.flag("reverses", back)
	s.set("fro", schema.ForceDim, fro)
	s.flag("loosens", back && !locked && to.Shear()*looseReserve > slipReserve*allowed, f.Lock, f.Torque)
	switch {
	case f.Into.Nut.Style.Value == "lock":
		s.text("lock", "a lock nut")
	case !f.Lock.Given():
		s.text("lock", "none")
	case f.Lock.Value == "spring washer":
		s.text("lock", "a spring washer, which does not hold")
	default:
		s.text("lock", f.Lock.Value)
	}
}

// fastened is the subject of a fastening, nil where that was not examined.
func (x *examiner) fastened(f schema.Fastening) *Subject {
	for _, s := range x.subjects {
		if s.Kind == "fastening" && s.At == f.At {
			return s
		}
	}
	return nil
}

// holdsBetter names what keeps a joint from slipping and opening: more torque as far as all of the fastening bears it, a larger thread
// through a nut, more screws or a wider pattern, rougher faces, or a dowel. Each is tried in all that the machine does.
func (x *examiner) holdsBetter(b *bolted, t tightened, slips bool) string {
	var ways []string
	of := x.fastened(b.f)
	if of != nil {
		if way := x.moreTorque(b, t, of.mostTorque("")); way != "" {
			ways = append(ways, way)
		} else if way := x.largerThread(b, t); way != "" {
			ways = append(ways, way)
		}
	}
	hole := b.hole()
	if way := betterPattern(b.group.Screws, 2.5*hole, func(screws []fastening.Place) bool {
		other := *b
		other.group.Screws = screws
		return x.keepsStill(&other, t)
	}); way != "" {
		ways = append(ways, way)
	}
	if slips {
		rough := *b
		for rub := math.Ceil(b.j.Friction.SI*100+1) / 100; rub <= roughest+1e-9; rub += 0.01 {
			if rough.j.Friction.SI = rub; x.keepsStill(&rough, t) {
				ways = append(ways, fmt.Sprintf("have faces that rub with %.2f or more (blasted, or with a toothed washer)", rub))
				break
			}
		}
		dowel := *b
		if dowel.j.Located.Value = true; x.keepsStill(&dowel, t) {
			ways = append(ways, "let a dowel or a step take what slides (`located: true`)")
		}
	}
	if len(ways) == 0 {
		ways = append(ways, "bring the force nearer to the screws, or take larger screws farther apart")
	}
	return capital(strings.Join(ways, ", or "))
}

// withLess adds to the advice of less torque what the joint needs to hold with it.
func (x *examiner) withLess(b *bolted, t tightened) {
	of := x.fastened(b.f)
	if of == nil {
		return
	}
	advice, lowered := of.Facts["remedyTorque"]
	less, err := tighten(b.f, t.thread.Name, of.mostTorque(""))
	if !lowered || err != nil || !x.keepsStill(b, t) || x.keepsStill(b, less) {
		return
	}
	more := fmt.Sprintf(". With so little torque the joint at %s would slip or open. %s", inWords(valuesOf(b.j.Carries)), x.holdsBetter(b, less, true))
	of.text("remedyTorque", advice.Text+more, b.f.Torque)
	if strip, also := of.Facts["remedyStrip"]; also {
		of.text("remedyStrip", strip.Text+more)
	}
}

// moreTorque is the least torque with which a joint holds, up to a most.
func (x *examiner) moreTorque(b *bolted, t tightened, most float64) string {
	wanted := 0.0 // the same screws are worst off whatever is left of the clamping
	for near := range 2 {
		slips, pulls, _, _ := x.share(b, t, near)
		if slips.in == nil {
			continue
		}
		wanted = max(wanted, pullReserve*pulls.Tension)
		if !b.j.Located.Value {
			wanted = max(wanted, slipReserve*slips.Shear()/b.j.Friction.SI+slips.Tension)
		}
	}
	least := math.Ceil(t.torqueFor(wanted)*100) / 100
	if tight, err := tighten(b.f, t.thread.Name, least); err != nil || least > most || !x.keepsStill(b, tight) {
		return ""
	}
	return fmt.Sprintf("tighten with %s to %s", schema.Format(schema.TorqueDim, least), schema.Format(schema.TorqueDim, most))
}

// largerThread is the next thread through a nut with which a joint holds, its washers and length with it, where its holes still have their
// distance.
func (x *examiner) largerThread(b *bolted, t tightened) string {
	if !b.f.Into.Nut.Given() || b.f.Into.Nut.Height.Given() {
		return ""
	}
	for _, name := range []string{"M4", "M5", "M6", "M8", "M10", "M12", "M16"} {
		larger, err := standards.ThreadByName(name)
		if err != nil || larger.Nominal <= t.thread.Nominal {
			continue
		}
		hole, err := standards.ClearanceHoleFor(name)
		if err != nil || b.j.Edge.Given() && b.j.Edge.SI < 2*hole.Medium || len(b.group.Screws) > 1 && b.spacing() < 2.5*hole.Medium {
			return ""
		}
		f := b.f
		f.Screw.Thread.Value, f.Into.Nut.Thread = name, schema.Text{}
		f.Stack = slices.Clone(f.Stack)
		for i, l := range f.Stack {
			if !l.Washer.Thread.Given() {
				continue
			}
			series := l.Washer.Series.Value
			if series == "" {
				series = "plain"
			}
			if row, err := standards.WasherFor(series, name); err == nil {
				l.Washer.Thread.Value, l.Washer.SI, l.Washer.Least, l.Washer.Most = name, row.Thick, row.ThickMin, row.ThickMax
				f.Stack[i] = l
			}
		}
		j, err := joiningOf(f)
		if err != nil {
			return ""
		}
		s := newSubject(x.m, "fastening", name, f.At)
		x.intoNut(s, &j)
		torqueLimits(s, &j)
		x.heads(s, &j)
		torque := s.mostTorque("")
		length, long := s.Facts["remedyLength"]
		tight, err := tighten(f, name, torque)
		other := *b
		other.f, other.j.Hole = f, schema.Length{}
		other.group.Ring = (tight.head + hole.Medium) / 4
		if err != nil || !long || math.IsInf(torque, 1) || s.Facts["lengthLeast"].Kind != Quantity || !x.keepsStill(&other, tight) {
			continue
		}
		return fmt.Sprintf("take %s with nuts and washers to match, in holes of %s, tightened with %s", length.Text, schema.Format(schema.LengthDim, hole.Medium), schema.Format(schema.TorqueDim, torque))
	}
	return ""
}

// lessSettling names the grip with which a screw loses little.
func lessSettling(f schema.Fastening, t tightened) string {
	if f.Settles.Given() {
		return fmt.Sprintf("Tighten with %s or more, so that what settles is less of it", schema.Format(schema.TorqueDim, math.Ceil(100*t.lost/goodSettling*t.arm)/100))
	}
	for grip := t.grip; grip < 12*t.thread.Nominal; grip += 1e-3 {
		if share, err := fastening.Settles(grip, t.thread.Nominal, t.head, t.thread.StressArea, t.class.Proof, t.faces+1); err == nil && share <= goodSettling {
			return fmt.Sprintf("Put a sleeve of %s or more under the head and take a screw as much longer: that leaves %.0f %%", schema.Format(schema.LengthDim, math.Ceil((grip-t.grip)*1e3)/1e3), 100*share)
		}
	}
	return fmt.Sprintf("Have fewer faces in the joint: there are %d", t.faces)
}

// hole is that for its screws, m; 0 where it is neither given nor in the table.
func (b *bolted) hole() float64 {
	if b.j.Hole.Given() {
		return b.j.Hole.SI
	}
	row, err := standards.ClearanceHoleFor(b.f.Screw.Thread.Value)
	if err != nil {
		return 0
	}
	return row.Medium
}

// edges sets how near the holes are to the edge and to each other, in diameters of the hole.
func (b *bolted) edges(s *Subject) {
	j := b.j
	hole, from := b.hole(), []schema.Input{j.Hole, b.f.Screw.Thread}
	if hole == 0 {
		return
	}
	if j.Edge.Given() {
		s.set("edgeHoles", schema.NumberDim, j.Edge.SI/hole, append([]schema.Input{j.Edge}, from...)...)
		s.set("edge", schema.LengthDim, j.Edge.SI, j.Edge)
		s.set("edgeLeast", schema.LengthDim, 1.2*hole)
		s.set("edgeUsual", schema.LengthDim, 2*hole)
	}
	if near := b.spacing(); near > 0 {
		s.set("spacingHoles", schema.NumberDim, near/hole, append([]schema.Input{j.Screws[0].X}, from...)...)
		s.set("spacing", schema.LengthDim, near)
		s.set("spacingUsual", schema.LengthDim, 2.5*hole)
	}
}

// spacing is the least distance between two screws, 0 for one.
func (b *bolted) spacing() float64 { return spacingOf(b.group.Screws) }

// bearing sets what the part bears round a hole when the screw presses on its side.
func (b *bolted) bearing(s *Subject, d, hole, shear float64) {
	j := b.j
	if !j.Edge.Given() || !j.Thick.Given() || !j.Material.Given() {
		return
	}
	row, err := s.Machine.Material(j.Material.Value)
	if err != nil {
		return
	}
	holds := func(edge, thick float64) (float64, string) {
		wall, err := fastening.Bearing(edge, b.spacing(), hole, d, thick, row.Tensile)
		strip, err2 := fastening.TearOut(edge, d, thick, row.Tensile*row.ShearRatio)
		if err != nil || err2 != nil {
			return 0, ""
		}
		if strip < wall {
			return strip / shearReserve, "the strip between hole and edge shears out"
		}
		return wall / shearReserve, "the wall of the hole gives way"
	}
	allowed, how := holds(j.Edge.SI, j.Thick.SI)
	s.set("bearingAllowed", schema.ForceDim, allowed, j.Thick, j.Edge, j.Material)
	s.text("gives", how)
	if shear <= allowed {
		return
	}
	var ways []string
	thick := math.Ceil(j.Thick.SI*shear/max(allowed, 1e-9)/pressedStep-1e-9) * pressedStep
	if does, _ := holds(j.Edge.SI, thick); allowed > 0 && does >= shear {
		ways = append(ways, fmt.Sprintf("make the part %s thick", schema.Format(schema.LengthDim, thick)))
	}
	for edge := j.Edge.SI; edge <= 4*hole; edge += pressedStep {
		if does, _ := holds(edge, j.Thick.SI); does >= shear {
			ways = append(ways, fmt.Sprintf("put the hole %s from the edge", schema.Format(schema.LengthDim, edge)))
			break
		}
	}
	if len(ways) == 0 {
		ways = append(ways, "take a stronger part, or more screws")
	}
	s.text("remedyBearing", capital(strings.Join(slices.Compact(ways), ", or ")))
}
