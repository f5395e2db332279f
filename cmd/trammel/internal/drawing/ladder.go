package drawing

import (
	"math"
	"strings"

	"trammel.example/schema"
)

// A Rung is one rule on a ladder of pressures: it breaks between two of them.
type Rung struct {
	Name, Says string
	From, To   float64 // Pa; the second may be infinite
}

// A Mark is a pressure of note on a ladder.
type Mark struct {
	Name string
	At   float64 // Pa
}

const (
	markRow     = 15.0
	ladderFoot  = 22.0
	ladderWidth = 360.0 // px: a phone shows it at its size
)

// Ladder draws at which pressures rules hold, up to a highest, with the marks across them, in as many pictures as it takes.
func Ladder(id, title string, highest float64, marks []Mark, rungs []Rung) []Picture {
	const left = barsMargin
	long := ladderWidth - 2*left
	at := func(pressure float64) float64 { return left + long*min(max(pressure/highest, 0), 1) }
	return paged(id, title, rungs, func(name, heading string, part []Rung) string {
		var says []string
		for _, m := range marks {
			says = append(says, m.Name+" "+schema.Format(schema.PressureDim, m.At))
		}
		for _, r := range part {
			says = append(says, r.Name+" "+r.Says)
		}
		top := markRow*float64(len(marks)) + 10
		height := top + barRow*float64(len(part)) + ladderFoot
		p := &pen{}
		p.begin(name, heading, "A scale of pressure from 0 to "+schema.Format(schema.PressureDim, highest)+", with a bar for each rule where it holds: "+strings.Join(says, "; ")+".", ladderWidth, height)
		for i, m := range marks {
			y := markRow * float64(i+1)
			p.line("thin", at(m.At), y-10, at(m.At), top-2)
			anchor, x := "start", at(m.At)+4
			if at(m.At) > ladderWidth/2 {
				anchor, x = "end", at(m.At)-4
			}
			p.text(x, y, anchor, "small strong label", m.Name+" "+schema.Format(schema.PressureDim, m.At))
		}
		for i, r := range part {
			y := top + barRow*float64(i)
			p.rung(r, highest, at, y)
			for _, m := range marks { // across the bars alone: between them are letters
				p.line("thin", at(m.At), y+13, at(m.At), y+29)
			}
		}
		foot := height - ladderFoot
		p.line("line", left, foot, left+long, foot)
		step := math.Max(1, math.Ceil(highest/1e5/10))
		for bar := 0.0; bar <= highest/1e5+1e-9; bar += step {
			p.line("thin", at(bar*1e5), foot, at(bar*1e5), foot+4)
			p.text(at(bar*1e5), foot+15, "middle", "mark", num(bar))
		}
		p.text(left+long, foot-4, "end", "mark", "bar")
		return p.end()
	})
}

// rung draws one rule: its name, where it holds, and where it breaks with another fill and a thicker rim.
func (p *pen) rung(r Rung, highest float64, at func(float64) float64, y float64) {
	p.text(barsMargin, y+10, "start", "small strong label", short(r.Name, barName))
	if r.From > 0 {
		p.rect("link", at(0), y+15, at(r.From)-at(0), 12)
	}
	if r.To < highest {
		p.rect("link", at(r.To), y+15, at(highest)-at(r.To), 12)
	}
	p.rect("clash", at(r.From), y+15, at(r.To)-at(r.From), 12)
	p.text(barsMargin, y+38, "start", "small label", short(r.Says, barSays))
}
