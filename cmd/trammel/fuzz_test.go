package main

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"trammel.example/schema"
)

func testLoader(dir string) *schema.Loader {
	return schema.NewLoader(dir, packages)
}

// FuzzCheck changes one place of the flagship's spec. Whatever stands there, the spec is judged or refused with a sentence.
func FuzzCheck(f *testing.F) {
	parts, err := os.ReadFile("../../examples/tray-lifter/parts.cue")
	if err != nil {
		f.Fatal(err)
	}
	lifter, err := os.ReadFile("../../examples/tray-lifter/lifter.cue")
	if err != nil {
		f.Fatal(err)
	}
	f.Add(uint16(400), uint16(3), "0")
	f.Add(uint16(900), uint16(5), "1e400")
	f.Add(uint16(1200), uint16(0), "bar: 1,")
	f.Add(uint16(2000), uint16(40), "")
	f.Add(uint16(3100), uint16(2), "\"\\u202e\"")
	f.Fuzz(func(t *testing.T, at, cut uint16, with string) {
		// What makes the evaluator itself run away is the watchdog's business, not this test's.
		if len(with) > 40 || strings.ContainsAny(with, "*|_") {
			t.Skip()
		}
		from := int(at) % len(lifter)
		to := min(len(lifter), from+int(cut)%200)
		dir := t.TempDir()
		for name, data := range map[string]string{"parts.cue": string(parts), "lifter.cue": string(lifter[:from]) + with + string(lifter[to:])} {
			if err := os.WriteFile(filepath.Join(dir, name), []byte(data), 0o600); err != nil {
				t.Fatal(err)
			}
		}
		r := checkOne(testLoader(dir), target{path: "."}, time.Date(2026, 6, 1, 0, 0, 0, 0, time.UTC))
		if len(r.judgements) == 0 && len(r.mistakes) == 0 {
			t.Fatal("neither judged nor refused")
		}
		for _, m := range r.mistakes {
			if strings.TrimSpace(m.Text) == "" || strings.Contains(m.Text, "%!") {
				t.Errorf("no sentence: %q", m.Text)
			}
		}
	})
}

func BenchmarkCheck(b *testing.B) {
	for b.Loop() {
		r := checkOne(testLoader("../.."), target{path: "examples/tray-lifter"}, time.Now())
		if len(r.judgements) != 1 {
			b.Fatal(r.mistakes)
		}
	}
}
