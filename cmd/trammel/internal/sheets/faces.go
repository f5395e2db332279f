package sheets

import (
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r2"

	"trammel.example/schema"
	"trammel.example/schema/standards"
)

// A face is one on which screws stand, with all of a fastening's that are on it.
type face struct {
	on      string
	looks   schema.SignedAngle
	screws  []schema.Hole
	through float64 // of its holes, mm; 0 where it is not known
}

// faces are the patterns of screws of which the spec says where they stand, each from the screw that is first along and lowest.
func faces(m *schema.Machine) (all []Template) {
	for _, name := range sorted(m.Fastenings) {
		f := m.Fastenings[name]
		through := 0.0
		if row, err := standards.ClearanceHoleFor(f.Screw.Thread.Value); err == nil {
			through = row.Medium * 1e3
		}
		var on []face
		for _, j := range f.Joints {
			own := through
			if j.Hole.Given() {
				own = j.Hole.SI * 1e3
			}
			on = onFace(on, face{j.On.Value, j.Looks, j.Screws, own})
		}
		all = append(all, patterns(name, on)...)
	}
	for _, name := range sorted(m.Fixings) {
		var on []face
		for _, p := range m.Fixings[name].Parts {
			on = onFace(on, face{p.On.Value, p.Looks, p.Screws, 0})
		}
		all = append(all, patterns(name, on)...)
	}
	return all
}

// onFace adds screws to those on the same face.
func onFace(all []face, f face) []face {
	for i, a := range all {
		if a.on == f.on && a.looks.Given() == f.looks.Given() && a.looks.SI == f.looks.SI && a.through == f.through {
			all[i].screws = slices.Concat(a.screws, f.screws)
			return all
		}
	}
	return append(all, f)
}

// patterns draws faces; one screw alone has no pattern.
func patterns(name string, on []face) (all []Template) {
	for i, f := range on {
		if len(f.screws) < 2 {
			continue
		}
		title := name + " on " + f.on
		if slices.ContainsFunc(on[:i], func(o face) bool { return o.on == f.on }) {
			title += fmt.Sprintf(", face %d", i+1)
		}
		seen := "Seen as drawn; from the screw at 0, 0 in mm."
		if f.looks.Given() {
			seen = "Seen from the heads; up is towards who looks at the drawing of the machine. Counted in mm from the screw at 0, 0."
		}
		all = append(all, draft(title, seen, f.holes(), nil))
	}
	return all
}

// holes are where a face's screws stand. On one that stands on edge to the drawing, along is where its heads look, turned a quarter from x
// towards y, and across towards the viewer, so that it is seen from outside; one in the drawing is seen as drawn.
func (f face) holes() []drilled {
	sin, cos := math.Sincos(f.looks.SI)
	var places []r2.Vec
	for _, s := range f.screws {
		v := r2.Vec{X: s.X.SI, Y: s.Y.SI}
		if f.looks.Given() {
			v = r2.Vec{X: r2.Dot(v, r2.Vec{X: -sin, Y: cos}), Y: s.Z.SI}
		}
		places = append(places, r2.Scale(1e3, v))
	}
	const alike = 1e-6
	zero := slices.MinFunc(places, func(a, b r2.Vec) int {
		switch {
		case a.X < b.X-alike || math.Abs(a.X-b.X) <= alike && a.Y < b.Y-alike:
			return -1
		}
		return 1
	})
	var holes []drilled
	for i, p := range places {
		v := r2.Sub(p, zero)
		holes = append(holes, drilled{name: fmt.Sprint(i + 1), along: v.X, across: v.Y, diameter: f.through, place: inMM(v.X) + ", " + inMM(v.Y)})
	}
	return holes
}
