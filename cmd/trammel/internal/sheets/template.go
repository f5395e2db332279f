package sheets

import (
	"fmt"
	"html"
	"math"
	"strconv"
	"strings"

	"gonum.org/v1/gonum/spatial/r2"

	"trammel.example/cmd/trammel/internal/drawing"
	"trammel.example/schema"
)

// A Template is a link at full size, to lay on the bar or to cut from cardboard.
type Template struct {
	Link          string
	width, height float64 // mm
	holes         string  // and the outline
	says          string
}

// All in mm. Around a template there is room for names, and below it a bar by which the print is measured. What is wider than a sheet of
// A4 is printed on several, which lap over each other.
const (
	margin = 12.0
	bar    = 50.0
	sheet  = 170.0
	lap    = 10.0
)

// Templates are those of the links with holes, along the line from the first to the last.
func Templates(m *schema.Machine) []Template {
	var all []Template
	for _, name := range sorted(m.Links) {
		if t, ok := template1to1(m, name); ok {
			all = append(all, t)
		}
	}
	return all
}

// A drilled hole, from the link's first point, in mm: along the line to its last, and across.
type drilled struct {
	name          string
	along, across float64
	diameter      float64 // 0 where it is not known
}

func template1to1(m *schema.Machine, name string) (Template, bool) {
	l := m.Links[name]
	first, way, ok := datum(m, l)
	if !ok || l.Ground.Value {
		return Template{}, false
	}
	var holes []drilled
	box := r2.Box{Min: r2.Vec{X: math.Inf(1), Y: math.Inf(1)}, Max: r2.Vec{X: math.Inf(-1), Y: math.Inf(-1)}}
	reach := func(x, y, by float64) {
		box.Min = r2.Vec{X: min(box.Min.X, x-by), Y: min(box.Min.Y, y-by)}
		box.Max = r2.Vec{X: max(box.Max.X, x+by), Y: max(box.Max.Y, y+by)}
	}
	half := l.Outline.Width.SI * 1e3 / 2
	for _, p := range l.Points {
		v := r2.Sub(at(m, p.Value), first)
		h := drilled{name: p.Value, along: r2.Dot(v, way) * 1e3, across: r2.Cross(way, v) * 1e3}
		for _, layer := range m.Pivots[p.Value].Stack {
			if layer.Link.Value == name && layer.Hole.Given() {
				h.diameter = layer.Hole.SI * 1e3
			}
		}
		holes = append(holes, h)
		reach(h.along, h.across, max(half, h.diameter/2, 5))
	}
	w, tall := max(box.Max.X-box.Min.X, bar+20)+2*margin, box.Max.Y-box.Min.Y+2*margin+12
	x := func(along float64) float64 { return along - box.Min.X + margin }
	y := func(across float64) float64 { return box.Max.Y - across + margin }
	var b strings.Builder
	b.WriteString(`<g fill="none" stroke="#000" stroke-width="0.25">`)
	if half > 0 && len(l.Outline.Shapes) == 0 {
		a, z := holes[0], holes[0]
		for _, h := range holes {
			if h.along < a.along {
				a = h
			}
			if h.along > z.along {
				z = h
			}
		}
		fmt.Fprintf(&b, `<rect x="%s" y="%s" width="%s" height="%s" rx="%s"/>`, number(x(a.along)-half), number(y(a.across)-half), number(z.along-a.along+2*half), number(2*half), number(half))
	}
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
	}
	b.WriteString(`</g>`)
	return Template{Link: name, width: w, height: tall, holes: b.String(), says: fmt.Sprintf("%s. This bar must measure %g mm on paper:", name, bar)}, true
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
	fmt.Fprintf(b, `<path d="M%s 0v%s" fill="none" stroke="#000" stroke-width="0.25" stroke-dasharray="2 1.5"/>`, number(x), number(height-14))
}

// part shows what lies between two distances from the left edge.
func (t Template) part(from, to float64, marks string) string {
	var b strings.Builder
	w := max(to-from, bar+2*margin+20) // room for what is said of the bar
	fmt.Fprintf(&b, `<svg xmlns="http://www.w3.org/2000/svg" width="%smm" height="%smm" viewBox="%s 0 %s %s" role="img"><title>%s</title>`,
		number(w), number(t.height), number(from), number(w), number(t.height), escape(t.Link+", full size"))
	b.WriteString(t.holes + marks)
	fmt.Fprintf(&b, `<path d="M%s %sv-3m0 1.5h%sm0 -1.5v3" fill="none" stroke="#000" stroke-width="0.25"/>`, number(from+margin), number(t.height-4), number(bar))
	fmt.Fprintf(&b, `<text x="%s" y="%s" font-family="sans-serif" font-size="3.2">%s</text></svg>`, number(from+margin), number(t.height-9), escape(t.says))
	return b.String()
}

func number(x float64) string { return strconv.FormatFloat(math.Round(x*1e3)/1e3+0, 'f', -1, 64) }

func escape(s string) string { return html.EscapeString(drawing.Visible(s)) }
