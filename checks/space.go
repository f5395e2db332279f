package checks

import (
	"cmp"
	"slices"
	"strings"

	"trammel.example/checks/linkage"
	"trammel.example/checks/space"
	"trammel.example/schema"
)

const (
	// ofInterest in m is how near two parts come before they are spoken of.
	ofInterest = 25e-3
	// movingClearance in m is what stays between two parts that pass each other, beside the play of their pivots and what they bend. Common practice, no source.
	movingClearance = 3e-3
)

// space judges in which planes the parts lie, and how they pass each other.
func (x *examiner) space() {
	planes := x.flat()
	x.askew(planes)
	if len(x.motion.cylinders) == 0 {
		return
	}
	s := newSubject(x.m, "room", x.m.Name, x.m.At)
	x.add(s)
	for _, c := range x.motion.cylinders {
		if why := x.motion.why(c); why != "" {
			s.open(why, "unseen")
			return
		}
	}
	w := x.scenery(planes)
	if w.seen == 0 {
		s.open("no moving part says how wide it is: add `outline: width: mm: …` to the links and `barrel: {outside: mm: …, length: mm: …}` to the cylinders, and parts that hit each other are found", "unseen")
		return
	}
	s.set("unseen", schema.NumberDim, float64(len(w.unseen)), w.blame...)
	s.text("unseenWhat", strings.Join(w.unseen, "; "))
	meetings, err := w.search(w.figures, space.Search{Within: ofInterest})
	if err != nil {
		s.open("the search for parts that hit each other stopped: "+err.Error(), "unseen")
		return
	}
	w.found = meetings
	for _, m := range meetings {
		w.pair(m)
	}
}

// A meeting is how near two parts come over all strokes.
type meeting struct {
	figures  [2]int
	parts    [2]string
	distance float64
	run      int     // in which they do
	stroke   float64 // of the rod that leads it
	nearer   bool    // than the search's clearance
	first    float64 // stroke from which on
}

// search finds how near every two parts come, in the order of the figures: in some runs, or without any named in all.
func (w *scenery) search(figures []figure, q space.Search, runs ...int) ([]meeting, error) {
	scene, of := w.scene(figures)
	nearest := map[[2]string]int{}
	var out []meeting
	for run := range w.x.motion.runs {
		if len(w.x.motion.runs[run].Poses) < 2 || len(runs) > 0 && !slices.Contains(runs, run) {
			continue
		}
		s, err := space.New(scene, w.motionOf(run))
		if err != nil {
			return nil, err
		}
		found, err := s.Closest(q)
		if err != nil {
			return nil, err
		}
		for _, a := range found {
			if a.Far {
				continue
			}
			m := meeting{figures: [2]int{of[a.Shapes[0]], of[a.Shapes[1]]}, distance: a.Distance, run: run, stroke: a.S, nearer: a.Nearer, first: a.First}
			m.parts = [2]string{figures[m.figures[0]].part, figures[m.figures[1]].part}
			i, known := nearest[m.parts]
			switch {
			case !known:
				nearest[m.parts] = len(out)
				out = append(out, m)
			case m.distance < out[i].distance:
				if out[i].nearer && out[i].run == run {
					m.first = min(m.first, out[i].first)
				}
				out[i] = m
			case m.nearer && out[i].run == run:
				out[i].first = min(m.first, out[i].first)
			}
		}
	}
	return out, nil
}

// plays gives how far each link and cylinder may be from where it is drawn: the most room that it has on one of its pins, and what it bends.
func (x *examiner) plays() map[string]float64 {
	most := map[string]float64{}
	for _, s := range x.subjects {
		f := s.Facts["clearanceMost"]
		if s.Kind != "fit" || f.Kind != Quantity {
			continue
		}
		_, what, _ := strings.Cut(s.Name, ": ")
		body, isLink := strings.CutPrefix(what, "link ")
		if !isLink {
			body, _, _ = strings.Cut(what, ".")
		}
		most[body] = max(most[body], f.SI)
	}
	for _, s := range x.subjects {
		if f := s.Facts["deflection"]; s.Kind == "section" && f.Kind == Quantity {
			most[s.Name] += f.SI
		}
	}
	return most
}

// needed is the room between two figures that pass each other.
func (w *scenery) needed(a, b *figure) float64 {
	return movingClearance + w.plays[w.carriers[a.carrier].body] + w.plays[w.carriers[b.carrier].body]
}

func (w *scenery) pair(m meeting) {
	a, b := &w.figures[m.figures[0]], &w.figures[m.figures[1]]
	s := newSubject(w.x.m, "pair", a.part+" and "+b.part, schema.OriginOf(a.blame).At)
	w.x.add(s)
	s.set("distance", schema.LengthDim, m.distance, a.blame, b.blame)
	s.worst("distance", w.x.motion.rodOut(m.run, m.stroke), w.x.motion.rodsAt(m.run, m.stroke)...)
	s.flag("apart", m.distance >= 0)
	needed := w.needed(a, b)
	s.set("needed", schema.LengthDim, needed)
	if m.nearer {
		s.text("first", w.x.motion.rodOut(m.run, m.first))
	}
	s.flag("meet", false)
	s.flag("whatever", m.distance >= 0 || !w.meet(s, m, needed))
	if m.distance < needed {
		s.text("remedyRoom", w.remedy(m, needed))
	}
}

// rodsAt are how far all rods are out at a stroke of the one that leads a run, m: exactly for that one and those at rest, and for those that
// move along as nearly as the poses lie together.
func (mo *motion) rodsAt(run int, stroke float64) []float64 {
	poses := mo.runs[run].Poses
	k, _ := slices.BinarySearchFunc(poses, stroke, func(p linkage.Pose, s float64) int { return cmp.Compare(p.Stroke, s) })
	k = min(max(k, 1), len(poses)-1)
	before, after := &poses[k-1], &poses[k]
	part := 0.0
	if way := after.Stroke - before.Stroke; way > 0 {
		part = (stroke - before.Stroke) / way
	}
	rods := make([]float64, len(before.Cylinders))
	for i := range rods {
		rods[i] = before.Cylinders[i].Stroke + part*(after.Cylinders[i].Stroke-before.Cylinders[i].Stroke)
	}
	return rods
}

// rodOut says where the rods are at a stroke of the one that leads a run.
func (mo *motion) rodOut(run int, stroke float64) string {
	r := &mo.runs[run]
	text := "with the rod of " + mo.cylinders[r.Lead] + " out by " + schema.Format(schema.LengthDim, stroke)
	if rest, ok := strings.CutPrefix(mo.rest(r), "with "); ok {
		text += " and " + rest
	}
	return text
}
