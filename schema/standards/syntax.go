package standards

import (
	"fmt"
	"io/fs"
	"math"
	"strconv"

	"cuelang.org/go/cue/ast"
	"cuelang.org/go/cue/parser"
	"cuelang.org/go/cue/token"
)

// parse reads all CUE files and puts their fields into one struct.
func parse(files fs.FS) (*ast.StructLit, error) {
	paths, err := fs.Glob(files, "*.cue")
	if err != nil {
		return nil, err
	}
	all := &ast.StructLit{}
	for _, path := range paths {
		text, err := fs.ReadFile(files, path)
		if err != nil {
			return nil, err
		}
		file, err := parser.ParseFile("standards/"+path, text)
		if err != nil {
			return nil, err
		}
		for _, decl := range file.Decls {
			if _, ok := decl.(*ast.Package); !ok {
				all.Elts = append(all.Elts, decl)
			}
		}
	}
	return all, nil
}

// reader turns literals into numbers and keeps the first mistake, so that the code that builds the tables reads like the tables.
type reader struct {
	err error
}

func (r *reader) fail(at ast.Node, format string, args ...any) {
	if r.err == nil {
		r.err = fmt.Errorf("%s: %s", at.Pos(), fmt.Sprintf(format, args...))
	}
}

// row is a struct literal with its labels decoded.
type row struct {
	*reader
	at     ast.Expr
	labels []string
	values []ast.Expr
}

func (r *reader) row(x ast.Expr) row {
	out := row{reader: r, at: x}
	s, ok := x.(*ast.StructLit)
	if !ok {
		r.fail(x, "a struct is expected")
		return out
	}
	out.labels = make([]string, 0, len(s.Elts))
	out.values = make([]ast.Expr, 0, len(s.Elts))
	for _, decl := range s.Elts {
		field, ok := decl.(*ast.Field)
		if !ok {
			r.fail(decl, "a plain field is expected")
			continue
		}
		label, _, err := ast.LabelName(field.Label)
		if err != nil || field.Constraint != token.ILLEGAL {
			r.fail(field, "a plain field is expected")
			continue
		}
		out.labels = append(out.labels, label)
		out.values = append(out.values, field.Value)
	}
	return out
}

// optional returns nil where there is no such field.
func (s row) optional(label string) ast.Expr {
	var found ast.Expr
	for i, l := range s.labels {
		if l != label {
			continue
		}
		if found != nil {
			s.fail(s.at, "%s is given twice", label)
		}
		found = s.values[i]
	}
	return found
}

func (s row) get(label string) ast.Expr {
	x := s.optional(label)
	if x == nil {
		s.fail(s.at, "%s is missing", label)
		return &ast.BadExpr{}
	}
	return x
}

func (s row) child(label string) row { return s.row(s.get(label)) }

func (s row) list(label string) []ast.Expr {
	list, ok := s.get(label).(*ast.ListLit)
	if !ok {
		s.fail(s.at, "%s must be a list", label)
		return nil
	}
	return list.Elts
}

func (s row) text(label string) string {
	lit, ok := s.get(label).(*ast.BasicLit)
	if !ok || lit.Kind != token.STRING {
		s.fail(s.at, "%s must be a plain string", label)
		return ""
	}
	text, err := strconv.Unquote(lit.Value)
	if err != nil {
		s.fail(lit, "%v", err)
	}
	return text
}

// textOrNone is empty where there is no such field.
func (s row) textOrNone(label string) string {
	if s.optional(label) == nil {
		return ""
	}
	return s.text(label)
}

func (s row) truth(label string) bool {
	lit, ok := s.get(label).(*ast.BasicLit)
	if !ok || lit.Kind != token.TRUE && lit.Kind != token.FALSE {
		s.fail(s.at, "%s must be true or false", label)
		return false
	}
	return lit.Kind == token.TRUE
}

// number is a bare number, without dimension.
func (s row) number(label string) float64 { return s.literal(s.get(label), "") }

// numberOrZero is zero where there is no such field.
func (s row) numberOrZero(label string) float64 {
	if s.optional(label) == nil {
		return 0
	}
	return s.number(label)
}

// quantity is a number under the name of its unit, in SI.
func (s row) quantity(label string) float64 { return s.si(s.get(label)) }

// quantityOrZero is zero where there is no such field.
func (s row) quantityOrZero(label string) float64 {
	if x := s.optional(label); x != nil {
		return s.si(x)
	}
	return 0
}

func (r *reader) si(x ast.Expr) float64 {
	unit := r.row(x)
	if len(unit.labels) != 1 {
		r.fail(x, "exactly one unit is expected")
		return 0
	}
	value := unit.values[0]
	switch unit.labels[0] {
	case "mm":
		return r.literal(value, "e-3")
	case "um", "mm2":
		return r.literal(value, "e-6")
	case "MPa":
		return r.literal(value, "e6")
	case "GPa":
		return r.literal(value, "e9")
	case "inch":
		return r.literal(value, "") * 0.0254
	case "degC":
		return r.literal(value, "") + 273.15
	case "deg":
		return r.literal(value, "") * math.Pi / 180
	}
	r.fail(x, "unknown unit %s", unit.labels[0])
	return 0
}

// literal reads a number as written. The power of ten goes into the text, so that 6.8 mm is the float64 nearest to 0.0068 m.
func (r *reader) literal(x ast.Expr, power string) float64 {
	sign := ""
	if minus, ok := x.(*ast.UnaryExpr); ok && minus.Op == token.SUB {
		sign, x = "-", minus.X
	}
	lit, ok := x.(*ast.BasicLit)
	if !ok || lit.Kind != token.INT && lit.Kind != token.FLOAT {
		r.fail(x, "a plain number is expected")
		return 0
	}
	value, err := strconv.ParseFloat(sign+lit.Value+power, 64)
	if err != nil {
		r.fail(lit, "%v", err)
	}
	return value
}
