package schema

import (
	"fmt"
	"os"
	"reflect"
	"strconv"
	"strings"

	"cuelang.org/go/cue/ast"
	"cuelang.org/go/cue/parser"
)

// An Edit puts another text in place of the bytes from From to To of a file.
type Edit struct {
	File     string
	From, To int
	Text     string
}

// EditOf finds what to change in a spec for PATH=VALUE, and says it in words. The path is that of a written value, as reports have it; with
// several machines it begins with the machine's name and a colon. The value is a number in the unit in which it is written, a text or a flag.
func EditOf(spec *Spec, change string) (Edit, string, error) {
	path, value, ok := strings.Cut(change, "=")
	path, value = strings.TrimSpace(path), strings.TrimSpace(value)
	if !ok || path == "" || value == "" {
		return Edit{}, "", fmt.Errorf("--with wants PATH=VALUE, as in cylinders.lift.bore=20, and %q is not that", change)
	}
	machines := spec.Machines
	if name, rest, ok := strings.Cut(path, ":"); ok {
		machines = nil
		for _, m := range spec.Machines {
			if m.Name == name {
				machines, path = []*Machine{m}, strings.TrimSpace(rest)
			}
		}
	}
	var found []written
	var paths []string
	for _, m := range machines {
		path := strings.TrimPrefix(path, "machines."+labelled(m.Name)+".")
		eachValue(reflect.ValueOf(*m), func(w written) {
			paths = append(paths, w.origin.Path)
			if w.origin.Path == path {
				found = append(found, w)
			}
		})
	}
	switch {
	case len(found) == 0:
		return Edit{}, "", fmt.Errorf("--with names `%s`, which is no value of %s: %s", path, spec.Dir, meant(path, paths))
	case len(machines) > 1 && len(found) > 1:
		return Edit{}, "", fmt.Errorf("--with names `%s`, which several machines have: write the machine's name before it, as in %s:%s", path, machines[0].Name, path)
	case found[0].origin.Assumed != "" || found[0].origin.At.File == "":
		return Edit{}, "", fmt.Errorf("--with names `%s`, which is not written but taken as %s (%s): write it first", path, found[0].text, found[0].origin.Assumed)
	}
	w := found[0]
	data, err := os.ReadFile(w.origin.At.File)
	if err != nil {
		return Edit{}, "", err
	}
	from, to, is := literalAt(data, w.origin.At)
	if !is {
		return Edit{}, "", fmt.Errorf("--with names `%s`, and %s does not stand there as a plain value: change it by hand", path, w.text)
	}
	said := value
	switch {
	case w.quantity:
		if _, err := strconv.ParseFloat(value, 64); err != nil {
			return Edit{}, "", fmt.Errorf("--with sets `%s` to %s: it is written as %s, so give a number of %s", path, value, w.text, unitName(w.unit))
		}
		said = withUnit(value, w.unit)
	case value != "true" && value != "false" && !strings.HasPrefix(value, `"`):
		value = strconv.Quote(value)
	}
	return Edit{File: w.origin.At.File, From: from, To: to, Text: value}, fmt.Sprintf("%s = %s", path, said), nil
}

func unitName(unit string) string {
	if unit == "" {
		return "no unit"
	}
	return unit
}

// A written is one value with where it stands.
type written struct {
	origin   Origin
	text     string
	quantity bool
	unit     string
}

// eachValue goes through the values of a machine.
func eachValue(v reflect.Value, do func(w written)) {
	switch v.Kind() {
	case reflect.Struct:
		switch t := v.Interface().(type) {
		case Text:
			if t.Given() {
				do(written{t.Origin, t.String(), false, ""})
			}
			return
		case Flag:
			if t.Given() {
				do(written{t.Origin, fmt.Sprint(t.Value), false, ""})
			}
			return
		case Quantity:
			if t.Given() {
				do(written{t.Origin, t.String(), true, t.Unit.Name})
			}
			return
		}
		for i := range v.NumField() {
			if v.Type().Field(i).IsExported() {
				eachValue(v.Field(i), do)
			}
		}
	case reflect.Map:
		for _, k := range v.MapKeys() {
			eachValue(v.MapIndex(k), do)
		}
	case reflect.Slice:
		for i := range v.Len() {
			eachValue(v.Index(i), do)
		}
	}
}

// literalAt finds the bytes of the plain value at a place.
func literalAt(data []byte, at Place) (from, to int, found bool) {
	f, err := parser.ParseFile(at.File, data)
	if err != nil {
		return 0, 0, false
	}
	ast.Walk(f, func(n ast.Node) bool {
		switch n.(type) {
		case *ast.BasicLit, *ast.UnaryExpr:
			p := n.Pos()
			if !found && p.IsValid() && p.Line() == at.Line && p.Column() == at.Column {
				from, to, found = p.Offset(), n.End().Offset(), true
			}
		}
		return !found
	}, nil)
	return from, to, found
}
