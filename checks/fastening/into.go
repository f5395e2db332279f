package fastening

// What a screw goes into, and how far its tip may reach past the joint face.
//
//	nut          tip beyond the nut:         h,max + p P       <= reach <= h,min + room
//	slot nut     thread in it, tip clear:    lip,max + u + n   <= reach <= depth,min - c
//	tapped hole  thread in it, tip clear:    u + n             <= reach <= t,min (+ room, if through)
//
// Symbols: reach = screw length less grip, m; h nut height; P pitch; p pitches that the tip must show; lip
// thickness of the slot's lip; depth from the profile's outer face to the floor of the slot; c clearance to
// that floor; t depth of full thread; u length of the incomplete end thread; n engagement needed. All in m.
//
// Range: the joint face is where the stack ends: the bearing face of a nut, the outer face of a profile,
// the mouth of a tapped hole. A slot nut pulls against the inside of the lip and its thread begins there.
//
// Source: common practice, no source, for p = 1 and c = 0.5 mm. The rest is geometry.

import (
	"fmt"
	"math"
)

const (
	// UsualTipClearance in m between a screw and the floor of a slot. Less, and a burr or a bent floor lets
	// the screw bottom before it clamps.
	UsualTipClearance = 0.5e-3
	// UsualPitchesShown is how far a screw shows behind its nut, in pitches. Less, and the incomplete end
	// thread lies within the nut, or misses the ring of a lock nut.
	UsualPitchesShown = 1.0
)

// Into is what the screw goes into: a Nut, a SlotNut or a TappedHole.
type Into interface {
	seat(Screw) seat
	check() error
}

// seat is what all three come to. Lengths from the joint face.
type seat struct {
	before Span    // to the start of the thread
	thread Span    // length of the thread
	needed float64 // engagement needed
	least  float64 // reach needed at worst
	most   float64 // reach allowed at worst
	floor  float64 // nearest thing that the tip can touch
}

// Nut is on a through bolt.
type Nut struct {
	Height Span
	// PitchesShown is how many pitches the tip must show behind the nut. UsualPitchesShown fits most.
	PitchesShown float64
	// Room behind the nut in m before the screw meets something: math.Inf(1) where there is nothing.
	Room float64
}

func (n Nut) check() error {
	if err := n.Height.check("nut height"); err != nil {
		return err
	}
	if err := positive(quantity{"nut height", n.Height.Min}); err != nil {
		return err
	}
	if err := notNegative(quantity{"pitches shown behind the nut", n.PitchesShown}); err != nil {
		return err
	}
	return checkRoom(n.Room)
}

func (n Nut) seat(s Screw) seat {
	return seat{
		thread: n.Height,
		least:  n.Height.Max + n.PitchesShown*s.Pitch,
		most:   n.Height.Min + n.Room,
		floor:  n.Height.Min + n.Room,
	}
}

// SlotNut is a nut in a slotted profile. The stack sits on the profile's outer face.
type SlotNut struct {
	Lip       Span    // thickness of the lip that the nut pulls against
	Thick     Span    // length of thread in the nut
	Depth     Span    // from the outer face to the floor of the slot
	Clearance float64 // to keep between tip and floor, m; UsualTipClearance fits most
	Needed    float64 // engagement needed, m
}

func (n SlotNut) check() error {
	if err := n.Lip.check("lip"); err != nil {
		return err
	}
	if err := n.Thick.check("slot nut"); err != nil {
		return err
	}
	if err := n.Depth.check("slot depth"); err != nil {
		return err
	}
	if err := notNegative(quantity{"tip clearance", n.Clearance}); err != nil {
		return err
	}
	return positive(quantity{"engagement needed", n.Needed}, quantity{"slot nut", n.Thick.Min})
}

func (n SlotNut) seat(s Screw) seat {
	return seat{
		before: n.Lip,
		thread: n.Thick,
		needed: n.Needed,
		least:  n.Lip.Max + s.Point + n.Needed,
		most:   n.Depth.Min - n.Clearance,
		floor:  n.Depth.Min,
	}
}

// TappedHole is a thread cut into a part.
type TappedHole struct {
	Depth   Span    // of full thread
	Needed  float64 // engagement needed, m
	Through bool
	// Room behind a through hole in m before the screw meets something: math.Inf(1) where there is nothing.
	// A blind hole takes no notice of it: the screw may not pass the full thread.
	Room float64
}

func (h TappedHole) check() error {
	if err := h.Depth.check("thread depth"); err != nil {
		return err
	}
	if err := positive(quantity{"engagement needed", h.Needed}, quantity{"thread depth", h.Depth.Min}); err != nil {
		return err
	}
	if h.Through {
		return checkRoom(h.Room)
	}
	return nil
}

func (h TappedHole) seat(s Screw) seat {
	end := h.Depth.Min
	if h.Through {
		end += h.Room
	}
	return seat{
		thread: h.Depth,
		needed: h.Needed,
		least:  s.Point + h.Needed,
		most:   end,
		floor:  end,
	}
}

func checkRoom(room float64) error {
	if !(room >= 0) {
		return fmt.Errorf("room behind must be zero or more, or +Inf for none in the way, found %g", room)
	}
	return nil
}

// Screw is what matters of a screw for its length.
type Screw struct {
	Pitch float64 // m
	// Point is the length of incomplete end thread in m, which holds nothing.
	Point float64
	// Limits are those of a screw of a nominal length, m. Nil: screws are exactly as long as they are called.
	// The tolerance may grow with the length, by steps too, but not shrink.
	Limits func(nominal float64) Span
}

// Symmetric makes Limits of a tolerance that is as much above as below the nominal length, in m.
func Symmetric(tolerance func(nominal float64) float64) func(float64) Span {
	return func(nominal float64) Span {
		t := tolerance(nominal)
		return Span{nominal - t, nominal + t}
	}
}

func (s Screw) check() error {
	if err := positive(quantity{"pitch", s.Pitch}); err != nil {
		return err
	}
	return notNegative(quantity{"incomplete end thread", s.Point})
}

// limits are those of one nominal length, checked.
func (s Screw) limits(nominal float64) (Span, error) {
	if s.Limits == nil {
		return Exactly(nominal), nil
	}
	l := s.Limits(nominal)
	if !(l.Min <= nominal) || !(l.Max >= nominal) || math.IsInf(l.Spread(), 0) {
		return Span{}, fmt.Errorf("screw of %g has limits %g to %g, which do not hold it", nominal, l.Min, l.Max)
	}
	return l, nil
}
