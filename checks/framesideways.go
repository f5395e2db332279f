package checks

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"gonum.org/v1/gonum/spatial/r2"

	"trammel.example/checks/columns"
	"trammel.example/checks/frames"
	"trammel.example/schema"
)

// # Giving way sideways
//
// Out of the plane of the drawing a frame stands only where something holds it: at its supports, and at the joints that are `braced`. Members
// in one line that are stiff where they meet are one column from one such joint to the next, whatever other joints lie between. With both ends
// held they are taken to turn there. One that reaches beyond the last joint that holds it stands on a foot that is held fast, or on what runs on
// behind that joint; else on the twist of what it meets, which isn't computed.

const (
	// inLine is the sine of the angle up to which members count as in one line.
	inLine = 0.1
	// hardly is the part of what it takes with both ends held below which any twist of what it meets keeps a pressed member upright: it asks
	// for G J / L of a tenth of its own E I / L, and a strip has fifteen times that. Common practice, no source.
	hardly = 0.01
	// mostSideways is up to how many times Euler's load of a column with ends that turn its own is looked for.
	mostSideways = 1e6
)

// A sideHold is what a joint does to what moves it sideways.
type sideHold int

const (
	loose sideHold = iota
	held           // it can't go, and what stands there turns
	fast           // nor turn
)

// A lineUp is members in one line, and the joints between which they lie.
type lineUp struct{ members, joints []int }

// An upright is a part of a line that gives way by itself: between two joints that are held, or from one of them to the line's free end. What it is
// judged with lies behind the joint that holds a free one, where that is not held fast.
type upright struct {
	own  lineUp     // of joints from its free end, where it has one
	with lineUp     // own, and what runs on behind it
	at   []sideHold // of with's joints
	free bool
	why  string // it can't be judged
}

// sideways is which joints are held, and which of them only because that is usual.
func (d *stood) sideways() (holds []sideHold, usual []int) {
	f := d.x.m.Frame
	holds = make([]sideHold, len(d.joints))
	for i, n := range d.frame.Nodes {
		switch n.Held {
		case [3]bool{}:
		case [3]bool{true, true, true}:
			holds[i] = fast
		default:
			holds[i] = held
		}
	}
	if f.Braced != nil {
		for _, b := range f.Braced {
			i := indexOf(d.joints, b.Value)
			holds[i] = max(holds[i], held)
		}
		return holds, nil
	}
	for _, i := range d.usual() {
		if holds[i] == loose {
			holds[i] = held
			usual = append(usual, i)
		}
	}
	return holds, usual
}

// usual are the corners of the frame: joints where members of two ways meet from which two ways lead down to two supports, without a joint that
// both pass. A post with an arm on one foot has none, nor does what stands on a beam by one joint.
func (d *stood) usual() (corners []int) {
	inside := make([]bool, len(d.joints))
	for i := range inside {
		inside[i] = true
	}
	reached := make([]bool, len(d.joints))
	for without := range d.joints {
		for i, n := range d.frame.Nodes {
			reached[i] = i != without && n.Held != [3]bool{}
		}
		for more := true; more; {
			more = false
			for _, m := range d.frame.Members {
				if m.From != without && m.To != without && reached[m.From] != reached[m.To] {
					reached[m.From], reached[m.To], more = true, true, true
				}
			}
		}
		for i := range inside {
			inside[i] = inside[i] && (i == without || reached[i])
		}
	}
	for i, n := range d.frame.Nodes {
		inside[i] = inside[i] || n.Held != [3]bool{}
	}
	for i := range d.joints {
		if !inside[i] {
			continue
		}
		var line r2.Vec
		for _, m := range d.frame.Members {
			if m.From != i && m.To != i || !inside[m.From] || !inside[m.To] {
				continue
			}
			along := d.way(m)
			if line != (r2.Vec{}) && math.Abs(r2.Cross(line, along)) > inLine {
				corners = append(corners, i)
				break
			}
			line = along
		}
	}
	return corners
}

// way is a unit along a member.
func (d *stood) way(m frames.Member) r2.Vec {
	return r2.Unit(r2.Sub(d.frame.Nodes[m.To].At, d.frame.Nodes[m.From].At))
}

// runs are all members, those together that are in one line and stiff where they meet.
func (d *stood) runs() (all []lineUp) {
	done := make([]bool, len(d.members))
	// next is the member that goes on at a joint, and its other end.
	next := func(member, joint int) (on, to int) {
		m := d.frame.Members[member]
		end := 0
		if m.To == joint {
			end = 1
		}
		if m.Free[end] || m.Spring[end] > 0 {
			return -1, -1
		}
		leaves := d.way(m)
		if end == 0 {
			leaves = r2.Scale(-1, leaves)
		}
		for i, o := range d.frame.Members {
			way, end, to := d.way(o), 0, o.To
			if o.To == joint {
				way, end, to = r2.Scale(-1, way), 1, o.From
			} else if o.From != joint {
				continue
			}
			if i != member && !done[i] && !o.Free[end] && !(o.Spring[end] > 0) && math.Abs(r2.Cross(leaves, way)) <= inLine && r2.Dot(leaves, way) > 0 {
				return i, to
			}
		}
		return -1, -1
	}
	for first, m := range d.frame.Members {
		if done[first] {
			continue
		}
		done[first] = true
		r := lineUp{[]int{first}, []int{m.From, m.To}}
		for range 2 {
			for {
				on, to := next(r.members[len(r.members)-1], r.joints[len(r.joints)-1])
				if on < 0 {
					break
				}
				done[on] = true
				r.members, r.joints = append(r.members, on), append(r.joints, to)
			}
			slices.Reverse(r.members)
			slices.Reverse(r.joints)
		}
		all = append(all, r)
	}
	return all
}

// part is what of it lies between two of its joints.
func (r lineUp) part(from, to int) lineUp { return lineUp{r.members[from:to], r.joints[from : to+1]} }

// uprights are what gives way by itself sideways.
func (d *stood) uprights(holds []sideHold) (all []upright) {
	for _, r := range d.runs() {
		var at []int
		for i, j := range r.joints {
			if holds[j] != loose {
				at = append(at, i)
			}
		}
		if len(at) == 0 {
			all = append(all, upright{own: r, why: fmt.Sprintf("nothing holds the line from `%s` to `%s` sideways, out of the plane of the drawing, but the twist of what it meets", d.joints[r.joints[0]], d.joints[r.joints[len(r.joints)-1]])})
			continue
		}
		for i := 1; i < len(at); i++ {
			between := r.part(at[i-1], at[i])
			s := upright{own: between, with: between, at: make([]sideHold, len(between.joints))}
			s.at[0], s.at[len(s.at)-1] = held, held
			all = append(all, s)
		}
		// What reaches beyond its first and its last joint that is held.
		for range 2 {
			if at[0] > 0 {
				all = append(all, d.overhang(r, at, holds))
			}
			r = lineUp{slices.Clone(r.members), slices.Clone(r.joints)}
			slices.Reverse(r.members)
			slices.Reverse(r.joints)
			slices.Reverse(at)
			for i := range at {
				at[i] = len(r.joints) - 1 - at[i]
			}
		}
	}
	return all
}

// overhang is what of a run lies before its first joint that is held.
func (d *stood) overhang(r lineUp, at []int, holds []sideHold) upright {
	s := upright{own: r.part(0, at[0]), free: true}
	root := r.joints[at[0]]
	switch {
	case holds[root] == fast:
		s.with = s.own
	case len(at) > 1:
		s.with = r.part(0, at[1])
	default:
		s.why = fmt.Sprintf("sideways, out of the plane of the drawing, only `%s` holds the line from there to `%s`, which tilts on it but for the twist of what it meets", d.joints[root], d.joints[r.joints[0]])
		return s
	}
	for _, j := range s.with.joints {
		s.at = append(s.at, holds[j])
	}
	return s
}

// lateral is what a member has against giving way sideways.
func (d *stood) lateral(i int) schema.SecondMoment {
	sec := d.x.m.Frame.Members[d.members[i]].Section
	if sec.Lateral.Given() {
		return sec.Lateral
	}
	return sec.Moment
}

// stiffness sideways is E I, N m².
func (d *stood) lateralStiffness(i int) float64 {
	return d.frame.Members[i].Elasticity * d.lateral(i).SI
}

func (d *stood) runLength(r lineUp) (sum float64) {
	for _, i := range r.members {
		sum += d.length(d.frame.Members[i])
	}
	return sum
}

// most is the member of a line that is pressed most, of several the first by its name.
func most(r lineUp, push []float64) int {
	members := slices.Sorted(slices.Values(r.members))
	best := members[0]
	for _, i := range members {
		if push[i] > push[best]*(1+tieBreak) {
			best = i
		}
	}
	return best
}

// bothHeld is what the weakest member of a line would take if both of its ends were held, N, without any reserve.
func (d *stood) bothHeld(r lineUp) float64 {
	least := math.Inf(1)
	for _, i := range r.members {
		least = min(least, d.lateralStiffness(i))
	}
	return columns.Gives(least, d.runLength(r), columns.BothTurn)
}

// bears is how many times what presses on them the members of a upright bear sideways. Where nothing presses on any, as if all were pressed
// with 1 N.
func (d *stood) bears(s upright, push []float64) float64 {
	first := s.with.members[0]
	press := make([]float64, len(s.with.members))
	largest, even := 0.0, true
	for k, i := range s.with.members {
		press[k] = max(0, push[i])
		largest = max(largest, press[k])
	}
	if largest == 0 {
		largest = 1
		for k := range press {
			press[k] = 1
		}
	}
	for k, i := range s.with.members {
		even = even && math.Abs(press[k]-largest) <= tieBreak*largest && math.Abs(d.lateralStiffness(i)/d.lateralStiffness(first)-1) <= tieBreak
	}
	if even && !s.free {
		return columns.Gives(d.lateralStiffness(first), d.runLength(s.with), columns.BothTurn) / largest
	}
	if even && len(s.with.joints) == len(s.own.joints) {
		return columns.Gives(d.lateralStiffness(first), d.runLength(s.own), columns.FastFree) / largest
	}
	// Along a line, under forces that press each member as in the frame, by a load of which it bears neither very much nor very little.
	unit := d.bothHeld(s.with)
	var drawn frames.Frame
	var loads frames.Loads
	x, before := 0.0, 0.0
	for k := range s.with.joints {
		drawn.Nodes = append(drawn.Nodes, frames.Node{At: r2.Vec{X: x}, Held: [3]bool{k == 0, s.at[k] != loose, s.at[k] == fast}})
		now := 0.0
		if k < len(s.with.members) {
			i := s.with.members[k]
			m := d.frame.Members[i]
			drawn.Members = append(drawn.Members, frames.Member{From: k, To: k + 1, Elasticity: m.Elasticity, Area: d.area[i], Moment: d.lateral(i).SI})
			x += d.length(m)
			now = press[k] / largest * unit
		}
		loads.Nodes = append(loads.Nodes, frames.NodeLoad{Node: k, Force: r2.Vec{X: now - before}})
		before = now
	}
	stiff, err := drawn.Stiffen()
	if err != nil {
		return 0
	}
	var r frames.Result
	if stiff.Bear(loads, &r) != nil {
		return 0
	}
	times, _ := stiff.Buckles(&r, mostSideways)
	return times * unit / largest
}

// column says how a upright stands.
func (d *stood) column(s upright) string {
	last := len(s.own.joints) - 1
	from, to := d.joints[s.own.joints[0]], d.joints[s.own.joints[last]]
	long := schema.Format(schema.LengthDim, d.runLength(s.own))
	switch {
	case !s.free:
		return fmt.Sprintf("a column of %s that only `%s` and `%s` hold", long, from, to)
	case len(s.with.joints) == len(s.own.joints):
		return fmt.Sprintf("a column of %s, held fast at `%s` and free at `%s`", long, to, from)
	}
	return fmt.Sprintf("a column of %s, free at `%s`, that `%s` holds and what runs on to `%s` keeps upright", long, from, to, d.joints[s.with.joints[len(s.with.joints)-1]])
}

// pushes are the most that presses on each member.
func (out *borneBy) pushes() []float64 {
	all := make([]float64, len(out.push))
	for i, p := range out.push {
		all[i] = max(0, p.Push)
	}
	return all
}

// buckleSideways judges each upright at the member of it that is pressed most. One member between two joints that are held is judged by itself.
func (d *stood) buckleSideways(frame *Subject, members []*Subject, out *borneBy) {
	x, push := d.x, out.pushes()
	holds, usual := d.sideways()
	taken := map[int]bool{}
	var twisted []int // members that are hardly pressed, and kept upright by what they meet
	for _, s := range d.uprights(holds) {
		i := most(s.own, push)
		if s.why != "" {
			switch {
			case push[i] >= hardly*d.bothHeld(s.own)/buckleReserve:
				members[i].open(d.unheld(s, holds, push[i]), "sidewaysPush")
			case push[i] > 0:
				twisted = append(twisted, i)
			}
			continue
		}
		if push[i] > 0 {
			for k, j := range s.with.joints {
				taken[j] = taken[j] || s.at[k] != loose && slices.Contains(usual, j)
			}
		}
		switch runsOn := len(s.with.joints) > len(s.own.joints); {
		case !s.free && len(s.own.members) == 1:
			continue
		case runsOn && push[i] < hardly*d.bothHeld(s.own)/buckleReserve:
			// What it runs on to bears its own, held at both ends.
			continue
		}
		one, in := members[i], out.push[i].in
		bears := d.bears(s, push)
		force := push[i]
		allowed := bears * force / buckleReserve
		if force == 0 {
			allowed = bears / buckleReserve
		}
		sec := x.m.Frame.Members[d.members[i]].Section
		one.set("sidewaysPush", schema.ForceDim, force, append([]schema.Input{d.lateral(i)}, x.carried.from[in.cylinder]...)...)
		one.worst("sidewaysPush", x.whenIn(in), rodsOut(in.pose)...)
		one.set("sidewaysAllowed", schema.ForceDim, allowed, d.lateral(i), sec.Material, sec.Elasticity)
		one.text("sidewaysAs", d.column(s))
		if force > allowed && !x.briefly {
			one.text("remedySideways", d.heldSideways(s, holds, push, bears))
		}
	}
	var names, upright []string
	for _, j := range usual {
		if taken[j] {
			names = append(names, "`"+d.joints[j]+"`")
		}
	}
	slices.Sort(twisted)
	for _, i := range twisted {
		upright = append(upright, "`"+d.members[i]+"`")
	}
	if len(upright) > 0 {
		x.assume(frame, x.m.Frame.Path+".members", inWords(upright)+" kept upright sideways by the twist of what they meet", "common practice: less than a hundredth of what they bear with both ends held presses on them")
	}
	if len(names) > 0 {
		x.assume(frame, x.m.Frame.Path+".braced", inWords(names)+" held sideways", "common practice: a second frame beside it, with cross bars at the corners; name in `braced` what is held")
	}
}

// sidewaysNextToDead looks what is worse next to dead points.
func (d *stood) sidewaysNextToDead(members []*Subject, out, next *borneBy, look func(s *Subject, measured, allowed string, by float64)) {
	before, push := out.pushes(), out.pushes()
	for i, p := range next.pushes() {
		push[i] = max(push[i], p)
	}
	holds, _ := d.sideways()
	for _, s := range d.uprights(holds) {
		i := most(s.own, before)
		one := members[i]
		if f, known := one.Facts["sidewaysPush"]; known && f.Kind == Quantity {
			look(one, "sidewaysPush", "sidewaysAllowed", buckleReserve*one.Facts["sidewaysAllowed"].SI/d.bears(s, push))
			continue
		}
		if k := most(s.own, push); s.why != "" && push[k] >= hardly*d.bothHeld(s.own)/buckleReserve {
			one.open(d.unheld(s, holds, push[k]), "sidewaysPush")
		}
	}
}

// bracedWith is the list of a frame's braced joints with some more.
func (d *stood) bracedWith(holds []sideHold, more ...int) string {
	var names []string
	for j, n := range d.frame.Nodes {
		if n.Held == [3]bool{} && (holds[j] != loose || slices.Contains(more, j)) {
			names = append(names, fmt.Sprintf("%q", d.joints[j]))
		}
	}
	return "`braced: [" + strings.Join(names, ", ") + "]`"
}

// unheld says what isn't known of a upright that nothing keeps upright.
func (d *stood) unheld(s upright, holds []sideHold, push float64) string {
	var ends []int
	var names []string
	for _, j := range []int{s.own.joints[0], s.own.joints[len(s.own.joints)-1]} {
		if holds[j] == loose {
			ends, names = append(ends, j), append(names, "`"+d.joints[j]+"`")
		}
	}
	return fmt.Sprintf("%s, which isn't computed; %s press along it. Where a second frame with cross bars, a wall or a panel holds %s, write %s", s.why, schema.Format(schema.ForceDim, push), inWords(names), d.bracedWith(holds, ends...))
}

// heldSideways is with what a upright bears what presses on it: what it must be made of, and which of its joints to hold.
func (d *stood) heldSideways(s upright, holds []sideHold, push []float64, bears float64) string {
	more := buckleReserve / bears
	largest, alike := 0.0, true
	var names []string
	for _, i := range slices.Sorted(slices.Values(s.with.members)) {
		names = append(names, "`"+d.members[i]+"`")
		largest = max(largest, d.lateral(i).SI)
		alike = alike && math.Abs(d.lateral(i).SI/d.lateral(s.with.members[0]).SI-1) <= tieBreak
	}
	var ways []string
	if alike {
		ways = append(ways, fmt.Sprintf("take a section with a second moment out of the plane (`lateral`) of %s or more for %s", schema.Format(schema.MomentDim, roundedUp(largest*more*1e12)/1e12), inWords(names)))
	} else {
		ways = append(ways, fmt.Sprintf("take sections with %s times as large a second moment out of the plane (`lateral`) for %s", schema.Format(schema.NumberDim, roundedUp(more)), inWords(names)))
	}
	if held, left := d.brace(s, holds, push); len(held) > 0 {
		var at []string
		for _, j := range held {
			at = append(at, "`"+d.joints[j]+"`")
		}
		ways = append(ways, fmt.Sprintf("hold %s sideways as well, with cross bars to a second frame or to a wall (%s): then it bears %s times what presses on it", inWords(at), d.bracedWith(holds, held...), schema.Format(schema.NumberDim, left)))
	}
	return capital(strings.Join(ways, ", or "))
}

// roundedUp is a number with three digits that is no smaller.
func roundedUp(x float64) float64 {
	step := math.Pow(10, math.Floor(math.Log10(x))-2)
	return math.Ceil(x/step*(1-1e-9)) * step
}

// brace finds the one joint of a upright, or else all of them, with which held its members bear enough, and how many times what they get.
func (d *stood) brace(s upright, holds []sideHold, push []float64) (joints []int, left float64) {
	try := func(also ...int) float64 {
		with := slices.Clone(holds)
		for _, j := range also {
			with[j] = held
		}
		least := math.Inf(1)
		for _, one := range d.uprights(with) {
			if !slices.ContainsFunc(one.own.members, func(i int) bool { return slices.Contains(s.own.members, i) }) {
				continue
			}
			if one.why != "" {
				return 0
			}
			least = min(least, d.bears(one, push))
		}
		return least
	}
	var all []int
	for _, j := range s.own.joints {
		if holds[j] != loose {
			continue
		}
		all = append(all, j)
		if one := try(j); one >= buckleReserve && one > left*(1+tieBreak) {
			joints, left = []int{j}, one
		}
	}
	if joints == nil && len(all) > 1 {
		if one := try(all...); one >= buckleReserve {
			return all, one
		}
	}
	return joints, left
}
