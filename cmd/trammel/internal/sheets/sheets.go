package sheets

import (
	_ "embed"
	"encoding/csv"
	"html/template"
	"io"
	"time"

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
}

// HTML writes all sheets of a machine as one page to print.
func HTML(w io.Writer, j *rules.Judgement, of Of) error {
	m := j.Machine
	type figure struct {
		Title string
		SVG   template.HTML
	}
	page := struct {
		Name, Title, Dir, Digest, Short, Revision, Day, Version string
		Go                                                      bool
		Style                                                   template.CSS
		Tables                                                  []*Table
		Sections, Circuits, Templates                           []figure
	}{
		Name: report.Plain(m.Name), Title: report.Plain(m.Title.Value), Dir: report.Plain(of.Dir), Digest: of.Digest, Short: of.Digest[:12],
		Revision: of.Revision, Day: of.Day.Format(time.DateOnly), Version: of.Version, Go: j.Go(), Style: template.CSS(drawing.Style + pageStyle),
	}
	for _, t := range Tables(j) {
		page.Tables = append(page.Tables, t.plain())
	}
	for i, name := range sorted(m.Fastenings) {
		p, err := drawing.Fastening(m, name, "s"+string(rune('a'+i%26))+string(rune('a'+i/26%26)))
		if err != nil {
			continue // a thread without a table has no section
		}
		page.Sections = append(page.Sections, figure{report.Plain(p.Title), template.HTML(p.SVG)})
	}
	if p, ok := drawing.Wiring(m, "coils"); ok {
		page.Circuits = append(page.Circuits, figure{report.Plain(p.Title), template.HTML(p.SVG)})
	}
	for _, t := range Templates(m) {
		for _, part := range t.Sheets() {
			page.Templates = append(page.Templates, figure{t.Link, template.HTML(part)})
		}
	}
	parsed, err := template.New("sheets").Parse(pageText)
	if err != nil {
		return err
	}
	return parsed.Execute(w, page)
}

// plain is the table with cells that are fit to print.
func (t *Table) plain() *Table {
	clean := func(cells []string) (out []string) {
		for _, c := range cells {
			out = append(out, report.Plain(c))
		}
		return out
	}
	p := &Table{Name: t.Name, Title: t.Title, Says: report.Plain(t.Says), Columns: clean(t.Columns)}
	for _, r := range t.Rows {
		p.Rows = append(p.Rows, clean(r))
	}
	return p
}

// CSV writes a table as RFC 4180 has it, with its columns' names first. A cell that a spreadsheet would take for a formula gets a quote
// before it.
func (t *Table) CSV(w io.Writer) error {
	c := csv.NewWriter(w)
	c.UseCRLF = true
	p := t.plain()
	for _, row := range append([][]string{p.Columns}, p.Rows...) {
		for i, cell := range row {
			if cell != "" && (cell[0] == '=' || cell[0] == '+' || cell[0] == '@' || cell[0] == '-') {
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
