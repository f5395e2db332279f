package drawing

import (
	"fmt"
	"math"
	"strings"

	"trammel.example/checks"
)

const (
	pivotWidth = 360.0 // px: a phone shows it at its size
	pivotHalf  = 56.0  // the most that half the width of the parts takes up of it
	pivotLong  = 300.0 // the most that the stack takes up of the height
	pivotAbove = 52.0  // room for the title, and the pin's end
)

// A pivotPen draws the section of a pivot: its pin upright, the first face of its stack above.
type pivotPen struct {
	pen
	s          checks.PivotSection
	id         string
	d          float64 // of the pin, m
	scale, top float64
	axis, half float64 // px; m
	notes      []note
}

// Pivot draws what lies along a pin in section, to scale, in nominal sizes.
func Pivot(s checks.PivotSection, id string) Picture {
	p := &pivotPen{s: s, id: id, d: s.Pin.Diameter.SI}
	least, most := s.Layers[0].From, s.Layers[0].To
	for _, l := range s.Layers {
		least, most = min(least, l.From), max(most, l.To)
		p.half = max(p.half, min(3*p.d, p.outside(l))/2)
	}
	p.scale = min(pivotLong/(most-least), pivotHalf/p.half)
	ends := 1.2 * p.d * p.scale
	p.axis, p.top = 14+pivotHalf, pivotAbove+ends-least*p.scale
	rows := 16*float64(len(s.Layers)+len(s.Gaps)+3) + pivotAbove
	height := max(pivotAbove+2*ends+(most-least)*p.scale, rows) + 30
	title := "Section of pivot " + s.Point
	p.begin(id, title, p.says(), pivotWidth, height)
	p.open("defs")
	for i, d := range []string{"M-1 9L9 -1M-1 1L1 -1M7 9L9 7", "M-1 -1L9 9M7 -1L9 1M-1 7L1 9"} {
		p.open("pattern", "id", fmt.Sprintf("%s-hatch%d", id, i), "width", "8", "height", "8", "patternUnits", "userSpaceOnUse")
		p.tag("path", "class", "hatch", "d", d)
		p.close("pattern")
	}
	p.close("defs")
	p.text(12, 18, "start", "small strong", short(s.Point, 20)+": pin "+s.Pin.Diameter.String()+", turns with "+short(s.Pin.TurnsWith.Value, 16))
	p.layers()
	p.onPin(least, most)
	p.tag("line", "class", "thin", "stroke-dasharray", "10 3 2 3", "x1", p.axis, "y1", pivotAbove-16, "x2", p.axis, "y2", min(height-26, p.y(most)+ends+16))
	fastening := section{axis: p.axis, half: p.half, scale: p.scale, notes: p.notes}
	fastening.write(&p.pen, pivotWidth, height)
	(&Mechanism{}).ruler(&p.pen, p.scale, height-10)
	return Picture{id, title, p.end()}
}

// outside is how wide a layer is drawn; what the spec does not say is taken to be usual.
func (p *pivotPen) outside(l checks.SectionLayer) float64 {
	switch {
	case l.Outside > 0:
		return l.Outside
	case l.Kind == checks.Packing:
		return 1.7 * p.d
	case l.Kind == checks.Bearing:
		return 2.4 * p.d
	}
	return 2.2 * p.d
}

func (p *pivotPen) y(z float64) float64 { return p.top + z*p.scale }

func (p *pivotPen) note(from, to, edge float64, text string) {
	p.notes = append(p.notes, note{(p.y(from) + p.y(to)) / 2, text, p.axis + edge*p.scale})
}

// both draws a rectangle on both sides of the axis.
func (p *pivotPen) both(class, fill string, inner, outer, from, to float64) {
	for _, side := range []float64{-1, 1} {
		x := p.axis + min(side*inner, side*outer)*p.scale
		p.rect(class, x, p.y(from), (outer-inner)*p.scale, (to-from)*p.scale)
		if fill != "" {
			p.tag("rect", "fill", "url(#"+fill+")", "x", x, "y", p.y(from), "width", (outer-inner)*p.scale, "height", (to-from)*p.scale)
		}
	}
}

// words are what is written beside a layer.
func (p *pivotPen) words(l checks.SectionLayer) string {
	text := short(l.What, 18) + " " + mm(l.Thick)
	switch {
	case l.Clamped && l.Kind == checks.Runs:
		return text + ", runs, clamped"
	case l.Clamped:
		return text + ", clamped"
	case l.Kind == checks.Runs:
		return text + ", runs"
	case l.Kind == checks.Held:
		return text + ", held"
	}
	return text
}

func (p *pivotPen) layers() {
	for _, l := range p.s.Layers {
		hole := max(l.Hole, p.d) / 2
		if sleeve := p.s.Sleeve; sleeve.To > sleeve.From && l.From >= sleeve.From-1e-9 && l.To <= sleeve.To+1e-9 {
			hole = max(hole, p.s.SleeveOutside/2)
		}
		outside := max(min(p.outside(l)/2, p.half), hole+0.1*p.d)
		class, fill := "part", p.id+"-hatch0"
		switch l.Kind {
		case checks.Runs:
			class, fill = "link", p.id+"-hatch1"
		case checks.Bearing:
			class = "other"
		case checks.Packing:
			class, fill = "steel", ""
		}
		p.both(class, fill, hole, outside, l.From, l.To)
		p.note(l.From, l.To, outside, p.words(l))
	}
	said := false
	for _, g := range p.s.Gaps {
		switch {
		case g.To < g.From:
			p.both("clash", "", p.d/2, p.half, g.To, g.From)
			p.note(g.To, g.From, p.half, "CLASH: "+mm(g.From-g.To)+" too thick")
		case !g.Running:
			p.note(g.From, g.To, p.d/2, "gap "+mm(g.To-g.From))
		case !said && p.s.Gap != "":
			p.note(g.From, g.To, p.d/2, "gap "+p.s.Gap)
			said = true
		}
	}
}

// onPin draws the sleeve and the pin with what keeps it.
func (p *pivotPen) onPin(least, most float64) {
	r := p.d / 2
	if sleeve := p.s.Sleeve; sleeve.To > sleeve.From {
		p.both("steel", p.id+"-hatch1", r, p.s.SleeveOutside/2, sleeve.From, sleeve.To)
		p.note(sleeve.From, sleeve.From, p.s.SleeveOutside/2, "sleeve "+mm(sleeve.To-sleeve.From))
	}
	from, to := least-p.d*0.6, most+p.d*0.6
	kept := p.s.Pin.Kept
	// An end with a head, or in a thread of the last part, lies at the face; a length that is given goes on from there.
	flush := func(k string) bool { return k == "head" || k == "thread" }
	first, last := len(kept) > 0 && flush(kept[0].Value), len(kept) > 1 && flush(kept[1].Value)
	if first {
		from = least
	}
	if last {
		to = most
	}
	if long := p.s.Pin.Length.SI; long > 0 {
		// No longer than there is room for it.
		spare := max(-p.d, min(p.d, (long-(most-least))/2))
		switch {
		case first && last:
		case first:
			to = most + max(-p.d, min(1.2*p.d, long-(most-least)))
		case last:
			from = least - max(-p.d, min(1.2*p.d, long-(most-least)))
		default:
			from, to = least-spare, most+spare
		}
	}
	p.rect("pin", p.axis-r*p.scale, p.y(from), p.d*p.scale, (to-from)*p.scale)
	for i, k := range kept {
		face, out := least, -1.0
		if i == 1 {
			face, out = most, 1
		}
		p.keeper(k.Value, face, out)
	}
}

// keeper draws what keeps an end of the pin beside a face.
func (p *pivotPen) keeper(what string, face, out float64) {
	r := p.d / 2
	across, high := 0.0, 0.0 // from the axis, and along it
	switch what {
	case "head", "nut":
		across, high = 0.85*p.d, 0.7*p.d
	case "lock nut", "collar":
		across, high = 0.85*p.d, 0.95*p.d
	case "clip", "push-on ring", "split pin":
		across, high = 0.8*p.d, 0.15*p.d
	}
	if across > 0 {
		from, to := min(face, face+out*high), max(face, face+out*high)
		if what == "head" {
			p.rect("steel", p.axis-across*p.scale, p.y(from), 2*across*p.scale, high*p.scale)
		} else {
			p.both("steel", "", r, across, from, to)
		}
	}
	text := what
	switch {
	case what == "none":
		text = "not kept"
	case what == "thread":
		text = "in a thread"
	}
	if torque := p.s.Pin.Torque; torque.Given() && (what == "nut" || what == "lock nut") {
		text += ", " + torque.String()
	}
	at := face + out*max(high, 0.1*p.d)
	p.note(at, at, max(across, r), text)
}

// says is the section in one sentence.
func (p *pivotPen) says() string {
	var parts []string
	for _, l := range p.s.Layers {
		parts = append(parts, p.words(l))
	}
	text := fmt.Sprintf("Pin of %s along its axis, to scale in nominal sizes; widths that the spec does not give are usual ones. In order: %s.", p.s.Pin.Diameter, strings.Join(parts, "; "))
	if p.s.Gap != "" {
		text += " What runs has a gap of " + p.s.Gap + " in all."
	}
	for _, g := range p.s.Gaps {
		if g.To < g.From {
			text += " Parts are " + mm(math.Abs(g.To-g.From)) + " too thick for their room."
		}
	}
	return text
}
