package report

import (
	"cmp"
	_ "embed"
	"encoding/json"
	"fmt"
	"html/template"
	"io"
	"math"
	"slices"
	"strings"

	"trammel.example/checks"
	"trammel.example/cmd/trammel/internal/compare"
	"trammel.example/cmd/trammel/internal/drawing"
	"trammel.example/rules"
)

// mostMoved is how many moved numbers of a machine are shown; the JSON has all.
const mostMoved = 20

// overlayPoses are those of each course from which the bounds of both states are found.
const overlayPoses = 21

type (
	// A compared is a comparison in words, as every format for people shows it.
	compared struct {
		Base, Head, Verdict, Total string
		Relaxed                    []comparedLine
		Machines                   []comparedMachine
		Same                       []string
	}
	comparedMachine struct {
		Name, Title, Verdict string
		Worse                bool
		Sections             []comparedSection
		Overlay              *pageFigure
		of                   *compare.Machine
	}
	comparedSection struct {
		Label, Heading string
		Bad            bool
		Lines          []comparedLine
		Left           int // that are not shown
	}
	comparedLine struct{ Text, More, Remedy, At string }
)

func comparedOf(c *compare.Comparison) compared {
	out := compared{Base: c.Base, Head: c.Head, Verdict: "NOT WORSE"}
	if c.Worse() {
		out.Verdict = "WORSE"
	}
	for _, r := range c.Rules {
		out.Relaxed = append(out.Relaxed, comparedLine{Text: fmt.Sprintf("The rule %s %s", r.Rule, r.How), More: "in " + r.Folder})
	}
	worse := 0
	for i := range c.Machines {
		m := comparedMachineOf(&c.Machines[i])
		if m.Worse {
			worse++
		}
		if len(m.Sections) == 0 && c.Machines[i].Base != nil && c.Machines[i].Head != nil {
			out.Same = append(out.Same, m.Name)
			continue
		}
		out.Machines = append(out.Machines, m)
	}
	out.Total = fmt.Sprintf("%s: %d changed, %d of them worse, and %d with nothing to tell of.", plural(len(c.Machines), "machine"), len(out.Machines), worse, len(out.Same))
	if n := len(c.Rules); n > 0 {
		out.Total += fmt.Sprintf(" %s more pass.", map[bool]string{true: "A rule lets", false: fmt.Sprintf("%d rules let", n)}[n == 1])
	}
	return out
}

func comparedMachineOf(m *compare.Machine) comparedMachine {
	out := comparedMachine{Name: m.Name, Worse: m.Worse(), of: m}
	switch {
	case m.Base == nil:
		out.Title, out.Verdict = m.Head.Machine.Title.Value, "added, "+verdict(m.Head)
	case m.Head == nil:
		out.Title, out.Verdict = m.Base.Machine.Title.Value, "gone, was "+verdict(m.Base)
		return out
	case verdict(m.Base) == verdict(m.Head):
		out.Title, out.Verdict = m.Head.Machine.Title.Value, verdict(m.Head)+" as before"
	default:
		out.Title, out.Verdict = m.Head.Machine.Title.Value, verdict(m.Base)+" → "+verdict(m.Head)
	}
	section := func(label, heading string, bad bool, lines []comparedLine) {
		if len(lines) > 0 {
			out.Sections = append(out.Sections, comparedSection{Label: label, Heading: heading, Bad: bad, Lines: lines})
		}
	}
	worst := func(list []compare.Change) []compare.Change { // what is open after what fails
		open := func(c compare.Change) int { return map[bool]int{true: 1}[c.Head.Outcome == rules.Open] }
		return slices.SortedStableFunc(slices.Values(list), func(a, b compare.Change) int { return cmp.Or(open(a)-open(b), worstFirst(a.Head, b.Head)) })
	}
	changes := func(list []compare.Change, line func(c compare.Change) comparedLine) (lines []comparedLine) {
		for _, c := range list {
			lines = append(lines, line(c))
		}
		return lines
	}
	section("NEW", "New", true, newly(worst(m.New)))
	section("GROWN", "Further from the limit", true, changes(worst(m.Grown), func(c compare.Change) comparedLine {
		line := standing(c.Head)
		if c.Base.Outcome == rules.Fail {
			line.More += "; it was " + c.Base.Value.String()
		}
		return line
	}))
	section("FIXED", "Fixed", false, changes(m.Fixed, func(c compare.Change) comparedLine {
		return comparedLine{Text: c.Base.Rule.Title, More: fmt.Sprintf("%s, rule %s: %s", subject(c.Base.Subject), c.Base.Rule.Name, fixed(c))}
	}))
	section("ENDED", "Gone, and not because it was fixed", false, changes(m.Ended, func(c compare.Change) comparedLine {
		return comparedLine{Text: c.Base.Rule.Title, More: fmt.Sprintf("%s, rule %s: %s", subject(c.Base.Subject), c.Base.Rule.Name, c.How)}
	}))
	var accepted []comparedLine
	for _, a := range m.Conceded {
		k := a.Concession
		text := fmt.Sprintf("A finding of the rule %s is conceded until %s", k.Rule, k.Until)
		if a.Until != "" {
			text += ", and it was until " + a.Until
		}
		accepted = append(accepted, comparedLine{Text: text, More: fmt.Sprintf("%s, says %s", k.Reason, k.By), At: shownPlace(k.At)})
	}
	section("CONCEDED", "Conceded", true, accepted)
	var data []comparedLine
	for _, d := range m.Data {
		data = append(data, comparedLine{Text: fmt.Sprintf("%s is %s and was %s, and its source is the same", d.Path, d.Head, d.Base), More: "source: " + d.Source, At: shownPlace(d.At)})
	}
	section("DATA", "Part data changed without a source", true, data)
	var moved []comparedLine
	for _, v := range m.Moved[:min(len(m.Moved), mostMoved)] {
		moved = append(moved, comparedLine{Text: fmt.Sprintf("%s of %s: %s → %s%s", spaced(v.Fact), subject(v.Subject), v.Base, v.Head, movedBy(v))})
	}
	section("MOVED", "Numbers that moved", false, moved)
	if n := len(m.Moved) - mostMoved; n > 0 {
		out.Sections[len(out.Sections)-1].Left = n
	}
	if n := len(m.Still); n > 0 && len(out.Sections) > 0 {
		section("STILL", "As before", false, []comparedLine{{Text: plural(n, "finding") + " stand as before"}})
	}
	return out
}

// newly are the findings that did not stand before. Open ones that lack the same are one.
func newly(list []compare.Change) (lines []comparedLine) {
	lacking := map[string][]*rules.Finding{}
	for _, c := range list {
		if c.Head.Outcome == rules.Open {
			lacking[c.Head.Why] = append(lacking[c.Head.Why], c.Head)
		}
	}
	for _, c := range list {
		same := lacking[c.Head.Why]
		switch {
		case len(same) < 2:
			lines = append(lines, standing(c.Head))
		case same[0] == c.Head:
			var names []string
			for _, f := range same {
				names = append(names, f.Rule.Name)
			}
			slices.Sort(names)
			lines = append(lines, comparedLine{Text: "Open: " + c.Head.Why, At: shownPlace(c.Head.At),
				More: plural(len(same), "finding") + " not judged for lack of it, of the rules " + strings.Join(slices.Compact(names), ", ")})
		}
	}
	return lines
}

// standing is a finding that fails or is open.
func standing(f *rules.Finding) comparedLine {
	line := comparedLine{Text: f.Rule.Title, Remedy: f.Remedy, At: shownPlace(f.At)}
	if f.Outcome == rules.Open {
		line.Text, line.Remedy = "Open: "+f.Rule.Title, ""
		line.More = fmt.Sprintf("%s, rule %s: %s", subject(f.Subject), f.Rule.Name, f.Why)
		return line
	}
	line.More = fmt.Sprintf("%s, %s, rule %s: %s", f.Level, subject(f.Subject), f.Rule.Name, found(f))
	return line
}

// fixed is the value that holds now.
func fixed(c compare.Change) string {
	if c.Base.Outcome == rules.Open {
		return "known now, and it holds"
	}
	return fmt.Sprintf("%s, and it was %s", found(c.Head), c.Base.Value)
}

func movedBy(v compare.Move) string {
	if v.Base.SI == 0 || math.Signbit(v.Base.SI) != math.Signbit(v.Head.SI) {
		return ""
	}
	share := v.Head.SI/v.Base.SI - 1
	return fmt.Sprintf(" (%+.0f %%)", 100*share)
}

// CompareText writes a comparison for a terminal.
func CompareText(w io.Writer, c *compare.Comparison, o TextOptions) error {
	if o.Width == 0 {
		o.Width = 80
	}
	p := &printer{TextOptions: o}
	v := comparedOf(c)
	colour := map[bool]style{true: red, false: green}
	p.entry("COMPARED", bold, v.Head+" with "+v.Base, unstyled)
	p.blank()
	for _, r := range v.Relaxed {
		p.entry("RELAXED", red, r.Text, bold)
		p.entry("", unstyled, r.More, unstyled)
		p.blank()
	}
	for _, m := range v.Machines {
		title := m.Name
		if m.Title != "" {
			title += ": " + m.Title
		}
		p.entry(map[bool]string{true: "WORSE", false: "CHANGED"}[m.Worse], colour[m.Worse], title, bold)
		p.entry("", unstyled, m.Verdict, unstyled)
		p.blank()
		for _, s := range m.Sections {
			numbers := s.Label == "MOVED"
			for i, line := range s.Lines {
				if numbers && i > 0 {
					p.entry("", unstyled, line.Text, unstyled)
					continue
				}
				p.entry(s.Label, colour[s.Bad], line.Text, map[bool]style{true: unstyled, false: bold}[numbers])
				if line.More != "" {
					p.entry("", unstyled, line.More, unstyled)
				}
				p.row("remedy", line.Remedy)
				if line.At != "" {
					p.b.WriteString(p.paint(faint, pad("  at", gutter)) + p.paint(bold, Plain(line.At)) + "\n")
				}
				if !numbers {
					p.blank()
				}
			}
			if s.Left > 0 {
				p.entry("", unstyled, fmt.Sprintf("and %d more numbers, which --write json=FILE has", s.Left), unstyled)
			}
			if numbers {
				p.blank()
			}
		}
	}
	p.block(0, v.Verdict+". "+v.Total)
	_, err := io.WriteString(w, p.b.String())
	return err
}

// CompareMarkdown writes a comparison as a comment on a change.
func CompareMarkdown(w io.Writer, c *compare.Comparison) error {
	v := comparedOf(c)
	var b strings.Builder
	fmt.Fprintf(&b, "## %s: %s with %s\n\n%s\n", v.Verdict, markdown(v.Head), markdown(v.Base), markdown(v.Total))
	left := 0
	write := func(text string) bool {
		if b.Len()+len(text) > mostMarkdown-200 {
			left++
			return false
		}
		b.WriteString(text)
		return true
	}
	for _, r := range v.Relaxed {
		write(fmt.Sprintf("\n- **%s** (%s)", markdown(r.Text), markdown(r.More)))
	}
	for _, m := range v.Machines {
		if !write(fmt.Sprintf("\n\n### %s: %s\n", markdown(m.Name), markdown(m.Verdict))) {
			continue
		}
		for _, s := range m.Sections {
			folded := !s.Bad
			head, foot := fmt.Sprintf("\n**%s**\n\n", s.Heading), "\n"
			if folded {
				head, foot = fmt.Sprintf("\n<details><summary>%s (%d)</summary>\n\n", s.Heading, len(s.Lines)+s.Left), "\n</details>\n"
			}
			var lines strings.Builder
			for _, line := range s.Lines {
				fmt.Fprintf(&lines, "- %s", markdown(line.Text))
				for _, more := range []string{line.More, line.Remedy, line.At} {
					if more != "" {
						lines.WriteString("; " + markdown(more))
					}
				}
				lines.WriteByte('\n')
			}
			if s.Left > 0 {
				fmt.Fprintf(&lines, "- and %d more\n", s.Left)
			}
			write(head + lines.String() + foot)
		}
	}
	if left > 0 {
		fmt.Fprintf(&b, "\n%d parts of this comparison are left out: a comment has no room for them.\n", left)
	}
	b.WriteByte('\n')
	_, err := io.WriteString(w, b.String())
	return err
}

//go:embed compare.html
var compareText string

// CompareHTML writes a comparison as one page, with both states of each changed mechanism.
func CompareHTML(w io.Writer, c *compare.Comparison) error {
	v := comparedOf(c)
	for i := range v.Machines {
		m := v.Machines[i].of
		if m.Base == nil || m.Head == nil {
			continue
		}
		before, now := checks.Courses(m.Base.Machine, overlayPoses), checks.Courses(m.Head.Machine, overlayPoses)
		if p, ok := drawing.Overlay(m.Base.Machine, m.Head.Machine, fmt.Sprintf("overlay-%d", i), before, now); ok {
			f := figureOf(p)
			v.Machines[i].Overlay = &f
		}
	}
	t, err := template.New("compare").Funcs(template.FuncMap{"plain": Plain}).Parse(compareText)
	if err != nil {
		return err
	}
	return t.Execute(w, struct {
		compared
		Style template.CSS
	}{v, template.CSS(drawing.Style + pageStyle)})
}

type (
	jsonComparison struct {
		Base     string            `json:"base"`
		Head     string            `json:"head"`
		Worse    bool              `json:"worse"`
		Relaxed  []jsonRelaxed     `json:"relaxed"`
		Machines []jsonMachineDiff `json:"machines"`
	}
	jsonRelaxed struct {
		Folder string `json:"folder"`
		Rule   string `json:"rule"`
		How    string `json:"how"`
	}
	jsonMachineDiff struct {
		Folder   string              `json:"folder"`
		Name     string              `json:"name"`
		Base     string              `json:"base,omitempty"` // the verdict; none of a machine that was added
		Head     string              `json:"head,omitempty"` // none of one that is gone
		Worse    bool                `json:"worse"`
		New      []jsonFindingChange `json:"new"`
		Grown    []jsonFindingChange `json:"grown"`
		Fixed    []jsonFindingChange `json:"fixed"`
		Ended    []jsonFindingChange `json:"ended"`
		Still    []jsonFindingChange `json:"still"`
		Conceded []jsonAccepted      `json:"conceded"`
		Data     []jsonDatum         `json:"data"`
		Moved    []jsonFactMove      `json:"moved"`
	}
	jsonFindingChange struct {
		Rule    string     `json:"rule"`
		Kind    string     `json:"kind"`
		Name    string     `json:"name"`
		Outcome string     `json:"outcome,omitempty"`
		Level   string     `json:"level,omitempty"`
		Base    string     `json:"base,omitempty"`
		Head    string     `json:"head,omitempty"`
		How     string     `json:"how,omitempty"`
		At      *jsonPlace `json:"at,omitempty"`
	}
	jsonAccepted struct {
		Rule   string     `json:"rule"`
		Of     string     `json:"of"`
		Reason string     `json:"reason"`
		By     string     `json:"by"`
		Until  string     `json:"until"`
		Before string     `json:"before,omitempty"` // of one that was prolonged, until when it was
		At     *jsonPlace `json:"at,omitempty"`
	}
	jsonDatum struct {
		Path   string     `json:"path"`
		Base   string     `json:"base"`
		Head   string     `json:"head"`
		Source string     `json:"source"`
		At     *jsonPlace `json:"at,omitempty"`
	}
	jsonFactMove struct {
		Kind string    `json:"kind"`
		Name string    `json:"name"`
		Fact string    `json:"fact"`
		Base jsonValue `json:"base"`
		Head jsonValue `json:"head"`
	}
)

// CompareJSON writes the whole comparison.
func CompareJSON(w io.Writer, c *compare.Comparison) error {
	out := jsonComparison{Base: c.Base, Head: c.Head, Worse: c.Worse(), Relaxed: []jsonRelaxed{}, Machines: []jsonMachineDiff{}}
	for _, r := range c.Rules {
		out.Relaxed = append(out.Relaxed, jsonRelaxed{r.Folder, r.Rule, r.How})
	}
	for i := range c.Machines {
		out.Machines = append(out.Machines, machineDiffOf(&c.Machines[i]))
	}
	e := json.NewEncoder(w)
	e.SetIndent("", "\t")
	return e.Encode(out)
}

func machineDiffOf(m *compare.Machine) jsonMachineDiff {
	out := jsonMachineDiff{Folder: m.Folder, Name: m.Name, Worse: m.Worse(), Conceded: []jsonAccepted{}, Data: []jsonDatum{}, Moved: []jsonFactMove{}}
	if m.Base != nil {
		out.Base = verdict(m.Base)
	}
	if m.Head != nil {
		out.Head = verdict(m.Head)
	}
	changes := func(list []compare.Change) []jsonFindingChange {
		all := []jsonFindingChange{}
		for _, c := range list {
			f := c.Head
			if f == nil {
				f = c.Base
			}
			one := jsonFindingChange{Rule: f.Rule.Name, Kind: f.Subject.Kind, Name: f.Subject.Name, How: c.How, At: placeOf(f.At)}
			if c.Base != nil {
				one.Base = valueText(c.Base)
			}
			if c.Head != nil {
				one.Outcome, one.Level, one.Head = string(c.Head.Outcome), string(c.Head.Level), valueText(c.Head)
			}
			all = append(all, one)
		}
		return all
	}
	out.New, out.Grown, out.Fixed, out.Ended, out.Still = changes(m.New), changes(m.Grown), changes(m.Fixed), changes(m.Ended), changes(m.Still)
	for _, a := range m.Conceded {
		k := a.Concession
		out.Conceded = append(out.Conceded, jsonAccepted{Rule: k.Rule, Of: k.Of, Reason: k.Reason, By: k.By, Until: k.Until, Before: a.Until, At: placeOf(k.At)})
	}
	for _, d := range m.Data {
		out.Data = append(out.Data, jsonDatum{d.Path, d.Base, d.Head, d.Source, placeOf(d.At)})
	}
	for _, v := range m.Moved {
		out.Moved = append(out.Moved, jsonFactMove{v.Subject.Kind, v.Subject.Name, v.Fact, factOf(v.Base), factOf(v.Head)})
	}
	return out
}

func valueText(f *rules.Finding) string {
	if f.Outcome == rules.Open {
		return ""
	}
	return f.Value.String()
}
