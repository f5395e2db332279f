package main

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"maps"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"

	"trammel.example/cmd/trammel/internal/compare"
	"trammel.example/cmd/trammel/internal/ramp"
	"trammel.example/cmd/trammel/internal/report"
)

// A report that can't be written leaves what was there as it was, nothing beside it, and loses no other report.
func TestEachAlone(t *testing.T) {
	r, set := loadOne(newLoader(), target{path: "../../examples/stage-petals"})
	if set == nil {
		t.Fatal(r.mistakes)
	}
	r = checkOne(newLoader(), target{path: "../../examples/stage-petals"}, time.Date(2026, 6, 1, 0, 0, 0, 0, time.UTC))
	run := report.Run{Specs: []report.SpecResult{r.result()}}.Sharing()
	side := compare.Side{Specs: []compare.Spec{{Judgements: r.judgements, Rules: set}}}
	same := compare.Of(side, side, 0.05)
	commands := map[string]func(format string, w io.Writer) error{}
	for f := range formats {
		commands["check "+f] = func(_ string, w io.Writer) error { return formats[f](w, run) }
	}
	for f := range comparisons {
		commands["compare "+f] = func(_ string, w io.Writer) error { return comparisons[f](w, same) }
	}
	for f := range planFormats {
		commands["ramp "+f] = func(_ string, w io.Writer) error { return planFormats[f](w, []*ramp.Plan{}) }
	}
	shut := t.TempDir()
	if err := os.Chmod(shut, 0o555); err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct{ file, why string }{
		{"/dev/full", "no space left on device"}, // full(4): writing to it fails with ENOSPC
		{filepath.Join(shut, "report"), "permission is denied"},
		{filepath.Join(shut, "none", "report"), "its folder does not exist"},
		{shut, "it is a folder"},
		{"output.go/report", "not a directory"},
		{filepath.Join(shut, strings.Repeat("x", 300)), "file name too long"}, // NAME_MAX is 255 bytes in POSIX file systems
	} {
		if c.file == "/dev/full" {
			if _, err := os.Stat(c.file); err != nil {
				continue // a system that has none
			}
		}
		if c.why == "permission is denied" && os.Getuid() == 0 {
			continue // root may write anywhere
		}
		for _, name := range slices.Sorted(maps.Keys(commands)) {
			dir := t.TempDir()
			first, last := filepath.Join(dir, "first"), filepath.Join(dir, "last")
			if err := os.WriteFile(first, []byte("as it was"), 0o600); err != nil {
				t.Fatal(err)
			}
			err := saveAll([]output{{name, first}, {name, c.file}, {name, last}}, func(_ string, w io.Writer) error { return commands[name](name, w) })
			if err == nil || err.Error() != c.file+" can't be written: "+c.why {
				t.Errorf("%s to %s: %v, want that it can't be written: %s", name, c.file, err, c.why)
			}
			var whole strings.Builder
			if err := commands[name](name, &whole); err != nil {
				t.Fatal(err)
			}
			left(t, dir, map[string]string{"first": whole.String(), "last": whole.String()})
		}
	}
}

// What can't be made is not written either; what else was asked for is, and each failure is told of.
func TestFailedReport(t *testing.T) {
	dir := t.TempDir()
	outputs := []output{{"bad", filepath.Join(dir, "a")}, {"good", filepath.Join(dir, "b")}, {"worse", filepath.Join(dir, "c")}}
	err := saveAll(outputs, func(format string, w io.Writer) error {
		fmt.Fprint(w, "half of it")
		return map[string]error{"bad": errors.New("no pen"), "worse": errors.New("no ink")}[format]
	})
	if err == nil || err.Error() != "no bad report: no pen\nno worse report: no ink" {
		t.Errorf("%v, want each format with its error", err)
	}
	left(t, dir, map[string]string{"b": "half of it"})
}

func TestSaved(t *testing.T) {
	dir := t.TempDir()
	a, b := filepath.Join(dir, "a"), filepath.Join(dir, "b")
	if err := os.WriteFile(a, []byte("as it was, and longer"), 0o640); err != nil {
		t.Fatal(err)
	}
	if err := saveAll([]output{{"one", a}, {"two", b}, {"three", os.DevNull}}, func(format string, w io.Writer) error {
		_, err := io.WriteString(w, format)
		return err
	}); err != nil {
		t.Fatal(err)
	}
	left(t, dir, map[string]string{"a": "one", "b": "two"})
	if info, err := os.Stat(a); err != nil || info.Mode() != 0o640 {
		t.Errorf("the file that was there has now the mode %v (%v)", info.Mode(), err)
	}
	if info, err := os.Lstat(os.DevNull); err != nil || info.Mode()&fs.ModeDevice == 0 {
		t.Errorf("%s is %v (%v), and was a device", os.DevNull, info.Mode(), err)
	}
}

// left demands that a folder holds these files and no other.
func left(t *testing.T, dir string, want map[string]string) {
	t.Helper()
	entries, err := os.ReadDir(dir)
	if err != nil {
		t.Fatal(err)
	}
	got := map[string]string{}
	for _, e := range entries {
		data, err := os.ReadFile(filepath.Join(dir, e.Name()))
		if err != nil {
			t.Fatal(err)
		}
		got[e.Name()] = string(data)
	}
	if !maps.Equal(got, want) {
		t.Errorf("%s holds %.200q, want %q", dir, got, want)
	}
}

func TestParseOutputs(t *testing.T) {
	for _, c := range []struct {
		write []string
		want  string
	}{
		{[]string{"json=a", "html=b"}, ""},
		{[]string{"json=/dev/stdout", "text=/dev/stdout"}, ""},
		{[]string{"json=a", "html=./a"}, `^\./a would be written twice, as json and as html: give each a file of its own$`},
		{[]string{"json"}, `^--write wants FORMAT=FILE, as in json=report.json, and "json" is not that$`},
		{[]string{"json="}, `and "json=" is not that$`},
		{[]string{"pdf=a"}, `^--write knows no format "pdf": annotations, html, json, junit, markdown, sarif, text$`},
	} {
		outputs, err := parseOutputs(c.write, formats)
		switch {
		case c.want == "" && (err != nil || len(outputs) != len(c.write)):
			t.Errorf("%q: %v, %v", c.write, outputs, err)
		case c.want != "" && (err == nil || !regexp.MustCompile(c.want).MatchString(err.Error())):
			t.Errorf("%q: %v, want %s", c.write, err, c.want)
		}
	}
}
