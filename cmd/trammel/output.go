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
		outputs = append(outputs, output{format, file})
	}
	return outputs, nil
}

// save writes reports of a run.
func save(outputs []output, run report.Run) error {
	run = run.Sharing()
	return saveAll(outputs, func(format string, w io.Writer) error { return formats[format](w, run) })
}

// saveAll makes all at once, then writes each whole or not at all.
func saveAll(outputs []output, write func(format string, w io.Writer) error) error {
	texts, errs := make([]bytes.Buffer, len(outputs)), make([]error, len(outputs))
	var making sync.WaitGroup
	for i, o := range outputs {
		making.Go(func() { errs[i] = write(o.format, &texts[i]) })
	}
	making.Wait()
	for i, o := range outputs {
		if errs[i] != nil {
			return fmt.Errorf("%s: %w", o.format, errs[i])
		}
		if err := o.replace(texts[i].Bytes()); err != nil {
			return err
		}
	}
	return nil
}

// replace puts data in place of what the file holds.
func (o output) replace(data []byte) error {
	// A device or a pipe can't be replaced by a finished file.
	if info, err := os.Stat(o.file); err == nil && !info.Mode().IsRegular() && !info.IsDir() {
		if err := os.WriteFile(o.file, data, 0o644); err != nil {
			return fmt.Errorf("%s can't be written: %s", o.file, reason(err))
		}
		return nil
	}
	if err := renameio.WriteFile(o.file, data, 0o644, renameio.WithTempDir(filepath.Dir(o.file))); err != nil {
		return fmt.Errorf("%s can't be written: %s", o.file, reason(err))
	}
	return nil
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
