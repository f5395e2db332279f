package schema

import (
	"iter"
	"slices"
	"strconv"
	"strings"

	"cuelang.org/go/cue/ast"
	"cuelang.org/go/cue/build"
	"cuelang.org/go/cue/token"
)

// labels finds the place of a field's name, or of a list's element, in the builder's files. The evaluator forgets it: the position of a
// struct is that of its definition, and the position of an error is often none at all.
type labels struct {
	places *places
	byName map[string][]label
	files  []*ast.File // of the spec, then of the packages of its own that it imports
	// Every name of a field in those files, and every one that the packages served to them give a value.
	written, served map[string]bool
	decoded         bool // fields may come out of text in another language, which shows no names
}

// computed stands in a chain for a name that the text does not show: a pattern, or an expression; computedIndex for an element of a list
// that a loop makes.
const (
	computed      = "*"
	computedIndex = "[*]"
)

type label struct {
	// The names from the file's top down to this one; an element of a list is "[0]". In an imported package the first is the package's.
	chain []string
	pos   token.Pos
	value ast.Expr
	alias string // the field's second name, as in `L=links: {…}`
	// The name is in quotes: no reference can mean it.
	quoted bool
}

func newLabels(ps *places, inst *build.Instance) labels {
	ls := labels{places: ps, byName: map[string][]label{}, written: map[string]bool{}, served: map[string]bool{}}
	var chain []string
	enter := func(name string, pos token.Pos, value ast.Expr, alias string, quoted bool) {
		chain = append(chain, name)
		key := name
		if isComputed(name) {
			key = computed
		}
		ls.byName[key] = append(ls.byName[key], label{slices.Clone(chain), pos, value, alias, quoted})
	}
	// Elements are entered when the walk comes to them: it does not say where in a list it is.
	elements := map[ast.Node]int{}
	before := func(n ast.Node) bool {
		if i, ok := elements[n]; ok {
			enter(index(i), n.Pos(), n.(ast.Expr), "", true)
		}
		switch n := n.(type) {
		case *ast.ForClause, *ast.LetClause, *ast.IfClause:
			return false // fields in there are of values that are used, not of the struct around
		case *ast.ListLit:
			for i, e := range n.Elts {
				elements[e] = i
				if c, ok := e.(*ast.Comprehension); ok {
					delete(elements, e)
					elements[c.Value] = -1
				}
			}
		case *ast.Field:
			name, alias := nameOf(n.Label)
			_, plain := n.Label.(*ast.Ident)
			enter(name, n.Label.Pos(), n.Value, alias, !plain)
		}
		return true
	}
	after := func(n ast.Node) {
		if _, ok := n.(*ast.Field); ok {
			chain = chain[:len(chain)-1]
		}
		if _, ok := elements[n]; ok {
			chain = chain[:len(chain)-1]
		}
	}
	seen := map[*build.Instance]bool{}
	var read func(inst *build.Instance, above []string)
	read = func(inst *build.Instance, above []string) {
		seen[inst] = true
		for _, f := range inst.Files {
			chain = slices.Clone(above)
			ast.Walk(f, before, after)
			namesIn(f, ls.written, true)
			for spec := range f.ImportSpecs() {
				ls.decoded = ls.decoded || strings.HasPrefix(spec.Path.Value, `"encoding/`)
			}
		}
		ls.files = append(ls.files, inst.Files...)
		for _, i := range inst.Imports {
			if !seen[i] && !isServed(i.ImportPath) {
				read(i, []string{i.PkgName})
			}
		}
	}
	read(inst, nil)
	var serve func(inst *build.Instance)
	serve = func(inst *build.Instance) {
		for _, i := range inst.Imports {
			if seen[i] {
				continue
			}
			seen[i] = true
			for _, f := range i.Files {
				namesIn(f, ls.served, false)
			}
			serve(i)
		}
	}
	for i := range seen {
		serve(i)
	}
	return ls
}

// namesIn collects the names of a file's fields: all, or those alone that are there without being written again.
func namesIn(f *ast.File, names map[string]bool, all bool) {
	ast.Walk(f, func(n ast.Node) bool {
		if field, ok := n.(*ast.Field); ok && !isPattern(field.Label) && (all || field.Constraint == token.ILLEGAL) {
			name, _ := nameOf(field.Label)
			names[name] = true
			names[computed] = names[computed] || isComputed(name)
		}
		return true
	}, nil)
}

// nameOf is a field's name, with a computed in place of each part that the text does not show, and its alias.
func nameOf(l ast.Label) (name, alias string) {
	if a, ok := l.(*ast.Alias); ok {
		alias = a.Ident.Name
		inner, ok := a.Expr.(ast.Label)
		if !ok {
			return computed, alias
		}
		l = inner
	}
	if i, ok := l.(*ast.Interpolation); ok {
		return shown(i), alias
	}
	name, _, err := ast.LabelName(l)
	if err != nil {
		return computed, alias
	}
	return name, alias
}

// shown is what the text shows of a name that is put together: "up *" of "up \(n)".
func shown(i *ast.Interpolation) string {
	var b strings.Builder
	for _, e := range i.Elts {
		part, ok := e.(*ast.BasicLit)
		if !ok || part.Kind != token.STRING {
			b.WriteString(computed)
			continue
		}
		b.WriteString(strings.TrimSuffix(strings.TrimPrefix(strings.TrimPrefix(strings.TrimSuffix(part.Value, `\(`), ")"), `"`), `"`))
	}
	return b.String()
}

func isComputed(name string) bool { return !isIndex(name) && strings.Contains(name, computed) }

// fits reports whether a name may be one that the text shows in part.
func fits(written, name string) bool {
	before, rest, _ := strings.Cut(written, computed)
	after := rest[strings.LastIndex(rest, computed)+1:]
	return len(name) >= len(before)+len(after) && strings.HasPrefix(name, before) && strings.HasSuffix(name, after)
}

// isPattern reports whether a label stands for names that are written elsewhere, as in `[string]: {…}`.
func isPattern(l ast.Label) bool {
	if a, ok := l.(*ast.Alias); ok {
		l, _ = a.Expr.(ast.Label)
	}
	_, ok := l.(*ast.ListLit)
	return ok
}

// index is an element of a list in a chain or a path; -1 is one that a loop makes.
func index(i int) string {
	if i < 0 {
		return computedIndex
	}
	return "[" + strconv.Itoa(i) + "]"
}

func isIndex(name string) bool { return strings.HasPrefix(name, "[") }

// mayHave reports whether a struct may have a field of that name: something gives the name, or the text does not show all.
func (ls labels) mayHave(name string) bool {
	return ls.written[name] || ls.served[name] || ls.written[computed] || ls.decoded
}

// mayHaveUnit reports whether a quantity may be written in a unit: the unit is in the text, or the text does not show all.
func (ls labels) mayHaveUnit(name string) bool {
	hidden := slices.ContainsFunc(ls.byName[computed], func(l label) bool {
		_, isStruct := l.value.(*ast.StructLit)
		return !isStruct
	})
	return hidden || ls.written[name]
}

// named yields the labels that can be the end of a path.
func (ls labels) named(name string) iter.Seq[label] {
	hidden := ls.byName[computed]
	if isIndex(name) {
		hidden = ls.byName[computedIndex]
	}
	return func(yield func(label) bool) {
		for _, list := range [][]label{ls.byName[name], hidden} {
			for _, l := range list {
				if !yield(l) {
					return
				}
			}
		}
	}
}

// label returns the field whose name ends the path and whose parents agree the longest way up. A field with another parent than the
// path's is none.
func (ls labels) label(names []string) (label, bool) {
	if len(names) == 0 {
		return label{}, false
	}
	var best label
	most, mostShown := 0, 0
	for l := range ls.named(names[len(names)-1]) {
		n, shown := 0, 0
		for n < len(names) && n < len(l.chain) && same(l.chain[len(l.chain)-1-n], names[len(names)-1-n]) {
			if c := l.chain[len(l.chain)-1-n]; !isComputed(c) && c != computedIndex {
				shown++
			}
			n++
		}
		better := n > most || n == most && shown > mostShown || n == most && shown == mostShown && n == len(names) && definitionIn(l.value) != "" && definitionIn(best.value) == ""
		if shown > 0 && better {
			best, most, mostShown = l, n, shown
		}
	}
	return best, most >= min(2, len(names))
}

// same reports whether a name in the text is that of a path.
func same(written, name string) bool {
	return written == name || isComputed(written) && !isIndex(name) && fits(written, name) || written == computedIndex && isIndex(name)
}

// exact returns the label at a path that starts at a file's top; where several places add to one field, the one that names its
// definition.
func (ls labels) exact(names []string) (found label, ok bool) {
	for l := range ls.named(names[len(names)-1]) {
		if slices.EqualFunc(l.chain, names, same) && (!ok || definitionIn(l.value) != "" && definitionIn(found.value) == "") {
			found, ok = l, true
		}
	}
	return found, ok
}

// definitionIn is the definition that a field's value names beside its braces, as in `schema.#Cylinder & {…}`.
func definitionIn(value ast.Expr) string {
	name := ""
	for _, r := range references(value) {
		if last := r[len(r)-1]; strings.HasPrefix(last, "#") {
			name = last
		}
	}
	return name
}

// refers are the names that a field takes what it has from, without its own: the `tube` behind `tube:` is the field itself, whatever else
// has that name.
func (l label) refers() [][]string {
	return slices.DeleteFunc(references(l.value), l.isOwn)
}

// refersToItself reports whether a field's value names the field, as in `tube: tube`.
func (l label) refersToItself() bool { return slices.ContainsFunc(references(l.value), l.isOwn) }

func (l label) isOwn(names []string) bool { return !l.quoted && names[0] == l.chain[len(l.chain)-1] }

// references are the names that a value takes what it has from, each as its parts: `bin.cylinder & {…}` has bin, cylinder.
func references(value ast.Expr) [][]string {
	switch x := value.(type) {
	case *ast.Ident:
		return [][]string{{x.Name}}
	case *ast.SelectorExpr:
		name, _, err := ast.LabelName(x.Sel)
		heads := references(x.X)
		if err != nil || len(heads) != 1 {
			return nil
		}
		return [][]string{append(heads[0], name)}
	case *ast.ParenExpr:
		return references(x.X)
	case *ast.BinaryExpr:
		if x.Op == token.AND {
			return append(references(x.X), references(x.Y)...)
		}
	case *ast.StructLit:
		var all [][]string
		for _, e := range x.Elts {
			if embedded, ok := e.(*ast.EmbedDecl); ok {
				all = append(all, references(embedded.Expr)...)
			}
		}
		return all
	}
	return nil
}

// source is where the text of a path stands: the path itself, or that of the shared part which it refers to. It returns the path as it
// is when the text holds neither.
func (ls labels) source(names []string) []string {
	for range 8 { // references to references end somewhere, and a loop must
		known := len(names)
		var at label
		for ; known > 0; known-- {
			var ok bool
			if at, ok = ls.exact(names[:known]); ok {
				break
			}
		}
		if known == 0 || known == len(names) && !isReference(at.value) {
			return names
		}
		refers := at.refers()
		found := slices.IndexFunc(refers, func(r []string) bool { _, ok := ls.exact(r); return ok })
		if found < 0 {
			return names
		}
		names = append(refers[found], names[known:]...)
	}
	return names
}

// at returns the place of the label that a path from a file's top means: its own, that of the shared part which it refers to, or of what
// ends alike.
func (ls labels) at(names []string) (Place, bool) {
	l, ok := ls.exact(names)
	if !ok {
		l, ok = ls.exact(ls.source(names))
	}
	if !ok {
		l, ok = ls.label(names)
	}
	if !ok {
		return Place{}, false
	}
	return ls.places.of(l.pos), true
}

// isReference reports whether a value is a name and nothing else.
func isReference(value ast.Expr) bool {
	switch value.(type) {
	case *ast.Ident, *ast.SelectorExpr:
		return true
	}
	return false
}

// find returns the place of the label that a path means.
func (ls labels) find(path string) (Place, bool) {
	l, ok := ls.label(splitPath(path))
	if !ok {
		return Place{}, false
	}
	return ls.places.of(l.pos), true
}

// span is from where to where the value of a path goes; nowhere for one that the text does not hold.
func (ls labels) span(names []string) (from, to Place) {
	l, ok := ls.label(names)
	if !ok {
		return Place{}, Place{}
	}
	return ls.places.of(l.pos), ls.places.of(l.value.End())
}

// spanAt is from where to where the value of the label at a place goes.
func (ls labels) spanAt(at Place, name string) (from, to Place) {
	for _, l := range ls.byName[name] {
		if ls.places.of(l.pos) == at {
			return at, ls.places.of(l.value.End())
		}
	}
	return Place{}, Place{}
}

// splitPath undoes join: the names of a path, with list indexes as "[0]".
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
		for strings.HasPrefix(path, "[") {
			// What is no index ends the path: nothing behind it is a name.
			i, rest, closed := strings.Cut(path[1:], "]")
			if closed {
				names = append(names, "["+i+"]")
			}
			path = rest
		}
		path = strings.TrimPrefix(path, ".")
	}
	return names
}

// joinAll undoes splitPath.
func joinAll(names []string) string {
	path := ""
	for _, n := range names {
		if isIndex(n) {
			path += n
			continue
		}
		path = join(path, n)
	}
	return path
}
