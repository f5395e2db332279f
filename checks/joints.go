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
)

// A tightened screw is what clamps a joint, N.
type tightened struct {
	thread   standards.Thread
	class    standards.PropertyClass
	settled  float64 // share
	nominal  float64
	kept     float64 // at the least, after settling
	perForce float64 // torque by what is kept
	torque   float64
	faces    int
	grip     float64
	head     float64
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
	if t.settled, err = fastening.Settles(t.grip, t.thread.Nominal, t.head, t.thread.StressArea, t.class.Proof, t.faces); err != nil {
		return t, err
	}
	t.torque = torque
	t.nominal = torque / (f.NutFactor.SI * t.thread.Nominal)
	t.kept = max(0, t.nominal*(1-torqueScatter-t.settled))
	t.perForce = torque / t.kept
	return t, nil
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
	hole := j.Hole.SI
	if row, err := standards.ClearanceHoleFor(t.thread.Name); err == nil && !j.Hole.Given() {
		hole = row.Medium
	}
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
	s.set("settled", schema.NumberDim, t.settled, f.Screw.Length, f.Screw.Thread)
	if t.settled > goodSettling {
		s.text("remedySettling", lessSettling(f, t))
	}
	s.set("clampKept", schema.ForceDim, t.kept, f.Torque, f.NutFactor, f.Screw.Thread)
	s.set("pull", schema.ForceDim, max(0, pulls.Tension), from(pulls, f.Torque)...)
	s.worst("pull", x.whenIn(pulls.in), rodsOut(pulls.in.pose)...)
	s.set("pullAllowed", schema.ForceDim, t.kept/pullReserve, f.Torque, f.NutFactor)
	if t.kept/pullReserve < pulls.Tension {
		s.text("remedyPull", x.holdsBetter(s, b, t, pulls.Share, func(kept, _ float64, share fastening.Share) bool { return kept >= pullReserve*share.Tension }))
	}
	if !j.Located.Value {
		holds := func(kept, friction float64, share fastening.Share) bool {
			return friction*(kept-share.Tension) >= slipReserve*share.Shear()
		}
		allowed := max(0, j.Friction.SI*(t.kept-slips.Tension)) / slipReserve
		s.set("slides", schema.ForceDim, slips.Shear(), from(slips, f.Torque)...)
		s.worst("slides", x.whenIn(slips.in), rodsOut(slips.in.pose)...)
		s.set("slidesAllowed", schema.ForceDim, allowed, f.Torque, j.Friction, f.NutFactor)
		s.set("slipPull", schema.ForceDim, max(0, slips.Tension))
		if slips.Shear() > allowed {
			s.text("remedySlip", x.holdsBetter(s, b, t, slips.Share, holds))
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
			return slips, pulls, shears, err.Error() + ": add `heel: mm: …`, from the row to the edge of the foot"
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
	if f.Lock.Given() {
		s.text("lock", map[bool]string{true: "none", false: "a " + f.Lock.Value + ", which does not hold"}[f.Lock.Value == "none"])
	} else {
		s.text("lock", "none")
	}
}

// holdsBetter names what would hold: more torque as far as the screw and what it is screwed into bear it, a larger thread through a nut, more
// screws in the same spread, rougher faces. Each is tried.
func (x *examiner) holdsBetter(s *Subject, b *bolted, t tightened, share fastening.Share, holds func(kept, friction float64, share fastening.Share) bool) string {
	f := b.f
	var ways []string
	most := x.mostTorque(f, t)
	keeps := 1 / t.perForce
	if t.kept == 0 {
		keeps = 0
	}
	at := func(torque float64) bool { return holds(keeps*torque, b.j.Friction.SI, share) }
	if at(most) {
		low, high := min(t.torque, most), most
		for range 40 {
			if middle := (low + high) / 2; at(middle) {
				high = middle
			} else {
				low = middle
			}
		}
		if high = math.Ceil(high*10) / 10; high > most {
			high = most
		}
		ways = append(ways, fmt.Sprintf("tighten with %s to %s", schema.Format(schema.TorqueDim, high), schema.Format(schema.TorqueDim, most)))
	}
	if f.Into.Nut.Given() {
		for _, row := range []string{"M4", "M5", "M6", "M8", "M10", "M12", "M16"} {
			larger, err := standards.ThreadByName(row)
			if err != nil || larger.Nominal <= t.thread.Nominal {
				continue
			}
			torque := 0.0
			if class, err := standards.PropertyClassFor(f.Screw.Class.Value, larger.Nominal); err == nil {
				torque = math.Floor(f.NutFactor.SI * larger.Nominal * proofShareUsual * class.Proof * larger.StressArea)
			}
			if try, err := tighten(f, row, torque); err == nil && holds(try.kept, b.j.Friction.SI, share) {
				ways = append(ways, fmt.Sprintf("take %s screws tightened with %s", row, schema.Format(schema.TorqueDim, torque)))
				break
			}
		}
	}
	n := len(b.j.Screws)
	for more := n + 1; more <= 4*n; more++ {
		part := float64(n) / float64(more)
		if holds(t.kept, b.j.Friction.SI, fastening.Share{U: part * share.U, W: part * share.W, Tension: part * share.Tension}) {
			ways = append(ways, fmt.Sprintf("take %d screws over the same spread in place of %d", more, n))
			break
		}
	}
	if !holds(t.kept, 0, share) && holds(t.kept, roughest, share) {
		needed := slipReserve * share.Shear() / (t.kept - share.Tension)
		ways = append(ways, fmt.Sprintf("have faces that rub with %.2f or more (blasted, or with a toothed washer)", math.Ceil(needed*100)/100))
	}
	if share.Shear() > 0 {
		ways = append(ways, "let a dowel or a step take what slides (`located: true`)")
	}
	if len(ways) == 0 {
		ways = append(ways, "bring the screws farther apart, or the force nearer to them")
	}
	return capital(strings.Join(ways, ", or "))
}

// mostTorque is what screw, thread and slot bear.
func (x *examiner) mostTorque(f schema.Fastening, t tightened) float64 {
	most := f.NutFactor.SI * t.thread.Nominal * proofShareUsual * t.class.Proof * t.thread.StressArea
	for _, torque := range []schema.Torque{f.Into.SlotNut.Torque, f.Into.Profile.Torque} {
		if torque.Given() {
			most = min(most, torque.SI)
		}
	}
	if out := f.Into.Profile.PullOut; out.Given() {
		most = min(most, f.NutFactor.SI*t.thread.Nominal*out.SI/lipFactor)
	}
	for _, s := range x.subjects {
		if s.Kind != "fastening" || s.At != f.At {
			continue
		}
		for _, name := range []string{"torqueForStrip", "torqueForPressure"} {
			if bears, ok := s.Facts[name]; ok {
				most = min(most, bears.SI)
			}
		}
	}
	return most
}

// lessSettling names the grip with which a screw loses little.
func lessSettling(f schema.Fastening, t tightened) string {
	for grip := t.grip; grip < 12*t.thread.Nominal; grip += 1e-3 {
		if share, err := fastening.Settles(grip, t.thread.Nominal, t.head, t.thread.StressArea, t.class.Proof, t.faces+1); err == nil && share <= goodSettling {
			return fmt.Sprintf("Put a sleeve of %s or more under the head and take a screw as much longer: that leaves %.0f %%", schema.Format(schema.LengthDim, math.Ceil((grip-t.grip)*1e3)/1e3), 100*share)
		}
	}
	return fmt.Sprintf("Have fewer faces in the joint: there are %d", t.faces)
}

// edges sets how near the holes are to the edge and to each other, in diameters of the hole.
func (b *bolted) edges(s *Subject) {
	j := b.j
	hole, from := j.Hole.SI, []schema.Input{j.Hole, b.f.Screw.Thread}
	if !j.Hole.Given() {
		row, err := standards.ClearanceHoleFor(b.f.Screw.Thread.Value)
		if err != nil {
			return
		}
		hole = row.Medium
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
func (b *bolted) spacing() float64 {
	near := math.Inf(1)
	for i, p := range b.group.Screws {
		for _, q := range b.group.Screws[:i] {
			near = min(near, math.Hypot(p.U-q.U, p.W-q.W))
		}
	}
	if math.IsInf(near, 1) {
		return 0
	}
	return near
}

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
