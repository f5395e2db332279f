package schema

import (
	"math"
	"unicode"

	"trammel.example/schema/standards"
)

// A Size is a length as made or bought. Its limits follow from plus and minus, from an ISO 286 class, or from the general tolerance.
type Size struct {
	Length
	Plus  Deviation `cue:"plus"`
	Minus Deviation `cue:"minus"`
	Fit   Text      `cue:"fit"`
	// Least and Most are the limits in m between which the size may lie.
	Least, Most float64
}

// Toleranced reports whether the builder said how far the size may be off.
func (s Size) Toleranced() bool { return s.Plus.Given() || s.Minus.Given() || s.Fit.Given() }

// String is the size as written, with its tolerance.
func (s Size) String() string {
	text := s.Length.String()
	switch {
	case s.Fit.Given():
		text += " " + s.Fit.Value
	case s.Plus.Given() && s.Minus.Given() && s.Plus.SI == s.Minus.SI:
		text += " ±" + s.Plus.String()
	default:
		if s.Plus.Given() {
			text += " +" + s.Plus.String()
		}
		if s.Minus.Given() {
			text += " −" + s.Minus.String()
		}
	}
	return text
}

// classOf says how the ISO 286 class of a field's size begins, with an example: that of a hole or a gap with a capital letter, that of a pin
// or a width with a small one. Of a field that can be either it says nothing.
func classOf(field string) (letter, example string) {
	switch field {
	case "hole", "bore", "gap", "open":
		return "a capital letter", "H9"
	case "diameter", "outside", "width", "thick", "spacer":
		return "a small letter", "h6"
	}
	return "", ""
}

const generalSource = "ISO 2768-1, class m (general tolerance)"

// settle finds the limits of a size. Where the builder gave none, the field's own assumption holds, else the general tolerance.
func (d *decoder) settle(s *Size, f *field) {
	if !s.Given() || s.SI == 0 || math.IsNaN(s.SI) {
		return
	}
	fit, source := s.Fit.Value, ""
	if !s.Toleranced() && f.assumed != nil && f.assumed.fit != "" {
		fit, source = f.assumed.fit, f.assumed.source
	}
	letter, example := classOf(f.name)
	lower, upper := -s.Minus.SI, s.Plus.SI
	var err error
	switch {
	case s.Fit.Value != "" && letter != "" && unicode.IsUpper(rune(fit[0])) != unicode.IsUpper(rune(example[0])):
		d.mistakes.add(s.Fit.At, s.Path, "%s is %s; the class of such a size begins with %s, as in %q", s.Path, s, letter, example)
	case fit != "" && (s.Plus.Given() || s.Minus.Given()):
		d.mistakes.add(s.Fit.At, s.Path, "%s has a fit and a tolerance: keep one of them", s.Path)
	case fit != "" && unicode.IsUpper(rune(fit[0])):
		lower, upper, err = standards.Hole(fit, s.SI)
	case fit != "":
		lower, upper, err = standards.Shaft(fit, s.SI)
	case !s.Toleranced():
		upper, err = standards.GeneralTolerance(s.SI)
		lower = -upper
	}
	if err != nil {
		at := s.Fit.At.or(s.At)
		d.mistakes.add(at, s.Path, "%s: %v", s.Path, err)
		return
	}
	s.Least, s.Most = s.SI+lower, s.SI+upper
	switch {
	case source != "":
		d.assumptions = append(d.assumptions, Assumption{Path: s.Path, Value: "fit " + fit, Source: source})
	case !s.Toleranced():
		d.assumptions = append(d.assumptions, Assumption{Path: s.Path, Value: "±" + Format(LengthDim, upper), Source: generalSource})
	}
	if s.Least <= 0 {
		d.mistakes.add(s.At, s.Path, "%s is %s: with its tolerance it can be nothing at all", s.Path, s)
	}
}

// settleOffset finds the limits of an offset: by its own tolerance, else by the general one.
func (d *decoder) settleOffset(o *Offset) {
	if !o.Given() || math.IsNaN(o.SI) {
		return
	}
	lower, upper := -o.Minus.SI, o.Plus.SI
	if !o.Plus.Given() && !o.Minus.Given() && o.SI != 0 {
		general, err := standards.GeneralTolerance(math.Abs(o.SI))
		if err != nil {
			d.mistakes.add(o.At, o.Path, "%s: %v", o.Path, err)
			return
		}
		lower, upper = -general, general
		d.assumptions = append(d.assumptions, Assumption{Path: o.Path, Value: "±" + Format(LengthDim, general), Source: generalSource})
	}
	o.Least, o.Most = o.SI+lower, o.SI+upper
}

// settleWasher takes a standard washer's thickness from its table.
func (d *decoder) settleWasher(w *Washer, f *field) {
	switch {
	case !w.Given():
		return
	case !w.Thread.Given():
		if w.Series.Given() {
			d.mistakes.add(w.Series.At, w.Path, "%s has a series and no size: add `size: \"M5\"`, or leave the series out", w.Path)
		}
		d.settle(&w.Size, f)
		return
	case w.Plus.Given() || w.Minus.Given() || w.Fit.Given():
		d.mistakes.add(w.Thread.At, w.Path, "%s has a size and a tolerance: the standard washer brings its own; leave the tolerance out, or the size", w.Path)
		return
	case w.Unit.Name != "":
		d.mistakes.add(w.Thread.At, w.Path, "%s has a size and a thickness: keep the size for a standard washer, or the thickness for your own", w.Path)
		return
	}
	series := "plain"
	if w.Series.Given() {
		series = w.Series.Value
	}
	row, err := standards.WasherFor(series, w.Thread.Value)
	if err != nil {
		d.mistakes.add(w.Thread.At, w.Path, "%s: %v", w.Path, err)
		return
	}
	mm := UnitsOf(LengthDim)[0]
	w.Quantity = Quantity{Origin: Origin{Path: w.Path, At: w.Thread.At}, SI: row.Thick, Value: mm.From(row.Thick), Unit: mm}
	w.Least, w.Most = row.ThickMin, row.ThickMax
}
