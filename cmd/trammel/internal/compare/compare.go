// Package compare holds two states of a repository's machines against each other: what came and went, what fails now and what no
// longer does, and what was let through on the way.
package compare

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"trammel.example/checks"
	"trammel.example/rules"
	"trammel.example/schema"
)

// A Side is one state: what was judged in each folder.
type Side struct {
	Name  string
	Specs []Spec
}

// A Spec is one folder's machines and the rules that they were judged by.
type Spec struct {
	Folder     string
	Judgements []*rules.Judgement
	Rules      *rules.Set
}

// A Comparison is what two sides differ in.
type Comparison struct {
	Base, Head string
	Machines   []Machine
	Rules      []Loosened
	Part       float64 // facts that moved by less are left out
}

// Loosened is a rule of one folder that lets more pass.
type Loosened struct{ Folder, Rule, How string }

// A Machine is one machine on both sides; of one that came or went the other side's judgement is nil.
type Machine struct {
	Folder, Name string
	Base, Head   *rules.Judgement
	New, Grown   []Change // fail, or are open, and did not; are further from their limit than they were
	Fixed, Still []Change
	// Ended are failures that are gone, and not because the rule holds now: How says why.
	Ended    []Change
	Conceded []Accepted
	Moved    []Move
	Data     []Datum
}

// A Change is one finding on both sides; the one that is not there is nil.
type Change struct {
	Base, Head *rules.Finding
	How        string
}

// An Accepted is a concession that was added or prolonged.
type Accepted struct {
	Concession *rules.Concession
	Until      string // as it was before; "" of one that was added
}

// A Move is a computed number that changed.
type Move struct {
	Subject    *checks.Subject
	Fact       string
	Base, Head checks.Fact
	Share      float64 // of the larger of the two
}

// A Datum is a value of a bought part that changed while its source did not.
type Datum struct {
	Path, Base, Head, Source string
	At                       schema.Place
}

// Of compares. Facts count as moved that changed by more than a part of the larger of the two.
func Of(base, head Side, part float64) *Comparison {
	c := &Comparison{Base: base.Name, Head: head.Name, Part: part}
	type key struct{ folder, name string }
	index := func(s Side) (map[key]*rules.Judgement, []key) {
		all := map[key]*rules.Judgement{}
		var keys []key
		for _, spec := range s.Specs {
			for _, j := range spec.Judgements {
				k := key{spec.Folder, j.Machine.Name}
				all[k] = j
				keys = append(keys, k)
			}
		}
		return all, keys
	}
	before, names := index(base)
	now, more := index(head)
	names = append(names, more...)
	slices.SortFunc(names, func(a, b key) int { return cmp.Or(cmp.Compare(a.folder, b.folder), cmp.Compare(a.name, b.name)) })
	for _, k := range slices.Compact(names) {
		m := Machine{Folder: k.folder, Name: k.name, Base: before[k], Head: now[k]}
		m.findings()
		if m.Base != nil && m.Head != nil {
			m.facts(part)
			m.Data = data(m.Base.Machine, m.Head.Machine)
		}
		if m.Head != nil {
			m.concessions()
		}
		c.Machines = append(c.Machines, m)
	}
	c.loosened(base, head)
	return c
}

// Worse reports whether something got worse, or was let through: it is what refuses a change.
func (c *Comparison) Worse() bool {
	if len(c.Rules) > 0 {
		return true
	}
	for _, m := range c.Machines {
		if m.Worse() {
			return true
		}
	}
	return false
}

// Worse reports whether this machine got worse. A note refuses nothing.
func (m *Machine) Worse() bool {
	if m.Head == nil {
		return false // a machine that is gone harms nobody
	}
	weighs := func(c Change) bool { return c.Head.Outcome == rules.Open || c.Head.Level != rules.Note }
	return slices.ContainsFunc(m.New, weighs) || slices.ContainsFunc(m.Grown, weighs) || len(m.Conceded) > 0 || len(m.Data) > 0
}

// id is what makes a finding the same on both sides.
type id struct{ rule, kind, name string }

func stands(f *rules.Finding) bool { return f.Outcome == rules.Fail || f.Outcome == rules.Open }

func accepted(f *rules.Finding) bool {
	return f.Concession != nil && f.Concession.State == rules.InForce
}

func byID(j *rules.Judgement) map[id]*rules.Finding {
	all := map[id]*rules.Finding{}
	if j == nil {
		return all
	}
	for _, f := range j.Findings {
		all[id{f.Rule.Name, f.Subject.Kind, f.Subject.Name}] = f
	}
	return all
}

func (m *Machine) findings() {
	before, now := byID(m.Base), byID(m.Head)
	if m.Head != nil {
		for _, f := range m.Head.Findings {
			if !stands(f) || accepted(f) {
				continue
			}
			old := before[id{f.Rule.Name, f.Subject.Kind, f.Subject.Name}]
			change := Change{Base: old, Head: f}
			switch {
			case old == nil || !stands(old) || accepted(old):
				m.New = append(m.New, change)
			case grown(old, f):
				m.Grown = append(m.Grown, change)
			default:
				m.Still = append(m.Still, change)
			}
		}
	}
	if m.Base == nil || m.Head == nil {
		return
	}
	subjects := map[[2]string]bool{}
	for _, s := range m.Head.Subjects {
		subjects[[2]string{s.Kind, s.Name}] = true
	}
	for _, f := range m.Base.Findings {
		if !stands(f) || accepted(f) {
			continue
		}
		f2 := now[id{f.Rule.Name, f.Subject.Kind, f.Subject.Name}]
		change := Change{Base: f, Head: f2}
		switch {
		case f2 != nil && stands(f2) && accepted(f2):
			change.How = "it is conceded now"
			m.Ended = append(m.Ended, change)
		case f2 != nil && stands(f2):
		case f2 != nil && f2.Outcome == rules.Pass:
			if rules.Loosened(f.Rule, f2.Rule) != "" {
				change.How = "the rule was relaxed"
				m.Ended = append(m.Ended, change)
				break
			}
			m.Fixed = append(m.Fixed, change)
		case !subjects[[2]string{f.Subject.Kind, f.Subject.Name}]:
			change.How = fmt.Sprintf("there is no %s %q any more", f.Subject.Kind, f.Subject.Name)
			m.Ended = append(m.Ended, change)
		default:
			change.How = "the rule no longer speaks of it"
			m.Ended = append(m.Ended, change)
		}
	}
}

var weight = map[rules.Level]int{rules.Note: 1, rules.Warning: 2, rules.Error: 3}

// little is by how much a margin may shrink, as a share of the limit, without a finding counting as grown.
const little = 0.01

func grown(old, now *rules.Finding) bool {
	switch {
	case old.Outcome == rules.Open:
		return now.Outcome == rules.Fail
	case now.Outcome == rules.Open:
		return false
	case weight[now.Level] > weight[old.Level]:
		return true
	case math.IsNaN(now.Margin) || math.IsNaN(old.Margin):
		return false
	}
	return now.Margin < old.Margin-little*max(1, math.Abs(old.Margin))
}

func (m *Machine) facts(part float64) {
	before := map[[2]string]*checks.Subject{}
	for _, s := range m.Base.Subjects {
		before[[2]string{s.Kind, s.Name}] = s
	}
	for _, s := range m.Head.Subjects {
		old := before[[2]string{s.Kind, s.Name}]
		if old == nil {
			continue
		}
		for name, f := range s.Facts {
			g, ok := old.Facts[name]
			if !ok || f.Kind != checks.Quantity || g.Kind != checks.Quantity || f.String() == g.String() {
				continue
			}
			share := math.Abs(f.SI-g.SI) / max(math.Abs(f.SI), math.Abs(g.SI))
			if share > part {
				m.Moved = append(m.Moved, Move{s, name, g, f, share})
			}
		}
	}
	slices.SortFunc(m.Moved, func(a, b Move) int {
		return cmp.Or(-cmp.Compare(math.Round(a.Share*1e6), math.Round(b.Share*1e6)), cmp.Compare(a.Subject.Kind, b.Subject.Kind), cmp.Compare(a.Subject.Name, b.Subject.Name), cmp.Compare(a.Fact, b.Fact))
	})
}

func (m *Machine) concessions() {
	for _, c := range m.Head.Concessions {
		var old *rules.Concession
		if m.Base != nil {
			for _, o := range m.Base.Concessions {
				if o.Rule == c.Rule && o.Of == c.Of && o.Machine == c.Machine {
					old = o
				}
			}
		}
		switch {
		case old == nil:
			m.Conceded = append(m.Conceded, Accepted{Concession: c})
		case c.Until > old.Until: // days as 2027-06-30
			m.Conceded = append(m.Conceded, Accepted{c, old.Until})
		}
	}
}

func (c *Comparison) loosened(base, head Side) {
	for _, now := range head.Specs {
		for _, before := range base.Specs {
			if before.Folder != now.Folder || before.Rules == nil || now.Rules == nil {
				continue
			}
			by := map[string]*rules.Rule{}
			for _, r := range now.Rules.Rules {
				by[r.Name] = r
			}
			for _, r := range before.Rules.Rules {
				if how := rules.Loosened(r, by[r.Name]); how != "" {
					c.Rules = append(c.Rules, Loosened{now.Folder, r.Name, how})
				}
			}
		}
	}
}
