package drawing

import (
	"trammel.example/checks"
	"trammel.example/schema"
)

// Overlay draws two states of a machine at one scale: the later one as it is, the earlier one behind it, faded. There is none where they
// look alike.
func Overlay(before, now *schema.Machine, id string, coursesBefore, coursesNow []checks.Course) (Picture, bool) {
	old := &Mechanism{m: before, id: id + "-before", courses: coursesBefore}
	d := &Mechanism{m: now, id: id + "-now", courses: coursesNow}
	old.bound()
	d.bound()
	for i := range 2 {
		old.least[i] = min(old.least[i], d.least[i])
		old.most[i] = max(old.most[i], d.most[i])
	}
	old.beside = max(old.beside, d.beside)
	old.scale = min((pictureWidth-2*margin-old.beside)/(old.most[0]-old.least[0]), (pictureHeight-2*margin)/(old.most[1]-old.least[1]))
	d.least, d.most, d.beside, d.scale = old.least, old.most, old.beside, old.scale
	old.draw()
	d.draw()
	alone := &Mechanism{m: before, id: d.id, courses: coursesBefore, least: old.least, most: old.most, beside: old.beside, scale: old.scale}
	alone.draw()
	if alone.defs == d.defs && samePlaces(alone, d) {
		return Picture{}, false
	}
	p := &pen{}
	width, height := d.size()
	title := "Before, faded, and now"
	p.begin(id, title, "The mechanism to scale as it is now, with its rods in; faded, as it was before.", width, height)
	p.open("defs")
	p.b.WriteString(old.defs)
	p.b.WriteString(d.defs)
	p.close("defs")
	p.open("g", "class", "faded")
	old.set(p, old.first(), nil, false)
	p.close("g")
	d.set(p, d.first(), nil, true)
	d.labels(p, d.first(), "small strong label")
	d.ruler(p, d.scale, height-14)
	return Picture{id, title, p.end()}, true
}

// first is the pose with the rods in, where poses are known.
func (d *Mechanism) first() *Pose {
	if known := d.Known(); len(known) > 0 {
		return d.Pose(known[0], 0)
	}
	return d.drawn()
}

func samePlaces(a, b *Mechanism) bool {
	if len(a.parts) != len(b.parts) {
		return false
	}
	p, q := a.first(), b.first()
	for i := range a.parts {
		if a.parts[i].place(p).String() != b.parts[i].place(q).String() {
			return false
		}
	}
	return true
}
