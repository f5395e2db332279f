package drawing

import (
	"fmt"
	"math"

	"trammel.example/checks"
	"trammel.example/schema"
)

const (
	groupWidth  = 360.0 // px: a phone shows it at its size
	groupFace   = 230.0 // the most that a face takes up of it, and of the height
	shareArrow  = 52.0  // the longest
	groupMargin = 66.0
	screwRow    = 13.0 // of what a screw gets
	screwText   = 72.0 // the width of that
)

// ScrewGroup is the picture of the screws of one part, to scale: their elastic centre, what each gets across and along it, and the worst.
func ScrewGroup(g checks.ScrewGroup, id string) Picture {
	least, most := [2]float64{math.Inf(1), math.Inf(1)}, [2]float64{math.Inf(-1), math.Inf(-1)}
	around := max(g.Edge, g.Hole)
	largest := math.Hypot(g.Force.U, g.Force.W) / float64(len(g.Screws))
	for i, s := range g.Screws {
		least = [2]float64{min(least[0], s.U-around), min(least[1], s.W-around)}
		most = [2]float64{max(most[0], s.U+around), max(most[1], s.W+around)}
		largest = max(largest, g.Shares[i].Shear())
	}
	scale := groupFace / max(most[0]-least[0], most[1]-least[1])
	left := (groupWidth - (most[0]-least[0])*scale) / 2
	at := func(u, w float64) (x, y float64) { return left + (u-least[0])*scale, groupMargin + (most[1]-w)*scale }
	height := (most[1]-least[1])*scale + 2*groupMargin + 40

	p := &pen{}
	title := worst("Screws of "+g.Name, g.When) + ". Arrows: what shears each; ringed: the worst; cross: their elastic centre"
	newtons := func(f float64) string { return schema.Format(schema.ForceDim, math.Round(f)) }
	ringed := g.Shares[g.Worst]
	describe := fmt.Sprintf("%d screws on their face, to scale. The worst, which is ringed, gets %s across it and %s along it, %.0f %% of what it may by what %s.",
		len(g.Screws), newtons(ringed.Shear()), newtons(ringed.Tension), 100*g.Utilised, g.By)
	p.begin(id, title, describe, groupWidth, height)
	x1, y1 := at(least[0], most[1])
	x2, y2 := at(most[0], least[1])
	p.rect("part", x1, y1, x2-x1, y2-y1)
	for _, s := range g.Screws {
		x, y := at(s.U, s.W)
		p.circle("void", x, y, max(3, g.Hole/2*scale))
	}
	// The elastic centre, and what comes onto the part there.
	cx, cy := at(g.Middle.U, g.Middle.W)
	p.line("thin", cx-8, cy, cx+8, cy)
	p.line("thin", cx, cy-8, cx, cy+8)
	forceOn := func(x, y, u, w float64) {
		length := math.Hypot(u, w)
		if length < 0.02*largest || largest == 0 {
			return
		}
		long := max(12, shareArrow*min(1, length/largest))
		p.line("load", x, y, x+(long-5)*u/length, y-(long-5)*w/length)
		arrow(p, x, y, x+long*u/length, y-long*w/length)
	}
	room := true // for what each gets
	for i, s := range g.Screws {
		for _, o := range g.Screws[:i] {
			room = room && (math.Abs(s.U-o.U)*scale > screwText || math.Abs(s.W-o.W)*scale > 3*screwRow+g.Hole*scale)
		}
		x, y := at(s.U, s.W)
		forceOn(x, y, g.Shares[i].U, g.Shares[i].W)
		if i == g.Worst {
			p.circle("ring", x, y, max(3, g.Hole/2*scale)+5)
		}
	}
	for i, s := range g.Screws {
		if i != g.Worst && !room {
			continue
		}
		x, y := at(s.U, s.W)
		says := []string{newtons(g.Shares[i].Shear()) + " shear"}
		if t := g.Shares[i].Tension; t > 0.5 {
			says = append(says, newtons(t)+" pull")
		}
		// On the side to which the arrow does not go.
		next := y + max(3, g.Hole/2*scale) + 16
		if g.Shares[i].W < -0.3*g.Shares[i].Shear() {
			next = y - max(3, g.Hole/2*scale) - 10 - screwRow*float64(len(says)-1)
		}
		for _, one := range says {
			p.text(x, next, "middle", "small label", one)
			next += screwRow
		}
	}
	ways := "The face lies in the drawing."
	if g.OnEdge {
		ways = "Seen on the heads; the viewer of the drawing is above."
	}
	sum := newtons(math.Hypot(g.Force.U, g.Force.W)) + " slide it"
	if math.Abs(g.Turns) >= 0.005 {
		sum += ", " + schema.Format(schema.TorqueDim, math.Abs(g.Turns)) + " turn it " + map[bool]string{true: "anticlockwise", false: "clockwise"}[g.Turns > 0]
	}
	if math.Abs(g.Pull) >= 0.5 {
		sum += ", " + newtons(math.Abs(g.Pull)) + map[bool]string{true: " pull it off", false: " press it on"}[g.Pull > 0]
	}
	p.text(12, 18, "start", "small strong", short(sum, 56))
	p.text(12, 34, "start", "small", short(fmt.Sprintf("the worst screw: %.0f %% of what it may, by what %s", 100*g.Utilised, g.By), 56))
	p.text(12, height-34, "start", "small", short(ways, 56))
	(&Mechanism{}).ruler(p, scale, height-12)
	return Picture{id, title, p.end()}
}
