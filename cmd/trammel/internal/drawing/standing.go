package drawing

import (
	"fmt"
	"math"

	"trammel.example/checks"
	"trammel.example/schema"
)

const (
	reactionArrow = 78.0 // px
	reactionNear  = 13.0 // over the bench, clear of the base
	clampArrow    = 30.0
)

// Standing is the picture of the machine on its bench in the moment in which its base is worst off: feet, centre of mass, what holds it down,
// and where all that pushes it comes to the bench. False where that is not known.
func (d *Mechanism) Standing(s *checks.Standing) (Picture, bool) {
	if s == nil {
		return Picture{}, false
	}
	b, facts := d.m.Base, s.Base.Facts
	course, pose, found := d.Find(s.Rods)
	if s.Rods == nil || !found {
		return Picture{}, false
	}
	e := &Mechanism{m: d.m, id: d.id + "-standing", courses: d.courses}
	e.bound()
	hold := func(x, y float64) {
		e.least = [2]float64{min(e.least[0], x), min(e.least[1], y)}
		e.most = [2]float64{max(e.most[0], x), max(e.most[1], y)}
	}
	// Where the line of the push comes to the bench far away, the bench is broken off before it.
	wide := b.Feet.To.SI - b.Feet.From.SI
	reach, broken := s.At, true
	switch {
	case s.At < b.Feet.From.SI-wide/2:
		reach = b.Feet.From.SI - wide/4
	case s.At > b.Feet.To.SI+wide/2:
		reach = b.Feet.To.SI + wide/4
	default:
		broken = false
	}
	hold(b.Feet.From.SI, b.Feet.Y.SI)
	hold(b.Feet.To.SI, b.Feet.Y.SI)
	hold(b.Centre.X.SI, b.Centre.Y.SI)
	hold(reach, b.Feet.Y.SI)
	e.beside = 0
	const below = 70 // px under the feet
	e.scale = min((pictureWidth-2*margin)/(e.most[0]-e.least[0]), (pictureHeight-2*margin-below)/(e.most[1]-e.least[1]))
	e.draw()
	width, height := e.size()
	height += below
	p := &pen{}
	push := schema.Format(schema.ForceDim, math.Hypot(s.Down, s.Across)) + map[bool]string{true: " press it onto the bench", false: " lift it off the bench"}[s.Down >= 0]
	at := schema.Format(schema.LengthDim, s.At)
	words := push + ", at x = " + at
	edge := ""
	if r, known := facts["reserve"]; known && r.Kind == checks.Quantity {
		edge = fmt.Sprintf("would tip here, reserve %s", r.String())
		words += "; it would tip over the edge that is marked, with a reserve of " + r.String()
	}
	if pull := facts["pull"]; pull.Kind == checks.Quantity && b.Screws.Given() {
		words += fmt.Sprintf("; the worst of its %d screws gets %s of %s", len(b.Screws.At), pull.String(), facts["pullAllowed"].String())
	}
	title := worst("How it stands", s.Worst) + ". " + standingLegend(b, broken)
	p.begin(e.id, title, "The machine on its feet, to scale: "+words+".", width, height)
	p.open("defs")
	p.b.WriteString(e.defs)
	p.close("defs")
	e.frame(p)
	shown := e.Pose(course, pose)
	e.set(p, shown, nil, false)
	_, floor := e.at([2]float64{0, b.Feet.Y.SI})
	px := func(x float64) float64 { q, _ := e.at([2]float64{x, b.Feet.Y.SI}); return q }
	from, to, x := px(b.Feet.From.SI), px(b.Feet.To.SI), px(reach)
	e.bench(p, floor, width)
	if broken {
		breakMark(p, (x+max(from, min(to, x)))/2, floor)
	}
	// The base itself is not drawn by anybody: a line from foot to foot, and a block under each end.
	p.line("stop", from, floor-7, to, floor-7)
	p.rect("steel", from, floor-9, 14, 9)
	p.rect("steel", to-14, floor-9, 14, 9)
	for _, c := range b.Clamps {
		x := px(c.X.SI)
		arrow(p, x, floor-12-clampArrow, x, floor-11)
		p.text(x, floor-16-clampArrow, "middle", "small label", c.Force.String())
	}
	for _, c := range b.Ballast {
		x := px(c.X.SI)
		p.rect("part", x-9, floor-27, 18, 18)
		p.text(x, floor-31, "middle", "small label", c.Mass.String())
	}
	for _, c := range b.Screws.At {
		x := px(c.X.SI)
		p.line("line", x-5, floor-12, x+5, floor-12)
		p.line("line", x, floor-12, x, floor+12)
	}
	if edge != "" {
		x, anchor := to, "end"
		if s.Left {
			x, anchor = from, "start"
		}
		p.path("ring", true, [2]float64{x, floor + 1}, [2]float64{x - 9, floor + 17}, [2]float64{x + 9, floor + 17})
		p.text(x, floor+50, anchor, "small strong label", edge)
	}
	// What presses down ends over the base, what lifts begins there; a thin line leads to where that comes to the feet.
	length := math.Hypot(s.Down, s.Across)
	ux, uy := s.Across/length, s.Down/length
	if s.Down < 0 {
		ux, uy = -ux, -uy
	}
	along := func(far float64) (float64, float64) { return x - far*ux, floor - far*uy }
	nearX, nearY := along(min(reactionArrow-20, reactionNear/uy))
	farX, farY := along(reactionArrow)
	if s.Down < 0 {
		nearX, nearY, farX, farY = farX, farY, nearX, nearY
	}
	p.line("thin", x, floor, nearX, nearY)
	p.line("load", farX, farY, nearX+(farX-nearX)/20, nearY+(farY-nearY)/20)
	arrow(p, farX, farY, nearX, nearY)
	p.circle("ring", x, floor, 5)
	ends := push
	if broken {
		ends += ", at x = " + at
	}
	half := 3.4 * float64(len([]rune(ends)))
	p.text(min(max(x, half+6), width-half-6), floor+33, "middle", "small strong label", ends)
	cx, cy := e.at([2]float64{b.Centre.X.SI, b.Centre.Y.SI})
	centre(p, cx, cy)
	beside, anchor := cx+12, "start"
	if right := max(farX, nearX); right > cx && right < cx+70 { // the push goes through there
		beside, anchor = cx-12, "end"
	}
	p.text(beside, cy+4, anchor, "small label", b.Mass.String())
	e.labels(p, shown, "small strong label")
	e.ruler(p, e.scale, height-10)
	return Picture{e.id, title, p.end()}, true
}

// worst adds to what a picture is of, when that is worst.
func worst(of, when string) string {
	if when == "" {
		return of
	}
	return of + ", worst " + when
}

// standingLegend says what the signs of a base mean, of those that it has.
func standingLegend(b schema.Base, broken bool) string {
	text := "Thick arrow: all that pushes machine and base, put together; ring: where its line comes to the bench"
	if broken {
		text += ", farther away than it is drawn"
	}
	text += ". Circle with two dark quarters: centre of mass"
	for _, one := range []struct {
		there bool
		says  string
	}{
		{len(b.Clamps) > 0, ". Thin arrows: clamps"},
		{len(b.Ballast) > 0, ". Boxes: ballast"},
		{len(b.Screws.At) > 0, ". T: screws into the bench"},
	} {
		if one.there {
			text += one.says
		}
	}
	return text
}

// breakMark breaks off the bench.
func breakMark(p *pen, x, floor float64) {
	p.path("paper", true, [2]float64{x - 7, floor + 11}, [2]float64{x - 1, floor - 5}, [2]float64{x + 9, floor - 5}, [2]float64{x + 3, floor + 11})
	for _, at := range []float64{x - 5, x + 5} {
		p.line("thin", at-3, floor+12, at+4, floor-7)
	}
}

// frame draws the members of the machine's frame, as deep as they are.
func (d *Mechanism) frame(p *pen) {
	for _, name := range keys(d.m.Frame.Members) {
		m := d.m.Frame.Members[name]
		var ends [2][2]float64
		for i, end := range m.Between {
			q := d.m.Joint(end.Value)
			ends[i][0], ends[i][1] = d.at([2]float64{q.X.SI, q.Y.SI})
		}
		p.tag("path", "class", "part", "d", capsule(ends[0], ends[1], max(1, m.Section.Depth.SI/2*d.scale)))
	}
}

// bench hatches the bench under a machine.
func (d *Mechanism) bench(p *pen, floor, width float64) {
	from, to := 4.0, width-4
	if b := d.m.Base.Bench; b.Given() {
		left, _ := d.at([2]float64{b.From.SI, 0})
		right, _ := d.at([2]float64{b.To.SI, 0})
		from, to = max(from, left), min(to, right)
	}
	p.line("ground", from, floor, to, floor)
	var hatch string
	for x := from + 8; x <= to; x += 9 {
		hatch += way(false, [2]float64{x, floor}, [2]float64{x - 7, floor + 8})
	}
	p.tag("path", "class", "hatch", "d", hatch)
}

// centre is the mark of a centre of mass: a circle with two of its quarters full.
func centre(p *pen, x, y float64) {
	const r = 8.0
	p.circle("void", x, y, r)
	quarter := func(sx, sy float64) {
		p.tag("path", "class", "full", "d", "M"+num(x)+" "+num(y)+"L"+num(x+r*sx)+" "+num(y)+"A"+num(r)+" "+num(r)+" 0 0 "+map[bool]string{true: "0", false: "1"}[sx*sy < 0]+" "+num(x)+" "+num(y+r*sy)+"Z")
	}
	quarter(1, -1)
	quarter(-1, 1)
}
