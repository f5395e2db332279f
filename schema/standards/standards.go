// Package standards holds what published standards give about threads, screws, nuts, washers, fits, cylinders, tubes, ports and materials.
//
// The figures are CUE files, so that a spec may refer to them and a builder may read them. Go reads the same files, once, from their syntax alone:
// they hold literals only, and evaluating them would cost more than all the rest of a small check.
// Every number comes back in SI: m, m2, Pa, rad.
//
// A name or a size that no table holds is an error that says what is allowed: *UnknownError or *RangeError.
package standards

import (
	"embed"
	"fmt"
	"slices"
	"strings"
	"sync"
)

// Files are the CUE files of this package, under their own names.
//
//go:embed *.cue
var Files embed.FS

// Provenance says where a row comes from, for the report's list of sources and assumptions.
type Provenance struct {
	Source string
	// Certainty is "checked" (against a second source), "from memory" or "common practice".
	Certainty string
}

// named keeps rows in the order of the file, with their names.
type named[T any] struct {
	names []string
	rows  []T
}

func (t *named[T]) find(kind, name string) (T, error) {
	if i := slices.Index(t.names, name); i >= 0 {
		return t.rows[i], nil
	}
	var none T
	return none, &UnknownError{Kind: kind, Name: name, Allowed: slices.Clone(t.names)}
}

// UnknownError reports a designation that no table holds.
type UnknownError struct {
	Kind    string   // "thread", "hole class", ...
	Name    string   // what was asked for
	Size    bool     // the name is a size, as "30 mm"
	Allowed []string // all designations of that kind, in the table's order
	Summary string   // what is allowed, in short, where the list is long
}

func (e *UnknownError) Error() string {
	allowed := e.Summary
	if allowed == "" {
		allowed = strings.Join(e.Allowed, ", ")
	}
	if e.Size {
		return fmt.Sprintf("there is no %s of %s in the tables; they have %s", e.Kind, e.Name, allowed)
	}
	return fmt.Sprintf("there is no %s %q in the tables; they have %s", e.Kind, e.Name, allowed)
}

// RangeError reports a size outside a table, in m.
type RangeError struct {
	Table    string // "ISO 286", ...
	Size     float64
	Over, To float64 // sizes allowed: above Over, up to and including To
}

func (e *RangeError) Error() string {
	return fmt.Sprintf("%g mm is outside the table of %s, which holds sizes above %g mm up to %g mm", e.Size*1e3, e.Table, e.Over*1e3, e.To*1e3)
}

// read parses the embedded files once. An error here is a mistake in those files; every lookup then returns it.
var read = sync.OnceValues(func() (*tables, error) {
	file, err := parse(Files)
	if err != nil {
		return nil, err
	}
	return build(file)
})

// lookUp finds a row by name in one table of the embedded files.
func lookUp[T any](kind, name string, of func(*tables) *named[T]) (T, error) {
	t, err := read()
	if err != nil {
		var none T
		return none, err
	}
	return of(t).find(kind, name)
}

// namesIn lists the names of one table, in its order.
func namesIn[T any](of func(*tables) *named[T]) []string {
	t, err := read()
	if err != nil {
		return nil
	}
	return slices.Clone(of(t).names)
}
