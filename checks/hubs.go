package checks

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"gonum.org/v1/gonum/spatial/r2"

	"trammel.example/checks/fastening"
	"trammel.example/checks/pins"
	"trammel.example/schema"
	"trammel.example/schema/standards"
)

const (
	// hubReserve is by how much set screws must hold more than comes onto them. Common practice, no source.
	hubReserve = 2
	// crossPinYield in Pa is that of a cross pin of free-cutting steel, from memory; a third of the shaft is as thick as one may be, common
	// practice.
	crossPinYield = 400e6
	crossPinPart  = 1. / 3
	// torqueStep is to what a torque is rounded up, N m.
	torqueStep = 0.1
)

// hubs judges levers that set screws hold on their shaft, under what comes through them in all that the machine does.
func (x *examiner) hubs() {
	for _, point := range x.motion.points {
		pin := x.m.Pivots[point].Pin
		if !pin.SetScrews.Given() {
			continue
		}
		s := newSubject(x.m, "hub", point, pin.SetScrews.At)
		x.add(s)
		keyed(s, pin.SetScrews)
		s.flag("flat", pin.SetScrews.Flat.Value, pin.SetScrews.Flat, pin.SetScrews.Count)
		x.screwedLever(s, point, pin)
	}
}

// keyed holds the torque of set screws against what their key sockets take.
func keyed(s *Subject, w schema.SetScrews) {
	s.set("tightened", schema.TorqueDim, w.Torque.SI, w.Torque, w.Thread)
	thread, err := standards.ThreadByName(w.Thread.Value)
	if err == nil {
		var most float64
		if most, err = fastening.SetScrewTorque(thread.Nominal); err == nil {
			s.set("tightenedAllowed", schema.TorqueDim, most, w.Thread)
			return
		}
	}
	s.open(err.Error(), "tightenedAllowed")
}

func (x *examiner) screwedLever(s *Subject, point string, pin schema.Pin) {
	w := pin.SetScrews
	all := x.moments()
	s.Assumed = append(s.Assumed, all.assumed...)
	why := all.unknown()
	thread, err := standards.ThreadByName(w.Thread.Value)
	if err != nil {
		why = err.Error()
	}
	limit := s.Facts["tightenedAllowed"]
	if limit.Kind == Open {
		why = limit.Why
	}
	if why != "" {
		s.open(why, "torque")
		return
	}
	mo := x.motion
	centre := mo.mechanism.Points[mo.point(point)]
	var most [3]float64 // by near
	var at [3]*moment
	on := x.footholds(pin.TurnsWith, w.Carries)
	for i := range all.list {
		m := &all.list[i]
		if m.airLost() {
			continue
		}
		turns := 0.0
		for k := range on {
			turns += r2.Cross(r2.Sub(mo.mechanism.Points[on[k].point], centre), x.on(m, &on[k]))
		}
		if k := m.near(); at[k] == nil || math.Abs(turns) > most[k]*(1+tieBreak) {
			most[k], at[k] = math.Abs(turns), m
		}
	}
	d := pin.Diameter.SI
	// What breaks the screws holds nothing more.
	tight := min(w.Torque.SI, limit.SI)
	holds, err := fastening.SetScrewHolds(w.Count.SI, tight, thread.Nominal, d)
	if err != nil {
		s.open(err.Error(), "torque")
		return
	}
	turns, when := most[0], at[0]
	unknown := beyond(most[2], max(most[0], most[1]))
	if !unknown && most[1] > turns*(1+tieBreak) {
		turns, when = most[1], at[1]
	}
	s.set("torque", schema.TorqueDim, turns, append([]schema.Input{w.Count, w.Torque, w.Thread, pin.Diameter}, x.carried.from[when.cylinder]...)...)
	s.worst("torque", x.whenIn(when), rodsOut(when.pose)...)
	s.set("holds", schema.TorqueDim, holds, w.Count, w.Torque, w.Thread, pin.Diameter)
	s.set("holdsAllowed", schema.TorqueDim, holds/hubReserve, w.Count, w.Torque, w.Thread, pin.Diameter)
	across := turns / d // in each of the two planes between hub and shaft
	cross := slices.IndexFunc(pinSizes, func(size float64) bool { return pins.ShearStress(across, size) <= shearPart*crossPinYield/pinReserve })
	var ways []string
	if cross >= 0 && pinSizes[cross] <= crossPinPart*d+rounding {
		ways = append(ways, fmt.Sprintf("put a cross pin of %s right through hub and shaft", schema.Format(schema.LengthDim, pinSizes[cross])))
	} else {
		ways = append(ways, fmt.Sprintf("put a key between hub and shaft, or a hub that is slit and clamped, for %s", schema.Format(schema.TorqueDim, turns)))
	}
	if needed := math.Ceil(tight*turns*hubReserve/holds/torqueStep-1e-9) * torqueStep; needed > tight && needed <= limit.SI {
		ways = append(ways, "tighten them with "+schema.Format(schema.TorqueDim, needed))
	}
	if n := math.Ceil(w.Count.SI*turns*hubReserve/holds - 1e-9); n <= 4 && n > w.Count.SI {
		ways = append(ways, fmt.Sprintf("take %g of these screws", n))
	}
	s.text("remedyHub", capital(strings.Join(ways, ", or ")))
	if unknown {
		leaveOpen(s, []*deadStretch{at[2].next}, "torque", "holdsAllowed")
	}
}
