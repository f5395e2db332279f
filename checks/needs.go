package checks

import (
	"fmt"
	"maps"
	"slices"
	"strings"

	"trammel.example/schema"
)

// A Need is one line of a machine's bill of materials: so many pieces alike, or so many cut off bars or rolls.
type Need struct {
	Kind string // one of kindsOfNeed
	Item string // as a purchase list names it
	Uses []Use
}

// A Use is what one place in the machine takes of a Need.
type Use struct {
	Where string // the path of the part in the spec
	Name  string
	Count int
	// Of what is cut off: how long, and why that is not known. m.
	Length  float64
	Why     string
	Assumed string // of the length, what is not counted in it
	Origin  schema.Origin
	of      *schema.Machine
}

// Count is how many pieces are taken in all.
func (n *Need) Count() int {
	sum := 0
	for _, u := range n.Uses {
		sum += u.Count
	}
	return sum
}

// Cut reports whether it is cut off bars or rolls.
func (n *Need) Cut() bool { return slices.Contains([]string{"tube", "bar", "wire"}, n.Kind) }

// Small reports whether a few more are bought, since they get lost.
func (n *Need) Small() bool {
	return slices.Contains([]string{"screw", "nut", "washer", "keeper"}, n.Kind)
}

// Needs is what one machine takes, from its own joints, pivots and runs: by kind in the order of Need.Kind, and by item.
func Needs(m *schema.Machine) []*Need { return needsOf([]*schema.Machine{m}, 1) }

// NeedsOfAll is what all copies of all machines take that share m's purchase list.
func NeedsOfAll(m *schema.Machine) []*Need {
	if len(m.Kin) == 0 {
		return needsOf([]*schema.Machine{m}, m.HowMany())
	}
	return needsOf(m.Kin, 0)
}

// NeedsTogether is what all copies of some machines take, whatever lists they have.
func NeedsTogether(machines []*schema.Machine) []*Need { return needsOf(machines, 0) }

// Of is how many of the pieces one of the machines takes, in all its copies.
func (n *Need) Of(m *schema.Machine) (sum int) {
	for _, u := range n.Uses {
		if u.of == m {
			sum += u.Count
		}
	}
	return sum
}

// needsOf counts so many copies of each machine; 0 for as many as it says itself.
func needsOf(machines []*schema.Machine, copies int) []*Need {
	b := &bill{byItem: map[string]*Need{}}
	for _, m := range machines {
		if b.of, b.copies = m, copies; copies == 0 {
			b.copies = m.HowMany()
		}
		b.all(m)
	}
	needs := slices.Collect(maps.Values(b.byItem))
	slices.SortFunc(needs, func(x, y *Need) int {
		if k := slices.Index(kindsOfNeed, x.Kind) - slices.Index(kindsOfNeed, y.Kind); k != 0 {
			return k
		}
		return strings.Compare(x.Item, y.Item)
	})
	return needs
}

func (b *bill) all(m *schema.Machine) {
	b.fastenings(m)
	b.fixings(m)
	b.pivots(m)
	b.bought(m)
	b.air(m)
	b.wiring(m)
}

var kindsOfNeed = []string{"cylinder", "spring", "bar", "bearing block", "pin", "keeper", "spacer", "screw", "nut", "washer", "air part", "fitting", "tube", "electric part", "wire"}

// sawKerf is what one cut of a saw takes, m. Common practice, no source.
const sawKerf = 3e-3

// Kerf is what each cut takes of what is cut off, m, and whether that is assumed: a saw's for bars; a knife takes nothing of tubes and wires.
func (n *Need) Kerf(p schema.Purchase) (kerf float64, assumed bool) {
	if p.Kerf.Given() || n.Kind != "bar" {
		return p.Kerf.SI, false
	}
	return sawKerf, true
}

// A bill gathers needs.
type bill struct {
	byItem map[string]*Need
	of     *schema.Machine
	copies int
}

func (b *bill) add(kind, item string, count int, o schema.Origin, where, name string) *Use {
	n := b.byItem[item]
	if n == nil {
		n = &Need{Kind: kind, Item: item}
		b.byItem[item] = n
	}
	n.Uses = append(n.Uses, Use{Where: where, Name: name, Count: count * b.copies, Origin: o, of: b.of})
	return &n.Uses[len(n.Uses)-1]
}

// mm is a length as an item's name has it.
func mm(q schema.Quantity) string { return fmt.Sprintf("%.6g", q.SI*1e3) }

func (b *bill) fastenings(m *schema.Machine) {
	for _, name := range sorted(m.Fastenings) {
		f := m.Fastenings[name]
		count, where := int(f.Count.SI), "fastenings."+name
		add := func(kind, item string, o schema.Origin) { b.add(kind, item, count, o, where, name) }
		add("screw", fmt.Sprintf("screw %sx%s %s %s", f.Screw.Thread.Value, mm(f.Screw.Length.Quantity), f.Screw.Head.Value, f.Screw.Class.Value), f.Screw.Origin)
		for _, c := range f.Stack {
			switch {
			case c.Washer.Given():
				add("washer", washerItem(c.Washer, f.Screw.Thread.Value), c.Origin)
			case c.Spring.Given():
				add("washer", "spring washer "+f.Screw.Thread.Value, c.Origin)
			}
		}
		switch into := f.Into; {
		case into.Nut.Given():
			thread := f.Screw.Thread.Value
			if into.Nut.Thread.Given() {
				thread = into.Nut.Thread.Value
			}
			add("nut", fmt.Sprintf("%s nut %s", into.Nut.Style.Value, thread), into.Nut.Origin)
		case into.SlotNut.Given():
			add("nut", fmt.Sprintf("slot nut %s for %s", into.SlotNut.Thread.Value, mm(into.SlotNut.Slot.Quantity)), into.SlotNut.Origin)
		}
		if f.Lock.Value == "jam nut" {
			add("nut", "thin nut "+f.Screw.Thread.Value, f.Lock.Origin)
		}
	}
}

// fixings are the screws that go into wood, those of the base too, by their thread in it, and the inserts.
func (b *bill) fixings(m *schema.Machine) {
	wood := func(w schema.WoodScrew, count int, where, name string) {
		b.add("screw", fmt.Sprintf("wood screw %s with %s of thread", mm(w.Diameter.Quantity), mm(w.Thread.Quantity)), count, w.Origin, where, name)
	}
	if s := m.Base.Screws; s.Wood.Given() {
		wood(s.Wood, len(s.At), "base.screws", "base")
	}
	for _, name := range sorted(m.Fixings) {
		f := m.Fixings[name]
		count, where := 0, "fixings."+name
		for _, p := range f.Parts {
			count += len(p.Screws)
		}
		switch {
		case f.Wood.Given():
			wood(f.Wood, count, where, name)
		case f.Insert.Given():
			b.add("nut", fmt.Sprintf("threaded insert %s", mm(f.Insert.Outside.Quantity)), count, f.Insert.Origin, where, name)
		}
	}
}

func washerItem(w schema.Washer, thread string) string {
	switch {
	case w.Thread.Given() && w.Series.Given() && w.Series.Value != "normal":
		return "washer " + w.Thread.Value + " " + w.Series.Value
	case w.Thread.Given():
		return "washer " + w.Thread.Value
	}
	return "washer " + mm(w.Quantity) + " thick for " + thread
}

func (b *bill) pivots(m *schema.Machine) {
	for _, name := range sorted(m.Pivots) {
		p := m.Pivots[name]
		where, pin := "pivots."+name, mm(p.Pin.Diameter.Quantity)
		add := func(kind, item string, o schema.Origin) { b.add(kind, item, 1, o, where, name) }
		item := "pin " + pin
		if p.Pin.Thread.Given() {
			item = "bolt " + p.Pin.Thread.Value
		}
		if p.Pin.Length.Given() {
			item += "x" + mm(p.Pin.Length.Quantity)
		}
		add("pin", item, p.Pin.Origin)
		for _, k := range p.Pin.Kept {
			switch k.Value {
			case "clip", "push-on ring", "split pin", "collar":
				add("keeper", k.Value+" "+pin, k.Origin)
			case "nut", "lock nut":
				add("nut", k.Value+" "+p.Pin.Thread.Value, k.Origin)
			}
		}
		if p.Sleeve.Given() {
			add("spacer", "sleeve "+mm(p.Sleeve.Outside.Quantity)+"x"+mm(p.Sleeve.Length.Quantity), p.Sleeve.Origin)
		}
		for _, l := range p.Stack {
			switch {
			case l.Block.Given():
				add("bearing block", "bearing block "+pin, l.Origin)
			case l.Washer.Given():
				add("washer", washerItem(l.Washer, pin), l.Origin)
			case l.Spacer.Given():
				add("spacer", "spacer "+mm(l.Spacer.Quantity)+" for "+pin, l.Origin)
			}
		}
	}
}

// bought are cylinders, springs, and the stock that links are cut from.
func (b *bill) bought(m *schema.Machine) {
	for _, name := range sorted(m.Cylinders) {
		y := m.Cylinders[name]
		b.add("cylinder", "cylinder "+mm(y.Bore.Quantity)+"x"+mm(y.Stroke.Quantity), 1, y.Origin, "cylinders."+name, name)
	}
	for _, name := range sorted(m.Springs) {
		s := m.Springs[name]
		b.add("spring", fmt.Sprintf("spring %.6g N/mm free %s", s.Rate.SI/1e3, mm(s.Free.Quantity)), 1, s.Origin, "springs."+name, name)
	}
	for _, name := range sorted(m.Links) {
		made := m.Links[name].Made
		if !made.Stock.Given() {
			continue
		}
		pieces := 1
		if made.Pieces.Given() {
			pieces = int(made.Pieces.SI)
		}
		b.add("bar", made.Stock.Value, pieces, made.Cut.Origin, "links."+name, name).Length = made.Cut.SI
	}
}

func (b *bill) air(m *schema.Machine) {
	for _, name := range sorted(m.Air.Parts) {
		p := m.Air.Parts[name]
		item := p.Kind.Value
		if p.Source.Given() {
			item += ", " + p.Source.Value
		}
		b.add("air part", item, 1, p.Origin, "air.parts."+name, name)
	}
	for _, name := range sorted(m.Air.Runs) {
		r := m.Air.Runs[name]
		where := "air.runs." + name
		inserts := 0.0
		for _, f := range []schema.Fitting{r.Fittings.From, r.Fittings.To} {
			if !f.Given() {
				continue
			}
			inserts += f.Inserts.SI
			form := ""
			if f.Form.Given() {
				form = " " + f.Form.Value
			}
			b.add("fitting", fmt.Sprintf("fitting %s for %s%s, %s", f.Thread.Value, mm(f.Tube.Quantity), form, f.Source.Value), 1, f.Origin, where, name)
		}
		if !r.Tube.Given() {
			continue
		}
		u := b.add("tube", fmt.Sprintf("tube %sx%s %s", mm(r.Tube.Outer.Quantity), mm(r.Tube.Inner.Quantity), r.Tube.Material.Value), 1, r.Origin, where, name)
		switch {
		case r.Cut.Given():
			u.Length = r.Cut.SI
		case r.Length.Given():
			u.Length = r.Length.SI + inserts
			if r.Fittings.From.Given() && !r.Fittings.From.Inserts.Given() || r.Fittings.To.Given() && !r.Fittings.To.Inserts.Given() {
				u.Assumed = "nothing of it goes into its fittings"
			}
		default:
			u.Why = fmt.Sprintf("the length of %s is not given: add `cut: mm: …` to it", where)
		}
	}
}

func (b *bill) wiring(m *schema.Machine) {
	w := m.Wiring
	electric := func(where, name, item string, o schema.Origin) {
		b.add("electric part", item, 1, o, "wiring."+where, name)
	}
	if w.Supply.Given() {
		item := fmt.Sprintf("supply %.4g V", w.Supply.Volts.SI)
		if w.Supply.Current.Given() {
			item += fmt.Sprintf(" %.4g A", w.Supply.Current.SI)
		}
		electric("supply", "supply", item, w.Supply.Origin)
	}
	for _, name := range sorted(w.Fuses) {
		electric("fuses."+name, name, fmt.Sprintf("fuse %.4g A", w.Fuses[name].Current.SI), w.Fuses[name].Origin)
	}
	for _, name := range sorted(w.Contacts) {
		electric("contacts."+name, name, "contact "+name, w.Contacts[name].Origin)
	}
	for _, name := range sorted(w.Drivers) {
		item := fmt.Sprintf("%s-side driver %.4g A", w.Drivers[name].Side.Value, w.Drivers[name].Current.SI)
		if w.Drivers[name].Blocks.Given() {
			item += fmt.Sprintf(" %.4g V", w.Drivers[name].Blocks.SI)
		}
		electric("drivers."+name, name, item, w.Drivers[name].Origin)
	}
	for _, name := range sorted(w.Controllers) {
		electric("controllers."+name, name, "controller "+name, w.Controllers[name].Origin)
	}
	for _, name := range sorted(w.Diodes) {
		item := fmt.Sprintf("diode %.4g A %.4g V", w.Diodes[name].Current.SI, w.Diodes[name].Blocks.SI)
		if w.Diodes[name].Clamps.Given() {
			item += fmt.Sprintf(", clamping at %.4g V", w.Diodes[name].Clamps.SI)
		}
		electric("diodes."+name, name, item, w.Diodes[name].Origin)
	}
	for _, name := range sorted(w.Loads) {
		electric("loads."+name, name, fmt.Sprintf("%s %.4g V %.4g A", name, w.Supply.Volts.SI, w.Loads[name].Draws.SI), w.Loads[name].Origin)
	}
	for _, name := range sorted(w.Wires) {
		wire := w.Wires[name]
		item := fmt.Sprintf("wire %.4g mm²", wire.Area.SI*1e6)
		if wire.AWG.Given() {
			item = fmt.Sprintf("wire AWG %.4g", wire.AWG.SI)
		}
		u := b.add("wire", item, 1, wire.Origin, "wiring.wires."+name, name)
		if u.Length = wire.Length.SI; !wire.Length.Given() {
			u.Why = fmt.Sprintf("the length of %s is not given: add `length: mm: …` to it", u.Where)
		}
	}
}
