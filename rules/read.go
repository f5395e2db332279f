package rules

import (
	"fmt"
	"sort"
	"strings"

	"cuelang.org/go/cue"
	"cuelang.org/go/cue/ast"
	"cuelang.org/go/cue/format"
	"cuelang.org/go/cue/literal"
	"cuelang.org/go/cue/token"

	"trammel.example/checks"
	"trammel.example/schema"
)

// A reader turns rules from CUE into Go. Values that CUE knows come from the evaluator; what depends on a subject is read from the
// text, since before there is a subject it has no value.
type reader struct {
	kinds map[string][]checks.Definition
	place func(token.Pos) schema.Place
	// faults are sentences about rules that can't be used.
	faults []Fault
}

// A Fault is something wrong with a rule, a limit or a concession.
type Fault struct {
	At   schema.Place
	Text string
}

func (f Fault) String() string { return schema.Mistake{At: f.At, Text: f.Text}.String() }

func (r *reader) fault(v cue.Value, format string, args ...any) {
	r.faults = append(r.faults, Fault{At: r.placeOf(v), Text: fmt.Sprintf(format, args...)})
}

func (r *reader) placeOf(v cue.Value) schema.Place {
	if f := sourceOf(v); f != nil {
		return r.place(f.Label.Pos())
	}
	return r.place(v.Pos())
}

// rule reads one whole rule.
func (r *reader) rule(name string, v cue.Value) *Rule {
	rule := &Rule{Name: name, At: r.placeOf(v)}
	kind, err := v.LookupPath(cue.ParsePath("given.kind")).String()
	facts, known := r.kinds[kind]
	if err != nil || !known {
		r.fault(v, "rule %s does not say what it judges: write `given: facts.#Fastening`, or another kind of subject (%s)", name, strings.Join(r.kindNames(), ", "))
		return nil
	}
	rule.Kind = kind
	before := len(r.faults)
	measure := lookup(v, "measure")
	if !measure.Exists() {
		r.fault(v, "rule %s measures nothing: add `measure: given.…`", name)
		return nil
	}
	rule.Measure = r.operand(name, measure, facts)
	measured := definitionOf(facts, rule.Measure)
	if measured != nil {
		rule.Formula, rule.Strength = measured.Formula, measured.Strength
	}
	if limit := r.limit(name, v, facts, measured, rule.Measure.Unit); limit != nil {
		rule.Limit = *limit
	} else if len(r.faults) == before {
		r.fault(v, "rule %s has no limit: add one of `atLeast`, `atMost`, `mustBe`", name)
	}
	if p := lookup(v, "prefer"); p.Exists() {
		rule.Prefer = r.limit(name, p, facts, measured, rule.Measure.Unit)
	}
	if w := lookup(v, "when"); w.Exists() {
		op := r.operand(name, w, facts)
		rule.When = &op
	}
	level, _ := lookup(v, "level").String()
	rule.Level = Level(level)
	rule.Title, _ = lookup(v, "title").String()
	rule.Because = r.template(name, lookup(v, "because"), facts)
	rule.Remedy = r.template(name, lookup(v, "remedy"), facts)
	rule.Source = readSources(lookup(v, "source"))
	for field, missing := range map[string]bool{"title": rule.Title == "", "because": rule.Because == nil, "remedy": rule.Remedy == nil, "source": rule.Source == nil} {
		if missing {
			r.fault(v, "rule %s has no `%s`", name, field)
		}
	}
	if len(r.faults) > before {
		return nil
	}
	return rule
}

func (r *reader) kindNames() []string {
	var names []string
	for k := range r.kinds {
		names = append(names, k)
	}
	sort.Strings(names)
	return names
}

// lookup finds a field, also where its value is not concrete.
func lookup(v cue.Value, name string) cue.Value { return v.LookupPath(cue.MakePath(cue.Str(name))) }

// limit reads the one limit among v's fields.
func (r *reader) limit(name string, v cue.Value, facts []checks.Definition, measured *checks.Definition, unit string) *Limit {
	var found *Limit
	for _, side := range []struct {
		field string
		op    Operator
	}{{"atLeast", AtLeast}, {"atMost", AtMost}, {"mustBe", MustBe}} {
		l := lookup(v, side.field)
		if !l.Exists() {
			continue
		}
		if found != nil {
			r.fault(v, "rule %s has two limits: keep one of `atLeast`, `atMost`, `mustBe`", name)
			return nil
		}
		found = &Limit{Op: side.op, By: r.operand(name, l, facts)}
		r.fits(name, l, *found, facts, measured, unit)
	}
	return found
}

// fits demands that a limit can be compared with what is measured.
func (r *reader) fits(name string, v cue.Value, l Limit, facts []checks.Definition, measured *checks.Definition, unit string) {
	if measured == nil {
		return // an expression: its value is looked at when there is one
	}
	number := measured.Kind == checks.Quantity
	if number == (l.Op == MustBe) {
		r.fault(v, "rule %s measures %s, which is %s: `%s` can't limit it", name, measured.Name, kindWord(measured.Kind), fieldOf(l.Op))
		return
	}
	dim := measured.Dim
	if unit != "" {
		dim = schema.NumberDim
	}
	if other := definitionOf(facts, l.By); other != nil {
		if other.Kind != measured.Kind || l.By.Unit == "" && other.Dim != dim {
			r.fault(v, "rule %s holds %s (%s) against %s (%s)", name, measured.Name, dim, other.Name, other.Dim)
		}
		return
	}
	if c := l.By.Constant; c != nil && c.Number != nil {
		if _, ok := schema.UnitOf(dim, c.Unit); !ok {
			var names []string
			for _, u := range schema.UnitsOf(dim) {
				names = append(names, "`"+u.Name+"`")
			}
			if dim == schema.NumberDim {
				r.fault(v, "rule %s measures %s, a plain number: its limit has no unit", name, measured.Name)
			} else {
				r.fault(v, "rule %s measures %s (%s): its limit wants a unit, one of %s", name, measured.Name, dim, strings.Join(names, ", "))
			}
		}
	}
}

func kindWord(k checks.Kind) string {
	return map[checks.Kind]string{checks.Quantity: "a number", checks.Text: "a text", checks.Flag: "true or false"}[k]
}

func fieldOf(op Operator) string {
	return map[Operator]string{AtLeast: "atLeast", AtMost: "atMost", MustBe: "mustBe"}[op]
}

func definitionOf(facts []checks.Definition, o Operand) *checks.Definition {
	for i := range facts {
		if facts[i].Name == o.Fact {
			return &facts[i]
		}
	}
	return nil
}

// operand reads a fact, a constant or an expression.
func (r *reader) operand(rule string, v cue.Value, facts []checks.Definition) Operand {
	source := sourceOf(v)
	if source != nil {
		if o, ok := factIn(source.Value); ok {
			if definitionOf(facts, o) == nil && o.Fact != "name" {
				r.fault(v, "rule %s: there is no fact `%s`", rule, o.Fact)
			}
			return o
		}
	}
	if c := constant(v); c != nil {
		return Operand{Constant: c}
	}
	if source == nil {
		r.fault(v, "rule %s: this is neither a fact, a number with its unit, nor an expression over `given`", rule)
		return Operand{}
	}
	return r.expression(rule, v, source.Value)
}

// expression keeps the text of an expression, which may use facts, numbers and CUE's own packages and nothing else of the builder's.
func (r *reader) expression(rule string, v cue.Value, e ast.Expr) Operand {
	var look func(n ast.Node) bool
	look = func(n ast.Node) bool {
		switch n := n.(type) {
		case *ast.SelectorExpr:
			ast.Walk(n.X, look, nil) // the name behind the dot is none of its own
			return false
		case *ast.Ident:
			if n.Name != "given" && n.Name != "math" && !builtin[n.Name] {
				r.fault(v, "rule %s: an expression may use `given`, numbers, texts and `math`, and not `%s`", rule, n.Name)
			}
		}
		return true
	}
	ast.Walk(e, look, nil)
	text, err := format.Node(e)
	if err != nil {
		r.fault(v, "rule %s: %v", rule, err)
	}
	return Operand{Expression: string(text)}
}

var builtin = map[string]bool{"len": true, "div": true, "mod": true, "quo": true, "rem": true, "and": true, "or": true, "true": true, "false": true}

// sourceOf is the field in the text that a value was written in: not the one of #Rule, which only says that there may be one.
func sourceOf(v cue.Value) *ast.Field {
	op, args := v.Expr()
	if op != cue.AndOp {
		args = []cue.Value{v}
	}
	for _, a := range args {
		if f, ok := a.Source().(*ast.Field); ok && f.Constraint == token.ILLEGAL {
			return f
		}
	}
	return nil
}

// factIn recognises given.fact and given.fact.unit.
func factIn(e ast.Expr) (Operand, bool) {
	sel, ok := e.(*ast.SelectorExpr)
	if !ok {
		if ix, isIndex := e.(*ast.IndexExpr); isIndex { // given.torque["in lbf"]
			if lit, isLit := ix.Index.(*ast.BasicLit); isLit {
				if o, ok := factIn(ix.X); ok && o.Unit == "" {
					o.Unit, _ = literal.Unquote(lit.Value)
					return o, true
				}
			}
		}
		return Operand{}, false
	}
	name, _, err := ast.LabelName(sel.Sel)
	if err != nil {
		return Operand{}, false
	}
	if id, ok := sel.X.(*ast.Ident); ok && id.Name == "given" {
		return Operand{Fact: name}, true
	}
	if o, ok := factIn(sel.X); ok && o.Unit == "" {
		o.Unit = name
		return o, true
	}
	return Operand{}, false
}

// constant reads a value that does not depend on a subject.
func constant(v cue.Value) *Constant {
	if d, ok := v.Default(); ok {
		v = d
	}
	switch v.Kind() {
	case cue.IntKind, cue.FloatKind:
		x, err := v.Float64()
		if err != nil {
			return nil
		}
		return &Constant{Number: &x}
	case cue.StringKind:
		s, _ := v.String()
		return &Constant{Text: &s}
	case cue.BoolKind:
		b, _ := v.Bool()
		return &Constant{Flag: &b}
	case cue.StructKind:
		it, err := v.Fields()
		if err != nil || !it.Next() {
			return nil
		}
		x, err := it.Value().Float64()
		if err != nil || it.Value().Kind()&cue.NumberKind == 0 {
			return nil
		}
		c := &Constant{Number: &x, Unit: it.Selector().Unquoted()}
		if it.Next() {
			return nil
		}
		return c
	}
	return nil
}

// template reads a text with \(given.…) in it.
func (r *reader) template(rule string, v cue.Value, facts []checks.Definition) Template {
	if !v.Exists() {
		return nil
	}
	if s, err := v.String(); err == nil {
		return Template{{Text: s}}
	}
	source := sourceOf(v)
	if source == nil {
		return nil
	}
	in, ok := source.Value.(*ast.Interpolation)
	if !ok {
		r.fault(v, "rule %s: this text is neither plain nor one with \\(given.…) in it", rule)
		return nil
	}
	if strings.HasPrefix(in.Elts[0].(*ast.BasicLit).Value, `"""`) {
		r.fault(v, "rule %s: a text with \\(given.…) in it stands on one line, in single quotation marks", rule)
		return nil
	}
	var t Template
	for i, elt := range in.Elts {
		if i%2 == 0 {
			text := elt.(*ast.BasicLit).Value
			// The pieces of an interpolation keep its quotes and the parentheses of their neighbours.
			text = strings.TrimSuffix(strings.TrimPrefix(strings.TrimPrefix(text, `"`), ")"), `\(`)
			if i == len(in.Elts)-1 {
				text = strings.TrimSuffix(text, `"`)
			}
			plain, err := literal.Unquote(`"` + text + `"`)
			if err != nil {
				plain = text
			}
			if plain != "" {
				t = append(t, Piece{Text: plain})
			}
			continue
		}
		e := elt
		o, isFact := factIn(e)
		if !isFact {
			o = r.expression(rule, v, e)
		} else if d := definitionOf(facts, o); d == nil && o.Fact != "name" {
			r.fault(v, "rule %s: there is no fact `%s`", rule, o.Fact)
		}
		t = append(t, Piece{By: &o})
	}
	return t
}

func readSources(v cue.Value) []Source {
	var sources []Source
	it, err := v.List()
	for err == nil && it.Next() {
		var s Source
		s.Standard, _ = lookup(it.Value(), "standard").String()
		s.Part, _ = lookup(it.Value(), "part").String()
		s.Practice, _ = lookup(it.Value(), "practice").String()
		from, _ := lookup(it.Value(), "from").String()
		s.FromMemory = from == "memory"
		sources = append(sources, s)
	}
	return sources
}
