package sheets

import (
	"fmt"
	"html"
	"math"
	"strconv"
	"strings"
	"unicode/utf8"

	"gonum.org/v1/gonum/spatial/r2"

	"trammel.example/cmd/trammel/internal/drawing"
	"trammel.example/schema"
)

// A Template is a link at full size, to lay on the bar or to cut from cardboard.
type Template struct {
	Link          string
	width, height float64 // mm
	holes         []drilled
	outline       []edge
	drawn         string // holes and outline
	says          string
	mark          Mark
}

// All in mm. Around a template there is room for names, and below it a bar by which the print is measured. What is wider than a sheet of
// A4 is printed on several, which lap over each other.
const (
	margin = 12.0
	bar    = 50.0
	sheet  = 170.0
	lap    = 10.0
)

// Templates are those of the links with holes, along the line from the first to the last, and of the faces that screws stand on.
func Templates(m *schema.Machine, mark Mark) []Template {
	var all []Template
	for _, name := range sorted(m.Links) {
		if t, ok := template1to1(m, name); ok {
			all = append(all, t)
		}
	}
	all = append(all, faces(m)...)
	for i := range all {
		all[i].mark = mark
	}
	return all
}

// A drilled hole, from the link's first point, in mm: along the line to its last, and across.
type drilled struct {
	name          string
	along, across float64
	diameter      float64 // 0 where it is not known
	place         string  // below it, where that is said
}

func template1to1(m *schema.Machine, name string) (Template, bool) {
	l := m.Links[name]
	own, ok := frameOf(m, l)
	if !ok || l.Ground.Value {
		return Template{}, false
	}
	var holes []drilled
	for _, p := range l.Points {
		v := own(at(m, p.Value))
		h := drilled{name: p.Value, along: v.X, across: v.Y}
		for _, layer := range m.Pivots[p.Value].Stack {
			if layer.Link.Value == name && layer.Hole.Given() {
				h.diameter = layer.Hole.SI * 1e3
			}
		}
		holes = append(holes, h)
	}
	return draft(name, "", holes, piecesOf(m, l, own)), true
}

// draft draws holes and what is round them; seen says from where, if that needs saying.
func draft(name, seen string, holes []drilled, pieces []piece) Template {
	box := r2.Box{Min: r2.Vec{X: math.Inf(1), Y: math.Inf(1)}, Max: r2.Vec{X: math.Inf(-1), Y: math.Inf(-1)}}
	reach := func(x, y, by float64) {
		box.Min = r2.Vec{X: min(box.Min.X, x-by), Y: min(box.Min.Y, y-by)}
		box.Max = r2.Vec{X: max(box.Max.X, x+by), Y: max(box.Max.Y, y+by)}
	}
	for _, h := range holes {
		reach(h.along, h.across, max(h.diameter/2, 5))
	}
	for _, p := range pieces {
		for _, v := range p.through {
			reach(v.X, v.Y, p.width/2)
		}
	}
	w, tall := max(box.Max.X-box.Min.X, bar+20)+2*margin, box.Max.Y-box.Min.Y+2*margin+16
	x := func(along float64) float64 { return along - box.Min.X + margin }
	y := func(across float64) float64 { return box.Max.Y - across + margin }
	var b strings.Builder
	b.WriteString(`<g fill="none" stroke="#000" stroke-width="0.25">`)
	outline := outlineOf(pieces)
	drawEdges(&b, outline, func(v r2.Vec) (float64, float64) { return x(v.X), y(v.Y) })
	for _, h := range holes {
		cx, cy, arm := x(h.along), y(h.across), max(h.diameter/2+2, 4)
		if h.diameter > 0 {
			fmt.Fprintf(&b, `<circle cx="%s" cy="%s" r="%s"/>`, number(cx), number(cy), number(h.diameter/2))
		}
		fmt.Fprintf(&b, `<path d="M%s %sh%sM%s %sv%s"/>`, number(cx-arm), number(cy), number(2*arm), number(cx), number(cy-arm), number(2*arm))
	}
	b.WriteString(`</g>`)
	b.WriteString(`<g font-family="sans-serif" font-size="3.2" fill="#000">`)
	for _, h := range holes {
		text := h.name
		if h.diameter > 0 {
			text += " ⌀" + number(h.diameter)
		}
		fmt.Fprintf(&b, `<text x="%s" y="%s">%s</text>`, number(x(h.along)+max(h.diameter/2, 4)+1), number(y(h.across)-max(h.diameter/2, 2)-1), escape(text))
		if h.place != "" {
			fmt.Fprintf(&b, `<text x="%s" y="%s" font-size="2.4">%s</text>`, number(x(h.along)+max(h.diameter/2, 4)-2), number(y(h.across)+max(h.diameter/2, 2)+3), escape(h.place))
		}
	}
	if seen != "" {
		fmt.Fprintf(&b, `<text x="%s" y="4" font-size="2.6">%s</text>`, number(margin), escape(seen))
	}
	b.WriteString(`</g>`)
	return Template{Link: name, width: w, height: tall, holes: holes, outline: outline, drawn: b.String(), says: fmt.Sprintf("%s. This bar must measure %g mm on paper:", name, bar)}
}

// A piece is part of a link's outline: a bar with round ends through some points, of no length for a circle, or a polygon of no width. In mm.
type piece struct {
	through []r2.Vec
	width   float64
}

// piecesOf are those of a link, in its own frame.
func piecesOf(m *schema.Machine, l schema.Link, own func(r2.Vec) r2.Vec) (all []piece) {
	chain := func(points []schema.Text, width float64) {
		p := piece{width: width * 1e3}
		for _, name := range points {
			p.through = append(p.through, own(at(m, name.Value)))
		}
		all = append(all, p)
	}
	if l.Outline.Width.Given() {
		chain(l.Points, l.Outline.Width.SI)
	}
	for _, s := range l.Outline.Shapes {
		switch {
		case s.At.Given():
			chain([]schema.Text{s.At}, s.Diameter.SI)
		case len(s.Along) > 0:
			chain(s.Along, s.Width.SI)
		default:
			p := piece{}
			for _, c := range s.Corners {
				p.through = append(p.through, own(r2.Vec{X: c.X.SI, Y: c.Y.SI}))
			}
			all = append(all, p)
		}
	}
	return all
}

// drawEdges draws an outline.
func drawEdges(b *strings.Builder, edges []edge, place func(r2.Vec) (x, y float64)) {
	for _, e := range edges {
		x1, y1 := place(e.at(0))
		x2, y2 := place(e.at(1))
		if e.radius == 0 {
			fmt.Fprintf(b, `<path d="M%s %sL%s %s"/>`, number(x1), number(y1), number(x2), number(y2))
			continue
		}
		// On paper y points down: counter-clockwise is the other way about.
		far := map[bool]int{true: 1, false: 0}[e.to-e.from > math.Pi]
		fmt.Fprintf(b, `<path d="M%s %sA%s %s 0 %d 0 %s %s"/>`, number(x1), number(y1), number(e.radius), number(e.radius), far, number(x2), number(y2))
	}
}

// ends are how far the first and the last hole are along.
func ends(holes []drilled) (from, to float64) {
	from, to = math.Inf(1), math.Inf(-1)
	for _, h := range holes {
		from, to = min(from, h.along), max(to, h.along)
	}
	return from, to
}

// DXF is the template for a machine that cuts: holes and outline alone, in mm, as the published DXF reference has it for release 12 (AC1009,
// group codes from memory). Holes of which the size is not known are points.
// The mark is a comment, and where the machine is NO-GO also a text on a layer of its own, right across.
func (t Template) DXF() string {
	var b strings.Builder
	put := func(pairs ...any) {
		for i := 0; i+1 < len(pairs); i += 2 {
			value := pairs[i+1]
			if x, ok := value.(float64); ok {
				value = strconv.FormatFloat(math.Round(x*1e6)/1e6+0, 'f', -1, 64)
			}
			fmt.Fprintf(&b, "%d\r\n%v\r\n", pairs[i], value)
		}
	}
	put(999, ascii(t.Link+", full size in mm. "+t.mark.String()))
	put(0, "SECTION", 2, "HEADER", 9, "$ACADVER", 1, "AC1009", 9, "$MEASUREMENT", 70, 1, 0, "ENDSEC")
	put(0, "SECTION", 2, "ENTITIES")
	for _, h := range t.holes {
		if h.diameter > 0 {
			put(0, "CIRCLE", 8, "HOLES", 10, h.along, 20, h.across, 40, h.diameter/2)
		} else {
			put(0, "POINT", 8, "HOLES", 10, h.along, 20, h.across)
		}
	}
	const degrees = 180 / math.Pi
	for _, e := range t.outline {
		if e.radius == 0 {
			put(0, "LINE", 8, "OUTLINE", 10, e.a.X, 20, e.a.Y, 11, e.b.X, 21, e.b.Y)
		} else {
			put(0, "ARC", 8, "OUTLINE", 10, e.a.X, 20, e.a.Y, 40, e.radius, 50, around(e.from*degrees), 51, around(e.to*degrees))
		}
	}
	if t.mark.Verdict == "NO-GO" {
		from, to := ends(t.holes)
		put(0, "TEXT", 8, "NO-GO", 10, from, 20, 0.0, 40, max((to-from)/5, 5), 1, "NO-GO")
	}
	put(0, "ENDSEC", 0, "EOF")
	return b.String()
}

// around is an angle in degrees from 0 up to 360.
func around(degrees float64) float64 {
	return math.Mod(math.Mod(math.Round(degrees*1e9)/1e9, 360)+360, 360)
}

// ascii writes what a drawing of release 12 has no letters for by its number.
func ascii(s string) string {
	var b strings.Builder
	for _, r := range drawing.Visible(s) {
		if r < 0x7f {
			b.WriteRune(r)
		} else {
			fmt.Fprintf(&b, `\U+%04X`, r)
		}
	}
	return b.String()
}

// SVG is the whole template.
func (t Template) SVG() string { return t.part(0, t.width, "") }

// Sheets are the template's parts that fit on sheets of paper. On dashed lines two of them lie on each other.
func (t Template) Sheets() (parts []string) {
	if t.width <= sheet {
		return []string{t.SVG()}
	}
	for from := 0.0; ; from += sheet - lap {
		to := min(from+sheet, t.width)
		var marks strings.Builder
		if from > 0 {
			mark(&marks, from+lap/2, t.height)
		}
		if to < t.width {
			mark(&marks, to-lap/2, t.height)
		}
		parts = append(parts, t.part(from, to, marks.String()))
		if to == t.width {
			return parts
		}
	}
}

func mark(b *strings.Builder, x, height float64) {
	fmt.Fprintf(b, `<path d="M%s 0v%s" fill="none" stroke="#000" stroke-width="0.25" stroke-dasharray="2 1.5"/>`, number(x), number(height-18))
}

// part shows what lies between two distances from the left edge.
func (t Template) part(from, to float64, marks string) string {
	var b strings.Builder
	const letter = 1.6 // what one takes of what is said of the bar
	w := max(to-from, min(letter*float64(utf8.RuneCountInString(t.says))+2*margin, sheet))
	fmt.Fprintf(&b, `<svg xmlns="http://www.w3.org/2000/svg" width="%smm" height="%smm" viewBox="%s 0 %s %s" role="img"><title>%s</title>`,
		number(w), number(t.height), number(from), number(w), number(t.height), escape(t.Link+", full size"))
	b.WriteString(t.drawn + marks)
	if t.mark.Verdict == "NO-GO" {
		size := min(t.height/3, w/4.5)
		fmt.Fprintf(&b, `<text x="%s" y="%s" font-family="sans-serif" font-weight="bold" font-size="%s" text-anchor="middle" fill="#a3201f" opacity="0.3">NO-GO</text>`, number(from+w/2), number((t.height-18)/2+size/3), number(size))
	}
	fmt.Fprintf(&b, `<path d="M%s %sv-3m0 1.5h%sm0 -1.5v3" fill="none" stroke="#000" stroke-width="0.25"/>`, number(from+margin), number(t.height-8), number(bar))
	fmt.Fprintf(&b, `<text x="%s" y="%s" font-family="sans-serif" font-size="3.2">%s</text>`, number(from+margin), number(t.height-13), escape(t.says))
	fmt.Fprintf(&b, `<text x="%s" y="%s" font-family="sans-serif" font-size="2.4">%s</text></svg>`, number(from+margin), number(t.height-3), escape(t.mark.String()))
	return b.String()
}

func number(x float64) string { return strconv.FormatFloat(math.Round(x*1e3)/1e3+0, 'f', -1, 64) }

func escape(s string) string { return html.EscapeString(drawing.Visible(s)) }
