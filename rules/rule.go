// Package rules holds facts against rules, and says what follows.
package rules

import (
	"embed"
	"strconv"
	"strings"

	"trammel.example/schema"
)

// Files is what a builder's own rules are written from.
//
//go:embed set.cue
var Files embed.FS

// A Level says how much a finding weighs; the words are SARIF's.
type Level string

const (
	Error   Level = "error"   // the machine is not built: NO-GO
	Warning Level = "warning" // somebody should look
	Note    Level = "note"
)

// A Rule is one rule as read from CUE.
type Rule struct {
	Name    string
	Domain  string   // the file that it stands in; "house" for a builder's own
	Kind    string   // of the subjects it judges
	When    *Operand `json:",omitempty"`
	Measure Operand
	Limit   Limit
	Prefer  *Limit `json:",omitempty"`
	Level   Level
	Title   string
	Because Template
	Remedy  Template
	Source  []Source
	Formula string // of the measured fact
	// Strength says that the measured fact is what a part bears, or what it bears with.
	Strength bool `json:",omitempty"`
	// At is where a builder wrote the rule; nowhere for a shipped one.
	At schema.Place
	// Changed says what the builder's repository changed of a shipped rule; empty where nothing was.
	Changed string `json:",omitempty"`
	// Relaxed reports whether the change lets more pass.
	Relaxed bool `json:",omitempty"`
}

// A Source is where a limit comes from.
type Source struct {
	Standard, Part, Practice string `json:",omitempty"`
	FromMemory               bool   `json:",omitempty"`
}

func (s Source) String() string {
	text := s.Practice
	if s.Standard != "" {
		text = s.Standard
		if s.Part != "" {
			text += ", " + s.Part
		}
	}
	if s.FromMemory {
		text += " (figure from memory)"
	}
	return text
}

// An Operator says on which side of a limit a fact must lie.
type Operator string

const (
	AtLeast Operator = "at least"
	AtMost  Operator = "at most"
	MustBe  Operator = "must be"
)

// A Limit is what a measured value is held against.
type Limit struct {
	Op Operator
	By Operand
}

// An Operand is a constant, a fact, or an expression: the first that is set.
type Operand struct {
	Constant *Constant `json:",omitempty"`
	Fact     string    `json:",omitempty"`
	// Unit is that of the fact which a plain number is wanted in, as in given.set.bar.
	Unit string `json:",omitempty"`
	// Expression is CUE over `given`.
	Expression string `json:",omitempty"`
}

// A Constant is a number with its unit ("" for a plain one), a text or a flag.
type Constant struct {
	Number *float64 `json:",omitempty"`
	Unit   string   `json:",omitempty"`
	Text   *string  `json:",omitempty"`
	Flag   *bool    `json:",omitempty"`
}

// A Template is a text with operands in it.
type Template []Piece

// A Piece of a template is text, or an operand whose value stands there.
type Piece struct {
	Text string   `json:",omitempty"`
	By   *Operand `json:",omitempty"`
}

// String is the operand as a person reads it: a fact by its name, a number with its unit, an expression as it is written.
func (o Operand) String() string {
	switch {
	case o.Constant != nil:
		return o.Constant.String()
	case o.Fact != "":
		if o.Unit != "" {
			return o.Fact + " in " + o.Unit
		}
		return o.Fact
	}
	return strings.ReplaceAll(o.Expression, "given.", "")
}

func (c *Constant) String() string {
	switch {
	case c.Text != nil:
		return strconv.Quote(*c.Text)
	case c.Flag != nil:
		if *c.Flag {
			return "yes"
		}
		return "no"
	}
	return strings.TrimSpace(strconv.FormatFloat(*c.Number, 'g', -1, 64) + " " + c.Unit)
}

// String is the text with each operand named in brackets.
func (t Template) String() string {
	var b strings.Builder
	for _, p := range t {
		if p.By != nil {
			b.WriteString("[" + p.By.String() + "]")
			continue
		}
		b.WriteString(p.Text)
	}
	return b.String()
}
