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

func (t *named[T]) at(name string) (row T, ok bool) {
	i := slices.Index(t.names, name)
	if i < 0 {
		return row, false
	}
	return t.rows[i], true
}

func (t *named[T]) find(kind, name string) (T, error) {
	row, ok := t.at(name)
	if ok {
		return row, nil
	}
	return row, &UnknownError{Kind: kind, Name: name, Allowed: slices.Clone(t.names)}
}

// UnknownError reports a designation that no table holds.
type UnknownError struct {
	Kind    string   // "thread", "hole class", ...
	Name    string   // what was asked for
	Of      string   // the standard, where one was asked for
	Allowed []string // all designations of that kind, in the table's order
	Summary string   // what is allowed, in short, where the list is long
}

func (e *UnknownError) Error() string {
	allowed := e.Summary
	if allowed == "" {
		allowed = strings.Join(e.Allowed, ", ")
	}
	if e.Of != "" {
		return fmt.Sprintf("%s has no %s of %s: it has %s", e.Of, e.Kind, e.Name, allowed)
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
	return fmt.Sprintf("%s is outside the table of %s, which holds sizes above %s up to %s", millimetres(e.Size), e.Table, millimetres(e.Over), millimetres(e.To))
}

// lookUp finds a row by name in one table.
func lookUp[T any](kind, name string, of func(*tables) *named[T]) (T, error) {
	return of(&all).find(kind, name)
}

// namesIn lists the names of one table, in its order.
func namesIn[T any](of func(*tables) *named[T]) []string {
	return slices.Clone(of(&all).names)
}
