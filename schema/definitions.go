package schema

import (
	"slices"
	"strconv"
	"strings"

	"cuelang.org/go/cue/ast"
	"cuelang.org/go/cue/literal"
	"cuelang.org/go/cue/token"
)

// definitions is the schema as its text says it: what a builder may write where. Sentences about mistakes are made from it, since the
// evaluator's messages speak of the schema's insides.
type definitions map[string]*definition

type definition struct {
	fields  []field
	every   []field  // with those it embeds, once that is known
	pattern *field   // for a struct whose names the builder chooses
	names   []string // among which; nil for any
	embeds  []string // definitions whose fields it has too
	scalar  *shape   // for one that is no struct, as #Keeper
	open    bool     // has fields of other definitions
}

type field struct {
	name     string
	required bool
	example  string // a line that would be right
	assumed  *assumption
	shape    shape
}

// A shape is what may stand after a field's colon.
type shape struct {
	ref     string      // a definition by name
	inline  *definition // a struct written in place
	element *shape      // of a list
	options []string    // the strings allowed
	kind    string      // "text", "number", "true or false", where nothing else says it
}

// An assumption is what stands in for what a builder left out: a quantity, or the ISO 286 class of a size that has no tolerance.
type assumption struct {
	unit   string
	value  float64
	fit    string
	source string
}

// readDefinitions reads the schema's files.
func readDefinitions(files []*ast.File) definitions {
	ds := definitions{}
	for _, f := range files {
		for _, decl := range f.Decls {
			fd, ok := decl.(*ast.Field)
			if !ok {
				continue
			}
			if name, _, err := ast.LabelName(fd.Label); err == nil && strings.HasPrefix(name, "#") {
				ds[name] = define(fd.Value)
			}
		}
	}
	for _, d := range ds {
		d.every = ds.all(d)
	}
	return ds
}

func define(e ast.Expr) *definition {
	if s := shapeOf(e); s.inline == nil && s.ref == "" {
		return &definition{scalar: &s}
	}
	return inlineOf(e)
}

// add collects the fields of an expression: a struct, a reference, or several joined by &.
func (d *definition) add(e ast.Expr) {
	switch x := e.(type) {
	case *ast.Ident:
		d.embeds = append(d.embeds, x.Name)
	case *ast.BinaryExpr:
		if x.Op == token.AND {
			d.add(x.X)
			d.add(x.Y)
		}
	case *ast.StructLit:
		for _, elt := range x.Elts {
			switch e := elt.(type) {
			case *ast.EmbedDecl:
				d.add(e.Expr)
			case *ast.Ellipsis:
				d.open = true
			case *ast.Field:
				d.addField(e)
			}
		}
	}
}

func (d *definition) addField(fd *ast.Field) {
	f := field{required: fd.Constraint == token.NOT, shape: shapeOf(fd.Value)}
	attrs := fd.Attrs
	if s, ok := fd.Value.(*ast.StructLit); ok && len(s.Elts) == 1 {
		// An attribute after `points!: [#name]: #Point` belongs, for CUE, to what stands after the second colon.
		if inner, ok := s.Elts[0].(*ast.Field); ok {
			attrs = append(attrs, inner.Attrs...)
		}
	}
	for _, a := range attrs {
		switch key, body := a.Split(); key {
		case "example":
			f.example, _ = literal.Unquote(body)
		case "assumed":
			f.assumed = readAssumption(body)
		}
	}
	if label, ok := fd.Label.(*ast.ListLit); ok {
		d.pattern, d.names = &f, namesOf(label)
		return
	}
	name, _, err := ast.LabelName(fd.Label)
	if err != nil || strings.HasPrefix(name, "_") {
		return
	}
	f.name = name
	d.fields = append(d.fields, f)
}

// namesOf are the names that a pattern such as [=~"^(1|2|rear)$"] allows; nil for any.
func namesOf(pattern *ast.ListLit) []string {
	if len(pattern.Elts) != 1 {
		return nil
	}
	match, ok := pattern.Elts[0].(*ast.UnaryExpr)
	if !ok || match.Op != token.MAT {
		return nil
	}
	text, ok := match.X.(*ast.BasicLit)
	if !ok {
		return nil
	}
	expression, _ := literal.Unquote(text.Value)
	list, ok := strings.CutPrefix(expression, "^(")
	list, closed := strings.CutSuffix(list, ")$")
	if !ok || !closed {
		return nil
	}
	return strings.Split(list, "|")
}

// readAssumption reads the body of @assumed(degC=40, source="…"); one without a unit belongs to a default that CUE itself fills in.
func readAssumption(body string) *assumption {
	head, source, _ := strings.Cut(body, "source=")
	key, text, ok := strings.Cut(strings.Trim(head, " ,"), "=")
	if !ok {
		return nil
	}
	a := &assumption{}
	a.source, _ = literal.Unquote(source)
	if key == "fit" {
		a.fit, _ = literal.Unquote(text)
		return a
	}
	value, err := strconv.ParseFloat(text, 64)
	if err != nil {
		return nil
	}
	a.unit, a.value = key, value
	return a
}

func shapeOf(e ast.Expr) shape {
	switch x := e.(type) {
	case *ast.Ident:
		switch x.Name {
		case "string":
			return shape{kind: "text"}
		case "int":
			return shape{kind: "a whole number"}
		case "number":
			return shape{kind: "a number"}
		case "bool":
			return shape{kind: "true or false"}
		}
		return shape{ref: x.Name}
	case *ast.BasicLit:
		if x.Kind == token.STRING {
			s, _ := literal.Unquote(x.Value)
			return shape{options: []string{s}}
		}
		if x.Kind == token.TRUE || x.Kind == token.FALSE {
			return shape{kind: "true or false"}
		}
		return shape{kind: "a number"}
	case *ast.ParenExpr:
		return shapeOf(x.X)
	case *ast.UnaryExpr:
		if x.Op == token.MUL {
			return shapeOf(x.X)
		}
		if x.Op == token.MAT {
			return shape{kind: "text"}
		}
		return shape{kind: "a number"}
	case *ast.BinaryExpr:
		a, b := shapeOf(x.X), shapeOf(x.Y)
		if x.Op == token.OR {
			a.options = append(a.options, b.options...)
			if b.kind != "" {
				a.kind = b.kind // a is the default, one of what b allows
			}
			return a
		}
		if a.ref != "" && (b.inline != nil || b.ref != "") {
			return shape{inline: inlineOf(x)}
		}
		if x.Op == token.AND && isBound(x.X) && isBound(x.Y) {
			return shape{kind: "a number " + boundOf(x.X) + " and " + boundOf(x.Y)}
		}
		if x.Op == token.AND && strings.HasPrefix(a.kind, "a whole number") && isBound(x.Y) {
			joint := " "
			if a.kind != "a whole number" {
				joint = " and "
			}
			return shape{kind: a.kind + joint + boundOf(x.Y)}
		}
		if a.kind != "" {
			return a
		}
		return b
	case *ast.StructLit:
		return shape{inline: inlineOf(x)}
	case *ast.ListLit:
		if len(x.Elts) == 0 {
			return shape{}
		}
		elt := x.Elts[0]
		if dots, ok := elt.(*ast.Ellipsis); ok && dots.Type != nil {
			elt = dots.Type
		}
		s := shapeOf(elt)
		return shape{element: &s}
	}
	return shape{}
}

// isBound and boundOf read one side of a range, as >=0.
func isBound(e ast.Expr) bool {
	u, ok := e.(*ast.UnaryExpr)
	return ok && boundWords[u.Op] != ""
}

var boundWords = map[token.Token]string{token.GTR: "above", token.GEQ: "of at least", token.LSS: "below", token.LEQ: "of at most"}

func boundOf(e ast.Expr) string {
	u := e.(*ast.UnaryExpr)
	if lit, ok := u.X.(*ast.BasicLit); ok {
		return boundWords[u.Op] + " " + strings.Replace(lit.Value, "1e6", "1,000,000", 1)
	}
	return boundWords[u.Op] + " …"
}

func inlineOf(e ast.Expr) *definition {
	d := &definition{}
	d.add(e)
	return d
}

// all returns the fields of a definition with those it embeds.
func (ds definitions) all(d *definition) []field {
	if d.every != nil {
		return d.every
	}
	fields := append([]field{}, d.fields...)
	for _, name := range d.embeds {
		if e, ok := ds[name]; ok {
			for _, f := range ds.all(e) {
				if i := slices.IndexFunc(fields, func(g field) bool { return g.name == f.name }); i >= 0 {
					fields[i] = joined(fields[i], f)
				} else {
					fields = append(fields, f)
				}
			}
		}
	}
	return fields
}

// joined is a field that a definition adds to and that it has from one which it embeds.
func joined(own, embedded field) field {
	own.required = own.required || embedded.required
	if own.example == "" {
		own.example = embedded.example
	}
	if own.assumed == nil {
		own.assumed = embedded.assumed
	}
	switch {
	case own.shape.inline == nil:
	case embedded.shape.ref != "":
		both := *own.shape.inline
		both.embeds = append(slices.Clone(both.embeds), embedded.shape.ref)
		own.shape.inline = &both
	case embedded.shape.inline != nil:
		both := *own.shape.inline
		both.fields = append(slices.Clone(both.fields), embedded.shape.inline.fields...)
		own.shape.inline = &both
	}
	return own
}

// follow replaces a reference by what the definition of that name is.
func (ds definitions) follow(s shape) shape {
	for s.ref != "" {
		d, ok := ds[s.ref]
		if !ok || d.scalar == nil {
			return s
		}
		s = *d.scalar
	}
	return s
}

// structure is the struct that a shape asks for, or nil.
func (ds definitions) structure(s shape) *definition {
	s = ds.follow(s)
	if s.inline != nil {
		return s.inline
	}
	return ds[s.ref]
}

// field finds what may stand under a name, or in a list.
func (ds definitions) field(d *definition, name string) (field, bool) {
	fields := ds.all(d)
	for _, f := range fields {
		if f.name == name {
			return f, true
		}
	}
	if p := ds.anyName(d); p != nil && (p.names == nil || slices.Contains(p.names, name)) {
		return field{name: name, shape: p.pattern.shape}, true
	}
	if d.open {
		return field{name: name}, true
	}
	return field{}, false
}

// anyName is the definition, of those that d is made of, whose names the builder chooses.
func (ds definitions) anyName(d *definition) *definition {
	if d.pattern != nil {
		return d
	}
	for _, e := range d.embeds {
		if x, ok := ds[e]; ok && ds.anyName(x) != nil {
			return ds.anyName(x)
		}
	}
	return nil
}

// units names the units that a quantity's definition allows.
func (ds definitions) units(name string) []string {
	var names []string
	if d, ok := ds[name]; ok {
		for _, f := range ds.all(d) {
			if isUnit(f.name) {
				names = append(names, f.name)
			}
		}
	}
	return names
}

func isUnit(name string) bool {
	for _, u := range units {
		if u.Name == name && name != "" {
			return true
		}
	}
	return false
}
