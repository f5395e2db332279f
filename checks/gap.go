package checks

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strconv"

	"trammel.example/checks/fastening"
	"trammel.example/schema"
	"trammel.example/schema/standards"
)

// What lies along a pin, and the room that what runs on it has: worst-case sums, lengths in m.

const (
	// runningGapLeast and runningGapMost are the ends of the usual running gap, m: common practice.
	runningGapLeast = 0.1e-3
	runningGapMost  = 0.5e-3
	// finest is the closest tolerance, from limit to limit in m, that a remedy asks for: common practice for what is turned and ground.
	finest = 0.01e-3
	// limitStep is the step of the limits that a remedy gives, m.
	limitStep = 0.005e-3
)

// A piece takes room along a pin by itself: a member, or a whole fork with whatever lies between its cheeks, or what is held between
// faces at a given distance. Its members are those from first up to last.
type piece struct {
	first, last int
	what        string
	thick       fastening.Span
	wide        schema.Input // where the thickness comes from
}

// otherCheek is the index of the second cheek of the fork whose first is at i, or i.
func otherCheek(ms []member, i int) int {
	if !ms[i].fork {
		return i
	}
	return i + 1 + slices.IndexFunc(ms[i+1:], func(m member) bool { return m.fork && m.what == ms[i].what })
}

func pieceAt(ms []member, i int) piece {
	if last := otherCheek(ms, i); last > i {
		return piece{i, last, ms[i].what, span(ms[i].end.Width), ms[i].wide}
	}
	return piece{i, i, ms[i].what, ms[i].thick, ms[i].wide}
}

func pieces(ms []member) []piece {
	var ps []piece
	for i := 0; i < len(ms); i++ {
		ps = append(ps, pieceAt(ms, i))
		i = ps[len(ps)-1].last
	}
	return ps
}

// total is how much room the members take.
func total(ms []member) fastening.Span {
	var sum fastening.Span
	for _, p := range pieces(ms) {
		sum = sum.Plus(p.thick)
	}
	return sum
}

// along divides a pivot's stack into what lies one behind the other on its pin. The running parts take the distance of the faces that
// hold them, or the sleeve's length.
func along(p schema.Pivot, ms []member) []piece {
	first, after := inner(p, ms)
	space := holding(p)
	var ps []piece
	for i := 0; i < len(ms); i++ {
		next := pieceAt(ms, i)
		if space.Given() && i == first && after > first {
			next = piece{first, after - 1, "", span(space), space}
		}
		ps = append(ps, next)
		i = next.last
	}
	return ps
}

// onPin is how much of the pin a stack takes.
func onPin(p schema.Pivot, ms []member) fastening.Span {
	var sum fastening.Span
	for _, q := range along(p, ms) {
		sum = sum.Plus(q.thick)
	}
	return sum
}

// reach is how far from the first face of the stack a member's far side can lie. What is held with room to spare is pushed to the far end.
func reach(p schema.Pivot, ms []member, i int) float64 {
	z := 0.0
	for _, q := range along(p, ms) {
		z += q.thick.Max
		switch {
		case q.last < i:
			continue
		case q.last > i && otherCheek(ms, q.first) == q.last:
			// The widest fork has its far cheek where the gap leaves it.
			z -= total(ms[i+1:q.last]).Min + (q.thick.Max-ms[q.last].end.Gap.Most)/2
		case q.last > i:
			z -= total(ms[i+1 : q.last+1]).Min
		}
		break
	}
	return z
}

func widths(ms []member) []schema.Input {
	var from []schema.Input
	for _, m := range ms {
		from = append(from, m.wide)
	}
	return from
}

// holding is the distance of the faces that hold what runs, or the length of the sleeve; not given where there is neither.
func holding(p schema.Pivot) schema.Size {
	if p.Sleeve.Given() {
		return p.Sleeve.Length
	}
	return p.Between
}

// inner are the members, from first up to but without after, between the faces that hold the running parts: those on a sleeve, or those
// between the outermost members that do not run; beside a single one, those on the side where something runs.
func inner(p schema.Pivot, ms []member) (first, after int) {
	if p.Sleeve.Given() {
		return sleeved(p.Sleeve, ms)
	}
	holds := func(m member) bool { return m.body != "" && !m.runs }
	low, high := slices.IndexFunc(ms, holds), lastIndex(ms, holds)
	switch {
	case low < 0:
		return 0, len(ms)
	case low < high:
		return low + 1, high
	case slices.ContainsFunc(ms[:low], isRunning):
		return 0, low
	}
	return low + 1, len(ms)
}

// sleeved are the members on a sleeve, or those that one would go through: from the first running part to the last, and the thrust
// washers beside them.
func sleeved(sleeve schema.Sleeve, ms []member) (first, after int) {
	first, after = slices.IndexFunc(ms, isRunning), lastIndex(ms, isRunning)+1
	if first < 0 {
		return 0, 0
	}
	// What lies outermost on the pin is the face that the sleeve is clamped against.
	for first > 1 && onSleeve(sleeve, ms[first-1]) {
		first--
	}
	for after < len(ms)-1 && onSleeve(sleeve, ms[after]) {
		after++
	}
	return first, after
}

// onSleeve reports whether a layer beside the running parts is a thrust washer with the sleeve in its hole. A washer that the sleeve does
// not go through is clamped by it, and so is one of which the builder says that it does not run.
func onSleeve(sleeve schema.Sleeve, m member) bool {
	if !m.Washer.Given() || m.Runs.Given() {
		return m.body == "" && m.runs
	}
	row, err := standards.WasherFor(or(m.Washer.Series.Value, "plain"), m.Washer.Thread.Value)
	return err != nil || sleeve.Given() && row.Inner > sleeve.Outside.SI
}

func or(text, otherwise string) string {
	if text == "" {
		return otherwise
	}
	return text
}

func isRunning(m member) bool { return m.body != "" && m.runs }

func lastIndex(ms []member, is func(member) bool) int {
	for i := len(ms) - 1; i >= 0; i-- {
		if is(ms[i]) {
			return i
		}
	}
	return -1
}

// gap is the axial room of what runs.
func (x *examiner) gap(s *Subject, p schema.Pivot, ms []member) {
	first, after := inner(p, ms)
	in := ms[first:after]
	sum := total(in)
	space := holding(p)
	if !space.Given() {
		byHand := !p.Pin.Torque.Given() && slices.ContainsFunc(p.Pin.Kept, func(t schema.Text) bool { return t.Value == "nut" || t.Value == "lock nut" })
		inFork := slices.ContainsFunc(ms, func(m member) bool { return m.fork })
		runs := slices.ContainsFunc(ms, func(m member) bool { return m.runs })
		// A nut run down by hand until the play is gone is an instruction to the builder; a fork has its own gap.
		if runs && !byHand && !inFork && !p.Pin.Torque.Given() {
			s.open("nothing says between which faces the running parts lie: add `between: mm: …`, or a `sleeve`", "gapLeast", "gapMost")
		}
		return
	}
	ps := append([]piece{{thick: span(space), wide: space}}, pieces(in)...)
	if gap := space.Most - space.Least + sum.Spread(); gap > runningGapMost-runningGapLeast+rounding {
		// No shift helps: the widest tolerance comes first.
		slices.SortStableFunc(ps, func(a, b piece) int { return cmp.Compare(b.thick.Spread(), a.thick.Spread()) })
	}
	var from []schema.Input
	for _, q := range ps {
		from = append(from, q.wide)
	}
	s.set("gapLeast", schema.LengthDim, space.Least-sum.Max, from...)
	s.set("gapMost", schema.LengthDim, space.Most-sum.Min, from...)
	s.text("gapRemedy", gapRemedy(p.Sleeve.Given(), span(space), pieces(in)), from...)
	if p.Sleeve.Given() {
		s.set("sleeveNeeded", schema.LengthDim, sum.Max+runningGapLeast, from...)
	}
}

// gapRemedy says how a gap comes to lie within the usual one: by a shift where the tolerances leave room for one, else by limits for
// those that are too wide. What it says has been worked through.
func gapRemedy(sleeve bool, space fastening.Span, ps []piece) string {
	gap := space
	for _, p := range ps {
		gap = fastening.Span{Min: gap.Min - p.thick.Max, Max: gap.Max - p.thick.Min}
	}
	usual := exact(runningGapLeast) + " to " + exact(runningGapMost)
	if isUsual(gap) {
		return fmt.Sprintf("The gap is the usual one of %s; for a closer one, hold the tolerances closer, which add up to %s", usual, exact(gap.Spread()))
	}
	// To a hundredth, since nobody sets faces closer by hand.
	if wider := roundTo((runningGapLeast+runningGapMost-gap.Min-gap.Max)/2, 0.01e-3); isUsual(shifted(gap, wider)) {
		return shiftRemedy(sleeve, gap, wider) + ": the gap is then between " + limits(shifted(gap, wider))
	}
	held, now := closer(space, ps)
	tooFine := func(h holdTo) bool { return h.to.Spread() < finest-rounding }
	if slices.ContainsFunc(held, tooFine) || !isUsual(now) {
		return fmt.Sprintf("Use fewer parts between the faces: the tolerances of %d don't go into a gap of %s", len(ps), usual)
	}
	name := "the distance between the faces"
	if sleeve {
		name = "the sleeve's length"
	}
	return fmt.Sprintf("Shims don't help, as the tolerances add up to %s. Hold %s: then they add up to %s, and the gap lies between %s",
		exact(gap.Spread()), heldTo(held, name), exact(now.Spread()), limits(now))
}

func isUsual(gap fastening.Span) bool {
	return gap.Min >= runningGapLeast-rounding && gap.Max <= runningGapMost+rounding
}

func shifted(gap fastening.Span, by float64) fastening.Span {
	return fastening.Span{Min: gap.Min + by, Max: gap.Max + by}
}

func limits(s fastening.Span) string { return exact(s.Min) + " and " + exact(s.Max) }

// exact prints a length to the thousandth, however large it is: what was worked through must be what is read.
func exact(si float64) string {
	return strconv.FormatFloat(math.Round(si*1e6)/1e3, 'f', -1, 64) + " mm"
}

// shiftRemedy makes a gap wider, or closer where wider is negative.
func shiftRemedy(sleeve bool, gap fastening.Span, wider float64) string {
	by := exact(math.Abs(wider))
	if wider > 0 {
		move := "set the faces " + by + " further apart"
		if sleeve {
			move = "make the sleeve " + by + " longer"
		}
		return "Make what lies between the faces " + by + " thinner in all, or " + move
	}
	move := "Set the faces " + by + " nearer to each other"
	if sleeve {
		move = "Make the sleeve " + by + " shorter"
	}
	// What is put in has a tolerance of its own, for which there must be room.
	after := shifted(gap, wider)
	room := math.Floor(min(after.Min-runningGapLeast, runningGapMost-after.Max)/0.01e-3+1e-6) * 0.01e-3
	if room < 0.01e-3 {
		return move
	}
	return fmt.Sprintf("%s, or put in shims or a spacer of %s (which may be off by %s)", move, by, exact(room))
}

// closer narrows the widest of the tolerances about their middles until all of them go into the usual gap, and moves the faces so that
// the gap lies in its middle. It returns the space and the pieces with their new limits, in steps, and the gap then.
func closer(space fastening.Span, ps []piece) (held []holdTo, gap fastening.Span) {
	var spreads []float64
	move := (runningGapLeast + runningGapMost - space.Min - space.Max) / 2
	for _, p := range ps {
		spreads = append(spreads, p.thick.Spread())
		move += (p.thick.Min + p.thick.Max) / 2
	}
	moved := math.Abs(move) > rounding
	if moved {
		// A distance without any tolerance gets one when it is given anew.
		space = shifted(space, move)
		wider := max(0, finest+limitStep-space.Spread()) / 2
		space = fastening.Span{Min: space.Min - wider, Max: space.Max + wider}
	}
	spreads = append(spreads, space.Spread())
	slices.Sort(spreads)
	left := runningGapMost - runningGapLeast
	most := left
	for i, s := range spreads {
		if most = left / float64(len(spreads)-i); s > most {
			break
		}
		left -= s
	}
	narrow := func(s fastening.Span) fastening.Span {
		mid, half := (s.Min+s.Max)/2, min(s.Spread(), most)/2
		return fastening.Span{Min: math.Ceil((mid-half)/limitStep-1e-3) * limitStep, Max: math.Floor((mid+half)/limitStep+1e-3) * limitStep}
	}
	gap = space
	if moved || space.Spread() > most+rounding {
		gap = narrow(space)
		held = append(held, holdTo{"", gap})
	}
	for _, p := range ps {
		to := p.thick
		if p.thick.Spread() > most+rounding {
			to = narrow(p.thick)
			held = append(held, holdTo{p.what, to})
		}
		gap = fastening.Span{Min: gap.Min - to.Max, Max: gap.Max - to.Min}
	}
	return held, gap
}

// A holdTo is a thing along the pin with limits to be held; one without a name is the space for all of them.
type holdTo struct {
	what string
	to   fastening.Span
}

// heldTo lists what must be held to which limits, like things once.
func heldTo(all []holdTo, space string) string {
	count := map[holdTo]int{}
	for _, h := range all {
		count[h]++
	}
	var words []string
	for _, h := range all {
		name := or(h.what, space)
		switch {
		case count[h] > 1:
			name = "each " + name
		case name == "washer" || name == "spacer":
			name = "the " + name
		}
		if count[h] > 0 {
			words = append(words, name+" between "+limits(h.to))
		}
		count[h] = 0
	}
	return and(words)
}

// roundTo rounds to whole steps. The half goes up, whichever unit the sum of the sizes came from.
func roundTo(x, step float64) float64 { return math.Floor(x/step+0.5+1e-6) * step }
