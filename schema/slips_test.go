package schema_test

import (
	"errors"
	"flag"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"golang.org/x/tools/txtar"

	"trammel.example/schema"
	"trammel.example/schema/standards"
)

var update = flag.Bool("update", false, "write the golden files anew")

// An edit puts a slip into a file of an example.
type edit struct{ file, from, to string }

var placed = regexp.MustCompile(`^[a-z]+\.cue(:\d+:\d+)?: \S`)

// TestSlips makes mistakes that builders make in the dough clamp, one or several at a time, and compares every sentence that comes back.
func TestSlips(t *testing.T) {
	text, err := os.ReadFile("testdata/slips.txt")
	if err != nil {
		t.Fatal(err)
	}
	const golden = "testdata/slips.txtar"
	had, err := txtar.ParseFile(golden)
	if err != nil && !*update {
		t.Fatal(err)
	}
	got := &txtar.Archive{Comment: []byte("What is said of each slip of slips.txt. Written by `go test ./schema -run Slips -update`, and read by a person.\n")}
	for block := range strings.SplitSeq(strings.TrimSpace(string(text)), "\n\n") {
		name, edits := readSlip(t, block)
		got.Files = append(got.Files, txtar.File{Name: name, Data: []byte(sentences(t, name, edits))})
	}
	for _, f := range got.Files {
		for line := range strings.Lines(string(f.Data)) {
			if !placed.MatchString(line) || strings.Contains(line, "%!") || strings.Contains(line, "_|_") || strings.Contains(line, "trammel.example/") && !strings.Contains(line, "import") {
				t.Errorf("%s: not a sentence with a place: %s", f.Name, line)
			}
		}
	}
	if *update {
		if err := os.WriteFile(golden, txtar.Format(got), 0o644); err != nil {
			t.Fatal(err)
		}
		return
	}
	if d := cmp.Diff(string(txtar.Format(had)), string(txtar.Format(got))); d != "" {
		t.Errorf("other sentences than before (-want +got):\n%s", d)
	}
}

// readSlip reads a block: a name, then edits as `file: from => to`, in which ⏎ stands for a line's end.
func readSlip(t *testing.T, block string) (name string, edits []edit) {
	t.Helper()
	lines := strings.Split(block, "\n")
	for _, line := range lines[1:] {
		file, change, ok := strings.Cut(line, ".cue: ")
		from, to, ok2 := strings.Cut(change, " => ")
		if !ok || !ok2 {
			t.Fatalf("%s: %q is no edit", lines[0], line)
		}
		breaks := strings.NewReplacer("⏎", "\n", "⇥", "\t")
		edits = append(edits, edit{file + ".cue", breaks.Replace(from), breaks.Replace(to)})
	}
	return lines[0], edits
}

// sentences are those that a spec with the edits gets; a spec that is still good has none.
func sentences(t *testing.T, name string, edits []edit) string {
	t.Helper()
	dir := t.TempDir()
	if err := os.CopyFS(dir, os.DirFS("../examples/dough-clamp")); err != nil {
		t.Fatal(err)
	}
	for _, e := range edits {
		path := filepath.Join(dir, e.file)
		data, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		if !strings.Contains(string(data), e.from) {
			t.Fatalf("%s: %s does not hold %q", name, e.file, e.from)
		}
		if err := os.WriteFile(path, []byte(strings.Replace(string(data), e.from, e.to, 1)), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	_, err := schema.NewLoader(dir, map[string]fs.FS{"schema": schema.Files, "schema/standards": standards.Files}).Load(".")
	var mistakes *schema.Mistakes
	if !errors.As(err, &mistakes) {
		t.Errorf("%s: got %v, want mistakes", name, err)
		return ""
	}
	var b strings.Builder
	for _, m := range mistakes.List {
		fmt.Fprintln(&b, m)
	}
	return b.String()
}
