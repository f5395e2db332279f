package main

import (
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"go.yaml.in/yaml/v3"
)

type action struct {
	Inputs map[string]struct{ Default string }
	Runs   struct {
		Steps []struct {
			Name, ID, Run string
			Env           map[string]string
		}
	}
}

// TestAction runs the steps of the action that a builder's workflow calls, as a workflow host would: in bash, with the host's files for
// outputs and the summary. Steps of other people's actions are passed over.
func TestAction(t *testing.T) {
	const folder = "../../.github/actions/check"
	text, err := os.ReadFile(filepath.Join(folder, "action.yml"))
	if err != nil {
		t.Fatal(err)
	}
	var a action
	if err := yaml.Unmarshal(text, &a); err != nil {
		t.Fatal(err)
	}
	here, err := filepath.Abs(folder)
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct{ example, summary, status string }{
		{"tray-lifter", "### GO: tray-lifter", "0"},
		{"tray-lifter-draft", "### NO-GO: tray-lifter-draft", "1"},
	} {
		t.Run(c.example, func(t *testing.T) {
			temp, workspace := t.TempDir(), t.TempDir()
			if err := os.CopyFS(filepath.Join(workspace, "spec"), os.DirFS("../../examples/"+c.example)); err != nil {
				t.Fatal(err)
			}
			outputs := map[string]string{}
			fill := func(s string) string {
				return regexp.MustCompile(`\$\{\{ *([a-z.]+) *\}\}`).ReplaceAllStringFunc(s, func(expression string) string {
					name := strings.TrimSpace(strings.Trim(expression, "${}"))
					if input, ok := strings.CutPrefix(name, "inputs."); ok {
						return a.Inputs[input].Default
					}
					return outputs[name]
				})
			}
			var last error
			for _, step := range a.Runs.Steps {
				if step.Run == "" {
					continue
				}
				output := filepath.Join(temp, "output")
				cmd := exec.Command("bash", "-eo", "pipefail", "-c", step.Run)
				cmd.Dir = workspace
				cmd.Env = append(os.Environ(), "GITHUB_ACTION_PATH="+here, "RUNNER_TEMP="+temp, "GITHUB_OUTPUT="+output, "GITHUB_STEP_SUMMARY="+filepath.Join(temp, "summary"))
				for name, value := range step.Env {
					cmd.Env = append(cmd.Env, name+"="+fill(value))
				}
				said, err := cmd.CombinedOutput()
				last = err
				if err != nil && step.Name != "Verdict" {
					t.Fatalf("%s: %v\n%s", step.Name, err, said)
				}
				written, _ := os.ReadFile(output)
				for line := range strings.Lines(string(written)) {
					name, value, _ := strings.Cut(strings.TrimSpace(line), "=")
					outputs["steps."+step.ID+".outputs."+name] = value
				}
			}
			summary, err := os.ReadFile(filepath.Join(temp, "summary"))
			if err != nil || !strings.Contains(string(summary), c.summary) {
				t.Errorf("the summary does not say %q: %v\n%.300s", c.summary, err, summary)
			}
			if got := outputs["steps.check.outputs.status"]; got != c.status || (last == nil) != (c.status == "0") {
				t.Errorf("status %q, the last step: %v; want %s", got, last, c.status)
			}
			if _, err := os.Stat(filepath.Join(workspace, a.Inputs["sarif"].Default)); err != nil {
				t.Error(err)
			}
		})
	}
}
