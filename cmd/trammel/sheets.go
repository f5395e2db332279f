package main

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"path/filepath"
	"strings"
	"sync"
	"time"

	"github.com/spf13/cobra"

	"trammel.example/checks"
	"trammel.example/cmd/trammel/internal/ramp"
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
			"each table also as CSV, each template as SVG and DXF at full size, and the report that they go by. Each carries the verdict, the digest of the\n" +
			"spec and its commit. For several machines an index leads to each, with what to order for all of them. Sheets of a machine that is NO-GO say so across every page, and it gets no plan for its first air.",
		Args: takes(1, 2),
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
	const index = "index"
	var made []sheets.Made
	of := sheets.Of{Dir: spec.target, Digest: spec.spec.Digest(), Revision: revision.Of(folderOf(args[0])), Day: day, Version: version()}
	if len(machines) > 1 {
		used[index], of.Index = true, index+".html"
	}
	for _, m := range machines {
		j := rules.Judge(set, m, checks.Examine(m), day)
		if !j.Go() {
			status = exitNoGo
		}
		stem := fileStem(m.Name, used)
		of.Page, of.Report = stem+".html", fileStem(m.Name+"-report", used)+".html"
		run := report.Run{Version: of.Version, Date: day, Specs: []report.SpecResult{{Dir: spec.target, Judgements: []*rules.Judgement{j}, Remarks: spec.spec.Remarks}},
			Sheets: map[*rules.Judgement]string{j: of.Page}}
		var page bytes.Buffer
		var failed error
		var reporting sync.WaitGroup
		reporting.Go(func() { failed = report.HTML(&page, run) })
		pages, err := sheetsOf(set, j, stem, of)
		reporting.Wait()
		if err := errors.Join(err, failed); err != nil {
			return exitWrong, fmt.Errorf("%s: %w", report.Plain(m.Name), err)
		}
		files = append(append(files, pages...), drawn{of.Report, "what it was judged by", page.Bytes()})
		made = append(made, sheets.Made{Judgement: j, Page: of.Page, Report: of.Report})
	}
	if len(machines) > 1 {
		more, err := indexOf(made, index, of)
		if err != nil {
			return exitWrong, err
		}
		files = append(more, files...)
	}
	return status, writeAll(files, o.to, stdout)
}

// indexOf are the files of what several machines have in common.
func indexOf(made []sheets.Made, stem string, of sheets.Of) ([]drawn, error) {
	tables := sheets.KitTables(made)
	of.CSV = map[string]string{}
	for _, t := range tables {
		of.CSV[t.Name] = stem + "-" + t.Name + ".csv"
	}
	var page bytes.Buffer
	if err := sheets.Index(&page, made, tables, of); err != nil {
		return nil, err
	}
	return withTables([]drawn{{of.Index, "all machines, and what to order for them", page.Bytes()}}, tables, of.CSV, of.KitMark(made))
}

// withTables adds tables as CSV, by their files' names.
func withTables(files []drawn, tables []*sheets.Table, names map[string]string, mark sheets.Mark) ([]drawn, error) {
	for _, t := range tables {
		var table bytes.Buffer
		if err := t.CSV(&table, mark); err != nil {
			return nil, err
		}
		files = append(files, drawn{names[t.Name], t.Title, table.Bytes()})
	}
	return files, nil
}

// sheetsOf are the files of one machine.
func sheetsOf(set *rules.Set, j *rules.Judgement, stem string, of sheets.Of) (files []drawn, err error) {
	plan, err := firstAirOf(set, j, of.Day)
	if err != nil {
		return nil, err
	}
	tables, mark := sheets.Tables(j, plan), of.Mark(j)
	of.CSV = map[string]string{}
	for _, t := range tables {
		of.CSV[t.Name] = stem + "-" + t.Name + ".csv"
	}
	var page bytes.Buffer
	if err := sheets.HTML(&page, j, tables, of); err != nil {
		return nil, err
	}
	if files, err = withTables([]drawn{{of.Page, "all sheets, to print", page.Bytes()}}, tables, of.CSV, mark); err != nil {
		return nil, err
	}
	used := map[string]bool{}
	for _, t := range sheets.Templates(j.Machine, mark) {
		file, title := stem+"-template-"+fileStem(t.Link, used), "template of "+report.Plain(t.Link)+", full size"
		files = append(files, drawn{file + ".svg", title, []byte(t.SVG())}, drawn{file + ".dxf", title, []byte(t.DXF())})
	}
	return files, nil
}

// firstAirOf is how pressure is put on a machine for the first time; none for one that is NO-GO, or that has no regulator.
func firstAirOf(set *rules.Set, j *rules.Judgement, day time.Time) (*ramp.Plan, error) {
	if !j.Go() {
		return nil, nil
	}
	var steps []float64
	for _, p := range j.Machine.FirstAir.Steps {
		steps = append(steps, p.SI)
	}
	plan, err := ramp.Walk(set, j.Machine, steps, day)
	if errors.Is(err, ramp.ErrNoRegulator) {
		return nil, nil
	}
	return plan, err
}

// folderOf is where a spec's files lie.
func folderOf(spec string) string {
	if strings.HasSuffix(spec, ".cue") {
		return filepath.Dir(spec)
	}
	return spec
}
