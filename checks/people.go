package checks

import (
	"fmt"
	"maps"
	"math"
	"slices"
	"sort"
	"strings"

	"gonum.org/v1/gonum/spatial/r2"

	"trammel.example/checks/linkage"
	"trammel.example/checks/people"
	"trammel.example/checks/stroke"
	"trammel.example/schema"
)

// endSpeedFactor turns a stroke's mean speed into the speed that counts: a light piston ends at 1.5 to 2.5 times the mean. Common
// practice, no source.
const endSpeedFactor = 2

func (x *examiner) zones() {
	for _, name := range sorted(x.m.People) {
		z := x.m.People[name]
		s := newSubject(x.m, "zone", name, z.At)
		x.add(s)
		x.guard(s, z)
		if z.Stays.Given() {
			x.stays(s, z)
		}
		if len(z.Area) > 0 {
			if x.areas == nil {
				x.areas = x.aroundAreas()
			}
			maps.Copy(s.Facts, x.areas[name])
		}
		x.touch(s, name, z)
		x.closing(s, name, z)
	}
}

// stays compares how far the machine sweeps with how near people come.
func (x *examiner) stays(s *Subject, z schema.Zone) {
	if len(x.motion.cylinders) == 0 {
		s.open("nothing moves the machine: it has no cylinder", "margin")
		return
	}
	if why := x.motion.unknown(); why != "" {
		s.open(why, "margin", "sweptRadius")
		return
	}
	far := x.farthest(x.motion.point(z.Stays.From.Value))
	s.set("sweptRadius", schema.LengthDim, far.radius, z.Stays.From)
	s.worst("sweptRadius", far.when, far.rods...)
	s.text("keptFrom", z.Stays.From.Value, z.Stays.From)
	s.set("margin", schema.LengthDim, z.Stays.Away.SI-far.radius, z.Stays.Away, z.Stays.From)
	s.worst("margin", far.when, far.rods...)
}

// A distance is how far the machine gets from a point, m, and with what and when.
type distance struct {
	radius float64
	when   string
	rods   []float64
}

// farthest is how far the machine gets from a point, at any pressure.
func (x *examiner) farthest(from int) distance {
	if far, known := x.motion.farthest[from]; known {
		return far
	}
	fixed := map[string]bool{}
	for _, l := range x.m.Links {
		for _, p := range l.Points {
			fixed[p.Value] = fixed[p.Value] || l.Ground.Value
		}
	}
	var far distance
	var pose *linkage.Pose
	point := ""
	for _, r := range x.motion.runs {
		for i := range r.Poses {
			for p, at := range r.Poses[i].Points {
				if fixed[x.motion.points[p]] {
					continue
				}
				beyond := 0.0
				if i > 0 {
					beyond = stray(&r.Poses[i-1], &r.Poses[i], p)
				}
				if d := r2.Norm(r2.Sub(at, r.Poses[i].Points[from])) + beyond; d > far.radius {
					far.radius, point, pose = d, x.motion.points[p], &r.Poses[i]
				}
			}
		}
	}
	if pose != nil {
		far.when, far.rods = x.pointWhen(point, pose), rodsOut(pose)
	}
	// Edges and corners get farther than the points.
	if beyond, tip, at := x.farthestTip(from, far.radius); at != nil {
		far = distance{beyond, x.placeName(tip) + " " + x.motion.when(at), rodsOut(at)}
	}
	if x.motion.farthest == nil {
		x.motion.farthest = map[int]distance{}
	}
	x.motion.farthest[from] = far
	return far
}

// farthestTip is how far the outlines of moving links get from a point, if that is farther than what is known already, with the place and the pose.
func (x *examiner) farthestTip(from int, known float64) (radius float64, tip place, pose *linkage.Pose) {
	radius = known
	tips := x.tips()
	at, v := make([]r2.Vec, len(tips)), make([]r2.Vec, len(tips))
	for _, r := range x.motion.runs {
		for i := range r.Poses {
			p := &r.Poses[i]
			var f linkFrame
			for k := range tips {
				t := &tips[k]
				if k == 0 || t.link != tips[k-1].link {
					f = x.frameIn(p, t.link)
				}
				before, u := at[k], v[k]
				at[k], v[k] = f.moved(t.from)
				d := r2.Norm(r2.Sub(at[k], p.Points[from])) + t.radius
				if i > 0 && d+r2.Norm(r2.Sub(at[k], before))/2 > radius {
					d += leaves(before, at[k], u, v[k])
				}
				if d > radius+tolerance {
					radius, tip, pose = d, t.place, p
				}
			}
		}
	}
	return radius, tip, pose
}

func (x *examiner) pointWhen(point string, p *linkage.Pose) string {
	return fmt.Sprintf("point %s %s", point, x.motion.when(p))
}

// stray is by how much a point's way between two neighbouring poses leaves its chord, at most: an eighth of the second difference, or the
// height of the triangle between the chord and the tangents at its ends. The first grows without end beside a dead point, where the rod
// stands still.
func stray(from, to *linkage.Pose, point int) float64 {
	ds := to.Stroke - from.Stroke
	return min(r2.Norm(to.Acceleration[point])*ds*ds/8, leaves(from.Points[point], to.Points[point], from.Velocity[point], to.Velocity[point]))
}

// leaves is the height of the triangle between the chord of a way and the tangents at its ends.
func leaves(from, to, u, v r2.Vec) float64 {
	turn := math.Atan2(math.Abs(r2.Cross(u, v)), r2.Dot(u, v))
	return r2.Norm(r2.Sub(to, from)) / 2 * math.Tan(min(turn, math.Pi/2)/2)
}

// touch computes what a person feels at the places within reach: the force with which a cylinder pushes them, and the energy of what
// moves.
func (x *examiner) touch(s *Subject, zone string, z schema.Zone) {
	along := x.contacts(s, zone, z)
	if len(z.Reaches) == 0 && !slices.ContainsFunc(along, func(all []contact) bool {
		return slices.ContainsFunc(all, func(c contact) bool { return c.fast.rate > stillRate })
	}) {
		return // they get to nothing
	}
	points := make([]int, len(z.Reaches))
	for i, p := range z.Reaches {
		points[i] = x.motion.point(p.Value)
	}
	type most struct {
		value float64
		at    touched
		pose  *linkage.Pose
		from  []schema.Input
		takes float64 // the stroke, s
	}
	var force, failed, energy, speed, blow most
	var struck people.Region
	mass, unstruck := 0.0, ""
	for _, c := range x.motion.cylinders {
		zone, why := x.air.at(c)
		if why += zone.why; why == "" {
			why = x.motion.why(c)
		}
		if why != "" {
			s.open(why, "touchForce", "touchForceHighest")
			return
		}
		if x.computed(c) == nil && !x.m.Cylinders[c].Time.Given() {
			s.open(fmt.Sprintf("how long the stroke of %s takes is not given: add `time: s: …` as you set it with the flow controls", c), "touchEnergy", "touchSpeed")
		}
	}
	for k := range x.motion.runs {
		r := &x.motion.runs[k]
		var fromSet, fromFailed []schema.Input
		var pushes, failedPushes []float64 // zero for a cylinder at rest
		for i, c := range x.motion.cylinders {
			y := x.m.Cylinders[c]
			zone, _ := x.air.at(c)
			push, _ := pistonAreas(y)
			if !r.moves(i) {
				push = 0
			} else {
				fromSet = append(append(fromSet, y.Bore), zone.from...)
				fromFailed = append(append(fromFailed, y.Bore), zone.fromFailed...)
			}
			pushes, failedPushes = append(pushes, zone.pressure*push), append(failedPushes, zone.failed*push)
		}
		paces := x.pacesOf(r)
		energies := x.energies(k)
		for j := range r.Poses {
			p := &r.Poses[j]
			rod := paces[j].rod
			// By virtual work the cylinders that move together push together.
			pushed, pushedFailed := 0.0, 0.0
			for i, c := range p.Cylinders {
				if pushes[i] > 0 {
					pushed += pushes[i] * c.Rate
					pushedFailed += failedPushes[i] * c.Rate
				}
			}
			fast, slow := touched{}, touched{}
			if along != nil {
				fast, slow = touched{place: along[k][j].fast}, touched{place: along[k][j].slow}
			}
			for i, q := range points {
				v := r2.Norm(p.Velocity[q])
				if v < stillRate {
					continue // it stands still at this pose: nothing is pushed there
				}
				if v > fast.rate || fast.point == "" && v >= fast.rate*(1-rounding) {
					fast = touched{place{rate: v}, z.Reaches[i].Value}
				}
				if slow.rate == 0 || v < slow.rate {
					slow = touched{place{rate: v}, z.Reaches[i].Value}
				}
			}
			if slow.rate > 0 {
				if f := pushed / slow.rate; f > force.value {
					force = most{f, slow, p, fromSet, 0}
				}
				if f := pushedFailed / slow.rate; f > failed.value {
					failed = most{f, slow, p, fromFailed, 0}
				}
			}
			if rod == 0 || fast.rate < stillRate {
				continue
			}
			u := rod * fast.rate
			if u > speed.value {
				speed = most{u, fast, p, paces[j].from, paces[j].takes}
			}
			e := energies[j] * rod * rod
			if e > energy.value {
				energy = most{e, fast, p, paces[j].from, paces[j].takes}
			}
			if e == 0 {
				continue // nothing that moves has a mass
			}
			// The faster of two places strikes harder: the same energy, and less mass behind it.
			behind := 2 * e / (u * u)
			region, f, err := people.Struck(atRisk(z), u, behind)
			if err != nil {
				unstruck = err.Error()
			} else if blow.pose == nil || f/region.Limit > blow.value/struck.Limit {
				blow, struck, mass = most{f, fast, p, paces[j].from, paces[j].takes}, region, behind
			}
		}
	}
	put := func(name string, dim schema.Dimension, m most) {
		if _, open := s.Facts[name]; !open {
			s.set(name, dim, m.value, m.from...)
			if m.pose != nil {
				s.worst(name, x.touchedName(m.at)+" "+x.motion.when(m.pose), rodsOut(m.pose)...)
			}
		}
	}
	if len(z.Reaches) > 0 || force.pose != nil {
		put("touchForce", schema.ForceDim, force)
		if !math.IsInf(failed.value, 1) {
			put("touchForceHighest", schema.ForceDim, failed)
		}
	}
	if force.value > 0 {
		s.text("touchPoint", x.touchedName(force.at))
		s.set("setForTouch", schema.PressureDim, pressureFor(force.value, people.ContactForce, force.from))
	}
	if len(x.motion.unweighed) > 0 {
		s.open("the weight of "+strings.Join(x.motion.unweighed, ", ")+" is not given: add `mass: kg: …`", "touchEnergy", "touchBlow")
	}
	put("touchEnergy", schema.EnergyDim, energy)
	put("touchSpeed", schema.SpeedDim, speed)
	if unstruck != "" {
		s.open(unstruck, "touchBlow")
	}
	if blow.pose != nil {
		x.blow(s, z, struck, mass)
		s.set("timeForBlow", schema.TimeDim, blow.takes*blow.value/struck.Limit, blow.from...)
		put("touchBlow", schema.ForceDim, blow)
		s.text("touchStrikes", x.touchedName(blow.at))
	}
	if t := s.Facts["touchEnergy"]; t.Kind == Quantity && len(energy.from) > 0 {
		s.set("timeForTouch", schema.TimeDim, energy.takes*math.Sqrt(energy.value/people.ContactEnergy), energy.from...)
	}
}

// A touched place is a point of the machine by its name, or one along a link.
type touched struct {
	place
	point string
}

func (x *examiner) touchedName(t touched) string {
	switch {
	case t.point != "":
		return "point " + t.point
	case t.rate > 0:
		return x.placeName(t.place)
	}
	return ""
}

// A pace is how fast the rod is in a pose, m/s, how long its stroke takes, s, and by what.
type pace struct {
	rod, takes float64
	from       []schema.Input
}

// pacesOf are those of a run in each of its poses: of a cylinder that moves alone, those of its computed strokes, the faster of the two; else
// twice the mean by the time that is given, and none where none is.
func (x *examiner) pacesOf(r *run) []pace {
	all := make([]pace, len(r.Poses))
	d := x.computed(x.motion.cylinders[r.Lead])
	if d == nil || len(r.others()) > 0 {
		rod, from := x.rodSpeed(r)
		for i := range all {
			all[i] = pace{rod, x.quickest(r).SI, from}
		}
		return all
	}
	for _, inward := range []bool{false, true} {
		going := d.outward
		if inward {
			going = d.inward
		}
		result := going.result
		control, _ := d.control(inward)
		from, takes := d.inputs(control), result.Last.Time-result.Started
		at := func(i int, speed float64) {
			if speed > all[i].rod {
				all[i] = pace{speed, takes, from}
			}
		}
		course := result.Course
		for k := 1; k < len(course); k++ {
			a, b := course[k-1], course[k]
			if a.Stroke > b.Stroke {
				a, b = b, a
			}
			i := sort.Search(len(all), func(i int) bool { return r.Poses[i].Stroke >= a.Stroke })
			for ; i < len(all) && r.Poses[i].Stroke <= b.Stroke; i++ {
				share := 0.0
				if b.Stroke > a.Stroke {
					share = (r.Poses[i].Stroke - a.Stroke) / (b.Stroke - a.Stroke)
				}
				at(i, math.Abs(a.Speed)+share*(math.Abs(b.Speed)-math.Abs(a.Speed)))
			}
		}
		if peak := result.PeakSpeed; !math.IsNaN(peak.Time) && len(all) > 0 {
			i := sort.Search(len(all), func(i int) bool { return r.Poses[i].Stroke >= peak.Stroke })
			at(min(i, len(all)-1), math.Abs(peak.Speed))
			at(max(i-1, 0), math.Abs(peak.Speed))
		}
	}
	return all
}

// computed is what the strokes of a cylinder are computed with, when they are; nil where they are not known.
func (x *examiner) computed(cylinder string) *driven {
	for _, b := range x.begun {
		if b.name != cylinder || b.driven == nil {
			continue
		}
		for _, g := range []*goingStroke{b.driven.outward, b.driven.inward} {
			if <-g.done; g.err != nil || g.result.Verdict == stroke.OutOfSteps {
				return nil
			}
		}
		return b.driven
	}
	return nil
}

// blow says whom the worst blow strikes, and with which mass behind it.
func (x *examiner) blow(s *Subject, z schema.Zone, struck people.Region, mass float64) {
	if !z.AtRisk.Given() && !slices.ContainsFunc(s.Assumed, func(a schema.Assumption) bool { return strings.HasSuffix(a.Path, ".atRisk") }) {
		x.assume(s, z.Path+".atRisk", atRisk(z), "common practice: an arm of who only touches points, else all of who is there")
	}
	s.set("touchMass", schema.MassDim, mass)
	s.set("touchBlowMost", schema.ForceDim, struck.Limit, z.AtRisk)
	s.text("touchStruck", struck.Name)
}

// rodSpeed is that of the rod that leads a run, at its end, and 0 where no time is given. Cylinders that move together take the
// shortest of their times.
func (x *examiner) rodSpeed(r *run) (float64, []schema.Input) {
	lead := x.m.Cylinders[x.motion.cylinders[r.Lead]]
	quickest := x.quickest(r)
	if !quickest.Given() {
		return 0, nil
	}
	between := x.motion.ranges[r.Lead]
	return endSpeedFactor * (between[1] - between[0]) / quickest.SI, []schema.Input{quickest, lead.Stroke}
}

// quickest is the shortest time that is given for a cylinder of a run.
func (x *examiner) quickest(r *run) schema.Time {
	quickest := x.m.Cylinders[x.motion.cylinders[r.Lead]].Time
	for _, i := range r.others() {
		if t := x.m.Cylinders[x.motion.cylinders[i]].Time; t.Given() && (!quickest.Given() || t.SI < quickest.SI) {
			quickest = t
		}
	}
	return quickest
}

// stillRate is the share of the rod's speed below which a point stands still.
const stillRate = 1e-6

// pressureFor is the setting of all regulators at which a force that grows with them meets a limit; 0 where it hangs on none, or on springs too.
func pressureFor(force, limit float64, from []schema.Input) float64 {
	least := math.Inf(1)
	for _, in := range from {
		switch in := in.(type) {
		case schema.Pressure:
			least = min(least, in.SI)
		case schema.Force:
			return 0
		}
	}
	if math.IsInf(least, 1) {
		return 0
	}
	return least * limit / force
}

// energies are those of everything that moves in each pose of a run, for 1 m/s of the rod. They do not hang on any pressure.
func (x *examiner) energies(run int) []float64 {
	mo := x.motion
	if mo.energies == nil {
		mo.energies = make([][]float64, len(mo.runs))
	}
	if mo.energies[run] == nil {
		poses := mo.runs[run].Poses
		mo.energies[run] = make([]float64, len(poses))
		for i := range poses {
			mo.energies[run][i] = x.kinetic(&poses[i], 1)
		}
	}
	return mo.energies[run]
}

// kinetic is the energy of everything that moves at a pose, for a speed of the rod: ½ Σ (m v² + J ω²), loads carried as points.
func (x *examiner) kinetic(p *linkage.Pose, rod float64) float64 {
	sum := 0.0
	drawn := make([]r2.Vec, len(x.motion.points))
	for k, q := range x.motion.points {
		drawn[k] = r2.Vec{X: x.m.Points[q].X.SI, Y: x.m.Points[q].Y.SI}
	}
	for i, name := range x.motion.links {
		l := x.m.Links[name]
		if l.Ground.Value {
			continue
		}
		index := make([]int, len(l.Points))
		for k, q := range l.Points {
			index[k] = x.motion.point(q.Value)
		}
		// The centre turns with the link about its first point.
		arm := r2.Rotate(r2.Sub(centreOf(l, drawn, index), drawn[index[0]]), p.Angles[i], r2.Vec{})
		rate := p.AngleRate[i]
		v := r2.Add(p.Velocity[index[0]], r2.Scale(rate, r2.Vec{X: -arm.Y, Y: arm.X}))
		sum += l.Mass.SI*r2.Norm2(v) + rodInertia(l.Mass.SI, drawn, index)*rate*rate
	}
	for _, name := range sorted(x.m.Loads) {
		l := x.m.Loads[name]
		sum += l.Mass.SI * r2.Norm2(p.Velocity[x.motion.point(l.At.Value)])
	}
	for i, c := range x.motion.cylinders {
		rate := p.Cylinders[i].Rate
		sum += x.m.Cylinders[c].Moving.SI * rate * rate
	}
	return sum / 2 * rod * rod
}
