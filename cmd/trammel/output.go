package main

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"maps"
	"os"
	"path/filepath"
	"runtime/debug"
	"slices"
	"strings"
	"sync"

	"github.com/google/renameio/v2"

	"trammel.example/cmd/trammel/internal/report"
)

// formats are the reports that can be written to a file.
var formats = map[string]func(w io.Writer, run report.Run) error{
	"annotations": report.Annotations,
	"html":        report.HTML,
	"json":        report.JSON,
	"junit":       report.JUnit,
	"markdown":    report.Markdown,
	"sarif":       report.SARIF,
	"text": func(w io.Writer, run report.Run) error {
		return report.Text(w, run, report.TextOptions{Width: plainWidth})
	},
}

// An output is a report to be written.
type output struct {
	format, file string
}

// parseOutputs reads what --write is given, with the formats that there are.
func parseOutputs[F any](write []string, formats map[string]F) ([]output, error) {
	var outputs []output
	for _, w := range write {
		format, file, ok := strings.Cut(w, "=")
		if !ok || file == "" {
			return nil, fmt.Errorf("--write wants FORMAT=FILE, as in json=report.json, and %q is not that", w)
		}
		if _, known := formats[format]; !known {
			return nil, fmt.Errorf("--write knows no format %q: %s", format, strings.Join(slices.Sorted(maps.Keys(formats)), ", "))
		}
		o := output{format, file}
		for _, other := range outputs {
			if filepath.Clean(other.file) == filepath.Clean(file) && !o.toDevice() {
				return nil, fmt.Errorf("%s would be written twice, as %s and as %s: give each a file of its own", file, other.format, format)
			}
		}
		outputs = append(outputs, o)
	}
	return outputs, nil
}

// save writes reports of a run.
func save(outputs []output, run report.Run) error {
	run = run.Sharing()
	return saveAll(outputs, func(format string, w io.Writer) error { return formats[format](w, run) })
}

// saveAll makes all at once, and writes each whole or not at all. One that can't be made or written loses no other.
func saveAll(outputs []output, write func(format string, w io.Writer) error) error {
	all, errs := make([]bytes.Buffer, len(outputs)), make([]error, len(outputs))
	var making sync.WaitGroup
	for i, o := range outputs {
		making.Go(func() { errs[i] = write(o.format, &all[i]) })
	}
	making.Wait()
	for i, o := range outputs {
		if errs[i] != nil {
			errs[i] = fmt.Errorf("no %s report: %w", o.format, errs[i])
			continue
		}
		errs[i] = o.put(all[i].Bytes())
	}
	return errors.Join(errs...)
}

// put writes a report beside the file that it then replaces; a device or a pipe gets it as it is.
func (o output) put(text []byte) error {
	if o.toDevice() {
		if err := os.WriteFile(o.file, text, 0o644); err != nil {
			return o.failed(err)
		}
		return nil
	}
	if info, err := os.Stat(o.file); err == nil && info.IsDir() {
		return o.failed(errFolder)
	}
	p, err := renameio.NewPendingFile(o.file, renameio.WithTempDir(filepath.Dir(o.file)), renameio.WithPermissions(0o644), renameio.WithExistingPermissions())
	if err != nil {
		return o.failed(err)
	}
	defer p.Cleanup() // nothing where the file took its place
	if _, err := p.Write(text); err != nil {
		return o.failed(err)
	}
	if err := p.CloseAtomicallyReplace(); err != nil { // a full disk may show only here
		return o.failed(err)
	}
	return nil
}

// toDevice says whether the file is one that a finished file can't replace: a device or a pipe.
func (o output) toDevice() bool {
	info, err := os.Stat(o.file)
	return err == nil && !info.Mode().IsRegular() && !info.IsDir()
}

var errFolder = errors.New("it is a folder")

func (o output) failed(err error) error {
	return fmt.Errorf("%s can't be written: %s", o.file, reason(err))
}

// reason is an error without the path that the sentence has.
func reason(err error) string {
	var pe *fs.PathError
	var le *os.LinkError
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return "its folder does not exist"
	case errors.Is(err, fs.ErrPermission):
		return "permission is denied"
	case errors.As(err, &le):
		return le.Err.Error()
	case errors.As(err, &pe):
		return pe.Err.Error()
	}
	return err.Error()
}

// version is what the build recorded of the source.
func version() string {
	info, ok := debug.ReadBuildInfo()
	if !ok {
		return "unknown"
	}
	if v := info.Main.Version; v != "" && v != "(devel)" {
		return v
	}
	for _, s := range info.Settings {
		if s.Key == "vcs.revision" {
			return s.Value
		}
	}
	return "development"
}
