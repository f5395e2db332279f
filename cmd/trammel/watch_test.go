package main

import (
	"bytes"
	"context"
	"errors"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"
)

// A log may be read while it is written.
type log struct {
	mutex sync.Mutex
	said  bytes.Buffer
}

func (l *log) Write(p []byte) (int, error) {
	l.mutex.Lock()
	defer l.mutex.Unlock()
	return l.said.Write(p)
}

func (l *log) text() string {
	l.mutex.Lock()
	defer l.mutex.Unlock()
	return l.said.String()
}

// wait returns once the log has the text after its first bytes.
func (l *log) wait(t *testing.T, after int, text string) {
	t.Helper()
	for range 600 {
		if strings.Contains(l.text()[after:], text) {
			return
		}
		time.Sleep(50 * time.Millisecond)
	}
	t.Fatalf("waited for %q, found\n%s", text, l.text())
}

// A builder changes a screw, is caught half-way through a line, saves by renaming as editors do, and adds a package to the module.
func TestWatch(t *testing.T) {
	root := t.TempDir()
	spec := filepath.Join(root, "lifter")
	if err := os.CopyFS(spec, os.DirFS("../../examples/tray-lifter")); err != nil {
		t.Fatal(err)
	}
	write := func(path, text string) {
		t.Helper()
		if err := os.MkdirAll(filepath.Dir(path), 0o777); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(path, []byte(text), 0o666); err != nil {
			t.Fatal(err)
		}
	}
	write(filepath.Join(root, "cue.mod/module.cue"), "module: \"garden.example\"\nlanguage: version: \"v0.9.0\"\n")
	file := filepath.Join(spec, "lifter.cue")
	data, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	good := string(data)
	ctx, stop := context.WithCancel(context.Background())
	o := checkOptions{poses: 11, limits: limits{time: time.Minute, megabytes: 1500}}
	var out, errs log
	ended := make(chan error)
	go func() { ended <- o.watch(ctx, []string{spec}, &out, &errs) }()
	errs.wait(t, 0, "Waiting for a save")
	out.wait(t, 0, "GO       tray-lifter")

	at := len(out.text())
	write(file, strings.Replace(good, `screw: {thread: "M5", length: mm: 12`, `screw: {thread: "M5", length: mm: 16`, 1))
	out.wait(t, at, "NO-GO    tray-lifter")

	at = len(errs.text())
	write(file, good[:strings.Index(good, "fastenings:")]+"fast")
	errs.wait(t, at, "lifter.cue:")

	at = len(out.text())
	write(file+"~.cue.new", good)
	if err := os.Rename(file+"~.cue.new", file); err != nil {
		t.Fatal(err)
	}
	out.wait(t, at, "GO       tray-lifter")

	at = len(out.text())
	write(filepath.Join(root, "shelf/shelf.cue"), "package shelf\n\nlift: mm: 80\n")
	out.wait(t, at, "SAVED")
	at = len(out.text())
	write(filepath.Join(root, "shelf/shelf.cue"), "package shelf\n\nlift: mm: 60\n")
	out.wait(t, at, "shelf.cue")

	if strings.Contains(out.text(), "\x1b") {
		t.Error("an escape code where there is no terminal")
	}
	stop()
	if err := <-ended; err != nil {
		t.Errorf("ended with %v", err)
	}
}

// A branch is changed, which takes the folder away and makes it anew; the builder works in it by a link.
func TestWatchFolderMadeAnew(t *testing.T) {
	root := t.TempDir()
	spec, link := filepath.Join(root, "lifter"), filepath.Join(root, "desk")
	draft, err := filepath.Abs("../../examples/tray-lifter-draft")
	if err != nil {
		t.Fatal(err)
	}
	if err := errors.Join(os.CopyFS(spec, os.DirFS("../../examples/tray-lifter")), os.Symlink(spec, link)); err != nil {
		t.Fatal(err)
	}
	ctx, stop := context.WithCancel(context.Background())
	o := checkOptions{poses: 11, limits: limits{time: time.Minute, megabytes: 1500}}
	var out, errs log
	ended := make(chan error)
	go func() { ended <- o.watch(ctx, []string{link}, &out, &errs) }()
	errs.wait(t, 0, "Waiting for a save")

	at := len(errs.text())
	if err := os.RemoveAll(spec); err != nil {
		t.Fatal(err)
	}
	errs.wait(t, at, "there is no such file or folder")
	at = len(out.text())
	if err := os.CopyFS(spec, os.DirFS(draft)); err != nil {
		t.Fatal(err)
	}
	out.wait(t, at, "NO-GO    tray-lifter-draft")

	// What lies beside the folder is nobody's business.
	at = len(out.text())
	if err := os.WriteFile(filepath.Join(root, "beside.cue"), []byte("package beside\n"), 0o666); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(filepath.Join(spec, "more.cue"), []byte("package lifter\n"), 0o666); err != nil {
		t.Fatal(err)
	}
	out.wait(t, at, "more.cue")
	if strings.Contains(out.text()[at:], "beside.cue") {
		t.Error("a file beside the folder was taken for a part of the spec")
	}
	stop()
	if err := <-ended; err != nil {
		t.Errorf("ended with %v", err)
	}
}

// Ctrl-C is how a watch ends, and nothing wrong.
func TestWatchInterrupted(t *testing.T) {
	var out, errs log
	status := make(chan int)
	go func() { status <- run([]string{"watch", "../../examples/tray-lifter"}, &out, &errs) }()
	errs.wait(t, 0, "Waiting for a save")
	self, err := os.FindProcess(os.Getpid())
	if err != nil {
		t.Fatal(err)
	}
	if err := self.Signal(os.Interrupt); err != nil {
		t.Fatal(err)
	}
	if s := <-status; s != exitGo {
		t.Errorf("status %d\n%s", s, errs.text())
	}
}

func TestWatchNothing(t *testing.T) {
	o := checkOptions{poses: 11, limits: limits{time: time.Minute, megabytes: 1500}}
	var out, errs log
	err := o.watch(context.Background(), []string{filepath.Join(t.TempDir(), "none")}, &out, &errs)
	if err == nil || !strings.Contains(err.Error(), "none") {
		t.Errorf("a folder that does not exist gave %v", err)
	}
}
