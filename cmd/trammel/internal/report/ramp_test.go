package report

import (
	"math"
	"strings"
	"testing"

	"trammel.example/cmd/trammel/internal/drawing"
	"trammel.example/cmd/trammel/internal/ramp"
	"trammel.example/rules"
	"trammel.example/schema"
)

// planned gives the run of an example with its plan.
func planned(t *testing.T, name string) (Run, *ramp.Plan) {
	t.Helper()
	run := exampleRun(t, name)
	j := run.Specs[0].Judgements[0]
	set, faults, err := rules.ForSpec(&schema.Spec{Machines: []*schema.Machine{j.Machine}})
	if err != nil || len(faults) > 0 {
		t.Fatal(err, faults)
	}
	plan, err := ramp.Climb(set, j.Machine, "", 10e5, day, func(int) {})
	if err != nil {
		t.Fatal(err)
	}
	run.Plans = map[*rules.Judgement]*ramp.Plan{j: plan}
	return run, plan
}

// Outside check: JSON Schema draft 2020-12, by github.com/santhosh-tekuri/jsonschema.
func TestPlansFitTheirSchema(t *testing.T) {
	plans, reports := compile(t, RampSchema, closed), compile(t, Schema, closed)
	for _, name := range []string{"tray-lifter", "tray-lifter-draft", "glue-press"} {
		run, plan := planned(t, name)
		var b strings.Builder
		if err := RampJSON(&b, []*ramp.Plan{plan}); err != nil {
			t.Fatal(err)
		}
		if err := plans.Validate(parsed(t, b.String())); err != nil {
			t.Errorf("plan of %s: %v", name, err)
		}
		if err := reports.Validate(parsed(t, written(t, JSON, run))); err != nil {
			t.Errorf("report of %s: %v", name, err)
		}
	}
}

// TestRampPage wants every step and every rung on the page, and NO-GO on each part of that of a machine that is NO-GO.
func TestRampPage(t *testing.T) {
	for _, name := range []string{"tray-lifter", "tray-lifter-draft"} {
		_, plan := planned(t, name)
		var b strings.Builder
		if err := RampHTML(&b, []*ramp.Plan{plan}); err != nil {
			t.Fatal(err)
		}
		page := b.String()
		for _, s := range plan.Steps {
			if want := schema.Format(schema.PressureDim, s.Pressure); !strings.Contains(page, ". "+want) {
				t.Errorf("%s: no step of %s", name, want)
			}
		}
		if rows := strings.Count(page, `<th scope="row">breaks `); rows != len(plan.Rungs) || rows == 0 {
			t.Errorf("%s: %d rungs in the table, want %d", name, rows, len(plan.Rungs))
		}
		parts, marked := strings.Count(page, "<h3>"), strings.Count(page, "<h3>NO-GO. ")
		if want := map[bool]int{true: 0, false: parts}[plan.Judgement.Go()]; marked != want || strings.Contains(page, `class="stamp"`) == plan.Judgement.Go() {
			t.Errorf("%s: %d of %d parts say NO-GO, want %d", name, marked, parts, want)
		}
		if !strings.Contains(page, "Local codes and licensed practice come first") {
			t.Errorf("%s: no caution", name)
		}
	}
}

// TestLadderToScale reads the bars back: each begins and ends where its pressure stands on the scale.
func TestLadderToScale(t *testing.T) {
	pictures := drawing.Ladder("l", "Ladder", 10e5, []drawing.Mark{{Name: "set", At: 5e5}}, []drawing.Rung{
		{Name: "too weak", Says: "breaks below", From: 0, To: 2e5}, {Name: "too strong", Says: "breaks above", From: 7.5e5, To: math.Inf(1)},
		{Name: "too early", Says: "breaks above, up to 3 bar", From: 1e5, To: 3e5},
	})
	if len(pictures) != 1 {
		t.Fatalf("%d pictures, want 1", len(pictures))
	}
	// The scale is 336 px long and begins at 12: 33.6 px for a bar.
	for what, want := range map[string]string{
		"the weak fails to 2 bar":   `class="clash" x="12" y="40" width="67.2"`,
		"holds from 2 to 10":        `class="link" x="79.2" y="40" width="268.8"`,
		"the strong holds to 7.5":   `class="link" x="12" y="88" width="252"`,
		"and fails to 10":           `class="clash" x="264" y="88" width="84"`,
		"the early holds to 1":      `class="link" x="12" y="136" width="33.6"`,
		"fails to 3":                `class="clash" x="45.6" y="136" width="67.2"`,
		"and holds to 10":           `class="link" x="112.8" y="136" width="235.2"`,
		"the setting, across a bar": `<line class="thin" x1="180" y1="38" x2="180" y2="54"`,
	} {
		if !strings.Contains(pictures[0].SVG, want) {
			t.Errorf("%s: no %s in %s", what, want, pictures[0].SVG)
		}
	}
}

// TestRungsThatEnd: what breaks above a pressure and holds again from another on is said and drawn so, by both of its rungs.
func TestRungsThatEnd(t *testing.T) {
	_, plan := planned(t, "crate-ejector")
	ended := 0
	for i := range plan.Rungs {
		r := &plan.Rungs[i]
		from, to := plan.Breaks(r)
		if !(from < to) || from != r.At && to != r.At {
			t.Errorf("%s at %g breaks from %g to %g", r.Finding.Rule.Name, r.At, from, to)
		}
		if from > 0 && !math.IsInf(to, 1) {
			ended++
			if text := way(plan, r); !strings.Contains(text, ", up to ") && !strings.Contains(text, ", down to ") {
				t.Errorf("%s: %s", r.Finding.Rule.Name, text)
			}
		}
	}
	if ended != 2 {
		t.Errorf("%d rungs break between two pressures, want both of command-before-arrival", ended)
	}
}
