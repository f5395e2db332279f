package drawing

import (
	"fmt"
	"math"
	"strings"

	"gonum.org/v1/gonum/spatial/r2"

	"trammel.example/checks"
	"trammel.example/schema"
)

const (
	bentWidth  = 360.0 // px: a phone shows it at its size
	bentSide   = 46.0  // left and right of the link: room for its moments and names
	bentTall   = 190.0 // the most that the link may be high
	bentMoment = 36.0  // the largest moment
	bentAbove  = 62.0  // room for the title
	bentBelow  = 40.0  // and for the ruler
)

// LinkBending draws a moving link as drawn, its bars to scale, and the bending moment on the side of each that it stretches.
func LinkBending(b checks.LinkBending, id string) Picture {
	low, high := b.Points[0].At, b.Points[0].At
	for _, q := range b.Points {
		low, high = r2.Vec{X: min(low.X, q.At.X), Y: min(low.Y, q.At.Y)}, r2.Vec{X: max(high.X, q.At.X), Y: max(high.Y, q.At.Y)}
	}
	scale := min((bentWidth-2*bentSide)/max(high.X-low.X, 1e-9), bentTall/max(high.Y-low.Y, 1e-9))
	size := math.Abs(b.Most.Bending)
	// Places in px, y down, with the upper left corner of the link at 0.
	at := func(v r2.Vec) r2.Vec { return r2.Vec{X: (v.X - low.X) * scale, Y: (high.Y - v.Y) * scale} }
	on := func(bar checks.BentBar, m float64, x float64) r2.Vec {
		from, to := b.Points[bar.From].At, b.Points[bar.To].At
		axis := r2.Unit(r2.Sub(to, from))
		right := r2.Vec{X: axis.Y, Y: -axis.X}
		side := r2.Scale(m/size*bentMoment, r2.Vec{X: right.X, Y: -right.Y})
		return r2.Add(at(r2.Add(from, r2.Scale(x, axis))), side)
	}
	var areas [][]r2.Vec
	var taken []r2.Vec // places that a name should keep away from
	top, bottom := 0.0, (high.Y-low.Y)*scale
	for _, bar := range b.Bars {
		area := []r2.Vec{at(b.Points[bar.From].At)}
		for _, m := range bar.Moments {
			area = append(area, on(bar, m.Bending, m.X))
		}
		area = append(area, at(b.Points[bar.To].At))
		for k, v := range area {
			top, bottom = min(top, v.Y), max(bottom, v.Y)
			next := area[(k+1)%len(area)]
			for step := range 8 {
				taken = append(taken, r2.Add(v, r2.Scale(float64(step)/8, r2.Sub(next, v))))
			}
		}
		areas = append(areas, area)
	}
	left := (bentWidth - (high.X-low.X)*scale) / 2
	above := bentAbove + max(0, -top) + 24
	height := above + bottom + 24 + bentBelow
	put := func(v r2.Vec) (x, y float64) { return v.X + left, v.Y + above }

	title := worst("Bending of link "+b.Link, b.When)
	torque := schema.Format(schema.TorqueDim, size)
	along := "nothing along it"
	switch {
	case b.Along >= 0.5:
		along = schema.Format(schema.ForceDim, b.Along) + " pull along it"
	case b.Along <= -0.5:
		along = schema.Format(schema.ForceDim, -b.Along) + " press along it"
	}
	side := "left"
	if b.Most.Bending > 0 {
		side = "right"
	}
	bent := b.Bars[b.MostOn]
	from, to := b.Points[bent.From].Name, b.Points[bent.To].Name
	p := &pen{}
	p.begin(id, title, fmt.Sprintf("Link %s as drawn, to scale. At most %s bend it, %s from %s on the way to %s, and stretch its %s side on that way; %s.",
		b.Link, torque, mm(b.Most.X), from, to, side, along), bentWidth, height)
	p.text(12, 18, "start", "small strong", short(fmt.Sprintf("%s: %s bend it where the ring is", short(b.Link, 20), torque), 52))
	second := along + "; its section is not given"
	if b.Stress > 0 {
		second = along + "; " + schema.Format(schema.StressDim, b.Stress) + " at its edge"
	}
	p.text(12, 34, "start", "small", short(second, 56))
	if b.Cut {
		p.text(12, 50, "start", "small", "without the poses next to a dead point")
	}
	for _, area := range areas {
		var corners [][2]float64
		for _, v := range area {
			x, y := put(v)
			corners = append(corners, [2]float64{x, y})
		}
		p.path("mesh", true, corners...)
	}
	for _, bar := range b.Bars {
		x1, y1 := put(at(b.Points[bar.From].At))
		x2, y2 := put(at(b.Points[bar.To].At))
		p.line("bar", x1, y1, x2, y2)
	}
	x, y := put(on(bent, b.Most.Bending, b.Most.X))
	p.circle("ring", x, y, 4)
	for _, row := range together(b.Points, scale) {
		q := at(row[0].At)
		px, py := put(q)
		p.circle("pin", px, py, 4.5)
		var names []string
		for _, one := range row {
			names = append(names, one.Name)
		}
		name := short(strings.Join(names, ", "), 20)
		x, y := put(r2.Add(q, clearOf(taken, q, name)))
		half := halfOf(name)
		p.text(min(max(x, half), bentWidth-half), y+4, "middle", "small label", name)
	}
	(&Mechanism{}).ruler(p, scale, height-10)
	return Picture{id, title, p.end()}
}

// halfOf is about half of the width of a name, px.
func halfOf(name string) float64 { return 3.5*float64(len([]rune(name))) + 2 }

// clearOf is the way from a point to where its name keeps farthest from what is drawn.
func clearOf(taken []r2.Vec, point r2.Vec, name string) (way r2.Vec) {
	best, half := math.Inf(-1), halfOf(name)
	for k := range 8 {
		sin, cos := math.Sincos(float64(k)*math.Pi/4 - math.Pi/2) // above first
		one := r2.Vec{X: cos * (9 + half), Y: sin * 15}
		nearest := 40.0
		for _, v := range taken {
			off := r2.Sub(v, r2.Add(point, one))
			nearest = min(nearest, math.Hypot(max(0, math.Abs(off.X)-half), max(0, math.Abs(off.Y)-5)))
		}
		if nearest > best+0.5 {
			best, way = nearest, one
		}
	}
	return way
}

// together are the points, those in one row that lie too near to each other for two names.
func together(points []checks.LinkPoint, scale float64) (rows [][]checks.LinkPoint) {
	const apart = 12.0 // px
next:
	for _, q := range points {
		for k, row := range rows {
			if r2.Norm(r2.Sub(q.At, row[0].At))*scale < apart {
				rows[k] = append(row, q)
				continue next
			}
		}
		rows = append(rows, []checks.LinkPoint{q})
	}
	return rows
}
