package checks

import (
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r2"

	"trammel.example/schema"
)

// holeStep is to what a hole's distance from the edge is rounded up, m.
const holeStep = 0.5e-3

// edgeHoles is how many holes' diameters from its edge a hole for a pin should be in sheet, at the least and as a rule. Metal: EN 1999-1-1, table
// 8.2, has 1.2; wood-based sheet: EN 1995-1-1, table 8.4, has 3 for the edge that nothing presses on, from memory, and 2 is what such sheet bears across its
// plies; brittle and other plastics: common practice, no source.
func edgeHoles(material string, creeps bool) (least, usual float64) {
	switch {
	case material == "plywood" || material == "MDF":
		return 2, 3
	case creeps:
		return 1.5, 2
	}
	return 1, 1.2
}

// An eye is a hole of a link at a pivot, how wide the link is there, and what lies between the hole and the edge, m.
type eye struct {
	point             string
	hole, width, wall float64
	from              []schema.Input
}

// widthAt is how wide a link is round one of its points: its width, or the widest bar or circle that is drawn through that.
func widthAt(o schema.Outline, point string) schema.Length {
	wide := o.Width
	for _, s := range o.Shapes {
		across := schema.Length{}
		if s.At.Value == point {
			across = s.Diameter
		} else if slices.ContainsFunc(s.Along, func(p schema.Text) bool { return p.Value == point }) {
			across = s.Width
		}
		if across.SI > wide.SI {
			wide = across
		}
	}
	return wide
}

// eyesOf are the holes of a link by its pivots, and where how wide it is round them is not known, why.
func (x *examiner) eyesOf(name string) (all []eye, why string) {
	var unknown []string
	for _, point := range sorted(x.m.Pivots) {
		for _, l := range x.m.Pivots[point].Stack {
			if l.Link.Value == name && l.Hole.Given() {
				if width := widthAt(x.m.Links[name].Outline, point); width.Given() {
					all = append(all, eye{point, l.Hole.SI, width.SI, (width.SI - l.Hole.SI) / 2, []schema.Input{width, l.Hole}})
				} else {
					unknown = append(unknown, point)
				}
				break
			}
		}
	}
	if len(unknown) > 0 {
		why = fmt.Sprintf("how wide it is round its hole at %s is not given: add `outline: width: mm: …` to the link, or a bar `along` there or a circle `at` it to its `shapes`", inWords(unknown))
	}
	return all, why
}

// sheetLink judges a link that is cut from sheet.
func (x *examiner) sheetLink(name string) {
	l := x.m.Links[name]
	cut := l.Sheet
	if !cut.Given() {
		return
	}
	s := newSubject(x.m, "cut link", name, cut.At)
	x.add(s)
	row, err := x.m.Material(cut.Material.Value)
	if err != nil {
		s.open(err.Error(), "edgeHoles")
		return
	}
	s.text("material", cut.Material.Value)
	wider := cut.Kerf.SI
	if cut.Compensated.Value {
		wider = 0
	}
	s.set("holesWider", schema.LengthDim, wider, cut.Compensated, cut.Kerf)
	s.set("half", schema.LengthDim, cut.Kerf.SI/2, cut.Kerf)
	eyes, why := x.eyesOf(name)
	if len(eyes) == 0 && why == "" {
		why = "how wide it is round its holes is not given: add `outline: width: mm: …` to the link, and `hole` to its layers"
	}
	least, usual := edgeHoles(cut.Material.Value, row.Pressed < row.Yield)
	worst := math.Inf(1)
	for _, e := range eyes {
		if share := e.wall/e.hole + 0.5; share < worst-tieBreak {
			worst = share
			s.set("edgeHoles", schema.NumberDim, share, e.from...)
			s.text("hole", fmt.Sprintf("the hole of %s at %s", schema.Format(schema.LengthDim, e.hole), e.point))
			s.set("edge", schema.LengthDim, e.wall+e.hole/2)
			s.set("edgeHolesLeast", schema.NumberDim, least)
			s.set("edgeHolesUsual", schema.NumberDim, usual)
			s.text("remedyEdge", fmt.Sprintf("Make it %s wide there, or take a pin for which a hole of %s is enough",
				schema.Format(schema.LengthDim, math.Ceil(2*usual*e.hole/holeStep-1e-9)*holeStep), schema.Format(schema.LengthDim, math.Floor(e.width/(2*usual)/holeStep+1e-9)*holeStep)))
		}
	}
	if why != "" && worst >= usual { // none of the others fails
		s.open(why, "edgeHoles")
	}
	if cut.Cut.Value == "router" && len(eyes) > 0 {
		smallest := eyes[0]
		for _, e := range eyes {
			if e.hole < smallest.hole {
				smallest = e
			}
		}
		s.set("cutter", schema.LengthDim, cut.Kerf.SI, cut.Kerf)
		s.set("smallestHole", schema.LengthDim, smallest.hole, smallest.from[1])
	}
	x.grain(s, l)
}

// grain is how far the grain of the outer plies is from the way that a link of plywood is loaded: from point to point.
func (x *examiner) grain(s *Subject, l schema.Link) {
	if l.Sheet.Material.Value != "plywood" {
		return
	}
	if !l.Sheet.Grain.Given() {
		s.open("how the grain of its outer plies runs is not given: add `grain: deg: …`, from x towards y", "acrossGrain")
		return
	}
	var along r2.Vec
	for i, a := range l.Points {
		for _, b := range l.Points[:i] {
			p, q := x.m.Points[a.Value], x.m.Points[b.Value]
			if way := (r2.Vec{X: p.X.SI - q.X.SI, Y: p.Y.SI - q.Y.SI}); r2.Norm(way) > r2.Norm(along)+tieBreak {
				along = way
			}
		}
	}
	if r2.Norm(along) == 0 {
		return
	}
	angle := math.Mod(l.Sheet.Grain.SI-math.Atan2(along.Y, along.X), math.Pi)
	if angle < 0 {
		angle += math.Pi
	}
	s.set("acrossGrain", schema.AngleDim, min(angle, math.Pi-angle), l.Sheet.Grain)
	way := math.Atan(along.Y/along.X) * 180 / math.Pi                                                                                              // ±90° where it is upright
	s.text("remedyGrain", fmt.Sprintf("Turn %s on the sheet so that the grain runs along it (`grain: deg: %g`)", s.Name, math.Round(10*way)/10+0)) // + 0 takes the sign off −0
}
