package start

import (
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"testing/fstest"
)

var packages = map[string]fs.FS{"schema": fstest.MapFS{"machine.cue": {Data: []byte("package schema\n")}}}

func TestNothingIsOverwritten(t *testing.T) {
	dir := t.TempDir()
	if err := os.WriteFile(filepath.Join(dir, "parts.cue"), []byte("mine"), 0o666); err != nil {
		t.Fatal(err)
	}
	_, err := Write(dir, packages)
	if err == nil || !strings.Contains(err.Error(), "parts.cue already") {
		t.Errorf("got %v", err)
	}
	if entries, _ := os.ReadDir(dir); len(entries) != 1 {
		t.Errorf("%d entries instead of the one that was there", len(entries))
	}
}

func TestWrongFolders(t *testing.T) {
	dir := t.TempDir()
	spec := filepath.Join(dir, "spec.cue")
	if err := os.WriteFile(spec, []byte("package spec\n"), 0o666); err != nil {
		t.Fatal(err)
	}
	for name, want := range map[string]string{"": "a folder is wanted", spec: "spec.cue is no folder", dir: "holds a spec already (spec.cue)", filepath.Join(spec, "x"): "not a directory"} {
		if _, err := Write(name, packages); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%q gave %v, want %s", name, err, want)
		}
	}
	if entries, _ := os.ReadDir(dir); len(entries) != 1 {
		t.Errorf("%d entries instead of the one that was there", len(entries))
	}
}

func TestFailureLeavesNothing(t *testing.T) {
	dir := t.TempDir()
	// A file stands where a folder is wanted, after others have been written.
	if err := os.WriteFile(filepath.Join(dir, "cue.mod"), nil, 0o666); err != nil {
		t.Fatal(err)
	}
	_, err := Write(dir, packages)
	if err == nil || !strings.Contains(err.Error(), "cue.mod") {
		t.Errorf("got %v", err)
	}
	if entries, _ := os.ReadDir(dir); len(entries) != 1 {
		t.Errorf("%d entries instead of the one that was there", len(entries))
	}
}

func TestBesideWhatIsThere(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "a", "new one")
	names, err := Write(dir, packages)
	if err != nil {
		t.Fatal(err)
	}
	for _, name := range append(names, packagesDir+"/schema/machine.cue") {
		if _, err := os.Stat(filepath.Join(dir, name)); err != nil {
			t.Error(err)
		}
	}
	if _, err := Write(dir, packages); err == nil {
		t.Error("written twice")
	}
}
