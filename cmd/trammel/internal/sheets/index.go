package sheets

import (
	_ "embed"
	"fmt"
	"html/template"
	"io"
	"maps"
	"slices"
	"strings"
	"time"

	"trammel.example/checks"
	"trammel.example/cmd/trammel/internal/report"
	"trammel.example/rules"
	"trammel.example/schema"
)

//go:embed index.html
var indexText string

// A Made is one machine with the names of its pages.
type Made struct {
	Judgement    *rules.Judgement
	Page, Report string
}

// KitTables are what several machines take together, and which pieces come from which bar where they share a purchase list.
func KitTables(all []Made) []*Table {
	tables := []*Table{order(all)}
	for _, m := range lists(all) {
		if len(m.Kin) > 1 {
			tables = append(tables, bars(m))
		}
	}
	for _, t := range tables {
		t.trim()
	}
	return slices.DeleteFunc(tables, func(t *Table) bool { return len(t.Rows) == 0 })
}

// lists has one machine for each purchase list.
func lists(all []Made) (one []*schema.Machine) {
	for _, a := range all {
		if m := a.Judgement.Machine; len(m.Kin) == 0 || !slices.Contains(one, m.Kin[0]) {
			if len(m.Kin) > 0 {
				m = m.Kin[0]
			}
			one = append(one, m)
		}
	}
	return one
}

// order is what all copies of all machines take, with what the purchase lists have of each.
func order(all []Made) *Table {
	t := &Table{Name: "order", Title: "What to order for all machines", Columns: []string{"part", "for all machines", "on the lists", "wanted", "short or over", "each", "cost", "for"}}
	t.Says = "What all copies of all machines take. What is cut off is counted in pieces; the cut lists have their lengths. Wanted of a line is what the machines with that list take, spares and whole bars with it."
	var machines []*schema.Machine
	var subjects []*checks.Subject
	for _, a := range all {
		machines, subjects = append(machines, a.Judgement.Machine), append(subjects, a.Judgement.Subjects...)
	}
	sums := map[string]float64{}
	purchases := lists(all)
	for _, m := range purchases {
		for _, p := range m.Purchases {
			if p.Price.Given() {
				sums[p.Price.Currency.Value] += p.Price.Amount.SI * p.Count.SI
			}
		}
	}
	var comes []string
	for _, currency := range slices.Sorted(maps.Keys(sums)) {
		comes = append(comes, fmt.Sprintf("%.2f %s", sums[currency], currency))
	}
	if comes != nil {
		t.Says += " What has a price comes to " + strings.Join(comes, " and ") + "."
	}
	priced := map[string]bool{} // a line is paid once
	for _, n := range checks.NeedsTogether(machines) {
		var on, wanted, off, each, cost, by []string
		for _, m := range purchases {
			i := slices.IndexFunc(m.Purchases, func(p schema.Purchase) bool { return buys(p, n) })
			if i < 0 {
				continue
			}
			p := m.Purchases[i]
			on = append(on, listed(p))
			if w, o := againstList(subjectsOf(all, m, subjects), p); w != "" {
				wanted = append(wanted, w)
				off = append(off, o)
			}
			if p.Price.Given() && !priced[p.Path] {
				priced[p.Path] = true
				each, cost = append(each, fmt.Sprintf("%.2f", p.Price.Amount.SI)), append(cost, fmt.Sprintf("%.2f %s", p.Price.Amount.SI*p.Count.SI, p.Price.Currency.Value))
			}
		}
		for _, m := range machines {
			if count := n.Of(m); count > 0 {
				by = append(by, fmt.Sprintf("%d %s", count, m.Name))
			}
		}
		off = slices.DeleteFunc(off, func(s string) bool { return s == "" })
		t.row(n.Item, fmt.Sprint(n.Count()), strings.Join(on, " + "), strings.Join(wanted, " + "), strings.Join(off, "; "), strings.Join(each, "; "), strings.Join(cost, "; "), strings.Join(by, ", "))
	}
	for _, m := range purchases { // what nobody takes is paid all the same
		for _, p := range m.Purchases {
			if !slices.ContainsFunc(all, func(a Made) bool {
				return slices.ContainsFunc(checks.NeedsOfAll(a.Judgement.Machine), func(n *checks.Need) bool { return buys(p, n) })
			}) {
				cost := ""
				if p.Price.Given() {
					cost = fmt.Sprintf("%.2f %s", p.Price.Amount.SI*p.Count.SI, p.Price.Currency.Value)
				}
				t.row(p.Item.Value+p.Screw.Value, "0", listed(p), "0", fmt.Sprintf("%g over", p.Count.SI), "", cost, "nothing")
			}
		}
	}
	return t
}

// subjectsOf are those in which a purchase list is judged: of the machines that share it, each tells of what it takes.
func subjectsOf(all []Made, list *schema.Machine, shared []*checks.Subject) []*checks.Subject {
	if len(list.Kin) > 0 {
		return shared
	}
	for _, a := range all {
		if a.Judgement.Machine == list {
			return a.Judgement.Subjects
		}
	}
	return nil
}

// Index writes the page that leads to the sheets of several machines. Of its names those of the CSV files count.
func Index(w io.Writer, all []Made, tables []*Table, of Of) error {
	type machine struct{ Name, Title, Verdict, Copies, Page, Report string }
	mark := of.KitMark(all)
	page := struct {
		Dir, Against, Digest, Revision, Day, Version, Mark string
		Style                                              template.CSS
		CSV                                                map[string]string
		Machines                                           []machine
		Tables                                             []*Table
	}{
		Dir: report.Plain(of.Dir), Digest: of.Digest, Revision: of.Revision, Day: of.Day.Format(time.DateOnly), Version: of.Version,
		Mark: mark.String(), Style: styleWith(mark), CSV: of.CSV,
	}
	var against []string
	for _, a := range all {
		m := a.Judgement.Machine
		one := machine{report.Plain(m.Name), report.Plain(m.Title.Value), "GO", fmt.Sprint(m.HowMany()), a.Page, a.Report}
		if !a.Judgement.Go() {
			one.Verdict = "NO-GO"
			against = append(against, one.Name)
		}
		page.Machines = append(page.Machines, one)
	}
	page.Against = strings.Join(against, ", ")
	for _, t := range tables {
		page.Tables = append(page.Tables, t.plain())
	}
	parsed, err := template.New("index").Funcs(template.FuncMap{"breakable": breakable}).Parse(indexText)
	if err != nil {
		return err
	}
	return parsed.Execute(w, page)
}

// KitMark is that of what several machines have in common: GO where all are.
func (of Of) KitMark(all []Made) Mark {
	k := of.Mark(all[0].Judgement)
	k.Machine = fmt.Sprintf("%d machines", len(all))
	for _, a := range all {
		if !a.Judgement.Go() {
			k.Verdict = "NO-GO"
		}
	}
	return k
}
