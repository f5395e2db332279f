package checks

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"

	"gonum.org/v1/gonum/spatial/r2"

	"trammel.example/checks/frames"
	"trammel.example/schema"
)

const (
	// largestSection is up to how many times its size another section is looked for, and sectionTries how often the step is halved.
	largestSection, sectionTries = 3, 12
	// mostBraces is how many braces are tried.
	mostBraces = 60
)

// A brace is a member that is tried: between two joints, turning at both, of the section of another one.
type brace struct{ from, to, like int }

// moves says that it is no frame, and with what it is one.
func (d *stood) moves(s *Subject, err error) {
	f := d.x.m.Frame
	var moves *frames.Moves
	if !errors.As(err, &moves) {
		s.open("the frame can't be computed: "+err.Error(), "moves")
		return
	}
	way := wayInWords(moves.Way)
	if moves.Turns {
		way = "round"
	}
	from := []schema.Input{}
	for _, name := range d.members {
		for _, t := range f.Members[name].Turns {
			from = append(from, t)
		}
	}
	for _, p := range f.Supports {
		from = append(from, p.Held)
	}
	s.flag("moves", true, from...)
	s.text("movesAt", d.joints[moves.Node])
	s.text("movesWay", way)
	var ways []string
	stands := func() bool { _, err := d.stiff(); return err == nil }
	for i := range d.frame.Members {
		for end := range 2 {
			if m := &d.frame.Members[i]; m.Free[end] && len(ways) == 0 {
				m.Free[end] = false
				if stands() {
					ways = append(ways, fmt.Sprintf("make `%s` stiff at `%s` (a gusset, or two screws apart)", d.members[i], d.joints[[]int{m.From, m.To}[end]]))
				}
				m.Free[end] = true
			}
		}
	}
	if len(ways) == 0 {
		for i := range d.frame.Nodes {
			n := &d.frame.Nodes[i]
			was := n.Held
			if was == [3]bool{} || was == [3]bool{true, true, true} || len(ways) > 0 {
				continue
			}
			for _, held := range []string{"pinned", "fixed"} {
				n.Held = [3]bool{true, true, held == "fixed"}
				if n.Held != was && stands() {
					ways = append(ways, fmt.Sprintf("hold it %s at `%s` (`held: %q`)", map[string]string{"pinned": "against sliding", "fixed": "against turning"}[held], d.joints[i], held))
					break
				}
			}
			n.Held = was
		}
	}
	d.eachBrace(0, func(b brace) bool {
		if stands() {
			ways = append(ways, fmt.Sprintf("put a brace from `%s` to `%s`, clear of what moves", d.joints[b.from], d.joints[b.to]))
			return true
		}
		return false
	})
	if len(ways) == 0 {
		ways = append(ways, "it takes more than one stiff joint or brace: let its members be stiff where they meet")
	}
	s.text("remedyMoves", capital(strings.Join(ways, ", or ")))
}

// wayInWords says which way a joint goes.
func wayInWords(way r2.Vec) string {
	switch {
	case math.Abs(way.Y) < 0.1:
		return "sideways"
	case math.Abs(way.X) < 0.1:
		return "up and down"
	}
	return "aslant"
}

// eachBrace tries braces of the section of one member between joints that no member joins, until one does.
func (d *stood) eachBrace(like int, does func(brace) bool) {
	tried := 0
	had := d.braces
	defer func() { d.braces = had }()
	for from := range d.joints {
	next:
		for to := range from {
			a, b := d.frame.Nodes[from], d.frame.Nodes[to]
			if a.Held != [3]bool{} && b.Held != [3]bool{} {
				continue
			}
			for _, m := range d.frame.Members {
				if m.From == from && m.To == to || m.From == to && m.To == from {
					continue next
				}
			}
			// Not past another joint.
			for k, n := range d.frame.Nodes {
				if k != from && k != to && d.besideLine(n.At, a.At, b.At) < onMember {
					continue next
				}
			}
			if tried++; tried > mostBraces {
				return
			}
			one := brace{to, from, like}
			d.braces = append(had[:len(had):len(had)], one)
			if does(one) {
				return
			}
		}
	}
}

// larger finds the least size of some members' sections with which the frame does what it must; 0 where none does.
func (d *stood) larger(members []int, out *borneBy, does func(*borneBy) (float64, bool)) (size, left float64) {
	all := func(k float64) {
		for _, i := range members {
			d.make(i, k)
		}
	}
	defer all(1)
	try := func(k float64) (float64, bool) {
		all(k)
		out, why := d.bear()
		if why != "" {
			return 0, false
		}
		return does(out)
	}
	d.only = out.governing()
	if _, ok := try(largestSection); !ok {
		d.only = nil
		return 0, 0
	}
	low, high := 1.0, float64(largestSection)
	for range sectionTries {
		if middle := (low + high) / 2; func() bool { _, ok := try(middle); return ok }() {
			high = middle
		} else {
			low = middle
		}
	}
	// In all moments it may take a little more.
	d.only = nil
	for size = math.Ceil(high*100) / 100; size <= largestSection; size += 0.02 {
		if left, ok := try(size); ok {
			return size, left
		}
	}
	return 0, 0
}

// governing are the moments in which something of a frame is worst.
func (out *borneBy) governing() (only []*moment) {
	add := func(m *moment) {
		if m != nil && !slices.Contains(only, m) {
			only = append(only, m)
		}
	}
	for i := range out.stress {
		add(out.stress[i].in)
		add(out.push[i].in)
	}
	for i := range out.swings {
		_, _, _, low, high := out.swings[i].worst()
		add(low)
		add(high)
	}
	add(out.gives.in)
	add(out.sway.in)
	return only
}

// braced finds the brace, of the section of one member, with which the least is left in the moments that govern without it; "" where it is not
// enough in all.
func (d *stood) braced(like int, out *borneBy, does func(*borneBy) (float64, bool)) (text string, left float64) {
	best, least, found := brace{}, math.Inf(1), false
	d.only = out.governing()
	d.eachBrace(like, func(b brace) bool {
		if out, why := d.bear(); why == "" {
			if by, ok := does(out); ok && by < least*(1-tieBreak) {
				best, least, found = b, by, true
			}
		}
		return false
	})
	d.only = nil
	if !found {
		return "", 0
	}
	d.braces = append(d.braces, best)
	defer func() { d.braces = d.braces[:len(d.braces)-1] }()
	out, why := d.bear()
	if why != "" {
		return "", 0
	}
	left, ok := does(out)
	if !ok {
		return "", 0
	}
	return fmt.Sprintf("put a brace of the section of `%s` from `%s` to `%s`, clear of what moves", d.members[like], d.joints[best.from], d.joints[best.to]), left
}

// made says how large a section is.
func (d *stood) made(i int, size float64) string {
	sec := d.x.m.Frame.Members[d.members[i]].Section
	return fmt.Sprintf("%s times as large all round (%s, %s, %s deep)", schema.Format(schema.NumberDim, size), schema.Format(schema.MomentDim, sec.Moment.SI*math.Pow(size, 4)),
		schema.Format(schema.AreaDim, sec.Area.SI*size*size), schema.Format(schema.LengthDim, sec.Depth.SI*size))
}

// stiffer is with what the whole frame gives way as little as it should.
func (d *stood) stiffer(does string, out *borneBy, enough func(*borneBy) (float64, bool)) string {
	if d.x.briefly {
		return ""
	}
	all := make([]int, len(d.members))
	for i := range all {
		all[i] = i
	}
	var ways []string
	if way, left := d.firmer(out, enough); way != "" {
		ways = append(ways, fmt.Sprintf("%s: computed again, it then %s by %s", way, does, schema.Format(schema.LengthDim, left)))
	}
	if size, left := d.larger(all, out, enough); size > 0 {
		ways = append(ways, fmt.Sprintf("make all its sections %s times as large all round: computed again, it then %s by %s", schema.Format(schema.NumberDim, size), does, schema.Format(schema.LengthDim, left)))
	}
	if brace, left := d.braced(0, out, enough); brace != "" {
		ways = append(ways, fmt.Sprintf("%s: that leaves %s", brace, schema.Format(schema.LengthDim, left)))
	}
	if len(ways) == 0 {
		ways = append(ways, fmt.Sprintf("stand it on more feet, nearer to where the machine pushes: neither a single brace nor sections %d times as large are enough", largestSection))
	}
	return capital(strings.Join(ways, ", or "))
}
