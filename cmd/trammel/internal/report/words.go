package report

import (
	"fmt"
	"math"
	"strconv"
	"strings"
	"unicode"

	"trammel.example/checks"
	"trammel.example/rules"
	"trammel.example/schema"
)

// against is the value with its limit, as in "9.1 mm, at least 12.3 mm wanted (26 % short)".
func against(f *rules.Finding) string {
	if f.Op == rules.MustBe {
		if f.Outcome == rules.Pass {
			return f.Value.String() + ", as it must be"
		}
		return fmt.Sprintf("%s, and must be %s", f.Value, f.Limit)
	}
	if f.Op == rules.AtMost && f.Limit.Dim == schema.NumberDim && f.Limit.SI == 0 && f.Value.SI >= 0 { // a count
		return fmt.Sprintf("%s, none %s", f.Value, wish(f))
	}
	text := fmt.Sprintf("%s, %s %s %s", f.Value, f.Op, f.Limit, wish(f))
	if d := distance(f); d != "" {
		text += " (" + d + ")"
	}
	return text
}

// wish tells a limit that must be kept from one that is only better: missing that weighs less than the rule's own level.
func wish(f *rules.Finding) string {
	if f.Outcome == rules.Fail && f.Level != f.Rule.Level {
		return "preferred"
	}
	return "wanted"
}

// distance is how far a value lies from its limit: as a share where that says something, else in its unit.
func distance(f *rules.Finding) string {
	passes := f.Outcome == rules.Pass
	off := math.Abs(f.Value.SI - f.Limit.SI)
	share := math.Abs(f.Margin)
	word := "short"
	switch {
	case passes:
		word = "to spare"
	case f.Op == rules.AtMost:
		word = "over"
	}
	switch {
	case math.IsNaN(off) || math.IsInf(off, 0):
		return ""
	case passes && off == 0:
		return "nothing to spare"
	case !passes && f.Op == rules.AtMost && share >= 1 && f.Limit.SI > 0:
		return digits(f.Value.SI/f.Limit.SI) + " times the limit"
	case math.IsNaN(f.Margin) || share >= 1 || f.Limit.SI < 0 || f.Value.Dim == schema.TemperatureDim:
		return difference(f.Value, off) + " " + word
	case share < 0.0001:
		return "less than 0.01 % " + word
	}
	return digits(share*100) + " % " + word
}

// difference is a distance between two values of one dimension.
func difference(v rules.Value, si float64) string {
	if v.Dim == schema.TemperatureDim { // zero K apart is not −273 °C
		return digits(si) + " K"
	}
	return rules.Value{Kind: checks.Quantity, Dim: v.Dim, SI: si}.String()
}

// digits is a number to two significant digits, and to the whole number above ten.
func digits(x float64) string {
	if x >= 10 {
		return strconv.FormatFloat(x, 'f', 0, 64)
	}
	places := 1 - int(math.Floor(math.Log10(x)))
	text := strconv.FormatFloat(x, 'f', max(places, 0), 64)
	if strings.Contains(text, ".") {
		text = strings.TrimSuffix(strings.TrimRight(text, "0"), ".")
	}
	return text
}

// measured names what a rule measures in words: threadEngagement is "thread engagement".
func measured(r *rules.Rule) string {
	if r.Measure.Fact == "" {
		return r.Measure.String()
	}
	return spaced(r.Measure.String())
}

// found is what was measured, held against its limit.
func found(f *rules.Finding) string { return measured(f.Rule) + ": " + against(f) }

func spaced(name string) string {
	var b strings.Builder
	for i, r := range name {
		if i > 0 && unicode.IsUpper(r) && !strings.HasSuffix(b.String(), " ") {
			b.WriteByte(' ')
		}
		b.WriteRune(unicode.ToLower(r))
	}
	return b.String()
}

// subject is a subject as it is called in a sentence.
func subject(s *checks.Subject) string { return s.Kind + " " + strconv.Quote(s.Name) }

// inWords is the counts that are not nothing.
func (c Counts) inWords() string {
	var parts []string
	say := func(n int, one, many string) {
		switch {
		case n == 1:
			parts = append(parts, "1 "+one)
		case n > 1:
			parts = append(parts, strconv.Itoa(n)+" "+many)
		}
	}
	say(c.Errors, "error", "errors")
	say(c.Warnings, "warning", "warnings")
	say(c.Notes, "note", "notes")
	say(c.Open, "rule open", "rules open")
	say(c.Conceded, "conceded", "conceded")
	say(c.Expired, "concession expired", "concessions expired")
	say(c.Unmatched, "concession unmatched", "concessions unmatched")
	say(c.Passes, "rule holds", "rules hold")
	if len(parts) == 0 {
		return "nothing to judge"
	}
	return strings.Join(parts, ", ")
}

func sources(r *rules.Rule) string {
	var list []string
	for _, s := range r.Source {
		list = append(list, s.String())
	}
	return strings.Join(list, "; ")
}
