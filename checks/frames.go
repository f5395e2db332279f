package checks

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"gonum.org/v1/gonum/spatial/r2"

	"trammel.example/checks/columns"
	"trammel.example/checks/frames"
	"trammel.example/schema"
)

const (
	// swayPart is the part of its height by which a frame may lean aside: ENV 1993-1-1, 4.2, for buildings of one storey (from memory).
	swayPart = 1. / 300
	// steadyReserve is how many times what it gets a frame should bear, so that what it leans adds nothing that counts: EN 1993-1-1, 5.2.1 (3),
	// elastic (from memory). More than mostReserve is not told.
	steadyReserve, mostReserve = 10, 100
	// onMember in m is how far from a member's line a slide may be drawn.
	onMember = 1e-3
)

// A stood frame is the members that the machine stands on, ready to be made of other sections.
type stood struct {
	x       *examiner
	joints  []string
	members []string
	frame   frames.Frame
	// What the members are made of: area, second moment, and how far the edge lies from the middle.
	area, moment, edge []float64
	carries            []bool // joints that are fixed points of the machine
	braces             []brace
	anvil              int
	skip               []bool    // slides that something else carries
	only               []*moment // that are followed; nil for all
	// Room for the work.
	loads  frames.Loads
	result frames.Result
}

func (x *examiner) frame() {
	f := x.m.Frame
	if !f.Given() {
		return
	}
	s := newSubject(x.m, "frame", "frame", f.At)
	x.add(s)
	d := x.stand(s)
	if _, err := d.stiff(); err != nil {
		d.moves(s, err)
		return
	}
	s.flag("moves", false, f.Supports[0].Held)
	all := x.moments()
	s.Assumed = append(s.Assumed, all.assumed...)
	why := all.unknown()
	var out *borneBy
	if why == "" {
		out, why = d.bear()
	}
	if why != "" {
		s.open(why, "gives", "sway", "bucklingReserve")
	} else {
		d.gives(s, out)
		d.buckles(s, out)
		x.stood, x.bears = d, out
	}
	var members []*Subject
	for i, name := range d.members {
		one := newSubject(x.m, "frame member", name, f.Members[name].At)
		x.add(one)
		members = append(members, one)
		if why != "" {
			one.open(why, "stress", "compression")
			continue
		}
		d.member(one, i, out)
		d.corner(one, i, out)
	}
	if why == "" {
		d.buckleSideways(s, members, out)
		d.nextToDead(s, members, out)
	}
}

// nextToDead leaves open what dead points put more on the frame: one sentence for all of it, with the part that is utilised most else.
func (d *stood) nextToDead(frame *Subject, members []*Subject, out *borneBy) {
	x := d.x
	d.only = nil
	var dead []*deadStretch
	for i := range x.carried.list {
		if m := &x.carried.list[i]; m.next != nil {
			d.only = append(d.only, m)
			if !slices.Contains(dead, m.next) {
				dead = append(dead, m.next)
			}
		}
	}
	defer func() { d.only = nil }()
	if len(d.only) == 0 {
		return
	}
	next, why := d.bear()
	if why != "" {
		return
	}
	type left struct {
		s                 *Subject
		measured, allowed string
	}
	var open []left
	look := func(s *Subject, measured, allowed string, by float64) {
		f, known := s.Facts[measured]
		if !known || f.Kind == Open || !beyond(by, f.SI) {
			return
		}
		if f.SI > s.Facts[allowed].SI {
			leaveOpen(s, dead, measured, allowed)
			return
		}
		open = append(open, left{s, measured, allowed})
	}
	look(frame, "gives", "givesAllowed", next.gives.by)
	if _, known := frame.Facts["sway"]; known {
		look(frame, "sway", "swayAllowed", next.sway.by)
	}
	if reserve, _, _ := d.reserve(next); reserve < frame.Facts["bucklingReserve"].SI*(1-tieBreak) {
		if f := frame.Facts["bucklingReserve"]; f.SI < buckleReserve {
			f.Worst += ", and less next to a dead point, " + nearAll(dead)
			frame.Facts["bucklingReserve"] = f
		} else {
			times := f.String() + " times"
			if f.SI >= mostReserve {
				times += " or more of"
			}
			frame.open(fmt.Sprintf("%s. In all else the frame bears %s what it gets", nextToDead(dead), times), "bucklingReserve")
		}
	}
	for i, s := range members {
		look(s, "stress", "stressAllowed", next.stress[i].Stress)
		look(s, "compression", "compressionAllowed", next.push[i].Push)
		look(s, "corner", "cornerAllowed", next.corner[i].moment)
	}
	d.sidewaysNextToDead(members, out, next, look)
	most, says := 0.0, ""
	for _, o := range open {
		if f, a := o.s.Facts[o.measured], o.s.Facts[o.allowed]; f.SI/a.SI > most {
			most = f.SI / a.SI
			words := map[string]string{"gives": "gives way by", "sway": "leans by", "stress": "is stressed with", "compression": "is pressed with", "sidewaysPush": "is pressed with", "corner": "is bent at its end with"}[o.measured]
			says = fmt.Sprintf("In all else `%s` %s %s of %s, and nothing else of it is worse off", o.s.Name, words, f, a)
		}
	}
	for _, o := range open {
		o.s.open(fmt.Sprintf("%s. %s", nextToDead(dead), says), o.measured)
	}
}

// stand sets the frame up as it is written.
func (x *examiner) stand(s *Subject) *stood {
	f := x.m.Frame
	d := &stood{x: x, members: sorted(f.Members), anvil: -1}
	used := map[string]bool{}
	for _, m := range f.Members {
		used[m.Between[0].Value], used[m.Between[1].Value] = true, true
	}
	d.joints = sorted(used)
	for _, name := range d.joints {
		p := x.m.Joint(name)
		d.frame.Nodes = append(d.frame.Nodes, frames.Node{At: r2.Vec{X: p.X.SI, Y: p.Y.SI}})
		_, isNode := f.Nodes[name]
		d.carries = append(d.carries, !isNode)
	}
	for _, p := range f.Supports {
		d.frame.Nodes[indexOf(d.joints, p.At.Value)].Held = map[string][3]bool{"fixed": {true, true, true}, "pinned": {true, true, false}, "roller": {false, true, false}}[p.Held.Value]
	}
	if f.Anvil.Given() {
		d.anvil = indexOf(d.joints, f.Anvil.Value)
	}
	var weightless []string
	for i, name := range d.members {
		m := f.Members[name]
		one := frames.Member{From: indexOf(d.joints, m.Between[0].Value), To: indexOf(d.joints, m.Between[1].Value), Elasticity: x.elasticity(m.Section)}
		for end := range 2 {
			one.Free[end] = slices.ContainsFunc(m.Turns, func(t schema.Text) bool { return t.Value == m.Between[end].Value })
			one.Spring[end] = m.Gives[m.Between[end].Value].Stiffness()
		}
		d.frame.Members = append(d.frame.Members, one)
		d.area, d.moment, d.edge = append(d.area, 0), append(d.moment, 0), append(d.edge, 0)
		d.make(i, 1)
		if m.Mass.Given() {
			d.loads.Spread = append(d.loads.Spread, frames.Spread{Member: i, Force: r2.Vec{Y: -m.Mass.SI * standardGravity / d.length(one)}})
		} else {
			weightless = append(weightless, name)
		}
	}
	if len(weightless) > 0 {
		x.assume(s, f.Path+".members", "0 kg for "+inWords(weightless), "common practice: a small frame weighs little against what the machine puts on it")
	}
	d.assumeStiff(s)
	for _, name := range sorted(x.m.Slides) {
		along := x.m.Slides[name].Along
		beside := func(p schema.Text) bool {
			return slices.ContainsFunc(f.Beside, func(b schema.Text) bool { return b.Value == p.Value })
		}
		d.skip = append(d.skip, beside(along[0]) && beside(along[1]))
	}
	return d
}

// make gives a member a section so many times as large all round as it is written.
func (d *stood) make(i int, size float64) {
	sec := d.x.m.Frame.Members[d.members[i]].Section
	d.area[i], d.moment[i], d.edge[i] = sec.Area.SI*size*size, sec.Moment.SI*math.Pow(size, 4), sec.Edge()*size
}

func (d *stood) length(m frames.Member) float64 {
	return r2.Norm(r2.Sub(d.frame.Nodes[m.To].At, d.frame.Nodes[m.From].At))
}

// stiff prepares the frame with the sections and braces of the moment.
func (d *stood) stiff() (*frames.Stiff, error) {
	f := d.frame
	f.Members = slices.Clone(f.Members)
	for i := range f.Members {
		m := &f.Members[i]
		m.Area, m.Moment = d.area[i], d.moment[i]
	}
	for _, b := range d.braces {
		m := f.Members[b.like]
		m.From, m.To, m.Free, m.Spring = b.from, b.to, [2]bool{true, true}, [2]float64{}
		f.Members = append(f.Members, m)
	}
	return f.Stiffen()
}

// besideLine is how far a place lies from the stretch between two others.
func (d *stood) besideLine(p, a, b r2.Vec) float64 {
	along := r2.Sub(b, a)
	t := max(0, min(1, r2.Dot(r2.Sub(p, a), along)/r2.Norm2(along)))
	return r2.Norm(r2.Sub(p, r2.Add(a, r2.Scale(t, along))))
}

// put is what the machine puts on the frame in a moment, beside its own weight.
func (d *stood) put(m *moment) (why string) {
	x, mo := d.x, d.x.motion
	d.loads.Nodes, d.loads.Points = d.loads.Nodes[:0], d.loads.Points[:0]
	push := func(point int, force r2.Vec) {
		if i := indexOf(d.joints, mo.points[point]); i >= 0 {
			d.loads.Nodes = append(d.loads.Nodes, frames.NodeLoad{Node: i, Force: force})
		}
	}
	for i, j := range x.carried.joints {
		if x.m.Links[mo.links[j.Body]].Ground.Value {
			push(j.Point, m.forces.Reactions[i])
		}
	}
	for _, k := range mo.weights.Springs {
		pull := k.Pull(m.pose)
		push(k.From, pull)
		push(k.To, r2.Scale(-1, pull))
	}
	for i, l := range mo.mechanism.Slides {
		if d.skip[i] || !mo.mechanism.Bodies[l.Body].Ground {
			continue
		}
		at, on := m.pose.Points[l.Point], -1
		for k, member := range d.frame.Members {
			if d.besideLine(at, d.frame.Nodes[member.From].At, d.frame.Nodes[member.To].At) < onMember {
				on = k
				break
			}
		}
		if on < 0 {
			name := sorted(x.m.Slides)[i]
			return fmt.Sprintf("%s the slide %s runs where no member of the frame is: let members lie along its guide, or name both of the guide's points in `beside` if something else carries it", mo.when(m.pose), name)
		}
		from := r2.Norm(r2.Sub(at, d.frame.Nodes[d.frame.Members[on].From].At))
		d.loads.Points = append(d.loads.Points, frames.Point{Member: on, At: from, Force: r2.Scale(-1, m.forces.Slides[i])})
	}
	if m.kind == inPress && d.anvil >= 0 {
		at := mo.point(m.tool)
		force := r2.Scale(m.forces.Tool, m.grip.Along)
		arm := r2.Sub(m.pose.Points[at], d.frame.Nodes[d.anvil].At)
		d.loads.Nodes = append(d.loads.Nodes, frames.NodeLoad{Node: d.anvil, Force: force, Moment: r2.Cross(arm, force)})
	}
	return ""
}

// borneBy is the worst of what a frame does in all moments.
type borneBy struct {
	stress, push []stressedIn     // of each member
	swings       []swing[*moment] // likewise, where it is planned how often the machine works
	gives, sway  displacedIn
	feet         [][4]float64 // of each joint that is held: most down, most up, most across, most moment
	corner       []corneredIn // of each member whose ends have a rating
}

// A corneredIn is the most that one end of a member has to bear in bending, N m.
type corneredIn struct {
	moment float64
	joint  int
	in     *moment
}

type stressedIn struct {
	frames.Worst
	in *moment
}

type displacedIn struct {
	joint int
	by    float64 // m
	in    *moment
}

// bear follows all that the machine does into the frame.
func (d *stood) bear() (out *borneBy, why string) {
	s, err := d.stiff()
	if err != nil {
		return nil, "the frame can't be computed: " + err.Error()
	}
	out = &borneBy{stress: make([]stressedIn, len(d.members)), push: make([]stressedIn, len(d.members)), feet: make([][4]float64, len(d.joints)), corner: make([]corneredIn, len(d.members))}
	if d.x.m.Cycle.Cycles.Given() {
		out.swings = make([]swing[*moment], len(d.members))
	}
	bottom := d.bottom()
	for _, m := range d.followed() {
		if why := d.put(m); why != "" {
			return nil, why
		}
		if err := s.Bear(d.loads, &d.result); err != nil {
			return nil, "the frame can't be computed: " + err.Error()
		}
		for k := range d.members {
			worst := d.result.Stressed(k, d.area[k], d.moment[k], d.edge[k])
			if w := &out.stress[k]; w.in == nil || worst.Stress > w.Stress*(1+tieBreak) {
				*w = stressedIn{worst, m}
			}
			d.cornered(k, m, &out.corner[k])
			if out.swings != nil && m.kind != inFirst && m.of != inFirst {
				d.swing(&out.swings[k], k, m)
			}
			if w := &out.push[k]; w.in == nil || worst.Push > w.Push*(1+tieBreak) {
				*w = stressedIn{worst, m}
			}
		}
		for k, moved := range d.result.Moves {
			if by := r2.Norm(moved.Way); d.carries[k] && (out.gives.in == nil || by > out.gives.by*(1+tieBreak)) {
				out.gives = displacedIn{k, by, m}
			}
			if height := d.frame.Nodes[k].At.Y - bottom; height > onMember {
				if by := math.Abs(moved.Way.X); out.sway.in == nil || by/height > out.sway.by/(d.frame.Nodes[out.sway.joint].At.Y-bottom)*(1+tieBreak) {
					out.sway = displacedIn{k, by, m}
				}
			}
			r := d.result.Reactions[k]
			f := &out.feet[k]
			f[0], f[1], f[2], f[3] = max(f[0], r.Force.Y), max(f[1], -r.Force.Y), max(f[2], math.Abs(r.Force.X)), max(f[3], math.Abs(r.Moment))
		}
	}
	return out, ""
}

// swing follows the stress along a member.
func (d *stood) swing(w *swing[*moment], k int, m *moment) {
	length := d.length(d.frame.Members[k])
	for i := range swingPlaces {
		along, bends := d.result.Inside(k, float64(i)/(swingPlaces-1)*length)
		w.add(i, along/d.area[k], bends*d.edge[k]/d.moment[k], m)
	}
}

// tires judges the range of stress in a member.
func (d *stood) tires(s *Subject, i int, out *borneBy, from []schema.Input) {
	x, sec := d.x, d.x.m.Frame.Members[d.members[i]].Section
	by, low, high, lowIn, highIn := out.swings[i].worst()
	when := "unloaded"
	if highIn != nil {
		when, from = x.whenIn(highIn), append(from, x.carried.from[highIn.cylinder]...)
	}
	if lowIn != nil {
		when += ", and the other way " + x.whenIn(lowIn)
	}
	x.tires(s, sec, by, low, high, when, from, func(allowed float64) string {
		size, left := d.larger([]int{i}, out, func(out *borneBy) (float64, bool) {
			by, _, _, _, _ := out.swings[i].worst()
			return by, by <= allowed
		})
		if size == 0 {
			return fmt.Sprintf("Brace the frame, or lessen what comes onto it: not even a section %d times as large is enough", largestSection)
		}
		return fmt.Sprintf("Take a section for it that is %s: computed again, that leaves a range of %s", d.made(i, size), schema.Format(schema.StressDim, left))
	})
}

// followed are the moments that count.
func (d *stood) followed() []*moment {
	if d.only != nil {
		return d.only
	}
	var all []*moment
	for i := range d.x.carried.list {
		if m := &d.x.carried.list[i]; !m.airLost() && m.next == nil {
			all = append(all, m)
		}
	}
	return all
}

// bottom is the height of the lowest joint that is held.
func (d *stood) bottom() float64 {
	bottom := math.Inf(1)
	for _, n := range d.frame.Nodes {
		if n.Held != [3]bool{} {
			bottom = min(bottom, n.At.Y)
		}
	}
	return bottom
}

// gives says how far the frame gives way at the machine's pivots, and leans aside.
func (d *stood) gives(s *Subject, out *borneBy) {
	x := d.x
	if out.gives.in != nil {
		allowed := math.Inf(1)
		for _, c := range x.motion.cylinders {
			allowed = min(allowed, strokePart*x.m.Cylinders[c].Stroke.SI)
		}
		enough := func(out *borneBy) (float64, bool) { return out.gives.by, out.gives.by <= allowed }
		s.set("gives", schema.LengthDim, out.gives.by, append(d.blamed(out, enough), x.carried.from[out.gives.in.cylinder]...)...)
		s.worst("gives", x.whenIn(out.gives.in), rodsOut(out.gives.in.pose)...)
		s.text("givesAt", d.joints[out.gives.joint])
		s.set("givesAllowed", schema.LengthDim, allowed)
		if out.gives.by > allowed {
			s.text("remedyGives", d.stiffer("gives", out, enough))
		}
	}
	if out.sway.in != nil {
		allowed := func(o displacedIn) float64 { return (d.frame.Nodes[o.joint].At.Y - d.bottom()) * swayPart }
		enough := func(out *borneBy) (float64, bool) { return out.sway.by, out.sway.by <= allowed(out.sway) }
		s.set("sway", schema.LengthDim, out.sway.by, append(d.blamed(out, enough), x.carried.from[out.sway.in.cylinder]...)...)
		s.worst("sway", x.whenIn(out.sway.in), rodsOut(out.sway.in.pose)...)
		s.text("swayAt", d.joints[out.sway.joint])
		s.set("swayAllowed", schema.LengthDim, allowed(out.sway))
		if out.sway.by > allowed(out.sway) {
			s.text("remedySway", d.stiffer("leans", out, enough))
		}
	}
	var feet []string
	for i, n := range d.frame.Nodes {
		if n.Held == [3]bool{} {
			continue
		}
		f := out.feet[i]
		text := fmt.Sprintf("%s: %s down, %s up, %s across", d.joints[i], schema.Format(schema.ForceDim, f[0]), schema.Format(schema.ForceDim, f[1]), schema.Format(schema.ForceDim, f[2]))
		if n.Held[2] {
			text += ", " + schema.Format(schema.TorqueDim, f[3])
		}
		feet = append(feet, text)
	}
	s.text("feet", strings.Join(feet, "; "))
}

// reserve is the least of how many times what it gets the frame bears before it gives way as a whole, where its members are pressed most.
func (d *stood) reserve(out *borneBy) (least float64, how frames.Mode, in *moment) {
	s, err := d.stiff()
	if err != nil {
		return 0, how, nil
	}
	least = mostReserve
	var seen []*moment
	for i := range out.push {
		m := out.push[i].in
		if out.push[i].Push <= 0 || slices.Contains(seen, m) {
			continue
		}
		seen = append(seen, m)
		if d.put(m) != "" || s.Bear(d.loads, &d.result) != nil {
			continue
		}
		if one, by := s.Buckles(&d.result, least); one < least {
			least, how, in = one, by, m
		}
	}
	return least, how, in
}

// buckles judges whether the frame gives way as a whole.
func (d *stood) buckles(s *Subject, out *borneBy) {
	x := d.x
	reserve, how, in := d.reserve(out)
	steady := func(out *borneBy) (float64, bool) {
		r, _, _ := d.reserve(out)
		return r, r >= steadyReserve
	}
	from := d.blamed(out, steady)
	if in == nil {
		s.set("bucklingReserve", schema.NumberDim, mostReserve, from...)
		s.worst("bucklingReserve", "and more: it is looked for no further")
		return
	}
	s.set("bucklingReserve", schema.NumberDim, reserve, append(from, x.carried.from[in.cylinder]...)...)
	s.worst("bucklingReserve", x.whenIn(in), rodsOut(in.pose)...)
	switch {
	case how.Member >= 0 && how.Member < len(d.members):
		s.text("bucklesWhere", fmt.Sprintf("`%s` bows between its ends", d.members[how.Member]))
	case how.Node >= 0:
		s.text("bucklesWhere", fmt.Sprintf("`%s` goes %s", d.joints[how.Node], wayInWords(how.Way)))
	default:
		s.text("bucklesWhere", "it bows")
	}
	if reserve >= steadyReserve || x.briefly {
		return
	}
	var ways []string
	if way, left := d.firmer(out, steady); way != "" {
		ways = append(ways, fmt.Sprintf("%s: computed again, it then bears %s times what it gets", way, schema.Format(schema.NumberDim, left)))
	}
	all := make([]int, len(d.members))
	for i := range all {
		all[i] = i
	}
	if size, left := d.larger(all, out, steady); size > 0 {
		ways = append(ways, fmt.Sprintf("make all its sections %s times as large all round: computed again, it then bears %s times what it gets", schema.Format(schema.NumberDim, size), schema.Format(schema.NumberDim, left)))
	}
	if brace, left := d.braced(0, out, func(out *borneBy) (float64, bool) {
		r, _, _ := d.reserve(out)
		return 1 / r, r >= steadyReserve
	}); brace != "" {
		ways = append(ways, fmt.Sprintf("%s: then it bears %s times that", brace, schema.Format(schema.NumberDim, 1/left)))
	}
	if len(ways) == 0 {
		ways = append(ways, fmt.Sprintf("stand it on more feet, or brace it in more than one place: neither a single brace nor sections %d times as large are enough", largestSection))
	}
	s.text("remedyBuckles", capital(strings.Join(ways, ", or ")))
}

// sections are those of the members, the one first that is stressed most by what it bears.
func (d *stood) sections(out *borneBy) (from []schema.Input) {
	order, used := make([]int, len(d.members)), make([]float64, len(d.members))
	for i := range order {
		order[i], used[i] = i, out.stress[i].Stress/d.yield(i)
	}
	slices.SortStableFunc(order, func(a, b int) int { return compareDown(used[a], used[b]) })
	for _, i := range order {
		from = append(from, d.x.m.Frame.Members[d.members[i]].Section.Moment)
	}
	return from
}

func compareDown(a, b float64) int {
	switch {
	case a > b*(1+tieBreak):
		return -1
	case b > a*(1+tieBreak):
		return 1
	}
	return 0
}

func (d *stood) yield(i int) float64 {
	sec := d.x.m.Frame.Members[d.members[i]].Section
	if row, err := d.x.m.Material(sec.Material.Value); err == nil {
		return row.Yield
	}
	return sec.Yield.SI
}

// member judges one member of the frame.
func (d *stood) member(s *Subject, i int, out *borneBy) {
	x, sec := d.x, d.x.m.Frame.Members[d.members[i]].Section
	w, p := out.stress[i], out.push[i]
	allowed := d.yield(i) / linkReserve
	from := sectionInputs(sec, false)
	if math.Abs(w.Along)/d.area[i] > w.Stress/2 {
		from = sectionInputs(sec, true)
	}
	m := d.frame.Members[i]
	s.set("stress", schema.StressDim, w.Stress, append(from, x.carried.from[w.in.cylinder]...)...)
	s.worst("stress", x.whenIn(w.in), rodsOut(w.in.pose)...)
	s.set("stressAllowed", schema.StressDim, allowed, sec.Material, sec.Yield)
	s.set("bends", schema.TorqueDim, math.Abs(w.Bends))
	s.set("along", schema.ForceDim, math.Abs(w.Along))
	s.text("stressedAt", d.placed(m, w.At))
	e := x.elasticity(sec)
	weaker, least := sec.Moment, sec.Moment.SI
	if sec.Lateral.Given() && sec.Lateral.SI < least {
		weaker, least = sec.Lateral, sec.Lateral.SI
	}
	length := d.length(m)
	s.set("compression", schema.ForceDim, p.Push, append([]schema.Input{weaker}, x.carried.from[p.in.cylinder]...)...)
	s.worst("compression", x.whenIn(p.in), rodsOut(p.in.pose)...)
	s.set("compressionAllowed", schema.ForceDim, min(columns.Gives(e*least, length, columns.BothTurn)/buckleReserve, allowed*d.area[i]), weaker, sec.Material, sec.Elasticity)
	s.set("momentForBuckling", schema.MomentDim, buckleReserve*p.Push*length*length/(math.Pi*math.Pi*e))
	if out.swings != nil {
		d.tires(s, i, out, from)
	}
	if w.Stress <= allowed || x.briefly {
		return
	}
	enough := func(out *borneBy) (float64, bool) { return out.stress[i].Stress, out.stress[i].Stress <= allowed }
	var ways []string
	if size, left := d.larger([]int{i}, out, enough); size > 0 {
		ways = append(ways, fmt.Sprintf("take a section for it that is %s: computed again, that leaves %s", d.made(i, size), schema.Format(schema.StressDim, left)))
	}
	if brace, left := d.braced(i, out, enough); brace != "" {
		ways = append(ways, fmt.Sprintf("%s: that leaves %s", brace, schema.Format(schema.StressDim, left)))
	}
	if len(ways) == 0 {
		ways = append(ways, fmt.Sprintf("stand the frame on more feet, nearer to where the machine pushes, or lessen the %s that bend it: neither a section %d times as large nor a single brace is enough", schema.Format(schema.TorqueDim, math.Abs(w.Bends)), largestSection))
	}
	s.text("remedyStress", capital(strings.Join(ways, ", or ")))
}

// placed says where along a member something is.
func (d *stood) placed(m frames.Member, at float64) string {
	switch length := d.length(m); {
	case at < onMember:
		return "at " + d.joints[m.From]
	case at > length-onMember:
		return "at " + d.joints[m.To]
	}
	return fmt.Sprintf("%s from %s towards %s", schema.Format(schema.LengthDim, at), d.joints[m.From], d.joints[m.To])
}
