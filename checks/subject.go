// Package checks computes what a machine will do: for each of its things the facts that rules are held against.
package checks

import (
	"embed"

	"trammel.example/schema"
)

// Files is the definition of the facts, as rules import it.
//
//go:embed facts.cue
var Files embed.FS

// A Subject is one thing of a machine, with what was computed of it.
type Subject struct {
	Kind, Name string
	Machine    *schema.Machine
	At         schema.Place
	Facts      map[string]Fact
	// Assumed are values that stand in for what the builder did not give, beside those of the loader; for one value, in place of it.
	Assumed []schema.Assumption
	// Closings are, of a zone, the gaps that its people reach and that close on them: for pictures.
	Closings []Closing
}

// A Kind says which field of a fact holds its value.
type Kind int

const (
	Quantity Kind = iota // SI, in the fact's dimension
	Text
	Flag
	Open // not known: Why says what is missing
)

// A Fact is one computed value. A fact that does not apply to a subject is not in its map.
type Fact struct {
	Kind Kind
	Dim  schema.Dimension // of a Quantity; of an Open fact what it would be
	SI   float64
	Text string
	Flag bool
	Why  string
	// From are the values of the spec that it came from; the first is the one that a builder would change.
	From []schema.Input
	// Worst says at which pose or load case the value was found, where it depends on one.
	Worst string
	// Rods are how far each rod is out there, m, by the sorted names of the cylinders; nil where that is not known.
	Rods []float64
}

// String prints the value in its dimension's first unit.
func (f Fact) String() string {
	switch f.Kind {
	case Text:
		return f.Text
	case Flag:
		if f.Flag {
			return "yes"
		}
		return "no"
	case Open:
		return "open: " + f.Why
	}
	return schema.Format(f.Dim, f.SI)
}

func newSubject(m *schema.Machine, kind, name string, at schema.Place) *Subject {
	return &Subject{Kind: kind, Name: name, Machine: m, At: at, Facts: map[string]Fact{}}
}

func (s *Subject) set(name string, dim schema.Dimension, si float64, from ...schema.Input) {
	s.Facts[name] = Fact{Kind: Quantity, Dim: dim, SI: si, From: given(from)}
}

func (s *Subject) text(name, value string, from ...schema.Input) {
	s.Facts[name] = Fact{Kind: Text, Text: value, From: given(from)}
}

func (s *Subject) flag(name string, value bool, from ...schema.Input) {
	s.Facts[name] = Fact{Kind: Flag, Flag: value, From: given(from)}
}

// open notes that facts can't be computed, and what is missing.
func (s *Subject) open(why string, names ...string) {
	for _, n := range names {
		s.Facts[n] = Fact{Kind: Open, Why: why}
	}
}

func (s *Subject) worst(name, when string, rods ...float64) {
	f := s.Facts[name]
	f.Worst, f.Rods = when, rods
	s.Facts[name] = f
}

// given leaves out inputs that the spec does not have.
func given(from []schema.Input) []schema.Input {
	kept := make([]schema.Input, 0, len(from))
	for _, in := range from {
		if schema.OriginOf(in).Given() {
			kept = append(kept, in)
		}
	}
	return kept
}
