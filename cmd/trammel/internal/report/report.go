// Package report writes what was judged: as text for a person, as JSON and as SARIF for other programs.
package report

import (
	"cmp"
	"math"
	"slices"
	"strconv"
	"strings"
	"time"

	"trammel.example/checks"
	"trammel.example/cmd/trammel/internal/ramp"
	"trammel.example/rules"
	"trammel.example/schema"
)

// Caution ends whatever states a verdict or explains a rule.
const Caution = "The verdict speaks only of what is written in the spec: it knows nothing of what was left out, built otherwise or worn. " +
	"Local codes and licensed practice come first. Keep people away at first air."

// A Run is everything that one call of trammel judged.
type Run struct {
	Version string
	Date    time.Time // the day that concessions were judged by
	Specs   []SpecResult
	// Plans say how far up the pressure of each machine may go, where that was asked for. A machine without a regulator has none.
	Plans map[*rules.Judgement]*ramp.Plan
	// Sheets are the pages with each machine's workshop sheets, where some lie beside the page: no link leads to what is not there.
	Sheets map[*rules.Judgement]string
	views  map[*schema.Machine]*view
}

// A SpecResult is what came of one spec. One with mistakes has not been judged.
type SpecResult struct {
	Dir        string // as the builder named it
	Judgements []*rules.Judgement
	Mistakes   []schema.Mistake
	Remarks    []schema.Remark
}

// Counts says how many findings there are of each sort. A failure that a concession in force accepts counts as Conceded alone.
type Counts struct {
	Errors        int `json:"errors"`
	Warnings      int `json:"warnings"`
	Notes         int `json:"notes"`
	Open          int `json:"open"`
	Conceded      int `json:"conceded"`
	Passes        int `json:"passes"`
	NotApplicable int `json:"notApplicable"`
	// Expired and Unmatched count concessions.
	Expired   int `json:"expired"`
	Unmatched int `json:"unmatched"`
}

func count(j *rules.Judgement) Counts {
	var c Counts
	for _, f := range j.Findings {
		switch {
		case f.Outcome == rules.Pass:
			c.Passes++
		case f.Outcome == rules.NotApplicable:
			c.NotApplicable++
		case f.Outcome == rules.Open:
			c.Open++
		case conceded(f):
			c.Conceded++
		case f.Level == rules.Error:
			c.Errors++
		case f.Level == rules.Warning:
			c.Warnings++
		default:
			c.Notes++
		}
	}
	for _, one := range j.Concessions {
		switch one.State {
		case rules.Expired:
			c.Expired++
		case rules.Unmatched:
			c.Unmatched++
		}
	}
	return c
}

func (c *Counts) add(d Counts) {
	c.Errors += d.Errors
	c.Warnings += d.Warnings
	c.Notes += d.Notes
	c.Open += d.Open
	c.Conceded += d.Conceded
	c.Passes += d.Passes
	c.NotApplicable += d.NotApplicable
	c.Expired += d.Expired
	c.Unmatched += d.Unmatched
}

func conceded(f *rules.Finding) bool {
	return f.Concession != nil && f.Concession.State == rules.InForce
}

func verdict(j *rules.Judgement) string {
	if j.Go() {
		return "GO"
	}
	return "NO-GO"
}

// NotJudged is the verdict on a run with a spec that has mistakes, or with no machine at all.
const NotJudged = "not judged"

func (r Run) verdict() string {
	machines, all := 0, "GO"
	for _, s := range r.Specs {
		if len(s.Mistakes) > 0 {
			return NotJudged
		}
		for _, j := range s.Judgements {
			machines++
			if !j.Go() {
				all = "NO-GO"
			}
		}
	}
	if machines == 0 {
		return NotJudged
	}
	return all
}

// failures are those that no concession in force accepts, worst first.
func failures(j *rules.Judgement) []*rules.Finding {
	var list []*rules.Finding
	for _, f := range j.Findings {
		if f.Outcome == rules.Fail && !conceded(f) {
			list = append(list, f)
		}
	}
	slices.SortStableFunc(list, worstFirst)
	return list
}

func worstFirst(a, b *rules.Finding) int {
	return cmp.Or(weight(b.Level)-weight(a.Level), byShare(shortfall(b), shortfall(a)), byPlace(a.At, b.At), bySubject(a, b))
}

// byShare compares shares. Those that differ by rounding alone count as equal, so that the order does not hang on it.
func byShare(a, b float64) int { return cmp.Compare(float32(a), float32(b)) }

func weight(l rules.Level) int {
	switch l {
	case rules.Error:
		return 3
	case rules.Warning:
		return 2
	case rules.Note:
		return 1
	}
	return 0
}

// shortfall is by which share of the limit a value misses it. Where there is no share (a flag, a limit of nothing), all of it is missed.
func shortfall(f *rules.Finding) float64 {
	if math.IsNaN(f.Margin) {
		return 1
	}
	return -f.Margin
}

func sortedFindings(j *rules.Judgement) []*rules.Finding {
	list := slices.Clone(j.Findings)
	slices.SortStableFunc(list, bySubject)
	return list
}

func bySubject(a, b *rules.Finding) int {
	// One after the other: there are thousands, and most differ in the first or the second.
	if c := cmp.Compare(a.Subject.Kind, b.Subject.Kind); c != 0 {
		return c
	}
	if c := cmp.Compare(a.Subject.Name, b.Subject.Name); c != 0 {
		return c
	}
	return cmp.Compare(a.Rule.Name, b.Rule.Name)
}

func byPlace(a, b schema.Place) int {
	return cmp.Or(cmp.Compare(a.File, b.File), cmp.Compare(a.Line, b.Line), cmp.Compare(a.Column, b.Column))
}

// assumptions are those of the loader and of the subjects, by path, each once. What a subject assumes of a value stands in place of what
// the loader did.
func assumptions(j *rules.Judgement) []schema.Assumption {
	var list []schema.Assumption
	replaced := map[string]bool{}
	for _, s := range j.Subjects {
		list = append(list, s.Assumed...)
		for _, a := range s.Assumed {
			replaced[a.Path] = true
		}
	}
	for _, a := range j.Machine.Assumptions {
		if !replaced[a.Path] {
			list = append(list, a)
		}
	}
	slices.SortFunc(list, func(a, b schema.Assumption) int {
		return cmp.Or(cmp.Compare(a.Path, b.Path), cmp.Compare(a.Value, b.Value), cmp.Compare(a.Source, b.Source))
	})
	return slices.Compact(list)
}

// distinct leaves out inputs that are named twice; the order stays.
func distinct(inputs []schema.Input) []schema.Input {
	type key struct {
		origin schema.Origin
		text   string
	}
	seen := map[key]bool{}
	kept := make([]schema.Input, 0, len(inputs))
	for _, in := range inputs {
		k := key{schema.OriginOf(in), in.String()}
		if !seen[k] {
			seen[k] = true
			kept = append(kept, in)
		}
	}
	return kept
}

// A gap is a reason that keeps rules from judging some subjects.
type gap struct {
	why      string
	subjects []*checks.Subject
	rules    []string
	places   []schema.Place
}

// who are the subjects, those of one kind behind each other under one word.
func (g *gap) who() string {
	var names []string
	for i, s := range g.subjects {
		if i > 0 && s.Kind == g.subjects[i-1].Kind {
			names = append(names, strconv.Quote(s.Name))
			continue
		}
		names = append(names, subject(s))
	}
	return strings.Join(names, ", ")
}

// gaps groups the open findings by their reasons: one that keeps the motion from being known leaves much open.
func gaps(j *rules.Judgement) []*gap {
	known := map[string]*gap{}
	var list []*gap
	open := slices.DeleteFunc(slices.Clone(j.Findings), func(f *rules.Finding) bool { return f.Outcome != rules.Open })
	slices.SortStableFunc(open, bySubject)
	for _, f := range open {
		g := known[f.Why]
		if g == nil {
			g = &gap{why: f.Why}
			known[f.Why] = g
			list = append(list, g)
		}
		if !slices.Contains(g.subjects, f.Subject) {
			g.subjects = append(g.subjects, f.Subject)
		}
		if !slices.Contains(g.rules, f.Rule.Name) {
			g.rules = append(g.rules, f.Rule.Name)
		}
		if !slices.Contains(g.places, f.At) {
			g.places = append(g.places, f.At)
		}
	}
	for _, g := range list {
		slices.SortStableFunc(g.places, byPlace)
	}
	slices.SortStableFunc(list, func(a, b *gap) int { return byPlace(a.places[0], b.places[0]) })
	return list
}
