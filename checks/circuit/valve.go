package circuit

import "strconv"

func numbered(n int) []string {
	names := make([]string, n)
	for i := range names {
		names[i] = strconv.Itoa(i + 1)
	}
	return names
}

// A joint is a passage between two ports of a component, from the first to the second.
type joint struct {
	from, to        string
	limit           float64 // Pa, 0 for none
	throttled, soft bool
}

func both(from, to string) []joint { return []joint{{from: from, to: to}, {from: to, to: from}} }

func all(lists ...[]joint) []joint {
	var j []joint
	for _, l := range lists {
		j = append(j, l...)
	}
	return j
}

// A position of a component: how it is called, and what it joins.
type position struct {
	name   string
	joints []joint
}

// positionsOf a component; the first is that of rest, where it has one.
func (c Component) positionsOf() []position {
	switch c.Kind {
	case Isolator:
		shut := position{name: "shut"}
		if c.Exhausts {
			shut.joints = both("2", "3")
		}
		return []position{{"open", both("1", "2")}, shut}
	case Regulator:
		joints := []joint{{from: "1", to: "2", limit: c.Pressure}}
		if !c.NoReturn {
			joints = append(joints, joint{from: "2", to: "1"})
		}
		return []position{{"", joints}}
	case SoftStart:
		return []position{{"", []joint{{from: "1", to: "2", soft: true}, {from: "2", to: "1"}}}}
	case Check:
		return []position{{"", []joint{{from: "1", to: "2"}}}}
	case PilotCheck:
		return []position{{"shut", []joint{{from: "1", to: "2"}}}, {"12", both("1", "2")}}
	case QuickExhaust:
		// Without pressure at 1 there is nothing to pass on, so 1 counts as shut: otherwise the supply would seem to leak through at rest.
		return []position{{"emptying", []joint{{from: "2", to: "3"}}}, {"filling", []joint{{from: "1", to: "2"}}}}
	case Shuttle:
		return []position{{"emptying", []joint{{from: "2", to: "1"}, {from: "2", to: "3"}}}, {"from 1", both("1", "2")}, {"from 3", both("3", "2")}}
	case FlowControl:
		return []position{{"", []joint{
			{from: "1", to: "2", throttled: c.Throttles != From2To1},
			{from: "2", to: "1", throttled: c.Throttles != From1To2},
		}}}
	case ValveKind:
		return c.Valve.positions()
	}
	return nil
}

func (v Valve) positions() []position {
	var rest, moved position
	switch v.Ways {
	case TwoTwo:
		rest, moved = position{"10", nil}, position{"12", both("1", "2")}
	case ThreeTwo:
		rest, moved = position{"10", both("2", "3")}, position{"12", both("1", "2")}
	default:
		rest, moved = position{"12", all(both("1", "2"), both("4", "5"))}, position{"14", all(both("1", "4"), both("2", "3"))}
	}
	if v.Ways == FiveThree {
		centre := position{name: "centre"}
		switch v.Centre {
		case ExhaustCentre:
			centre.joints = all(both("4", "5"), both("2", "3"))
		case PressureCentre:
			centre.joints = all(both("1", "4"), both("1", "2"))
		}
		return []position{centre, moved, rest}
	}
	if v.opens() {
		return []position{moved, rest}
	}
	return []position{rest, moved}
}

// opens tells whether the first position is the open one.
func (v Valve) opens() bool { return v.Open && v.Ways <= ThreeTwo && v.Return != Remembers }

// pilots are the pilot ports: first the one that brings about the second position, then, if there is one, the one for the other.
func (v Valve) pilots() []string {
	there, back := "14", "12"
	if v.Ways <= ThreeTwo {
		there, back = "12", "10"
		if v.opens() {
			there, back = "10", "12"
		}
	}
	switch {
	case v.Moved == ByAir && (v.Return == Remembers || v.Ways == FiveThree):
		return []string{there, back}
	case v.Moved == ByAir:
		return []string{there}
	case v.Moved == ByCoil && v.Pilot == ExternalPilot && v.Ways <= ThreeTwo:
		return []string{"12"}
	case v.Moved == ByCoil && v.Pilot == ExternalPilot:
		return []string{"14"}
	}
	return nil
}

// choicesOf tells how many positions of a component operation or memory can choose; 1 when its pressures alone decide, or nothing does.
func (c Component) choicesOf() int {
	if c.Kind != ValveKind || c.Valve.Service || c.Valve.Moved == ByAir && (c.Valve.Return != Remembers || c.Valve.Ways == FiveThree) {
		return 1
	}
	return len(c.Valve.positions())
}
