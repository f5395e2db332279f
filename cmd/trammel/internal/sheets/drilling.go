package sheets

import (
	"fmt"
	"math"
	"strconv"

	"gonum.org/v1/gonum/spatial/r2"

	"trammel.example/schema"
	"trammel.example/schema/standards"
)

// holes is the drill schedule of the links.
func holes(m *schema.Machine) *Table {
	t := &Table{Name: "holes", Title: "Holes in the links", Columns: []string{"link", "hole", "along, mm", "across, mm", "size, mm", "limits, mm", "drill, mm", "through, mm", "centre to edge, mm", "pin"}}
	t.Says = "Along: from the hole at 0 towards the other end pivot; across: to the left of that way, seen as drawn. All from one hole, so that errors don't add up. " +
		"What has narrow limits is drilled a little under and reamed, at the drill given (common practice, no source); where a bush sits, the size is the bush's."
	for _, name := range sorted(m.Links) {
		l := m.Links[name]
		own, ok := frameOf(m, l)
		if !ok {
			continue
		}
		pieces := piecesOf(m, l, own)
		for _, point := range l.Points {
			for _, layer := range m.Pivots[point.Value].Stack {
				if layer.Link.Value != name || !layer.Hole.Given() {
					continue
				}
				v := own(at(m, point.Value))
				does := "is held"
				if layer.Runs.Value {
					does = "runs"
				}
				t.row(name, point.Value, inMM(v.X), inMM(v.Y), size(layer.Hole), limits(layer.Hole), drill(layer.Hole), mm(layer.Thick.SI), inside(pieces, v), does)
				break // other layers of the link there are drilled alike
			}
		}
	}
	return t
}

// reamed is how wide limits are at the most that a drill alone does not keep, and under how much of the size a reamer begins by the size,
// m. Common practice, no source.
const reamed = 50e-6

func drill(hole schema.Size) string {
	if !hole.Toleranced() || hole.Most-hole.Least > reamed {
		return mm(hole.SI)
	}
	under := 0.3e-3
	switch {
	case hole.SI <= 5e-3:
		under = 0.1e-3
	case hole.SI <= 20e-3:
		under = 0.2e-3
	}
	return mm(hole.SI-under) + ", ream"
}

func limits(hole schema.Size) string {
	if !hole.Toleranced() {
		return ""
	}
	fine := func(m float64) string { return strconv.FormatFloat(m*1e3, 'f', 3, 64) }
	return fine(hole.Least) + " to " + fine(hole.Most)
}

// inside is how far a place is from the edge of what the pieces cover, in mm: as far at the least, where they overlap; "" where they do not
// cover it.
func inside(pieces []piece, at r2.Vec) string {
	best := 0.0
	for _, p := range partsOf(pieces) {
		distance, _ := p.off(at)
		best = max(best, -distance)
	}
	if best == 0 {
		return ""
	}
	return inMM(best)
}

// inMM is what is in mm already, to a hundredth.
func inMM(x float64) string { return mm(x / 1e3) }

// frameOf measures places of a link in mm from where its holes are measured from, and towards: the pivots that it is cut between, else its
// first point and its last.
func frameOf(m *schema.Machine, l schema.Link) (own func(r2.Vec) r2.Vec, ok bool) {
	from, to := l.Points[0], l.Points[len(l.Points)-1]
	if len(l.Made.Between) == 2 {
		from, to = l.Made.Between[0], l.Made.Between[1]
	}
	first := at(m, from.Value)
	way := r2.Sub(at(m, to.Value), first)
	if r2.Norm(way) == 0 {
		return nil, false
	}
	way = r2.Unit(way)
	return func(p r2.Vec) r2.Vec {
		v := r2.Sub(p, first)
		return r2.Vec{X: r2.Dot(v, way) * 1e3, Y: r2.Cross(way, v) * 1e3}
	}, true
}

func at(m *schema.Machine, point string) r2.Vec {
	p := m.Points[point]
	return r2.Vec{X: p.X.SI, Y: p.Y.SI}
}

func size(s schema.Size) string {
	text := mm(s.SI)
	if s.Fit.Given() {
		text += " " + s.Fit.Value
	}
	return text + tolerance(s)
}

// taps is what each fastening has drilled and tapped for it: the parts under the heads, from the head on, and what its screws go into.
func taps(m *schema.Machine) *Table {
	t := &Table{Name: "taps", Title: "Holes for screws", Columns: []string{"joint", "part", "holes", "drill, mm", "drill to, mm", "tap", "thread to, mm", "centre to edge, mm"}}
	t.Says = "Where a part under the head has no hole of its own in the spec, it is the medium one of ISO 273."
	for _, name := range sorted(m.Fastenings) {
		f := m.Fastenings[name]
		count := fmt.Sprint(int(f.Count.SI) * m.HowMany())
		first := true
		for _, c := range f.Stack {
			if !c.Part.Given() {
				continue
			}
			through := ""
			if row, err := standards.ClearanceHoleFor(f.Screw.Thread.Value); err == nil {
				through = mm(row.Medium)
			}
			for _, j := range f.Joints {
				if j.Hole.Given() && math.Abs(j.Thick.SI-c.Thick.SI) < 1e-6 {
					through = mm(j.Hole.SI)
				}
			}
			if first && f.Screw.Head.Value == "countersunk" {
				through += ", countersunk 90°"
			}
			first = false
			t.row(name, c.Part.Value, count, through, "through "+mm(c.Thick.SI), "", "", edges(f, c.Thick.SI))
		}
		tap := f.Into.Tapped
		if !tap.Given() {
			continue
		}
		drill := "by the tap's table"
		if tap.Drill.Given() {
			drill = mm(tap.Drill.SI)
		}
		to := "through"
		if tap.Drilled.Given() {
			to = mm(tap.Drilled.SI)
		}
		edge := ""
		if tap.Edge.Given() {
			edge = mm(tap.Edge.SI)
		}
		t.row(name, tap.Material.Value, count, drill, to, tap.Thread.Value, mm(tap.Depth.SI), edge)
	}
	return t
}

// edges is what a fastening's joints say of how far its holes are from the edge, in the part of a thickness (m).
func edges(f schema.Fastening, thick float64) string {
	for _, j := range f.Joints {
		if j.Edge.Given() && math.Abs(j.Thick.SI-thick) < 1e-6 {
			return mm(j.Edge.SI)
		}
	}
	return ""
}

// places is where the screws stand of those joints of which the spec says it.
func places(m *schema.Machine) *Table {
	t := &Table{Name: "places", Title: "Where the screws stand", Columns: []string{"joint", "on", "screw", "along, mm", "across, mm", "towards the viewer, mm"}}
	t.Says = "Along and across as the holes of the link are; towards the viewer from the middle plane of the links."
	for _, name := range sorted(m.Fastenings) {
		for _, j := range m.Fastenings[name].Joints {
			own, ok := frameOf(m, m.Links[j.On.Value])
			if !ok {
				continue
			}
			for i, s := range j.Screws {
				v, z := own(r2.Vec{X: s.X.SI, Y: s.Y.SI}), ""
				if s.Z.Given() {
					z = mm(s.Z.SI)
				}
				t.row(name, j.On.Value, fmt.Sprint(i+1), inMM(v.X), inMM(v.Y), z)
			}
		}
	}
	return t
}
