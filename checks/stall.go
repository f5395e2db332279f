package checks

import (
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r2"

	"trammel.example/schema"
)

const (
	// settingStep is how finely a regulator can be set, Pa.
	settingStep = 1e3
	// farMore is from how many times the thrust on it is said why.
	farMore = 1.5
)

// stalls judges what the links carry when the machine meets something (levers and toggles give them more than the thrust), stands, goes and stops.
func (x *examiner) stalls() {
	mo := x.motion
	var asked []int
	for i, name := range mo.links {
		if l := x.m.Links[name]; l.Withstands.Given() && !l.Ground.Value {
			asked = append(asked, i)
		}
	}
	if len(asked) == 0 || len(mo.cylinders) == 0 {
		return
	}
	worst, stops, why := x.stalled()
	for _, i := range asked {
		l := x.m.Links[mo.links[i]]
		s := newSubject(x.m, "stall", mo.links[i], l.Withstands.At)
		x.add(s)
		s.set("withstands", schema.ForceDim, l.Withstands.SI, l.Withstands)
		if why != "" {
			s.open(why, "force")
			continue
		}
		most, open := settle(&worst[i])
		w := most.in
		if w.pose == nil && len(open) == 0 {
			s.open("nothing is known that it carries: name a point that something may hold in `reaches` or `loads`", "force")
			continue
		}
		if w.pose == nil {
			s.open(nextToDead(open), "force")
			continue
		}
		s.set("force", schema.ForceDim, most.most, append(slices.Clip(w.from), l.Withstands)...)
		for _, fact := range []string{"force", "withstands"} { // whichever a finding tells of
			s.worst(fact, x.when(w), rodsOut(w.pose)...)
		}
		carries := schema.Format(schema.ForceDim, most.most)
		if w.in == nil {
			zone, _ := x.air.at(w.cylinder)
			thrust := thrustsAt(x.m.Cylinders[w.cylinder], zone.pressure)
			gain := most.most / math.Abs(thrust[len(thrust)-1])
			if !w.pulls {
				gain = most.most / thrust[0]
			}
			text := fmt.Sprintf("While something holds %s, %s puts %s on the link, %s times its thrust", w.tool, w.cylinder, carries, schema.Format(schema.NumberDim, gain))
			if gain > farMore {
				text += ": a long lever, or links that come near to one line, give far more than they get"
			}
			s.text("carries", text)
			set := math.Floor(zone.pressure*l.Withstands.SI/most.most/settingStep) * settingStep
			s.text("remedyStall", fmt.Sprintf("Make it withstand %s, set %s or less, or stop %s where the links are farther from one line", carries, schema.Format(schema.PressureDim, set), w.cylinder))
		} else {
			s.text("carries", fmt.Sprintf("%s come on the link %s", carries, x.when(w)))
			s.text("remedyStall", fmt.Sprintf("Make it withstand %s%s", carries, gentler(w)))
		}
		if len(open) > 0 {
			leaveOpen(s, open, "force", "withstands")
		}
		x.leaveUnrun(s, "force", "withstands")
		x.stopLoads("link "+mo.links[i], "is loaded", stops[i].most/l.Withstands.SI, most.most/l.Withstands.SI, stops[i].in)
	}
}

// gentler is what else lessens what comes in a moment; what something held brings hangs on the pressure.
func gentler(c carried) string {
	switch {
	case c.in == nil:
		return ""
	case c.in.kind == atRest:
		return ", or lessen what it holds"
	}
	return ", or let it go slower, by throttles"
}

// stalled finds the worst for each link; why says what keeps it from being known.
func (x *examiner) stalled() (worst []spread[peak[carried]], stops []peak[*moment], why string) {
	worst, stops = make([]spread[peak[carried]], len(x.motion.links)), make([]peak[*moment], len(x.motion.links))
	if why = x.presses(func(m *press) {
		for k, j := range m.joints {
			force := math.Sqrt(r2.Norm2(m.forces.Reactions[k]))
			if w := worst[j.Body].of(m, force); w.raised(force) {
				w.in = m.carried()
			}
		}
	}); why != "" {
		return worst, stops, why
	}
	all := x.moments()
	all.borne(func(m *moment) {
		for k, j := range all.joints {
			if w := &worst[j.Body].known; w.raised(math.Sqrt(r2.Norm2(m.forces.Reactions[k]))) {
				w.in = all.as(m)
			}
		}
	})
	all.stopped(func(m *moment) {
		for k, j := range all.joints {
			if w := &stops[j.Body]; w.raised(math.Sqrt(r2.Norm2(m.forces.Reactions[k]))) {
				w.in = m
			}
		}
	})
	return worst, stops, ""
}
