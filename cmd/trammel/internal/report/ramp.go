package report

import (
	_ "embed"
	"encoding/json"
	"fmt"
	"io"
	"maps"
	"math"
	"slices"
	"strings"

	"trammel.example/checks"
	"trammel.example/cmd/trammel/internal/ramp"
	"trammel.example/rules"
	"trammel.example/schema"
)

// RampCaution ends every plan.
const RampCaution = "This plan speaks only of what is written in the spec: it knows nothing of what was left out, built otherwise or worn, and its figures are " +
	"computed, not measured. Compressed air stores energy: parts crush, strike and fly. Wear eye protection, keep everybody away while there is pressure, and " +
	"never reach in before the gauge stands at 0 and the load is propped. Local codes and licensed practice come first."

// RampText writes the plans for a person.
func RampText(w io.Writer, plans []*ramp.Plan, o TextOptions) error {
	p := &printer{TextOptions: o}
	for _, plan := range plans {
		p.plan(plan)
	}
	p.block(0, RampCaution)
	_, err := io.WriteString(w, p.b.String())
	return err
}

// heading begins a part of a plan. Of a machine that is NO-GO each part says so, since it may be printed on a page of its own.
func (p *printer) heading(plan *ramp.Plan, label, text string) {
	if !plan.Judgement.Go() {
		text += " (NO-GO: nobody should put air on this machine before its errors are mended)"
	}
	p.entry(label, bold, text, bold)
}

func (p *printer) plan(plan *ramp.Plan) {
	m := plan.Judgement.Machine
	colour := green
	if !plan.Judgement.Go() {
		colour = red
	}
	p.entry(verdict(plan.Judgement), colour, "First air for "+m.Name+": "+m.Title.Value, bold)
	p.entry("", unstyled, settingOf(plan), unstyled)
	p.place(m.At)
	p.blank()
	p.heading(plan, "RANGE", "What pressure the machine works with")
	for _, r := range rangeOf(plan) {
		p.row(r.Name, r.Says)
	}
	p.blank()
	p.ladder(plan)
	p.before(plan)
	p.steps(plan)
}

func settingOf(plan *ramp.Plan) string {
	return fmt.Sprintf("Regulator %s, set to %s in the spec; looked at up to %s.", plan.Regulator, schema.Format(schema.PressureDim, plan.Set), schema.Format(schema.PressureDim, plan.To))
}

// rangeOf names the pressures of a plan.
func rangeOf(plan *ramp.Plan) []pageRange {
	bar := func(pa float64) string { return schema.Format(schema.PressureDim, pa) }
	list := []pageRange{{"lowest", bar(plan.Working) + ": below it an error comes for want of pressure."}}
	if plan.Why == "" {
		moves := fmt.Sprintf("Cylinder %s, which needs least, moves both ways from %s, wherever it stands.", plan.MovesWho, bar(plan.Moves))
		if plan.Moves > plan.Working {
			moves += " With less it comes over its hardest place only in full swing, or not at all."
		}
		list = append(list, pageRange{"moves", moves})
	}
	if len(plan.Steps) > 0 {
		list = append(list, pageRange{"first", bar(plan.Steps[0].Pressure) + " is the first test pressure."},
			pageRange{"stop", bar(plan.Steps[len(plan.Steps)-1].Pressure) + " is the last step: go no higher."})
	}
	return append(list, pageRange{"room", headroom(plan)})
}

// room is the headroom of a machine in words; "" where it was not asked for.
func (r Run) room(j *rules.Judgement) string {
	if r.Plans == nil {
		return ""
	}
	if plan := r.Plans[j]; plan != nil {
		return headroom(plan)
	}
	return "Not known: no regulator sets the pressure of any cylinder."
}

// headroom says what stands in the way of more than the pressure set.
func headroom(plan *ramp.Plan) string {
	r, to := plan.Stands(), schema.Format(schema.PressureDim, plan.To)
	switch {
	case r == nil:
		return fmt.Sprintf("No rule breaks between the setting and %s.", to)
	case r.Finding.Level == rules.Error && r.At < plan.Set:
		return fmt.Sprintf("Less than the setting: beyond %s %s.", schema.Format(schema.PressureDim, r.At), broken(r))
	case r.Finding.Level == rules.Error:
		return fmt.Sprintf("%s above the setting: beyond %s %s.", schema.Format(schema.PressureDim, r.At-plan.Set), schema.Format(schema.PressureDim, r.At), broken(r))
	}
	return fmt.Sprintf("No error comes between the setting and %s; beyond %s %s.", to, schema.Format(schema.PressureDim, r.At), broken(r))
}

func broken(r *ramp.Rung) string {
	return fmt.Sprintf("breaks, as %s, rule %s of %s: %s", article(r.Finding.Level), r.Finding.Rule.Name, subject(r.Finding.Subject), r.Finding.Rule.Title)
}

func article(l rules.Level) string {
	if l == rules.Error {
		return "an error"
	}
	return "a " + string(l)
}

func (p *printer) ladder(plan *ramp.Plan) {
	p.heading(plan, "LADDER", "At which pressure each rule breaks, to 0.01 bar; those that it does not change are left out")
	if len(plan.Rungs) == 0 {
		p.block(gutter, "None changes.")
	}
	set := false
	for _, r := range plan.Rungs {
		if !set && r.At >= plan.Set {
			p.entry("", unstyled, fmt.Sprintf("%8.2f bar  the regulator's setting", plan.Set/1e5), bold)
			set = true
		}
		p.hang("", unstyled, fmt.Sprintf("%8.2f bar  %s: %s, %s (%s)", r.At/1e5, way(plan, &r), r.Finding.Rule.Title, subject(r.Finding.Subject), r.Finding.Level), unstyled, 2)
	}
	p.blank()
}

// way says on which side of its pressure a rung breaks, and how far on where it holds again.
func way(plan *ramp.Plan, r *ramp.Rung) string {
	switch from, to := plan.Breaks(r); {
	case r.Below && from > 0:
		return fmt.Sprintf("breaks below, down to %.2f bar", from/1e5)
	case r.Below:
		return "breaks below"
	case !math.IsInf(to, 1):
		return fmt.Sprintf("breaks above, up to %.2f bar", to/1e5)
	}
	return "breaks above"
}

func (p *printer) before(plan *ramp.Plan) {
	p.heading(plan, "BEFORE", "Without air")
	for i, text := range before(plan) {
		p.hang("", unstyled, fmt.Sprintf("%d. %s", i+1, text), unstyled, 3)
	}
	p.blank()
	p.heading(plan, "TUBES", "Are two tubes swapped?")
	p.block(gutter, swapped(plan))
	p.blank()
}

// before is what to do before any air, with the machine's own parts.
func before(plan *ramp.Plan) []string {
	m := plan.Judgement.Machine
	var isolators []string
	for _, name := range names(m.Air.Parts) {
		if part := m.Air.Parts[name]; part.Kind.Value == "isolator" {
			text := name
			if part.Lockable.Value {
				text += " (lock it)"
			}
			if !part.Exhausts.Value {
				text += " (it keeps the pressure behind it: bleed that)"
			}
			isolators = append(isolators, text)
		}
	}
	shut := "There is no shut-off valve in the spec: unplug the compressor and empty its receiver"
	if len(isolators) > 0 {
		shut = "Shut " + strings.Join(isolators, ", ")
	}
	base := "Fasten the base to something that does not move"
	if m.FirstAir.Base.Given() {
		base += ": " + m.FirstAir.Base.Value
	}
	first := "the lowest that it can be set to"
	if len(plan.Steps) > 0 {
		first = schema.Format(schema.PressureDim, plan.Steps[0].Pressure)
	}
	return []string{
		base + ". Clear away tools and whatever is loose.",
		shut + ". Bleed the line until the gauge stands at 0, and prop what could fall.",
		fmt.Sprintf("Move %s by hand through the whole stroke with the tubes off, and feel for what binds, catches or pinches a tube. Put the tubes back.", strings.Join(names(m.Cylinders), " and then ")),
		fmt.Sprintf("Turn %s down to nothing. With everybody away, open the shut-off, and set it to %s with the line under pressure, coming from below. Work the valve once and read the gauge again: it falls when air flows, and a regulator that creeps rises afterwards.", plan.Regulator, first),
		"Agree who works the shut-off, and that nothing else is touched while there is pressure.",
	}
}

// swapped says how to tell swapped tubes with one of them off.
func swapped(plan *ramp.Plan) string {
	m := plan.Judgement.Machine
	var ends []string
	for _, name := range names(m.Cylinders) {
		if m.Cylinders[name].Acting.Value == "double" {
			ends = append(ends, name+".front")
		}
	}
	if len(ends) == 0 {
		return "No cylinder has two tubes."
	}
	return fmt.Sprintf("With the air shut off and bled, take the tube off at %s, one at a time, tie its end down so that it can't whip, and point it away from people. Stand clear, put on "+
		"the least pressure that the regulator gives, and shift the valve: the loose end blows only in the position that should bring the rod in. If it blows in the other, the two are swapped. "+
		"Nothing holds the rod back with a tube off: it can jump out. Shut off, bleed until the gauge stands at 0, and put it back.", strings.Join(ends, ", "))
}

// standClear says how far away people stand; "" where it is not known.
func standClear(plan *ramp.Plan) string {
	if !(plan.StandClear > 0) {
		return ""
	}
	return fmt.Sprintf("Stand %s or more away from point %s: the reach of all that moves, and a stretched arm (850 mm, borrowed from ISO 13857 as a comparison). A tube that comes off whips over its own length%s, and what breaks flies farther: stay out of the plane that it moves in.",
		schema.Format(schema.LengthDim, math.Ceil(plan.StandClear/0.05)*0.05), plan.About, whip(plan))
}

// whip is how hard the jet pushes the loose end of the tube that it pushes most, at the pressure set, and over which length; "" where that is
// not known of any.
func whip(plan *ramp.Plan) string {
	var worst *checks.Subject
	for _, s := range plan.Judgement.Subjects {
		if f := s.Facts["jetForce"]; s.Kind == "tube" && f.Kind == checks.Quantity && (worst == nil || f.SI > worst.Facts["jetForce"].SI) {
			worst = s
		}
	}
	if worst == nil {
		return ""
	}
	text := fmt.Sprintf(" (%s, pushed by its jet with up to %s", worst.Name, worst.Facts["jetForce"])
	if long, known := worst.Facts["whipLength"]; known {
		text += ", over " + long.String()
	}
	return text + ")"
}

func (p *printer) steps(plan *ramp.Plan) {
	p.heading(plan, "STEPS", "With everybody away")
	if text := standClear(plan); text != "" {
		p.block(gutter, text)
	}
	if plan.Why != "" {
		p.block(gutter, "No steps can be planned: "+plan.Why+".")
		p.blank()
		return
	}
	for i, s := range plan.Steps {
		title := schema.Format(schema.PressureDim, s.Pressure)
		if !s.Verdict {
			title += ", NO-GO at this pressure (what breaks stands in the ladder)"
		}
		p.entry(fmt.Sprintf("  %d", i+1), bold, title, bold)
		for _, v := range s.Moves {
			p.hang("", unstyled, moveText(v), unstyled, 2)
		}
		p.row("look", lookAt(i, s))
		if s.Stop {
			p.row("stop", "Go no higher. "+headroom(plan))
		}
	}
	p.blank()
}

func moveText(v ramp.Move) string {
	format := func(d schema.Dimension, x float64) string { return schema.Format(d, x) }
	var parts []string
	if !v.Moves {
		parts = append(parts, "does not move both ways yet: keep away all the same, it may start late and jump")
	}
	if !math.IsNaN(v.Time) {
		text := "the quicker stroke in " + format(schema.TimeDim, v.Time)
		if v.Given {
			text += " by the spec, slower with less pressure"
		}
		parts = append(parts, text)
	}
	if !math.IsNaN(v.Speed) {
		parts = append(parts, "up to "+format(schema.SpeedDim, v.Speed))
	}
	if !math.IsNaN(v.Thrust) {
		parts = append(parts, "thrust "+format(schema.ForceDim, v.Thrust))
	}
	switch {
	case math.IsNaN(v.Energy):
	case v.AtMost:
		parts = append(parts, fmt.Sprintf("at most %s from the air in a stroke (speeds are not computed: no part says what it lets through)", format(schema.EnergyDim, v.Energy)))
	default:
		parts = append(parts, format(schema.EnergyDim, v.Energy)+" at its end")
	}
	switch {
	case math.IsNaN(v.Press):
	case math.IsInf(v.Press, 1):
		parts = append(parts, fmt.Sprintf("beside a dead point it presses at %s with far more than the thrust, and pushes back on the base as hard", v.Grasp.Point))
	default:
		parts = append(parts, fmt.Sprintf("if something holds point %s, it presses there with up to %s %s, and pushes back on the base as hard", v.Grasp.Point, format(schema.ForceDim, v.Press), v.Grasp.When))
	}
	return v.Cylinder + ": " + strings.Join(parts, "; ") + "."
}

// lookAt is what to look at between a step and the next.
func lookAt(i int, s ramp.Step) string {
	text := "Shut off and bleed before going near. "
	if i == 0 {
		text += "Does each rod go the way that it should? Does the gauge hold still with the valve at rest (no leak)? Does anything rub, and has the base stayed where it was?"
	} else {
		text += "Has anything shifted, turned or come loose: base, screws, clips on the pins, tubes? Is the motion even at both ends?"
	}
	if f := s.Nearest; f != nil {
		text += fmt.Sprintf(" Nearest to its limit: %s, rule %s (%s).", subject(f.Subject), f.Rule.Name, distance(f))
	}
	return text
}

// RampWords is a plan in words, for a sheet that has its tables from elsewhere.
type RampWords struct {
	Before       []string // what to do without air, in order
	Tubes, Stand string   // how to tell swapped tubes, and how far away people stand; "" where it is not known
	Steps        []RampStepWords
}

// RampStepWords is one step of a plan.
type RampStepWords struct {
	Pressure string
	Expect   []string // of each cylinder
	Look     string
}

// WordsOf says a plan in words.
func WordsOf(plan *ramp.Plan) RampWords {
	w := RampWords{Before: before(plan), Tubes: swapped(plan), Stand: standClear(plan)}
	for i, s := range plan.Steps {
		one := RampStepWords{Pressure: schema.Format(schema.PressureDim, s.Pressure), Look: lookAt(i, s)}
		for _, v := range s.Moves {
			one.Expect = append(one.Expect, moveText(v))
		}
		w.Steps = append(w.Steps, one)
	}
	return w
}

// RampSchema is the JSON Schema (draft 2020-12) of what RampJSON writes.
//
//go:embed ramp.schema.json
var RampSchema string

type jsonPlan struct {
	Machine    string         `json:"machine"`
	Title      string         `json:"title"`
	Verdict    string         `json:"verdict"`
	At         *jsonPlace     `json:"at,omitempty"`
	Regulator  string         `json:"regulator"`
	Set        number         `json:"setPa"`
	To         number         `json:"toPa"`
	Working    number         `json:"lowestWorkingPa"`
	Moves      number         `json:"movesAtPa"`
	Headroom   *jsonRung      `json:"headroom"`
	Rungs      []jsonRung     `json:"ladder"`
	Before     []string       `json:"before"`
	Tubes      string         `json:"tubes"`
	StandClear number         `json:"standClearM"`
	About      string         `json:"standClearFrom"`
	Why        string         `json:"whyNoSteps,omitempty"`
	Steps      []jsonRampStep `json:"steps"`
}

type jsonRung struct {
	Pressure number      `json:"pressurePa"`
	Breaks   string      `json:"breaks"`
	Rule     string      `json:"rule"`
	Level    rules.Level `json:"level"`
	Kind     string      `json:"kind"`
	Subject  string      `json:"subject"`
	Title    string      `json:"title"`
}

// A jsonHeadroom is what a report says of a plan.
type jsonHeadroom struct {
	Regulator string     `json:"regulator"`
	Set       number     `json:"setPa"`
	To        number     `json:"toPa"`
	Says      string     `json:"says"`
	Breaks    *jsonRung  `json:"breaks"`
	Rungs     []jsonRung `json:"ladder"`
}

func headroomOf(p *ramp.Plan) *jsonHeadroom {
	h := &jsonHeadroom{Regulator: p.Regulator, Set: number(p.Set), To: number(p.To), Says: headroom(p), Breaks: standsOf(p), Rungs: []jsonRung{}}
	for _, r := range p.Rungs {
		h.Rungs = append(h.Rungs, rungOf(r))
	}
	return h
}

// standsOf is the rule that stands in the way of more pressure; nil without one.
func standsOf(p *ramp.Plan) *jsonRung {
	r := p.Stands()
	if r == nil {
		return nil
	}
	one := rungOf(*r)
	return &one
}

type jsonRampStep struct {
	Pressure number     `json:"pressurePa"`
	Verdict  string     `json:"verdict"`
	Stop     bool       `json:"stop"`
	Look     string     `json:"lookAt"`
	Moves    []jsonMove `json:"cylinders"`
}

type jsonMove struct {
	Cylinder string `json:"cylinder"`
	Moves    bool   `json:"moves"`
	Time     number `json:"timeS"`
	Given    bool   `json:"timeAsGiven"`
	Speed    number `json:"speedMPerS"`
	Thrust   number `json:"thrustN"`
	Energy   number `json:"energyJ"`
	AtMost   bool   `json:"energyAtMost"`
	Press    number `json:"pressN"`
	Point    string `json:"pressPoint"`
}

// RampJSON writes the plans for other programs, as RampSchema describes them: SI, null where a number is not known or has no limit.
func RampJSON(w io.Writer, plans []*ramp.Plan) error {
	out := struct {
		Caution string     `json:"caution"`
		Plans   []jsonPlan `json:"plans"`
	}{RampCaution, []jsonPlan{}}
	for _, p := range plans {
		m := p.Judgement.Machine
		j := jsonPlan{Machine: m.Name, Title: m.Title.Value, Verdict: verdict(p.Judgement), At: placeOf(m.At), Regulator: p.Regulator, Set: number(p.Set), To: number(p.To),
			Working: number(p.Working), Moves: number(p.Moves), Headroom: standsOf(p), Rungs: []jsonRung{}, Before: before(p), Tubes: swapped(p), StandClear: number(p.StandClear), About: p.About, Why: p.Why, Steps: []jsonRampStep{}}
		for _, r := range p.Rungs {
			j.Rungs = append(j.Rungs, rungOf(r))
		}
		for i, s := range p.Steps {
			step := jsonRampStep{Pressure: number(s.Pressure), Verdict: map[bool]string{true: "GO", false: "NO-GO"}[s.Verdict], Stop: s.Stop, Look: lookAt(i, s)}
			for _, v := range s.Moves {
				step.Moves = append(step.Moves, jsonMove{v.Cylinder, v.Moves, number(v.Time), v.Given, number(v.Speed), number(v.Thrust), number(v.Energy), v.AtMost, number(v.Press), v.Grasp.Point})
			}
			j.Steps = append(j.Steps, step)
		}
		out.Plans = append(out.Plans, j)
	}
	e := json.NewEncoder(unsteered{w})
	e.SetEscapeHTML(false)
	e.SetIndent("", "  ")
	return e.Encode(out)
}

func rungOf(r ramp.Rung) jsonRung {
	return jsonRung{number(r.At), map[bool]string{true: "below", false: "above"}[r.Below], r.Finding.Rule.Name, r.Finding.Level, r.Finding.Subject.Kind, r.Finding.Subject.Name, r.Finding.Rule.Title}
}

func names[V any](m map[string]V) []string { return slices.Sorted(maps.Keys(m)) }
