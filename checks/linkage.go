package checks

import (
	"strings"

	"trammel.example/checks/linkage"
	"trammel.example/schema"
)

// linkage judges the motion as a whole, and each moving link.
func (x *examiner) linkage() {
	m, mo := x.m, x.motion
	s := newSubject(m, "linkage", m.Name, m.At)
	s.set("faults", schema.NumberDim, float64(len(mo.faults)), mo.blame...)
	s.text("fault", strings.Join(mo.faults, "; "))
	if len(mo.faults) > 0 {
		text := mo.repair()
		if text == "" {
			text = "Correct the points, links or cylinder lengths that are named"
		}
		s.text("repair", text)
	}
	x.add(s)
	why := mo.unknown()
	var driven, driving []passing
	if why == "" {
		driven, driving = mo.passings(true, x.toggles()), mo.passings(false, x.toggles())
	}
	for i, name := range mo.links {
		l := m.Links[name]
		if l.Ground.Value || len(mo.cylinders) == 0 {
			continue
		}
		s := newSubject(m, "link", name, l.At)
		x.add(s)
		if why != "" {
			s.open(why, "turns")
			continue
		}
		least, most := 0.0, 0.0 // counted from the drawn pose, which is one of them
		mo.everyPose(func(_ *run, p *linkage.Pose) { least, most = min(least, p.Angles[i]), max(most, p.Angles[i]) })
		s.set("turns", schema.AngleDim, most-least)
		x.transmission(s, i, driven, driving)
	}
}
