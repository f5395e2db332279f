package sheets

import (
	_ "embed"
	"encoding/csv"
	"fmt"
	"html/template"
	"io"
	"strconv"
	"strings"
	"time"
	"unicode"

	"trammel.example/checks"
	"trammel.example/cmd/trammel/internal/drawing"
	"trammel.example/cmd/trammel/internal/report"
	"trammel.example/rules"
)

var (
	//go:embed sheets.html
	pageText string
	//go:embed sheets.css
	pageStyle string
)

// Of is what a machine's sheets say of themselves.
type Of struct {
	Dir, Digest, Revision string
	Day                   time.Time
	Version               string
	// Names of files in one folder, to be linked to: the page itself, the report, and those of the tables by the table's name. None where the
	// page stands alone, and no index where it is the only one.
	Page, Report, Index string
	CSV                 map[string]string
}

// A Mark is what every sheet carries, so that paper and repository can be compared.
type Mark struct{ Machine, Verdict, Digest, Revision string }

// Mark is that of a machine's sheets. Of the digest twelve digits are enough to compare by eye. Both it and the commit begin with a word, since a
// spreadsheet takes 12e456 for a number.
func (of Of) Mark(j *rules.Judgement) Mark {
	k := Mark{j.Machine.Name, "NO-GO", "spec " + of.Digest[:12], ""}
	if j.Go() {
		k.Verdict = "GO"
	}
	if of.Revision != "" {
		k.Revision = "commit " + of.Revision
	}
	return k
}

func (k Mark) String() string {
	text := k.Machine + " · " + k.Verdict
	if k.Revision != "" {
		text += " · " + k.Revision
	}
	return report.Plain(text + " · " + k.Digest)
}

// HTML writes all sheets of a machine as one page to print.
func HTML(w io.Writer, j *rules.Judgement, tables []*Table, of Of) error {
	m, mark := j.Machine, of.Mark(j)
	type figure struct {
		Title string
		SVG   template.HTML
	}
	page := struct {
		Name, Title, Dir, Digest, Revision, Day, Version, Mark, Report, Index string
		Go                                                                    bool
		CSV                                                                   map[string]string
		Style                                                                 template.CSS
		Tables                                                                []*Table
		Sections, Circuits, Templates                                         []figure
	}{
		Name: report.Plain(m.Name), Title: report.Plain(m.Title.Value), Dir: report.Plain(of.Dir), Digest: of.Digest,
		Revision: of.Revision, Day: of.Day.Format(time.DateOnly), Version: of.Version, Mark: mark.String(), Report: of.Report, Index: of.Index, CSV: of.CSV, Go: j.Go(),
		Style: styleWith(mark),
	}
	for _, t := range tables {
		page.Tables = append(page.Tables, t.plain())
	}
	for i, name := range sorted(m.Fastenings) {
		p, err := drawing.Fastening(m, name, "s"+string(rune('a'+i%26))+string(rune('a'+i/26%26)))
		if err != nil {
			continue // a thread without a table has no section
		}
		page.Sections = append(page.Sections, figure{report.Plain(p.Title), template.HTML(p.SVG)})
	}
	for i, section := range checks.PivotSections(m) {
		p := drawing.Pivot(section, "pivot"+strconv.Itoa(i))
		page.Sections = append(page.Sections, figure{report.Plain(p.Title), template.HTML(p.SVG)})
	}
	if p, ok := drawing.Wiring(m, "coils"); ok {
		page.Circuits = append(page.Circuits, figure{report.Plain(p.Title), template.HTML(p.SVG)})
	}
	for _, t := range Templates(m, mark) {
		for _, part := range t.Sheets() {
			page.Templates = append(page.Templates, figure{t.Link, template.HTML(part)})
		}
	}
	parsed, err := template.New("sheets").Funcs(template.FuncMap{"breakable": breakable}).Parse(pageText)
	if err != nil {
		return err
	}
	return parsed.Execute(w, page)
}

// styleWith is the pages' style, with a mark at the foot of each.
func styleWith(mark Mark) template.CSS {
	return template.CSS(drawing.Style + pageStyle + "@page{@bottom-left{content:" + quoted(mark.String()) + "}}")
}

// longWord is from how many letters on a word may be broken: a table that is wider than the paper is cut off at its edge.
const longWord = 14

// breakable is a cell of which long words may be broken.
func breakable(cell string) template.HTML {
	var b strings.Builder
	run := 0
	for _, r := range cell {
		if run++; unicode.IsSpace(r) {
			run = 0
		} else if run > longWord {
			b.WriteString("<wbr>")
			run = 1
		}
		b.WriteString(template.HTMLEscapeString(string(r)))
	}
	return template.HTML(b.String())
}

// plain is the table with cells that are fit to print.
func (t *Table) plain() *Table {
	clean := func(cells []string) (out []string) {
		for _, c := range cells {
			out = append(out, report.Plain(c))
		}
		return out
	}
	p := &Table{Name: t.Name, Title: t.Title, Says: report.Plain(t.Says), Columns: clean(t.Columns), Fill: t.Fill}
	for _, r := range t.Rows {
		p.Rows = append(p.Rows, clean(r))
	}
	return p
}

// quoted is a string as CSS has it: what could end it, or the style, is written by its number.
func quoted(s string) string {
	var b strings.Builder
	for _, r := range s {
		if unicode.IsLetter(r) || unicode.IsDigit(r) || strings.ContainsRune(" ·-_.", r) {
			b.WriteRune(r)
		} else {
			fmt.Fprintf(&b, "\\%x ", r)
		}
	}
	return `"` + b.String() + `"`
}

// CSV writes a table as RFC 4180 has it, with its columns' names first and the mark in the last columns. A cell that a spreadsheet would take
// for a formula gets a quote before it; a number is none.
func (t *Table) CSV(w io.Writer, mark Mark) error {
	c := csv.NewWriter(w)
	c.UseCRLF = true
	p := t.plain()
	all := [][]string{append(p.Columns, "machine", "verdict", "digest", "revision")}
	for _, row := range p.Rows {
		all = append(all, append(row, report.Plain(mark.Machine), mark.Verdict, mark.Digest, mark.Revision))
	}
	for _, row := range all {
		for i, cell := range row {
			if _, err := strconv.ParseFloat(cell, 64); err != nil && cell != "" && strings.Contains("=+-@", cell[:1]) {
				row[i] = "'" + cell
			}
		}
		if err := c.Write(row); err != nil {
			return err
		}
	}
	c.Flush()
	return c.Error()
}
