package rules_test

import (
	"path/filepath"
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

// What a spec leaves out, or a rod that never gets to its end, takes a clause out of a sentence, and never leaves a hole in it.
func TestSentencesHaveNoHoles(t *testing.T) {
	weak := "bar: 0.6"
	for _, c := range []struct{ example, fault, file, from, to string }{
		{fault: "nipple-on-a-nipple", file: "parts.cue", from: `relief: {set: bar: 8 @fails("no-regulator"), flow: "L/min": 180}`},
		{example: "tray-lifter-draft", file: "lifter.cue", from: "bar: 5.5", to: weak},
		{example: "glue-press", file: "air.cue", from: "bar: 4", to: weak},
		{example: "peel-pusher", file: "air.cue", from: "bar: 5", to: weak},
		{fault: "flow-control-left-out", file: "air.cue", from: "psi: 60", to: "psi: 8"},
	} {
		files, err := exampleFiles(c.example)
		if c.fault != "" {
			f, readErr := readFault(filepath.Join(root, "testdata", "faults", c.fault+".txtar"))
			if readErr != nil {
				t.Fatal(readErr)
			}
			files, err = f.files, nil
		}
		if err != nil {
			t.Fatal(err)
		}
		if !strings.Contains(files[c.file], c.from) {
			t.Fatalf("%s%s: %s does not hold %q", c.example, c.fault, c.file, c.from)
		}
		files[c.file] = strings.Replace(files[c.file], c.from, c.to, 1)
		js, err := judgeFiles(files)
		if err != nil {
			t.Fatal(err)
		}
		for _, j := range js {
			for _, f := range j.Findings {
				for _, text := range []string{f.Because, f.Remedy, f.Why} {
					if strings.Contains(text, "(not known)") {
						t.Errorf("%s%s without %q: %s of %s %s: %s", c.example, c.fault, c.from, f.Rule.Name, f.Subject.Kind, f.Subject.Name, text)
					}
				}
			}
		}
	}
}
