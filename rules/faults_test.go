package rules_test

import (
	"fmt"
	"slices"
	"sort"
	"strconv"
	"strings"
	"testing"
	"unicode/utf8"

	"cuelang.org/go/cue/ast"
	"cuelang.org/go/cue/literal"
	"cuelang.org/go/cue/parser"
	"cuelang.org/go/cue/token"

	"trammel.example/rules"
	"trammel.example/schema"
)

// TestFaults demands of every spec in testdata/faults that exactly those findings fail there which it expects, each at the value that a
// builder would change. The expectation stands on that value:
//
//	length: mm: 16 @fails("screw-bottoms")
//
// Behind a rule's name may stand the level, where only the preferred limit is missed, and how many subjects fail at that value, where
// there are several: @fails("push-too-weak", warning) or @fails("tube-size", 4, "threads-clash"). An attribute on a list speaks also of
// the values in it; on a struct it speaks of the field's name. @passes("rule") stands on a value that only just does, or of which no
// example has the like.
func TestFaults(t *testing.T) {
	for _, j := range everything(t) {
		if j.fault == nil {
			continue
		}
		t.Run(j.name, func(t *testing.T) {
			want, err := expectations(j.fault.files)
			if err != nil {
				t.Fatal(err)
			}
			if len(want) == 0 {
				t.Error("expects nothing: put @fails(\"rule\") on the value that is to blame")
			}
			for _, f := range j.Findings {
				if f.Outcome == rules.Pass {
					meet(want, f)
				}
				if f.Outcome == rules.Fail && !meet(want, f) {
					t.Errorf("%v: %s (%s) fails for %s %s: %v, %s %v\n\t%s", f.At, f.Rule.Name, f.Level, f.Subject.Kind, f.Subject.Name, f.Value, f.Op, f.Limit, f.Because)
				}
			}
			for _, e := range want {
				if e.found != e.count {
					t.Errorf("%v: %s (%s) has outcome %s here for %d subjects, want %d", e.spots[0].from, e.rule, e.level, e.outcome, e.found, e.count)
				}
			}
		})
	}
}

// An expectation is one rule of a @fails or @passes attribute.
type expectation struct {
	rule         string
	outcome      rules.Outcome
	level        rules.Level
	count, found int
	spots        []spot
}

// A spot is a stretch of one file: from the place up to the other; one place where the two are equal.
type spot struct{ from, to schema.Place }

func (s spot) holds(p schema.Place) bool {
	if p == s.from {
		return true
	}
	return p.File == s.from.File && s.from.Before(p) && p.Before(s.to)
}

func meet(want []*expectation, f *rules.Finding) bool {
	for _, e := range want {
		if e.rule == f.Rule.Name && e.outcome == f.Outcome && e.level == f.Level && e.found < e.count && slices.ContainsFunc(e.spots, func(s spot) bool { return s.holds(f.At) }) {
			e.found++
			return true
		}
	}
	return false
}

func expectations(files map[string]string) ([]*expectation, error) {
	all, err := rules.Shipped()
	if err != nil {
		return nil, err
	}
	levels := map[string]rules.Level{}
	for _, r := range all {
		levels[r.Name] = r.Level
	}
	var want []*expectation
	var names []string
	for name := range files {
		names = append(names, name)
	}
	sort.Strings(names)
	for _, name := range names {
		parsed, err := parser.ParseFile(name, files[name])
		if err != nil {
			return nil, err
		}
		lines := strings.Split(files[name], "\n")
		place := func(p token.Pos) schema.Place {
			return schema.Place{File: name, Line: p.Line(), Column: utf8.RuneCountInString(lines[p.Line()-1][:p.Column()-1]) + 1}
		}
		ast.Walk(parsed, func(n ast.Node) bool {
			field, ok := n.(*ast.Field)
			if !ok {
				return true
			}
			for _, a := range field.Attrs {
				key, body := a.Split()
				outcome, ok := map[string]rules.Outcome{"fails": rules.Fail, "passes": rules.Pass}[key]
				if !ok {
					continue
				}
				es, badly := readExpectations(body, levels)
				if badly != nil {
					err = fmt.Errorf("%v: %w", place(a.Pos()), badly)
				}
				label := place(field.Label.Pos())
				spots := []spot{{label, label}}
				if _, isStruct := field.Value.(*ast.StructLit); !isStruct {
					value := spot{place(field.Value.Pos()), place(field.Value.Pos())}
					if list, isList := field.Value.(*ast.ListLit); isList {
						value.to = place(list.End())
					}
					spots = append(spots, value)
				}
				for _, e := range es {
					e.outcome, e.spots = outcome, spots
				}
				want = append(want, es...)
			}
			return true
		}, nil)
		if err != nil {
			return nil, err
		}
	}
	return want, nil
}

// readExpectations reads what stands between the parentheses of @fails and @passes.
func readExpectations(body string, levels map[string]rules.Level) ([]*expectation, error) {
	var es []*expectation
	for _, part := range strings.Split(body, ",") {
		part = strings.TrimSpace(part)
		if name, err := literal.Unquote(part); err == nil {
			level, ok := levels[name]
			if !ok {
				return nil, fmt.Errorf("there is no rule %q", name)
			}
			es = append(es, &expectation{rule: name, level: level, count: 1})
			continue
		}
		if len(es) == 0 {
			return nil, fmt.Errorf("an expectation begins with a rule's name in quotation marks, and not with %s", part)
		}
		last := es[len(es)-1]
		n, err := strconv.Atoi(part)
		switch {
		case err == nil && n > 1:
			last.count = n
		case part == string(rules.Error) || part == string(rules.Warning) || part == string(rules.Note):
			last.level = rules.Level(part)
		default:
			return nil, fmt.Errorf("%s is neither a level nor a number above 1", part)
		}
	}
	return es, nil
}
