package rules_test

import (
	"fmt"
	"os"
	"path/filepath"
	"sort"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"trammel.example/rules"
)

// TestGoodExamplesAreSilent demands that nothing fails and nothing is open in an example, unless it is a draft.
func TestGoodExamplesAreSilent(t *testing.T) {
	for _, j := range everything(t) {
		if j.fault != nil || strings.HasSuffix(j.name, "-draft") {
			continue
		}
		if !j.Go() {
			t.Errorf("%s is NO-GO", j.Machine.Name)
		}
		for _, f := range j.Findings {
			switch f.Outcome {
			case rules.Fail:
				t.Errorf("%v: %s fails for %s %s: %s", f.At, f.Rule.Name, f.Subject.Kind, f.Subject.Name, f.Because)
			case rules.Open:
				t.Errorf("%v: %s is open for %s %s: %s", f.At, f.Rule.Name, f.Subject.Kind, f.Subject.Name, f.Why)
			}
		}
	}
}

// TestDraft compares what fails in the draft of the tray lifter, and where, with a list. Its files have no @fails in them, since a
// builder reads them.
func TestDraft(t *testing.T) {
	var lines []string
	for _, j := range everything(t) {
		if j.name != "tray-lifter-draft" {
			continue
		}
		if j.Go() {
			t.Error("the draft is GO")
		}
		for _, f := range j.Findings {
			if f.Outcome == rules.Fail {
				lines = append(lines, fmt.Sprintf("%s:%d:%d %s %s", filepath.Base(f.At.File), f.At.Line, f.At.Column, f.Rule.Name, f.Level))
			}
		}
	}
	sort.Strings(lines)
	got := strings.Join(lines, "\n") + "\n"
	golden := filepath.Join(root, "testdata", "faults", "tray-lifter-draft.txt")
	if *update {
		if err := os.WriteFile(golden, []byte(got), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(golden)
	if err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff(string(want), got); diff != "" {
		t.Errorf("run `go test ./rules -run TestDraft -update` and read the difference:\n%s", diff)
	}
}
