package report

import (
	"fmt"
	"iter"
	"maps"
	"slices"

	"trammel.example/checks"
	"trammel.example/cmd/trammel/internal/drawing"
	"trammel.example/schema"
)

// mostStates of a circuit are drawn: beyond that the table of behaviour says more than pictures do.
const mostStates = 8

// Pictures are all drawings of a machine. Their names, and the ids in them, begin with id.
func Pictures(m *schema.Machine, id string) []drawing.Picture {
	courses := checks.Courses(m, viewPoses)
	mechanism := drawing.NewMechanism(m, id, courses, checks.Swept(m))
	holding := checks.HoldingOf(m)
	all := []drawing.Picture{mechanism.Motion()}
	if zones, ok := mechanism.Zones(checks.Closings(m)); ok {
		all = append(all, zones)
	}
	if stands, ok := mechanism.Standing(holding.Standing); ok {
		all = append(all, stands)
	}
	all = append(all, drawing.Charts(id, courses, checks.TimedStrokes(m))...)
	for _, section := range sections(m, id) {
		all = append(all, section)
	}
	for i, s := range checks.PivotSections(m) {
		all = append(all, drawing.Pivot(s, pivotID(id, i)))
	}
	for i, b := range checks.LinksBent(m) {
		all = append(all, drawing.LinkBending(b, bentID(id, i)))
	}
	for i, g := range holding.Groups {
		all = append(all, drawing.ScrewGroup(g, screwsID(id, i)))
	}
	all = append(all, circuits(m, id)...)
	if wiring, ok := drawing.Wiring(m, id+"-wiring"); ok {
		all = append(all, wiring)
	}
	return all
}

func pivotID(id string, i int) string { return fmt.Sprintf("%s-pivot%d", id, i+1) }

func bentID(id string, i int) string { return fmt.Sprintf("%s-bent%d", id, i+1) }

func screwsID(id string, i int) string { return fmt.Sprintf("%s-screws%d", id, i+1) }

// sections are the fastenings that can be drawn, by name. One whose screw is in no table has an open finding that says so.
func sections(m *schema.Machine, id string) iter.Seq2[string, drawing.Picture] {
	return func(yield func(string, drawing.Picture) bool) {
		for i, name := range slices.Sorted(maps.Keys(m.Fastenings)) {
			section, err := drawing.Fastening(m, name, fmt.Sprintf("%s-fastening%d", id, i+1))
			if err == nil && !yield(name, section) {
				return
			}
		}
	}
}

// circuits are the circuit at rest, and in each state that its valves can be given beside that; none without parts.
func circuits(m *schema.Machine, id string) []drawing.Picture {
	rest, ok := drawing.Circuit(m, id+"-circuit", "at rest", nil)
	if !ok {
		return nil
	}
	all := []drawing.Picture{rest}
	for _, s := range checks.CircuitStates(m) {
		if drawing.AtRest(m, s.Positions) {
			continue
		}
		if len(all) > mostStates {
			break
		}
		if c, ok := drawing.Circuit(m, fmt.Sprintf("%s-circuit%d", id, len(all)), s.Says, s.Positions); ok {
			all = append(all, c)
		}
	}
	return all
}
