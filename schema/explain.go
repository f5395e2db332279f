package schema

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"cuelang.org/go/cue"
	"cuelang.org/go/cue/ast"
	"cuelang.org/go/cue/errors"
	"cuelang.org/go/cue/format"
	"cuelang.org/go/cue/literal"
	"cuelang.org/go/cue/token"
)

// An explainer turns the evaluator's errors about one package into sentences for its builder.
type explainer struct {
	places      *places
	labels      labels
	layouts     *layouts // of a spec that can be read
	definitions func() definitions
	mistakes    *Mistakes
	said        map[string]bool // paths that have a sentence
	whole       []string        // paths of fields that stand for themselves, with all that is missing inside them
}

// errors explains each error of err.
func (x *explainer) errors(err error) {
	for _, e := range errors.Errors(err) {
		x.one(e)
	}
}

func (x *explainer) one(e errors.Error) {
	message := message(e)
	path := pathOf(e.Path())
	if x.said[path] || x.inSelf(path) || strings.Contains(message, "not allowed") && x.saidAround(path) {
		return
	}
	path = joinAll(x.labels.source(splitPath(path)))
	at := x.placeOf(e, path)
	var sentence told
	switch {
	case errors.As(e, &sentence):
		text := sentence.Error()
		x.say(x.places.of(sentence.Position()), text, text, "%s", text)
		return
	case strings.HasPrefix(message, "reference ") && strings.HasSuffix(message, " not found"):
		name := strings.Trim(strings.TrimSuffix(strings.TrimPrefix(message, "reference "), " not found"), `"`)
		x.unknownReference(x.places.of(e.Position()).or(at), name, message)
		return
	case strings.HasPrefix(message, "undefined field: "):
		// A part or a field that a reference names; the path is that of the field that refers to it.
		name := strings.TrimPrefix(message, "undefined field: ")
		x.say(at, "reference "+name, message, "%s refers to `%s`, which does not exist: %s", orHere(path), name, meant(name, x.siblings(name)))
		return
	case strings.Contains(message, "imported and not used"):
		x.say(at, path, message, "%s: remove the import, or use it", message)
		return
	case path == "":
		x.say(at, message, message, "%s", plain(message))
		return
	}
	if x.said[path] {
		return
	}
	names := splitPath(path)
	parent, field, known := x.walk(names)
	last := names[len(names)-1]
	found, value := x.written(path)
	if _, isStruct := value.(*ast.StructLit); isStruct && known && x.definitions().structure(field.shape) != nil && x.saidWithin(path) {
		return // the mistake inside it has its sentence
	}
	switch {
	case parent != nil && !known:
		x.say(at, path, message, "%s", x.unknownName(parent, path, last))
	case strings.Contains(message, "is required but not present"):
		x.missing(path, at)
	case strings.HasPrefix(message, "conflicting values") && twoConcrete(message):
		x.say(at, path, message, "%s is written twice with different values: %s%s", path, conflict(message), x.otherPlace(e, at))
	case known:
		x.say(at, path, message, "%s is %s; %s", path, found, x.allowed(field, last, value))
	default:
		x.say(at, path, message, "%s: %s", path, plain(message))
	}
}

// saidWithin reports whether something inside the struct at a path has a sentence.
func (x *explainer) saidWithin(path string) bool {
	for said := range x.said {
		if strings.HasPrefix(said, path+".") || strings.HasPrefix(said, path+"[") {
			return true
		}
	}
	return false
}

// unknownReference explains a name that stands for nothing: an import that is missing, a text without its quotes, a slip.
func (x *explainer) unknownReference(at Place, name, message string) {
	if path := importable(name); path != "" {
		x.say(at, "import "+name+" in "+at.File, message, "`%s` is used and not imported: add `import %q` under the package clause", name, path)
		return
	}
	switch strings.ToLower(name) {
	case "true", "false", "yes", "no", "on", "off":
		x.say(at, at.String()+" "+name, message, "there is no `%s` here: yes and no are written `true` and `false`", name)
		return
	}
	names := x.topNames(at.File)
	if len(nearest(name, names)) == 0 {
		x.say(at, at.String()+" "+name, message, "there is no `%s` here; a text stands in quotes: `%q`", name, name)
		return
	}
	x.say(at, at.String()+" "+name, message, "there is no `%s` here: %s", name, meant(name, names))
}

// importable is the package that a name at the head of a reference means where nothing else has that name.
func importable(name string) string {
	switch name {
	case "schema", "facts", "rules":
		return ImportPath + "/" + name
	case "standards":
		return ImportPath + "/schema/standards"
	case "list", "math", "strings", "strconv", "struct":
		return name
	}
	return ""
}

func orHere(path string) string {
	if path == "" {
		return "this"
	}
	return path
}

func (x *explainer) say(at Place, path, detail, format string, args ...any) {
	if x.said[path] {
		return
	}
	x.said[path] = true
	text := fmt.Sprintf(format, args...)
	if names := splitPath(path); len(names) > 2 && names[0] == "machines" {
		// The place says which machine; a path from there on is easier to read.
		text = strings.ReplaceAll(text, join("machines", names[1])+".", "")
		path = strings.TrimPrefix(path, join("machines", names[1])+".")
	}
	x.mistakes.List = append(x.mistakes.List, Mistake{At: at, Path: path, Text: text, Detail: detail})
}

// unknownName says which names a struct takes instead of last.
func (x *explainer) unknownName(parent *definition, path, last string) string {
	var names, unitNames []string
	for _, f := range x.definitions().all(parent) {
		names = append(names, f.name)
		if isUnit(f.name) {
			unitNames = append(unitNames, f.name)
		}
	}
	if d := x.definitions().anyName(parent); d != nil {
		names = append(names, d.names...)
	}
	above := strings.TrimSuffix(strings.TrimSuffix(path, `"`+last+`"`), last)
	above = strings.TrimSuffix(above, ".")
	if len(unitNames) > 0 && len(unitNames) == len(names) {
		return fmt.Sprintf("%s has `%s`, which is no unit for it: write %s", above, last, orList(quotedLabels(unitNames)))
	}
	return fmt.Sprintf("%s has no field `%s`: %s", above, last, meant(last, names))
}

// missing explains required fields of the struct at a path, or of the field itself where the path ends in one.
func (x *explainer) missing(path string, at Place) {
	names := splitPath(path)
	parent, f, known := x.walk(names)
	if parent == nil || !known {
		return
	}
	above := joinAll(x.owner(names[:len(names)-1], names[len(names)-1]))
	path = join(above, names[len(names)-1])
	if label, ok := x.labels.find(above); ok {
		at = label
	}
	if parent.open {
		own := splitPath(above)
		x.say(at, path, "", "%s is of no kind that trammel knows: %s", above, x.definitions().asKind(own[len(own)-1], x.fieldsAt(own)))
		return
	}
	example := f.example
	if example == "" {
		example = f.name + ": …"
		if options := x.definitions().follow(f.shape).options; len(options) > 0 {
			example = fmt.Sprintf("%s: %q", f.name, options[0])
		}
	}
	x.say(at, path, "", "%s has no %s: add `%s`", above, f.name, example)
}

// owner is the struct that lacks a field: the shared part which the one at a path refers to, where that is of a kind that must have it.
func (x *explainer) owner(names []string, field string) []string {
	l, ok := x.labels.exact(names)
	if !ok {
		return x.labels.source(names)
	}
	for _, r := range l.refers() {
		if d := x.definedAt(r); d != nil {
			if f, ok := x.definitions().field(d, field); ok && f.required {
				return r
			}
		}
	}
	return names
}

// saidAround reports whether a field around the one at a path has a sentence.
func (x *explainer) saidAround(path string) bool {
	names := splitPath(path)
	for n := 1; n < len(names); n++ {
		if x.said[joinAll(names[:n])] {
			return true
		}
	}
	return false
}

// selves looks for fields that stand for themselves alone, as in `tube: tube`: the evaluator finds nothing wrong with them, and misses what is
// required in them.
func (x *explainer) selves() {
	for _, name := range sorted(x.labels.byName) {
		for _, l := range x.labels.byName[name] {
			others := func(o label) bool { return o.pos != l.pos && slices.Equal(o.chain, l.chain) }
			if len(l.chain) < 2 || !l.refersToItself() || slices.ContainsFunc(x.labels.byName[name], others) {
				continue
			}
			path := joinAll(l.chain)
			found, _ := x.written(path)
			remedy := "give it what it is to be"
			if slices.ContainsFunc(x.labels.byName[name], func(o label) bool {
				return len(o.chain) < len(l.chain) && slices.Equal(o.chain[:len(o.chain)-1], l.chain[:len(o.chain)-1])
			}) {
				remedy = fmt.Sprintf("to mean the other `%s`, put the name in quotes, `%q: %s`, or give the other one another name", name, name, found)
			}
			at := x.places.of(l.pos)
			x.mistakes.List = slices.DeleteFunc(x.mistakes.List, func(m Mistake) bool { return m.At == at }) // it follows
			x.say(at, path, "", "%s refers to itself: in `%s: %s` the second `%s` is this field again; %s", path, name, found, name, remedy)
			x.whole = append(x.whole, path)
		}
	}
}

// inSelf reports whether a path leads into a field that stands for itself alone.
func (x *explainer) inSelf(path string) bool {
	return slices.ContainsFunc(x.whole, func(p string) bool { return strings.HasPrefix(path, p+".") || strings.HasPrefix(path, p+"[") })
}

// absent walks a value for required fields that nobody wrote; validation drops them beside other mistakes.
func (x *explainer) absent(v cue.Value, path string, depth int) {
	it, err := v.Fields(cue.All())
	if err != nil || depth > 12 {
		return
	}
	for it.Next() {
		sel := it.Selector()
		if sel.LabelType() != cue.StringLabel {
			continue
		}
		p := join(path, sel.Unquoted())
		switch {
		case sel.ConstraintType() == cue.RequiredConstraint:
			if !x.misspelt(path, sel.Unquoted()) && !x.inSelf(p) {
				x.missing(p, Place{})
			}
		case sel.ConstraintType() == cue.OptionalConstraint:
		case it.Value().IncompleteKind()&(cue.StructKind|cue.BottomKind) != 0:
			x.absent(it.Value(), p, depth+1)
		case it.Value().IncompleteKind() == cue.ListKind:
			list, err := it.Value().List()
			for i := 0; err == nil && list.Next(); i++ {
				x.absent(list.Value(), fmt.Sprintf("%s[%d]", p, i), depth+1)
			}
		}
	}
}

// unknownNames looks through the builder's text for fields that no definition has. The evaluator stops at some of them.
func (x *explainer) unknownNames() {
	for _, name := range sorted(x.labels.byName) {
		for _, l := range x.labels.byName[name] {
			if name == computed || isIndex(name) || strings.HasPrefix(name, "_") || strings.HasPrefix(name, "#") {
				continue
			}
			if parent, _, _ := x.walk(append(slices.Clone(l.chain[:len(l.chain)-1]), l.alias)); l.alias != "" && (isUnit(l.alias) || parent != nil && x.isField(parent, l.alias)) {
				x.say(x.places.of(l.pos), joinAll(l.chain), "", "`%s` is followed by `=`: a field's name and its value are parted by a colon", l.alias)
				continue
			}
			parent, _, known := x.walk(l.chain)
			if parent == nil || known {
				continue
			}
			path := joinAll(l.chain)
			x.say(x.places.of(l.pos), path, "", "%s", x.unknownName(parent, path, name))
		}
	}
}

func (x *explainer) isField(d *definition, name string) bool {
	_, ok := x.definitions().field(d, name)
	return ok
}

// deadReferences looks for references such as bin.cylinder to a name that the struct at the top of the file does not have.
func (x *explainer) deadReferences() {
	for _, f := range x.labels.files {
		ast.Walk(f, func(n ast.Node) bool {
			sel, ok := n.(*ast.SelectorExpr)
			if !ok {
				return true
			}
			head, isIdent := sel.X.(*ast.Ident)
			name, _, err := ast.LabelName(sel.Sel)
			if !isIdent || err != nil {
				return true
			}
			if imported(f, head.Name) == ImportPath+"/schema" {
				if _, ok := x.definitions()[name]; !ok {
					x.say(x.places.of(sel.Sel.Pos()), "reference "+name, "", "there is no `%s.%s`: %s", head.Name, name, x.otherDefinition(name, sel.Pos()))
				}
				return true
			}
			var names []string
			open := false // the struct has names that the text alone does not show
			for _, ls := range x.labels.byName {
				for _, l := range ls {
					switch {
					case len(l.chain) == 2 && l.chain[0] == head.Name:
						names = append(names, l.chain[1])
						open = open || isComputed(l.chain[1])
					case len(l.chain) == 1 && l.chain[0] == head.Name:
						_, literal := l.value.(*ast.StructLit)
						open = open || !literal
					}
				}
			}
			if len(names) > 0 && !open && !slices.Contains(names, name) {
				at := x.places.of(sel.Sel.Pos())
				x.said["reference "+name] = true // by the evaluator
				x.say(at, at.String(), "", "there is no `%s.%s`: %s", head.Name, name, meant(name, names))
			}
			return true
		}, nil)
	}
}

// otherDefinition says which definition may be meant by the name of one that does not exist: the one that its field wants, that whose fields
// it has, or one that is a slip away.
func (x *explainer) otherDefinition(name string, at token.Pos) string {
	const slips = 2
	ds := x.definitions()
	all := byDistance(name, ds.writable())
	for _, ls := range x.labels.byName {
		for _, l := range ls {
			if len(l.chain) < 2 || definitionIn(l.value) != name || l.pos.Filename() != at.Filename() || at.Offset() < l.pos.Offset() || at.Offset() >= l.value.End().Offset() {
				continue
			}
			_, f, known := x.walk(l.chain)
			d := ds.structure(f.shape)
			switch {
			case !known || d == nil:
			case d.open:
				if kinds := byDistance(name, sorted(ds.kinds())); distance(name, kinds[0]) <= slips {
					return meant(name, kinds[:1])
				}
				return ds.asKind(l.chain[len(l.chain)-1], x.fieldsAt(l.chain))
			case slices.Contains(all, f.shape.ref):
				wanted := append(slices.Clone(d.embeds), f.shape.ref)
				if i := slices.IndexFunc(all, func(n string) bool { return slices.Contains(wanted, n) }); distance(name, all[i]) <= slips {
					return meant(name, all[i:i+1])
				}
				return fmt.Sprintf("what stands here is a `schema.%s`", f.shape.ref)
			}
		}
	}
	if distance(name, all[0]) <= slips {
		return meant(name, nearest(name, all))
	}
	return "there are " + andList(quotedNames(all))
}

// fieldsAt are the fields that the builder wrote into the struct at a path, and the text that each holds, if it is one.
func (x *explainer) fieldsAt(names []string) map[string]string {
	fields := map[string]string{}
	for name, ls := range x.labels.byName {
		for _, l := range ls {
			if n := len(l.chain) - 1; n == len(names) && slices.EqualFunc(l.chain[:n], names, same) {
				fields[name], _, _, _ = literalIn(l.value)
			}
		}
	}
	return fields
}

// imported is the path of the import that a file knows by a name, or "".
func imported(f *ast.File, name string) string {
	for spec := range f.ImportSpecs() {
		path := strings.Trim(spec.Path.Value, `"`)
		if spec.Name != nil && spec.Name.Name == name || spec.Name == nil && path[strings.LastIndex(path, "/")+1:] == name {
			return path
		}
	}
	return ""
}

// misspelt reports whether an unknown name in the same struct is near enough to explain a missing one.
func (x *explainer) misspelt(path, name string) bool {
	for p := range x.said {
		names := splitPath(p)
		if len(names) == 0 || !strings.HasPrefix(p, path) || len(names) != len(splitPath(path))+1 {
			continue
		}
		if last := names[len(names)-1]; last != name && Nearest(last, []string{name}) != "" {
			return true
		}
	}
	return false
}

// walk follows a path through the definitions: the struct around its end, and the field there if the definition has it.
func (x *explainer) walk(names []string) (parent *definition, f field, known bool) {
	var here *definition
	for i := range names {
		if isIndex(names[i]) {
			if s := x.definitions().follow(f.shape); known && s.element != nil {
				f = field{name: f.name, required: f.required, shape: *s.element}
			}
			continue
		}
		parent, f, known = here, field{}, false
		if here != nil {
			if f, known = x.definitions().field(here, names[i]); known {
				s := x.definitions().follow(f.shape)
				for s.element != nil {
					s = x.definitions().follow(*s.element)
				}
				here = x.definitions().structure(s)
			} else {
				here = nil
			}
		}
		if d := x.definedAt(names[:i+1]); d != nil {
			here = d
		}
	}
	return parent, f, known
}

// definedAt is the definition that the builder's text names for the field at a path: `schema.#Cylinder & {…}`, or that of the shared part
// which it refers to, as `bin.cylinder & {…}`.
func (x *explainer) definedAt(names []string) *definition {
	const shared = 8 // parts that refer to parts, at most: a ring has no end
	for range shared {
		if len(names) == 2 && names[0] == "machines" {
			return x.definitions()["#Machine"]
		}
		l, ok := x.labels.exact(names)
		if !ok {
			return nil
		}
		if d, ok := x.definitions()[definitionIn(l.value)]; ok {
			return d
		}
		refers := l.refers()
		if len(refers) == 0 {
			return nil
		}
		names = refers[0]
	}
	return nil
}

// allowed says what may stand in a field that holds something else.
func (x *explainer) allowed(f field, name string, value ast.Expr) string {
	s := x.definitions().follow(f.shape)
	if isIndex(name) {
		name = f.name
	}
	units := x.definitions().units(s.ref)
	text, number, isText, isNumber := literalIn(value)
	switch {
	case len(units) > 0 && isNumber:
		return wantsUnit(name, number, units)
	case len(units) > 0 && isText:
		if number, unit, ok := strings.Cut(strings.TrimSpace(text), " "); ok && slices.Contains(units, unit) {
			return fmt.Sprintf("a number stands under its unit: `%s: %s: %s`", labelled(name), labelled(unit), strings.Replace(number, ",", ".", 1))
		}
	case len(units) > 0:
	case isText && (strings.HasPrefix(s.kind, "a number") || strings.HasPrefix(s.kind, "a whole number")):
		if _, err := strconv.ParseFloat(text, 64); err == nil {
			return "a number stands without quotes: " + text
		}
	case s.element != nil && value != nil && x.definitions().structure(*s.element) == nil:
		if isText || isNumber {
			found, _ := format.Node(value)
			return fmt.Sprintf("it wants a list: `%s: [%s]`", labelled(name), found)
		}
	case commaInNumber(value):
		return "decimals are written with a point, as in 65.38"
	}
	switch {
	case len(s.options) > 0:
		quoted := make([]string, len(s.options))
		for i, o := range s.options {
			quoted[i] = fmt.Sprintf("%q", o)
		}
		return "allowed: " + orList(quoted)
	case f.example != "" && isNumber && (strings.HasPrefix(s.kind, "a whole number ") || strings.HasPrefix(s.kind, "a number ")):
		return s.kind + " is allowed, as in `" + f.example + "`"
	case f.example != "":
		return "write it as in `" + f.example + "`"
	case x.definitions().structure(s) != nil:
		if len(units) > 0 {
			return fmt.Sprintf("it wants a unit: %s", orList(quotedLabels(units)))
		}
		var names []string
		for _, f := range x.definitions().all(x.definitions().structure(s)) {
			names = append(names, f.name)
		}
		if len(names) == 0 {
			return fmt.Sprintf("it wants named entries in braces: `%s: {…}`", name)
		}
		return "it wants a struct with " + andList(names)
	case s.element != nil:
		return "it wants a list: `[…]`"
	case f.shape.ref == "#positive":
		return "a number above 0 and at most 1,000,000 is allowed"
	case f.shape.ref == "#notNegative" && isPressure(name):
		return "a number from 0 to 1,000,000 is allowed: pressures are gauge here, above that of the room"
	case f.shape.ref == "#notNegative":
		return "a number from 0 to 1,000,000 is allowed"
	case f.shape.ref == "#bounded":
		return "a number from -1,000,000 to 1,000,000 is allowed"
	case f.shape.ref == "#text":
		return "a text that is not empty is allowed"
	case s.kind == "text":
		return "a text is allowed, written as the schema's pattern has it"
	}
	return "allowed: " + s.kind
}

// wantsUnit says how a number that stands alone is written with its unit.
func wantsUnit(name, number string, units []string) string {
	text := fmt.Sprintf("it wants a unit: `%s: %s: %s`", labelled(name), labelled(units[0]), number)
	if len(units) > 1 {
		text += ", or " + orList(quotedLabels(units[1:]))
	}
	return text
}

// isPressure reports whether a field is a unit of pressure.
func isPressure(name string) bool {
	_, is := UnitOf(PressureDim, name)
	return is
}

// literalIn is the text or the number that a value is written as.
func literalIn(value ast.Expr) (text, number string, isText, isNumber bool) {
	sign := ""
	if u, ok := value.(*ast.UnaryExpr); ok && u.Op == token.SUB {
		value, sign = u.X, "-"
	}
	lit, ok := value.(*ast.BasicLit)
	switch {
	case !ok:
	case lit.Kind == token.STRING:
		text, _ = literal.Unquote(lit.Value)
		isText = true
	case lit.Kind == token.INT || lit.Kind == token.FLOAT:
		number, isNumber = sign+lit.Value, true
	}
	return text, number, isText, isNumber
}

// commaInNumber reports whether a struct holds a number that belongs to no field: what a decimal comma leaves.
func commaInNumber(value ast.Expr) bool {
	s, ok := value.(*ast.StructLit)
	return ok && slices.ContainsFunc(s.Elts, func(d ast.Decl) bool {
		e, ok := d.(*ast.EmbedDecl)
		if !ok {
			return false
		}
		_, _, _, isNumber := literalIn(e.Expr)
		return isNumber
	})
}

// labelled is a field's name as it is written before a colon.
func labelled(name string) string { return join("", name) }

func quotedLabels(names []string) []string {
	quoted := make([]string, len(names))
	for i, n := range names {
		quoted[i] = labelled(n)
	}
	return quoted
}

// written is what the builder wrote at a path, as text and as syntax.
func (x *explainer) written(path string) (string, ast.Expr) {
	const unknown = "not as the schema has it"
	l, ok := x.labels.label(splitPath(path))
	if !ok {
		return unknown, nil
	}
	b, err := format.Node(l.value)
	text := strings.Join(strings.Fields(string(b)), " ")
	if err != nil || text == "" {
		return unknown, nil
	}
	if r := []rune(text); len(r) > 60 {
		text = string(r[:57]) + "…"
	}
	return text, l.value
}

// placeOf finds where the builder should look: the label of the path's last name, else a position of the error in the builder's files.
func (x *explainer) placeOf(e errors.Error, path string) Place {
	if path != "" {
		if at, ok := x.labels.find(path); ok {
			return at
		}
	}
	for _, pos := range append([]token.Pos{e.Position()}, e.InputPositions()...) {
		if pos.IsValid() && !isServed(pos.Filename()) {
			return x.places.of(pos)
		}
	}
	return Place{}
}

// otherPlace names a second position of a conflict.
func (x *explainer) otherPlace(e errors.Error, first Place) string {
	for _, pos := range e.InputPositions() {
		if at := x.places.of(pos); pos.IsValid() && !isServed(pos.Filename()) && at.Line != first.Line {
			return ", the other at " + at.String()
		}
	}
	return ""
}

// topNames are the names that a reference at the top of a file can mean.
func (x *explainer) topNames(file string) []string {
	var names []string
	for _, f := range x.labels.files {
		for _, d := range f.Decls {
			if fd, ok := d.(*ast.Field); ok {
				if n, _, err := ast.LabelName(fd.Label); err == nil {
					names = append(names, n)
				}
			}
		}
		if x.places.name(f.Filename) != file {
			continue
		}
		for spec := range f.ImportSpecs() {
			path := strings.Trim(spec.Path.Value, `"`)
			names = append(names, path[strings.LastIndex(path, "/")+1:])
		}
	}
	return names
}

// siblings are the names beside a dead one, read from the references to it.
func (x *explainer) siblings(name string) []string {
	var names []string
	for _, f := range x.labels.files {
		ast.Walk(f, func(n ast.Node) bool {
			sel, ok := n.(*ast.SelectorExpr)
			if !ok {
				return true
			}
			if s, _, err := ast.LabelName(sel.Sel); err != nil || s != name {
				return true
			}
			var head string
			switch h := sel.X.(type) {
			case *ast.Ident:
				head = h.Name
			case *ast.SelectorExpr:
				head, _, _ = ast.LabelName(h.Sel)
			}
			if head == "schema" {
				for d := range x.definitions() {
					names = append(names, d)
				}
			}
			for n, ls := range x.labels.byName {
				for _, l := range ls {
					if len(l.chain) > 1 && l.chain[len(l.chain)-2] == head {
						names = append(names, n)
					}
				}
			}
			return true
		}, nil)
	}
	return names
}

func pathOf(names []string) string {
	path := ""
	for _, n := range names {
		if n != "" && strings.Trim(n, "0123456789") == "" && path != "" {
			path += "[" + n + "]"
			continue
		}
		path = join(path, strings.Trim(n, `"`))
	}
	return path
}

// twoConcrete reports whether a conflict is between two plain values rather than a value and a definition.
func twoConcrete(message string) bool {
	a, b, ok := strings.Cut(strings.TrimPrefix(message, "conflicting values "), " and ")
	return ok && isLiteral(a) && isLiteral(b)
}

func conflict(message string) string { return strings.TrimPrefix(message, "conflicting values ") }

func isLiteral(s string) bool {
	return s != "" && (s[0] == '"' || s[0] == '-' || s[0] >= '0' && s[0] <= '9' || s == "true" || s == "false")
}

// plain is the evaluator's message without what only its authors understand.
func plain(message string) string {
	message = strings.TrimSpace(message)
	if i := strings.IndexByte(message, '\n'); i > 0 {
		message = message[:i]
	}
	return message
}
