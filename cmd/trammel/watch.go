package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"os/signal"
	"path/filepath"
	"slices"
	"strings"
	"syscall"
	"time"

	"github.com/fsnotify/fsnotify"
	"github.com/spf13/cobra"

	"trammel.example/cmd/trammel/internal/report"
)

const (
	// quiet is how long nothing must be written before a save counts as whole: editors write a file in several steps, and some several
	// files. mostQuiet ends the wait where something writes without end.
	quiet, mostQuiet = 15 * time.Millisecond, 300 * time.Millisecond
)

func watchCommand() *cobra.Command {
	var o checkOptions
	c := &cobra.Command{
		Use:   "watch FOLDER|FILE.cue|FOLDER/... ...",
		Short: "Check again whenever a file of the specs is saved, until Ctrl-C",
		Long: "Watch checks as `check` does, and again each time that a .cue file of the specs or of their modules is saved.\n" +
			"A file that is half written is said so, and the watch goes on.",
		Args: takes(1, 0),
		RunE: func(cmd *cobra.Command, args []string) error {
			ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
			defer stop()
			return o.watch(ctx, args, cmd.OutOrStdout(), cmd.ErrOrStderr())
		},
	}
	o.flags(c.Flags())
	return c
}

// watch checks, and again after each save, until the context ends. The error is one of the call: mistakes in specs are printed.
func (o *checkOptions) watch(ctx context.Context, args []string, stdout, stderr io.Writer) error {
	watcher, err := fsnotify.NewWatcher()
	if err != nil {
		return fmt.Errorf("saves can't be watched here: %w", err)
	}
	defer watcher.Close()
	var roots []string
	for _, a := range args {
		root := moduleOf(strings.TrimSuffix(a, "/..."))
		if err := watchBelow(watcher, root); err != nil {
			return err
		}
		// The folder above tells when the root itself is made anew; where it can't be watched, that alone goes unseen.
		watcher.Add(filepath.Dir(root))
		roots = append(roots, root)
	}
	loader := newLoader() // keeps what is read of the schema
	check := func() error {
		_, err := o.check(loader, args, stdout, stderr)
		if err != nil && !errors.Is(err, errReported) {
			return err
		}
		return nil
	}
	if err := check(); err != nil {
		return err
	}
	fmt.Fprintln(stderr, "Waiting for a save. Ctrl-C ends.")
	for {
		saved, err := nextSave(ctx, watcher, roots)
		if err != nil || saved == "" {
			return err
		}
		fmt.Fprintf(stdout, "\nSAVED    %s, %s\n\n", report.Plain(saved), time.Now().Format(time.TimeOnly))
		if err := check(); err != nil {
			fmt.Fprintf(stderr, "trammel: %v\n", err) // the folder may come back
		}
	}
}

// nextSave waits for a save below the roots and gives what was saved last; "" when the context has ended.
func nextSave(ctx context.Context, watcher *fsnotify.Watcher, roots []string) (string, error) {
	saved := ""
	var whole, late <-chan time.Time
	for {
		select {
		case <-ctx.Done():
			return "", nil
		case err := <-watcher.Errors:
			if errors.Is(err, fsnotify.ErrEventOverflow) { // so much was written at once that nobody tells what
				return "many files", nil
			}
			return "", fmt.Errorf("saves can no longer be watched: %w", err)
		case e := <-watcher.Events:
			if !slices.ContainsFunc(roots, func(root string) bool { return within(root, e.Name) }) {
				continue
			}
			if info, err := os.Stat(e.Name); err == nil && info.IsDir() && e.Has(fsnotify.Create) {
				if err := watchBelow(watcher, e.Name); err != nil && !errors.Is(err, fs.ErrNotExist) { // it may be gone again
					return "", err
				}
			} else if filepath.Ext(e.Name) != ".cue" || e.Op == fsnotify.Chmod {
				continue
			}
			if saved = shortName(e.Name); late == nil {
				late = time.After(mostQuiet)
			}
			whole = time.After(quiet)
		case <-whole:
			return saved, nil
		case <-late:
			return saved, nil
		}
	}
}

func within(root, path string) bool {
	rel, err := filepath.Rel(root, path)
	return err == nil && filepath.IsLocal(rel)
}

// moduleOf is the folder of the module that a spec is in, from which it may import packages; its own folder where it is in none. Links are
// followed, since what is watched are folders.
func moduleOf(path string) string {
	root := moduleNamed(path)
	if folder, err := filepath.EvalSymlinks(root); err == nil {
		return folder
	}
	return root
}

// moduleNamed is moduleOf by the path as it was named.
func moduleNamed(path string) string {
	if info, err := os.Stat(path); err == nil && !info.IsDir() {
		path = filepath.Dir(path)
	}
	absolute, err := filepath.Abs(path)
	if err != nil {
		return path
	}
	for dir := absolute; ; dir = filepath.Dir(dir) {
		if _, err := os.Stat(filepath.Join(dir, "cue.mod")); err == nil {
			return dir
		}
		if dir == filepath.Dir(dir) {
			return absolute
		}
	}
}

// watchBelow watches a folder and those in it that may hold packages.
func watchBelow(watcher *fsnotify.Watcher, root string) error {
	return filepath.WalkDir(root, func(path string, d fs.DirEntry, err error) error {
		switch {
		case err != nil && path == root:
			return fmt.Errorf("%s can't be read: %w", path, err)
		case err != nil || !d.IsDir():
			return nil
		case path != root && (strings.HasPrefix(d.Name(), ".") || strings.HasPrefix(d.Name(), "_")):
			return filepath.SkipDir
		}
		err = watcher.Add(path)
		if errors.Is(err, syscall.ENOSPC) {
			return fmt.Errorf("%s can't be watched: the system's limit on watched folders is reached; raise it (on Linux: sysctl fs.inotify.max_user_watches)", path)
		}
		if err != nil {
			return fmt.Errorf("%s can't be watched: %w", path, err)
		}
		return nil
	})
}

// shortName is a path from the working folder where it lies below that.
func shortName(path string) string {
	if wd, err := os.Getwd(); err == nil {
		if short, err := filepath.Rel(wd, path); err == nil && filepath.IsLocal(short) {
			return short
		}
	}
	return path
}
