package report

import (
	"math"
	"slices"
	"time"

	"trammel.example/checks"
	"trammel.example/rules"
	"trammel.example/schema"
)

var day = time.Date(2027, 3, 14, 0, 0, 0, 0, time.UTC)

func place(file string, line, column int) schema.Place {
	return schema.Place{File: file, Line: line, Column: column}
}

func quantity(path, unit string, dim schema.Dimension, value float64, at schema.Place) schema.Quantity {
	u, ok := schema.UnitOf(dim, unit)
	if !ok {
		panic("no unit " + unit)
	}
	return schema.Quantity{Origin: schema.Origin{Path: path, At: at}, SI: u.SI(value), Value: value, Unit: u}
}

func length(path, unit string, value float64, at schema.Place) schema.Length {
	return schema.Length{Quantity: quantity(path, unit, schema.LengthDim, value, at)}
}

func assumed(path, unit string, dim schema.Dimension, value float64, source string) schema.Number {
	q := quantity(path, unit, dim, value, schema.Place{})
	q.Assumed = source
	return schema.Number{Quantity: q}
}

func si(dim schema.Dimension, x float64) rules.Value {
	return rules.Value{Kind: checks.Quantity, Dim: dim, SI: x}
}

func yesNo(b bool) rules.Value { return rules.Value{Kind: checks.Flag, Flag: b} }

func fact(dim schema.Dimension, x float64, worst string, from ...schema.Input) checks.Fact {
	return checks.Fact{Kind: checks.Quantity, Dim: dim, SI: x, Worst: worst, From: from}
}

func aRule(name, domain, kind, measure string, op rules.Operator, by string, level rules.Level, title string) *rules.Rule {
	return &rules.Rule{
		Name: name, Domain: domain, Kind: kind, Level: level, Title: title, Measure: rules.Operand{Fact: measure}, Limit: rules.Limit{Op: op, By: rules.Operand{Fact: by}},
		Because: rules.Template{{Text: "There is "}, {By: &rules.Operand{Fact: measure}}, {Text: " of it."}},
		Remedy:  rules.Template{{Text: "Bring it to "}, {By: &rules.Operand{Fact: by}}, {Text: "."}},
		Source:  []rules.Source{{Standard: "ISO 0000", Part: "clause 1", FromMemory: true}, {Practice: "common practice, no source"}},
		Formula: "one − other",
	}
}

// finding holds a quantity against a limit, as rules.Judge would.
func finding(r *rules.Rule, s *checks.Subject, v, limit rules.Value, inputs ...schema.Input) *rules.Finding {
	f := &rules.Finding{Rule: r, Subject: s, Level: r.Level, Op: r.Limit.Op, Value: v, Limit: limit, Margin: math.NaN(), Inputs: inputs, At: s.At, Outcome: rules.Fail}
	switch {
	case f.Op == rules.MustBe:
		if v == limit {
			f.Outcome = rules.Pass
		}
	case limit.SI != 0:
		f.Margin = (v.SI - limit.SI) / math.Abs(limit.SI)
		if f.Op == rules.AtMost {
			f.Margin = -f.Margin
		}
	}
	if f.Op == rules.AtLeast && v.SI >= limit.SI || f.Op == rules.AtMost && v.SI <= limit.SI {
		f.Outcome = rules.Pass
	}
	if r.Strength {
		f.Utilised = &rules.Utilised{Load: limit, Strength: v, Share: limit.SI / v.SI}
	}
	if len(inputs) > 0 {
		f.At = schema.OriginOf(inputs[0]).At
	}
	if f.Outcome == rules.Fail {
		f.Because = "There is too much or too little of it."
		f.Remedy = "Bring it to the limit."
	}
	return f
}

func open(r *rules.Rule, s *checks.Subject, why string) *rules.Finding {
	return &rules.Finding{Rule: r, Subject: s, Level: r.Level, Op: r.Limit.Op, Outcome: rules.Open, Margin: math.NaN(), Why: why, At: s.At}
}

// hostile is what a stranger might put into a name: an escape sequence, a bidirectional override, a forged line.
const hostile = "red\x1b[31m \u202etxet \u009b2J\nGO all"

func bakery() (*schema.Machine, []*checks.Subject) {
	file := "bäckerei/ofen klappe.cue"
	m := &schema.Machine{Name: "Ofenklappe-烤箱", At: place(file, 6, 11), Title: schema.Text{Value: "Oven flap " + hostile}}
	m.Assumptions = []schema.Assumption{
		{Path: "cylinders.lift.efficiency", Value: "0.85", Source: "common practice: 0.8 to 0.9 for a clean cylinder"},
		{Path: `pivots."烤".pin.length`, Value: "±0.3 mm", Source: "ISO 2768-1, class m (general tolerance)"},
		{Path: "pivots.B.pin.length", Value: "±0.3 mm", Source: "ISO 2768-1, class m (general tolerance)"},
	}
	screw := &checks.Subject{Kind: "fastening", Name: "plate to post", Machine: m, At: place(file, 40, 3), Facts: map[string]checks.Fact{
		"threadEngagement": fact(schema.LengthDim, 0.0091, "", length("fastenings.\"plate to post\".screw.length", "mm", 12, place(file, 41, 20))),
		"torque":           {Kind: checks.Open, Dim: schema.TorqueDim, Why: "the screw's torque is not given"},
		"remedyLength":     {Kind: checks.Text, Text: "M6 × 16 mm 長い"},
		"threadsAgree":     {Kind: checks.Flag, Flag: true},
	}}
	cylinder := &checks.Subject{Kind: "cylinder", Name: "lift", Machine: m, At: place(file, 20, 13), Facts: map[string]checks.Fact{
		"loadOut":  fact(schema.ForceDim, 92.89, "with the rod out by 80 mm", length("cylinders.lift.bore", "inch", 1, place("bäckerei/parts.cue", 8, 16))),
		"swing":    fact(schema.AngleDim, 0.7, "with the rod in"),
		"hottest":  fact(schema.TemperatureDim, 333.15, ""),
		"loadless": fact(schema.NumberDim, math.NaN(), ""),
	}, Assumed: []schema.Assumption{{Path: "cylinders.lift.efficiency", Value: "0.85", Source: "common practice: 0.8 to 0.9 for a clean cylinder"}}}
	return m, []*checks.Subject{cylinder, screw}
}

var (
	engagement = aRule("thread-too-short", "fastening", "fastening", "threadEngagement", rules.AtLeast, "threadEngagementNeeded", rules.Error, "Too little thread is in mesh")
	agree      = aRule("threads-differ", "fastening", "fastening", "threadsAgree", rules.MustBe, "", rules.Error, "The threads differ "+hostile)
	clamp      = aRule("clamp-too-weak", "fastening", "fastening", "clamp", rules.AtLeast, "clampNeeded", rules.Error, "The screw clamps too little")
	strip      = aRule("thread-strips", "fastening", "fastening", "stripForce", rules.AtLeast, "stripForceNeeded", rules.Error, "The thread strips")
	gapRule    = aRule("gap-closed", "pivot", "cylinder", "gapLeast", rules.AtLeast, "", rules.Error, "No gap is left")
	loadRatio  = aRule("push-too-weak", "cylinder", "cylinder", "loadRatioOut", rules.AtMost, "", rules.Error, "It pushes too weakly")
	pressure   = aRule("over-rating", "air", "cylinder", "highest", rules.AtMost, "rating", rules.Error, "More pressure than it is rated for")
	hot        = aRule("too-hot", "air", "cylinder", "hottest", rules.AtMost, "warmestFor", rules.Warning, "It gets too hot 熱い")
	idle       = aRule("long-dead-length", "cylinder", "cylinder", "deadLength", rules.AtMost, "", rules.Note, "It is longer than it need be")
)

func init() {
	strip.Strength = true
	clamp.Strength = true
	agree.Limit.By = rules.Operand{Constant: &rules.Constant{Flag: new(true)}}
	gapRule.Limit.By = rules.Operand{Constant: &rules.Constant{Number: new(0.0), Unit: "mm"}}
	loadRatio.Limit.By = rules.Operand{Constant: &rules.Constant{Number: new(1.0)}}
	loadRatio.Prefer = &rules.Limit{Op: rules.AtMost, By: rules.Operand{Constant: &rules.Constant{Number: new(0.5)}}}
	idle.Limit.By = rules.Operand{Expression: "given.stroke.mm + 100"}
	hot.When = &rules.Operand{Expression: "given.regulated"}
}

// noGo has a failure of each level, with and without a margin, and rules that are open.
func noGo() Run {
	m, subjects := bakery()
	lift, screw := subjects[0], subjects[1]
	bore := length("cylinders.lift.bore", "inch", 1, place("bäckerei/parts.cue", 8, 16))
	worst := finding(loadRatio, lift, si(schema.NumberDim, 0.62), si(schema.NumberDim, 0.5), bore)
	worst.Level, worst.Worst = rules.Warning, "with the rod out by 80 mm"
	long := finding(engagement, screw, si(schema.LengthDim, 0.0091), si(schema.LengthDim, 0.0123),
		length(`fastenings."plate to post".screw.length`, "mm", 12, place(m.At.File, 41, 20)), assumed("site.share", "", schema.NumberDim, 0.2, "common practice: dry"),
		length(`fastenings."plate to post".screw.length`, "mm", 12, place(m.At.File, 41, 20)))
	long.Because = "At worst 9.1 mm of thread is in mesh, and 短い短い短い短い短い短い短い短い短い短い短い短い短い短い短い短い短い短い短い短い短い短い短い is not enough."
	changed := *hot
	changed.Changed, changed.Relaxed = "limit at most 70 °C", true
	j := &rules.Judgement{Machine: m, Subjects: subjects, Changed: []*rules.Rule{&changed}, Findings: []*rules.Finding{
		finding(idle, lift, si(schema.LengthDim, 0.152), si(schema.LengthDim, 0.15), bore),
		worst,
		finding(pressure, lift, si(schema.PressureDim, 1.1e6), si(schema.PressureDim, 8e5)),
		finding(gapRule, lift, si(schema.LengthDim, -0.0002), si(schema.LengthDim, 0)),
		finding(&changed, lift, si(schema.TemperatureDim, 353.15), si(schema.TemperatureDim, 343.15)),
		long,
		finding(agree, screw, yesNo(false), yesNo(true)),
		open(clamp, screw, "the screw's torque is not given: add `torque: Nm: …`"),
		open(strip, screw, "the screw's torque is not given: add `torque: Nm: …`"),
		open(pressure, screw, "nothing says "+hostile),
		{Rule: strip, Subject: lift, Outcome: rules.NotApplicable, Margin: math.NaN()},
	}}
	return Run{Version: "v0.1.0", Date: day, Specs: []SpecResult{{
		Dir: "bäckerei", Judgements: []*rules.Judgement{j},
		Remarks: []schema.Remark{{At: schema.Place{File: "bäckerei/notes.cue"}, Text: "is left out: it has no package clause, and the folder holds a package"}},
	}}}
}

// allHold has passes only, in two machines.
func allHold() Run {
	m, subjects := bakery()
	lift, screw := subjects[0], subjects[1]
	m.Title = schema.Text{}
	j := &rules.Judgement{Machine: m, Subjects: subjects, Findings: []*rules.Finding{
		finding(engagement, screw, si(schema.LengthDim, 0.0129), si(schema.LengthDim, 0.0123)),
		finding(agree, screw, yesNo(true), yesNo(true)),
		finding(strip, screw, si(schema.ForceDim, 5100), si(schema.ForceDim, 4200)),
		finding(gapRule, lift, si(schema.LengthDim, 0), si(schema.LengthDim, 0)),
		finding(hot, lift, si(schema.TemperatureDim, 333.15), si(schema.TemperatureDim, 343.15)),
	}}
	bare := &rules.Judgement{Machine: &schema.Machine{Name: "bare"}}
	return Run{Version: "v0.1.0", Date: day, Specs: []SpecResult{{Dir: "bäckerei", Judgements: []*rules.Judgement{j}}, {Dir: "a", Judgements: []*rules.Judgement{bare}}}}
}

// concessions has one in each state.
func concessions() Run {
	m, subjects := bakery()
	m.Title, m.Assumptions, subjects[0].Assumed = schema.Text{Value: "Oven flap"}, nil, nil
	lift := subjects[0]
	const file = "bäckerei/house.cue"
	inForce := &rules.Concession{Rule: pressure.Name, Of: "lift", Reason: "tested at 1.5 times in the yard " + hostile, By: "workshop lead", Until: "2027-06-30", At: place(file, 5, 9), State: rules.InForce}
	expired := &rules.Concession{Rule: hot.Name, Of: "lift", Machine: m.Name, Reason: "winter only", By: "baker", Until: "2027-03-01", At: place(file, 6, 9), State: rules.Expired}
	unmatched := &rules.Concession{Rule: engagement.Name, Of: "plate to post", Reason: "no longer needed", By: "baker", Until: "2027-12-31", At: place(file, 7, 9), State: rules.Unmatched}
	accepted := finding(pressure, lift, si(schema.PressureDim, 1.1e6), si(schema.PressureDim, 8e5))
	accepted.Concession = inForce
	again := finding(hot, lift, si(schema.TemperatureDim, 353.15), si(schema.TemperatureDim, 343.15))
	again.Concession = expired
	j := &rules.Judgement{Machine: m, Subjects: subjects, Findings: []*rules.Finding{accepted, again}, Concessions: []*rules.Concession{inForce, expired, unmatched}}
	return Run{Version: "v0.1.0", Date: day, Specs: []SpecResult{{Dir: "bäckerei", Judgements: []*rules.Judgement{j}}}}
}

// wrong has specs that could not be judged, beside one that could.
func wrong() Run {
	r := allHold()
	r.Specs = append(r.Specs[1:], SpecResult{Dir: "c", Mistakes: []schema.Mistake{
		{At: place("c/lift.cue", 9, 4), Path: "cylinders.lift.bore", Text: "cylinders.lift.bore is in bar; a length is wanted: {mm: 25}", Detail: "conflicting values"},
		{Text: "c: " + hostile},
	}}, SpecResult{Dir: "b", Mistakes: []schema.Mistake{{At: schema.Place{File: "/elsewhere/b 100%.cue", Line: 2, Column: 1}, Text: "is no CUE"}}})
	return r
}

func nothing() Run { return Run{Version: "v0.1.0", Date: day} }

func hostileEverywhere() Run { return everywhere(hostile) }

// everywhere has a text in every field that a spec can fill.
func everywhere(text string) Run {
	p := schema.Place{File: text, Line: 1, Column: 1}
	m := &schema.Machine{Name: text, At: p, Title: schema.Text{Value: text}, Assumptions: []schema.Assumption{{Path: text, Value: text, Source: text}}}
	in := schema.Text{Origin: schema.Origin{At: p, Path: text}, Value: text}
	s := &checks.Subject{Kind: text, Name: text, Machine: m, At: p, Facts: map[string]checks.Fact{
		text:  {Kind: checks.Text, Text: text, Worst: text, From: []schema.Input{in}},
		"why": {Kind: checks.Open, Why: text},
	}}
	r := &rules.Rule{
		Name: text, Domain: text, Kind: text, Measure: rules.Operand{Expression: text}, Limit: rules.Limit{Op: rules.MustBe, By: rules.Operand{Constant: &rules.Constant{Text: new(text)}}},
		Level: rules.Error, Title: text, Because: rules.Template{{Text: text}}, Remedy: rules.Template{{Text: text}}, Source: []rules.Source{{Practice: text}}, Formula: text, Changed: text,
	}
	v := rules.Value{Kind: checks.Text, Text: text}
	c := &rules.Concession{Rule: text, Of: text, Machine: text, Reason: text, By: text, Until: text, At: p, State: rules.Expired}
	d := *c
	d.State = rules.InForce
	f := rules.Finding{Rule: r, Subject: s, Outcome: rules.Fail, Level: rules.Error, Value: v, Op: rules.MustBe, Limit: v, Margin: math.NaN(), Worst: text, Because: text, Remedy: text, Inputs: []schema.Input{in}, At: p, Concession: c}
	g, h, k := f, f, f
	g.Concession = &d
	h.Outcome, h.Why, h.Concession = rules.Open, text, nil
	k.Outcome, k.Concession = rules.Pass, nil
	j := &rules.Judgement{Machine: m, Subjects: []*checks.Subject{s}, Findings: []*rules.Finding{&f, &g, &h, &k}, Concessions: []*rules.Concession{c, &d}, Changed: []*rules.Rule{r}}
	return Run{Version: text, Date: day, Specs: []SpecResult{
		{Dir: text, Judgements: []*rules.Judgement{j}, Remarks: []schema.Remark{{At: p, Text: text}}},
		{Dir: text, Mistakes: []schema.Mistake{{At: p, Path: text, Text: text}}},
	}}
}

type aCase struct {
	name string
	run  func() Run
}

// cases have goldens; hostileCases are those that every format must bear as well.
var (
	cases        = []aCase{{"no-go", noGo}, {"go", allHold}, {"concessions", concessions}, {"wrong", wrong}, {"nothing", nothing}}
	hostileCases = append(slices.Clone(cases), aCase{"everywhere", hostileEverywhere})
)
