package sheets

import (
	"fmt"
	"strings"

	"trammel.example/cmd/trammel/internal/ramp"
	"trammel.example/cmd/trammel/internal/report"
	"trammel.example/schema"
)

// beforeAir is what is done before pressure is put on for the first time.
func beforeAir(plan *ramp.Plan) *Table {
	t := &Table{Name: "before-air", Title: "Before the first air", Says: report.RampCaution, Columns: []string{"step", "do"}}
	if plan == nil {
		return t
	}
	words := report.WordsOf(plan)
	for i, do := range append(words.Before, "If a rod goes the wrong way, are two tubes swapped? "+words.Tubes) {
		t.row(fmt.Sprint(i+1), do)
	}
	return t
}

// firstAir is how pressure is put on for the first time, with what to expect of each step: the spec's own steps where it has some. At which
// pressure each rule breaks is left to the command that looks for it, since that takes longer than all sheets.
func firstAir(plan *ramp.Plan) *Table {
	t := &Table{Name: "first-air", Title: "First air, step by step", Columns: []string{"step", "regulator at", "expect", "then"}}
	if plan == nil {
		return t
	}
	t.Fill = "gauge at rest, moving, after"
	m, words := plan.Judgement.Machine, report.WordsOf(plan)
	t.Says = "Everybody away, eyes and ears covered, one hand at the shut-off."
	if words.Stand != "" {
		t.Says += " " + words.Stand
	}
	if m.FirstAir.Base.Given() {
		t.Says += " The base is held by " + m.FirstAir.Base.Value + "."
	}
	set := schema.Format(schema.PressureDim, plan.Set)
	t.Says += fmt.Sprintf(" It is judged at %s of %s; `trammel ramp` says at which pressure each rule breaks, and what stands in the way of more.", set, plan.Regulator)
	for i, s := range words.Steps {
		then := s.Look
		if !plan.Steps[i].Verdict {
			then = "The machine is NO-GO at this pressure, and `trammel ramp` says why. " + then
		}
		if plan.Steps[i].Stop {
			then += " Go no higher."
		}
		t.row(fmt.Sprint(i+1), s.Pressure, strings.Join(s.Expect, " "), then)
	}
	if plan.Why != "" && len(words.Steps) == 0 {
		t.row("", "", "", "No steps can be planned: "+plan.Why+".")
	}
	return t
}
