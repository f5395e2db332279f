package checks_test

import (
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"trammel.example/checks"
	"trammel.example/schema"
	"trammel.example/schema/standards"
)

// TestRepairsOfWhatIsLeftOut takes one line out of a machine that moves, which must be what the repair asks for.
func TestRepairsOfWhatIsLeftOut(t *testing.T) {
	for _, r := range []struct{ old, new, repair string }{
		{"near: {point: \"V\", along: [\"R\", \"Q\"], friction: 0.05}", "", "Let V of pusher slide along rail too, as W does"},
		{"far: {point: \"W\", along: [\"R\", \"Q\"], friction: 0.05}", "", "Let W of pusher slide along rail too, as V does"},
		{`rail: {points: ["R", "Q"], ground: true}`, `rail: points: ["R", "Q"]`, "If rail stands still, write `ground: true` in it"},
	} {
		dir := t.TempDir()
		if err := os.CopyFS(dir, os.DirFS("../examples/crate-ejector")); err != nil {
			t.Fatal(err)
		}
		file := filepath.Join(dir, "ejector.cue")
		text, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		changed := strings.Replace(string(text), r.old, r.new, 1)
		if changed == string(text) {
			t.Fatalf("the example has no %q", r.old)
		}
		changed = strings.Replace(changed, "\n\tframe: {\n", "\n\t_frame: {\n", 1) // which wants a rail that stands still
		if err := os.WriteFile(file, []byte(changed), 0o600); err != nil {
			t.Fatal(err)
		}
		spec, err := schema.NewLoader(dir, map[string]fs.FS{"schema": schema.Files, "schema/standards": standards.Files}).Load(".")
		if err != nil {
			t.Fatal(err)
		}
		e := examined{t, checks.Examine(spec.Machines[0])}
		if got := e.textOf("linkage", "crate-ejector", "repair"); !strings.HasPrefix(got, r.repair) {
			t.Errorf("without %s: %q, want %q", r.old, got, r.repair)
		}
	}
}
