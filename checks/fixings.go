package checks

import (
	"fmt"
	"math"
	"strings"

	"trammel.example/checks/fastening"
	"trammel.example/schema"
)

const (
	// bossDiameters is how many times as wide as an insert the print round it should be. Common practice, no source.
	bossDiameters = 2
	// woodApart is how many diameters wood screws stand apart. EN 1995-1-1, table 8.6 (from memory).
	woodApart = 5
)

// woodScrewSizes are the diameters of wood screws that are on the shelf, m: common practice, no source.
var woodScrewSizes = []float64{3e-3, 3.5e-3, 4e-3, 4.5e-3, 5e-3, 6e-3, 8e-3, 10e-3}

// grain is what a wood screw goes into.
func grain(w schema.WoodScrew) fastening.Grain {
	switch w.Into.Value {
	case "end grain":
		return fastening.EndGrain
	case "board face":
		return fastening.BoardFace
	case "board edge":
		return fastening.BoardEdge
	}
	return fastening.SideGrain
}

// A hold is what one screw or insert may get, N: along its axis and across it. Pull and push together take what their parts add up to, of
// screws in wood as the roots of squares do (EN 1995-1-1, equation 8.28, from memory).
type hold struct {
	along, across float64
	wood          bool
}

func (h hold) share(s fastening.Share) float64 {
	pull, push := max(0, s.Tension)/h.along, 0.0
	if s.Shear() > 0 {
		push = s.Shear() / h.across
	}
	if h.wood {
		return math.Hypot(pull, push)
	}
	return pull + push
}

func holdOf(f schema.Fixing, d, length float64) (h hold, err error) {
	if f.Tested.Given() {
		return hold{f.Tested.PullOut.SI / testedReserve, f.Tested.Across.SI / testedReserve, false}, nil
	}
	if h.along, err = fastening.Withdrawal(grain(f.Wood), d, length, f.Wood.Gravity.SI); err != nil {
		return h, err
	}
	h.across, err = fastening.Lateral(grain(f.Wood), d, length, f.Wood.Gravity.SI)
	return hold{h.along / fastening.UsualWoodReserve, h.across / fastening.UsualLateralReserve, true}, err
}

// fixings follows what the machine carries into screws in wood and inserts.
func (x *examiner) fixings() {
	for _, name := range sorted(x.m.Fixings) {
		f := x.m.Fixings[name]
		for _, part := range f.Parts {
			s := newSubject(x.m, "fixing", name+" at "+inWords(valuesOf(part.Carries)), part.At)
			x.add(s)
			j := schema.Joint{Origin: part.Origin, On: part.On, Carries: part.Carries, Screws: part.Screws, Looks: part.Looks, Off: part.Off, Heel: part.Heel}
			x.fixing(s, f, newBolted(schema.Fastening{}, j))
		}
	}
}

func (x *examiner) fixing(s *Subject, f schema.Fixing, b *bolted) {
	if i := f.Insert; i.Given() {
		s.set("boss", schema.LengthDim, i.Boss.SI, i.Boss)
		s.set("bossLeast", schema.LengthDim, bossDiameters*i.Outside.SI, i.Outside)
	}
	all := x.moments()
	s.Assumed = append(s.Assumed, all.assumed...)
	h, err := holdOf(f, f.Wood.Diameter.SI, f.Wood.Thread.SI)
	why := all.why
	switch {
	case err != nil:
		why = err.Error()
	case why == "":
		why = all.unrun
	}
	if why != "" {
		s.open(why, "holdShare")
		return
	}
	b.group.Ring = max(f.Wood.Diameter.SI, f.Insert.Outside.SI, 1e-3) / 2 // one screw alone hardly keeps a part from turning
	b.on = x.footholds(b.j.On, b.j.Carries)
	worst, _, pulled, pushed, why := x.hardest(b, h, 0)
	if why != "" {
		s.open(why, "holdShare")
		return
	}
	near, _, nearPulled, nearPushed, _ := x.hardest(b, h, 1)
	dead, _, deadPulled, _, _ := x.hardest(b, h, 2)
	next := worst.nextToDead(near, dead, func(g governed) float64 { return h.share(g.Share) })
	most := h.share(worst.Share)
	pulled, pushed = pulled || nearPulled || len(next) > 0 && deadPulled, pushed || nearPushed
	if f.Insert.Given() {
		s.flag("pulledOut", pulled && f.Insert.Entry.Value == "front", f.Insert.Entry)
	}
	s.set("screws", schema.NumberDim, float64(len(b.j.Screws)))
	s.set("pull", schema.ForceDim, max(0, worst.Tension))
	s.worst("pull", x.whenIn(worst.in), rodsOut(worst.in.pose)...)
	s.set("pullAllowed", schema.ForceDim, h.along)
	s.set("across", schema.ForceDim, worst.Shear())
	if pushed && h.across == 0 {
		s.open("what one bears across is not given: add `across: N: …`, as you tested it", "holdShare")
		return
	}
	s.set("acrossAllowed", schema.ForceDim, h.across)
	s.set("holdShare", schema.NumberDim, most, append([]schema.Input{f.Tested.PullOut, f.Wood.Thread, f.Wood.Diameter, f.Wood.Gravity, f.Tested.Across}, x.carried.from[worst.in.cylinder]...)...)
	s.worst("holdShare", x.whenIn(worst.in), rodsOut(worst.in.pose)...)
	if len(next) > 0 && most <= 1 {
		s.open(fmt.Sprintf("%s. In all else it is %s of what it may be", nextToDead(next), schema.Format(schema.NumberDim, most)), "holdShare")
	}
	if most > 1 {
		s.text("remedyFixing", x.betterFixing(f, b, worst.Share, most))
	}
}

// hardest finds the screw that has most of what it may, and whether any is pulled, and pushed aside, away from dead points or next to them
// (see moment.near).
func (x *examiner) hardest(b *bolted, h hold, near int) (worst governed, most float64, pulled, pushed bool, why string) {
	var onto []fastening.Onto
	var shares []fastening.Share
	var err error
	for i := range x.carried.list {
		m := &x.carried.list[i]
		if m.airLost() || m.near() != near {
			continue
		}
		onto = x.ontoJoint(b, m, onto[:0])
		if shares, err = b.group.Bear(onto, shares); err != nil {
			return worst, most, pulled, pushed, err.Error() + addHeel
		}
		for k, one := range shares {
			pulled = pulled || one.Tension > tieBreak
			pushed = pushed || one.Shear() > tieBreak
			if share := h.share(one); worst.in == nil || share > most*(1+tieBreak) {
				worst, most = governed{one, k, m}, share
			}
		}
	}
	if worst.in == nil {
		why = "no cylinder moves anything"
	}
	return worst, most, pulled, pushed, why
}

// betterFixing names what would hold: more of them in the same spread, longer or thicker screws, a better test. Each is tried.
func (x *examiner) betterFixing(f schema.Fixing, b *bolted, worst fastening.Share, share float64) string {
	var ways []string
	holds := func(b *bolted, h hold) bool {
		for near := range 2 {
			if worst, most, _, _, _ := x.hardest(b, h, near); most > 1 || near == 0 && worst.in == nil {
				return false
			}
		}
		return true
	}
	bought, err := holdOf(f, f.Wood.Diameter.SI, f.Wood.Thread.SI)
	spacing := max(woodApart*f.Wood.Diameter.SI, f.Insert.Boss.SI, bossDiameters*f.Insert.Outside.SI)
	if way := betterPattern(b.group.Screws, spacing, func(screws []fastening.Place) bool {
		other := *b
		other.group.Screws = screws
		return err == nil && holds(&other, bought)
	}); way != "" {
		ways = append(ways, way)
	}
	if f.Tested.Given() {
		text := "take some that bear " + schema.Format(schema.ForceDim, math.Ceil(f.Tested.PullOut.SI*share))
		if f.Tested.Across.Given() {
			text += fmt.Sprintf(" along and %s across in your test", schema.Format(schema.ForceDim, math.Ceil(f.Tested.Across.SI*share)))
		}
		return capital(strings.Join(append(ways, text, "bolt right through, with a washer behind"), ", or "))
	}
	does := func(d, length float64) bool {
		h, err := holdOf(f, d, length)
		if err != nil || h.share(worst) > 1 {
			return false
		}
		return holds(b, h)
	}
	for length := math.Ceil(f.Wood.Thread.SI*1e3) * 1e-3; length <= 0.12; length += 1e-3 {
		if does(f.Wood.Diameter.SI, length) {
			ways = append(ways, fmt.Sprintf("take screws with %s of thread in the wood", schema.Format(schema.LengthDim, length)))
			break
		}
	}
	for _, d := range woodScrewSizes {
		if d > f.Wood.Diameter.SI && does(d, f.Wood.Thread.SI) {
			ways = append(ways, fmt.Sprintf("take screws of %s as deep", schema.Format(schema.LengthDim, d)))
			break
		}
	}
	return capital(strings.Join(append(ways, "bolt right through, with a large washer behind"), ", or "))
}
