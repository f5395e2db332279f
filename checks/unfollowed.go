package checks

import (
	"fmt"

	"trammel.example/schema"
)

// An Unfollowed is one kind of thing that no force is followed into, or that nothing is held against, since the spec leaves something out.
type Unfollowed struct {
	What string   // and what of it is not judged
	Of   []string // by name
	Add  string   // the field that it takes
}

// NotFollowed are the kinds of things of a machine whose strength, or place in the order of building, is not judged, with nothing else saying so.
func NotFollowed(m *schema.Machine) []Unfollowed {
	var all []Unfollowed
	add := func(what string, of []string, field string) {
		if len(of) > 0 {
			all = append(all, Unfollowed{what, of, field})
		}
	}
	var bare, holes, blocks []string
	for _, point := range sorted(m.Pivots) {
		p := m.Pivots[point]
		if !p.Pin.Material.Given() && !p.Pin.Yield.Given() {
			bare = append(bare, point)
		}
		hole, block := false, false
		for _, l := range p.Stack {
			hole = hole || l.Link.Given() && !l.Material.Given() && !l.Pressure.Given()
			block = block || l.Block.Given() && !l.Block.Static.Given()
		}
		if hole {
			holes = append(holes, point)
		}
		if block {
			blocks = append(blocks, point)
		}
	}
	var loose, torn, slid []string
	for _, name := range sorted(m.Fastenings) {
		f := m.Fastenings[name]
		if len(f.Joints) == 0 && !f.Load.Given() {
			loose = append(loose, name)
		}
		for i, j := range f.Joints {
			if !j.Edge.Given() || !j.Thick.Given() || !j.Material.Given() {
				torn = append(torn, numbered(name, i, len(f.Joints)))
			}
		}
		if f.Into.SlotNut.Given() && f.Into.Slot.Given() && !f.Into.SlotNut.Enters.Given() {
			slid = append(slid, name)
		}
	}
	if len(m.Cylinders) > 0 {
		add("what bends and shears the pin at", bare, "`material` or `yield` to its pin")
		add("how hard the pin presses in the links at", holes, "`material`, or `pressure` of the bush, to their layers")
		add("what the bearings carry at", blocks, "`static` to their blocks")
		add("what the machine pulls and shears at the screws of", loose, "`joints`, or `load`")
	}
	add("whether the holes tear out at the joints of", torn, "`edge`, `thick` and `material`")
	add("whether the slot is still open for the nuts of", slid, "`enters` to their `slotNut`")
	return all
}

// numbered is a fastening, or one of its joints where it has several.
func numbered(name string, i, of int) string {
	if of == 1 {
		return name
	}
	return fmt.Sprintf("%s (joint %d)", name, i+1)
}
