package rules

import (
	"fmt"
	"sort"
	"strings"
	"time"

	"cuelang.org/go/cue"

	"trammel.example/checks"
	"trammel.example/schema"
)

// A Set is the rules of one spec: the shipped ones, as its builder's repository changed them, and its own.
type Set struct {
	Rules       []*Rule
	Concessions []Concession
	Changed     []*Rule
}

// ForSpec returns the rules that a spec is judged by. The faults are sentences about the builder's #house that keep it from being used.
func ForSpec(spec *schema.Spec) (*Set, []Fault, error) {
	shipped, err := Shipped()
	if err != nil || !spec.House.Exists() {
		return &Set{Rules: shipped}, nil, err
	}
	kinds, err := checks.Definitions()
	if err != nil {
		return nil, nil, err
	}
	h := &house{reader: reader{kinds: kinds, place: spec.Place}, rules: map[string]*Rule{}}
	for _, r := range shipped {
		h.rules[r.Name] = r
		h.names = append(h.names, r.Name)
	}
	shippedNames := h.names
	h.each(spec.House, "rules", func(name string, v cue.Value) { h.rulesEntry(name, v) })
	h.each(spec.House, "limits", func(name string, v cue.Value) { h.limitsEntry(name, v) })
	set := &Set{Concessions: h.concessions(lookup(spec.House, "concessions"))}
	for _, name := range h.names {
		set.Rules = append(set.Rules, h.rules[name])
	}
	for _, name := range shippedNames {
		if h.rules[name].Changed != "" {
			set.Changed = append(set.Changed, h.rules[name])
		}
	}
	return set, h.faults, nil
}

// house reads a builder's #house over the shipped rules.
type house struct {
	reader
	rules map[string]*Rule
	names []string // in order: shipped, then the house's own
}

func (h *house) each(v cue.Value, field string, do func(name string, v cue.Value)) {
	it, err := lookup(v, field).Fields()
	for err == nil && it.Next() {
		do(it.Selector().Unquoted(), it.Value())
	}
}

// rulesEntry is a level for a shipped rule, or a rule of the house.
func (h *house) rulesEntry(name string, v cue.Value) {
	old, shipped := h.rules[name]
	if !shipped {
		if !lookup(v, "measure").Exists() && !lookup(v, "given").Exists() {
			h.fault(v, "there is no rule `%s` to change: %s", name, h.meant(name))
			return
		}
		if r := h.rule(name, v); r != nil {
			r.Domain = "house"
			h.rules[name] = r
			h.names = append(h.names, name)
		}
		return
	}
	for _, field := range []string{"given", "when", "measure", "prefer", "title", "because", "source", "remedy", "atLeast", "atMost", "mustBe"} {
		if lookup(v, field).Exists() {
			h.fault(v, "`%s` is a shipped rule: only its level can be set here; set its limit under `limits`, or give a rule of your own another name", name)
			return
		}
	}
	level, err := lookup(v, "level").String()
	if err != nil || Level(level) == old.Level {
		return
	}
	changed := *old
	changed.Level = Level(level)
	changed.Relaxed = old.Relaxed || weight(changed.Level) < weight(old.Level)
	changed.Changed = addChange(old.Changed, fmt.Sprintf("level %s instead of %s", level, old.Level))
	h.rules[name] = &changed
}

func (h *house) meant(name string) string {
	if n := schema.Nearest(name, h.names); n != "" {
		return "did you mean `" + n + "`?"
	}
	return "`trammel rules` lists them"
}

func weight(l Level) int { return map[Level]int{Note: 1, Warning: 2, Error: 3}[l] }

func addChange(before, change string) string { return strings.TrimPrefix(before+"; "+change, "; ") }

// limitsEntry is another limit for a shipped rule.
func (h *house) limitsEntry(name string, v cue.Value) {
	old, ok := h.rules[name]
	if !ok {
		h.fault(v, "there is no rule `%s` to limit: %s", name, h.meant(name))
		return
	}
	facts := h.kinds[old.Kind]
	before := len(h.faults)
	l := h.limit(name, v, facts, definitionOf(facts, old.Measure), old.Measure.Unit)
	switch {
	case len(h.faults) > before:
		return
	case l == nil:
		h.fault(v, "the limit of `%s` is empty: write `%s`", name, fieldOf(old.Limit.Op))
		return
	case l.Op != old.Limit.Op:
		h.fault(v, "`%s` is limited by `%s`, and this sets `%s`", name, fieldOf(old.Limit.Op), fieldOf(l.Op))
		return
	}
	changed := *old
	changed.Limit = *l
	changed.Relaxed = old.Relaxed || !tighter(*l, old.Limit, measuredDim(facts, old.Measure))
	changed.Changed = addChange(old.Changed, fmt.Sprintf("limit %s %s", l.Op, operandText(l.By, measuredDim(facts, old.Measure))))
	h.rules[name] = &changed
}

func measuredDim(facts []checks.Definition, o Operand) schema.Dimension {
	if d := definitionOf(facts, o); d != nil && o.Unit == "" {
		return d.Dim
	}
	return schema.NumberDim
}

// tighter reports whether a new limit lets less pass than the old. Where that can't be told before there is a subject, it is taken to
// let more pass, so that nobody overlooks it.
func tighter(l, old Limit, dim schema.Dimension) bool {
	if l.By.Constant == nil || old.By.Constant == nil || l.Op == MustBe {
		return false
	}
	a, b := l.By.Constant.value(dim), old.By.Constant.value(dim)
	if l.Op == AtLeast {
		return a.SI >= b.SI
	}
	return a.SI <= b.SI
}

func operandText(o Operand, dim schema.Dimension) string {
	switch {
	case o.Constant != nil:
		return o.Constant.value(dim).String()
	case o.Fact != "":
		return "its " + o.Fact
	}
	return o.Expression
}

func (h *house) concessions(v cue.Value) []Concession {
	var list []Concession
	it, err := v.List()
	for err == nil && it.Next() {
		c := it.Value()
		text := func(field string) string {
			s, _ := lookup(c, field).String()
			return s
		}
		one := Concession{Rule: text("rule"), Of: text("of"), Machine: text("machine"), Reason: text("reason"), By: text("by"), Until: text("until"), At: h.placeOf(lookup(c, "rule"))}
		switch _, known := h.rules[one.Rule]; {
		case strings.ContainsAny(one.Of+one.Machine, "*?") || one.Of == "all":
			h.fault(lookup(c, "of"), "a concession accepts one finding of one subject, and `%s` would accept more: name the subject, and add one concession for each", one.Of)
		case !known:
			h.fault(lookup(c, "rule"), "a concession names the rule `%s`, which does not exist: %s", one.Rule, h.meant(one.Rule))
		case !isDate(one.Until):
			h.fault(lookup(c, "until"), "a concession ends on a day, as in `until: \"2027-06-30\"`, and %q is none", one.Until)
		default:
			list = append(list, one)
		}
	}
	sort.SliceStable(list, func(i, j int) bool { return list[i].At.Before(list[j].At) })
	return list
}

func isDate(s string) bool {
	_, err := time.Parse(time.DateOnly, s)
	return err == nil
}

// Loosened says what of a rule lets more pass than it did; "" where nothing does. A rule that is there no more is nil.
func Loosened(before, now *Rule) string {
	switch {
	case now == nil:
		return "is there no more"
	case weight(now.Level) < weight(before.Level):
		return fmt.Sprintf("has the level %s instead of %s", now.Level, before.Level)
	case now.Limit.Op != before.Limit.Op || now.Measure.String() != before.Measure.String():
		return "measures another thing"
	}
	if now.Limit.By.String() == before.Limit.By.String() {
		return ""
	}
	kinds, err := checks.Definitions()
	if err == nil && tighter(now.Limit, before.Limit, measuredDim(kinds[before.Kind], before.Measure)) {
		return ""
	}
	return fmt.Sprintf("wants %s %s instead of %s", now.Limit.Op, now.Limit.By, before.Limit.By)
}
