package checks

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"trammel.example/checks/fastening"
	"trammel.example/checks/linkage"
	"trammel.example/schema"
	"trammel.example/schema/standards"
)

const (
	// faceFriction between dry or greased faces of steel and aluminium that are clamped together: common practice, 0.1 to 0.2.
	faceFriction = 0.15
	// pivotNutFactor turns a pivot bolt's torque into clamping; as #Fastening's default.
	pivotNutFactor = 0.2
	// faceRadius is the mean radius of a pivot's sliding faces in pin diameters: those of a washer of twice the pin's diameter.
	faceRadius = 0.75
	// thinnestSpacer is the thinnest washer that a remedy puts between two parts, m: common practice.
	thinnestSpacer = 0.5e-3
)

// A member is one layer on a pin, in what matters of it.
type member struct {
	*schema.Layer
	what  string         // as a person would call it
	body  string         // the link or cylinder it turns with; "" for washers and spacers
	thick fastening.Span // along the pin, m
	wide  schema.Input   // where the thickness comes from
	runs  bool
	end   *schema.CylinderEnd // of a cylinder's end; else an empty one
	fork  bool                // one cheek of a fork
}

// name is the value that says which thing a member is.
func (m member) name() schema.Input {
	switch {
	case m.Link.Given():
		return m.Link
	case m.Cylinder.Given():
		return m.Cylinder
	case m.Block.Given():
		return m.On
	}
	return m.wide
}

// stackPlace is a value that stands in the stack itself: washers and spacers often come from a bin.
func stackPlace(ms []member) schema.Input {
	for _, m := range ms {
		if m.body != "" {
			return m.name()
		}
	}
	return ms[0].name()
}

func span(s schema.Size) fastening.Span { return fastening.Span{Min: s.Least, Max: s.Most} }

// noEnd is that of a member which is no cylinder's.
var noEnd schema.CylinderEnd

// members resolves a pivot's stack.
func (x *examiner) members(p schema.Pivot) []member {
	ms := make([]member, 0, len(p.Stack))
	for i := range p.Stack {
		l := &p.Stack[i]
		m := member{Layer: l, runs: l.Runs.Value, end: &noEnd}
		switch {
		case l.Link.Given():
			m.what, m.body, m.thick, m.wide = "link "+l.Link.Value, l.Link.Value, span(l.Thick), &l.Thick
		case l.Cylinder.Given():
			cylinder, end, _ := strings.Cut(l.Cylinder.Value, ".")
			m.what, m.body = l.Cylinder.Value, cylinder
			own := x.m.Cylinders[cylinder].Rear
			if end == "front" {
				own = x.m.Cylinders[cylinder].Front
			}
			m.end = &own
			m.thick, m.wide = span(own.Width), &own.Width
			if m.end.Kind.Value == "fork" {
				m.fork = true
				// One cheek: half of what the gap leaves of the width.
				m.thick = fastening.Span{Min: (m.end.Width.Least - m.end.Gap.Most) / 2, Max: (m.end.Width.Most - m.end.Gap.Least) / 2}
			}
		case l.Block.Given():
			m.what, m.body, m.thick, m.wide = "block on "+l.On.Value, l.On.Value, span(l.Block.Width), &l.Block.Width
		case l.Washer.Given():
			m.what, m.thick, m.wide = "washer", span(l.Washer.Size), &l.Washer.Size
		default:
			m.what, m.thick, m.wide = "spacer", span(l.Spacer), &l.Spacer
		}
		ms = append(ms, m)
	}
	return ms
}

// bodiesAt are the links and cylinders that meet at a point, sorted.
func (x *examiner) bodiesAt(point string) []string {
	var bodies []string
	for _, l := range x.motion.links {
		for _, p := range x.m.Links[l].Points {
			if p.Value == point {
				bodies = append(bodies, l)
			}
		}
	}
	for _, c := range x.motion.cylinders {
		y := x.m.Cylinders[c]
		// What is fixed has no pin.
		if y.Rear.At.Value == point && !pinless(y.Rear) || y.Front.At.Value == point && !pinless(y.Front) {
			bodies = append(bodies, c)
		}
	}
	slices.Sort(bodies)
	return bodies
}

func (x *examiner) pivots() {
	for _, point := range x.motion.points {
		bodies := x.bodiesAt(point)
		p, described := x.m.Pivots[point]
		switch {
		case described:
			x.pivot(point, p, bodies)
			x.fits(point, p)
		case len(bodies) > 1:
			s := newSubject(x.m, "pivot", point, x.m.Points[point].At)
			s.open(fmt.Sprintf("how the pivot of %s is built is not written: add `pivots: %s: {pin: {…}, stack: […]}`", strings.Join(bodies, ", "), point),
				"gapLeast", "gapMost", "locked", "missing", "endsKept", "pinSpare")
			x.add(s)
		}
	}
	x.eyes()
}

func (x *examiner) pivot(point string, p schema.Pivot, bodies []string) {
	s := newSubject(x.m, "pivot", point, p.At)
	x.add(s)
	ms := x.members(p)
	x.gap(s, p, ms)
	x.turning(s, p, ms, bodies)
	x.thread(s, p, ms)
	x.keeping(s, p, ms)
	x.clamping(s, point, p, ms)
	x.support(s, point, p, ms)
	x.fork(s, p, ms)
}

// turning looks for members that can't turn as they must, and for bodies of the point that are not on the pin.
func (x *examiner) turning(s *Subject, p schema.Pivot, ms []member, bodies []string) {
	with := p.Pin.TurnsWith.Value
	locked, held := lockedOn(ms, with)
	var names, says, advice []string
	var from []schema.Input
	for _, m := range locked {
		from = append(from, m.Runs, m.name())
		if !slices.Contains(names, m.what) {
			names = append(names, m.what)
		}
	}
	count := len(names)
	if count > 0 {
		says = append(says, and(names)+plural(count, " is", " are")+" held on it")
		advice = append(advice, "let "+and(names)+" run on the pin (`runs: true`, with a hole that clears)")
	}
	if !held {
		count++
		says = append(says, "nothing of "+with+" holds it")
		advice = append(advice, "hold the pin in "+with+" (a layer of it without `runs`, or a block on it)")
	}
	text := and(advice)
	for _, m := range locked {
		if others, holds := lockedOn(ms, m.body); holds && len(others) == 0 {
			text += fmt.Sprintf("; or write `turnsWith: %q`, if that is what really holds the pin", m.body)
			break
		}
	}
	s.set("locked", schema.NumberDim, float64(count), append(from, p.Pin.TurnsWith)...)
	if count > 0 {
		s.text("lockedWhat", fmt.Sprintf("is to turn with %s, and %s", with, and(says)))
		s.text("lockedRemedy", text)
	}

	missing, layers := []string{}, []string{}
	for _, b := range bodies {
		if slices.ContainsFunc(ms, func(m member) bool { return m.body == b }) {
			continue
		}
		missing = append(missing, b)
		layers = append(layers, x.layerFor(b, s.Name, b != with))
	}
	s.set("missing", schema.NumberDim, float64(len(missing)), stackPlace(ms))
	if len(missing) > 0 {
		s.text("missingWhat", and(missing)+plural(len(missing), " goes through this point and is", " go through this point and are")+" not on its pin")
		s.text("missingLayers", and(layers))
	}
}

// lockedOn are the members that do not run although they turn with another body than the pin does, and whether anything of the body that
// the pin turns with holds it. A block is fixed to its link and lets the pin turn.
func lockedOn(ms []member, with string) (locked []member, held bool) {
	for _, m := range ms {
		switch {
		case m.body == "" || m.runs:
		case m.body == with:
			held = true
		case !m.Block.Given():
			locked = append(locked, m)
		}
	}
	return locked, held
}

// layerFor is how a body at a point is written in the point's stack.
func (x *examiner) layerFor(body, point string, runs bool) string {
	turns := ""
	if runs {
		turns = ", runs: true"
	}
	y, isCylinder := x.m.Cylinders[body]
	if !isCylinder {
		return fmt.Sprintf("`{link: %q, thick: mm: …, hole: mm: …%s}`", body, turns)
	}
	name, end := "rear", y.Rear
	if y.Front.At.Value == point {
		name, end = "front", y.Front
	}
	layer := fmt.Sprintf("`{cylinder: %q%s}`", body+"."+name, turns)
	if end.Kind.Value == "fork" {
		layer += " once for each cheek"
	}
	return layer
}

func plural(n int, one, many string) string {
	if n == 1 {
		return one
	}
	return many
}

// and joins words as a sentence does.
func and(words []string) string {
	if len(words) < 2 {
		return strings.Join(words, "")
	}
	return strings.Join(words[:len(words)-1], ", ") + " and " + words[len(words)-1]
}

// holdsThread reports whether a lock keeps a thread from turning under to-and-fro motion. A helical spring washer does not (transverse
// vibration test of DIN 65151, from memory).
func holdsThread(lock schema.Text) bool {
	switch lock.Value {
	case "lock nut", "jam nut", "thread lock", "wedge washers", "split pin":
		return true
	}
	return false
}

// thread judges a bolt that is used as a pin.
func (x *examiner) thread(s *Subject, p schema.Pivot, ms []member) {
	if !p.Pin.Thread.Given() {
		return
	}
	far := shankNeeded(p, ms)
	if far > 0 {
		s.set("shankNeeded", schema.LengthDim, far, widths(ms)...)
		if p.Pin.Shank.Given() {
			s.set("threadInBearing", schema.LengthDim, max(0, far-p.Pin.Shank.SI), p.Pin.Shank)
		} else {
			s.open("how far the bolt is plain under its head is not given: add `shank: mm: …` to the pin", "threadInBearing")
		}
	}
	x.unscrews(s, p, ms)
}

// unscrews judges a thread that what runs on the pin drags to and fro: where it is screwed into a part, and under a plain nut that is run down
// by hand. A tightened nut is held by its clamping.
func (x *examiner) unscrews(s *Subject, p schema.Pivot, ms []member) {
	pin := p.Pin
	keeps := func(what string) int {
		return slices.IndexFunc(pin.Kept, func(t schema.Text) bool { return t.Value == what })
	}
	against, of := "", schema.Input(nil)
	what := ""
	if i := slices.IndexFunc(ms, func(m member) bool { return m.Screwed.Value }); i >= 0 {
		against, of, what = ms[i].body, ms[i].Screwed, ms[i].what
		s.text("threadWhat", "The pin is screwed into "+what+" and nothing locks its thread")
		s.text("threadRemedy", "Lock the thread (jam nut, thread lock), or use a plain pin with a clip at both of its ends")
	} else if i := keeps("nut"); i >= 0 && !pin.Torque.Given() {
		against, of, what = pin.TurnsWith.Value, pin.Kept[i], "the pin"
		s.text("threadWhat", "A plain nut is run down on the pin by hand and nothing locks it")
		text := "Put thread lock on the nut (`lock: \"thread lock\"`)"
		other := [2]string{pin.Kept[0].Value, pin.Kept[1].Value}
		other[i] = "lock nut"
		if needed, why := keptBy(pin, onPin(p, ms).Max, other); why == "" {
			if l, ok := boltLength(pin.Thread.Value, needed); ok {
				text += ", or take a lock nut in its place, on a bolt of " + schema.Format(schema.LengthDim, l) + " or longer"
			}
		}
		s.text("threadRemedy", text)
	} else {
		return
	}
	most, worst := 0.0, ""
	for _, m := range ms {
		if !m.runs && !m.Block.Given() || m.body == "" || m.body == against {
			continue
		}
		swing, why := x.motion.swing(m.body, against)
		if why != "" {
			s.open(why, "threadWorked")
			return
		}
		if swing > most {
			most, worst = swing, m.what+" against "+what
		}
	}
	if holdsThread(pin.Lock) || keeps("lock nut") >= 0 {
		most = 0
	}
	s.set("threadWorked", schema.AngleDim, most, pin.Lock, of)
	s.worst("threadWorked", worst)
}

// shankNeeded is how far from under its head a bolt is to be plain: to the far side of the last thing that turns on it.
func shankNeeded(p schema.Pivot, ms []member) float64 {
	ordered := slices.Clone(ms)
	if p.Pin.Kept[1].Value == "head" {
		slices.Reverse(ordered) // from under the head
	}
	if p.Sleeve.Given() {
		// What runs on a sleeve does not touch the bolt, which is sheared where the sleeve ends.
		if _, after := inner(p, ordered); after > 0 {
			return reach(p, ordered, after-1)
		}
		return 0
	}
	far := 0.0
	for i, m := range ordered {
		if m.runs || m.Block.Given() {
			far = reach(p, ordered, i)
		}
	}
	return far
}

// keeping is whether the pin stays where it is, and reaches.
func (x *examiner) keeping(s *Subject, p schema.Pivot, ms []member) {
	var free, rings []string
	for i, end := range []string{"first", "second"} {
		switch p.Pin.Kept[i].Value {
		case "none":
			free = append(free, end)
		case "push-on ring":
			rings = append(rings, end)
		}
	}
	from := []schema.Input{p.Pin.Kept[0], p.Pin.Kept[1]}
	if p.Pin.Kept[0].Value != "none" {
		slices.Reverse(from) // blame the end that is not kept
	}
	s.set("endsKept", schema.NumberDim, float64(2-len(free)), from...)
	s.set("pushOnRings", schema.NumberDim, float64(len(rings)), from...)
	s.text("endsFree", byEnds(free, "Both of its ends are kept", "Its %s end is not kept", "Neither of its ends is kept"))
	s.text("ringsKeep", byEnds(rings, "No push-on ring keeps it", "A push-on ring keeps its %s end", "Push-on rings keep both of its ends"))
	stack := onPin(p, ms).Max
	keepingRemedies(s, p, ms, stack)
	needed, why := keptBy(p.Pin, stack, [2]string{p.Pin.Kept[0].Value, p.Pin.Kept[1].Value})
	if why != "" {
		s.open(why, "pinNeeded", "pinSpare")
		return
	}
	takes, sources := make([]string, 2), []string(nil)
	for i, k := range p.Pin.Kept {
		end := keptEnd(p.Pin, i, k.Value)
		takes[i] = schema.Format(schema.LengthDim, end.takes)
		if end.source != "" && !slices.Contains(sources, end.source) {
			sources = append(sources, end.source)
		}
	}
	if len(sources) > 0 {
		s.Assumed = append(s.Assumed, schema.Assumption{Path: p.Pin.Path + ".beyond", Value: and(takes), Source: strings.Join(sources, "; ")})
	}
	s.text("keepersTake", fmt.Sprintf("%s beyond it at the first end, %s at the second", takes[0], takes[1]))
	s.set("pinNeeded", schema.LengthDim, needed, widths(ms)...)
	if !p.Pin.Length.Given() {
		s.open("the pin's length is not given: add `length: mm: …` (of a bolt, under the head)", "pinSpare")
		return
	}
	least, wanted := p.Pin.Length.Least, pinLength(p.Pin.Length, needed)
	if isBolt := slices.ContainsFunc(p.Pin.Kept, func(k schema.Text) bool { return k.Value == "head" }); isBolt && p.Pin.Thread.Given() && !p.Pin.Length.Toleranced() {
		off, source := boltTolerance(p.Pin.Thread.Value, p.Pin.Length.SI)
		least = p.Pin.Length.SI - off
		s.Assumed = append(s.Assumed, schema.Assumption{Path: p.Pin.Length.Path, Value: "±" + schema.Format(schema.LengthDim, off), Source: source})
		if l, ok := boltLength(p.Pin.Thread.Value, needed); ok {
			wanted = l
		}
	}
	spare := least - needed
	if math.Abs(spare) < rounding {
		spare = 0
	}
	s.set("pinSpare", schema.LengthDim, spare, append([]schema.Input{p.Pin.Length}, widths(ms)...)...)
	s.set("pinWanted", schema.LengthDim, wanted, p.Pin.Length)
}

// boltTolerance is by how much a bolt may be shorter or longer than it is called, m. ISO 4014 has product grade A up to ten diameters and
// 150 mm, and B beyond; ISO 4759-1 (from memory) gives the lengths of A js15, and those of B js17. By ISO 286-1 IT17 is ten times IT12.
func boltTolerance(thread string, length float64) (float64, string) {
	t, err := standards.ThreadByName(thread)
	if err == nil && length > 10*t.Nominal+rounding {
		if _, upper, err := standards.Shaft("js12", length); err == nil {
			return 10 * upper, "ISO 4014, product grade B: js17 (from memory)"
		}
	}
	return screwTolerance(length), "ISO 4014, product grade A: js15 (from memory)"
}

// byEnds chooses what to say of none, one or both of a pin's ends.
func byEnds(ends []string, none, one, both string) string {
	switch len(ends) {
	case 0:
		return none
	case 1:
		return fmt.Sprintf(one, ends[0])
	}
	return both
}

// clamping is what a tightened pivot without a sleeve costs.
func (x *examiner) clamping(s *Subject, point string, p schema.Pivot, ms []member) {
	running := 0
	var runner string
	for _, m := range ms {
		if m.runs && m.body != "" {
			running++
			runner = m.body
		}
	}
	if !p.Pin.Torque.Given() || p.Sleeve.Given() || p.Between.Given() || running == 0 {
		return
	}
	d := p.Pin.Diameter.SI
	clamp := p.Pin.Torque.SI / (pivotNutFactor * d)
	torque := 2 * float64(running) * faceFriction * clamp * faceRadius * d
	s.set("clampTorque", schema.TorqueDim, torque, p.Pin.Torque, p.Pin.Diameter)
	first, after := sleeved(p.Sleeve, ms)
	s.set("sleeveNeeded", schema.LengthDim, total(ms[first:after]).Max+runningGapLeast, widths(ms[first:after])...)
	for _, c := range x.motion.cylinders {
		zone, why := x.air.at(c)
		if why += zone.why; why == "" {
			why = x.motion.why(c)
		}
		if why != "" {
			s.open(why, "clampShare")
			return
		}
		rate := 0.0
		cylinder := indexOf(x.motion.cylinders, c)
		x.motion.everyPose(func(r *run, pose *linkage.Pose) {
			if r.moves(cylinder) {
				turn := pose.Cylinders[cylinder].AngleRate
				rate = max(rate, math.Abs(x.bodyRate(pose.AngleRate, turn, runner, c)-x.bodyRate(pose.AngleRate, turn, p.Pin.TurnsWith.Value, c)))
			}
		})
		push, _ := pistonAreas(x.m.Cylinders[c])
		thrust := x.m.Cylinders[c].Efficiency.SI * zone.pressure * push
		s.set("clampShare", schema.NumberDim, torque*rate/thrust, p.Pin.Torque, p.Pin.Diameter)
	}
}

// bodyRate is dθ/ds of a link or of the cylinder that moves.
func (x *examiner) bodyRate(links []float64, ofCylinder float64, body, cylinder string) float64 {
	if i := x.motion.link(body); i >= 0 {
		return links[i]
	}
	if body == cylinder {
		return ofCylinder
	}
	return 0
}

// middles are the places along the pin, from the first face, of each member's middle (nominal thicknesses). What a fork holds lies in the
// middle of its gap.
func middles(ms []member) []float64 {
	middle := func(s fastening.Span) float64 { return (s.Min + s.Max) / 2 }
	at, z := make([]float64, len(ms)), 0.0
	second, slack := -1, 0.0 // of a fork: its far cheek, and what its gap has to spare
	for i, m := range ms {
		if i == second {
			z += slack / 2
		}
		at[i] = z + middle(m.thick)/2
		z += middle(m.thick)
		if last := otherCheek(ms, i); last > i {
			second, slack = last, middle(span(m.end.Gap))-middle(total(ms[i+1:last]))
			z += slack / 2
		}
	}
	return at
}

// support looks for loads that act beside what carries them.
func (x *examiner) support(s *Subject, point string, p schema.Pivot, ms []member) {
	at := middles(ms)
	blocks, others, tilts := []int{}, 0, false
	for i, m := range ms {
		switch {
		case m.Block.Given():
			blocks = append(blocks, i)
			tilts = tilts || m.Block.SelfAligning.SI > 0
		case m.body != "" && !m.runs:
			others++
		}
	}
	if len(blocks) > 0 {
		offset := 0.0
		if len(blocks) == 1 && others == 0 && tilts {
			for i, m := range ms {
				if m.runs {
					offset = max(offset, math.Abs(at[i]-at[blocks[0]]))
				}
			}
		}
		s.set("loneBlockOffset", schema.LengthDim, offset, ms[blocks[0]].Block.SelfAligning, ms[blocks[0]].On)
	}
	x.offset(s, point, p, ms, at, len(blocks))
}

// offset is how far the cylinder works beside the link that carries its pin. Two blocks take the moment themselves; a fork has none.
func (x *examiner) offset(s *Subject, point string, p schema.Pivot, ms []member, at []float64, blocks int) {
	carrier, eye := -1, -1
	fork, plates, middle := 0.0, 0.0, 0.0
	for i, m := range ms {
		if m.Link.Given() && m.body == p.Pin.TurnsWith.Value {
			carrier = i
			plates, middle = plates+1, middle+at[i]
		}
		if m.Cylinder.Given() {
			eye = i
			fork += at[i] / 2
		}
	}
	if carrier < 0 || eye < 0 || blocks > 1 || x.m.Links[ms[carrier].body].Ground.Value {
		return
	}
	z := at[eye]
	if ms[eye].fork {
		z = fork
	}
	offset := math.Abs(z - middle/plates) // a link of two plates carries in their middle
	s.set("offset", schema.LengthDim, offset, ms[eye].wide, ms[carrier].wide)
	// The link twists in its other pivots, as far as their clearance lets it.
	tilt, found := 0.0, false
	for _, q := range x.motion.points {
		other := x.m.Pivots[q]
		if q == point {
			continue
		}
		for _, l := range other.Stack {
			if l.Link.Value != ms[carrier].body || !l.Runs.Value || !l.Hole.Given() {
				continue
			}
			found = true
			length := (l.Thick.Least + l.Thick.Most) / 2
			if offset > length/6 {
				tilt = max(tilt, math.Atan((l.Hole.Most-shaft(other, &l).Least)/length))
			}
		}
	}
	if !found {
		s.open(fmt.Sprintf("the hole of link %s at its other pivots is not given: add `hole` to its layers", ms[carrier].body), "offsetTilt")
		return
	}
	s.set("offsetTilt", schema.AngleDim, tilt, ms[eye].wide, ms[carrier].wide)
}

// shaft is what a layer turns on: the sleeve, where there is one and the layer runs, else the pin.
func shaft(p schema.Pivot, l *schema.Layer) schema.Size {
	if p.Sleeve.Given() && l.Runs.Value {
		return p.Sleeve.Outside
	}
	return p.Pin.Diameter
}

// fork judges what lies between and beside the cheeks of a cylinder's fork.
func (x *examiner) fork(s *Subject, p schema.Pivot, ms []member) {
	first, last := -1, -1
	for i, m := range ms {
		if m.fork {
			if first < 0 {
				first = i
			}
			last = i
		}
	}
	if last <= first {
		return
	}
	gap := ms[first].end.Gap
	inside := ms[first+1 : last]
	sum := total(inside)
	s.set("forkClearance", schema.LengthDim, gap.Least-sum.Max, append([]schema.Input{gap}, widths(inside)...)...)
	s.set("forkGapNeeded", schema.LengthDim, sum.Max+runningGapLeast, widths(inside)...)
	packing := sum
	for _, m := range inside {
		if m.body != "" {
			packing = fastening.Span{Min: packing.Min - m.thick.Min, Max: packing.Max - m.thick.Max}
		}
	}
	s.set("lugThickness", schema.LengthDim, gap.Least-runningGapLeast-packing.Max, gap)
	x.beside(s, p, ms, first, last)
}

// beside judges what keeps the links outside of a fork off its cheeks, the members first and last.
func (x *examiner) beside(s *Subject, p schema.Pivot, ms []member, first, last int) {
	before := slices.Clone(ms[:first])
	slices.Reverse(before)
	var bare, apart []schema.Input
	least, unknown, needed := math.Inf(1), "", thinnestSpacer
	for _, c := range []struct {
		cheek member
		side  []member // from the cheek outwards
	}{{ms[first], before}, {ms[last], ms[last+1:]}} {
		at := slices.IndexFunc(c.side, func(m member) bool { return m.body != "" })
		if at < 0 || !c.side[at].Link.Given() {
			continue
		}
		by, why := lean(p, c.cheek, c.side[at])
		needed = max(needed, by)
		if at == 0 {
			bare = append(bare, c.cheek.name())
			continue
		}
		apart = append(apart, c.cheek.name())
		if why != "" {
			unknown = why
		}
		if packing := total(c.side[:at]).Min; packing-by < least {
			least = packing - by
			s.set("cheekPacking", schema.LengthDim, packing, widths(c.side[:at])...)
			s.set("cheekLean", schema.LengthDim, by, p.Pin.Diameter)
		}
	}
	if unknown != "" {
		s.open(unknown, "cheekLean")
	}
	if len(bare)+len(apart) > 0 {
		s.set("cheeksBare", schema.NumberDim, float64(len(bare)), append(bare, apart...)...)
		s.set("spacerNeeded", schema.LengthDim, needed, p.Pin.Diameter)
	}
}

// lean is by how much the edge of a fork's cheek and the face of the link beside it can come nearer to each other, as each leans on the
// pin by its play: half of the cheek's outside × clearance / length, of both.
func lean(p schema.Pivot, cheek, link member) (float64, string) {
	end := cheek.end
	switch {
	case !end.Outside.Given():
		return 0, fmt.Sprintf("the size round the hole of %s is not given: add `outside: mm: …`", cheek.what)
	case !link.Hole.Given():
		return 0, fmt.Sprintf("the hole of %s is not given: add `hole: {mm: …, fit: \"H9\"}` to its layer", link.what)
	}
	hole := end.Hole
	if end.Rework.Open.Given() {
		hole = end.Rework.Open
	}
	tilt := func(hole, on, length schema.Size) float64 { return max(0, hole.Most-on.Least) / length.SI }
	return end.Outside.SI / 2 * (tilt(hole, shaft(p, cheek.Layer), end.Width) + tilt(link.Hole, shaft(p, link.Layer), link.Thick)), ""
}
