package sheets

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"trammel.example/checks"
	"trammel.example/schema"
)

func newtonMetres(t schema.Torque) string { return fmt.Sprintf("%.3g Nm", t.SI) }

// playsOf is the room along each pivot's pin, from the least to the most.
func playsOf(subjects []*checks.Subject) map[string]string {
	plays := map[string]string{}
	for _, s := range subjects {
		least, ok := s.Facts["gapLeast"]
		if most := s.Facts["gapMost"]; ok && s.Kind == "pivot" && least.Kind == checks.Quantity && most.Kind == checks.Quantity {
			plays[s.Name] = mm(least.SI) + " to " + mm(most.SI)
		}
	}
	return plays
}

func pinOf(p schema.Pivot) string {
	pin := mm(p.Pin.Diameter.SI)
	if p.Pin.Length.Given() {
		pin += " × " + mm(p.Pin.Length.SI)
	}
	return pin
}

func keptBy(p schema.Pivot) string {
	var kept []string
	for _, k := range p.Pin.Kept {
		kept = append(kept, k.Value)
	}
	return strings.Join(kept, ", ")
}

// stackOf is what lies along a pin, from back to front.
func stackOf(p schema.Pivot) string {
	var stack []string
	for _, l := range p.Stack {
		switch {
		case l.Block.Given():
			stack = append(stack, "block")
		case l.Washer.Given():
			stack = append(stack, "washer "+mm(l.Washer.SI))
		case l.Spacer.Given():
			stack = append(stack, "spacer "+mm(l.Spacer.SI))
		default:
			runs := ""
			if l.Runs.Value {
				runs = " (runs)"
			}
			stack = append(stack, l.Link.Value+l.Cylinder.Value+runs)
		}
	}
	return strings.Join(stack, ", ")
}

// running are the links and cylinders that turn on a pivot's pin.
func running(p schema.Pivot) (all []string) {
	for _, l := range p.Stack {
		if name := l.Link.Value + l.Cylinder.Value; l.Runs.Value && !slices.Contains(all, name) {
			all = append(all, name)
		}
	}
	return all
}

// assembly is the order in which the machine goes together: what slides in first, the links from the frame outward, the cylinders when the
// links have been moved by hand, and the screws made tight when all runs. Common practice, no source.
func assembly(m *schema.Machine, subjects []*checks.Subject) *Table {
	t := &Table{Name: "assembly", Title: "Putting it together", Columns: []string{"step", "do", "tight to", "then"}}
	t.Says = "In this order. A joint that does not move by hand is not helped by air: find what binds it before the next step."
	row := func(do, tight, then string) { t.row(fmt.Sprint(len(t.Rows)+1), do, tight, then) }
	in := bySteps(m, row)
	for _, name := range sorted(m.Fastenings) {
		if f := m.Fastenings[name]; f.Into.SlotNut.Given() && !in[name] {
			row(slotNuts(f, name), "", "they lie where the screws come, before the slot's ends are closed")
		}
	}
	for _, name := range sorted(m.Fastenings) {
		if f := m.Fastenings[name]; !in[name] {
			row(fmt.Sprintf("Put in the %s of %s", screwsOf(f), name), "hand-tight", "the parts can still be shifted")
		}
	}
	plays := playsOf(subjects)
	moved := false
	for _, name := range outward(m) {
		p := m.Pivots[name]
		if onlyCylinder(p) && !moved {
			moved = true
			row("Move the links through their whole way by hand", "", "nothing binds, rubs or lies in the way")
		}
		do := fmt.Sprintf("Pivot %s: from back to front %s; pin %s mm; ends kept by %s", name, stackOf(p), pinOf(p), keptBy(p))
		tight, then := "", ""
		nut := slices.ContainsFunc(p.Pin.Kept, func(k schema.Text) bool { return k.Value == "nut" || k.Value == "lock nut" })
		switch {
		case p.Pin.Torque.Given():
			tight = newtonMetres(p.Pin.Torque)
		case nut:
			tight = "not tightened: run the nut down until the play is nearly gone, then lock it"
		}
		if runs := running(p); len(runs) > 0 {
			then = strings.Join(runs, ", ") + " must turn by hand"
			if play := plays[name]; play != "" {
				then += ", with " + play + " mm along the pin"
			}
		}
		row(do, tight, then)
	}
	for _, name := range sorted(m.Fastenings) {
		f := m.Fastenings[name]
		tight := "by feel: no torque is given"
		if f.Torque.Given() {
			tight = newtonMetres(f.Torque)
		}
		do := fmt.Sprintf("Tighten the %s of %s", screwsOf(f), name)
		if f.Count.SI > 2 {
			do += ", crosswise"
		}
		if f.Lock.Value == "thread lock" {
			do += "; take one after the other out before, and wet its thread, free of grease, with thread lock"
		}
		row(do, tight, lockedBy(f))
	}
	if len(m.Pivots) > 0 && len(m.Fastenings) > 0 {
		row("Move everything by hand once more", "", "it runs as it did before the screws were tight")
	}
	if len(m.Air.Runs) > 0 {
		row("Join the tubes by their list, with the supply shut off", "", "each stays when it is pulled by hand")
	}
	if len(m.Wiring.Wires) > 0 {
		row("Join the wires by their list, with the supply unplugged", "", "no strand stands out of a terminal")
	}
	return t
}

// bySteps has the steps that the spec gives, with the nuts that are slid in, the screws that are put in and the slots that are closed in each, and
// tells which fastenings are in by them.
func bySteps(m *schema.Machine, row func(do, tight, then string)) (in map[string]bool) {
	in = map[string]bool{}
	slid := map[string]bool{}
	for _, a := range m.Assembly {
		dos, tight, then := []string{a.Does.Value}, "", []string(nil)
		for _, l := range a.Loads {
			slid[l.Value] = true
			dos = append(dos, slotNuts(m.Fastenings[l.Value], l.Value))
		}
		for _, n := range a.Fastens {
			f := m.Fastenings[n.Value]
			if f.Into.SlotNut.Given() && !slid[n.Value] {
				dos = append(dos, slotNuts(f, n.Value))
			}
			in[n.Value] = true
			dos = append(dos, fmt.Sprintf("Put in the %s of %s", screwsOf(f), n.Value))
			tight = "hand-tight"
		}
		if tight != "" {
			then = append(then, "the parts can still be shifted")
		}
		for _, e := range a.Closes {
			then = append(then, fmt.Sprintf("the %s end of %s is closed: no more nuts get in there", e.End.Value, e.Slot.Value))
		}
		row(strings.Join(dos, ". "), tight, strings.Join(then, "; "))
	}
	return in
}

// slotNuts says how a fastening's nuts get into their slot.
func slotNuts(f schema.Fastening, name string) string {
	nuts, how := "the slot nut", "Slide"
	if f.Count.SI > 1 {
		nuts = fmt.Sprintf("%g slot nuts", f.Count.SI)
	}
	where := "into the slot"
	if f.Into.SlotNut.Enters.Value == "face" {
		how, where = "Put", "through the face of the slot"
	}
	if f.Into.Slot.Given() {
		where += " " + f.Into.Slot.Value
	}
	return fmt.Sprintf("%s %s %s %s for %s", how, nuts, f.Into.SlotNut.Thread.Value, where, name)
}

func screwsOf(f schema.Fastening) string {
	screws := fmt.Sprintf("%g screws", f.Count.SI)
	if f.Count.SI == 1 {
		screws = "screw"
	}
	return fmt.Sprintf("%s %s × %s", screws, f.Screw.Thread.Value, mm(f.Screw.Length.SI))
}

func lockedBy(f schema.Fastening) string {
	switch {
	case f.Into.Nut.Style.Value == "lock":
		return "the nut's ring holds it; take a new nut each time"
	case !f.Lock.Given() || f.Lock.Value == "none":
		return "mark it with paint across head and part: nothing else shows that it turns back"
	}
	return "locked by " + f.Lock.Value
}

// onlyCylinder reports whether a pivot joins no two links: a cylinder hangs on one there.
func onlyCylinder(p schema.Pivot) bool {
	links := map[string]bool{}
	cylinder := false
	for _, l := range p.Stack {
		if of := l.Link.Value + l.On.Value; of != "" {
			links[of] = true
		}
		cylinder = cylinder || l.Cylinder.Given()
	}
	return cylinder && len(links) < 2
}

// outward are the pivots from the frame on, and last those at which only a cylinder hangs on a link.
func outward(m *schema.Machine) []string {
	far := map[string]int{}
	var queue []string
	for name, l := range m.Links {
		if l.Ground.Value {
			far[name] = 0
			queue = append(queue, name)
		}
	}
	for len(queue) > 0 {
		at := queue[0]
		queue = queue[1:]
		for name, l := range m.Links {
			if _, known := far[name]; !known && slices.ContainsFunc(l.Points, func(p schema.Text) bool {
				return slices.ContainsFunc(m.Links[at].Points, func(o schema.Text) bool { return o.Value == p.Value })
			}) {
				far[name] = far[at] + 1
				queue = append(queue, name)
			}
		}
	}
	of := func(pivot string) int {
		nearest := math.MaxInt
		for name, l := range m.Links {
			if d, known := far[name]; known && slices.ContainsFunc(l.Points, func(p schema.Text) bool { return p.Value == pivot }) {
				nearest = min(nearest, d)
			}
		}
		if onlyCylinder(m.Pivots[pivot]) && nearest < math.MaxInt {
			nearest += len(m.Links)
		}
		return nearest
	}
	all := sorted(m.Pivots)
	slices.SortStableFunc(all, func(a, b string) int { return cmp.Compare(of(a), of(b)) })
	return all
}

// prints is how printed links are printed.
func prints(m *schema.Machine) *Table {
	t := &Table{Name: "prints", Title: "Printed parts", Columns: []string{"part", "pieces", "material", "lies on the bed", "layer, mm", "walls", "infill, %", "holes to drill or ream, mm"}}
	t.Says = "Holes come out small: print them a few tenths under and drill or ream them to size (common practice, no source). Check the first piece against the template."
	for _, name := range sorted(m.Links) {
		l := m.Links[name]
		p := l.Printed
		if !p.Given() {
			continue
		}
		pieces := m.HowMany()
		if p.Pieces.Given() {
			pieces *= int(p.Pieces.SI)
		}
		var holes []string
		for _, point := range l.Points {
			for _, layer := range m.Pivots[point.Value].Stack {
				if layer.Link.Value == name && layer.Hole.Given() {
					holes = append(holes, point.Value+" "+size(layer.Hole)+" through "+mm(layer.Thick.SI))
					break
				}
			}
		}
		t.row(name, fmt.Sprint(pieces), p.Material.Value, p.Lies.Value, mm(p.Layer.SI), fmt.Sprint(p.Walls.SI), fmt.Sprintf("%.4g", 100*p.Infill.SI), strings.Join(holes, ", "))
	}
	return t
}

// shutDown says how the machine is made quiet for work, and what stays raised or under pressure.
func shutDown(m *schema.Machine, subjects []*checks.Subject) *Table {
	t := &Table{Name: "off", Title: "Shut off for work", Columns: []string{"step", "do", "what is there then", "so"}}
	t.Says = "Before a hand goes in. No gauge is not no pressure: after the last step push each rod by hand, and it must give way. Local codes and licensed practice say how work is made ready."
	row := func(do, there, so string) { t.row(fmt.Sprint(len(t.Rows)+1), do, there, so) }
	for _, s := range subjects {
		if does, known := s.Facts["does"]; known && s.Kind == "behaviour" && s.Facts["event"].Text == "isolated for work" && (s.Facts["falls"].Flag || s.Facts["moves"].Flag || s.Facts["drifts"].Flag) {
			row("Support what "+s.Facts["cylinder"].Text+" carries, before anything is shut", "with the air shut off the rod "+does.String(), "nothing stands or reaches below or before it")
		}
	}
	for _, name := range sorted(m.Air.Parts) {
		if p := m.Air.Parts[name]; p.Kind.Value == "isolator" {
			vents := "what is behind it stays under pressure until it is let out"
			if p.Exhausts.Value {
				vents = "it lets out what is behind it"
			}
			row("Shut "+name+" and lock it", vents, "nothing hisses any more, and a gauge behind it is at zero")
		}
	}
	if m.Wiring.Given() {
		row("Unplug the supply", "no coil has current, and a valve may shift once more", "the plug is kept where nobody puts it back in")
	}
	for _, s := range subjects {
		switch {
		case s.Kind == "behaviour" && s.Facts["trapped"].Flag && s.Facts["remedyTrapped"].Text != "":
			row("Let the air out of the "+s.Facts["trappedIn"].Text+" of "+s.Facts["cylinder"].Text,
				fmt.Sprintf("up to %s are shut in there, %s on the piston", s.Facts["trappedPressure"], s.Facts["trappedForce"]),
				"no hand valve is there, and a tube under pressure is not pulled: "+strings.ToLower(s.Facts["remedyTrapped"].Text[:1])+s.Facts["remedyTrapped"].Text[1:])
		case s.Kind == "store" && s.Facts["keepsAir"].Flag:
			row("Let out the air of "+s.Name, fmt.Sprintf("up to %s stay in it", s.Facts["kept"]), "open its drain until nothing comes any more")
		}
	}
	for _, name := range sorted(m.Air.Parts) {
		if p := m.Air.Parts[name]; p.Kind.Value == "valve" && p.Moved.Value == "hand" {
			row("Work "+name+" by hand, both ways", "what it still shut in goes out", "")
		}
	}
	for _, name := range sorted(m.Springs) {
		row("Mind the spring "+name, "it is loaded with the air off as well", "unhook it with the link that it pulls held fast")
	}
	if len(t.Rows) > 0 && len(m.Cylinders) > 0 {
		row("Push each rod by hand ("+strings.Join(sorted(m.Cylinders), ", ")+")", "", "each gives way; one that does not is still under pressure")
	}
	return t
}
