// Package drawing makes the pictures of a machine as SVG: its mechanism to scale, its fastenings in section, its circuit and its charts.
// Lengths go in as SI and come out in pixels; whatever a spec says is escaped. The same input gives the same bytes.
package drawing

import (
	_ "embed"
	"fmt"
	"html"
	"math"
	"strconv"
	"strings"
	"unicode"
)

// Style is the style sheet of all pictures, for light and for dark pages.
//
//go:embed style.css
var Style string

// A Picture is an SVG document without a style sheet, to stand in a page that has Style.
type Picture struct {
	Name  string // of its file, without an ending
	Title string
	SVG   string
}

// Alone is the picture as a file of its own.
func (p Picture) Alone() string {
	head, rest, _ := strings.Cut(p.SVG, ">")
	return `<?xml version="1.0" encoding="UTF-8"?>` + "\n" + head + "><style>" + strings.ReplaceAll(strings.TrimSpace(Style), "\n", "") + "</style>" + rest + "\n"
}

// A pen writes SVG.
type pen struct{ b strings.Builder }

// Visible shows by their numbers the characters that could steer or reorder what is read.
func Visible(s string) string {
	var b strings.Builder
	for _, r := range s {
		switch {
		case unicode.Is(unicode.Zs, r):
			b.WriteByte(' ')
		case unicode.IsPrint(r):
			b.WriteRune(r)
		default:
			fmt.Fprintf(&b, `\u{%x}`, r)
		}
	}
	return b.String()
}

func escape(s string) string { return html.EscapeString(Visible(s)) }

// short cuts a name that would run out of its picture.
func short(s string, most int) string {
	r := []rune(s)
	if len(r) <= most {
		return s
	}
	return string(r[:most-1]) + "…"
}

// num is a coordinate in hundredths of a pixel.
func num(x float64) string {
	x = math.Round(x*100) / 100
	if x == 0 {
		return "0" // never -0
	}
	return strconv.FormatFloat(x, 'f', -1, 64)
}

// open writes a tag with attributes, given as names and values by turns; a number is a coordinate.
func (p *pen) open(tag string, attributes ...any) { p.start(tag, ">", attributes) }

// tag writes an element without content.
func (p *pen) tag(tag string, attributes ...any) { p.start(tag, "/>", attributes) }

func (p *pen) start(tag, end string, attributes []any) {
	p.b.WriteString("<" + tag)
	for i := 0; i+1 < len(attributes); i += 2 {
		value, isNumber := attributes[i+1].(float64)
		text := num(value)
		if !isNumber {
			text = escape(attributes[i+1].(string))
		}
		p.b.WriteString(" " + attributes[i].(string) + `="` + text + `"`)
	}
	p.b.WriteString(end)
}

func (p *pen) close(tag string) { p.b.WriteString("</" + tag + ">") }

// text writes a line; anchor is start, middle or end.
func (p *pen) text(x, y float64, anchor, class, s string) {
	attributes := []any{"x", x, "y", y, "text-anchor", anchor, "class", class}
	if strings.Contains(class, "label") { // with a rim in the colour of the paper, behind the letters
		attributes = append(attributes, "paint-order", "stroke")
	}
	p.open("text", attributes...)
	p.b.WriteString(escape(s))
	p.close("text")
}

func (p *pen) line(class string, x1, y1, x2, y2 float64) {
	p.tag("line", "class", class, "x1", x1, "y1", y1, "x2", x2, "y2", y2)
}

func (p *pen) rect(class string, x, y, w, h float64) {
	p.tag("rect", "class", class, "x", x, "y", y, "width", w, "height", h)
}

func (p *pen) circle(class string, x, y, r float64) {
	p.tag("circle", "class", class, "cx", x, "cy", y, "r", r)
}

// path writes a line through points, closed or not.
func (p *pen) path(class string, closed bool, points ...[2]float64) {
	p.tag("path", "class", class, "d", way(closed, points...))
}

func way(closed bool, points ...[2]float64) string {
	var b strings.Builder
	for i, q := range points {
		b.WriteString(map[bool]string{true: "M", false: "L"}[i == 0] + num(q[0]) + " " + num(q[1]))
	}
	if closed {
		b.WriteString("Z")
	}
	return b.String()
}

// begin opens the picture; its title and description are what a screen reader says. Its size is in whole pixels: programs round a part of one
// up or down, and then the picture stretches.
func (p *pen) begin(id, title, description string, width, height float64) {
	width, height = math.Ceil(width), math.Ceil(height)
	p.open("svg", "xmlns", "http://www.w3.org/2000/svg", "class", "picture", "role", "img", "aria-labelledby", id+"-title "+id+"-desc",
		"width", width, "height", height, "viewBox", "0 0 "+num(width)+" "+num(height))
	p.open("title", "id", id+"-title")
	p.b.WriteString(escape(title))
	p.close("title")
	p.open("desc", "id", id+"-desc")
	p.b.WriteString(escape(description))
	p.close("desc")
	p.rect("paper", 0, 0, width, height)
}

func (p *pen) end() string {
	p.close("svg")
	return p.b.String()
}
