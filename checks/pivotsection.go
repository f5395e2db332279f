package checks

import (
	"strings"

	"trammel.example/schema"
	"trammel.example/schema/standards"
)

// A PivotSection is what lies along one pin, from the first face of its stack, in nominal sizes and with what has room in the middle of it. All
// lengths are in m.
type PivotSection struct {
	Point  string
	Pin    schema.Pin
	Layers []SectionLayer
	Sleeve Stretch // nothing without one
	// SleeveOutside is the diameter of the sleeve.
	SleeveOutside float64
	Gap           string // the axial room of what runs, least to most; "" where nothing says what holds it
	Gaps          []SectionGap
}

// A Stretch lies along a pin.
type Stretch struct{ From, To float64 }

// A SectionLayer is one thing on a pin.
type SectionLayer struct {
	Stretch
	What    string
	Thick   float64
	Hole    float64 // diameters; 0 where nothing gives them
	Outside float64
	Kind    LayerKind
	Clamped bool
}

// A LayerKind says what a layer on a pin does.
type LayerKind int

const (
	Held LayerKind = iota // turns as the pin does
	Runs
	Bearing // screwed to its link, with the pin turning in it
	Packing // washers and spacers
)

// A SectionGap is room between two layers; below nothing they are that much too thick. Running is one that Gap of the section is about.
type SectionGap struct {
	Stretch
	Running bool
}

// PivotSections are those of all pivots of a machine of which it is written how they are built, by name.
func PivotSections(m *schema.Machine) []PivotSection {
	if len(m.Pivots) == 0 {
		return nil
	}
	x := &examiner{m: m, motion: move(m)}
	var all []PivotSection
	for _, point := range sorted(m.Pivots) {
		all = append(all, x.pivotSection(point, m.Pivots[point]))
	}
	return all
}

func (x *examiner) pivotSection(point string, p schema.Pivot) PivotSection {
	stack := x.stackOf(point, p)
	s := PivotSection{Point: point, Pin: p.Pin}
	first, after := inner(p, stack.members)
	room := newSubject(x.m, "pivot", point, p.At)
	x.gap(room, p, stack.members)
	if least, ok := room.Facts["gapLeast"]; ok && least.Kind == Quantity {
		s.Gap = strings.TrimSuffix(exact(least.SI), " mm") + " to " + exact(room.Facts["gapMost"].SI)
	}
	for i, m := range stack.members {
		at := stack.at[i]
		one := SectionLayer{Stretch: Stretch{at.low, at.high}, What: m.what, Thick: at.high - at.low, Kind: Held}
		switch {
		case m.Block.Given():
			one.Kind, one.Hole = Bearing, m.Block.Bore.SI
		case m.body == "":
			one.Kind = Packing
			if row, err := standards.WasherFor(or(m.Washer.Series.Value, "plain"), m.Washer.Thread.Value); m.Washer.Given() && err == nil {
				one.Hole, one.Outside = row.Inner, row.Outer
			}
		default:
			if m.runs {
				one.Kind = Runs
			}
			one.Hole, one.Outside = m.Hole.SI, x.m.Links[m.Link.Value].Outline.Width.SI
			if m.Cylinder.Given() {
				one.Hole, one.Outside = m.end.Hole.SI, m.end.Outside.SI
			}
		}
		// What lies on a sleeve is free of what the bolt clamps.
		onSleeve := p.Sleeve.Given() && i >= first && i < after
		one.Clamped = p.Pin.Torque.Given() && !p.Between.Given() && !onSleeve
		s.Layers = append(s.Layers, one)
	}
	if p.Sleeve.Given() && after > first {
		from, to := stack.at[first].low, stack.at[after-1].high
		spare := (p.Sleeve.Length.SI - (to - from)) / 2
		s.Sleeve, s.SleeveOutside = Stretch{from - spare, to + spare}, p.Sleeve.Outside.SI
	}
	running := func(i int) bool { return holding(p).Given() && i >= first-1 && i < after }
	for i := range stack.at[1:] {
		if from, to := stack.at[i].high, stack.at[i+1].low; to-from > rounding || from-to > rounding {
			s.Gaps = append(s.Gaps, SectionGap{Stretch{from, to}, running(i)})
		}
	}
	return s
}
