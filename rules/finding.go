package rules

import (
	"math"

	"trammel.example/checks"
	"trammel.example/schema"
)

// An Outcome is what judging a rule on a subject gave; the words are SARIF's kinds.
type Outcome string

const (
	Pass          Outcome = "pass"
	Fail          Outcome = "fail"
	Open          Outcome = "open"          // can't be judged: something is not known
	NotApplicable Outcome = "notApplicable" // the rule does not speak of this subject
)

// A Value is a number in SI with its dimension, a text, or a flag.
type Value struct {
	Kind checks.Kind
	Dim  schema.Dimension
	SI   float64
	Text string
	Flag bool
}

func (v Value) String() string {
	return checks.Fact{Kind: v.Kind, Dim: v.Dim, SI: v.SI, Text: v.Text, Flag: v.Flag}.String()
}

// A Finding is one rule judged on one subject.
type Finding struct {
	Rule    *Rule
	Subject *checks.Subject
	Outcome Outcome
	Level   Level // of a failure, or of what passing it would need; Warning when only the preferred limit is missed
	Value   Value
	Op      Operator
	Limit   Value
	// Margin is how far the value lies inside the limit, as a share of the limit; negative outside. NaN where there is none (a limit of 0, a flag).
	Margin float64
	// Utilised is set where the rule is on strength, and was judged.
	Utilised *Utilised
	Worst    string // pose or load case
	Because  string
	Remedy   string
	Why      string // of an open finding: what is missing
	Inputs   []schema.Input
	At       schema.Place // the value to change
	// Concession is the accepted finding's, in force or expired.
	Concession *Concession
}

// Utilised is what a part bears by what it may, whichever of the two the rule measures. What is only preferred does not count.
type Utilised struct {
	Load, Strength Value
	Share          float64 // Load / Strength; infinite where there is load and no strength
}

func utilised(op Operator, v, limit Value) *Utilised {
	u := &Utilised{Load: v, Strength: limit}
	if op == AtLeast {
		u.Load, u.Strength = limit, v
	}
	switch {
	case u.Load.SI <= 0:
	case u.Strength.SI <= 0:
		u.Share = math.Inf(1)
	default:
		u.Share = u.Load.SI / u.Strength.SI
	}
	return u
}

// Counts reports whether the finding stands against the machine.
func (f *Finding) Counts() bool {
	return f.Outcome == Fail && f.Level == Error && (f.Concession == nil || f.Concession.State != InForce)
}

// A Concession accepts one finding of one subject for a time.
type Concession struct {
	Rule, Of, Machine, Reason, By, Until string
	At                                   schema.Place
	State                                ConcessionState
}

// A ConcessionState says what became of a concession in one run.
type ConcessionState string

const (
	InForce   ConcessionState = "in force"
	Expired   ConcessionState = "expired"   // the finding counts again
	Unmatched ConcessionState = "unmatched" // nothing fails that it would accept
)

// A Judgement is all that was found of one machine.
type Judgement struct {
	Machine     *schema.Machine
	Subjects    []*checks.Subject
	Findings    []*Finding
	Concessions []*Concession // those that name this machine, or any
	Changed     []*Rule       // shipped rules that the builder's repository changed
}

// Go reports the verdict: whether no failing error stands against the machine.
func (j *Judgement) Go() bool {
	for _, f := range j.Findings {
		if f.Counts() {
			return false
		}
	}
	for _, c := range j.Concessions {
		if c.State == Expired {
			return false
		}
	}
	return true
}
