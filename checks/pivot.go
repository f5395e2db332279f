package checks

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"trammel.example/checks/fastening"
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
	// runningGapMiddle is the middle of the usual running gap of 0.1 to 0.5 mm; runningGapLeast its lower end. m.
	runningGapMiddle = 0.3e-3
	runningGapLeast  = 0.1e-3
)

// A member is one layer on a pin, in what matters of it.
type member struct {
	*schema.Layer
	what  string         // as a person would call it
	body  string         // the link or cylinder it turns with; "" for washers and spacers
	thick fastening.Span // along the pin, m
	wide  schema.Input   // where the thickness comes from
	runs  bool
	end   schema.CylinderEnd // of a cylinder's end
	fork  bool               // one cheek of a fork
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

func span(s schema.Size) fastening.Span { return fastening.Span{Min: s.Least, Max: s.Most} }

// members resolves a pivot's stack.
func (x *examiner) members(p schema.Pivot) []member {
	ms := make([]member, 0, len(p.Stack))
	for i := range p.Stack {
		l := &p.Stack[i]
		m := member{Layer: l, runs: l.Runs.Value}
		switch {
		case l.Link.Given():
			m.what, m.body, m.thick, m.wide = "link "+l.Link.Value, l.Link.Value, span(l.Thick), l.Thick
		case l.Cylinder.Given():
			cylinder, end, _ := strings.Cut(l.Cylinder.Value, ".")
			m.what, m.body = l.Cylinder.Value, cylinder
			m.end = x.m.Cylinders[cylinder].Rear
			if end == "front" {
				m.end = x.m.Cylinders[cylinder].Front
			}
			m.thick, m.wide = span(m.end.Width), m.end.Width
			if m.end.Kind.Value == "fork" {
				m.fork = true
				// One cheek: half of what the gap leaves of the width.
				m.thick = fastening.Span{Min: (m.end.Width.Least - m.end.Gap.Most) / 2, Max: (m.end.Width.Most - m.end.Gap.Least) / 2}
			}
		case l.Block.Given():
			m.what, m.body, m.thick, m.wide = "block on "+l.On.Value, l.On.Value, span(l.Block.Width), l.Block.Width
		case l.Washer.Given():
			m.what, m.thick, m.wide = "washer", span(l.Washer.Size), l.Washer.Size
		default:
			m.what, m.thick, m.wide = "spacer", span(l.Spacer), l.Spacer
		}
		ms = append(ms, m)
	}
	return ms
}

// total is how much of the pin the members take. A whole fork takes its width, whatever lies between its cheeks.
func total(ms []member) fastening.Span {
	var sum fastening.Span
	for i := 0; i < len(ms); i++ {
		other := slices.IndexFunc(ms[i+1:], func(m member) bool { return m.fork && m.what == ms[i].what })
		if ms[i].fork && other >= 0 {
			sum = sum.Plus(span(ms[i].end.Width))
			i += 1 + other
			continue
		}
		sum = sum.Plus(ms[i].thick)
	}
	return sum
}

func widths(ms []member) []schema.Input {
	var from []schema.Input
	for _, m := range ms {
		from = append(from, m.wide)
	}
	return from
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
		if y.Rear.At.Value == point || y.Front.At.Value == point {
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
	x.fork(s, ms)
}

// inner are the members between the faces that hold the running parts: those a sleeve runs through, or those between the outermost
// members that do not run; beside a single one, those on the side where something runs.
func inner(p schema.Pivot, ms []member) []member {
	isIn := func(m member) bool { return m.body != "" && m.runs }
	holds := func(m member) bool { return m.body != "" && !m.runs }
	if p.Sleeve.Given() {
		first, last := slices.IndexFunc(ms, isIn), lastIndex(ms, isIn)
		if first < 0 {
			return nil
		}
		return ms[first : last+1]
	}
	first, last := slices.IndexFunc(ms, holds), lastIndex(ms, holds)
	switch {
	case first < 0:
		return ms
	case first < last:
		return ms[first+1 : last]
	case slices.ContainsFunc(ms[:first], isIn):
		return ms[:first]
	}
	return ms[first+1:]
}

func lastIndex(ms []member, is func(member) bool) int {
	for i := len(ms) - 1; i >= 0; i-- {
		if is(ms[i]) {
			return i
		}
	}
	return -1
}

// gap is the axial room of what runs.
func (x *examiner) gap(s *Subject, p schema.Pivot, ms []member) {
	in := inner(p, ms)
	sum := total(in)
	space := p.Between
	if p.Sleeve.Given() {
		space = p.Sleeve.Length
	}
	if !space.Given() {
		byHand := !p.Pin.Torque.Given() && slices.ContainsFunc(p.Pin.Kept, func(t schema.Text) bool { return t.Value == "nut" || t.Value == "lock nut" })
		inFork := slices.ContainsFunc(ms, func(m member) bool { return m.fork })
		runs := slices.ContainsFunc(ms, func(m member) bool { return m.runs })
		// A nut run down by hand until the play is gone is an instruction to the builder; a fork has its own gap.
		if runs && !byHand && !inFork && !p.Pin.Torque.Given() {
			s.open("nothing says between which faces the running parts lie: add `between: mm: …`, or a `sleeve`", "gapLeast", "gapMost")
		}
		return
	}
	from := append([]schema.Input{space}, widths(in)...)
	s.set("gapLeast", schema.LengthDim, space.Least-sum.Max, from...)
	s.set("gapMost", schema.LengthDim, space.Most-sum.Min, from...)
	s.set("shim", schema.LengthDim, (space.Least-sum.Max+space.Most-sum.Min)/2-runningGapMiddle, from...)
	if p.Sleeve.Given() {
		s.set("sleeveNeeded", schema.LengthDim, sum.Max+runningGapLeast, from...)
	}
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
	s.set("missing", schema.NumberDim, float64(len(missing)), ms[0].name())
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
	ordered := slices.Clone(ms)
	if p.Pin.Kept[1].Value == "head" {
		slices.Reverse(ordered) // from under the head
	}
	far, reached := 0.0, 0.0
	for _, m := range ordered {
		reached += m.thick.Max
		if m.runs || m.Block.Given() {
			far = reached
		}
	}
	if far > 0 && !p.Sleeve.Given() {
		s.set("shankNeeded", schema.LengthDim, far, widths(ordered)...)
		if p.Pin.Shank.Given() {
			s.set("threadInBearing", schema.LengthDim, max(0, far-p.Pin.Shank.SI), p.Pin.Shank)
		} else {
			s.open("how far the bolt is plain under its head is not given: add `shank: mm: …` to the pin", "threadInBearing")
		}
	}
	for _, into := range ms {
		if !into.Screwed.Value {
			continue
		}
		most, worst := 0.0, ""
		for _, m := range ms {
			if !m.runs || m.body == "" || m.body == into.body {
				continue
			}
			swing, why := x.motion.swing(m.body, into.body)
			if why != "" {
				s.open(why, "threadWorked")
				return
			}
			if swing > most {
				most, worst = swing, m.what+" against "+into.what
			}
		}
		if holdsThread(p.Pin.Lock) || slices.ContainsFunc(p.Pin.Kept, func(t schema.Text) bool { return t.Value == "lock nut" }) {
			most = 0
		}
		s.set("threadWorked", schema.AngleDim, most, p.Pin.Lock, into.Screwed)
		s.worst("threadWorked", worst)
	}
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
	sum := total(ms)
	needed := sum.Max
	if t, err := standards.ThreadByName(p.Pin.Thread.Value); err == nil {
		for _, k := range p.Pin.Kept {
			style := map[string]string{"nut": "hex", "lock nut": "lock"}[k.Value]
			if nut, err := standards.NutFor(style, t.Name); style != "" && err == nil {
				needed += nut.Height + t.Pitch
			}
		}
	}
	s.set("pinNeeded", schema.LengthDim, needed, widths(ms)...)
	if !p.Pin.Length.Given() {
		s.open("the pin's length is not given: add `length: mm: …` (of a bolt, under the head)", "pinSpare")
		return
	}
	s.set("pinSpare", schema.LengthDim, p.Pin.Length.Least-needed, append([]schema.Input{p.Pin.Length}, widths(ms)...)...)
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
	s.set("sleeveNeeded", schema.LengthDim, total(ms).Max+runningGapLeast, widths(ms)...)
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
		for i := range x.motion.sweeps[c].Poses {
			pose := &x.motion.sweeps[c].Poses[i]
			rate = max(rate, math.Abs(x.bodyRate(pose.AngleRate, pose.Cylinders[indexOf(x.motion.cylinders, c)].AngleRate, runner, c)-
				x.bodyRate(pose.AngleRate, pose.Cylinders[indexOf(x.motion.cylinders, c)].AngleRate, p.Pin.TurnsWith.Value, c)))
		}
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

// middles are the places along the pin, from the first face, of each member's middle (nominal thicknesses).
func middles(ms []member) []float64 {
	at, z := make([]float64, len(ms)), 0.0
	for i, m := range ms {
		half := (m.thick.Min + m.thick.Max) / 4
		at[i] = z + half
		z += 2 * half
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
	fork := 0.0
	for i, m := range ms {
		if m.Link.Given() && m.body == p.Pin.TurnsWith.Value {
			carrier = i
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
	offset := math.Abs(z - at[carrier])
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
				tilt = max(tilt, math.Atan((l.Hole.Most-other.Pin.Diameter.Least)/length))
			}
		}
	}
	if !found {
		s.open(fmt.Sprintf("the hole of link %s at its other pivots is not given: add `hole` to its layers", ms[carrier].body), "offsetTilt")
		return
	}
	s.set("offsetTilt", schema.AngleDim, tilt, ms[eye].wide, ms[carrier].wide)
}

// fork judges what lies between and beside the cheeks of a cylinder's fork.
func (x *examiner) fork(s *Subject, ms []member) {
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
	least := math.Inf(1)
	var beside schema.Input
	look := func(ms []member) {
		room := 0.0
		for _, m := range ms {
			if m.body != "" {
				if m.Link.Given() && room < least {
					least, beside = room, m.wide
				}
				return
			}
			room += m.thick.Min
		}
	}
	before := slices.Clone(ms[:first])
	slices.Reverse(before)
	look(before)
	look(ms[last+1:])
	if !math.IsInf(least, 1) {
		s.set("cheekClearance", schema.LengthDim, least, beside)
	}
}
