package checks

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"

	"trammel.example/checks/bearings"
	"trammel.example/checks/linkage"
	"trammel.example/checks/pins"
	"trammel.example/schema"
)

const (
	// rollPoses is how many poses of a stroke one is taken of where balls roll: 41 are left of a stroke, between which the load goes evenly
	// to a part in a thousand.
	rollPoses = 5
	// turnsLeast is the turning below which a bearing is held, rad.
	turnsLeast = 1e-6
	// ratedUpTo is the part of the dynamic rating up to which the life is as ISO 281 has it (from memory).
	ratedUpTo = 0.5
	// mostCycles is up to what a life is told.
	mostCycles = 1e9
	// ratingStep is to what a rating is rounded up, N.
	ratingStep = 10
)

// lasts says whether a pivot has blocks whose life is asked for, or can be told.
func (x *examiner) lasts(p schema.Pivot) bool {
	if !x.m.Cycle.Given() {
		return false
	}
	for _, l := range p.Stack {
		if l.Block.Given() && (x.m.Cycle.Cycles.Given() || l.Block.Dynamic.Given()) {
			return true
		}
	}
	return false
}

// A roller is a block whose bearing turns with the machine.
type roller struct {
	b           *borne
	layer       int
	m           member
	sum         bearings.Wear // of one cycle
	worst       bearings.Wear // of one stroke
	now         bearings.Wear
	load, angle float64
	rolled      bool // has a load and angle from the pose before
}

// lives follows what the balls of the blocks roll over in one cycle of the plan.
func (x *examiner) lives(all []*borne, why string) {
	if !x.m.Cycle.Given() {
		return
	}
	var rollers []*roller
	for _, b := range all {
		for k := range b.load.Layers {
			m := b.stack.members[b.of[k]]
			if !m.Block.Given() || !m.Block.Dynamic.Given() && !x.m.Cycle.Cycles.Given() {
				continue
			}
			if swing, _ := x.motion.swing(m.body, b.pivot.Pin.TurnsWith.Value); why == "" && swing < turnsLeast {
				continue
			}
			rollers = append(rollers, &roller{b: b, layer: k, m: m})
		}
	}
	if why == "" && len(rollers) > 0 {
		why = x.roll(rollers)
	}
	for _, r := range rollers {
		x.life(r, why)
	}
}

// roll adds up the wear of the plan's strokes, each by the sweep of its cylinder that wears most.
func (x *examiner) roll(rollers []*roller) (why string) {
	mo := x.motion
	statics, _, err := mo.cases()
	if err != nil {
		return "the forces are not known: " + err.Error()
	}
	joints := statics[0].Joints()
	takers := map[*borne]func(*linkage.Forces, []r2.Vec){}
	for _, r := range rollers {
		if takers[r.b] == nil {
			takers[r.b] = x.taker(r.b, joints)
		}
	}
	forces := make([]linkage.Forces, len(statics))
	var pin pins.Result
	// pressed is what the machine at rest presses on a block: weights, and the forces that add to them.
	pressed := func(r *roller) float64 {
		var sum r2.Vec
		for n := range forces {
			load := r.b.load
			load.Forces = make([]r2.Vec, len(r.b.bodies))
			takers[r.b](&forces[n], load.Forces)
			pin = load.Bear(pin)
			if more := r2.Add(sum, pin.Layers[r.layer]); n == 0 || r2.Norm2(more) > r2.Norm2(sum) {
				sum = more
			}
		}
		return r2.Norm(sum)
	}
	steps := x.m.Cycle.ByCylinder()
	for _, name := range sorted(steps) {
		for _, r := range rollers {
			r.worst = bearings.Wear{}
		}
		for i := range mo.runs {
			run := &mo.runs[i]
			if run.Sweep == nil || mo.cylinders[run.Lead] != name || len(run.With) > 0 { // of those that move together each has a sweep of its own
				continue
			}
			for _, r := range rollers {
				r.now, r.rolled = bearings.Wear{}, false
			}
			for k := range run.Poses {
				if k%rollPoses != 0 && k != len(run.Poses)-1 {
					continue
				}
				p := &run.Poses[k]
				for n, s := range statics {
					if err := s.Hold(p, linkage.Standing, &forces[n]); err != nil {
						return "the forces are not known: " + err.Error()
					}
				}
				for _, r := range rollers {
					load, angle := pressed(r), mo.bodyAngle(p, r.m.body)-mo.bodyAngle(p, r.b.pivot.Pin.TurnsWith.Value)
					if r.rolled {
						r.now.Roll(angle-r.angle, r.load, load)
					}
					r.load, r.angle, r.rolled = load, angle, true
				}
			}
			for _, r := range rollers {
				if r.now.Cubed > r.worst.Cubed {
					r.worst = r.now
				}
			}
		}
		for _, r := range rollers {
			for range steps[name] {
				r.sum = r.sum.Add(r.worst)
			}
		}
	}
	return ""
}

// life judges one bearing; of those of one part the one that wears most.
func (x *examiner) life(r *roller, why string) {
	name := r.b.point + ": " + r.m.what
	s := x.subject("seat", name)
	if s == nil {
		s = newSubject(x.m, "seat", name, r.m.At)
		x.add(s)
	}
	if why == "" && !r.m.Block.Dynamic.Given() {
		why = "the dynamic load rating of its bearing is not given, and the plan asks how long it lasts: add `dynamic: N: …` to the block, from its data sheet"
	}
	if why != "" {
		s.open(why, "life", "meanLoad")
		return
	}
	c, wanted := r.m.Block.Dynamic, x.m.Cycle.Cycles
	life := min(math.Floor(r.sum.Cycles(c.SI)), mostCycles)
	if known, ok := s.Facts["life"]; r.sum.Cubed == 0 || ok && known.SI <= life {
		return
	}
	var from []schema.Input
	for _, l := range sorted(x.m.Loads) {
		from = append(from, x.m.Loads[l].Mass, x.m.Loads[l].Force)
	}
	s.set("life", schema.NumberDim, life, append([]schema.Input{c}, from...)...)
	s.set("rolls", schema.NumberDim, r.sum.Turns)
	s.set("meanLoad", schema.ForceDim, r.sum.Equivalent(), append([]schema.Input{c}, from...)...)
	s.set("meanLoadAllowed", schema.ForceDim, ratedUpTo*c.SI, c)
	needed := r.sum.Equivalent() / ratedUpTo
	if wanted.Given() {
		s.set("lifeWanted", schema.NumberDim, wanted.SI, wanted)
		needed = max(needed, r.sum.Rating(wanted.SI))
	}
	s.set("dynamicNeeded", schema.ForceDim, math.Ceil(needed/ratingStep-1e-9)*ratingStep)
}
