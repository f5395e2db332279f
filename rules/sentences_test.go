package rules_test

import (
	"regexp"
	"strings"
	"testing"

	"trammel.example/rules"
)

// TestSentences reads what is said of every failing and open finding of the examples and the faults as a person would.
func TestSentences(t *testing.T) {
	bad := []struct{ what, pattern string }{
		{"a value that is not known", `\(not known\)`},
		{"no number", `NaN|Inf|%!`},
		{"a doubled space", `  `},
		{"an evasive plural", `\(s\)`},
		{"a promise that nobody can keep", `(?i)\bsafe(ly|ty)?\b`},
		{"an empty quotation", `""`},
		{"a unit twice", `\b(mm|bar|N|kg) (mm|bar|N|kg)\b`},
		{"one of several", `\b1 (rings|ends|screws|washers|pitches|layers|parts)\b`},
	}
	for _, b := range bad {
		pattern := regexp.MustCompile(b.pattern)
		for _, j := range everything(t) {
			if j.fault != nil && len(j.Findings) == 0 {
				continue
			}
			for _, f := range j.Findings {
				for _, text := range []string{f.Because, f.Remedy, f.Why, f.Worst} {
					if found := pattern.FindString(text); found != "" {
						t.Errorf("%s: %s of %s %s says %q (%s): %s", j.name, f.Rule.Name, f.Subject.Kind, f.Subject.Name, found, b.what, text)
					}
				}
			}
		}
	}
	for _, j := range everything(t) {
		for _, f := range j.Findings {
			if f.Outcome != rules.Fail {
				continue
			}
			for what, text := range map[string]string{"why": f.Because, "remedy": f.Remedy} {
				if text == "" || !strings.HasSuffix(text, ".") || strings.ToUpper(text[:1]) != text[:1] {
					t.Errorf("%s: the %s of %s is no whole sentence: %q", j.name, what, f.Rule.Name, text)
				}
			}
		}
	}
}
