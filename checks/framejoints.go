package checks

import (
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r2"

	"trammel.example/checks/frames"
	"trammel.example/schema"
)

// firmest is up to how many times as firm joints are looked for.
const firmest = 1000

// A memberEnd is one of a member's two ends.
type memberEnd struct{ member, end int }

// soft are the ends of members at which what joins them gives, the softest first.
func (d *stood) soft() (ends []memberEnd) {
	for i, m := range d.frame.Members {
		for end, spring := range m.Spring {
			if spring > 0 {
				ends = append(ends, memberEnd{i, end})
			}
		}
	}
	slices.SortStableFunc(ends, func(a, b memberEnd) int { return compareDown(d.spring(b), d.spring(a)) })
	return ends
}

func (d *stood) spring(e memberEnd) float64 { return d.frame.Members[e.member].Spring[e.end] }

func (d *stood) give(e memberEnd) schema.Give {
	m := d.x.m.Frame.Members[d.members[e.member]]
	return m.Gives[m.Between[e.end].Value]
}

// assumeStiff lists what stands for joints of which nothing is written.
func (d *stood) assumeStiff(s *Subject) {
	x, f := d.x, d.x.m.Frame
	if len(d.soft()) > 0 {
		x.assume(s, f.Path+".members", "joints that give turn in proportion to the moment on them", "common practice; under more than they were tried with they may turn farther")
	}
	var stiff []string
	for node, name := range d.joints {
		if d.bends(node) {
			stiff = append(stiff, name)
		}
	}
	if len(stiff) > 0 {
		x.assume(s, f.Path+".members", "stiff joints at "+inWords(stiff), "common practice for welds and gussets; a light corner turns: write how far in `gives`")
	}
}

// bends reports whether two members that are stiff at a node meet there at an angle.
func (d *stood) bends(node int) bool {
	var line r2.Vec
	for _, m := range d.frame.Members {
		for end, at := range [2]int{m.From, m.To} {
			if at != node || m.Free[end] || m.Spring[end] > 0 {
				continue
			}
			along := r2.Unit(r2.Sub(d.frame.Nodes[m.To].At, d.frame.Nodes[m.From].At))
			if line != (r2.Vec{}) && math.Abs(r2.Cross(line, along)) > onMember {
				return true
			}
			line = along
		}
	}
	return false
}

// firm does something with joints so many times as firm as they are written.
func (d *stood) firm(times float64, do func()) {
	had := d.frame.Members
	defer func() { d.frame.Members = had }()
	d.frame.Members = append([]frames.Member(nil), had...)
	for i := range had {
		for end := range 2 {
			d.frame.Members[i].Spring[end] *= times
		}
	}
	do()
}

// withFirm is what is left with joints so many times as firm.
func (d *stood) withFirm(times float64, does func(*borneBy) (float64, bool)) (left float64, ok bool) {
	d.firm(times, func() {
		if out, why := d.bear(); why == "" {
			left, ok = does(out)
		}
	})
	return left, ok
}

// blamed is what makes a frame do what it does: its sections, before them the joints that give where it would be firm enough without that.
func (d *stood) blamed(out *borneBy, enough func(*borneBy) (float64, bool)) (from []schema.Input) {
	soft := d.soft()
	if len(soft) == 0 {
		return d.sections(out)
	}
	var joints []schema.Input
	for _, e := range soft {
		joints = append(joints, d.give(e).Turns, d.give(e).Under)
	}
	if _, ok := enough(out); !ok {
		if _, ok := d.withFirm(firmest, enough); ok {
			return append(joints, d.sections(out)...)
		}
	}
	return append(d.sections(out), joints...)
}

// firmer finds how many times as firm its joints must be; "" where none gives or that is not enough.
func (d *stood) firmer(out *borneBy, enough func(*borneBy) (float64, bool)) (text string, left float64) {
	soft := d.soft()
	if len(soft) == 0 {
		return "", 0
	}
	d.only = out.governing()
	low, high := 1.0, float64(firmest)
	if _, ok := d.withFirm(high, enough); !ok {
		d.only = nil
		return "", 0
	}
	for high > low*1.01 {
		if middle := math.Sqrt(low * high); func() bool { _, ok := d.withFirm(middle, enough); return ok }() {
			high = middle
		} else {
			low = middle
		}
	}
	// In all moments it may take a little more.
	d.only = nil
	for times := math.Ceil(high*10) / 10; times <= firmest; times = math.Ceil(times*10.2) / 10 {
		if left, ok := d.withFirm(times, enough); ok {
			g := d.give(soft[0])
			return fmt.Sprintf("take corners that are %s times as stiff where its joints give (`%s` at `%s`: 1° under %s), or gussets", schema.Format(schema.NumberDim, times), d.members[soft[0].member],
				d.x.m.Frame.Members[d.members[soft[0].member]].Between[soft[0].end].Value, schema.Format(schema.TorqueDim, times*g.Stiffness()*math.Pi/180)), left
		}
	}
	return "", 0
}
