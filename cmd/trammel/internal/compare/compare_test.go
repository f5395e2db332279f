package compare

import (
	"testing"

	"trammel.example/checks"
	"trammel.example/rules"
	"trammel.example/schema"
)

// finding is of a rule "r" on the pivot named.
func finding(name string, outcome rules.Outcome, level rules.Level, margin float64) *rules.Finding {
	return &rules.Finding{Rule: &rules.Rule{Name: "r", Level: level}, Subject: &checks.Subject{Kind: "pivot", Name: name}, Outcome: outcome, Level: level, Margin: margin}
}

func judged(findings ...*rules.Finding) *rules.Judgement {
	j := &rules.Judgement{Machine: &schema.Machine{Name: "m"}, Findings: findings}
	for _, f := range findings {
		j.Subjects = append(j.Subjects, f.Subject)
	}
	return j
}

func TestFindings(t *testing.T) {
	type f = *rules.Finding
	accepted := finding("A", rules.Fail, rules.Error, -0.2)
	accepted.Concession = &rules.Concession{State: rules.InForce}
	for name, row := range map[string]struct {
		base, head                      []f
		added, grown, fixed, ended, was int
		worse                           bool
	}{
		"fails now":                     {[]f{finding("A", rules.Pass, rules.Error, 0.1)}, []f{finding("A", rules.Fail, rules.Error, -0.1)}, 1, 0, 0, 0, 0, true},
		"of a subject that is new":      {nil, []f{finding("A", rules.Fail, rules.Warning, -0.1)}, 1, 0, 0, 0, 0, true},
		"a note refuses nothing":        {nil, []f{finding("A", rules.Fail, rules.Note, -0.1)}, 1, 0, 0, 0, 0, false},
		"open now":                      {[]f{finding("A", rules.Pass, rules.Note, 0.1)}, []f{finding("A", rules.Open, rules.Note, 0)}, 1, 0, 0, 0, 0, true},
		"known now, and it fails":       {[]f{finding("A", rules.Open, rules.Error, 0)}, []f{finding("A", rules.Fail, rules.Error, -0.1)}, 0, 1, 0, 0, 0, true},
		"further off":                   {[]f{finding("A", rules.Fail, rules.Error, -0.1)}, []f{finding("A", rules.Fail, rules.Error, -0.2)}, 0, 1, 0, 0, 0, true},
		"hardly further off":            {[]f{finding("A", rules.Fail, rules.Error, -0.1)}, []f{finding("A", rules.Fail, rules.Error, -0.105)}, 0, 0, 0, 0, 1, false},
		"a warning that is an error":    {[]f{finding("A", rules.Fail, rules.Warning, -0.1)}, []f{finding("A", rules.Fail, rules.Error, -0.1)}, 0, 1, 0, 0, 0, true},
		"it holds now":                  {[]f{finding("A", rules.Fail, rules.Error, -0.1)}, []f{finding("A", rules.Pass, rules.Error, 0.1)}, 0, 0, 1, 0, 0, false},
		"its subject is gone":           {[]f{finding("A", rules.Fail, rules.Error, -0.1)}, []f{finding("B", rules.Pass, rules.Error, 0.1)}, 0, 0, 0, 1, 0, false},
		"it is conceded":                {[]f{finding("A", rules.Fail, rules.Error, -0.2)}, []f{accepted}, 0, 0, 0, 1, 0, false},
		"the concession is over":        {[]f{accepted}, []f{finding("A", rules.Fail, rules.Error, -0.2)}, 1, 0, 0, 0, 0, true},
		"the rule has a lower level":    {[]f{finding("A", rules.Fail, rules.Error, -0.2)}, []f{finding("A", rules.Pass, rules.Note, 0.1)}, 0, 0, 0, 1, 0, false},
		"the rule does not speak of it": {[]f{finding("A", rules.Fail, rules.Error, -0.2)}, []f{finding("A", rules.NotApplicable, rules.Error, 0)}, 0, 0, 0, 1, 0, false},
	} {
		t.Run(name, func(t *testing.T) {
			c := Of(Side{Specs: []Spec{{Folder: "x", Judgements: []*rules.Judgement{judged(row.base...)}}}}, Side{Specs: []Spec{{Folder: "x", Judgements: []*rules.Judgement{judged(row.head...)}}}}, 0.05)
			m := c.Machines[0]
			for _, n := range []struct {
				what      string
				got, want int
			}{{"new", len(m.New), row.added}, {"grown", len(m.Grown), row.grown}, {"fixed", len(m.Fixed), row.fixed}, {"ended", len(m.Ended), row.ended}, {"still", len(m.Still), row.was}} {
				if n.got != n.want {
					t.Errorf("%d %s, want %d", n.got, n.what, n.want)
				}
			}
			if c.Worse() != row.worse {
				t.Errorf("worse: %t", c.Worse())
			}
		})
	}
}

func TestMoved(t *testing.T) {
	with := func(si float64) *rules.Judgement {
		return &rules.Judgement{Machine: &schema.Machine{Name: "m"}, Subjects: []*checks.Subject{{Kind: "pin", Name: "A", Facts: map[string]checks.Fact{
			"force": {Kind: checks.Quantity, Dim: schema.ForceDim, SI: si}, "way": {Kind: checks.Text, Text: "out"}}}}}
	}
	for _, row := range []struct {
		from, to float64
		moved    bool
	}{{100, 106, true}, {100, 104, false}, {0, 1, true}, {1, -1, true}, {100, 94, true}, {0, 0, false}, {1e-9, 2e-9, false}} {
		c := Of(Side{Specs: []Spec{{Judgements: []*rules.Judgement{with(row.from)}}}}, Side{Specs: []Spec{{Judgements: []*rules.Judgement{with(row.to)}}}}, 0.05)
		if got := len(c.Machines[0].Moved) == 1; got != row.moved {
			t.Errorf("%g to %g: moved %t", row.from, row.to, got)
		}
	}
}
