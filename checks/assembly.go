package checks

import (
	"fmt"
	"slices"

	"trammel.example/schema"
)

// slidIn finds whether an end of its slot is open when a fastening's nuts are slid in.
func (x *examiner) slidIn(s *Subject, name string, f schema.Fastening) {
	if f.Into.SlotNut.Enters.Value != "end" {
		return
	}
	slot := f.Into.Slot
	names := func(of []schema.Text) bool {
		return slices.ContainsFunc(of, func(t schema.Text) bool { return t.Value == name })
	}
	step := slices.IndexFunc(x.m.Assembly, func(a schema.Assembled) bool { return names(a.Loads) || names(a.Fastens) })
	switch {
	case !slot.Given():
		s.open("its nuts are slid in from the end, and which slot they go into is not given: add `slot: \"…\"` beside its nut", "endsOpen")
		return
	case len(x.m.Assembly) == 0:
		s.open("its nuts are slid in from the end, and the order in which the machine is put together is not given: add `assembly: [{does: \"…\", fastens: […], closes: […]}]`", "endsOpen")
		return
	case step < 0:
		s.open("in which step of `assembly` it is put in is not given: name it in `fastens` of one", "endsOpen")
		return
	}
	open, last := 2, -1
	for i, a := range x.m.Assembly[:step] {
		for _, e := range a.Closes {
			if e.Slot.Value == slot.Value {
				open, last = open-1, i
			}
		}
	}
	from := []schema.Input{slot, f.Into.SlotNut.Enters}
	if open <= 0 {
		from = append([]schema.Input{x.m.Assembly[last].Does}, from...) // where they can still be slid in
	}
	s.set("endsOpen", schema.NumberDim, float64(max(0, open)), from...)
	s.text("slot", slot.Value, slot)
	if open > 0 {
		return
	}
	closing := x.m.Assembly[last].Does.Value
	s.text("closedBy", closing)
	nuts := "the nut"
	if f.Count.SI > 1 {
		nuts = fmt.Sprintf("all %.0f nuts", f.Count.SI)
	}
	s.text("remedyNuts", fmt.Sprintf("Slide %s in before “%s” closes it (`loads: [%q]` in that step), or take nuts that go in through the face (`enters: \"face\"`)", nuts, closing, name))
}
