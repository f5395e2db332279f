package checks

import (
	"fmt"
	"math"
	"slices"

	"trammel.example/checks/stroke"
	"trammel.example/schema"
)

// pilotsInFlow sets what stands at port 1 of a valve just after it has shifted, while an empty chamber draws all that comes by: its pilot
// lives on that. Both ways of a cylinder are looked at; cylinders of other valves that draw by the same feed are not.
func (x *examiner) pilotsInFlow(s *Subject, valve string, static float64) {
	lowest := math.Inf(1)
	var feed []linePart
	var beyond []stroke.Conductance
	for _, b := range x.begun {
		if b.driven == nil {
			continue
		}
		for i, l := range []*line{b.driven.rear, b.driven.front} {
			if l.valve != valve {
				continue
			}
			down := inOf(l.parts)
			slices.Reverse(down)
			if at := behindFeed(inOf(b.driven.feed[i]), down, static+roomPressure); at < lowest {
				lowest, feed, beyond = at, b.driven.feed[i], down
			}
		}
	}
	if len(feed) == 0 {
		return // nothing is known of its lines, which the stroke says, or it screws onto what keeps the pressure
	}
	p := x.m.Air.Parts[valve]
	narrowest := slices.IndexFunc(feed, func(f linePart) bool {
		return f.In.C == slices.MinFunc(feed, func(a, b linePart) int { return int(math.Copysign(1, a.In.C-b.In.C)) }).In.C
	})
	s.set("flowing", schema.PressureDim, lowest-roomPressure, p.Pilot.Least)
	s.text("feedThrough", feed[narrowest].Name)
	need := p.Pilot.Least.SI + roomPressure
	wide := inOf(feed)
	for range 20 {
		if behindFeed(wide, beyond, static+roomPressure) >= need {
			s.text("remedyFlow", fmt.Sprintf("Bring what %s lets through to %s or more, with a wider or shorter tube: computed again, %s stays at port 1", feed[narrowest].Name,
				schema.Format(schema.ConductanceDim, wide[narrowest].C), schema.Format(schema.PressureDim, behindFeed(wide, beyond, static+roomPressure)-roomPressure)))
			return
		}
		wide[narrowest].C *= 1.25
	}
	s.text("remedyFlow", "No wider feed does alone: throttle the air that goes to the cylinder, or raise the pressure")
}

func inOf(parts []linePart) []stroke.Conductance {
	var all []stroke.Conductance
	for _, p := range parts {
		all = append(all, p.In)
	}
	return all
}

// behindFeed is the pressure between two chains of conductances that lead from a supply into an empty room, absolute, Pa. The feed is listed
// from its end at the valve, what lies beyond in the order in which the air passes it.
func behindFeed(feed, beyond []stroke.Conductance, supply float64) float64 {
	march := func(q float64) (at, from float64) {
		p := float64(roomPressure)
		for i := len(beyond) - 1; i >= 0; i-- {
			p = stroke.Upstream(beyond[i], q, p)
		}
		at = p
		for _, c := range feed {
			p = stroke.Upstream(c, q, p)
		}
		return at, p
	}
	low, high := 0.0, math.Inf(1)
	for _, c := range slices.Concat(feed, beyond) {
		high = min(high, c.C*supply)
	}
	for range 50 {
		if _, p := march((low + high) / 2); p > supply {
			high = (low + high) / 2
		} else {
			low = (low + high) / 2
		}
	}
	at, _ := march(low)
	return at
}
