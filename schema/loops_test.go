package schema

import (
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// TestMistakesInLoops: of parts that a loop makes, each is known by what the text shows of its name, and no more is said than is wrong.
func TestMistakesInLoops(t *testing.T) {
	for _, c := range []struct{ file, from, to, want string }{
		{"petals.cue", "distance: mm: 150", "distance: mm: -150", "guard.distance.mm is -150"},
		{"air.cue", `"up \(n)": bin.flowControl & {throttles:`, `"up \(n)": bin.flowControl & {throtles:`, "air.parts.\"up *\" has no field `throtles`: did you mean `throttles`?"},
		{"air.cue", `"shift \(n)": bin.valve`, `"shift \(n)": bin.valve & {rst: "x"}`, "air.parts.\"shift *\" has no field `rst`: did you mean `rest`?"},
		{"air.cue", `to: "shift \(n).1"`, `to: "shft \(n).1"`, "names the part `shft 1`, which does not exist: did you mean `shift 1`?"},
	} {
		dir := t.TempDir()
		files, err := filepath.Glob("../examples/stage-petals/*.cue")
		if err != nil || len(files) == 0 {
			t.Fatal(files, err)
		}
		for _, f := range files {
			text, err := os.ReadFile(f)
			if err != nil {
				t.Fatal(err)
			}
			if filepath.Base(f) == c.file {
				changed := strings.Replace(string(text), c.from, c.to, 1)
				if changed == string(text) {
					t.Fatalf("%s has no %s", c.file, c.from)
				}
				text = []byte(changed)
			}
			if err := os.WriteFile(filepath.Join(dir, filepath.Base(f)), text, 0o600); err != nil {
				t.Fatal(err)
			}
		}
		_, err = NewLoader(dir, map[string]fs.FS{"schema": Files}).Load(".")
		if m, ok := err.(*Mistakes); !ok || len(m.List) != 1 || !strings.Contains(m.List[0].Text, c.want) {
			t.Errorf("%s: said %v, want one mistake with %q", c.to, err, c.want)
		}
	}
}

func TestFits(t *testing.T) {
	for _, c := range []struct {
		written, name string
		want          bool
	}{
		{"*", "up 1", true}, {"up *", "up 1", true}, {"up *", "up ", true}, {"up *", "up", false}, {"up *", "shift 1", false},
		{"*.1", "up.1", true}, {"a*a", "a", false}, {"a*b*c", "a-c", true}, {"up *", "up *", true}, {"up *", "shift *", false},
	} {
		if got := fits(c.written, c.name); got != c.want {
			t.Errorf("%q as %q: %v", c.name, c.written, got)
		}
	}
}
