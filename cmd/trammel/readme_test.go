package main

import (
	"io"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"

	"cuelang.org/go/cue/parser"

	"trammel.example/schema"
)

// TestReadme demands that every piece of CUE in the README is CUE, and that those which are whole specs are judged.
func TestReadme(t *testing.T) {
	readme, err := os.ReadFile("../../README.md")
	if err != nil {
		t.Fatal(err)
	}
	specs := 0
	for i, block := range strings.Split(string(readme), "```cue\n")[1:] {
		text, _, _ := strings.Cut(block, "```")
		if _, err := parser.ParseFile("README.md", text); err != nil {
			t.Errorf("block %d: %v", i+1, err)
		}
		if !strings.HasPrefix(text, "package ") {
			continue
		}
		specs++
		dir := t.TempDir()
		if err := os.WriteFile(filepath.Join(dir, "readme.cue"), []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
		r := checkOne(testLoader(dir), target{path: "."}, time.Date(2026, 6, 1, 0, 0, 0, 0, time.UTC))
		if len(r.mistakes) > 0 || len(r.judgements) != 1 || !r.judgements[0].Go() {
			t.Errorf("block %d: mistakes %v", i+1, r.mistakes)
		}
	}
	if specs == 0 {
		t.Error("the README shows no whole spec")
	}
}

// The README shows how to check a machine, and how to test the project, with nothing installed.
func TestReadmeCommands(t *testing.T) {
	readme, err := os.ReadFile("../../README.md")
	if err != nil {
		t.Fatal(err)
	}
	for _, command := range []string{"go run ./cmd/trammel check ./examples/tray-lifter", "go test ./..."} {
		if !strings.Contains(string(readme), "\n"+command+"\n") {
			t.Errorf("the README lacks the line %q", command)
		}
	}
}

// The README names the definition of each kind of part that air goes through, and those alone.
func TestReadmeKinds(t *testing.T) {
	readme, err := os.ReadFile("../../README.md")
	if err != nil {
		t.Fatal(err)
	}
	_, named, _ := strings.Cut(string(readme), "* **What the air goes through**")
	named, _, _ = strings.Cut(named, ". What two machines share")
	air, err := schema.Files.ReadFile("air.cue")
	if err != nil {
		t.Fatal(err)
	}
	var kinds []string
	for _, m := range regexp.MustCompile(`(?m)^(#\w+): \{\n\t#InLine\n`).FindAllStringSubmatch(string(air), -1) {
		kinds = append(kinds, m[1])
	}
	got := regexp.MustCompile(`#\w+`).FindAllString(named, -1)
	slices.Sort(kinds)
	slices.Sort(got)
	if !slices.Equal(kinds, got) || len(kinds) == 0 {
		t.Errorf("the README names %v, and the schema has %v", got, kinds)
	}
}

// The finding that the README shows is one of the draft's, as printed.
func TestReadmeFinding(t *testing.T) {
	t.Chdir("../..")
	readme, err := os.ReadFile("README.md")
	if err != nil {
		t.Fatal(err)
	}
	_, finding, _ := strings.Cut(string(readme), "## A finding\n\n```\n")
	finding, _, _ = strings.Cut(finding, "```")
	var printed strings.Builder
	if status := run([]string{"check", "examples/tray-lifter-draft"}, &printed, io.Discard); status != exitNoGo {
		t.Fatalf("status %d", status)
	}
	if finding == "" || !strings.Contains(printed.String(), finding) {
		t.Errorf("the draft has no such finding:\n%s", finding)
	}
}
