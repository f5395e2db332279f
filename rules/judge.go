package rules

import (
	"math"
	"sort"
	"time"

	"trammel.example/checks"
	"trammel.example/schema"
)

// Judge holds a machine's subjects against the rules on a day, which concessions are measured by.
func Judge(set *Set, machine *schema.Machine, subjects []*checks.Subject, day time.Time) *Judgement {
	j := JudgeBriefly(set, machine, subjects, day)
	Explain(j.Findings...)
	return j
}

// JudgeBriefly judges without the sentences of its findings, which take longer than all the rest: see Explain.
func JudgeBriefly(set *Set, machine *schema.Machine, subjects []*checks.Subject, day time.Time) *Judgement {
	j := &Judgement{Machine: machine, Subjects: subjects, Changed: set.Changed}
	byKind := map[string][]*Rule{}
	for _, r := range set.Rules {
		byKind[r.Kind] = append(byKind[r.Kind], r)
	}
	ev := newEvaluator()
	j.Findings = make([]*Finding, 0, 8*len(subjects))
	for _, s := range subjects {
		for _, r := range byKind[s.Kind] {
			j.Findings = append(j.Findings, judgeOne(ev, r, s))
		}
	}
	j.concede(set.Concessions, day)
	return j
}

// Explain adds to findings that fail why, and what to do.
func Explain(findings ...*Finding) {
	ev := newEvaluator()
	for _, f := range findings {
		if f.Outcome == Fail && f.Because == "" {
			f.Because, f.Remedy = ev.text(f.Rule.Because, f.Subject), ev.text(f.Rule.Remedy, f.Subject)
		}
	}
}

// near is by how much of its size a value may miss its limit before it counts as missing it: rounding, not engineering.
const near = 1e-9

func judgeOne(ev *evaluator, r *Rule, s *checks.Subject) *Finding {
	f := &Finding{Rule: r, Subject: s, Level: r.Level, Op: r.Limit.Op, Outcome: NotApplicable, Margin: math.NaN(), At: s.At}
	if r.When != nil {
		w := ev.value(*r.When, s)
		if w.open != "" {
			return f.setOpen(w)
		}
		if !w.present || w.v.Kind != checks.Flag || !w.v.Flag {
			return f
		}
	}
	m := ev.value(r.Measure, s)
	if !m.present {
		return f
	}
	f.Worst, f.Inputs = m.worst, m.from
	if m.open != "" {
		return f.setOpen(m)
	}
	f.Value = m.v
	limit := ev.limit(r.Limit, m.v, s)
	if !limit.present {
		return f // the fact that would limit it does not apply to this subject
	}
	if limit.open != "" {
		return f.setOpen(limit)
	}
	f.Limit, f.Inputs = limit.v, append(append([]schema.Input{}, m.from...), limit.from...)
	f.Margin = margin(r.Limit.Op, m.v, limit.v)
	if r.Strength {
		f.Utilised = utilised(r.Limit.Op, m.v, limit.v)
	}
	f.Outcome = Pass
	if !holds(r.Limit.Op, m.v, limit.v) {
		f.Outcome = Fail
	} else if r.Prefer != nil {
		p := ev.limit(*r.Prefer, m.v, s)
		if p.present && p.open == "" && !holds(r.Prefer.Op, m.v, p.v) {
			f.Outcome, f.Op, f.Limit = Fail, r.Prefer.Op, p.v
			f.Margin = margin(f.Op, m.v, p.v)
			if f.Level == Error {
				f.Level = Warning
			}
		}
	}
	f.At = placeToChange(f.Inputs, s)
	return f
}

func (f *Finding) setOpen(o outcome) *Finding {
	f.Outcome, f.Why, f.Inputs = Open, o.open, o.from
	f.At = placeToChange(o.from, f.Subject)
	return f
}

// placeToChange is where the first input stands that the builder wrote; without one, the subject itself.
func placeToChange(inputs []schema.Input, s *checks.Subject) schema.Place {
	for _, in := range inputs {
		if o := schema.OriginOf(in); o.Assumed == "" && o.At.File != "" {
			return o.At
		}
	}
	return s.At
}

func holds(op Operator, v, limit Value) bool {
	if op == MustBe {
		return v.Kind == limit.Kind && v.Flag == limit.Flag && v.Text == limit.Text
	}
	slack := near * max(math.Abs(v.SI), math.Abs(limit.SI))
	if op == AtLeast {
		return v.SI >= limit.SI-slack
	}
	return v.SI <= limit.SI+slack
}

func margin(op Operator, v, limit Value) float64 {
	if op == MustBe || limit.SI == 0 {
		return math.NaN()
	}
	if op == AtLeast {
		return (v.SI - limit.SI) / math.Abs(limit.SI)
	}
	return (limit.SI - v.SI) / math.Abs(limit.SI)
}

// concede marks the findings that the builder accepted. A concession in force takes a failure off the verdict; an expired one leaves it
// and says so; one that accepts nothing is unmatched, unless its rule could not judge the subject.
func (j *Judgement) concede(concessions []Concession, day time.Time) {
	for i := range concessions {
		c := concessions[i]
		if c.Machine != "" && c.Machine != j.Machine.Name {
			continue
		}
		c.State = Unmatched
		ran := false
		for _, f := range j.Findings {
			if f.Rule.Name != c.Rule || f.Subject.Name != c.Of {
				continue
			}
			ran = ran || f.Outcome == Pass
			if f.Outcome != Fail {
				continue
			}
			ran = true
			c.State = InForce
			if until, err := time.Parse(time.DateOnly, c.Until); err != nil || day.After(until.AddDate(0, 0, 1).Add(-1)) {
				c.State = Expired
			}
			f.Concession = &c
		}
		if c.State != Unmatched || ran {
			j.Concessions = append(j.Concessions, &c)
		}
	}
	sort.SliceStable(j.Concessions, func(a, b int) bool { return j.Concessions[a].At.Before(j.Concessions[b].At) })
}
