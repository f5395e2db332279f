package report

import (
	_ "embed"
	"fmt"
	"html/template"
	"io"

	"trammel.example/cmd/trammel/internal/drawing"
	"trammel.example/cmd/trammel/internal/ramp"
)

//go:embed ramp.html
var rampText string

type (
	rampPage struct {
		Style   template.CSS
		Caution string
		NoGo    bool
		Plans   []pagePlan
	}
	pagePlan struct {
		ID, Name, Title, Verdict, At, Regulator string
		Range                                   []pageRange
		Ladder                                  []pageFigure
		Rungs                                   []pageRung
		Before                                  []string
		Tubes, Stand, Why                       string
		Steps                                   []pageStep
	}
	pageRange struct{ Name, Says string }
	pageRung  struct{ At, Way, Rule, Of, Level string }
	pageStep  struct {
		Number         int
		Pressure, Look string
		NoGo           bool
		Stop           string
		Moves          []string
	}
)

// RampHTML writes the plans as pages to print and take to the machine, with room to write down what the gauge shows.
func RampHTML(w io.Writer, plans []*ramp.Plan) error {
	parsed, err := template.New("ramp").Parse(rampText)
	if err != nil {
		return err
	}
	p := rampPage{Style: template.CSS(drawing.Style + pageStyle), Caution: RampCaution}
	for i, plan := range plans {
		p.NoGo = p.NoGo || !plan.Judgement.Go()
		p.Plans = append(p.Plans, planOnPage(plan, fmt.Sprintf("p%d", i+1)))
	}
	return parsed.Execute(w, p)
}

func planOnPage(plan *ramp.Plan, id string) pagePlan {
	m, words := plan.Judgement.Machine, WordsOf(plan)
	one := pagePlan{
		ID: id, Name: Plain(m.Name), Title: Plain(m.Title.Value), Verdict: verdict(plan.Judgement), At: shownPlace(m.At),
		Regulator: Plain(settingOf(plan)), Tubes: Plain(words.Tubes), Stand: Plain(words.Stand), Why: Plain(plan.Why),
	}
	for _, r := range rangeOf(plan) {
		one.Range = append(one.Range, pageRange{Plain(r.Name), Plain(r.Says)})
	}
	for _, text := range words.Before {
		one.Before = append(one.Before, Plain(text))
	}
	for _, c := range ladderOf(plan, id+"-ladder") {
		one.Ladder = append(one.Ladder, figureOf(c))
	}
	for _, r := range plan.Rungs {
		one.Rungs = append(one.Rungs, pageRung{fmt.Sprintf("%.2f bar", r.At/1e5), way(plan, &r), Plain(r.Finding.Rule.Title), Plain(subject(r.Finding.Subject)), string(r.Finding.Level)})
	}
	for i, s := range plan.Steps {
		step := pageStep{Number: i + 1, Pressure: words.Steps[i].Pressure, Look: Plain(words.Steps[i].Look), NoGo: !s.Verdict}
		for _, text := range words.Steps[i].Expect {
			step.Moves = append(step.Moves, Plain(text))
		}
		if s.Stop {
			step.Stop = Plain("Go no higher. " + headroom(plan))
		}
		one.Steps = append(one.Steps, step)
	}
	return one
}

// ladderOf draws a plan's ladder, with the pressures of note and the relief valves across it.
func ladderOf(plan *ramp.Plan, id string) []drawing.Picture {
	marks := []drawing.Mark{{Name: "set", At: plan.Set}}
	if len(plan.Steps) > 0 {
		marks = append(marks, drawing.Mark{Name: "first test", At: plan.Steps[0].Pressure})
	}
	m := plan.Judgement.Machine
	for _, name := range names(m.Air.Parts) {
		part := m.Air.Parts[name]
		at := part.Relief.Set
		if part.Kind.Value == "relief valve" {
			at = part.Set
		}
		if at.Given() && at.SI <= plan.To {
			marks = append(marks, drawing.Mark{Name: "relief of " + name, At: at.SI})
		}
	}
	var rungs []drawing.Rung
	for _, r := range plan.Rungs {
		one := drawing.Rung{Name: r.Finding.Rule.Title, Says: fmt.Sprintf("%s %.2f bar: %s, %s", map[bool]string{true: "breaks below", false: "breaks above"}[r.Below], r.At/1e5, r.Finding.Level, subject(r.Finding.Subject))}
		one.From, one.To = plan.Breaks(&r)
		rungs = append(rungs, one)
	}
	return drawing.Ladder(id, "Pressure at which each rule breaks", plan.To, marks, rungs)
}
