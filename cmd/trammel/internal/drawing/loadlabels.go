package drawing

import (
	"math"

	"trammel.example/schema"
)

// overlap is how much two boxes have in common, px².
func (b box) overlap(o box) float64 {
	return max(0, min(b.right, o.right)-max(b.left, o.left)) * max(0, min(b.bottom, o.bottom)-max(b.top, o.top))
}

// A label is where a text begins, ends or has its middle, from the place of what it belongs to.
type label struct {
	x, y   float64
	anchor string
}

const smallLetter = 6.8 // px, of the small letters of labels, at most

// around is the room of a text.
func (l label) around(x, y float64, text string) box {
	long := smallLetter * float64(len([]rune(text)))
	left := x + l.x - long*map[string]float64{"start": 0, "middle": 0.5, "end": 1}[l.anchor]
	return box{left, y + l.y - 10, left + long, y + l.y + 3}
}

// towards is the way in which a load pushes, in px, and what is written beside it.
func towards(name string, l schema.Load) (x, y float64, says string) {
	angle, size := -math.Pi/2, l.Mass.String()
	if !l.Mass.Given() {
		angle, size = l.Towards.SI, l.Force.String()
	}
	return math.Cos(angle), -math.Sin(angle), short(name, 16) + " " + size
}

// loadLabels are where the loads have their labels, by name: beside their arrows, where they hide least of what else is written and drawn
// there with the rods in.
func (d *Mechanism) loadLabels() map[string]label {
	pose := d.first()
	var letters, lines []box // what must not be hidden, and what had better not be
	for _, name := range keys(d.m.Points) {
		x, y := d.at(pose.points[name])
		letters = append(letters, label{7, -7, "start"}.around(x, y, short(name, 14)), box{x - 6, y - 6, x + 6, y + 6})
	}
	for _, name := range keys(d.m.Links) { // the hatching under what stands still
		if l := d.m.Links[name]; l.Ground.Value {
			for _, point := range l.Points {
				x, y := d.at(pose.points[point.Value])
				lines = append(lines, box{x - 14, y + 6, x + 14, y + 24})
			}
		}
	}
	for _, name := range keys(d.m.Slides) {
		s := d.m.Slides[name]
		ax, ay := d.at(pose.points[s.Along[0].Value])
		bx, by := d.at(pose.points[s.Along[1].Value])
		lines = append(lines, box{min(ax, bx), min(ay, by) - 8, max(ax, bx), max(ay, by) + 8})
	}
	for _, name := range keys(d.m.Loads) {
		l := d.m.Loads[name]
		ax, ay := d.at(pose.points[l.At.Value])
		x, y, _ := towards(name, l)
		letters = append(letters, box{ax + min(0, 34*x) - 5, ay + min(0, 34*y) - 5, ax + max(0, 34*x) + 5, ay + max(0, 34*y) + 5})
	}
	width, height := d.size()
	placed := map[string]label{}
	for _, name := range keys(d.m.Loads) {
		l := d.m.Loads[name]
		ax, ay := d.at(pose.points[l.At.Value])
		x, y, text := towards(name, l)
		tipX, tipY := 34*x, 34*y
		var tries []label // beside the tip, then over and under the arrow, then farther off
		side, other := label{tipX + 9, tipY, "start"}, label{tipX - 9, tipY, "end"}
		if x < -0.5 {
			side, other = other, side
		}
		for _, off := range []float64{8, 24, -14} {
			tries = append(tries, label{side.x, tipY + off, side.anchor})
		}
		for _, off := range []float64{-12, 20, -26, 34, -40, 48} {
			tries = append(tries, label{tipX / 2, tipY/2 + off, "middle"})
		}
		tries = append(tries, label{other.x, tipY + 8, other.anchor})
		least := math.Inf(1)
		for _, one := range tries {
			at := one.around(ax, ay, text)
			hidden := 0.0
			for _, o := range letters {
				hidden += at.overlap(o)
			}
			for _, o := range lines {
				hidden += at.overlap(o) / 4
			}
			inside := at.overlap(box{0, 0, width, height})
			hidden += 4 * ((at.right-at.left)*(at.bottom-at.top) - inside)
			if hidden < least-1e-6 {
				least, placed[name] = hidden, one
			}
		}
		letters = append(letters, placed[name].around(ax, ay, text))
	}
	return placed
}
