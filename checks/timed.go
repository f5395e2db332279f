package checks

import (
	"cmp"
	"math"
	"slices"

	"trammel.example/checks/stroke"
	"trammel.example/schema"
)

// timedMoments are the most of one stroke: a rod that goes by jerks makes dozens of them.
const timedMoments = 501

// A TimedStroke is one stroke of a cylinder from the moment at which its valve shifts, after the other end of its stroke. Each list has one
// value for each moment. Pressures are gauge, Pa.
type TimedStroke struct {
	Cylinder    string
	Way         string    // "out" or "in"
	How         string    // it ends: "arrives", "never starts" (the lists are empty), "stalls" or "out of time"
	Time        []float64 // s
	Stroke      []float64 // m
	Speed       []float64 // of the rod, m/s, outward positive
	Rear, Front []float64
	Energy      stroke.Energy
}

// TimedStrokes computes the strokes of all cylinders of which enough is known; the facts of the others say what is missing.
func TimedStrokes(m *schema.Machine) []TimedStroke {
	if !m.Air.Given() {
		return nil
	}
	x := &examiner{m: m, air: followAir(m), motion: move(m)}
	var all []TimedStroke
	for _, name := range sorted(m.Cylinders) {
		d, why := x.driven(name, m.Cylinders[name], x.plumber())
		if why != "" {
			continue
		}
		for _, inward := range []bool{false, true} {
			o := d.options(strokeError)
			o.Samples = timedMoments
			r, err := stroke.Run(d.machine(inward, false), o)
			if err != nil || r.Verdict == stroke.OutOfSteps {
				continue
			}
			one := TimedStroke{Cylinder: name, Way: "out", How: r.Verdict.String(), Energy: r.Energy}
			if inward {
				one.Way = "in"
			}
			// The peak lies between two of the even moments.
			moments := slices.SortedFunc(slices.Values(append(r.Course, r.PeakSpeed)), func(a, b stroke.Sample) int { return cmp.Compare(a.Time, b.Time) })
			for i, s := range moments {
				if math.IsNaN(s.Time) || i > 0 && s.Time <= moments[i-1].Time {
					continue // it never moved, or is at one of them
				}
				one.Time, one.Stroke, one.Speed = append(one.Time, s.Time), append(one.Stroke, s.Stroke), append(one.Speed, s.Speed)
				one.Rear, one.Front = append(one.Rear, s.Cap-roomPressure), append(one.Front, s.Rod-roomPressure)
			}
			all = append(all, one)
		}
	}
	return all
}
