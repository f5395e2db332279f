package checks

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"trammel.example/checks/fastening"
	"trammel.example/schema"
	"trammel.example/schema/standards"
)

const (
	// torqueScatter is by how much the clamping of one screw tightened by hand to a torque may be off, as a share: common practice.
	torqueScatter = 0.25
	// mostWashers is how many washers a remedy puts under a head before it calls for something else.
	mostWashers = 3
	// proofShareUsual is the share of its proof load to which a screw that may be loosened again is tightened: common practice.
	proofShareUsual = 0.75
	// stripFactor is what the thread must bear of the clamping or the load.
	stripFactor = fastening.UsualSlotFactor
	// lipFactor is the reserve against tearing a slot open.
	lipFactor = fastening.UsualSlotFactor
)

// A joining is one fastening, resolved by the standards' tables.
type joining struct {
	f      schema.Fastening
	thread standards.Thread
	class  standards.PropertyClass
	stack  []fastening.Span // from the head to the joint face
	from   []schema.Input   // the stack's thicknesses
	joint  fastening.Joint
	drill  float64 // of a tapped hole, m; 0 where it is the usual one or there is none
	// restores is what gives a thread that can strip its strength.
	restores []string
}

func (x *examiner) fastenings() {
	for _, name := range sorted(x.m.Fastenings) {
		f := x.m.Fastenings[name]
		s := newSubject(x.m, "fastening", name, f.At)
		x.add(s)
		j, err := joiningOf(f)
		if err != nil {
			s.open(err.Error(), "threadEngagement", "clamp")
			continue
		}
		sunkHead(s, &j)
		switch in := f.Into; {
		case in.Nut.Given():
			x.intoNut(s, &j)
		case in.SlotNut.Given():
			x.intoSlot(s, &j)
		default:
			x.intoHole(s, &j)
		}
		torqueLimits(s, &j)
		x.heads(s, &j)
		headRoom(s, &j)
		x.slidIn(s, name, f)
		x.clamp(s, &j)
		x.listed(s, name, &j)
	}
}

// joiningOf looks up what a fastening names.
func joiningOf(f schema.Fastening) (j joining, err error) {
	j.f = f
	if j.thread, err = standards.ThreadByName(f.Screw.Thread.Value); err != nil {
		return j, err
	}
	if j.class, err = standards.PropertyClassFor(f.Screw.Class.Value, j.thread.Nominal); err != nil {
		return j, err
	}
	for _, l := range f.Stack {
		switch {
		case l.Washer.Given():
			j.stack, j.from = append(j.stack, span(l.Washer.Size)), append(j.from, l.Washer.Size)
		case l.Spring.Given():
			j.stack, j.from = append(j.stack, span(l.Spring)), append(j.from, l.Spring)
		default:
			j.stack, j.from = append(j.stack, span(l.Thick)), append(j.from, l.Thick)
		}
	}
	j.joint = fastening.Joint{Stack: j.stack, Screw: fastening.Screw{Pitch: j.thread.Pitch, Limits: fastening.Symmetric(screwTolerance)}}
	return j, nil
}

// screwTolerance is how much a screw may be shorter or longer than it is called. Beyond the table its last row is used: so long a
// screw is out of stock anyway.
func screwTolerance(length float64) float64 {
	t, err := standards.ScrewLengthTolerance(length)
	if err != nil {
		return 0.7e-3
	}
	return t
}

// sunkHead holds the cone of a countersunk head against what it is sunk into: the first layer, or with none the part that is screwed into,
// which is deeper than any head.
func sunkHead(s *Subject, j *joining) {
	head := j.f.Screw.Head
	if head.Value != "countersunk" || len(j.stack) == 0 {
		return
	}
	s.set("headRoom", schema.LengthDim, j.stack[0].Min, j.from[0])
	row, err := standards.HeadFor(head.Value, j.thread.Name)
	if err != nil {
		s.open(err.Error(), "headDepth")
		return
	}
	s.set("headDepth", schema.LengthDim, row.Height, head, j.f.Screw.Thread)
}

// lengthMade holds a screw's length against those that are on the shelf.
func lengthMade(s *Subject, screw schema.Screw) {
	if off, near, ok := nearestMade(schema.LengthDim, screw.Length.SI, standards.ScrewLengths()); ok {
		s.set("lengthOff", schema.LengthDim, off, screw.Length)
		s.text("lengthsMade", near)
	}
}

// nearestMade is how far a size is from the nearest that is made, and those next to it. Beyond the largest there is nothing to say.
func nearestMade(dim schema.Dimension, size float64, made []float64) (off float64, near string, ok bool) {
	const rounding = 1e-4
	i := slices.IndexFunc(made, func(m float64) bool { return m > size*(1-rounding) })
	if i < 0 {
		return 0, "", false
	}
	off, near = made[i]-size, schema.Format(dim, made[i])
	switch {
	case off < rounding*size:
		off = 0
	case i > 0:
		off = min(off, size-made[i-1])
		near = schema.Format(dim, made[i-1]) + " or " + near
	}
	return off, near, true
}

// fit sets what the screw does in the joint, and which lengths would do.
func (x *examiner) fit(s *Subject, j *joining, more ...schema.Input) (fastening.Fit, bool) {
	from := append([]schema.Input{j.f.Screw.Length}, j.from...)
	from = append(from, more...)
	s.set("length", schema.LengthDim, j.f.Screw.Length.SI, j.f.Screw.Length)
	lengthMade(s, j.f.Screw)
	grip := fastening.Sum(j.stack...)
	s.set("gripLeast", schema.LengthDim, grip.Min, j.from...)
	s.set("gripMost", schema.LengthDim, grip.Max, j.from...)
	fit, err := j.joint.Fit(j.f.Screw.Length.SI)
	if err == nil {
		var window fastening.Window
		if window, err = j.joint.Window(); err == nil {
			x.window(s, j, window, from)
		}
	}
	if err != nil {
		s.open(err.Error(), "threadEngagement", "tipClearance", "remedyLength", "pitchesProud")
		return fit, false
	}
	if !math.IsInf(fit.TipClearance, 1) {
		s.set("tipClearance", schema.LengthDim, fit.TipClearance, from...)
		least := 0.0 // the end of the full thread in a hole is itself short of the bottom
		if j.f.Into.SlotNut.Given() {
			least = fastening.UsualTipClearance
		}
		s.set("tipClearanceNeeded", schema.LengthDim, least)
		s.text("tipEnds", tipEnds(fit.TipClearance, j.f.Into))
	}
	return fit, true
}

// shank holds the part of the screw that has no full thread against what it passes through before its thread meets the other. before is the
// least that lies between the joint face and that thread.
func (x *examiner) shank(s *Subject, j *joining, before float64, from ...schema.Input) {
	screw := j.f.Screw
	head, err := standards.HeadFor(screw.Head.Value, j.thread.Name)
	if err != nil {
		s.open(err.Error(), "shank")
		return
	}
	if screw.Shank.Given() {
		s.set("shank", schema.LengthDim, screw.Shank.SI, screw.Shank)
	} else if plain := head.Shank(screw.Length.SI); plain > 0 {
		standard, _, _ := strings.Cut(head.Source, ",") // of hexagon screws the first is the one with a shank
		s.set("shank", schema.LengthDim, plain, screw.Length, screw.Thread, screw.Head)
		x.assume(s, screw.Path+".shank", schema.Format(schema.LengthDim, plain), standard+", thread length (from memory)")
	} else {
		return
	}
	room := fastening.Sum(j.stack...).Min + before
	s.set("shankRoom", schema.LengthDim, room, append(slices.Clone(j.from), from...)...)
	if plain := s.Facts["shank"].SI; plain > room {
		s.text("remedyShank", shankAdvice(j, head, plain, room), screw.Length)
	}
}

// shankAdvice names the washers that fill up to the shank, where the screw is then still long enough, the stock screw that fits with its own
// shank, and the screw that has none.
func shankAdvice(j *joining, head standards.Head, shank, room float64) string {
	var ways []string
	washer, err := standards.WasherFor("plain", j.thread.Name)
	if err == nil && !head.LengthWithHead {
		layer := fastening.Span{Min: washer.ThickMin, Max: washer.ThickMax}
		n := int(math.Ceil((shank - room) / layer.Min))
		padded := j.joint
		padded.Stack = append(slices.Clone(j.stack), layer.Times(n))
		if window, err := padded.Window(); err == nil && n <= mostWashers {
			if fits, err := window.Holds(j.f.Screw.Length.SI); err == nil && fits {
				ways = append(ways, washers(n, j.thread.Name)+" more under the head")
			}
		}
	}
	if window, err := j.joint.Window(); err == nil && !j.f.Screw.Shank.Given() {
		if fitting, err := window.Stock(standards.ScrewLengths()); err == nil && len(fitting) > 0 && head.Shank(fitting[0]) <= room {
			ways = append(ways, j.thread.Name+" × "+schema.Format(schema.LengthDim, fitting[0]))
		}
	}
	return strings.Join(append(ways, "a screw of this length with thread up to its head"), ", or ")
}

func (x *examiner) window(s *Subject, j *joining, w fastening.Window, from []schema.Input) {
	mm := func(si float64) string { return schema.Format(schema.LengthDim, si) }
	if c := w.Conflict; c != nil {
		other, room := "a higher nut", "a deeper slot, or a thinner nut"
		switch {
		case j.f.Into.Tapped.Given():
			other, room = "a deeper thread", "a deeper thread"
		case j.f.Into.Nut.Given():
			room = "a thinner nut, or more room behind it"
		}
		text := fmt.Sprintf("%s: no screw length does, since %s of thread is needed and there is %s", other, mm(c.Needed), mm(c.Available))
		if c.Short == fastening.ShortRoom {
			text = fmt.Sprintf("%s: no screw length does, since with all tolerances %s behind the joint face is needed and there is %s", room, mm(c.Needed), mm(c.Available))
		}
		s.text("remedyLength", text, from...)
		// Which screw would be wanted says nothing now: every length is outside of an empty window.
		return
	}
	s.set("lengthLeast", schema.LengthDim, w.Least, from...)
	if !math.IsInf(w.Most, 1) {
		s.set("lengthMost", schema.LengthDim, w.Most, from...)
	}
	s.text("remedyLength", x.lengthAdvice(j, w), from...)
}

// lengthAdvice names the stock screw that fits, or the washers that make one fit. It goes on a sentence that begins with "Use".
func (x *examiner) lengthAdvice(j *joining, w fastening.Window) string {
	mm := func(si float64) string { return schema.Format(schema.LengthDim, si) }
	middle, span := w.Least, mm(w.Least)+" or more"
	if !math.IsInf(w.Most, 1) {
		middle, span = (w.Least+w.Most)/2, mm(w.Least)+" to "+mm(w.Most)
	}
	cut := fmt.Sprintf("%s cut to %s (%s fits)", j.thread.Name, mm(middle), span)
	washer, err := standards.WasherFor("plain", j.thread.Name)
	if err != nil {
		return cut
	}
	most, with := mostWashers, fmt.Sprintf(", nor does one with up to %d washers more", mostWashers)
	if j.f.Screw.Head.Value == "countersunk" {
		most, with = 0, "" // a washer does not go under it
	}
	choice, ok, err := j.joint.Choose(standards.ScrewLengths(), fastening.Span{Min: washer.ThickMin, Max: washer.ThickMax}, most)
	switch {
	case err != nil || !ok:
		return fmt.Sprintf("%s, since no stock length fits%s; or change the thickness of the stack", cut, with)
	case choice.Washers == 0:
		return fmt.Sprintf("%s × %s (%s fits)", j.thread.Name, mm(choice.Length), span)
	}
	return fmt.Sprintf("%s × %s with %s more under the head (%s fits as it is, and no stock length is among them)", j.thread.Name, mm(choice.Length), washers(choice.Washers, j.thread.Name), span)
}

func washers(n int, thread string) string {
	if n == 1 {
		return "one " + thread + " washer"
	}
	return fmt.Sprintf("%d %s washers", n, thread)
}

func (x *examiner) intoNut(s *Subject, j *joining) {
	nut := j.f.Into.Nut
	thread := j.f.Screw.Thread
	if nut.Thread.Given() {
		thread = nut.Thread
	}
	threadsAgree(s, j.f.Screw.Thread, thread)
	var height fastening.Span
	metal := math.Inf(1) // height of the thread that bears: the ring of a lock nut does not
	if nut.Height.Given() {
		height = span(nut.Height)
	} else if row, err := standards.NutFor(nut.Style.Value, thread.Value); err == nil {
		height, metal = fastening.Span{Min: row.HeightMin, Max: row.Height}, row.Thread
	}
	room := math.Inf(1)
	if nut.Room.Given() {
		room = nut.Room.SI
	}
	j.joint.Into = fastening.Nut{Height: height, PitchesShown: fastening.UsualPitchesShown, Room: room}
	x.shank(s, j, 0)
	fit, ok := x.fit(s, j, nut.Style, nut.Height)
	if !ok {
		return
	}
	s.set("pitchesProud", schema.NumberDim, fit.Protrusion, append([]schema.Input{j.f.Screw.Length, nut.Style}, j.from...)...)
	side := "out of"
	if fit.Protrusion < 0 {
		side = "inside"
	}
	s.text("tipStands", fmt.Sprintf("%s pitches %s the nut", schema.Format(schema.NumberDim, math.Abs(fit.Protrusion)), side))
	class, err := standards.NutClassByName(nut.Class.Value)
	if err == nil {
		x.strip(s, j, math.Min(fit.Engagement, metal), fastening.Material{Tensile: class.Tensile}, nut.Class)
	}
}

func (x *examiner) intoSlot(s *Subject, j *joining) {
	nut, profile := j.f.Into.SlotNut, j.f.Into.Profile
	threadsAgree(s, j.f.Screw.Thread, nut.Thread)
	s.set("slotWidth", schema.LengthDim, profile.Slot.Width.SI, profile.Slot.Width)
	s.set("slotMismatch", schema.LengthDim, math.Abs(nut.Slot.SI-profile.Slot.Width.SI), nut.Slot, profile.Slot.Width)
	s.set("cavitySpare", schema.LengthDim, profile.Slot.Depth.Least-profile.Slot.Lip.Most-nut.Thick.Most, nut.Thick, profile.Slot.Depth, profile.Slot.Lip)
	needed := math.Min(nut.Thick.Least, j.thread.Nominal)
	j.joint.Into = fastening.SlotNut{Lip: span(profile.Slot.Lip), Thick: span(nut.Thick), Depth: span(profile.Slot.Depth), Clearance: fastening.UsualTipClearance, Needed: needed}
	x.shank(s, j, profile.Slot.Lip.Least, profile.Slot.Lip)
	fit, ok := x.fit(s, j, profile.Slot.Lip, profile.Slot.Depth, nut.Thick)
	if !ok {
		return
	}
	from := append([]schema.Input{j.f.Screw.Length}, j.from...)
	s.set("threadEngagement", schema.LengthDim, fit.Engagement, append(from, profile.Slot.Lip, nut.Thick)...)
	s.set("threadEngagementNeeded", schema.LengthDim, needed, nut.Thick)
	s.text("meshReason", "the whole of a slot nut or one diameter of the screw")
	if nut.Tensile.Given() {
		x.strip(s, j, fit.Engagement, fastening.Material{Tensile: nut.Tensile.SI}, nut.Tensile)
	} else {
		s.open("the strength of the slot nut is not given: add `tensile: MPa: …` to it", "stripForce")
	}
}

func (x *examiner) intoHole(s *Subject, j *joining) {
	hole := j.f.Into.Tapped
	threadsAgree(s, j.f.Screw.Thread, hole.Thread)
	material, err := x.m.Material(hole.Material.Value)
	part := fastening.Material{Tensile: material.Tensile, ShearRatio: material.ShearRatio}
	strength := schema.Input(hole.Material)
	if hole.Tensile.Given() {
		part, strength = fastening.Material{Tensile: hole.Tensile.SI}, hole.Tensile
	} else if err != nil {
		s.open(err.Error(), "threadEngagement")
		return
	}
	j.drill = hole.Drill.SI
	needed, reason, err := j.mesh(part)
	if err != nil {
		s.open(err.Error(), "threadEngagement", "stripForce")
		x.tappedHole(s.Name, j)
		return
	}
	depth := fastening.Exactly(hole.Depth.SI)
	j.joint.Into = fastening.TappedHole{Depth: depth, Needed: needed, Through: hole.Through.Value, Room: math.Inf(1)}
	x.shank(s, j, 0)
	fit, ok := x.fit(s, j, hole.Depth, hole.Material)
	if !ok {
		return
	}
	from := append([]schema.Input{j.f.Screw.Length}, j.from...)
	from = append(from, hole.Depth)
	s.set("threadEngagement", schema.LengthDim, fit.Engagement, from...)
	s.set("threadEngagementNeeded", schema.LengthDim, needed, strength, j.f.Screw.Class)
	s.text("meshReason", reason)
	s.set("engagementDiameters", schema.NumberDim, fit.Engagement/j.thread.Nominal, from...)
	if material.EngagedLeast > 0 {
		s.set("engagementDiametersLeast", schema.NumberDim, material.EngagedLeast, hole.Material)
		s.set("engagementDiametersAdvised", schema.NumberDim, material.EngagedUsual, hole.Material)
		s.set("engagementAdvised", schema.LengthDim, max(material.EngagedUsual*j.thread.Nominal, needed), hole.Material)
	}
	if !hole.Through.Value {
		if needed, err := fastening.DrilledDepth(hole.Depth.SI, j.thread.Pitch, fastening.UsualTapLead); err == nil {
			s.set("drilledNeeded", schema.LengthDim, needed, hole.Depth)
		}
		if hole.Drilled.Given() {
			s.set("drilled", schema.LengthDim, hole.Drilled.SI, hole.Drilled)
		} else {
			s.open("how deep the hole is drilled is not given: add `drilled: mm: …`", "drilled")
		}
	}
	x.strip(s, j, fit.Engagement, part, strength)
	x.tappedHole(s.Name, j)
}

// tappedHole is the hole itself: its thread and its wall.
func (x *examiner) tappedHole(name string, j *joining) {
	hole := j.f.Into.Tapped
	s := newSubject(x.m, "hole", name, hole.At)
	x.add(s)
	drill := schema.Size{Length: hole.Drill}
	if !hole.Drill.Given() {
		x.assume(s, hole.Path+".drill", schema.Format(schema.LengthDim, j.thread.Drill), "ISO 2306, drill for a coarse thread")
	}
	size := tapFacts(s, hole.Thread, hole.Drill, drill)
	if hole.Edge.Given() {
		wallFacts(s, hole.Edge.SI-size/2, size, 2*hole.Edge.SI, []schema.Input{hole.Edge, hole.Thread})
	}
}

func threadsAgree(s *Subject, screw, other schema.Text) {
	s.flag("threadsAgree", screw.Value == other.Value, screw, other)
	s.text("threads", screw.Value+" into "+other.Value, screw, other)
}

// solverThread is the thread in the hole that is drilled for it.
func (j *joining) solverThread() fastening.Thread {
	t := j.thread
	return fastening.Thread{D: t.Nominal, Pitch: t.Pitch, D2Min: t.D2Min, DMin: t.DMin, D1Max: t.D1Max, D2Max: t.D2Max, StressArea: t.StressArea, Hole: j.drill}
}

// strips is the force at which the weaker thread strips over an engagement.
func (j *joining) strips(engagement float64, in fastening.Material) (float64, error) {
	loads, err := fastening.Strip(j.solverThread(), engagement, fastening.Material{Tensile: j.class.Tensile}, in)
	return loads.Weakest(), err
}

// hardest is the most that tightening or the machine pulls along the screw.
func (j *joining) hardest() float64 {
	return max(j.f.Torque.SI/(j.f.NutFactor.SI*j.thread.Nominal)*(1+torqueScatter), j.f.Load.SI)
}

// mesh is the length of thread that a tapped hole needs if it is well drilled: at which the screw breaks before the thread strips, or where
// the torque is given the length that bears its clamping, if that is less.
func (j joining) mesh(in fastening.Material) (needed float64, reason string, err error) {
	j.drill = 0
	need, err := fastening.NeededEngagement(j.solverThread(), fastening.Material{Tensile: j.class.Tensile}, in)
	if err != nil {
		return 0, "", err
	}
	perMetre, err := j.strips(1, in)
	if err != nil {
		return 0, "", err
	}
	if bears := stripFactor * j.hardest() / perMetre; j.f.Torque.Given() && bears < need.Needed {
		return bears, "so much that the thread bears the clamping and the load with a reserve of 1.5", nil
	}
	return need.Needed, "so much that the screw breaks before the thread strips", nil
}

// strip sets the force at which the weaker thread strips.
func (x *examiner) strip(s *Subject, j *joining, engagement float64, in fastening.Material, strength schema.Input) {
	if engagement <= 0 {
		return // there is none to strip, which its engagement tells
	}
	bears, err := j.strips(engagement, in)
	if err != nil {
		s.open(err.Error(), "stripForce")
		return
	}
	s.set("stripForce", schema.ForceDim, bears, j.f.Screw.Length, strength)
	s.text("weakerThread", "The weaker thread")
	if wide := j.drill > j.thread.D1Max; wide {
		s.text("weakerThread", fmt.Sprintf("The thread, low in a hole of %s,", schema.Format(schema.LengthDim, j.drill)))
	}
	s.set("torqueForStrip", schema.TorqueDim, j.f.NutFactor.SI*j.thread.Nominal*bears/stripFactor/(1+torqueScatter))
	j.restores = nil
	if needed := stripFactor * j.hardest(); j.f.Torque.Given() && bears < needed {
		usual := *j
		usual.drill = 0
		if full, err := usual.strips(engagement, in); err == nil && full >= needed && j.drill > j.thread.D1Max {
			j.restores = append(j.restores, "tap a hole drilled to "+schema.Format(schema.LengthDim, j.thread.Drill))
		}
		length, found := s.Facts["lengthLeast"]
		if mesh, err := j.strips(s.Facts["threadEngagementNeeded"].SI, in); found && err == nil && mesh >= needed*(1-tieBreak) && j.f.Screw.Length.SI < length.SI {
			j.restores = append(j.restores, "use "+s.Facts["remedyLength"].Text)
		}
	}
}

// torqueLimits sets what screw, nut and slot bear of tightening.
func torqueLimits(s *Subject, j *joining) {
	f := j.f
	factor, d := f.NutFactor.SI, j.thread.Nominal
	s.set("torqueForProof", schema.TorqueDim, factor*d*proofShareUsual*j.class.Proof*j.thread.StressArea, f.NutFactor, f.Screw.Thread)
	slot := f.Into.Profile
	if slot.PullOut.Given() {
		s.set("pullOutAllowed", schema.ForceDim, slot.PullOut.SI/lipFactor, slot.PullOut)
		s.set("torqueForPullOut", schema.TorqueDim, factor*d*slot.PullOut.SI/lipFactor, slot.PullOut)
	} else if f.Into.SlotNut.Given() {
		s.open("the force that tears the slot open is not given: add `pullOut: N: …` to the profile", "pullOutAllowed")
	}
	least := schema.Torque{}
	for _, t := range []schema.Torque{f.Into.SlotNut.Torque, slot.Torque} {
		if t.Given() && (!least.Given() || t.SI < least.SI) {
			least = t
		}
	}
	if least.Given() {
		s.set("torqueAllowed", schema.TorqueDim, least.SI, least)
	}
}

// mostTorque is what screw, thread, slot and what is pressed on bear together, rounded down so that what is printed holds. except is one of
// the facts to leave out.
func (s *Subject) mostTorque(except string) float64 {
	most := math.Inf(1)
	for _, name := range []string{"torqueForProof", "torqueAllowed", "torqueForPullOut", "torqueForStrip", "torqueForPressure"} {
		if t, ok := s.Facts[name]; ok && t.Kind == Quantity && name != except {
			most = min(most, t.SI)
		}
	}
	for _, step := range []float64{0.01, 0.001} {
		if down := math.Floor(most/step+1e-6) * step; down > 10*step {
			return down
		}
	}
	return most
}

// clamp sets what the tightening torque does.
func (x *examiner) clamp(s *Subject, j *joining) {
	f := j.f
	factor, d := f.NutFactor.SI, j.thread.Nominal
	proof := j.class.Proof * j.thread.StressArea
	if !f.Torque.Given() {
		s.open("the tightening torque is not given: add `torque: Nm: …`", "torque", "clamp", "clampLeast", "proofShare", "stripForceNeeded")
		x.load(s, j)
		return
	}
	preload, err := fastening.FromTorque(f.Torque.SI, factor, torqueScatter, d)
	if err != nil {
		s.open(err.Error(), "clamp", "clampLeast", "proofShare", "stripForceNeeded")
		return
	}
	from := []schema.Input{f.Torque, f.NutFactor, f.Screw.Thread}
	s.set("torque", schema.TorqueDim, f.Torque.SI, f.Torque)
	s.set("clamp", schema.ForceDim, preload.Nominal, from...)
	x.load(s, j)
	s.set("proofShare", schema.NumberDim, preload.Nominal/proof, append(from, f.Screw.Class)...)
	if f.Torque.SI > s.mostTorque("") {
		x.lessTorque(s, j)
	}
	cause := []schema.Input{f.Torque, f.Load}
	if f.Load.SI > preload.Most {
		cause = []schema.Input{f.Load, f.Torque}
	}
	if j.drill > j.thread.D1Max {
		cause = append([]schema.Input{f.Into.Tapped.Drill}, cause...)
	}
	if s.shortOfThread() {
		cause = append([]schema.Input{f.Screw.Length}, cause...)
	}
	bears, known := s.Facts["stripForce"]
	if !known {
		return
	}
	needed := stripFactor * j.hardest()
	s.set("stripForceNeeded", schema.ForceDim, needed, append(cause, f.NutFactor, f.Screw.Thread)...)
	if bears.SI < needed {
		var ways []string
		if f.Load.SI*stripFactor <= bears.SI {
			ways = append(ways, s.Facts["remedyTorque"].Text)
		} else {
			ways = append(ways, fmt.Sprintf("load each screw with no more than %s, tightened with %s at most", schema.Format(schema.ForceDim, math.Floor(bears.SI/stripFactor)), schema.Format(schema.TorqueDim, s.mostTorque(""))))
		}
		if ways = append(ways, j.restores...); len(j.restores) == 0 {
			ways = append(ways, "put more or stronger thread in mesh")
		}
		s.text("remedyStrip", capital(strings.Join(ways, ", or ")))
	}
}

// lessTorque sets the torque with which all of the fastening holds, and what the joint then still keeps shut.
func (x *examiner) lessTorque(s *Subject, j *joining) {
	f := j.f
	most := s.mostTorque("")
	text := fmt.Sprintf("tighten with %s or less", schema.Format(schema.TorqueDim, most))
	if t, err := tighten(f, f.Screw.Thread.Value, most); err == nil && t.kept < pullReserve*f.Load.SI {
		text = fmt.Sprintf("tighten with %s, and let no more than %s pull along each screw, which means more of them", schema.Format(schema.TorqueDim, most), schema.Format(schema.ForceDim, math.Floor(t.kept/pullReserve)))
	}
	s.text("remedyTorque", capital(text), f.Torque)
	if f.Torque.SI > s.mostTorque("torqueForProof") {
		return
	}
	for _, name := range []string{"8.8", "10.9", "12.9"} {
		if class, err := standards.PropertyClassFor(name, j.thread.Nominal); err == nil && class.Proof > j.class.Proof && f.NutFactor.SI*j.thread.Nominal*proofShareUsual*class.Proof*j.thread.StressArea >= f.Torque.SI {
			s.text("remedyTorque", capital(text+", or take screws of class "+name), f.Torque)
			return
		}
	}
}

// load sets what pulls along one screw, and how to hold the joint shut under it: with more torque as far as nothing else gives way, else
// with less load on each screw.
func (x *examiner) load(s *Subject, j *joining) {
	f := j.f
	if !f.Load.Given() {
		return
	}
	s.set("load", schema.ForceDim, f.Load.SI, f.Load)
	s.set("loadNeeded", schema.ForceDim, pullReserve*f.Load.SI, f.Load)
	t, err := tighten(f, f.Screw.Thread.Value, f.Torque.SI)
	if err != nil {
		s.open(err.Error(), "clampLeast")
		return
	}
	x.settling(s, f, t)
	if !f.Torque.Given() {
		return
	}
	from := []schema.Input{f.Torque, f.NutFactor, f.Screw.Thread, f.Settles}
	if t.kept < pullReserve*f.Load.SI {
		most := s.mostTorque("")
		if wanted := math.Ceil(t.torqueFor(pullReserve*f.Load.SI)*100) / 100; wanted <= most {
			s.text("remedyLoad", fmt.Sprintf("Tighten with %s to %s", schema.Format(schema.TorqueDim, wanted), schema.Format(schema.TorqueDim, most)), f.Torque, f.Load)
		} else {
			from = append([]schema.Input{f.Load}, from...)
			s.text("remedyLoad", fmt.Sprintf("Use more or larger screws, so that each carries no more than %s: that is what this one holds shut, tightened with the %s that it and its thread bear",
				schema.Format(schema.ForceDim, math.Floor(t.keptAt(most)/pullReserve)), schema.Format(schema.TorqueDim, most)), f.Load)
		}
	}
	s.set("clampLeast", schema.ForceDim, t.kept, from...)
}

// tipEnds says where the tip of a screw comes to lie, in what it is screwed into.
func tipEnds(clearance float64, into schema.Into) string {
	bottom := "the end of the room behind the nut"
	switch {
	case into.SlotNut.Given():
		bottom = "the bottom of the slot"
	case into.Tapped.Given():
		bottom = "the end of the full thread in the hole"
	}
	side := "before"
	if clearance < 0 {
		side = "beyond"
	}
	return fmt.Sprintf("%s %s %s", schema.Format(schema.LengthDim, math.Abs(clearance)), side, bottom)
}

// shortOfThread reports whether the screw leaves thread unused that it should fill: then it is to blame for what strips, and not the torque.
func (s *Subject) shortOfThread() bool {
	needed, ok := s.Facts["threadEngagementNeeded"]
	if ok {
		return s.Facts["threadEngagement"].SI < needed.SI
	}
	proud, ok := s.Facts["pitchesProud"]
	return ok && proud.SI < fastening.UsualPitchesShown
}

// listed compares the purchase list with the lengths that fit.
func (x *examiner) listed(s *Subject, name string, j *joining) {
	if len(x.m.Purchases) == 0 {
		return
	}
	least, okLeast := s.Facts["lengthLeast"]
	most, okMost := s.Facts["lengthMost"]
	if !okLeast {
		return // no length does: the list can't help
	}
	i, length, found := x.purchaseFor(name, j.thread.Name, j.f.Screw.Length.SI)
	if !found {
		s.open(fmt.Sprintf("the purchase list has no %s screw for it: add one", j.thread.Name), "listedError", "listed")
		return
	}
	line := x.m.Purchases[i]
	off := math.Max(0, least.SI-length)
	if okMost {
		off = math.Max(off, length-most.SI)
	}
	s.set("listedError", schema.LengthDim, off, append([]schema.Input{line.Screw}, j.from...)...)
	s.text("listed", line.Screw.Value, line.Screw)
}

// purchaseFor is the place of the line in the list that this fastening's screws come from: one that names it, else one with its thread and
// the length nearest to its own.
func (x *examiner) purchaseFor(name, threadName string, want float64) (at int, length float64, found bool) {
	for i, p := range x.m.Purchases {
		thread, text, _ := strings.Cut(p.Screw.Value, "x")
		if thread != threadName {
			continue
		}
		mm, err := strconv.ParseFloat(text, 64)
		if err != nil {
			continue
		}
		for _, f := range p.For {
			if f.Value == name {
				return i, mm * 1e-3, true
			}
		}
		if len(p.For) == 0 && (!found || math.Abs(mm*1e-3-want) < math.Abs(length-want)) {
			at, length, found = i, mm*1e-3, true
		}
	}
	return at, length, found
}
