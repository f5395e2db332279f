package checks

import (
	"fmt"
	"math"
	"strings"

	"trammel.example/schema"
	"trammel.example/schema/standards"
)

// shortArms are the short arms of hexagon keys by their width across flats, mm: ISO 2936, from memory.
var shortArms = []struct{ key, arm float64 }{{2, 16}, {2.5, 18}, {3, 20}, {4, 25}, {5, 28}, {6, 32}, {8, 36}, {10, 40}, {12, 45}, {14, 56}}

// shortArm is that of the smallest key of at least this width, both in m.
func shortArm(key float64) float64 {
	for _, s := range shortArms {
		if key <= s.key*1e-3+rounding {
			return s.arm * 1e-3
		}
	}
	return shortArms[len(shortArms)-1].arm * 1e-3
}

// A wanted is the room that a head, its washers and the tool want, m: across all of it, and along the screw from the face that it sits on.
type wanted struct {
	wide, tool, above float64
	widest            string
}

// wantedBy is what a style of head wants in a fastening.
func wantedBy(j *joining, style string) (w wanted, ok bool) {
	head, err := standards.HeadFor(style, j.thread.Name)
	if err != nil {
		return w, false
	}
	w.wide, w.widest = head.Across, "head"
	for _, l := range j.f.Stack {
		if l.Part.Given() {
			break
		}
		if outside := outsideOf(l.Washer); outside > w.wide {
			w.wide, w.widest = outside, "washer"
		}
	}
	rises := head.Height
	if head.LengthWithHead {
		rises = 0
	}
	w.tool, w.above = w.wide, j.f.Screw.Length.SI+rises // as it is put in
	if style == "hex" {
		w.tool = max(w.wide, 1.4*head.Key+1e-3)
		return w, true
	}
	// The key's arm stands out of its socket, which is about half a diameter deep.
	w.above = max(w.above, rises+shortArm(head.Key)-j.thread.Nominal/2)
	return w, true
}

// spare is what of its room is left: the least of what is given, below nothing where it is too little, and which that is.
func (w wanted) spare(r schema.HeadRoom) (least float64, tight string, from schema.Input) {
	least = math.Inf(1)
	mm := func(si float64) string { return schema.Format(schema.LengthDim, si) }
	if r.Recess.Given() {
		least, from = r.Recess.SI-w.tool, r.Recess
		tight = fmt.Sprintf("The recess is %s wide, and the %s is %s", mm(r.Recess.SI), w.widest, mm(w.wide))
		if w.tool > w.wide {
			tight = fmt.Sprintf("The recess is %s wide, and the wrench for the head is %s", mm(r.Recess.SI), mm(w.tool))
		}
	}
	if left := r.Beside.SI - w.tool/2; r.Beside.Given() && left < least {
		least, from = left, r.Beside
		what := w.widest
		if w.tool > w.wide {
			what = "wrench for its head"
		}
		tight = fmt.Sprintf("Something stands %s beside the screw's axis, and its %s reaches out by %s", mm(r.Beside.SI), what, mm(w.tool/2))
	}
	if left := r.Above.SI - w.above; r.Above.Given() && left < least {
		least, from = left, r.Above
		tight = fmt.Sprintf("%s are free above the face, and to put the screw in and turn it takes %s", mm(r.Above.SI), mm(w.above))
	}
	return least, tight, from
}

// headRoom holds what is round a head against what it and its tool want.
func headRoom(s *Subject, j *joining) {
	r := j.f.Room
	if !r.Given() {
		return
	}
	style := j.f.Screw.Head.Value
	w, ok := wantedBy(j, style)
	if !ok {
		s.open("the sizes of its head are not in the tables", "headSpare")
		return
	}
	least, tight, from := w.spare(r)
	s.set("headSpare", schema.LengthDim, least, from, j.f.Screw.Head, j.f.Screw.Thread, j.f.Screw.Length)
	s.text("headTight", tight)
	if least >= 0 {
		return
	}
	var ways []string
	for _, other := range []string{"socket", "button", "hex"} {
		if o, ok := wantedBy(j, other); ok && other != style {
			if left, _, _ := o.spare(r); left >= 0 {
				ways = append(ways, fmt.Sprintf("take a screw with a %s head", other))
				break
			}
		}
	}
	var room []string
	for _, f := range []struct {
		have   schema.Length
		needed float64
		how    string
	}{{r.Recess, w.tool, "sink the recess %s wide"}, {r.Beside, w.tool / 2, "leave %s beside its axis"}, {r.Above, w.above, "leave %s free above the face"}} {
		if f.have.Given() && f.have.SI < f.needed {
			room = append(room, fmt.Sprintf(f.how, schema.Format(schema.LengthDim, math.Ceil(f.needed*1e4-1e-6)*1e-4)))
		}
	}
	ways = append(ways, strings.Join(room, " and "))
	s.text("remedyHead", capital(strings.Join(ways, ", or ")))
}
