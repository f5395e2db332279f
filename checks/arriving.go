package checks

import (
	"fmt"
	"math"
	"slices"

	"trammel.example/schema"
)

// slowStep is to what the speed of a remedy is rounded down, m/s.
const slowStep = 0.005

// An arriving is a part on the way from a stop to what it stops, with what it has there by what it may have.
type arriving struct {
	part, does   string
	share, known float64 // at the stop, and in all else
	in           *moment
}

// stopLoads notes one.
func (x *examiner) stopLoads(part, does string, share, known float64, in *moment) {
	if in != nil {
		x.arrivals = append(x.arrivals, arriving{part, does, share, known, in})
	}
}

// stoppings judge what stops bring: of each stroke all parts in one, since what helps is to arrive slower.
func (x *examiner) stoppings() {
	for _, name := range x.motion.cylinders {
		for _, stroke := range []struct {
			way    string
			of     momentKind
			inward bool
		}{{"out", inRun, false}, {"in", inRun, true}, {"first", inFirst, false}, {"first", inFirst, true}} {
			parts := slices.DeleteFunc(slices.Clone(x.arrivals), func(a arriving) bool {
				return a.in.cylinder != name || a.in.of != stroke.of || a.in.inward != stroke.inward
			})
			if len(parts) > 0 {
				x.stopping(name+" "+stroke.way, x.m.Cylinders[name], parts)
			}
		}
	}
}

func (x *examiner) stopping(name string, y schema.Cylinder, parts []arriving) {
	slices.SortStableFunc(parts, func(a, b arriving) int {
		switch {
		case a.share > b.share*(1+tieBreak):
			return -1
		case b.share > a.share*(1+tieBreak):
			return 1
		}
		return 0
	})
	first := parts[0]
	s := newSubject(x.m, "arrival", name, y.At)
	x.add(s)
	s.Assumed = append(s.Assumed, x.carried.assumed...)
	s.set("share", schema.NumberDim, first.share, append([]schema.Input{y.Time, y.Stroke}, x.carried.from[first.in.cylinder]...)...)
	s.worst("share", x.whenIn(first.in), rodsOut(first.in.pose)...)
	s.set("arrives", schema.SpeedDim, first.in.arrives)
	s.text("part", fmt.Sprintf("%s %s", first.part, first.does))
	if first.share <= 1 {
		return
	}
	// Of all that a part bears what the stop takes grows with the square of the speed, and a part bears no more of two loads together than of each.
	slow := math.Inf(1)
	var more []string
	for _, p := range parts {
		if p.share <= 1 {
			continue
		}
		if p.known < 1 {
			slow = min(slow, p.in.arrives*math.Sqrt((1-p.known)/(p.share-p.known)))
		}
		if p.part != first.part && !slices.Contains(more, p.part) {
			more = append(more, p.part)
		}
	}
	if len(more) > 0 {
		s.text("more", "; "+inWords(more)+" as well")
	} else {
		s.text("more", "")
	}
	slow = math.Floor(slow/slowStep) * slowStep
	text := "Let it arrive slower"
	if slow > 0 && !math.IsInf(slow, 1) { // else a part fails without it too
		text = fmt.Sprintf("Let it arrive with %s or less", schema.Format(schema.SpeedDim, slow))
	}
	s.text("remedyArrival", text+", by throttles, a cushion or a shock absorber at the stop")
}
