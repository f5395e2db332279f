package checks

import (
	"maps"
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r2"

	"trammel.example/checks/linkage"
	"trammel.example/schema"
)

// Rising is one machine at any setting of its regulators. What does not hang on the pressure is computed once.
type Rising struct {
	m      *schema.Machine
	motion *motion
	rest   []*Subject
	areas  map[string]map[string]Fact
	gaps   map[string][]pinch
	// The coil circuit, and its subjects without what follows when coils are let go.
	circuit *electric
	wired   []*Subject
}

// NewRising computes what is the same at each pressure.
func NewRising(m *schema.Machine) *Rising {
	x := &examiner{m: m, air: followAir(m), motion: move(m), briefly: true}
	x.linkage()
	x.levers()
	x.reaches()
	x.guides()
	x.made()
	x.sections()
	x.axes()
	// The play of pivots, which is the same at each pressure, widens what parts need; what pivots carry is not the same, and comes anew.
	from := len(x.subjects)
	x.pivots()
	to := len(x.subjects)
	x.space()
	x.hoses()
	x.fourBars()
	x.fastenings()
	x.purchases()
	areas, gaps := x.aroundAreas(), x.closingGaps()
	rest := slices.Delete(x.subjects, from, to)
	x.subjects = nil
	circuit := x.wiring()
	return &Rising{m, x.motion, rest, areas, gaps, circuit, x.subjects}
}

// At gives the subjects with a regulator set to a pressure (Pa, gauge), and no other to more than that. Remedies that take a search are
// left out.
func (r *Rising) At(regulator string, pressure float64) []*Subject {
	m := *r.m
	m.Air.Parts = maps.Clone(m.Air.Parts)
	for name, p := range m.Air.Parts {
		if p.Kind.Value == "regulator" {
			if name == regulator || p.Set.SI > pressure {
				p.Set.SI = pressure
			}
			m.Air.Parts[name] = p
		}
	}
	x := &examiner{m: &m, air: followAir(&m), motion: r.motion, areas: r.areas, closings: r.gaps, briefly: true}
	x.begun = x.beginStrokes()
	x.cylinders()
	x.stops()
	x.stalls()
	x.carrying()
	x.pivots()
	x.strength()
	x.stoppings()
	x.prints()
	x.screwGroups()
	x.fixings()
	x.mounting()
	x.frame()
	x.springings()
	x.hubs()
	x.airParts()
	x.strokes()
	x.supplies()
	for _, s := range r.wired {
		own := *s
		own.Facts, own.Assumed = maps.Clone(s.Facts), slices.Clone(s.Assumed)
		x.add(&own)
	}
	r.circuit.lettingGo(x) // by what the steps of the plan leave, which hangs on the pressure
	x.behaviours()
	x.zones()
	x.firstAir()
	return append(x.subjects, r.rest...)
}

// A Grasp is what a cylinder does at the tool that it presses most with, if something holds that.
type Grasp struct {
	Point string  // "" where no tool moves
	Gain  float64 // force there by the thrust; infinite next to a dead point
	When  string
}

// Grasps are those of each cylinder, by its name.
func (r *Rising) Grasps() map[string]Grasp {
	x := &examiner{m: r.m, motion: r.motion}
	all := map[string]Grasp{}
	tools := x.toolPoints()
	r.motion.everyUsablePose(func(run *run, p *linkage.Pose) {
		name := r.motion.cylinders[run.Lead]
		for _, t := range tools {
			v := r2.Norm(p.Velocity[r.motion.point(t.point)])
			gain := 1 / v
			if v < 1.0/mostGain {
				gain = math.Inf(1)
			}
			if g := all[name]; gain > g.Gain && v > stillRate {
				all[name] = Grasp{t.point, gain, r.motion.when(p)}
			}
		}
	})
	return all
}

// Swept is the farthest (m) that a point or outline that moves gets from a point that stands still, and that one: of all, the one that makes
// it least. 0 where the motion is not known.
func (r *Rising) Swept() (radius float64, about string) {
	x := &examiner{m: r.m, motion: r.motion}
	best := math.Inf(1)
	fixed := map[string]bool{}
	for _, l := range r.m.Links {
		for _, p := range l.Points {
			fixed[p.Value] = fixed[p.Value] || l.Ground.Value
		}
	}
	for _, c := range sorted(fixed) {
		if !fixed[c] {
			continue
		}
		from, most := r.motion.point(c), 0.0
		r.motion.everyPose(func(_ *run, p *linkage.Pose) {
			for i, name := range r.motion.points {
				if !fixed[name] {
					most = max(most, r2.Norm(r2.Sub(p.Points[i], p.Points[from])))
				}
			}
		})
		if most > 0 {
			most, _, _ = x.farthestTip(from, most)
		}
		if most > 0 && most < best {
			best, about = most, c
		}
	}
	if about == "" {
		return 0, ""
	}
	return best, about
}
