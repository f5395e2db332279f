package checks

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"gonum.org/v1/gonum/spatial/r2"

	"trammel.example/checks/space"
	"trammel.example/schema"
)

const (
	// besideClearance in m is what stays along the pins between parts that pass beside each other; as between a fork's cheek and a link.
	besideClearance = 1e-3
	// step in m is what widths and places are rounded to in an offer.
	step = 0.1e-3
	// tolerance in m of the distances that the search finds.
	tolerance = 1e-5
)

// remedy offers what gives two parts the room that they need. Each offer has been tried.
func (w *scenery) remedy(m meeting, needed float64) string {
	var offers []string
	for side, i := range m.figures {
		if text := w.narrower(m, i, needed); text != "" {
			offers = append(offers, text)
		}
		if text := w.without(m, i, needed); text != "" {
			offers = append(offers, text)
		}
		if text := w.aside(m, i, m.figures[1-side]); text != "" {
			offers = append(offers, text)
		}
	}
	if text := w.stop(m, needed); text != "" {
		offers = append(offers, text)
	}
	if len(offers) == 0 {
		return fmt.Sprintf("draw one of the two anew, with %s more between them", schema.Format(schema.LengthDim, needed-m.distance))
	}
	return strings.Join(offers, ", or ")
}

// smaller says whether two parts have the room they need when figures of theirs take up less. All others are left out: none comes nearer.
func (w *scenery) smaller(m meeting, figures []figure, needed float64) bool {
	var both []figure
	for _, f := range figures {
		if slices.Contains(m.parts[:], f.part) {
			both = append(both, f)
		}
	}
	found, err := w.search(both, space.Search{Within: ofInterest})
	return err == nil && !slices.ContainsFunc(found, func(f meeting) bool { return f.distance < needed })
}

// elsewhere says whether two parts have the room they need with some parts in other layers, which brings those no nearer to any other than
// they were or may be.
func (w *scenery) elsewhere(m meeting, figures []figure) bool {
	found, err := w.search(figures, space.Search{Within: ofInterest})
	if err != nil {
		return false
	}
	before := map[[2]string]float64{}
	for _, f := range w.found {
		before[f.parts] = f.distance
	}
	for _, f := range found {
		limit := w.needed(&figures[f.figures[0]], &figures[f.figures[1]])
		if old, ok := before[f.parts]; ok && f.parts != m.parts {
			limit = min(limit, old-tolerance)
		}
		if f.distance < limit {
			return false
		}
	}
	return true
}

// narrower tries one of the two with less width: twice what is missing, since a bar loses half on either side.
func (w *scenery) narrower(m meeting, i int, needed float64) string {
	f := w.figures[i]
	c := w.carriers[f.carrier]
	if f.width == 0 || f.bought {
		return ""
	}
	width := math.Floor((f.width-2*(needed-m.distance))/step+rounding) * step
	hole := 0.0
	for _, s := range w.planes.stacks {
		for _, o := range s.members {
			if o.Link.Value == c.body {
				hole = max(hole, o.Hole.SI)
			}
		}
	}
	if width < hole+2*wallLeast(hole) {
		return ""
	}
	figures := slices.Clone(w.figures)
	for k := range figures {
		if schema.OriginOf(figures[k].blame).Path != schema.OriginOf(f.blame).Path {
			continue
		}
		var err error
		if figures[k].outline, err = figures[k].drawnWith(width); err != nil {
			return ""
		}
	}
	if !w.smaller(m, figures, needed) {
		return ""
	}
	return fmt.Sprintf("make %s %s wide or less there, in place of %s", f.part, schema.Format(schema.LengthDim, width), schema.Format(schema.LengthDim, f.width))
}

// without tries a link without one of the shapes that stick out of it.
func (w *scenery) without(m meeting, i int, needed float64) string {
	f := w.figures[i]
	if f.width > 0 || f.bought || !w.smaller(m, slices.Delete(slices.Clone(w.figures), i, i+1), needed) {
		return ""
	}
	at := w.drawn(w.x.motion.points[w.carriers[f.carrier].origin])
	at = r2.Add(at, f.points[0])
	mm := func(x float64) string { return schema.Format(schema.LengthDim, x) }
	return fmt.Sprintf("take the shape off %s whose first corner is drawn at (%s, %s), or cut it back where they meet", f.part, mm(at.X), mm(at.Y))
}

// aside tries a link in another layer along its pins, beyond the other part: the whole of it, or its two flats farther apart.
func (w *scenery) aside(m meeting, i, other int) string {
	f := &w.figures[i]
	c := w.carriers[f.carrier]
	if c.turns || c.ground {
		return ""
	}
	own, beside := hull(f.layers), hull(w.figures[other].layers)
	if len(f.layers) == 2 {
		low, high := f.layers[0].high, f.layers[1].low
		return w.spread(m, c.body, max(low-beside.low, beside.high-high)+besideClearance)
	}
	for _, move := range []struct {
		by      float64
		towards string
	}{{beside.high + besideClearance - own.low, "towards the viewer"}, {beside.low - besideClearance - own.high, "to the back"}} {
		by := math.Copysign(math.Ceil(math.Abs(move.by)/step-rounding)*step, move.by)
		moved := func(l interval) interval { return l.moved(by) }
		if len(w.inTheWay(c.body, moved)) > 0 || !w.elsewhere(m, w.layered([]string{c.body}, moved)) {
			continue
		}
		return fmt.Sprintf("move %s by %s along its pins, %s, with spacers", c.body, schema.Format(schema.LengthDim, math.Abs(by)), move.towards)
	}
	return ""
}

// spread tries the two flats of a link farther apart, and with them those of the links outside of it.
func (w *scenery) spread(m meeting, body string, by float64) string {
	by = math.Ceil(by/step-rounding) * step
	pins := w.pins(body)
	middle := hull(w.z(body, pins[0])).middle()
	moved := func(l interval) interval { return l.moved(math.Copysign(by, l.middle()-middle)) }
	bodies := []string{body}
	for k := 0; k < len(bodies); k++ {
		for _, b := range w.inTheWay(bodies[k], moved) {
			if slices.Contains(bodies, b) {
				continue
			}
			if _, isLink := w.x.m.Links[b]; !isLink || slices.ContainsFunc(w.pins(b), func(p string) bool { return len(w.z(b, p)) != 2 }) {
				return ""
			}
			bodies = append(bodies, b)
		}
	}
	if by <= 0 || !w.elsewhere(m, w.layered(bodies, moved)) {
		return ""
	}
	return fmt.Sprintf("set both flats of %s %s farther out on all of their pins", inWords(bodies), schema.Format(schema.LengthDim, by))
}

// layered are the figures with those of some parts in other layers.
func (w *scenery) layered(bodies []string, moved func(interval) interval) []figure {
	figures := slices.Clone(w.figures)
	for n := range figures {
		if !slices.Contains(bodies, w.carriers[figures[n].carrier].body) {
			continue
		}
		figures[n].layers = nil
		for _, l := range w.figures[n].layers {
			figures[n].layers = append(figures[n].layers, moved(l))
		}
	}
	return figures
}

// inTheWay are the parts on a part's pins that lie where its layers would. Washers and spacers give way, and blocks are screwed on wherever
// the pin wants them.
func (w *scenery) inTheWay(body string, moved func(interval) interval) []string {
	var found []string
	for _, point := range w.pins(body) {
		for _, other := range w.planes.stacks[point].bodies() {
			for _, own := range w.z(body, point) {
				if other != body && !slices.Contains(found, other) && slices.ContainsFunc(w.z(other, point), moved(own).meets) {
					found = append(found, other)
				}
			}
		}
	}
	return found
}

// stop tries a stroke that ends before the two come too near, where that leaves more than half of it.
func (w *scenery) stop(m meeting, needed float64) string {
	found, err := w.search(w.figures, space.Search{Within: ofInterest, Clearance: needed})
	if err != nil {
		return ""
	}
	strokes := w.motionOf(m.run).S
	for _, f := range found {
		at := math.Floor(f.first/step) * step
		if f.parts == m.parts && f.nearer && f.run == m.run && at > (strokes[0]+strokes[len(strokes)-1])/2 {
			return fmt.Sprintf("stop the rod of %s at %s", w.x.motion.cylinders[w.x.motion.runs[m.run].Lead], schema.Format(schema.LengthDim, at))
		}
	}
	return ""
}
