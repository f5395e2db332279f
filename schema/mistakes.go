package schema

import (
	"fmt"
	"slices"
	"sort"
	"strings"

	"github.com/hbollon/go-edlib"
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

// Nearest returns the name that was probably meant, or "". Two names as near as each other are no hint.
func Nearest(name string, names []string) string {
	near := nearest(name, names)
	if len(near) != 1 {
		return ""
	}
	return near[0]
}

// nearest returns the names that are the least number of slips away, where that is few for their length. A slip is a letter more, less or
// other, or two that changed places.
func nearest(name string, names []string) []string {
	var near []string
	least := min(len(name)/3+1, len(name)-1)
	for _, n := range names {
		d := distance(name, n)
		switch {
		case d < least || d == least && near == nil:
			near, least = []string{n}, d
		case d == least && !slices.Contains(near, n):
			near = append(near, n)
		}
	}
	return near
}

// distance is the number of slips between two names, whatever their case.
func distance(a, b string) int {
	return edlib.OSADamerauLevenshteinDistance(strings.ToLower(a), strings.ToLower(b))
}

// meant ends a sentence about a name that is none of those allowed.
func meant(name string, names []string) string {
	sorted := slices.Sorted(slices.Values(names))
	sorted = slices.Compact(sorted)
	if near := nearest(name, sorted); len(near) > 0 && len(near) <= 3 {
		return fmt.Sprintf("did you mean %s?", orList(quotedNames(near)))
	}
	if len(sorted) == 0 {
		return "there is none yet"
	}
	return "allowed: " + strings.Join(quotedNames(sorted), ", ")
}

func quotedNames(names []string) []string {
	quoted := make([]string, len(names))
	for i, n := range names {
		quoted[i] = quoteName(n)
	}
	return quoted
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
