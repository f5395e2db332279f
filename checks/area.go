package checks

import (
	"gonum.org/v1/gonum/spatial/r2"

	"trammel.example/checks/space"
	"trammel.example/schema"
)

// hair in m is how wide a link without an outline is taken to be: its points and the lines between them.
const hair = 1e-4

// aroundAreas gives the facts of each zone that has an area: no pressure changes them.
func (x *examiner) aroundAreas() map[string]map[string]Fact {
	all := map[string]map[string]Fact{}
	for _, name := range sorted(x.m.People) {
		if z := x.m.People[name]; len(z.Area) > 0 {
			s := newSubject(x.m, "zone", name, z.At)
			x.area(s, z)
			all[name] = s.Facts
		}
	}
	return all
}

// area compares where people are in the plane with all that moves over all strokes, whatever its layer.
func (x *examiner) area(s *Subject, z schema.Zone) {
	if len(x.motion.cylinders) == 0 {
		s.open("nothing moves the machine: it has no cylinder", "areaMargin")
		return
	}
	if why := x.motion.unknown(); why != "" {
		s.open(why, "areaMargin")
		return
	}
	corners := make([]r2.Vec, len(z.Area))
	for i, c := range z.Area {
		corners[i] = r2.Vec{X: c.X.SI, Y: c.Y.SI}
	}
	outline, err := space.Polygon(corners...)
	if err != nil {
		s.open(err.Error(), "areaMargin")
		return
	}
	w, stray := x.scenery(x.flat()), 0.0
	for _, name := range x.motion.links {
		if !x.m.Links[name].Ground.Value {
			stray = max(stray, w.plays[name])
		}
	}
	w.hairs()
	people := w.standing("people")
	if people >= 0 {
		outline, err = space.Polygon(w.placed(people, corners)...)
	}
	if people < 0 || err != nil {
		s.open("no link stands still: the area has no place beside the machine", "areaMargin")
		return
	}
	scene := space.Scene{}
	var parts []string
	for i := range w.figures {
		if f := &w.figures[i]; !w.carriers[f.carrier].ground {
			scene.Shapes = append(scene.Shapes, space.Shape{Body: f.carrier, Outline: f.outline, High: 1})
			parts = append(parts, f.part)
		}
	}
	scene.Shapes = append(scene.Shapes, space.Shape{Body: people, Outline: outline, High: 1})
	for i := range w.carriers {
		for k := range i {
			if i != people && k != people {
				scene.Ignored = append(scene.Ignored, [2]int{k, i})
			}
		}
	}
	least, part, when := 0.0, "", ""
	var rods []float64
	for k := range x.motion.runs {
		if len(x.motion.runs[k].Poses) < 2 {
			continue
		}
		found := []space.Approach(nil)
		sp, err := space.New(scene, w.motionOf(k))
		if err == nil {
			found, err = sp.Closest(space.Search{})
		}
		if err != nil {
			s.open("how near the machine comes to these people is not known: "+err.Error(), "areaMargin")
			return
		}
		for _, a := range found {
			if part == "" || a.Distance < least {
				least, part = a.Distance, parts[min(a.Shapes[0], a.Shapes[1])]
				when, rods = x.motion.rodOut(k, a.S), x.motion.rodsAt(k, a.S)
			}
		}
	}
	if part == "" {
		s.open("no part of the machine moves", "areaMargin")
		return
	}
	s.set("areaMargin", schema.LengthDim, least-stray, z.Area[0].X)
	s.worst("areaMargin", when, rods...)
	s.text("areaPart", part)
	s.set("areaStray", schema.LengthDim, stray)
	s.set("areaMore", schema.LengthDim, stray-least)
}

// hairs draws the moving links that have no outline from point to point.
func (w *scenery) hairs() {
	drawn := map[string]bool{}
	for _, f := range w.figures {
		drawn[w.carriers[f.carrier].body] = true
	}
	for _, name := range w.x.motion.links {
		l := w.x.m.Links[name]
		if l.Ground.Value || drawn[name] {
			continue
		}
		frame := w.frameOf(name, "")
		var points []r2.Vec
		for _, p := range l.Points {
			points = append(points, w.at(&frame, p.Value))
		}
		if bar, err := space.Bar(hair, points...); err == nil {
			w.figures = append(w.figures, figure{part: name, carrier: w.carry(frame), outline: bar})
		}
	}
}

// standing is the carrier of what stands beside the machine; -1 where no link stands still.
func (w *scenery) standing(body string) int {
	for _, name := range w.x.motion.links {
		if w.x.m.Links[name].Ground.Value {
			frame := w.frameOf(name, "")
			return w.carry(carrier{body: body, index: frame.index, origin: frame.origin, ground: true})
		}
	}
	return -1
}

// placed are points of the drawing in the frame of a carrier that stands still.
func (w *scenery) placed(on int, drawn []r2.Vec) []r2.Vec {
	at := w.x.motion.mechanism.Points[w.carriers[on].origin]
	own := make([]r2.Vec, len(drawn))
	for i, p := range drawn {
		own[i] = r2.Sub(p, at)
	}
	return own
}
