package checks

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r2"

	"trammel.example/checks/linkage"
	"trammel.example/schema"
)

const (
	// settingStep is how finely a regulator can be set, Pa.
	settingStep = 1e3
)

// A stall is a press in which a link carries something.
type stall struct {
	gain     float64 // of the force there, by the thrust
	cylinder string
	tool     string
	pose     *linkage.Pose
	from     []schema.Input
}

// stalls judges what the links carry when the machine meets something: levers and toggles give them more than the thrust.
func (x *examiner) stalls() {
	mo := x.motion
	var asked []int
	for i, name := range mo.links {
		if l := x.m.Links[name]; l.Withstands.Given() && !l.Ground.Value {
			asked = append(asked, i)
		}
	}
	tools := x.toolPoints()
	if len(asked) == 0 || len(tools) == 0 || len(mo.cylinders) == 0 {
		return
	}
	worst, why := x.stalled()
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
			s.open("no tool moves that could meet something: name a point in `reaches` or `loads`", "force")
			continue
		}
		if w.pose == nil {
			s.open(nextToDead(open), "force")
			continue
		}
		s.set("force", schema.ForceDim, most.most, append(slices.Clip(w.from), l.Withstands)...)
		s.worst("force", mo.when(w.pose), rodsOut(w.pose)...)
		s.text("cylinder", w.cylinder)
		s.text("tool", w.tool)
		s.set("gain", schema.NumberDim, w.gain)
		zone, _ := x.air.at(w.cylinder)
		s.set("setForStall", schema.PressureDim, math.Floor(zone.pressure*l.Withstands.SI/most.most/settingStep)*settingStep, zone.from...)
		if len(open) > 0 {
			leaveOpen(s, open, "force", "withstands")
		}
	}
}

// stalled finds the worst for each link; why says what keeps it from being known.
func (x *examiner) stalled() (worst []spread[peak[stall]], why string) {
	worst = make([]spread[peak[stall]], len(x.motion.links))
	why = x.presses(func(m *press) {
		for k, j := range m.joints {
			force := math.Sqrt(r2.Norm2(m.forces.Reactions[k]))
			if w := worst[j.Body].of(m, force); w.raised(force) {
				w.in = stall{m.gain(force), m.cylinder, m.tool, m.Pose, m.from}
			}
		}
	})
	return worst, why
}
