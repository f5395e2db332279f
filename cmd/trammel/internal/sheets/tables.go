// Package sheets makes the sheets for the workshop from a judged machine: what to buy, saw, drill, tighten, plumb and wire.
package sheets

import (
	"fmt"
	"maps"
	"math"
	"slices"
	"strconv"
	"strings"

	"trammel.example/checks"
	"trammel.example/checks/nesting"
	"trammel.example/cmd/trammel/internal/ramp"
	"trammel.example/rules"
	"trammel.example/schema"
	"trammel.example/schema/standards"
)

// A Table is one sheet's table. Cells are as the spec has them: whoever prints them makes them fit to print.
type Table struct {
	Name    string // of its file, without an ending
	Title   string
	Says    string
	Columns []string
	Rows    [][]string
	Fill    string // names a column that is filled in by hand, on paper
}

func (t *Table) row(cells ...string) { t.Rows = append(t.Rows, cells) }

// Tables are those of a machine that have rows. Without a plan for its first air there are none of that.
func Tables(j *rules.Judgement, plan *ramp.Plan) []*Table {
	m := j.Machine
	all := []*Table{parts(m, j.Subjects), cuts(m), bars(m), prints(m), holes(m), taps(m), places(m), screws(m), pivots(m, j.Subjects), assembly(m, j.Subjects), tubes(m), fittings(m, j.Subjects), wires(m), beforeAir(plan), firstAir(plan), shutDown(m, j.Subjects), afterHours(m)}
	for _, t := range all {
		t.trim()
	}
	return slices.DeleteFunc(all, func(t *Table) bool { return len(t.Rows) == 0 })
}

// trim leaves out the columns that have nothing.
func (t *Table) trim() {
	for c := len(t.Columns) - 1; c >= 0; c-- {
		if slices.ContainsFunc(t.Rows, func(r []string) bool { return r[c] != "" }) {
			continue
		}
		t.Columns = slices.Delete(t.Columns, c, c+1)
		for i := range t.Rows {
			t.Rows[i] = slices.Delete(t.Rows[i], c, c+1)
		}
	}
}

func sorted[V any](m map[string]V) []string { return slices.Sorted(maps.Keys(m)) }

// mm is a length in mm, to a hundredth.
func mm(m float64) string {
	return strconv.FormatFloat(math.Round(m*1e5)/1e2+0, 'f', -1, 64)
}

// parts is the bill of materials, with what the purchase list has of each.
func parts(m *schema.Machine, subjects []*checks.Subject) *Table {
	together, all := fmt.Sprintf("for %d machines", m.HowMany()), map[string]int{}
	if len(m.Kin) > 1 {
		together = "for the kit"
	}
	for _, n := range checks.NeedsOfAll(m) {
		all[n.Item] = n.Count()
	}
	t := &Table{Name: "parts", Title: "Bill of materials", Columns: []string{"part", "for one machine", together, "on the list", "wanted", "short or over", "each", "cost", "mass, kg", "for"}}
	t.Says = "What one machine takes, by its own joints, pivots, runs and wires. What is cut off is counted in pieces; the cut lists have their lengths. Wanted of a line is what all machines take, spares and whole bars with it."
	sum, currency := 0.0, ""
	for _, p := range m.Purchases {
		if p.Price.Given() {
			sum, currency = sum+p.Price.Amount.SI*p.Count.SI, p.Price.Currency.Value
		}
	}
	if currency != "" {
		t.Says += fmt.Sprintf(" What has a price comes to %.2f %s.", sum, currency)
	}
	priced := map[int]bool{} // a line of the list is paid once
	weighed, mass := 0, 0.0
	for _, n := range checks.Needs(m) {
		var uses []string
		for _, u := range n.Uses {
			uses = append(uses, u.Name)
		}
		on, wanted, off, each, cost, heavy := "", "", "", "", "", ""
		for i, p := range m.Purchases {
			if !buys(p, n) {
				continue
			}
			on = listed(p)
			wanted, off = againstList(subjects, p)
			if p.Price.Given() && !priced[i] {
				each, cost, priced[i] = fmt.Sprintf("%.2f", p.Price.Amount.SI), fmt.Sprintf("%.2f", p.Price.Amount.SI*p.Count.SI), true
			}
			if p.Mass.Given() && !n.Cut() { // a bar's is not that of what is cut off it
				of := p.Mass.SI * float64(n.Count())
				heavy = strconv.FormatFloat(math.Round(of*1e4)/1e4, 'f', -1, 64)
				weighed, mass = weighed+1, mass+of
			}
			break
		}
		inAll := ""
		if m.HowMany() > 1 || len(m.Kin) > 1 {
			inAll = fmt.Sprint(all[n.Item])
		}
		t.row(n.Item, fmt.Sprint(n.Count()), inAll, on, wanted, off, each, cost, heavy, strings.Join(slices.Compact(uses), ", "))
	}
	if weighed > 0 {
		t.Says += fmt.Sprintf(" The %d of %d lines that have a mass weigh %.4g kg in one machine.", weighed, len(t.Rows), mass)
	}
	return t
}

// buys reports whether a line of the purchase list is for what is needed.
func buys(p schema.Purchase, n *checks.Need) bool {
	return p.Item.Value == n.Item || n.Kind == "screw" && p.Screw.Value == strings.Fields(n.Item)[1]
}

// listed is how much a line has.
func listed(p schema.Purchase) string {
	on := fmt.Sprintf("%g", p.Count.SI)
	if p.Length.Given() {
		on += fmt.Sprintf(" of %.4g m", p.Length.SI)
	}
	return on
}

// againstList is how many of a line are wanted, and by how many the list is short or over.
func againstList(subjects []*checks.Subject, p schema.Purchase) (wanted, off string) {
	for _, s := range subjects {
		f := s.Facts["wanted"]
		if s.Kind != "purchase" || s.Name != p.Screw.Value+p.Item.Value || f.Kind != checks.Quantity {
			continue
		}
		switch more := p.Count.SI - f.SI; {
		case more < 0:
			off = fmt.Sprintf("short of %g", -more)
		case more > 0:
			off = fmt.Sprintf("%g over", more)
		}
		return fmt.Sprintf("%g", f.SI), off
	}
	return "", ""
}

// cuts is what the saw does, with the sum that each length comes of.
func cuts(m *schema.Machine) *Table {
	t := &Table{Name: "cuts", Title: "Cut list", Columns: []string{"piece", "stock", "pieces", "cut to, mm", "comes of, mm"}}
	t.Says = "The pivots' distance as drawn, less what brackets, blocks and caps add. Measure the first piece against the drawing before the others are cut."
	for _, name := range sorted(m.Links) {
		l := m.Links[name]
		made := l.Made
		if !made.Given() {
			continue
		}
		pieces := m.HowMany()
		if made.Pieces.Given() {
			pieces *= int(made.Pieces.SI)
		}
		ends := made.Between
		if len(ends) < 2 {
			ends = l.Points
		}
		a, b := m.Points[ends[0].Value], m.Points[ends[1].Value]
		apart := math.Hypot(a.X.SI-b.X.SI, a.Y.SI-b.Y.SI)
		sum := fmt.Sprintf("%s %s to %s", mm(apart), ends[0].Value, ends[1].Value)
		for _, add := range made.Adds {
			if add.SI < 0 {
				sum += " + " + mm(-add.SI)
			} else {
				sum += " − " + mm(add.SI)
			}
		}
		t.row(name, made.Stock.Value, fmt.Sprint(pieces), mm(made.Cut.SI)+tolerance(made.Cut), sum)
	}
	return t
}

func tolerance(s schema.Size) string {
	if s.Plus.SI == s.Minus.SI && s.Plus.SI > 0 {
		return " ± " + mm(s.Plus.SI)
	}
	if s.Plus.SI > 0 || s.Minus.SI > 0 {
		return fmt.Sprintf(" +%s −%s", mm(s.Plus.SI), mm(s.Minus.SI))
	}
	return ""
}

// bars says which pieces come out of which bar or roll.
func bars(m *schema.Machine) *Table {
	t := &Table{Name: "bars", Title: "Which piece from which bar", Columns: []string{"stock", "bar", "pieces, mm", "left over, mm"}}
	t.Says = "The longest first; the saw's kerf is taken off."
	var more []string // stock of which another plan might take fewer bars
	for _, n := range checks.NeedsOfAll(m) {
		at := slices.IndexFunc(m.Purchases, func(p schema.Purchase) bool { return p.Item.Value == n.Item && p.Length.Given() })
		if at < 0 || !n.Cut() {
			continue
		}
		var pieces []float64
		for _, u := range n.Uses {
			for range u.Count {
				pieces = append(pieces, u.Length)
			}
		}
		p := m.Purchases[at]
		kerf, _ := n.Kerf(p)
		plan, err := nesting.Cut(p.Length.SI, kerf, pieces)
		if err != nil || slices.ContainsFunc(n.Uses, func(u checks.Use) bool { return u.Why != "" }) {
			t.row(n.Item, "", "not planned: a length is missing, or longer than a bar", "")
			continue
		}
		if len(plan.Bars) > plan.Least {
			more = append(more, fmt.Sprintf("%s takes %d, and no plan takes fewer than %d", n.Item, len(plan.Bars), plan.Least))
		}
		for i, bar := range plan.Bars {
			var lengths []string
			for _, piece := range bar {
				lengths = append(lengths, mm(pieces[piece]))
			}
			t.row(n.Item, fmt.Sprintf("%d of %d", i+1, len(plan.Bars)), strings.Join(lengths, " + "), mm(plan.Left[i]))
		}
	}
	if more == nil {
		t.Says += " No plan takes fewer bars."
	} else {
		t.Says += " Of bars " + strings.Join(more, "; ") + ". Of all else no plan takes fewer."
	}
	return t
}

// screws is the card that lies beside the wrench.
func screws(m *schema.Machine) *Table {
	t := &Table{Name: "screws", Title: "Screws", Columns: []string{"joint", "screws", "screw", "under the head, mm", "into", "torque", "lock"}}
	t.Says = "From the head on. A torque is for threads as the spec has them, dry where it does not say; where none is given, the one that the joint takes at the most must not be passed."
	for _, name := range sorted(m.Fastenings) {
		f := m.Fastenings[name]
		var stack []string
		for _, c := range f.Stack {
			switch {
			case c.Part.Given():
				stack = append(stack, c.Part.Value+" "+mm(c.Thick.SI))
			case c.Washer.Given():
				stack = append(stack, "washer")
			case c.Spring.Given():
				stack = append(stack, "spring washer")
			}
		}
		into := "tapped hole"
		switch {
		case f.Into.Nut.Given():
			into = f.Into.Nut.Style.Value + " nut"
		case f.Into.SlotNut.Given():
			into = "slot nut"
		}
		torque := "not given"
		if f.Torque.Given() {
			torque = newtonMetres(f.Torque)
		}
		lock := f.Lock.Value
		if lock == "" {
			lock = "none"
		}
		t.row(name, fmt.Sprint(int(f.Count.SI)), fmt.Sprintf("%s × %s %s %s", f.Screw.Thread.Value, mm(f.Screw.Length.SI), f.Screw.Head.Value, f.Screw.Class.Value), strings.Join(stack, ", "), into, torque, lock)
	}
	return t
}

// pivots says what runs and what is held, and with what play: the joints that must not be tightened.
func pivots(m *schema.Machine, subjects []*checks.Subject) *Table {
	t := &Table{Name: "pivots", Title: "Pivots, from back to front", Columns: []string{"pivot", "pin, mm", "kept by", "stack, mm", "room along the pin, mm", "nut"}}
	t.Says = "What runs must turn by hand under its own weight once it is together. A nut on a running joint is run down until the play is gone, and locked there; it is not tightened."
	plays := playsOf(subjects)
	for _, name := range sorted(m.Pivots) {
		p := m.Pivots[name]
		nut := ""
		if p.Pin.Torque.Given() {
			nut = newtonMetres(p.Pin.Torque)
		}
		t.row(name, pinOf(p), keptBy(p), stackOf(p), plays[name], nut)
	}
	return t
}

// tubes has a label for both ends of each, and what is screwed into the ports there.
func tubes(m *schema.Machine) *Table {
	t := &Table{Name: "tubes", Title: "Tubes", Columns: []string{"label", "from", "fitting", "to", "fitting", "tube, mm", "cut, mm"}}
	t.Says = "The label goes round both ends before the tube is pushed in. Where there is no tube, the parts are screwed together."
	for i, name := range sorted(m.Air.Runs) {
		r := m.Air.Runs[name]
		tube, cut := "screwed together", ""
		if r.Tube.Given() {
			tube = mm(r.Tube.Outer.SI) + " × " + mm(r.Tube.Inner.SI) + " " + r.Tube.Material.Value
			switch {
			case r.Cut.Given():
				cut = mm(r.Cut.SI)
			case r.Length.Given():
				cut = mm(r.Length.SI + r.Fittings.From.Inserts.SI + r.Fittings.To.Inserts.SI)
			default:
				cut = "to fit"
			}
		}
		t.row(fmt.Sprintf("%d %s", i+1, name), r.From.Value, r.Fittings.From.Thread.Value, r.To.Value, r.Fittings.To.Thread.Value, tube, cut)
	}
	return t
}

// fittings is what is screwed into what, with the threads of both. What seals them is common practice, no source.
func fittings(m *schema.Machine, subjects []*checks.Subject) *Table {
	t := &Table{Name: "fittings", Title: "Fittings", Columns: []string{"at", "screwed in", "thread into thread", "tube, mm", "sealed by"}}
	threads := map[string]string{}
	clash := map[string]bool{}
	for _, s := range subjects {
		if s.Kind == "joint" {
			threads[s.Name], clash[s.Name] = s.Facts["threads"].Text, s.Facts["threadsClash"].Flag
		}
	}
	seal := func(joint, thread string) string {
		family, _ := standards.PortThreadByName(thread)
		switch {
		case clash[joint]:
			return "nothing: they do not go together"
		case threads[joint] == "":
			return ""
		case family.Family == "R" || family.Family == "NPT":
			return "sealant on the thread"
		}
		return "a washer or ring at the face"
	}
	for _, name := range sorted(m.Air.Runs) {
		r := m.Air.Runs[name]
		if !r.Tube.Given() {
			joint := name + ": " + r.From.Value + " in " + r.To.Value
			male, _, _ := strings.Cut(threads[joint], " ")
			t.row(r.To.Value, r.From.Value, threads[joint], "", seal(joint, male))
			continue
		}
		for _, end := range []struct {
			at  schema.Text
			fit schema.Fitting
		}{{r.From, r.Fittings.From}, {r.To, r.Fittings.To}} {
			if end.fit.Given() {
				joint := name + " at " + end.at.Value
				t.row(end.at.Value, strings.TrimSpace("fitting "+end.fit.Form.Value), threads[joint], mm(end.fit.Tube.SI), seal(joint, end.fit.Thread.Value))
			}
		}
	}
	return t
}

func wires(m *schema.Machine) *Table {
	t := &Table{Name: "wires", Title: "Wires", Columns: []string{"label", "from", "to", "size", "cut, mm"}}
	t.Says = "Wire with the supply unplugged, and have work on mains done by who is licensed for it."
	for i, name := range sorted(m.Wiring.Wires) {
		w := m.Wiring.Wires[name]
		area := fmt.Sprintf("%.4g mm²", w.Area.SI*1e6)
		if w.AWG.Given() {
			area = fmt.Sprintf("AWG %g", w.AWG.SI)
		}
		cut := "to fit"
		if w.Length.Given() {
			cut = mm(w.Length.SI)
		}
		t.row(fmt.Sprintf("%d %s", i+1, name), w.From.Value, w.To.Value, area, cut)
	}
	return t
}

// afterHours is what settles or works loose first. Common practice, no source.
func afterHours(m *schema.Machine) *Table {
	t := &Table{Name: "again", Title: "To look at again after the first hour and the first day", Columns: []string{"what", "how"}}
	for _, name := range sorted(m.Fastenings) {
		f := m.Fastenings[name]
		how := "by hand: none may turn"
		if f.Torque.Given() {
			how = fmt.Sprintf("with the wrench at %.3g Nm: none may turn", f.Torque.SI)
		}
		if !f.Lock.Given() || f.Lock.Value == "none" {
			how += "; nothing keeps them from turning back"
		}
		t.row(name, how)
	}
	for _, name := range sorted(m.Pivots) {
		kept := m.Pivots[name].Pin.Kept
		var ends []string
		for _, k := range kept {
			ends = append(ends, k.Value)
		}
		t.row("pivot "+name, "both ends are there ("+strings.Join(ends, ", ")+"); no dust of metal beside it; it runs as freely as before")
	}
	for _, name := range sorted(m.Air.Runs) {
		if r := m.Air.Runs[name]; r.Tube.Given() {
			t.row("tube "+name, "pulled by hand at both ends: it stays; nothing rubs on it")
		}
	}
	return t
}
