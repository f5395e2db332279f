package main

import (
	"bytes"
	"cmp"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"trammel.example/cmd/trammel/internal/report"
)

type drawOptions struct {
	to     string
	limits limits
}

func drawCommand(status *int) *cobra.Command {
	var o drawOptions
	c := &cobra.Command{
		Use:   "draw FOLDER|FILE.cue|FOLDER/... ... --to FOLDER",
		Short: "Draw every machine of the specs named: mechanism, fastenings, circuits and charts, as SVG",
		Long: "Draw writes each picture of each machine as an SVG file of its own, and lists what it wrote.\n" +
			"The mechanism is to scale; fastenings and pivots are in section; the air's circuit has the symbols of ISO 1219-1, the wiring those of IEC 60617.",
		Args: takes(1, 0),
		RunE: func(cmd *cobra.Command, args []string) error {
			s, err := o.draw(args, cmd.OutOrStdout(), cmd.ErrOrStderr())
			*status = s
			return err
		},
	}
	f := c.Flags()
	f.StringVar(&o.to, "to", "", "the folder to write to; made if it is not there")
	o.limits.flags(f)
	return c
}

func (o *drawOptions) draw(args []string, stdout, stderr io.Writer) (int, error) {
	if o.to == "" {
		return exitWrong, errors.New("draw wants the folder to write to, as in --to pictures")
	}
	if err := o.limits.check(); err != nil {
		return exitWrong, err
	}
	defer o.limits.watch(stderr)()
	targets, err := expand(args)
	if err != nil {
		return exitWrong, err
	}
	// Every picture is made before the first is written: a spec that is wrong leaves the folder as it was.
	var files []drawn
	used := map[string]bool{}
	for _, r := range checkAll(newLoader(), targets, time.Now()) {
		for _, m := range r.mistakes {
			fmt.Fprintln(stderr, report.Plain(m.String()))
		}
		if len(r.mistakes) > 0 {
			err = errReported
			continue
		}
		for _, j := range r.judgements {
			stem := fileStem(j.Machine.Name, used)
			for _, p := range report.Pictures(j.Machine, stem) {
				files = append(files, drawn{p.Name + ".svg", report.Plain(p.Title), []byte(p.Alone())})
			}
		}
	}
	switch {
	case err != nil:
		return exitWrong, err
	case len(files) == 0:
		return exitWrong, fmt.Errorf("no machines in %s", strings.Join(args, ", "))
	}
	return exitGo, writeAll(files, o.to, stdout)
}

// writeAll puts files into a folder, which is made if it is not there, and lists them.
func writeAll(files []drawn, to string, stdout io.Writer) error {
	if err := os.MkdirAll(to, 0o777); err != nil {
		return fmt.Errorf("%s can't be made: %s", to, reason(err))
	}
	if err := replaceIn(to, files); err != nil {
		return err
	}
	var list bytes.Buffer
	for _, f := range files {
		fmt.Fprintf(&list, "%s: %s\n", filepath.Join(to, f.name), f.title)
	}
	_, err := stdout.Write(list.Bytes())
	return err
}

// A drawn is a picture or a sheet to be written.
type drawn struct {
	name, title string
	data        []byte
}

// replaceIn puts files into a folder, in place of those of the same names: all, or where one can't be written, none.
func replaceIn(folder string, pictures []drawn) error {
	beside, err := os.MkdirTemp(folder, ".drawing-")
	if err != nil {
		return fmt.Errorf("files can't be written to %s: %s", folder, reason(err))
	}
	defer os.RemoveAll(beside)
	failed := func(p drawn, err error) error {
		return output{file: filepath.Join(folder, p.name)}.failed(err)
	}
	for _, p := range pictures {
		if info, err := os.Stat(filepath.Join(folder, p.name)); err == nil && info.IsDir() {
			return failed(p, errFolder)
		}
		if err := os.WriteFile(filepath.Join(beside, p.name), p.data, 0o644); err != nil {
			return failed(p, err)
		}
	}
	for _, p := range pictures {
		if err := os.Rename(filepath.Join(beside, p.name), filepath.Join(folder, p.name)); err != nil {
			return failed(p, err)
		}
	}
	return nil
}

// fileStem is a name as files and ids can begin with, different from those used before.
func fileStem(name string, used map[string]bool) string {
	const most = 60
	stem := strings.Map(func(r rune) rune {
		if r >= 'a' && r <= 'z' || r >= 'A' && r <= 'Z' || r >= '0' && r <= '9' || r == '_' || r == '-' {
			return r
		}
		return '-'
	}, name)
	stem = cmp.Or(strings.TrimLeft(stem, "-0123456789"), "machine") // an id begins with a letter
	stem = stem[:min(len(stem), most)]
	for try := stem; ; {
		if low := strings.ToLower(try); !used[low] { // some file systems take capitals for small letters
			used[low] = true
			return try
		}
		try = fmt.Sprintf("%s-%d", stem, len(used)+1)
	}
}
