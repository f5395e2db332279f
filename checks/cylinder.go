package checks

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"trammel.example/schema"
)

// halfThrust is the load, as a share of the thrust, up to which a moving cylinder is usually chosen.
const halfThrust = 0.5

func (x *examiner) cylinders() {
	rods := x.rods()
	for i, name := range x.motion.cylinders {
		x.cylinder(name, x.m.Cylinders[name], rods[i])
		x.cylinderEnds(name, x.m.Cylinders[name])
	}
}

// pistonAreas are those of the push and the pull, m²; the pull's is NaN without a rod.
func pistonAreas(y schema.Cylinder) (push, pull float64) {
	push = math.Pi / 4 * y.Bore.SI * y.Bore.SI
	if !y.Rod.Given() {
		return push, math.NaN()
	}
	return push, push - math.Pi/4*y.Rod.SI*y.Rod.SI
}

func (x *examiner) cylinder(name string, y schema.Cylinder, rod rod) {
	s := newSubject(x.m, "cylinder", name, y.At)
	x.add(s)
	push, pull := pistonAreas(y)
	s.set("deadLength", schema.LengthDim, y.Closed.SI-y.Stroke.SI, y.Closed, y.Stroke)
	leastDeadLength(s, y)
	x.strokeReached(s, name, y)
	x.sharing(s, name, y)
	x.force(s, name, rod)
	x.jam(s, name, rod)
	x.tip(s, name, y)
	x.path(s, name, y)
	zone, why := x.air.at(name)
	if why != "" {
		s.open(why, "set", "highest", "regulated", "thrustOut", "thrustIn", "loadRatioOut", "loadRatioIn", "thrustSet", "thrustHighest")
		return
	}
	s.flag("regulated", zone.regulated, zone.from...)
	if zone.why != "" {
		s.open(zone.why, "set", "thrustOut", "thrustIn", "loadRatioOut", "loadRatioIn", "thrustSet")
	} else {
		x.thrusts(s, name, y, zone, push, pull)
		x.buckling(s, name, y)
	}
	if zone.failedWhy != "" {
		s.open(zone.failedWhy, "highest", "thrustHighest")
	} else {
		s.set("highest", schema.PressureDim, zone.failed, zone.fromFailed...)
		s.set("thrustHighest", schema.ForceDim, zone.failed*push, append([]schema.Input{y.Bore}, zone.fromFailed...)...)
	}
	unregulated(s)
	if f, ok := s.Facts["pathWithstands"]; ok && f.Kind == Quantity {
		s.set("setForPath", schema.PressureDim, f.SI/push, y.Bore)
	}
}

// unregulated says how high the pressure of a cylinder without a regulator may come, and what one would be set to, as far as that is known.
func unregulated(s *Subject) {
	s.text("upTo", "how high that comes is not known ("+s.Facts["highest"].Why+")")
	if f := s.Facts["highest"]; f.Kind == Quantity {
		s.text("upTo", "up to "+schema.Format(schema.PressureDim, f.SI))
	}
	s.text("remedyRegulator", "Put a relieving regulator between receiver and valve")
	if f, ok := s.Facts["setForHalf"]; ok && f.Kind == Quantity {
		s.text("remedyRegulator", fmt.Sprintf("Put a relieving regulator between receiver and valve; %s would make the load half of the thrust", schema.Format(schema.PressureDim, f.SI)))
	}
}

// strokeReached is how much of its stroke the linkage lets a cylinder take: of what stops outside it leave, the least over all runs.
func (x *examiner) strokeReached(s *Subject, name string, y schema.Cylinder) {
	mo := x.motion
	i := indexOf(mo.cylinders, name)
	asked := mo.ranges[i]
	s.set("stroke", schema.LengthDim, asked[1]-asked[0], y.Stroke)
	if why := mo.why(name); why != "" {
		s.open(why, "strokeReached")
		return
	}
	reached, stops, worst := asked[1]-asked[0], "", ""
	mm := func(l float64) string { return schema.Format(schema.LengthDim, l) }
	for k := range mo.runs {
		r := &mo.runs[k]
		if r.Lead != i && !slices.Contains(r.With, i) || len(r.Poses) == 0 && r.Lead != i {
			continue // one that follows takes what the others leave it
		}
		if r.Before != nil {
			reached, stops, worst = 0, fmt.Sprintf("from the drawn pose the machine can't get to where it would begin: it stands %s, %s", "with "+mo.outs(func(c int) float64 { return r.Before.Strokes[c] }), mo.stopText(r.Before, r.Lead)), mo.rest(r)
			continue
		}
		from, to := r.Poses[0].Cylinders[i].Stroke, r.Poses[len(r.Poses)-1].Cylinders[i].Stroke
		var texts []string
		if r.Closing != nil {
			texts = append(texts, fmt.Sprintf("it can't close further than %s, %s", mm(from), mo.stopText(r.Closing, r.Lead)))
		}
		if r.Extending != nil {
			texts = append(texts, fmt.Sprintf("it can't extend beyond %s, %s", mm(to), mo.stopText(r.Extending, r.Lead)))
		}
		if len(texts) > 0 && to-from < reached {
			reached, stops, worst = to-from, strings.Join(texts, "; "), mo.rest(r)
		}
	}
	s.set("strokeReached", schema.LengthDim, reached, y.Stroke, y.Closed)
	s.worst("strokeReached", worst)
	s.text("strokeStops", stops)
	if stops != "" {
		s.text("remedyStroke", x.shorterStroke(i, reached))
	}
}

// sharing counts the cylinders on the same freedom of the links, on the first of them.
func (x *examiner) sharing(s *Subject, name string, y schema.Cylinder) {
	if x.motion.unknown() != "" {
		return
	}
	others, area := []string{}, y.Bore.SI*y.Bore.SI
	for _, set := range x.motion.solver.Mobility().Tied {
		if x.motion.cylinders[set[0]] != name {
			continue
		}
		for _, i := range set[1:] {
			others = append(others, x.motion.cylinders[i])
			bore := x.m.Cylinders[x.motion.cylinders[i]].Bore.SI
			area += bore * bore
		}
	}
	s.set("sharing", schema.NumberDim, float64(len(others)), y.Rear.At, y.Front.At)
	if len(others) > 0 {
		s.text("sharingWith", inWords(others))
		s.set("boreForAll", schema.LengthDim, math.Sqrt(area), y.Bore)
	}
}

// rest says where the cylinders are that stand still in a run, and which move along with the one that leads.
func (mo *motion) rest(r *run) string {
	var parts []string
	for i, name := range mo.cylinders {
		switch {
		case i == r.Lead:
		case r.moves(i):
			parts = append(parts, name+" moving along")
		case !r.moves(i) && len(r.At) > i:
			parts = append(parts, fmt.Sprintf("%s out by %s", name, schema.Format(schema.LengthDim, r.At[i])))
		}
	}
	if len(parts) == 0 {
		return ""
	}
	return "with " + inWords(parts)
}

// thrusts holds what the cylinder can do against what the loads ask for.
func (x *examiner) thrusts(s *Subject, name string, y schema.Cylinder, zone airZone, push, pull float64) {
	p := zone.pressure
	from := append([]schema.Input{y.Bore, y.Efficiency}, zone.from...)
	s.set("set", schema.PressureDim, p, zone.from...)
	s.set("thrustSet", schema.ForceDim, p*push, append([]schema.Input{y.Bore}, zone.from...)...)
	s.set("thrustOut", schema.ForceDim, y.Efficiency.SI*p*push, from...)
	largest, bore := 0.0, 0.0
	weak := map[string][2]float64{} // the bore and the pressure that it takes each way
	ratio := func(name, load string, area float64, from []schema.Input) {
		f := s.Facts[load]
		if f.Kind == Open {
			s.open(f.Why, name)
			return
		}
		thrust := y.Efficiency.SI * p * area
		if thrust <= 0 {
			s.open("without pressure there is no thrust", name)
			return
		}
		share := f.SI / thrust
		s.set(name, schema.NumberDim, share, append(append([]schema.Input{}, from...), f.From...)...)
		s.worst(name, f.Worst, f.Rods...)
		largest = max(largest, share)
		// What the rod takes of the piston's area does not grow with the bore.
		needed := math.Sqrt((area*share/halfThrust + push - area) * 4 / math.Pi)
		bore = max(bore, needed)
		if share > halfThrust {
			weak[name] = [2]float64{needed, p * share / halfThrust}
		}
	}
	ratio("loadRatioOut", "loadOut", push, from)
	if y.Acting.Value == "double" {
		if math.IsNaN(pull) {
			s.open("the rod's diameter is not given: add `rod: mm: …`, or `standard: \"ISO 6432\"`", "thrustIn", "loadRatioIn")
		} else {
			in := append([]schema.Input{y.Bore, y.Rod, y.Efficiency}, zone.from...)
			s.set("thrustIn", schema.ForceDim, y.Efficiency.SI*p*pull, in...)
			ratio("loadRatioIn", "loadIn", pull, in)
		}
	}
	if f := s.Facts["loadRatioOut"]; f.Kind == Quantity {
		s.set("boreForHalf", schema.LengthDim, bore, y.Bore)
		s.set("setForHalf", schema.PressureDim, p*largest/halfThrust, zone.from...)
		if len(weak) > 0 {
			in := 0.0
			if f, ok := s.Facts["thrustIn"]; ok && f.Kind == Quantity {
				in = f.SI
			}
			text := ""
			if !x.briefly {
				text = x.evenAnchor(indexOf(x.motion.cylinders, name), y.Efficiency.SI*p*push, in)
			}
			if text == "" {
				text = "or a longer lever with as much more stroke"
			}
			s.text("remedyAnchor", text)
			for way, remedy := range map[string]string{"loadRatioOut": "remedyPush", "loadRatioIn": "remedyPull"} {
				if needed, ok := weak[way]; ok {
					s.text(remedy, stronger(y, zone, needed[0], needed[1]))
				}
			}
		}
	}
}

// pressureStep in Pa is how finely a regulator is set.
const pressureStep = 5e3

// stronger names the bore, and where the cylinder and what feeds it allow one the pressure, that bring a load to half the thrust.
func stronger(y schema.Cylinder, zone airZone, bore, pressure float64) string {
	const boreStep = 0.1e-3
	up := func(x, step float64) float64 { return math.Ceil(x/step-rounding) * step }
	text := fmt.Sprintf("a bore of %s or more at this pressure", schema.Format(schema.LengthDim, up(bore, boreStep)))
	pressure = up(pressure, pressureStep)
	if (!y.Rating.Given() || pressure <= y.Rating.SI) && (zone.failedWhy != "" || pressure < zone.failed) {
		return text + fmt.Sprintf(", or %s with this bore", schema.Format(schema.PressureDim, pressure))
	}
	return text
}

// path finds the weakest of the parts in line with the rod: the cylinder's two ends, the blocks on their pins, the links they act on.
func (x *examiner) path(s *Subject, name string, y schema.Cylinder) {
	least, weakest := math.Inf(1), ""
	var from schema.Input
	var silent []string
	consider := func(what string, f schema.Force) {
		if !f.Given() {
			silent = append(silent, what)
			return
		}
		if f.SI < least {
			least, weakest, from = f.SI, what, f
		}
	}
	for _, end := range []struct {
		name string
		of   schema.CylinderEnd
	}{{"rear", y.Rear}, {"front", y.Front}} {
		consider(name+"'s "+end.name+" end", end.of.Withstands)
		point := end.of.At.Value
		for _, l := range x.motion.links {
			for _, p := range x.m.Links[l].Points {
				if p.Value == point && !x.m.Links[l].Ground.Value {
					consider("link "+l, x.m.Links[l].Withstands)
				}
			}
		}
		blocks, strength := 0, schema.Force{}
		for _, layer := range x.m.Pivots[point].Stack {
			if layer.Block.Given() {
				blocks++
				strength = layer.Block.Withstands
			}
		}
		if blocks > 0 {
			// Two blocks share the load, but not evenly: each is taken to bear all of it where the cylinder sits next to one.
			consider("block at "+point, strength)
		}
	}
	switch {
	case weakest == "":
		s.open("nothing in line with the rod says what it withstands: add `withstands: N: …` to "+strings.Join(silent, ", "), "pathWithstands", "pathWeakest")
	default:
		s.set("pathWithstands", schema.ForceDim, least, from)
		s.text("pathWeakest", weakest)
	}
}

func (x *examiner) cylinderEnds(name string, y schema.Cylinder) {
	for _, end := range []struct {
		name      string
		of, other schema.CylinderEnd
	}{{"front", y.Front, y.Rear}, {"rear", y.Rear, y.Front}} {
		s := newSubject(x.m, "cylinder end", name+"."+end.name, end.of.At.At)
		x.add(s)
		against := x.mountOf(end.of.At.Value, name)
		if swing, why := x.motion.swing(name, against); why != "" {
			s.open(why, "swing")
		} else {
			s.set("swing", schema.AngleDim, swing, y.Stroke, end.of.At)
			s.text("against", against)
		}
		if end.of.Tilts.Given() {
			x.ballTilt(s, end.of, end.other)
		}
		screwedOn(s, y, end.of.ScrewedOn)
		if pinless(end.of) {
			x.fixedEnd(s, name, end.of, end.other, against)
			if end.name == "front" {
				x.hung(s, name, y)
			}
			continue
		}
		if end.of.Swing.Given() {
			s.set("swingAllowed", schema.AngleDim, end.of.Swing.SI, end.of.Swing)
		} else {
			s.open("how far the mount lets it turn is not given: add `swing: deg: …` from its data sheet", "swingAllowed")
		}
	}
}

// mountOf is the body against which a cylinder's end turns: what the pin turns with, else a fixed link at the point, else the first link.
func (x *examiner) mountOf(point, cylinder string) string {
	if with := x.m.Pivots[point].Pin.TurnsWith.Value; with != "" && with != cylinder {
		return with
	}
	first := ""
	for _, l := range x.motion.links {
		for _, p := range x.m.Links[l].Points {
			if p.Value != point {
				continue
			}
			if x.m.Links[l].Ground.Value {
				return l
			}
			if first == "" {
				first = l
			}
		}
	}
	return first
}
