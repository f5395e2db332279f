package checks

import (
	"math"

	"trammel.example/checks/space"
	"trammel.example/schema"
)

// hoseSpare is how much longer than its longest way a tube over a joint has to be. Common practice, no source: a tenth.
const hoseSpare = 1.1

// hoses judges the tubes that hang over a joint.
func (x *examiner) hoses() {
	for _, name := range sorted(x.m.Air.Runs) {
		r := x.m.Air.Runs[name]
		if !r.Over.Given() {
			continue
		}
		s := newSubject(x.m, "hose", name, r.At)
		x.add(s)
		x.hose(s, r)
	}
}

func (x *examiner) hose(s *Subject, r schema.Run) {
	s.text("over", r.Over.From.Value+" and "+r.Over.To.Value)
	if r.Length.Given() {
		s.set("length", schema.LengthDim, r.Length.SI, r.Length)
	} else {
		s.open("how long the tube is between the two points is not given: add `length: mm: …`", "length", "bend")
	}
	if r.Tube.Bend.Given() {
		s.set("bendLeast", schema.LengthDim, r.Tube.Bend.SI, r.Tube.Bend)
	} else {
		s.open("how tightly the tube may be bent is not given: add `bend: mm: …` from its data sheet", "bendLeast")
	}
	far, near, farWhen, nearWhen := 0.0, math.Inf(1), "", ""
	var farRods, nearRods []float64
	for _, c := range x.motion.cylinders {
		if why := x.motion.why(c); why != "" {
			s.open(why, "lengthNeeded", "bend")
			return
		}
	}
	for run := range x.motion.runs {
		if len(x.motion.runs[run].Poses) < 2 {
			continue
		}
		reach, err := x.reach(run, r)
		if err != nil {
			s.open("the way of the tube can't be followed: "+err.Error(), "lengthNeeded", "bend")
			return
		}
		at := func(stroke float64) (string, []float64) {
			return x.motion.rodOut(run, stroke), x.motion.rodsAt(run, stroke)
		}
		if reach.Longest > far {
			far = reach.Longest
			farWhen, farRods = at(reach.LongestS)
		}
		if reach.Nearest < near {
			near = reach.Nearest
			nearWhen, nearRods = at(reach.NearestS)
		}
	}
	if farWhen == "" {
		s.open("nothing moves the machine: it has no cylinder", "lengthNeeded", "bend")
		return
	}
	s.set("longest", schema.LengthDim, far, r.Over.From, r.Over.To)
	s.worst("longest", farWhen, farRods...)
	if r.Length.Given() {
		s.worst("length", farWhen, farRods...)
	}
	s.set("lengthNeeded", schema.LengthDim, hoseSpare*far, r.Over.From, r.Over.To)
	s.worst("lengthNeeded", farWhen, farRods...)
	s.set("nearest", schema.LengthDim, near, r.Over.From, r.Over.To)
	if r.Length.Given() {
		if _, bend := space.BendRadii(r.Length.SI, near); !math.IsInf(bend, 1) {
			s.set("bend", schema.LengthDim, bend, r.Length, r.Over.From, r.Over.To)
			s.worst("bend", nearWhen, nearRods...)
		}
	}
	s.set("remedyLength", schema.LengthDim, hoseLength(hoseSpare*far, near, r.Tube.Bend.SI))
}

// hoseLength is the shortest length, to 1 mm, that reaches and is bent no tighter than a radius where the ends are nearest. Where the least
// length is bent too tight, a longer one is bent tighter still until it is much longer than the way.
func hoseLength(least, near, radius float64) float64 {
	does := func(length float64) bool {
		_, bend := space.BendRadii(length, near)
		return bend >= radius
	}
	if !does(least) {
		short := least
		for least *= 2; !does(least); least *= 2 {
			short = least
		}
		for least-short > step {
			if middle := (short + least) / 2; does(middle) {
				least = middle
			} else {
				short = middle
			}
		}
	}
	return math.Ceil(least*1e3-rounding) / 1e3
}

// reach follows both ends of a tube over a run.
func (x *examiner) reach(run int, r schema.Run) (space.HoseReach, error) {
	sweep := x.motion.runs[run].Sweep
	var m space.Motion
	ends := [2]int{x.motion.point(r.Over.From.Value), x.motion.point(r.Over.To.Value)}
	for i := range sweep.Poses {
		p := &sweep.Poses[i]
		if len(m.S) > 0 && p.Stroke <= m.S[len(m.S)-1] {
			continue
		}
		m.S = append(m.S, p.Stroke)
		m.Poses = append(m.Poses, []space.Pose{{At: p.Points[ends[0]]}, {At: p.Points[ends[1]]}})
		m.Rates = append(m.Rates, []space.Pose{{At: p.Velocity[ends[0]]}, {At: p.Velocity[ends[1]]}})
	}
	s, err := space.New(space.Scene{}, m)
	if err != nil {
		return space.HoseReach{}, err
	}
	length := r.Length.SI
	if !r.Length.Given() {
		length = 1 // any: only the ways of the ends are asked for
	}
	return s.Hose(space.Hose{Ends: [2]space.HoseEnd{{Body: 0}, {Body: 1}}, Length: length}, 0)
}
