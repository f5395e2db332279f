package schema

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
)

// writable are the definitions that a builder writes a value from, sorted: structs, but neither quantities, which a unit tells, nor what the
// kinds of parts have in common.
func (ds definitions) writable() []string {
	own := map[string]bool{}
	for kind := range ds.kinds() {
		for _, name := range ds[kind].embeds {
			own[name] = true
		}
	}
	for _, d := range ds {
		for _, f := range d.fields {
			s := f.shape
			for s.element != nil {
				s = *s.element
			}
			delete(own, s.ref)
		}
	}
	var names []string
	for name, d := range ds {
		isName := len(name) > 1 && name[1] >= 'A' && name[1] <= 'Z'
		if isName && d.scalar == nil && !d.open && !own[name] && !slices.ContainsFunc(ds.all(d), func(f field) bool { return isUnit(f.name) }) {
			names = append(names, name)
		}
	}
	slices.Sort(names)
	return names
}

// byDistance sorts names by how far they are from one, the nearest first.
func byDistance(name string, names []string) []string {
	return slices.SortedFunc(slices.Values(names), func(a, b string) int {
		return cmp.Or(cmp.Compare(distance(name, a), distance(name, b)), strings.Compare(a, b))
	})
}

// kinds are the definitions that fix a part's kind, with the kind of each.
func (ds definitions) kinds() map[string]string {
	kinds := map[string]string{}
	for name, d := range ds {
		for _, f := range d.fields {
			if f.name == "kind" && len(f.shape.options) == 1 {
				kinds[name] = f.shape.options[0]
			}
		}
	}
	return kinds
}

// asKind says from which definition a part without one is to be written: that of the kind which it names, else the one whose fields and
// whose name it has. fields has the text of each field that is one. Where nothing tells, all are named, the likeliest first.
func (ds definitions) asKind(name string, fields map[string]string) string {
	kinds := ds.kinds()
	likeness := map[string]float64{}
	for def, kind := range kinds {
		likeness[def] = ds.likeness(def, kind, name, fields)
	}
	order := slices.SortedStableFunc(slices.Values(byDistance("#"+name, sorted(kinds))), func(a, b string) int {
		return cmp.Compare(likeness[b], likeness[a])
	})
	best := likeness[order[0]]
	as := func(def string) string { return fmt.Sprintf("`%s: schema.%s & {…}`", labelled(name), def) }
	alike := slices.IndexFunc(order, func(def string) bool { return likeness[def] < best })
	switch {
	case kinds[order[0]] == fields["kind"]:
		return "write " + as(order[0])
	case best > 0 && alike == 1:
		return "to judge by its name and fields, write " + as(order[0])
	case best > 0 && alike > 1 && alike <= 3:
		for i := range alike {
			order[i] = as(order[i])
		}
		return "to judge by its name and fields, write " + orList(order[:alike])
	}
	return fmt.Sprintf("write `%s: schema.#… & {…}` with the definition of what it is: %s", labelled(name), orList(quotedNames(order)))
}

// likeness is how well a definition fits a part: above 0 where something speaks for it. The kind that is written decides before the fields,
// and these before the name.
func (ds definitions) likeness(def, kind, name string, fields map[string]string) float64 {
	const byKind, byField, byName, byWord = 100, 4, 3, 2
	sum := 0.0
	if fields["kind"] == kind {
		sum += byKind
	}
	d := ds[def]
	for f := range fields {
		common := slices.ContainsFunc(ds.all(ds["#InLine"]), func(g field) bool { return g.name == f })
		_, has := ds.field(d, f)
		switch {
		case common:
		case has:
			sum += byField
		default:
			sum -= byField
		}
	}
	if sum > 0 {
		for _, f := range ds.all(d) {
			if _, has := fields[f.name]; f.required && !has {
				sum -= 0.1 // between two that fit alike, the one that lacks less
			}
		}
	}
	letters := func(s string) string {
		return strings.Map(func(r rune) rune {
			if r >= 'a' && r <= 'z' {
				return r
			}
			return -1
		}, strings.ToLower(s))
	}
	own, whole := letters(name), letters(kind)
	switch {
	case own == "":
	case own == whole:
		sum += byName
	case strings.Contains(own, whole) || len(own) >= 3 && strings.HasPrefix(whole, own) || Nearest(own, []string{whole}) != "":
		sum += byWord + float64(len(whole))/100
	}
	return sum
}
