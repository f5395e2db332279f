package checks

import (
	"fmt"
	"math"

	"trammel.example/schema"
)

// cornerReserve is by how much the rating of a connector must be above the moment that it bears where it is shaken. Common practice, no source.
const cornerReserve = 2

// mostCorners is how many connectors there is room for at a joint.
const mostCorners = 4

// cornered keeps the largest moment at the ends of a member in one more case.
func (d *stood) cornered(k int, m *moment, most *corneredIn) {
	if !d.x.m.Frame.Members[d.members[k]].Corner.Given() {
		return
	}
	ends := d.frame.Members[k]
	for _, end := range []struct{ joint, at int }{{ends.From, 2}, {ends.To, 5}} {
		if bends := math.Abs(d.result.Ends[k][end.at]); most.in == nil || bends > most.moment*(1+tieBreak) {
			*most = corneredIn{bends, end.joint, m}
		}
	}
}

// corner holds what the ends of a member bear against the rating of what joins them.
func (d *stood) corner(s *Subject, i int, out *borneBy) {
	rating, most := d.x.m.Frame.Members[d.members[i]].Corner, out.corner[i]
	if !rating.Given() || most.in == nil {
		return
	}
	s.set("corner", schema.TorqueDim, most.moment, append([]schema.Input{rating}, d.x.carried.from[most.in.cylinder]...)...)
	s.worst("corner", d.x.whenIn(most.in), rodsOut(most.in.pose)...)
	s.set("cornerAllowed", schema.TorqueDim, rating.SI/cornerReserve, rating)
	s.text("cornerAt", d.joints[most.joint])
	if most.moment <= rating.SI/cornerReserve {
		return
	}
	text := fmt.Sprintf("a gusset or a bracket for %s or more", schema.Format(schema.TorqueDim, math.Ceil(most.moment*cornerReserve)))
	if n := math.Ceil(most.moment*cornerReserve/rating.SI - 1e-9); n <= mostCorners {
		text = fmt.Sprintf("%.0f such connectors there in place of one, or %s", n, text)
	}
	s.text("remedyCorner", "Take "+text)
}
