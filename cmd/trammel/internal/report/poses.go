package report

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"trammel.example/checks"
	"trammel.example/schema"
)

// A column of the table of poses.
type column struct {
	head, unit string
	cells      []string
}

// course prints a table of poses, in as many parts as the width asks for; each begins with how far the rod is out.
func (p *printer) course(c checks.Course) {
	moving := fmt.Sprintf("cylinder %q", c.Cylinder) + p.in
	if c.Others != "" {
		moving += " " + c.Others
	}
	p.entry("MOTION", bold, fmt.Sprintf("%s, %d poses; loads as written, without friction", moving, len(c.Stroke)), bold)
	if c.Why != "" {
		p.entry("", unstyled, c.Why, unstyled)
		p.blank()
		return
	}
	first := newColumn("rod out", schema.LengthDim, "mm", c.Stroke)
	var rest []column
	add := func(head string, dim schema.Dimension, unit string, values []float64) {
		rest = append(rest, newColumn(head, dim, unit, values))
	}
	add("thrust", schema.ForceDim, "N", c.Thrust)
	for _, y := range c.Cylinders {
		add(y.Name+" length", schema.LengthDim, "mm", y.Length)
		add(y.Name+" angle", schema.AngleDim, "deg", y.Angle)
	}
	for _, at := range c.Points {
		add(at.Name+" x", schema.LengthDim, "mm", at.X)
		add(at.Name+" y", schema.LengthDim, "mm", at.Y)
		add(at.Name+" per rod", schema.NumberDim, "", at.Ratio)
	}
	for _, l := range c.Links {
		add(l.Name+" turn", schema.AngleDim, "deg", l.Turn)
	}
	for _, j := range c.Pivots {
		add(j.Point+" "+j.Link, schema.ForceDim, "N", j.Force)
	}
	for len(rest) > 0 {
		part, width := []column{first}, gutter+first.width()
		for len(rest) > 0 && (len(part) == 1 || width+2+rest[0].width() <= p.Width) {
			width += 2 + rest[0].width()
			part, rest = append(part, rest[0]), rest[1:]
		}
		p.columns(part)
		p.blank()
	}
}

func newColumn(head string, dim schema.Dimension, unit string, si []float64) column {
	u, _ := schema.UnitOf(dim, unit)
	c := column{head: Plain(head), unit: unit}
	if unit == "deg" {
		c.unit = "°"
	}
	for _, x := range si {
		cell := "-"
		if !math.IsNaN(x) {
			places := 1
			if dim == schema.NumberDim || dim == schema.LengthDim {
				places = 2
			}
			cell = strconv.FormatFloat(u.From(x), 'f', places, 64)
			if strings.Trim(cell, "-0.") == "" {
				cell = strings.TrimPrefix(cell, "-")
			}
		}
		c.cells = append(c.cells, cell)
	}
	return c
}

func (c column) width() int {
	w := max(cells.StringWidth(c.head), cells.StringWidth(c.unit))
	for _, cell := range c.cells {
		w = max(w, len(cell))
	}
	return w
}

func (p *printer) columns(part []column) {
	line := func(cell func(c column) string) {
		var b strings.Builder
		for i, c := range part {
			if i > 0 {
				b.WriteString("  ")
			}
			text := cell(c)
			b.WriteString(strings.Repeat(" ", c.width()-cells.StringWidth(text)) + text)
		}
		p.b.WriteString(strings.TrimRight(strings.Repeat(" ", gutter)+b.String(), " ") + "\n")
	}
	line(func(c column) string { return c.head })
	line(func(c column) string { return c.unit })
	for i := range part[0].cells {
		line(func(c column) string { return c.cells[i] })
	}
}
