package schema

import (
	"slices"
	"strings"

	"cuelang.org/go/cue/ast"
	"cuelang.org/go/cue/build"
	"cuelang.org/go/cue/token"
)

// labels finds the place of a field's name in the builder's files. The evaluator forgets it: the position of a struct is that of its
// definition, and the position of an error is often none at all.
type labels struct {
	places  *places
	byName  map[string][]label
	imports bool // the spec takes values from packages of its own, which are not among these files
}

type label struct {
	chain []string // the names from the file's top down to this one
	pos   token.Pos
	value ast.Expr
}

func newLabels(ps *places, inst *build.Instance) labels {
	ls := labels{places: ps, byName: map[string][]label{}}
	for _, i := range inst.Imports {
		ls.imports = ls.imports || !strings.HasPrefix(i.ImportPath, ImportPath+"/")
	}
	var chain []string
	for _, f := range inst.Files {
		ast.Walk(f, func(n ast.Node) bool {
			switch n.(type) {
			case *ast.ForClause, *ast.LetClause, *ast.IfClause:
				return false // fields in there are of values that are used, not of the struct around
			}
			if field, ok := n.(*ast.Field); ok {
				name, _, err := ast.LabelName(field.Label)
				if err != nil {
					name = "*" // a pattern or a computed name
				}
				chain = append(chain, name)
				ls.byName[name] = append(ls.byName[name], label{append([]string{}, chain...), field.Label.Pos(), field.Value})
			}
			return true
		}, func(n ast.Node) {
			if _, ok := n.(*ast.Field); ok {
				chain = chain[:len(chain)-1]
			}
		})
	}
	return ls
}

// mayHaveUnit reports whether a quantity may be written in a unit: the unit is in the text, or the text does not show all.
func (ls labels) mayHaveUnit(name string) bool {
	hidden := slices.ContainsFunc(ls.byName["*"], func(l label) bool {
		_, isStruct := l.value.(*ast.StructLit)
		return !isStruct
	})
	return hidden || ls.imports || len(ls.byName[name]) > 0
}

// label returns the field whose name ends the path and whose parents agree the longest way up. A field with another parent than the
// path's is none.
func (ls labels) label(names []string) (label, bool) {
	if len(names) == 0 {
		return label{}, false
	}
	var best label
	most := 0
	for _, l := range ls.byName[names[len(names)-1]] {
		n := 0
		for n < len(names) && n < len(l.chain) && names[len(names)-1-n] == l.chain[len(l.chain)-1-n] {
			n++
		}
		if n > most {
			best, most = l, n
		}
	}
	return best, most >= min(2, len(names))
}

// find returns the place of the label that a path means.
func (ls labels) find(path string) (Place, bool) {
	l, ok := ls.label(splitPath(path))
	if !ok {
		return Place{}, false
	}
	return ls.places.of(l.pos), true
}

// splitPath undoes join: the names of a path, without list indexes.
func splitPath(path string) []string {
	var names []string
	for path != "" {
		var name string
		if end := strings.IndexByte(path[1:], '"'); path[0] == '"' && end >= 0 {
			name, path = path[1:end+1], path[end+2:]
		} else {
			end := strings.IndexAny(path, ".[")
			if end < 0 {
				end = len(path)
			}
			name, path = path[:end], path[end:]
		}
		if name != "" {
			names = append(names, name)
		}
		if strings.HasPrefix(path, "[") {
			// What is no index ends the path: nothing behind it is a name.
			_, path, _ = strings.Cut(path, "]")
		}
		path = strings.TrimPrefix(path, ".")
	}
	return names
}
