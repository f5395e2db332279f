package drawing

import (
	"fmt"
	"math"
	"strings"

	"trammel.example/schema"
	"trammel.example/schema/standards"
)

// A section is a fastening cut along its screw, with lengths in m from under the head downwards.
type section struct {
	f        schema.Fastening
	thread   standards.Thread
	head     standards.Head
	hole     float64 // diameter of what the screw passes through
	half     float64 // half the width of the parts
	grip     float64
	shank    float64
	from, to float64 // where the other thread begins and ends
	floor    float64 // what the tip would meet; +Inf for nothing
	scale    float64
	axis     float64 // px
	top      float64 // px of the underside of the head
	notes    []note
}

// A note is what is written beside a height of the section.
type note struct {
	at   float64 // px
	text string
	edge float64 // px from which its line begins
}

// Fastening draws one fastening of a machine in section, to scale, in its nominal sizes.
func Fastening(m *schema.Machine, name, id string) (Picture, error) {
	f := m.Fastenings[name]
	s := section{f: f, floor: math.Inf(1)}
	var err error
	if s.thread, err = standards.ThreadByName(f.Screw.Thread.Value); err != nil {
		return Picture{}, err
	}
	if s.head, err = standards.HeadFor(f.Screw.Head.Value, s.thread.Name); err != nil {
		return Picture{}, err
	}
	s.hole = 1.1 * s.thread.Nominal
	if hole, err := standards.ClearanceHoleFor(s.thread.Name); err == nil {
		s.hole = hole.Medium
	}
	s.shank = s.head.Shank(f.Screw.Length.SI)
	if f.Screw.Shank.Given() {
		s.shank = f.Screw.Shank.SI
	}
	s.half = max(s.head.Across, 2*s.thread.Nominal) * 0.9
	for _, l := range f.Stack {
		s.grip += thickness(l).SI
		if w, ok := washer(l); ok {
			s.half = max(s.half, 0.75*w.Outer)
		}
	}
	s.into()
	deepest := max(s.to, f.Screw.Length.SI)
	if !math.IsInf(s.floor, 1) {
		deepest = max(deepest, s.floor)
	}
	above := s.head.Height
	if s.head.LengthWithHead {
		above = 0
	}
	height := above + deepest + s.thread.Nominal
	s.scale = min(360/height, 190/(2*s.half))
	s.axis, s.top = 24+s.half*s.scale, 30+above*s.scale
	return s.draw(name, id, 30+height*s.scale+34), nil
}

func thickness(l schema.Clamped) schema.Size {
	switch {
	case l.Washer.Given():
		return l.Washer.Size
	case l.Spring.Given():
		return l.Spring
	}
	return l.Thick
}

// washer is the standard washer of a layer.
func washer(l schema.Clamped) (standards.Washer, bool) {
	if !l.Washer.Thread.Given() {
		return standards.Washer{}, false
	}
	series := l.Washer.Series.Value
	if series == "" {
		series = "plain"
	}
	w, err := standards.WasherFor(series, l.Washer.Thread.Value)
	return w, err == nil
}

// into finds where the other thread is, and what lies behind it.
func (s *section) into() {
	switch in := s.f.Into; {
	case in.Nut.Given():
		height := 0.8 * s.thread.Nominal
		if row, err := standards.NutFor(in.Nut.Style.Value, s.thread.Name); err == nil {
			height = row.Height
			s.half = max(s.half, 0.75*row.Key)
		}
		if in.Nut.Height.Given() {
			height = in.Nut.Height.SI
		}
		s.from, s.to = s.grip, s.grip+height
		if in.Nut.Room.Given() {
			s.floor = s.to + in.Nut.Room.SI
		}
	case in.SlotNut.Given():
		slot := in.Profile.Slot
		s.from = s.grip + slot.Lip.SI
		s.to = s.from + in.SlotNut.Thick.SI
		s.floor = s.grip + slot.Depth.SI
		s.half = max(s.half, 1.6*slot.Width.SI)
	default:
		s.from, s.to = s.grip, s.grip+in.Tapped.Depth.SI
		if !in.Tapped.Through.Value {
			s.floor = s.to
		}
	}
}

func (s *section) y(z float64) float64 { return s.top + z*s.scale }

// both draws a rectangle on both sides of the axis: from an inner to an outer radius, between two heights.
func (s *section) both(p *pen, class, fill string, inner, outer, from, to float64) {
	for _, side := range []float64{-1, 1} {
		x := s.axis + min(side*inner, side*outer)*s.scale
		p.rect(class, x, s.y(from), (outer-inner)*s.scale, (to-from)*s.scale)
		if fill != "" {
			p.tag("rect", "fill", "url(#"+fill+")", "x", x, "y", s.y(from), "width", (outer-inner)*s.scale, "height", (to-from)*s.scale)
		}
	}
}

func (s *section) note(from, to, edge float64, text string) {
	s.notes = append(s.notes, note{(s.y(from) + s.y(to)) / 2, text, s.axis + edge*s.scale})
}

func mm(si float64) string { return schema.Format(schema.LengthDim, si) }

func (s *section) draw(name, id string, height float64) Picture {
	width := s.axis + s.half*s.scale + 290
	says := s.says()
	p := &pen{}
	p.begin(id, "Section of fastening "+name, says, width, height)
	p.open("defs")
	for i, d := range []string{"M-1 9L9 -1M-1 1L1 -1M7 9L9 7", "M-1 -1L9 9M7 -1L9 1M-1 7L1 9"} {
		p.open("pattern", "id", fmt.Sprintf("%s-hatch%d", id, i), "width", "8", "height", "8", "patternUnits", "userSpaceOnUse")
		p.tag("path", "class", "hatch", "d", d)
		p.close("pattern")
	}
	p.close("defs")
	p.text(12, 18, "start", "small strong", short(name, 34)+": "+s.f.Screw.Thread.Value+" × "+s.f.Screw.Length.String())
	s.stack(p, id)
	s.other(p, id)
	s.screw(p)
	s.meshed(p)
	p.tag("line", "class", "thin", "stroke-dasharray", "10 3 2 3", "x1", s.axis, "y1", 26.0, "x2", s.axis, "y2", height-26)
	s.write(p, width, height)
	d := Mechanism{}
	d.ruler(p, s.scale, height-10)
	return Picture{id, "Fastening " + name, p.end()}
}

// stack draws what is clamped.
func (s *section) stack(p *pen, id string) {
	z, parts := 0.0, 0
	for _, l := range s.f.Stack {
		t := thickness(l).SI
		switch w, ok := washer(l); {
		case l.Washer.Given():
			if !ok {
				w.Inner, w.Outer = s.hole, 2*s.thread.Nominal
			}
			s.both(p, "steel", "", w.Inner/2, w.Outer/2, z, z+t)
			s.note(z, z+t, w.Outer/2, "washer "+mm(t))
		case l.Spring.Given():
			s.both(p, "steel", "", s.hole/2, s.thread.Nominal, z, z+t)
			s.note(z, z+t, s.thread.Nominal, "spring washer "+mm(t))
		default:
			inner := s.hole / 2
			s.both(p, "part", fmt.Sprintf("%s-hatch%d", id, parts%2), inner, s.half, z, z+t)
			s.note(z, z+t, s.half, short(l.Part.Value, 22)+" "+mm(t))
			parts++
		}
		z += t
	}
}

// other draws what the screw goes into.
func (s *section) other(p *pen, id string) {
	hatch := id + "-hatch1"
	switch in := s.f.Into; {
	case in.Nut.Given():
		across := 1.6 * s.thread.Nominal
		if row, err := standards.NutFor(in.Nut.Style.Value, s.thread.Name); err == nil {
			across = row.Key
		}
		s.both(p, "other", hatch, s.thread.NutMinor/2, across/2, s.from, s.to)
		s.note(s.from, s.to, across/2, in.Nut.Style.Value+" nut "+mm(s.to-s.from))
		if !math.IsInf(s.floor, 1) {
			p.line("ground", s.axis-s.half*s.scale, s.y(s.floor), s.axis+s.half*s.scale, s.y(s.floor))
			s.note(s.floor, s.floor, s.half, "what is behind the nut")
		}
	case in.SlotNut.Given():
		slot := in.Profile.Slot
		wide := min(1.2*slot.Width.SI, s.half*0.85) // the profile's drawing has it; here it is only room
		s.both(p, "part", id+"-hatch0", slot.Width.SI/2, s.half, s.grip, s.from)
		s.both(p, "part", id+"-hatch0", wide, s.half, s.from, s.floor)
		p.rect("part", s.axis-s.half*s.scale, s.y(s.floor), 2*s.half*s.scale, s.thread.Nominal/3*s.scale)
		s.both(p, "other", hatch, s.thread.NutMinor/2, wide*0.92, s.from, s.to)
		s.note(s.grip, s.from, s.half, "lip "+mm(slot.Lip.SI))
		s.note(s.from, s.to, wide*0.92, "slot nut "+mm(in.SlotNut.Thick.SI))
		s.note(s.floor, s.floor, s.half, "bottom of the slot, "+mm(slot.Depth.SI)+" deep")
	default:
		hole := in.Tapped
		drill := s.thread.NutMinor
		if hole.Drill.Given() {
			drill = hole.Drill.SI
		}
		bottom := s.to
		if hole.Drilled.Given() && !hole.Through.Value {
			bottom = max(bottom, hole.Drilled.SI+s.grip)
		}
		end := max(bottom, s.f.Screw.Length.SI) + s.thread.Nominal/2
		if hole.Through.Value {
			end = s.to
		}
		s.both(p, "other", hatch, drill/2, s.half, s.grip, bottom)
		if !hole.Through.Value {
			p.rect("other", s.axis-s.half*s.scale, s.y(bottom), 2*s.half*s.scale, (end-bottom)*s.scale)
			p.path("void", true, [2]float64{s.axis - drill/2*s.scale, s.y(bottom)}, [2]float64{s.axis + drill/2*s.scale, s.y(bottom)}, [2]float64{s.axis, s.y(bottom) + drill/2*s.scale*math.Tan(math.Pi/6)})
		}
		for _, side := range []float64{-1, 1} { // ISO 6410-1: a thin line at the outer diameter, and one across where the thread ends
			x := s.axis + side*s.thread.Nominal/2*s.scale
			p.line("thin", x, s.y(s.from), x, s.y(s.to))
			p.line("thin", x, s.y(s.to), s.axis+side*drill/2*s.scale, s.y(s.to))
		}
		s.note(s.from, s.to, s.half, "thread "+mm(hole.Depth.SI)+" deep in "+short(hole.Material.Value, 18))
	}
}

// screw draws the screw with its thread.
func (s *section) screw(p *pen) {
	length, d := s.f.Screw.Length.SI, s.thread.Nominal
	across, high, key := s.head.Across*s.scale, s.head.Height*s.scale, s.head.Key*s.scale
	switch {
	case s.head.LengthWithHead:
		p.path("steel", true, [2]float64{s.axis - across/2, s.top}, [2]float64{s.axis + across/2, s.top},
			[2]float64{s.axis + d/2*s.scale, s.top + high}, [2]float64{s.axis - d/2*s.scale, s.top + high})
	case s.f.Screw.Head.Value == "hex":
		p.rect("steel", s.axis-across/2, s.top-high, across, high)
		for _, side := range []float64{-1, 1} {
			p.line("thin", s.axis+side*key/4, s.top-high, s.axis+side*key/4, s.top)
		}
	default:
		p.rect("steel", s.axis-across/2, s.top-high, across, high)
		p.rect("void", s.axis-key/2, s.top-high, key, high*0.5)
	}
	p.rect("steel", s.axis-d/2*s.scale, s.top, d*s.scale, length*s.scale)
	root := s.thread.ScrewMinor / 2 * s.scale
	for _, side := range []float64{-1, 1} { // ISO 6410-1: a thin line at the root
		p.line("thin", s.axis+side*root, s.y(s.shank), s.axis+side*root, s.y(length))
	}
	if s.shank > 0 {
		p.line("thin", s.axis-d/2*s.scale, s.y(s.shank), s.axis+d/2*s.scale, s.y(s.shank))
	}
}

// engaged is where the two threads are in mesh.
func (s *section) engaged() (from, to float64) {
	return max(s.from, s.shank), min(s.to, s.f.Screw.Length.SI)
}

// meshed marks the thread in mesh, and the gap before the tip or how far it is in what it meets.
func (s *section) meshed(p *pen) {
	length, d := s.f.Screw.Length.SI, s.thread.Nominal
	if from, to := s.engaged(); to > from {
		s.both(p, "mesh", "", s.thread.ScrewMinor/2, d/2, from, to)
		s.note(from, to, d/2, "in mesh "+mm(to-from))
	}
	if s.shank > s.from {
		s.both(p, "clash", "", s.thread.NutMinor/2, d/2, s.from, min(s.shank, s.to))
		s.note(s.from, s.shank, d/2, "CLASH: plain shank in the thread")
	}
	switch off := s.floor - length; {
	case math.IsInf(s.floor, 1):
		s.note(length, length, d/2, "tip "+beyond(length-s.to))
	case off < 0:
		p.rect("clash", s.axis-d/2*s.scale, s.y(s.floor), d*s.scale, -off*s.scale)
		s.note(s.floor, length, d/2, "CLASH: tip "+mm(-off)+" too deep")
	default:
		s.note(length, s.floor, d/2, "gap before the tip "+mm(off))
	}
}

func beyond(x float64) string {
	if x < 0 {
		return mm(-x) + " inside the thread"
	}
	return mm(x) + " beyond the thread"
}

// says is the section in one sentence.
func (s *section) says() string {
	var parts []string
	for _, l := range s.f.Stack {
		parts = append(parts, mm(thickness(l).SI))
	}
	text := fmt.Sprintf("%s screw %s × %s through %s, in nominal sizes.", s.f.Screw.Head.Value, s.f.Screw.Thread.Value, s.f.Screw.Length, strings.Join(parts, ", "))
	if from, to := s.engaged(); to > from {
		text += " Thread in mesh: " + mm(to-from) + "."
	} else {
		text += " No thread is in mesh."
	}
	if off := s.floor - s.f.Screw.Length.SI; off < 0 {
		text += " The tip meets what is behind: it is " + mm(-off) + " too long."
	} else if !math.IsInf(off, 1) {
		text += " Gap before the tip: " + mm(off) + "."
	}
	return text
}

// write sets the notes one below the other, each joined to its place.
func (s *section) write(p *pen, width, height float64) {
	const row = 16.0
	order := s.notes
	for i := range order { // in order of height, those of one height as they came
		for k := i; k > 0 && order[k].at < order[k-1].at; k-- {
			order[k], order[k-1] = order[k-1], order[k]
		}
	}
	rows := make([]float64, len(order))
	last := 24.0
	for i, n := range order {
		last = max(last+row, n.at)
		rows[i] = last
	}
	lowest := height - 26
	for i := len(rows) - 1; i >= 0; i-- {
		rows[i] = min(rows[i], lowest)
		lowest = rows[i] - row
	}
	x := s.axis + s.half*s.scale + 44
	for i, n := range order {
		p.path("thin", false, [2]float64{n.edge, n.at}, [2]float64{s.axis + s.half*s.scale + 10, n.at}, [2]float64{x - 10, rows[i]}, [2]float64{x - 3, rows[i]})
		class := "small"
		if strings.HasPrefix(n.text, "CLASH") {
			class = "small strong"
		}
		p.text(x, rows[i]+4, "start", class, n.text)
	}
}
