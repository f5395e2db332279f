package rules

import (
	"fmt"
	"strings"

	"cuelang.org/go/cue"
	"cuelang.org/go/cue/ast"
	"cuelang.org/go/cue/cuecontext"
	"cuelang.org/go/cue/parser"

	"trammel.example/checks"
	"trammel.example/schema"
)

// An outcome is the value of an operand for one subject.
type outcome struct {
	present bool // the facts that it needs apply to the subject
	v       Value
	open    string // what keeps it from being known
	from    []schema.Input
	worst   string
}

// An evaluator finds the values of operands. Facts and constants are looked up; expressions go to CUE, each compiled once.
type evaluator struct {
	ctx      *cue.Context
	compiled map[string]*expression
}

type expression struct {
	wrapper cue.Value
	facts   []string
	err     error
}

func newEvaluator() *evaluator { return &evaluator{compiled: map[string]*expression{}} }

func (ev *evaluator) value(o Operand, s *checks.Subject) outcome {
	switch {
	case o.Constant != nil:
		return outcome{present: true, v: o.Constant.value(schema.NumberDim)}
	case o.Fact == "name":
		return outcome{present: true, v: Value{Kind: checks.Text, Text: s.Name}}
	case o.Fact != "":
		f, ok := s.Facts[o.Fact]
		if !ok {
			return outcome{}
		}
		out := outcome{present: true, open: f.Why, from: f.From, worst: f.Worst}
		out.v = Value{Kind: f.Kind, Dim: f.Dim, SI: f.SI, Text: f.Text, Flag: f.Flag}
		if o.Unit != "" && f.Kind == checks.Quantity {
			u, _ := schema.UnitOf(f.Dim, o.Unit)
			out.v.Dim, out.v.SI = schema.NumberDim, u.From(f.SI)
		}
		return out
	}
	return ev.expression(o.Expression, s)
}

// limit finds a limit in the dimension of what is measured.
func (ev *evaluator) limit(l Limit, measured Value, s *checks.Subject) outcome {
	if l.By.Constant != nil {
		return outcome{present: true, v: l.By.Constant.value(measured.Dim)}
	}
	return ev.value(l.By, s)
}

func (c *Constant) value(dim schema.Dimension) Value {
	switch {
	case c.Text != nil:
		return Value{Kind: checks.Text, Text: *c.Text}
	case c.Flag != nil:
		return Value{Kind: checks.Flag, Flag: *c.Flag}
	}
	u, _ := schema.UnitOf(dim, c.Unit)
	return Value{Kind: checks.Quantity, Dim: dim, SI: u.SI(*c.Number)}
}

// compile prepares an expression for filling in the facts it names.
func (ev *evaluator) compile(text string) *expression {
	if x, ok := ev.compiled[text]; ok {
		return x
	}
	if ev.ctx == nil {
		ev.ctx = cuecontext.New()
	}
	x := &expression{}
	ev.compiled[text] = x
	parsed, err := parser.ParseExpr("expression", text)
	if err != nil {
		x.err = err
		return x
	}
	seen := map[string]bool{}
	ast.Walk(parsed, func(n ast.Node) bool {
		if e, ok := n.(ast.Expr); ok {
			if o, isFact := factIn(e); isFact && o.Unit == "" && !seen[o.Fact] {
				seen[o.Fact] = true
				x.facts = append(x.facts, o.Fact)
			}
		}
		return true
	}, nil)
	head := ""
	if strings.Contains(text, "math.") {
		head = "import \"math\"\n"
	}
	x.wrapper = ev.ctx.CompileString(head + "given: _\nresult: " + text)
	x.err = x.wrapper.Err()
	return x
}

func (ev *evaluator) expression(text string, s *checks.Subject) outcome {
	x := ev.compile(text)
	if x.err != nil {
		return outcome{present: true, open: fmt.Sprintf("the expression `%s` can't be evaluated: %v", text, x.err)}
	}
	out := outcome{present: true}
	given := map[string]any{"name": s.Name}
	for _, name := range x.facts {
		f, ok := s.Facts[name]
		switch {
		case name == "name":
			continue
		case !ok:
			return outcome{}
		case f.Kind == checks.Open:
			return outcome{present: true, open: f.Why, from: f.From}
		}
		out.from = append(out.from, f.From...)
		if out.worst == "" {
			out.worst = f.Worst
		}
		given[name] = fill(f)
	}
	v := x.wrapper.FillPath(cue.MakePath(cue.Str("given")), given).LookupPath(cue.MakePath(cue.Str("result")))
	switch v.Kind() {
	case cue.BoolKind:
		b, _ := v.Bool()
		out.v = Value{Kind: checks.Flag, Flag: b}
	case cue.StringKind:
		t, _ := v.String()
		out.v = Value{Kind: checks.Text, Text: t}
	case cue.IntKind, cue.FloatKind:
		n, err := v.Float64()
		if err != nil {
			out.open = fmt.Sprintf("the expression `%s` gives no usable number: %v", text, err)
		}
		out.v = Value{Kind: checks.Quantity, Dim: schema.NumberDim, SI: n}
	default:
		out.open = fmt.Sprintf("the expression `%s` gives neither a number, a text nor true or false", text)
	}
	return out
}

// fill is a fact as CUE sees it: a quantity in each of its units.
func fill(f checks.Fact) any {
	switch {
	case f.Kind == checks.Text:
		return f.Text
	case f.Kind == checks.Flag:
		return f.Flag
	case f.Dim == schema.NumberDim:
		return f.SI
	}
	in := map[string]float64{}
	for _, u := range schema.UnitsOf(f.Dim) {
		in[u.Name] = u.From(f.SI)
	}
	return in
}

// text puts a subject's values into a template.
func (ev *evaluator) text(t Template, s *checks.Subject) string {
	var b strings.Builder
	for _, p := range t {
		if p.By == nil {
			b.WriteString(p.Text)
			continue
		}
		o := ev.value(*p.By, s)
		switch {
		case !o.present || o.open != "":
			b.WriteString("(not known)")
		default:
			b.WriteString(o.v.String())
		}
	}
	return b.String()
}
