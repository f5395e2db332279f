package drawing

import (
	"fmt"
	"math"
	"strings"

	"trammel.example/checks"
	"trammel.example/schema"
)

const (
	bentWidth  = 360.0 // px: a phone shows it at its size
	bentSide   = 30.0  // left and right of the bar
	bentMoment = 52.0  // the largest moment
	bentAside  = 70.0  // the most that a point may lie beside the bar
	bentAbove  = 70.0  // room for the title
)

// LinkBending draws a moving link as a bar from left to right, its points to scale, and the bending moment on the side that it stretches.
func LinkBending(b checks.LinkBending, id string) Picture {
	least, most := 0.0, 0.0 // beside the bar
	for _, q := range b.Points {
		least, most = min(least, q.Beside), max(most, q.Beside)
	}
	scale := min((bentWidth-2*bentSide)/b.Length, bentAside/max(most, -least, 1e-9))
	left := (bentWidth - b.Length*scale) / 2
	size := math.Abs(b.Most.Bending)
	above, below := 0.0, 0.0 // of the bar, in parts of the largest moment
	for _, m := range b.Moments {
		above, below = max(above, -m.Bending/size), max(below, m.Bending/size)
	}
	bar := bentAbove + max(most*scale+14, above*bentMoment+8)
	height := bar + max(-least*scale+30, below*bentMoment+24) + 36
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
	p := &pen{}
	p.begin(id, title, fmt.Sprintf("Link %s as a bar from %s to %s, to scale. At most %s bend it, %s from %s, and stretch its %s side on the way; %s.",
		b.Link, b.Points[0].Name, b.Points[len(b.Points)-1].Name, torque, mm(b.Most.X), b.Points[0].Name, side, along), bentWidth, height)
	p.text(12, 18, "start", "small strong", short(fmt.Sprintf("%s: %s bend it where the ring is", short(b.Link, 20), torque), 52))
	second := along + "; its section is not given"
	if b.Stress > 0 {
		second = along + "; " + schema.Format(schema.StressDim, b.Stress) + " at its edge"
	}
	p.text(12, 34, "start", "small", short(second, 56))
	if b.Cut {
		p.text(12, 50, "start", "small", "without the poses next to a dead point")
	}
	x := func(along float64) float64 { return left + along*scale }
	y := func(m float64) float64 { return bar + m/size*bentMoment }
	area := [][2]float64{{x(0), bar}}
	for _, m := range b.Moments {
		area = append(area, [2]float64{x(m.X), y(m.Bending)})
	}
	p.path("mesh", true, append(area, [2]float64{x(b.Length), bar})...)
	for _, q := range b.Points {
		if off := q.Beside * scale; math.Abs(off) > 1 {
			p.line("bar", x(max(0, min(b.Length, q.Along))), bar, x(q.Along), bar-off)
		}
	}
	p.line("bar", x(0), bar, x(b.Length), bar)
	p.circle("ring", x(b.Most.X), y(b.Most.Bending), 4)
	for _, row := range alongBar(b.Points, scale) {
		q := row[0]
		px, py := x(q.Along), bar-q.Beside*scale
		p.circle("pin", px, py, 4.5)
		// Away from the bar, or on the side where there is no moment.
		dy := -9.0
		if beside := q.Beside * scale; beside < -1 || beside <= 1 && b.At(q.Along) < 0 {
			dy = 20
		}
		var names []string
		for _, one := range row {
			names = append(names, one.Name)
		}
		p.text(min(max(px, 12), bentWidth-12), py+dy, "middle", "small label", short(strings.Join(names, ", "), 20))
	}
	(&Mechanism{}).ruler(p, scale, height-10)
	return Picture{id, title, p.end()}
}

// alongBar are the points, those together that lie too near to each other for two names.
func alongBar(points []checks.LinkPoint, scale float64) (rows [][]checks.LinkPoint) {
	const apart = 12.0 // px
	for _, q := range points {
		if n := len(rows); n > 0 {
			if last := rows[n-1][0]; math.Hypot(q.Along-last.Along, q.Beside-last.Beside)*scale < apart {
				rows[n-1] = append(rows[n-1], q)
				continue
			}
		}
		rows = append(rows, []checks.LinkPoint{q})
	}
	return rows
}
