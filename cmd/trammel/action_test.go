package main

import (
	"bytes"
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
	const forged = "::error::forged"
	for _, c := range []struct{ name, example, folder, summary, status, title, file string }{
		{name: "go", example: "tray-lifter", folder: "spec", summary: "### GO: tray-lifter", status: "0"},
		{name: "no-go", example: "tray-lifter-draft", folder: "spec", summary: "### NO-GO: tray-lifter-draft", status: "1"},
		// A command stands at the start of a line: there stand the words of a title that is wrapped, and the file of a mistake.
		{name: "title", example: "tray-lifter-draft", folder: "spec", summary: "### NO-GO: tray-lifter-draft", status: "1", title: strings.Repeat("w", 60) + " " + forged},
		{name: "file", example: "tray-lifter", folder: ".", summary: "can't be judged", status: "2", file: forged + ".cue"},
	} {
		t.Run(c.name, func(t *testing.T) {
			temp, workspace := t.TempDir(), t.TempDir()
			spec := filepath.Join(workspace, c.folder)
			if err := os.CopyFS(spec, os.DirFS("../../examples/"+c.example)); err != nil {
				t.Fatal(err)
			}
			if c.title != "" {
				name := filepath.Join(spec, "lifter.cue")
				text, err := os.ReadFile(name)
				if err != nil {
					t.Fatal(err)
				}
				titled := regexp.MustCompile(`(?m)^(\s*title: *)".*"$`).ReplaceAll(text, []byte(`${1}"`+c.title+`"`))
				if bytes.Equal(text, titled) {
					t.Fatalf("%s has no title", name)
				}
				if err := os.WriteFile(name, titled, 0o600); err != nil {
					t.Fatal(err)
				}
			}
			if c.file != "" {
				if err := os.WriteFile(filepath.Join(spec, c.file), []byte("package lifter\nx: {\n"), 0o600); err != nil {
					t.Fatal(err)
				}
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
				obeyed := commandsObeyed(string(said))
				for _, command := range obeyed {
					if strings.HasPrefix(command, forged) {
						t.Errorf("%s: the host obeys %s", step.Name, command)
					}
				}
				if step.ID == "check" && (len(obeyed) > 0) != (c.status != "0") {
					t.Errorf("%d commands with status %s", len(obeyed), c.status)
				}
				if step.ID == "check" && c.title+c.file != "" && !regexp.MustCompile(`(?m)^\s*`+forged).Match(said) {
					t.Errorf("no line of the log begins with %s:\n%s", forged, said)
				}
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

// commandsObeyed are the workflow commands that a host reads from the lines of a step: those that begin with two colons after blanks, but none
// between stop-commands and the word that was given with it (GitHub Docs, Workflow commands, Stopping and starting workflow commands).
func commandsObeyed(said string) (all []string) {
	stop := ""
	for line := range strings.Lines(said) {
		line = strings.TrimSpace(line)
		word, stops := strings.CutPrefix(line, "::stop-commands::")
		switch {
		case stop != "":
			if line == "::"+stop+"::" {
				stop = ""
			}
		case stops:
			stop = word
		case strings.HasPrefix(line, "::"):
			all = append(all, line)
		}
	}
	return all
}
