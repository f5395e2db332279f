package report

import (
	"cmp"
	"fmt"
	"io"
	"maps"
	"slices"
	"strconv"
	"strings"

	"trammel.example/checks"
	"trammel.example/rules"
	"trammel.example/schema"
)

// TextOptions shape the text.
type TextOptions struct {
	Width  int  // of a line in columns; 80 when 0
	Colour bool // with the terminal's colours
	All    bool // with every computed number and every rule that holds
	Poses  int  // with All, how many poses of each stroke are shown; 11 when 0
}

// Text writes the run for a person: of each machine the verdict, what fails, worst first, and all that it rests on.
func Text(w io.Writer, run Run, o TextOptions) error {
	if o.Poses == 0 {
		o.Poses = 11
	}
	if o.Width == 0 {
		o.Width = 80
	}
	p := &printer{TextOptions: o, run: run}
	machines := 0
	for _, s := range run.Specs {
		machines += len(s.Judgements)
	}
	p.several = machines > 1
	for _, s := range run.Specs {
		p.spec(s)
	}
	p.total(run)
	_, err := io.WriteString(w, p.b.String())
	return err
}

// gutter is the width of the column that says what a line is.
const gutter = 9

// mostInputs is how many inputs of a finding are listed without All: a fact of a whole sweep comes from dozens.
const mostInputs = 6

type printer struct {
	TextOptions
	b       strings.Builder
	run     Run
	several bool   // machines are in the run
	in      string // which of several machines is printed, to follow a subject: in a long list its heading is out of sight
}

// A style is the terminal's code for a colour.
type style string

const (
	unstyled style = ""
	bold     style = "1"
	faint    style = "2"
	red      style = "1;31"
	green    style = "1;32"
	yellow   style = "1;33"
	cyan     style = "1;36"
)

var levelStyles = map[rules.Level]style{rules.Error: red, rules.Warning: yellow, rules.Note: cyan}

func (p *printer) paint(s style, text string) string {
	if !p.Colour || s == unstyled || text == "" {
		return text
	}
	return "\x1b[" + string(s) + "m" + text + "\x1b[0m"
}

func (p *printer) blank() { p.b.WriteByte('\n') }

// entry prints a label in the gutter and text beside it.
func (p *printer) entry(label string, ls style, text string, ts style) {
	p.hang(label, ls, text, ts, 0)
}

// hang is entry whose second and further lines are indented by more columns.
func (p *printer) hang(label string, ls style, text string, ts style, more int) {
	lines := wrap(Plain(text), max(p.Width-gutter-more, leastRoom))
	if len(lines) == 0 {
		lines = []string{""}
	}
	for i, line := range lines {
		indent := strings.Repeat(" ", gutter+more)
		if i == 0 {
			indent = p.paint(ls, label) + strings.Repeat(" ", max(1, gutter-cells.StringWidth(label)))
		}
		p.b.WriteString(strings.TrimRight(indent+p.paint(ts, line), " ") + "\n")
	}
}

// row is an entry of a finding.
func (p *printer) row(label, text string) {
	if text != "" {
		p.entry("  "+label, faint, text, unstyled)
	}
}

// place prints where to look, alone on its line and never broken, so that a terminal can open it.
func (p *printer) place(at schema.Place) {
	if at.File != "" {
		p.b.WriteString(p.paint(faint, pad("  at", gutter)) + p.paint(bold, Plain(at.String())) + "\n")
	}
}

func (p *printer) spec(s SpecResult) {
	if n := len(s.Mistakes); n > 0 {
		mistakes := fmt.Sprintf("%d mistakes keep", n)
		if n == 1 {
			mistakes = "a mistake keeps"
		}
		p.entry("WRONG", red, fmt.Sprintf("%s: %s this spec from being judged", s.Dir, mistakes), unstyled)
		p.blank()
	}
	for _, j := range s.Judgements {
		p.machine(j)
	}
	for _, r := range s.Remarks {
		p.entry("REMARK", cyan, strings.TrimSpace(r.At.String()+" "+r.Text), unstyled)
		p.blank()
	}
}

func (p *printer) machine(j *rules.Judgement) {
	colour := green
	if !j.Go() {
		colour = red
	}
	title := j.Machine.Name
	if j.Machine.Title.Value != "" {
		title += ": " + j.Machine.Title.Value
	}
	if p.several {
		p.in = " in machine " + strconv.Quote(j.Machine.Name)
	}
	p.entry(verdict(j), colour, title, bold)
	p.entry("", unstyled, count(j).inWords(), unstyled)
	if room := p.run.room(j); room != "" {
		p.row("room", room)
	}
	p.place(j.Machine.At)
	p.blank()
	for _, alike := range alike(failures(j)) {
		p.failure(alike)
	}
	for _, g := range gaps(j) {
		p.gap(g)
	}
	for _, c := range j.Concessions {
		p.concession(j, c)
	}
	for _, r := range j.Changed {
		text := fmt.Sprintf("%s: %s", r.Name, r.Changed)
		if r.Relaxed {
			text += ". This lets more pass than trammel's own rule"
		}
		p.entry("CHANGED", yellow, text, unstyled)
		p.blank()
	}
	p.assumptions(j)
	p.notFollowed(j)
	if p.All {
		p.everything(j)
	}
}

// alike puts findings together that ask for the same change at the same place for the same reason: six joints of one tube are one thing
// to mend.
func alike(list []*rules.Finding) [][]*rules.Finding {
	var groups [][]*rules.Finding
	for _, f := range list {
		i := slices.IndexFunc(groups, func(g []*rules.Finding) bool {
			first := g[0]
			return first.Concession == f.Concession && first.Rule == f.Rule && first.At == f.At && first.Level == f.Level && first.Because == f.Because && first.Remedy == f.Remedy
		})
		if i < 0 {
			groups = append(groups, []*rules.Finding{f})
			continue
		}
		groups[i] = append(groups[i], f)
	}
	return groups
}

// failure prints findings that are alike as one.
func (p *printer) failure(alike []*rules.Finding) {
	f := alike[0]
	p.entry(strings.ToUpper(string(f.Level)), levelStyles[f.Level], f.Rule.Title, bold)
	who := subject(f.Subject)
	for i, other := range alike[1:] {
		join := ", "
		if i == len(alike)-2 {
			join = " and "
		}
		who += join + strconv.Quote(other.Subject.Name)
	}
	p.entry("", unstyled, who+p.in+", rule "+f.Rule.Name, unstyled)
	p.entry("", unstyled, found(f), unstyled)
	p.row("worst", f.Worst)
	p.row("why", f.Because)
	p.row("remedy", f.Remedy)
	p.row("source", sources(f.Rule))
	p.inputs(f.Inputs)
	if c := f.Concession; c != nil {
		p.row("note", fmt.Sprintf("the concession that accepted this ended on %s (%s)", c.Until, c.At))
	}
	p.place(f.At)
	p.blank()
}

func (p *printer) inputs(list []schema.Input) {
	list = distinct(list)
	label := "from"
	for i, in := range list {
		if i == mostInputs && len(list) > mostInputs+1 && !p.All {
			p.row(label, fmt.Sprintf("and %d more (--all lists them)", len(list)-i))
			return
		}
		o := schema.OriginOf(in)
		text := o.Path + " = " + in.String()
		switch {
		case o.Assumed != "":
			text += " (assumed: " + o.Assumed + ")"
		case o.At.File != "":
			text += " (" + o.At.String() + ")"
		}
		p.hang("  "+label, faint, text, unstyled, 2)
		label = ""
	}
}

func (p *printer) gap(g *gap) {
	p.entry("OPEN", yellow, g.who()+p.in+": "+g.why, unstyled)
	p.entry("", unstyled, "Not judged for lack of it: "+strings.Join(g.rules, ", "), unstyled)
	for _, at := range g.places {
		p.place(at)
	}
	p.blank()
}

func (p *printer) concession(j *rules.Judgement, c *rules.Concession) {
	what := fmt.Sprintf("%s of %q", c.Rule, c.Of) + p.in
	s, label := unstyled, "CONCEDED"
	switch c.State {
	case rules.InForce:
		what += fmt.Sprintf(" is accepted until %s", c.Until)
	case rules.Expired:
		s, label = red, "EXPIRED"
		what += fmt.Sprintf(" was accepted until %s: NO-GO until it is mended, or accepted anew", c.Until)
	case rules.Unmatched:
		s, label = yellow, "IDLE"
		what += " is accepted, and nothing fails there: take this concession out"
	}
	p.entry(label, s, what, unstyled)
	for _, f := range j.Findings {
		if f.Concession == c {
			p.entry("", unstyled, f.Rule.Title+". "+found(f), unstyled)
		}
	}
	p.row("reason", c.Reason)
	p.row("by", c.By)
	p.place(c.At)
	p.blank()
}

// assumptions prints the values that stand in for what the spec does not say, by their sources.
func (p *printer) assumptions(j *rules.Judgement) {
	list := assumptions(j)
	if len(list) == 0 {
		return
	}
	p.entry("ASSUMED", cyan, fmt.Sprintf("%d values that the spec does not give. To set one, write its field in machines: %q", len(list), j.Machine.Name), unstyled)
	slices.SortStableFunc(list, func(a, b schema.Assumption) int { return cmp.Compare(a.Source, b.Source) })
	for len(list) > 0 {
		source, parts := list[0].Source, []string{}
		for len(list) > 0 && list[0].Source == source {
			parts = append(parts, list[0].Path+": "+list[0].Value)
			list = list[1:]
		}
		p.block(gutter, "By "+source+":")
		p.block(gutter+2, strings.Join(parts, "; "))
	}
	p.blank()
}

// notFollowed prints what is not judged, since the spec leaves it out.
func (p *printer) notFollowed(j *rules.Judgement) {
	lines := notFollowed(j)
	if len(lines) == 0 {
		return
	}
	p.entry("SILENT", cyan, notFollowedTitle+p.in+": "+notFollowedWhat, unstyled)
	for _, line := range lines {
		p.block(gutter, line)
	}
	p.blank()
}

// strengths prints how far parts are utilised, the most utilised first.
func (p *printer) strengths(j *rules.Judgement) {
	list, open := strengths(j)
	if len(list) == 0 {
		return
	}
	p.entry("UTILISED", bold, strengthsTitle+p.in+": what parts bear of what they may", bold)
	for _, f := range list {
		label, s := percent(f.Utilised.Share), unstyled
		if f.Utilised.Share > 1 {
			s = levelStyles[f.Rule.Level]
		}
		text := subject(f.Subject) + ", " + f.Rule.Name + ": " + ofStrength(f.Utilised)
		if f.Worst != "" {
			text += ", " + f.Worst
		}
		if cells.StringWidth(label) >= gutter-1 { // in words
			text, label = label+" "+text, ""
		}
		p.hang(strings.Repeat(" ", max(0, gutter-2-cells.StringWidth(label)))+label, s, text, unstyled, 2)
	}
	if more := unranked(open); more != "" {
		p.entry("", unstyled, more, unstyled)
	}
	p.blank()
}

// everything prints each subject with its facts and the rules that hold.
func (p *printer) everything(j *rules.Judgement) {
	p.strengths(j)
	passes := map[*checks.Subject][]*rules.Finding{}
	for _, f := range j.Findings {
		if f.Outcome == rules.Pass {
			passes[f.Subject] = append(passes[f.Subject], f)
		}
	}
	for _, s := range j.Subjects {
		p.entry("SUBJECT", bold, subject(s)+p.in, bold)
		p.facts(s)
		for _, f := range passes[s] {
			p.hang("  holds", green, f.Rule.Name+": "+measured(f.Rule)+" "+against(f), unstyled, 2)
		}
		p.place(s.At)
		p.blank()
	}
	p.behaviour(j.Subjects)
	for _, c := range checks.Courses(j.Machine, p.Poses) {
		p.course(c)
	}
}

// behaviour prints what each cylinder does on each event, where that is known.
func (p *printer) behaviour(subjects []*checks.Subject) {
	const event = 28 // the longest event
	before := ""
	for _, s := range subjects {
		does, known := s.Facts["does"]
		if s.Kind != "behaviour" || !known {
			continue
		}
		if cylinder := s.Facts["cylinder"].Text; cylinder != before {
			if before != "" {
				p.blank()
			}
			p.entry("BEHAVIOUR", bold, "of cylinder "+cylinder+p.in, bold)
			before = cylinder
		}
		name, indent := s.Facts["event"].Text, gutter+event+2
		if p.Width-indent >= leastRoom {
			p.column(strings.Repeat(" ", gutter)+pad(name, event)+"  ", does.Text, indent)
		} else {
			p.hang("", unstyled, name+": "+does.Text, unstyled, 2)
		}
	}
	if before != "" {
		p.blank()
	}
}

// widestValue keeps one long text from pushing the poses of all facts to the right; leastRoom is what a column of words needs.
const (
	widestValue = 16
	leastRoom   = 20
)

// facts prints names, values and poses in columns; where the line is too narrow for that, one after the other.
func (p *printer) facts(s *checks.Subject) {
	names := slices.Sorted(maps.Keys(s.Facts))
	widest, value := 0, 0
	for _, n := range names {
		widest = max(widest, cells.StringWidth(Plain(n)))
		if s.Facts[n].Worst != "" {
			value = max(value, cells.StringWidth(Plain(s.Facts[n].String())))
		}
	}
	value = min(value, widestValue)
	values := gutter + widest + 2
	poses := values + value + 2
	for _, n := range names {
		f := s.Facts[n]
		text := f.String()
		fits := f.Worst != "" && cells.StringWidth(Plain(text)) <= value && p.Width-poses >= leastRoom
		if f.Worst != "" && !fits {
			text += ", " + f.Worst
		}
		start := strings.Repeat(" ", gutter) + pad(Plain(n), widest) + "  "
		switch {
		case fits:
			p.column(start+pad(Plain(text), value)+"  ", f.Worst, poses)
		case p.Width-values >= leastRoom:
			p.column(start, text, values)
		default:
			p.hang("", unstyled, n+" "+text, unstyled, 2)
		}
	}
}

// column prints text beside start, with its further lines below it.
func (p *printer) column(start, text string, indent int) {
	for i, line := range wrap(Plain(text), p.Width-indent) {
		if i > 0 {
			start = strings.Repeat(" ", indent)
		}
		p.b.WriteString(start + line + "\n")
	}
}

// total prints what all machines come to, and the caution.
func (p *printer) total(run Run) {
	var all Counts
	verdicts := map[string]int{}
	machines, wrong := 0, 0
	for _, s := range run.Specs {
		if len(s.Mistakes) > 0 {
			wrong++
		}
		for _, j := range s.Judgements {
			machines++
			verdicts[verdict(j)]++
			all.add(count(j))
		}
	}
	var parts []string
	for _, v := range []string{"GO", "NO-GO"} {
		if verdicts[v] > 0 {
			parts = append(parts, fmt.Sprintf("%d %s", verdicts[v], v))
		}
	}
	text := plural(machines, "machine")
	if len(parts) > 0 {
		text += ": " + strings.Join(parts, ", ") + ". In all " + all.inWords()
	}
	if wrong > 0 {
		text += ". " + plural(wrong, "spec") + " not judged"
	}
	p.block(0, text+fmt.Sprintf(". Judged by the day %s.", run.Date.Format("2006-01-02")))
	p.block(0, Caution)
}

// block prints text that is indented as a whole.
func (p *printer) block(indent int, text string) {
	for _, line := range wrap(Plain(text), max(p.Width-indent, leastRoom)) {
		p.b.WriteString(strings.Repeat(" ", indent) + line + "\n")
	}
}

func plural(n int, word string) string {
	if n == 1 {
		return "1 " + word
	}
	return fmt.Sprintf("%d %ss", n, word)
}
