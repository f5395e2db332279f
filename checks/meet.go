package checks

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"trammel.example/checks/circuit"
	"trammel.example/checks/space"
	"trammel.example/schema"
)

// meet reports whether two parts hit each other only because of where another cylinder stands than the one that moves: with it elsewhere,
// at an end of its own way, they have the room that they need. It says which must not be together, and in which positions of the valves
// they come to be.
func (w *scenery) meet(s *Subject, m meeting, needed float64) bool {
	mo := w.x.motion
	r := &mo.runs[m.run]
	if r.At == nil {
		return false
	}
	var both []figure
	for _, f := range w.figures {
		if slices.Contains(m.parts[:], f.part) {
			both = append(both, f)
		}
	}
	for k := range mo.runs {
		o := &mo.runs[k]
		other := w.apartIn(r, o)
		if other < 0 || len(o.Poses) < 2 {
			continue
		}
		found, err := w.search(both, space.Search{Within: ofInterest}, k)
		if err != nil || slices.ContainsFunc(found, func(f meeting) bool { return f.distance < needed }) {
			continue
		}
		room := "more than " + schema.Format(schema.LengthDim, ofInterest)
		for _, f := range found {
			room = schema.Format(schema.LengthDim, f.distance)
		}
		lead := mo.cylinders[r.Lead]
		s.flag("meet", true, w.figures[m.figures[0]].blame, w.figures[m.figures[1]].blame)
		s.text("moving", lead)
		s.text("other", mo.cylinders[other])
		s.text("meetsWhere", mo.rodOut(m.run, m.stroke))
		s.text("free", fmt.Sprintf("with the rod of %s out by %s they keep %s", mo.cylinders[other], schema.Format(schema.LengthDim, o.At[other]), room))
		s.text("forbidden", w.x.bringTogether(lead, m.stroke, mo.cylinders[other], r.At[other]))
		return true
	}
	return false
}

// apartIn is the one cylinder whose place of rest tells two runs apart; -1 where they differ by more.
func (w *scenery) apartIn(a, b *run) int {
	if a.Lead != b.Lead || !slices.Equal(a.others(), b.others()) || b.At == nil {
		return -1
	}
	differs := -1
	for i := range a.At {
		if i == a.Lead || slices.Contains(a.others(), i) || math.Abs(a.At[i]-b.At[i]) < 1e-6 {
			continue
		}
		if differs >= 0 {
			return -1
		}
		differs = i
	}
	return differs
}

// bringTogether says in which positions of the valves one rod stays where it is while the other comes to the end of its way that is nearer.
func (x *examiner) bringTogether(lead string, stroke float64, other string, rests float64) string {
	const unknown = "the circuit does not tell which valves bring it about"
	if !x.m.Air.Given() || x.m.Cylinders[lead].Stroke.SI == 0 || x.m.Cylinders[other].Stroke.SI == 0 {
		return unknown
	}
	c, err := circuit.New(x.network(0))
	if err != nil {
		return unknown
	}
	pairs, err := c.Together(lead, other)
	if err != nil {
		return unknown
	}
	at := rests / x.m.Cylinders[other].Stroke.SI
	const near = 0.02 // of the stroke
	var states []string
	for _, p := range pairs {
		comes := p.A.To > 1-near
		if stroke < x.m.Cylinders[lead].Stroke.SI/2 {
			comes = p.A.From < near
		}
		if !comes || p.B.From > at+near || p.B.To < at-near {
			continue
		}
		if text := from(circuit.Row{From: p.From}); text != "" && !slices.Contains(states, text) {
			states = append(states, text)
		}
	}
	if len(states) == 0 {
		return "no position of the valves leaves both there, and on the way both may pass"
	}
	return "the circuit allows it " + strings.Join(states, ", or ")
}
