package people

// Reach through the openings of a guard.
//
//	sr >= table(shape, e)      the row whose range holds e; never between two rows
//
// Symbols: e opening m: the width of a slot, the side of a square, the diameter of a round hole; sr distance m from the guard to the
// nearest dangerous place. Range: regular openings, upper limbs, e up to 120 mm for persons of 14 years and over, up to 100 mm for
// persons of 3 years and over, nothing in hand that lengthens the reach. Legs and feet have a table of their own.
//
// Sources: ISO 13857:2019 table 4, confirmed by DGUV Information 208-022 table 2, which prints it row by row; it does not say at
// which row the footnote on short slots stands, and another published summary gives 30 mm by 65 mm, the row used here. ISO 13857:2019
// table 5 with its footnote: from memory, no second source found; compare it with the standard before a machine depends on it.

import "fmt"

// Ages names the persons whom a guard must keep out.
type Ages int

const (
	From14 Ages = iota // persons of 14 years and over
	From3              // persons of 3 years and over: wherever children can come
)

func (a Ages) String() string {
	switch a {
	case From14:
		return "persons of 14 years and over"
	case From3:
		return "persons of 3 years and over"
	}
	return fmt.Sprintf("ages %d", int(a))
}

// Shape is the shape of an opening. A long rectangle is a slot.
type Shape string

const (
	Slot   Shape = "slot"
	Square Shape = "square"
	Round  Shape = "round"
)

// Opening is one opening of a guard, the largest where they differ.
type Opening struct {
	Shape  Shape
	Width  float64 // m: width of a slot, side of a square, diameter of a round hole
	Length float64 // m, of a slot; zero when not known, and then a short slot's allowance is not taken
}

// TooLarge is the error for an opening that its table does not hold.
type TooLarge struct {
	Width, Limit float64 // m
	Who          Ages
}

func (e *TooLarge) Error() string {
	return fmt.Sprintf("an opening of %.4g mm is beyond the table for %s, which ends at %.4g mm: "+
		"judge this guard by how far a person reaches over or around it, not by its openings", e.Width*1e3, e.Who, e.Limit*1e3)
}

// row is a row of a table, in mm as printed.
type row struct {
	upTo                float64 // the row holds openings above the row before and up to this
	slot, square, round float64 // distance

	// A slot no longer than short lets no thumb through, and the distance may go down to shortSlot. Zero: no such footnote.
	short, shortSlot float64
}

// tables hold mm so that they can be compared with the printed ones.
var tables = map[Ages][]row{
	// ISO 13857:2019 table 4.
	From14: {
		{upTo: 4, slot: 2, square: 2, round: 2},
		{upTo: 6, slot: 10, square: 5, round: 5},
		{upTo: 8, slot: 20, square: 15, round: 5},
		{upTo: 10, slot: 80, square: 25, round: 20},
		{upTo: 12, slot: 100, square: 80, round: 80},
		{upTo: 20, slot: 120, square: 120, round: 120},
		{upTo: 30, slot: 850, square: 120, round: 120, short: 65, shortSlot: 200},
		{upTo: 40, slot: 850, square: 200, round: 120},
		{upTo: 120, slot: 850, square: 850, round: 850},
	},
	// ISO 13857:2019 table 5, from memory.
	From3: {
		{upTo: 4, slot: 2, square: 2, round: 2},
		{upTo: 6, slot: 20, square: 10, round: 10},
		{upTo: 8, slot: 40, square: 30, round: 20},
		{upTo: 10, slot: 80, square: 60, round: 60},
		{upTo: 12, slot: 100, square: 80, round: 80},
		{upTo: 20, slot: 900, square: 120, round: 120, short: 40, shortSlot: 120},
		{upTo: 30, slot: 900, square: 550, round: 120},
		{upTo: 100, slot: 900, square: 900, round: 900},
	},
}

// distance of a row (m) for a shape that is one of the three.
func (r row) distance(s Shape, length float64) float64 {
	switch {
	case s == Square:
		return r.square / 1e3
	case s == Round:
		return r.round / 1e3
	case length > 0 && r.short > 0 && length <= r.short/1e3+roundoff:
		return r.shortSlot / 1e3
	}
	return r.slot / 1e3
}

// rows finds the table and refuses what no table is about.
func rows(s Shape, length float64, who Ages) ([]row, error) {
	table, ok := tables[who]
	if !ok {
		return nil, fmt.Errorf("%s are none that a table of openings is about", who)
	}
	switch s {
	case Slot, Square, Round:
	default:
		return nil, fmt.Errorf("%q is no shape of an opening: slot, square or round", string(s))
	}
	if s != Slot && length != 0 {
		return nil, fmt.Errorf("a %s opening has no length beside its width, found %g", s, length)
	}
	return table, notNegative("length of the slot", length)
}

// GuardDistance is the least distance (m) from a guard with such openings to the nearest dangerous place. The error is a *TooLarge
// when the opening is beyond the table. Source: ISO 13857:2019 tables 4 and 5.
func GuardDistance(o Opening, who Ages) (float64, error) {
	table, err := rows(o.Shape, o.Length, who)
	if err != nil {
		return 0, err
	}
	if err := positive("opening", o.Width); err != nil {
		return 0, err
	}
	if o.Length > 0 && o.Length < o.Width-roundoff {
		return 0, fmt.Errorf("length %g of the slot is below its width %g: the width is the shorter side", o.Length, o.Width)
	}
	for _, r := range table {
		if o.Width <= r.upTo/1e3+roundoff {
			return r.distance(o.Shape, o.Length), nil
		}
	}
	return 0, &TooLarge{Width: o.Width, Limit: table[len(table)-1].upTo / 1e3, Who: who}
}

// WidestOpening is the largest opening (m) of a shape that a guard may have at a distance (m) from the nearest dangerous place. Zero
// says that only a closed guard will do. The length (m) is that of a slot, zero when not known or for another shape. Source: ISO
// 13857:2019 tables 4 and 5.
func WidestOpening(s Shape, length, distance float64, who Ages) (float64, error) {
	table, err := rows(s, length, who)
	if err != nil {
		return 0, err
	}
	if err := notNegative("distance of the guard", distance); err != nil {
		return 0, err
	}
	widest := 0.0
	for _, r := range table {
		if r.distance(s, length) > distance+roundoff {
			break // the distances never fall from row to row
		}
		widest = r.upTo / 1e3
	}
	if length > 0 {
		widest = min(widest, length) // a slot is no wider than it is long
	}
	return widest, nil
}
