package schema

import (
	"fmt"
	"slices"
	"sort"
	"strings"

	"github.com/agnivade/levenshtein"
)

// A Mistake is one thing wrong with a spec: where, what was found, what is allowed.
type Mistake struct {
	At   Place
	Path string
	Text string
	// Detail is the evaluator's own message, for those who want it.
	Detail string
}

// Mistakes is what keeps a spec from being judged. All that could be found are listed, by place.
type Mistakes struct {
	List []Mistake
}

func (ms *Mistakes) Error() string {
	lines := make([]string, len(ms.List))
	for i, m := range ms.List {
		lines[i] = m.String()
	}
	return strings.Join(lines, "\n")
}

func (m Mistake) String() string {
	if m.At.File == "" {
		return m.Text
	}
	return m.At.String() + ": " + m.Text
}

func (ms *Mistakes) add(at Place, path, format string, args ...any) {
	ms.List = append(ms.List, Mistake{At: at, Path: path, Text: fmt.Sprintf(format, args...)})
}

// tidy sorts by place and drops what is said twice.
func (ms *Mistakes) tidy() {
	sort.SliceStable(ms.List, func(i, j int) bool {
		a, b := ms.List[i], ms.List[j]
		if a.At != b.At {
			return a.At.Before(b.At)
		}
		return len(a.Path) < len(b.Path) || len(a.Path) == len(b.Path) && a.Text < b.Text
	})
	kept := ms.List[:0]
	for _, m := range ms.List {
		if !slices.ContainsFunc(kept, func(k Mistake) bool { return k.At == m.At && (k.Text == m.Text || sameEnd(k, m)) }) {
			kept = append(kept, m)
		}
	}
	ms.List = kept
}

// sameEnd reports whether two mistakes at one place are one in a shared part, seen from several of its users.
func sameEnd(a, b Mistake) bool {
	x, y := splitPath(a.Path), splitPath(b.Path)
	return a.At.File != "" && len(x) > 0 && len(y) > 0 && x[len(x)-1] == y[len(y)-1]
}

// Nearest returns the name that was probably meant, or "".
func Nearest(name string, names []string) string {
	best, least := "", len(name)/3+2
	for _, n := range names {
		d := levenshtein.ComputeDistance(strings.ToLower(name), strings.ToLower(n))
		if d < least || d == least && best != "" && n < best {
			best, least = n, d
		}
	}
	return best
}

// meant ends a sentence about a name that is none of those allowed.
func meant(name string, names []string) string {
	sorted := append([]string{}, names...)
	sort.Strings(sorted)
	if n := Nearest(name, sorted); n != "" {
		return fmt.Sprintf("did you mean %s?", quoteName(n))
	}
	if len(sorted) == 0 {
		return "there is none yet"
	}
	for i := range sorted {
		sorted[i] = quoteName(sorted[i])
	}
	return "allowed: " + strings.Join(sorted, ", ")
}

func quoteName(n string) string { return "`" + n + "`" }

func andList(names []string) string { return listed(names, "and") }
func orList(names []string) string  { return listed(names, "or") }

func listed(names []string, word string) string {
	if len(names) < 2 {
		return strings.Join(names, "")
	}
	return strings.Join(names[:len(names)-1], ", ") + " " + word + " " + names[len(names)-1]
}
