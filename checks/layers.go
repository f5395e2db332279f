package checks

import (
	"fmt"
	"math"
	"slices"

	"trammel.example/schema"
)

// planeTolerance in m is by how far the two ends of a part may lie in different planes. Common practice, no source: as much as running
// gaps take up.
const planeTolerance = 0.5e-3

// An interval is a stretch along the pins, m.
type interval struct{ low, high float64 }

func (i interval) middle() float64 { return (i.low + i.high) / 2 }

func (i interval) meets(o interval) bool {
	return min(i.high, o.high)-max(i.low, o.low) > rounding
}

func (i interval) moved(by float64) interval { return interval{i.low + by, i.high + by} }

// hull is the stretch from the first to the last of several.
func hull(all []interval) interval {
	out := all[0]
	for _, i := range all[1:] {
		out = interval{min(out.low, i.low), max(out.high, i.high)}
	}
	return out
}

// A stack is what is on one pin, and the place of each member along it from the first face (nominal thicknesses). What has room to move
// to and fro lies in the middle of its room.
type stack struct {
	point   string
	members []member
	at      []interval
}

func (x *examiner) stackOf(point string, p schema.Pivot) stack {
	s := stack{point: point, members: x.members(p)}
	s.at = make([]interval, len(s.members))
	room := holding(p)
	first, last := 0, 0
	if room.Given() {
		first, last = inner(p, s.members)
	}
	in := s.members[first:last]
	end := lay(s.members[:first], s.at[:first], 0)
	if last > first {
		wide := middleOf(room.Least, room.Most)
		lay(in, s.at[first:last], end+(wide-lay(in, make([]interval, len(in)), 0))/2)
		end += wide
	}
	lay(s.members[last:], s.at[last:], end)
	return s
}

// lay places members one after the other and returns where the last one ends.
func lay(ms []member, at []interval, from float64) float64 {
	for i := 0; i < len(ms); i++ {
		thick := middleOf(ms[i].thick.Min, ms[i].thick.Max)
		at[i] = interval{from, from + thick}
		from += thick
		other := slices.IndexFunc(ms[i+1:], func(m member) bool { return m.fork && m.what == ms[i].what })
		if !ms[i].fork || other < 0 {
			continue
		}
		held := ms[i+1 : i+1+other]
		gap := middleOf(ms[i].end.Gap.Least, ms[i].end.Gap.Most)
		lay(held, at[i+1:], from+(gap-lay(held, make([]interval, len(held)), 0))/2)
		i += 1 + other
		at[i] = interval{from + gap, from + gap + thick}
		from += gap + thick
	}
	return from
}

func middleOf(a, b float64) float64 { return (a + b) / 2 }

// layersOf are the places of a link, or of a cylinder's end, in a stack. A block is screwed to its link wherever the pin wants it, and
// says nothing of the link's plane.
func (s *stack) layersOf(body string) []interval {
	var all []interval
	for i, m := range s.members {
		if m.body == body && !m.Block.Given() {
			all = append(all, s.at[i])
		}
	}
	return all
}

// bodies are the links and cylinders that have a plane on this pin, in the order of the stack.
func (s *stack) bodies() []string {
	var names []string
	for _, m := range s.members {
		if m.body != "" && !m.Block.Given() && !slices.Contains(names, m.body) {
			names = append(names, m.body)
		}
	}
	return names
}

func (s *stack) isLink(body string) bool {
	return slices.ContainsFunc(s.members, func(m member) bool { return m.Link.Value == body })
}

// A closing is a part whose two ends the other parts bring into planes of their own: how far the second lies in front of the first.
type closing struct {
	body   string
	ends   [2]string // points
	offset float64   // m
}

// Planes are the places of all parts along the pins, each as its stacks and the parts between them have it.
//
// Every pin has one unknown, the place z of the first face of its stack. A part is flat: its middle has the same z on each of its pins.
// Parts are taken one after the other, moving links before fixed ones, then cylinders, and last the links whose plane on a pin may be one
// or another; each ties the pins it goes through together, and one that finds them tied already closes a loop, with an offset.
type planes struct {
	stacks   map[string]*stack
	tied     map[string]tie
	closings []closing
}

// A tie is the pin that another's place is counted from, and how far in front of that it is.
type tie struct {
	to string
	by float64
}

func (x *examiner) planes(stacks map[string]*stack) *planes {
	p := &planes{stacks: stacks, tied: map[string]tie{}}
	on := map[string][]string{} // pins of each part
	for _, point := range sorted(stacks) {
		p.tied[point] = tie{point, 0}
		for _, b := range stacks[point].bodies() {
			on[b] = append(on[b], point)
		}
	}
	var order []string
	for _, ground := range []bool{false, true} {
		for _, l := range x.motion.links {
			if x.m.Links[l].Ground.Value == ground {
				order = append(order, l)
			}
		}
	}
	order = append(order, x.motion.cylinders...)
	for _, unclear := range []bool{false, true} {
		for _, body := range order {
			if p.unclear(body, on[body]) == unclear {
				p.join(body, on[body])
			}
		}
	}
	return p
}

// unclear says that a part is single on one of its pins and has two cheeks on another.
func (p *planes) unclear(body string, pins []string) bool {
	single, double := false, false
	for _, point := range pins {
		s := p.stacks[point]
		layers := len(s.layersOf(body))
		single, double = single || layers == 1, double || layers > 1 && s.isLink(body)
	}
	return single && double
}

// join ties the pins of a part together, and notes the largest offset where they were already.
func (p *planes) join(body string, pins []string) {
	worst, closes := closing{body: body}, false
	for i, to := range pins {
		if i == 0 {
			continue
		}
		from := pins[0]
		a, b := p.tied[from], p.tied[to]
		if a.to != b.to {
			by := a.by + hull(p.stacks[from].layersOf(body)).middle() - hull(p.stacks[to].layersOf(body)).middle()
			for q, t := range p.tied {
				if t.to == b.to {
					p.tied[q] = tie{a.to, t.by - b.by + by}
				}
			}
			continue
		}
		offset := math.Inf(1)
		for _, u := range p.planesOf(body, from, to) {
			for _, v := range p.planesOf(body, to, from) {
				if d := b.by + v - a.by - u; math.Abs(d) < math.Abs(offset) {
					offset = d
				}
			}
		}
		if math.Abs(offset) < rounding {
			offset = 0
		}
		if !closes || math.Abs(offset) > math.Abs(worst.offset) {
			worst.ends, worst.offset, closes = [2]string{from, to}, offset, true
		}
	}
	if closes {
		p.closings = append(p.closings, worst)
	}
}

// planesOf are the planes of a part on a pin, from the first face, that may be those of the other pin: its middle; of a link with two
// cheeks, where it is single on the other pin, also each cheek's.
func (p *planes) planesOf(body, point, other string) []float64 {
	s := p.stacks[point]
	at := s.layersOf(body)
	all := []float64{hull(at).middle()}
	if s.isLink(body) && len(at) > 1 && len(p.stacks[other].layersOf(body)) == 1 {
		for _, i := range at {
			all = append(all, i.middle())
		}
	}
	return all
}

// offsetOf is how far the ends of a part lie apart.
func (p *planes) offsetOf(body string) float64 {
	most := 0.0
	for _, c := range p.closings {
		if c.body == body {
			most = max(most, math.Abs(c.offset))
		}
	}
	return most
}

// flat finds in which planes the parts lie.
func (x *examiner) flat() *planes {
	stacks := map[string]*stack{}
	for _, point := range x.motion.points {
		if p, ok := x.m.Pivots[point]; ok {
			s := x.stackOf(point, p)
			stacks[point] = &s
		}
	}
	return x.planes(stacks)
}

// askew sets how far the two ends of a part lie apart along the pins.
func (x *examiner) askew(p *planes) {
	for _, c := range p.closings {
		point, layer := p.astray(c)
		s := newSubject(x.m, "plane", c.body, layer.At)
		x.add(s)
		s.set("outOfPlane", schema.LengthDim, math.Abs(c.offset), layer)
		s.text("ends", c.ends[0]+" and "+c.ends[1])
		if math.Abs(c.offset) > planeTolerance {
			s.text("remedyPlane", x.intoPlane(p, c, point))
		}
	}
}

// astray is on which of its two pins a part lies farther from the other parts, and its layer there.
func (p *planes) astray(c closing) (point string, layer schema.Text) {
	most := -1.0
	for _, end := range c.ends {
		s := p.stacks[end]
		own := hull(s.layersOf(c.body)).middle()
		beside := 0.0
		for _, b := range s.bodies() {
			beside = max(beside, math.Abs(hull(s.layersOf(b)).middle()-own))
		}
		if beside <= most+rounding {
			continue
		}
		most, point = beside, end
		m := s.members[slices.IndexFunc(s.members, func(m member) bool { return m.body == c.body && !m.Block.Given() })]
		layer = m.Link
		if m.Cylinder.Given() {
			layer = m.Cylinder
		}
	}
	return point, layer
}

// intoPlane looks for the least change of a stack that brings both ends of a part into one plane, and leaves all others in theirs. It
// begins at the pin where the part is astray, and goes on to the pins of its neighbours.
func (x *examiner) intoPlane(p *planes, c closing, astray string) string {
	points := []string{astray, c.ends[0], c.ends[1]}
	for _, point := range sorted(p.stacks) {
		near := func(body string) bool {
			return len(p.stacks[c.ends[0]].layersOf(body))+len(p.stacks[c.ends[1]].layersOf(body)) > 0
		}
		if !slices.Contains(points, point) && slices.ContainsFunc(p.stacks[point].bodies(), near) {
			points = append(points, point)
		}
	}
	for _, change := range []func(*planes, closing, string) string{x.shifted, x.spacer, x.divided} {
		for _, point := range points {
			if text := change(p, c, point); text != "" {
				return text
			}
		}
	}
	by := c.offset
	if astray == c.ends[1] {
		by = -by
	}
	towards := "towards the viewer"
	if by < 0 {
		towards = "to the back"
	}
	return fmt.Sprintf("move %s by %s along the pin at %s, %s, and stack the others around it", c.body, schema.Format(schema.LengthDim, math.Abs(by)), astray, towards)
}

// changed are the planes with another stack in the place of one.
func (x *examiner) changed(p *planes, s stack) *planes {
	stacks := map[string]*stack{}
	for point, old := range p.stacks {
		stacks[point] = old
	}
	stacks[s.point] = &s
	return x.planes(stacks)
}

// closes says whether a changed machine has a part in its plane and none farther out of it than before.
func closes(before, after *planes, body string) bool {
	if after.offsetOf(body) > planeTolerance/10 {
		return false
	}
	for _, c := range after.closings {
		if math.Abs(c.offset) > max(planeTolerance/10, before.offsetOf(c.body)+rounding) {
			return false
		}
	}
	return true
}

// shifted tries the part elsewhere on one of its pins, with less packing on one side of it and as much more on the other.
func (x *examiner) shifted(p *planes, c closing, point string) string {
	old := p.stacks[point]
	i := slices.IndexFunc(old.members, func(m member) bool { return m.body == c.body && !m.Block.Given() })
	if i < 0 || len(old.layersOf(c.body)) > 1 {
		return ""
	}
	by := c.offset
	if point == c.ends[1] {
		by = -by
	}
	before, behind := old.packing(i), old.packing(i+1)
	less, more := between(old, i, point), between(old, i+1, point)
	if by > 0 {
		before, behind = behind, before
		less, more = more, less
	}
	if before < math.Abs(by)-rounding || behind == 0 {
		return ""
	}
	s := stack{point: point, members: old.members, at: slices.Clone(old.at)}
	s.at[i] = s.at[i].moved(by)
	if !closes(p, x.changed(p, s), c.body) {
		return ""
	}
	thick := schema.Format(schema.LengthDim, math.Abs(by))
	return fmt.Sprintf("take %s out of the spacers and washers %s, and add as much %s", thick, less, more)
}

func between(s *stack, i int, point string) string {
	return fmt.Sprintf("between %s and %s at %s", s.before(i), s.behind(i), point)
}

// spacer looks for the place in a stack where a spacer as thick as the offset, or one less thick by it, closes the loop.
func (x *examiner) spacer(p *planes, c closing, point string) string {
	old := p.stacks[point]
	thick := math.Abs(c.offset)
	for i := 1; i < len(old.members); i++ {
		if old.inFork(i) {
			continue
		}
		for _, by := range []float64{thick, -thick} {
			packing := old.packing(i)
			if by < 0 && packing < thick-rounding {
				continue
			}
			s := stack{point: point, members: old.members, at: slices.Clone(old.at)}
			for k := i; k < len(s.at); k++ {
				s.at[k] = s.at[k].moved(by)
			}
			if !closes(p, x.changed(p, s), c.body) {
				continue
			}
			if by > 0 {
				return fmt.Sprintf("add a spacer of %s %s, and as much to the length of the pin", schema.Format(schema.LengthDim, thick), between(old, i, point))
			}
			return fmt.Sprintf("take %s out of the spacers and washers %s", schema.Format(schema.LengthDim, thick), between(old, i, point))
		}
	}
	return ""
}

// inFork says whether a place in the stack lies between the cheeks of a fork.
func (s *stack) inFork(i int) bool {
	for _, m := range s.members[:i] {
		if m.fork && slices.ContainsFunc(s.members[i:], func(o member) bool { return o.fork && o.what == m.what }) {
			return true
		}
	}
	return false
}

// packing is the thickness of the washers and spacers around a place in the stack.
func (s *stack) packing(i int) float64 {
	sum := 0.0
	for k := i - 1; k >= 0 && s.members[k].body == ""; k-- {
		sum += s.at[k].high - s.at[k].low
	}
	for k := i; k < len(s.members) && s.members[k].body == ""; k++ {
		sum += s.at[k].high - s.at[k].low
	}
	return sum
}

func (s *stack) before(i int) string {
	for k := i - 1; k >= 0; k-- {
		if s.members[k].body != "" {
			return s.members[k].what
		}
	}
	return "the first face"
}

func (s *stack) behind(i int) string {
	for _, m := range s.members[i:] {
		if m.body != "" {
			return m.what
		}
	}
	return "the last face"
}

// divided tries the link beside a part as two flats, one on either side of it.
func (x *examiner) divided(p *planes, c closing, point string) string {
	old := p.stacks[point]
	own := old.layersOf(c.body)
	for k, m := range old.members {
		if !m.Link.Given() || m.body == c.body || len(own) != 1 || len(old.layersOf(m.body)) > 1 {
			continue
		}
		half := (old.at[k].high - old.at[k].low) / 2
		first, second := m, m
		s := stack{point: point, members: append(slices.Delete(slices.Clone(old.members), k, k+1), first, second)}
		s.at = append(slices.Delete(slices.Clone(old.at), k, k+1), interval{own[0].low - half, own[0].low}, interval{own[0].high, own[0].high + half})
		if closes(p, x.changed(p, s), c.body) {
			return fmt.Sprintf("make %s of two flats of %s at %s, one on either side of %s, with equal spacers", m.body, schema.Format(schema.LengthDim, half), point, c.body)
		}
	}
	return ""
}
