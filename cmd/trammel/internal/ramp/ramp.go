// Package ramp plans how pressure is put on a machine for the first time: it judges the machine at rising pressure.
package ramp

import (
	"cmp"
	"errors"
	"fmt"
	"maps"
	"math"
	"slices"
	"time"

	"trammel.example/checks"
	"trammel.example/rules"
	"trammel.example/schema"
)

const (
	// resolution in Pa is how exactly the pressure at which a rule breaks is found: 0.01 bar.
	resolution = 1e3
	// grid is how far apart, in resolutions, the pressures lie between which such an edge is looked for. A rule that breaks and holds
	// again within one is not seen.
	grid = 100
	// arm in m is how far beyond what moves people stand, so that a stretched arm does not get there: the 850 mm of ISO 13857 for
	// openings that an arm goes through.
	arm = 0.85
)

// A Plan is what a first pressurisation goes by.
type Plan struct {
	Judgement  *rules.Judgement // as the spec has it
	Regulator  string           // whose setting rises; the others are set to no more
	Set, To    float64          // Pa, gauge; as the spec has it, and the highest that was looked at
	Rungs      []Rung           // by pressure
	Working    float64          // from where on nothing breaks for want of pressure
	Moves      float64          // what moves the cylinder that needs least; NaN where Why
	MovesWho   string
	Why        string
	Steps      []Step
	StandClear float64 // m from the point About; 0 where it is not known
	About      string
	Examined   int // pressures that were computed
}

// A Rung is one rule on one subject that changes as the pressure rises.
type Rung struct {
	Finding *rules.Finding // as it fails
	At      float64        // Pa: the last at which it holds, rising; the first, where Below
	Below   bool           // it fails below At
	begins  bool           // below At there was nothing to judge
}

// A Step is one pressure of the plan.
type Step struct {
	Pressure float64
	Verdict  bool // whether the machine would be GO there
	Moves    []Move
	Nearest  *rules.Finding // of the limits that the pressure comes nearer to, the one with the least left; nil without one
	Stop     bool           // go no higher
}

// A Move is what one cylinder does at a step. A number that is not known is NaN.
type Move struct {
	Cylinder string
	Moves    bool    // by its load and friction
	Time     float64 // s, the quicker way
	Given    bool    // the time is that of the spec, at the pressure set
	Speed    float64 // m/s, the fastest point of the machine
	Thrust   float64 // N, the greater
	Energy   float64 // J, what the moving parts carry at the end of the stroke; AtMost: all that the air can put in
	AtMost   bool
	Grasp    checks.Grasp
	Press    float64 // N, at the tool, if something holds it; the base is pushed back as hard
}

// ErrNoRegulator says that no regulator feeds a cylinder.
var ErrNoRegulator = errors.New("no regulator sets the pressure of any cylinder: there is nothing to raise step by step")

type key struct{ rule, kind, subject string }

// A look is the machine at one pressure.
type look struct {
	judgement *rules.Judgement
	fails     map[key]*rules.Finding
	holds     map[key]*rules.Finding
}

type climber struct {
	rising    *checks.Rising
	grasps    map[string]checks.Grasp
	regulator string
	set       *rules.Set
	day       time.Time
	machine   *schema.Machine
	looks     map[float64]*look
	tell      func(looks int)
}

// at judges the machine at a pressure (Pa), once.
func (c *climber) at(pressure float64) *look {
	if l := c.looks[pressure]; l != nil {
		return l
	}
	j := rules.JudgeBriefly(c.set, c.machine, c.rising.At(c.regulator, pressure), c.day)
	l := &look{j, map[key]*rules.Finding{}, map[key]*rules.Finding{}}
	for _, f := range j.Findings {
		switch k := keyOf(f); {
		case f.Subject.Kind == "first air": // the plan of the spec is made for its own setting
		case f.Outcome == rules.Pass:
			l.holds[k] = f
		case f.Outcome == rules.Fail && (f.Concession == nil || f.Concession.State != rules.InForce):
			l.fails[k] = f
		}
	}
	c.looks[pressure] = l
	c.tell(len(c.looks))
	return l
}

func keyOf(f *rules.Finding) key { return key{f.Rule.Name, f.Subject.Kind, f.Subject.Name} }

// node is a pressure in whole resolutions.
func (c *climber) node(n int) *look { return c.at(float64(n) * resolution) }

// weight orders outcomes: what does not fail weighs nothing.
func weight(f *rules.Finding) int {
	if f == nil {
		return 0
	}
	return map[rules.Level]int{rules.Note: 1, rules.Warning: 2, rules.Error: 3}[f.Level]
}

// Climb judges a machine with one of its regulators set to every pressure up to a highest (Pa), and makes the plan of it. tell hears how
// many pressures have been computed.
func Climb(set *rules.Set, m *schema.Machine, regulator string, to float64, day time.Time, tell func(looks int)) (*Plan, error) {
	c, p, err := begin(set, m, regulator, to, day, tell)
	if err != nil {
		return nil, err
	}
	p.Rungs = c.rungs(int(math.Round(to/resolution)), p.Set)
	for i := range p.Rungs {
		rules.Explain(p.Rungs[i].Finding)
	}
	for _, r := range p.Rungs {
		if r.Below && r.At <= p.Set && r.Finding.Level == rules.Error {
			p.Working = max(p.Working, r.At)
		}
	}
	if p.Why == "" {
		c.plan(p)
	}
	p.Examined = len(c.looks)
	return p, nil
}

// Walk makes a plan without looking for where each rule breaks: what to expect at some pressures (Pa), one after the other, or where none are
// given, at those that a plan of its own lays up to the pressure set.
func Walk(set *rules.Set, m *schema.Machine, pressures []float64, day time.Time) (*Plan, error) {
	c, p, err := begin(set, m, "", math.Inf(1), day, func(int) {})
	if err != nil {
		return nil, err
	}
	p.To = p.Set
	var before *look
	for _, at := range pressures {
		var s Step
		s, before = c.step(p, at, before)
		p.Steps = append(p.Steps, s)
	}
	if len(pressures) == 0 && p.Why == "" {
		c.plan(p)
	}
	if last := len(p.Steps) - 1; last >= 0 {
		p.Steps[last].Stop = true
	}
	p.Examined = len(c.looks)
	return p, nil
}

// begin judges the machine at the pressure set, and finds what moves it and how far it reaches.
func begin(set *rules.Set, m *schema.Machine, regulator string, to float64, day time.Time, tell func(looks int)) (*climber, *Plan, error) {
	if regulator == "" {
		if regulator = checks.LeadRegulator(m); regulator == "" {
			return nil, nil, ErrNoRegulator
		}
	}
	part, known := m.Air.Parts[regulator]
	if !known || part.Kind.Value != "regulator" {
		return nil, nil, fmt.Errorf("%s has no regulator %q", m.Name, regulator)
	}
	if to < part.Set.SI {
		return nil, nil, fmt.Errorf("%s is set to %s, and only up to %s is asked for", regulator, part.Set, schema.Format(schema.PressureDim, to))
	}
	c := &climber{rising: checks.NewRising(m), regulator: regulator, set: set, day: day, machine: m, looks: map[float64]*look{}, tell: tell}
	c.grasps = c.rising.Grasps()
	p := &Plan{Regulator: regulator, Set: part.Set.SI, To: to}
	p.Judgement = c.at(p.Set).judgement
	rules.Explain(p.Judgement.Findings...)
	p.Moves, p.MovesWho, p.Why = checks.LowestMoving(m, p.Judgement.Subjects)
	if p.Why != "" {
		p.Moves = math.NaN()
	}
	if radius, about := c.rising.Swept(); radius > 0 {
		p.StandClear, p.About = radius+arm, about
	}
	return c, p, nil
}

// rungs finds every pressure at which a rule begins or ends to fail, in resolutions up to a highest.
func (c *climber) rungs(to int, set float64) []Rung {
	nodes := []int{1}
	for n := grid; n < to; n += grid {
		nodes = append(nodes, n)
	}
	nodes = append(nodes, to)
	// Much begins where a cylinder begins to move.
	for name := range c.machine.Cylinders {
		if moves, why := checks.MovesFrom(c.machine, name, c.at(set).judgement.Subjects); why == "" {
			if n := int(math.Ceil(moves/resolution)) + 1; n > 1 && n < to {
				nodes = append(nodes, n)
			}
		}
	}
	slices.Sort(nodes)
	nodes = slices.Compact(nodes)
	var list []Rung
	for i := 1; i < len(nodes); i++ {
		low, high := nodes[i-1], nodes[i]
		changed := map[key]bool{}
		for _, l := range []*look{c.node(low), c.node(high)} {
			for k := range l.fails {
				changed[k] = weight(c.node(low).fails[k]) != weight(c.node(high).fails[k])
			}
		}
		for k, is := range changed {
			if is {
				list = append(list, c.edge(k, low, high))
			}
		}
	}
	slices.SortFunc(list, func(a, b Rung) int {
		return cmp.Or(cmp.Compare(a.At, b.At), cmp.Compare(a.Finding.Rule.Name, b.Finding.Rule.Name), cmp.Compare(a.Finding.Subject.Name, b.Finding.Subject.Name))
	})
	// Where a machine only begins to move, its speeds and times begin to be judged, and at first are poor: what ends of itself below the
	// setting says nothing.
	return slices.DeleteFunc(list, func(r Rung) bool {
		return r.begins && slices.ContainsFunc(list, func(o Rung) bool {
			return o.Below && keyOf(o.Finding) == keyOf(r.Finding) && o.At > r.At && o.At <= set
		})
	})
}

// edge closes in on where a rule's outcome changes between two pressures: where its value would meet the limit on a straight line between
// them, and by halves where that does not help.
func (c *climber) edge(k key, low, high int) Rung {
	was := weight(c.node(low).fails[k])
	for tries := 0; high-low > 1; tries++ {
		middle := (low + high) / 2
		if share, known := meets(c.node(low), c.node(high), k); known && tries%3 != 2 {
			middle = min(max(low+int(share*float64(high-low)), low+1), high-1)
		}
		if weight(c.node(middle).fails[k]) == was {
			low = middle
		} else {
			high = middle
		}
	}
	before, after := c.node(low), c.node(high)
	if weight(after.fails[k]) < was {
		return Rung{Finding: before.fails[k], At: float64(high) * resolution, Below: true}
	}
	return Rung{Finding: after.fails[k], At: float64(low) * resolution, begins: was == 0 && before.holds[k] == nil}
}

// meets is at which share of the way between two looks a rule's value meets the limit that it breaks, if it changes evenly.
func meets(low, high *look, k key) (share float64, known bool) {
	find := func(l *look) *rules.Finding {
		if f := l.fails[k]; f != nil {
			return f
		}
		return l.holds[k]
	}
	a, b := find(low), find(high)
	if a == nil || b == nil || a.Op == rules.MustBe {
		return 0, false
	}
	limit := a.Limit.SI
	if weight(high.fails[k]) > weight(low.fails[k]) {
		limit = b.Limit.SI
	}
	share = (limit - a.Value.SI) / (b.Value.SI - a.Value.SI)
	return share, share >= 0 && share <= 1
}

// plan lays the steps: from a little above what moves the machine, up to the pressure set, or to the last at which no error breaks.
func (c *climber) plan(p *Plan) {
	top := p.Set
	first := checks.FirstStep(p.Moves, c.machine.Air.Parts[c.regulator].Range.From.SI)
	for _, r := range p.Rungs {
		if !r.Below && r.Finding.Level == rules.Error && r.At >= first && r.At < top {
			top = math.Floor(r.At/1e4) * 1e4 // a gauge shows a tenth of a bar
		}
	}
	var before *look
	for at := min(first, top); ; {
		s, l := c.step(p, at, before)
		s.Stop = at >= top
		p.Steps = append(p.Steps, s)
		if s.Stop {
			return
		}
		before = l
		// Half a step is not worth its own.
		next := math.Floor((at+checks.RiseMost(at))/1e4+1e-6) * 1e4
		if next >= top || top-next < 1e4 {
			next = top
		}
		at = next
	}
}

// step says what to expect at a pressure, after another.
func (c *climber) step(p *Plan, at float64, before *look) (Step, *look) {
	l := c.at(at)
	s := Step{Pressure: at, Verdict: l.judgement.Go(), Nearest: nearest(before, l)}
	for _, name := range slices.Sorted(maps.Keys(c.machine.Cylinders)) {
		s.Moves = append(s.Moves, move(c.machine, name, l.judgement.Subjects, p.Judgement.Subjects, c.grasps[name]))
	}
	return s, l
}

// nearest is the limit with the least left of those that are nearer than at the step before.
func nearest(before, l *look) *rules.Finding {
	was := map[key]float64{}
	if before != nil {
		for _, f := range before.judgement.Findings {
			was[keyOf(f)] = f.Margin
		}
	}
	var least *rules.Finding
	for _, f := range l.judgement.Findings {
		m, known := was[keyOf(f)]
		if f.Outcome != rules.Pass || f.Level == rules.Note || math.IsNaN(f.Margin) || !known || f.Margin >= m-1e-9 {
			continue
		}
		if least == nil || f.Margin < least.Margin {
			least = f
		}
	}
	return least
}

// move reads what a cylinder does from its facts at a step; those at the pressure set say what moves it.
func move(m *schema.Machine, cylinder string, subjects, atSet []*checks.Subject, grasp checks.Grasp) Move {
	nan := math.NaN()
	v := Move{Cylinder: cylinder, Time: nan, Speed: nan, Thrust: nan, Energy: nan, Press: nan, Grasp: grasp}
	fact := func(kind, name, fact string) float64 {
		for _, s := range subjects {
			if s.Kind == kind && s.Name == name {
				if f, ok := s.Facts[fact]; ok && f.Kind == checks.Quantity {
					return f.SI
				}
			}
		}
		return nan
	}
	y := m.Cylinders[cylinder]
	needs, why := checks.MovesFrom(m, cylinder, atSet)
	v.Moves = why == "" && fact("cylinder", cylinder, "set") >= needs
	v.Thrust = fact("cylinder", cylinder, "thrustSet")
	for _, way := range []string{" out", " in", " first"} {
		v.Time = least(v.Time, fact("stroke", cylinder+way, "time"))
		v.Speed = most(v.Speed, fact("stroke", cylinder+way, "tipSpeed"))
		v.Energy = most(v.Energy, most(fact("stroke", cylinder+way, "stopEnergy"), fact("stroke", cylinder+way, "cushionEnergy")))
	}
	if math.IsNaN(v.Speed) && math.IsNaN(v.Energy) {
		v.Energy, v.AtMost = v.Thrust*y.Stroke.SI, true
		if y.Time.Given() {
			v.Time, v.Given = y.Time.SI, true
		}
	}
	if grasp.Point != "" {
		v.Press = v.Thrust * grasp.Gain
	}
	return v
}

// least and most leave out what is not a number.
func least(a, b float64) float64 {
	if math.IsNaN(a) || b < a {
		return b
	}
	return a
}

func most(a, b float64) float64 {
	if math.IsNaN(a) || b > a {
		return b
	}
	return a
}

// Breaks are the pressures between which the rule of a rung breaks, Pa: from 0, or to infinity, where no other rung of the same ends it.
func (p *Plan) Breaks(r *Rung) (from, to float64) {
	from, to = r.At, math.Inf(1)
	if r.Below {
		from, to = 0, r.At
	}
	for i := range p.Rungs {
		switch o := &p.Rungs[i]; {
		case o.Below == r.Below || keyOf(o.Finding) != keyOf(r.Finding):
		case o.Below && o.At > r.At:
			to = min(to, o.At)
		case r.Below && o.At < r.At:
			from = max(from, o.At)
		}
	}
	return from, to
}

// Stands is the first rule that breaks above the pressure set, or above the last step where that is lower: an error where there is one, else
// a warning or note; nil without one up to the highest that was looked at. Of a machine that is GO it gives the headroom.
func (p *Plan) Stands() *Rung {
	above := p.Set
	if len(p.Steps) > 0 {
		above = min(above, p.Steps[len(p.Steps)-1].Pressure)
	}
	var first *Rung
	for i := range p.Rungs {
		r := &p.Rungs[i]
		if r.Below || r.At < above-resolution {
			continue
		}
		if r.Finding.Level == rules.Error {
			return r
		}
		if first == nil {
			first = r
		}
	}
	return first
}
