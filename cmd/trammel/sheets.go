package main

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"path/filepath"
	"strings"

	"github.com/spf13/cobra"

	"trammel.example/checks"
	"trammel.example/cmd/trammel/internal/report"
	"trammel.example/cmd/trammel/internal/revision"
	"trammel.example/cmd/trammel/internal/sheets"
	"trammel.example/rules"
)

type sheetsOptions struct {
	to, on string
	limits limits
}

func sheetsCommand(status *int) *cobra.Command {
	var o sheetsOptions
	c := &cobra.Command{
		Use:   "sheets FOLDER|FILE.cue [MACHINE] --to FOLDER",
		Short: "Write the sheets for the workshop: what to buy, saw, drill, tighten, plumb and wire",
		Long: "Sheets writes, for each machine of a spec or the one named, a page to print with all tables, sections of the joints and templates of the links;\n" +
			"each table also as CSV, and each template as SVG and DXF at full size. Sheets of a machine that is NO-GO say so across every page.",
		Args: cobra.RangeArgs(1, 2),
		RunE: func(cmd *cobra.Command, args []string) error {
			s, err := o.sheets(args, cmd.OutOrStdout(), cmd.ErrOrStderr())
			*status = s
			return err
		},
	}
	f := c.Flags()
	f.StringVar(&o.to, "to", "", "the folder to write to; made if it is not there")
	f.StringVar(&o.on, "on", "", "the day that concessions are judged by, as 2027-06-30 (default: today)")
	o.limits.flags(f)
	return c
}

func (o *sheetsOptions) sheets(args []string, stdout, stderr io.Writer) (int, error) {
	if o.to == "" {
		return exitWrong, errors.New("sheets wants the folder to write to, as in --to workshop")
	}
	if err := o.limits.check(); err != nil {
		return exitWrong, err
	}
	day, err := dayOf(o.on)
	if err != nil {
		return exitWrong, err
	}
	defer o.limits.watch(stderr)()
	spec, set, machines, err := loadNamed(args, "sheets are", stderr)
	if err != nil {
		return exitWrong, err
	}
	// All is made before the first file is written: a spec that is wrong leaves the folder as it was.
	status := exitGo
	var files []drawn
	used := map[string]bool{}
	of := sheets.Of{Dir: spec.target, Digest: spec.spec.Digest(), Revision: revision.Of(folderOf(args[0])), Day: day, Version: version()}
	for _, m := range machines {
		j := rules.Judge(set, m, checks.Examine(m), day)
		if !j.Go() {
			status = exitNoGo
		}
		stem := fileStem(m.Name, used)
		made, err := sheetsOf(j, stem, of)
		if err != nil {
			return exitWrong, fmt.Errorf("%s: %w", report.Plain(m.Name), err)
		}
		files = append(files, made...)
	}
	return status, writeAll(files, o.to, stdout)
}

// sheetsOf are the files of one machine.
func sheetsOf(j *rules.Judgement, stem string, of sheets.Of) (files []drawn, err error) {
	var page bytes.Buffer
	if err := sheets.HTML(&page, j, of); err != nil {
		return nil, err
	}
	files = append(files, drawn{stem + ".html", "all sheets, to print", page.Bytes()})
	for _, t := range sheets.Tables(j) {
		var table bytes.Buffer
		if err := t.CSV(&table); err != nil {
			return nil, err
		}
		files = append(files, drawn{stem + "-" + t.Name + ".csv", t.Title, table.Bytes()})
	}
	used := map[string]bool{}
	for _, t := range sheets.Templates(j.Machine) {
		file, title := stem+"-template-"+fileStem(t.Link, used), "template of "+report.Plain(t.Link)+", full size"
		files = append(files, drawn{file + ".svg", title, []byte(t.SVG())}, drawn{file + ".dxf", title, []byte(t.DXF())})
	}
	return files, nil
}

// folderOf is where a spec's files lie.
func folderOf(spec string) string {
	if strings.HasSuffix(spec, ".cue") {
		return filepath.Dir(spec)
	}
	return spec
}
