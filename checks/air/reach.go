// Package air computes what the air does between the compressor and the cylinders.
//
// Pressures are gauge, Pa.
package air

import (
	"math"
	"slices"
	"sort"
)

// # How high the pressure can be
//
// A zone is what is joined without a regulator in between: any valve in it may be open, so one pressure can fill it all.
//
//	p(first zone)  = what the compressor's relief valve limits it to
//	p(zone behind) = min(set of the regulator, p of the zone before)     while the regulator works
//	p'(zone behind) = p' of the zone before                              when the regulator fails
//	both are also limited by the relief valves in the zone itself
//
// It is the reading of ISO 4414 (5.2.1: every part within its limits; protection wherever the pressure can exceed them) for a single
// fault: one regulator that no longer closes. Range: any number of parts; loops are allowed.

// A Role is what a part does to the pressure.
type Role int

const (
	Passes    Role = iota // valves, filters, flow controls, manifolds, cylinders
	Regulates             // limits its outlet to Limit; air enters by port 1
	Relieves              // limits the zone it is joined to
	Isolates              // passes; can be shut
)

// A Part is a node of the way. Limit (Pa) is the setting of one that regulates or relieves.
type Part struct {
	Role  Role
	Limit float64
	// Through lists, by the port at which air enters, those by which it leaves; nil lets it go from each to all.
	Through map[string][]string
}

// passes reports whether air that came in by a port leaves by another. What a walk starts at lets it out everywhere.
func (p Part) passes(in, out string) bool {
	return p.Through == nil || in == "" || slices.Contains(p.Through[in], out)
}

// A Port is one of a part's openings, by the part's name and its own.
type Port struct{ Part, Name string }

// A Run joins two ports.
type Run struct{ A, B Port }

// A Reach is the pressure that can stand at a part or in a run.
type Reach struct {
	Pressure float64 // while all works, Pa; +Inf where nothing limits it
	Failed   float64 // with the regulators before it failed, Pa
	// Regulated reports whether a regulator lies on every way from the source.
	Regulated bool
	// Regulators and Reliefs are the parts that the pressures come from, sorted.
	Regulators, Reliefs []string
}

// A Way is where the air of one source gets to.
type Way struct {
	Parts map[string]Reach
	Runs  map[string]Reach
	// ShutOff are the relief valves of the source's own zone that an isolating valve can cut off from the source.
	ShutOff []string
	// Backward are regulators that air enters by another port than 1, and parts that it enters only where it can't go on.
	Backward []string
	// PartsBeyond and RunsBeyond are those that air gets to only through one of these regulators, with its name: what stands there nobody knows.
	PartsBeyond, RunsBeyond map[string]string
}

// Follow finds the pressures from a source. Limit is what protects the source itself (Pa), +Inf for nothing.
func Follow(parts map[string]Part, runs map[string]Run, source string, limit float64) Way {
	w := &walk{parts: parts, runs: runs, way: Way{Parts: map[string]Reach{}, Runs: map[string]Reach{}, PartsBeyond: map[string]string{}, RunsBeyond: map[string]string{}}, at: map[string][]string{}, stopped: map[string]bool{}, gone: map[string]bool{}}
	for _, name := range sortedKeys(runs) {
		for _, p := range []Port{runs[name].A, runs[name].B} {
			w.at[p.Part] = append(w.at[p.Part], name)
		}
	}
	w.zone(source, "", Reach{Pressure: limit, Failed: limit}, map[string]bool{})
	for _, name := range sortedKeys(w.stopped) {
		w.way.Backward = with(w.way.Backward, name)
	}
	sort.Strings(w.way.ShutOff)
	sort.Strings(w.way.Backward)
	for _, regulator := range w.way.Backward {
		w.beyond(regulator)
	}
	return w.way
}

// beyond notes what is joined to a regulator and was not reached.
func (w *walk) beyond(regulator string) {
	queue := []string{regulator}
	for len(queue) > 0 {
		name := queue[0]
		queue = queue[1:]
		for _, run := range w.at[name] {
			if _, reached := w.way.Runs[run]; reached || w.way.RunsBeyond[run] != "" {
				continue
			}
			w.way.RunsBeyond[run] = regulator
			next := w.other(run, name).Part
			if _, reached := w.way.Parts[next]; !reached && w.way.PartsBeyond[next] == "" {
				w.way.PartsBeyond[next] = regulator
				queue = append(queue, next)
			}
		}
	}
}

type walk struct {
	parts map[string]Part
	runs  map[string]Run
	at    map[string][]string // the runs at each part
	// stopped are parts that air came to by a port from which it can't go on, gone as one that it came to by another.
	stopped, gone map[string]bool
	way           Way
}

// zone fills everything joined to a part without a regulator, then goes on behind the regulators. from is the run that led here, which
// is not walked back; passed holds the regulators on the way, so that a loop ends.
func (w *walk) zone(start, from string, r Reach, passed map[string]bool) {
	inside := map[string]bool{start: true}
	shut := map[string]bool{} // reached only through an isolating valve
	runs := map[string]bool{}
	type entry struct{ regulator, port string }
	var behind []entry
	entered := map[Port]bool{}
	queue := []Port{{Part: start}}
	for len(queue) > 0 {
		name, in := queue[0].Part, queue[0].Name
		queue = queue[1:]
		w.comes(name, in)
		if part := w.parts[name]; part.Role == Relieves {
			r.Pressure, r.Failed = math.Min(r.Pressure, part.Limit), math.Min(r.Failed, part.Limit)
			r.Reliefs = with(r.Reliefs, name)
		}
		for _, run := range w.at[name] {
			// A regulator is entered and left by its ports: from the zone behind it, only its outlet's runs are walked.
			if run == from || runs[run] || w.parts[name].Role == Regulates && w.portAt(run, name) == "1" || !w.parts[name].passes(in, w.portAt(run, name)) {
				continue
			}
			runs[run] = true
			next := w.other(run, name)
			if w.parts[next.Part].Role == Regulates {
				if !passed[next.Part] {
					behind = append(behind, entry{next.Part, next.Name})
				}
				continue
			}
			if inside[next.Part] && (w.parts[next.Part].Through == nil || entered[next]) {
				continue
			}
			if !inside[next.Part] {
				shut[next.Part] = shut[name] || w.parts[name].Role == Isolates
			}
			inside[next.Part], entered[next] = true, true
			queue = append(queue, next)
		}
	}
	for name := range inside {
		if !(name == start && w.parts[name].Role == Regulates) {
			w.note(w.way.Parts, name, r)
		}
		if w.parts[name].Role == Relieves && shut[name] && len(passed) == 0 {
			w.way.ShutOff = with(w.way.ShutOff, name)
		}
	}
	for run := range runs {
		w.note(w.way.Runs, run, r)
	}
	for _, e := range behind {
		w.note(w.way.Parts, e.regulator, r) // the regulator's body carries the pressure before it
		if e.port != "1" {
			w.way.Backward = with(w.way.Backward, e.regulator)
			continue
		}
		next := r
		next.Pressure = math.Min(r.Pressure, w.parts[e.regulator].Limit)
		next.Regulated = true
		next.Regulators = with(r.Regulators, e.regulator)
		deeper := map[string]bool{e.regulator: true}
		for k := range passed {
			deeper[k] = true
		}
		w.zone(e.regulator, "", next, deeper)
	}
}

// comes notes whether air that comes to a part by a port can go on from there; a pilot port is no way.
func (w *walk) comes(name, in string) {
	through := w.parts[name].Through
	switch {
	case through == nil || in == "" || in == "12":
	case len(through[in]) > 0:
		w.gone[name] = true
		delete(w.stopped, name)
	case !w.gone[name]:
		w.stopped[name] = true
	}
}

// note keeps the higher of two pressures that can reach the same place.
func (w *walk) note(m map[string]Reach, name string, r Reach) {
	old, ok := m[name]
	if !ok {
		m[name] = r
		return
	}
	if r.Pressure > old.Pressure {
		old.Pressure, old.Regulators = r.Pressure, r.Regulators
	}
	if r.Failed > old.Failed {
		old.Failed, old.Reliefs = r.Failed, r.Reliefs
	}
	old.Regulated = old.Regulated && r.Regulated
	m[name] = old
}

func (w *walk) other(run, part string) Port {
	if r := w.runs[run]; r.A.Part == part {
		return r.B
	}
	return w.runs[run].A
}

func (w *walk) portAt(run, part string) string {
	if r := w.runs[run]; r.A.Part == part {
		return r.A.Name
	}
	return w.runs[run].B.Name
}

// with returns names and one more, sorted, without changing the slice given.
func with(names []string, name string) []string {
	for _, n := range names {
		if n == name {
			return names
		}
	}
	more := append(append([]string{}, names...), name)
	sort.Strings(more)
	return more
}

func sortedKeys[V any](m map[string]V) []string {
	keys := make([]string, 0, len(m))
	for k := range m {
		keys = append(keys, k)
	}
	sort.Strings(keys)
	return keys
}
