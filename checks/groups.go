package checks

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"

	"trammel.example/checks/fastening"
	"trammel.example/schema"
)

// A ScrewGroup is the screws of one part on its face, in the moment in which the worst of them is worst off: by what slides, or by what pulls
// or shears where that takes more of what is allowed. U and W go along the face, of one that lies in the drawing along x and y, m.
type ScrewGroup struct {
	Name     string
	Screws   []fastening.Place
	Hole     float64 // m
	Edge     float64 // from the middle of a hole to the edge of the part, m; 0 where it is not given
	Shares   []fastening.Share
	Worst    int // of the screws
	By       string
	Utilised float64         // what the worst screw has by what it may
	Middle   fastening.Place // the elastic centre
	Force    fastening.Place // all that slides the part, N
	Turns    float64         // its moment about the middle, out of the face, N m
	Pull     float64         // all that pulls it off the face, N; below nothing it presses
	OnEdge   bool            // the face stands on edge to the drawing
	When     string
}

// Holding is what holds a machine together and down, for its pictures.
type Holding struct {
	Standing *Standing // nil without a base, or where it is not known how it stands
	Groups   []ScrewGroup
	Bent     []LinkBending
}

// HoldingOf computes that of a machine.
func HoldingOf(m *schema.Machine) (h Holding) {
	x := &examiner{m: m, air: followAir(m), motion: move(m), briefly: true, groups: &h.Groups}
	x.begun = x.beginStrokes()
	x.screwGroups()
	before := len(x.subjects)
	x.mounting()
	if h.Standing = x.standing; h.Standing != nil {
		h.Standing.Base = x.subjects[before]
	}
	h.Bent = x.linksBent()
	return h
}

// pictured keeps what a group of screws bears, where that is asked for.
func (x *examiner) pictured(s *Subject, b *bolted, hole float64, slips, pulls, shears governed) {
	if x.groups == nil {
		return
	}
	share := func(load, allowed string) float64 {
		if f, known := s.Facts[allowed]; known && f.SI > 0 {
			return s.Facts[load].SI / f.SI
		}
		return 0
	}
	g, by, most := shears, "shears it", share("shear", "shearAllowed")
	if slide := share("slides", "slidesAllowed"); slide >= most {
		g, by, most = slips, "slides", slide
	}
	if pull := share("pull", "pullAllowed"); pull > most {
		g, by, most = pulls, "pulls", pull
	}
	onto := x.ontoJoint(b, g.in, nil)
	shares, err := b.group.Bear(onto, nil)
	if err != nil {
		return
	}
	one := ScrewGroup{Name: s.Name, Screws: b.group.Screws, Hole: hole, Edge: b.j.Edge.SI, Shares: shares, Worst: g.screw, By: by, Utilised: most, OnEdge: b.j.Looks.Given(), When: x.whenIn(g.in)}
	n := float64(len(b.group.Screws))
	for _, h := range b.group.Screws {
		one.Middle.U, one.Middle.W = one.Middle.U+h.U/n, one.Middle.W+h.W/n
	}
	for _, f := range onto {
		one.Force.U, one.Force.W, one.Pull = one.Force.U+f.U, one.Force.W+f.W, one.Pull+f.N
		one.Turns += r2.Cross(r2.Vec{X: f.At.U - one.Middle.U, Y: f.At.W - one.Middle.W}, r2.Vec{X: f.U, Y: f.W})
	}
	if math.Abs(one.Turns) < tieBreak*math.Hypot(one.Force.U, one.Force.W) {
		one.Turns = 0
	}
	*x.groups = append(*x.groups, one)
}
