package report

import (
	"cmp"
	_ "embed"
	"fmt"
	"html/template"
	"io"
	"maps"
	"math"
	"slices"
	"strconv"
	"strings"
	"time"

	"trammel.example/checks"
	"trammel.example/cmd/trammel/internal/drawing"
	"trammel.example/rules"
	"trammel.example/schema"
)

var (
	//go:embed page.html
	pageText string
	//go:embed page.css
	pageStyle string
	//go:embed page.js
	pageScript string
)

type (
	page struct {
		Name, Verdict, Version, Date, Total, Caution string
		Style                                        template.CSS
		Script                                       template.JS
		Wrong                                        []pageWrong
		Remarks                                      []string
		Machines                                     []pageMachine
	}
	pageWrong struct {
		Folder   string
		Mistakes []pageMistake
	}
	pageMistake struct{ Text, At string }
	pageFigure  struct {
		ID, Title string
		SVG       template.HTML
	}
	pageMachine struct {
		ID, Name, Title, Verdict, Counts, At string
		Room, Sheets, SheetsBy               string
		Ladder                               []pageFigure
		Failures                             []pageFailure
		Gaps                                 []pageGap
		Motion, Zones, Stands                *pageFigure
		Legend, Margins                      string
		Tracks                               []drawing.Track
		LastPose                             int
		Ends                                 []pageEnds
		Charts, Fastenings, Circuit          []pageFigure
		Bars, Groups, Pivots, Bent           []pageFigure
		Strengths                            []pageStrength
		Unranked                             string
		Energies                             []pageEnergy
		Wiring                               *pageWiring
		Behaviour                            []pageBehaviour
		Purchases                            []pagePurchase
		Concessions                          []pageConcession
		Changed                              []pageChange
		AssumedCount, PassCount              string
		NotFollowed                          []string
		Assumptions                          []schema.Assumption
		Passes                               []pagePass
	}
	pageFailure struct {
		Level, Word, Title, Who, Rule, Measured, Worst, Because, Remedy, Source, Note, At, InputCount string
		Inputs                                                                                        []pageInput
		Pictures                                                                                      []pageFigure
		Drawn                                                                                         []pageFigure // with an earlier one
	}
	pageInput struct{ Path, Value, Where string }
	pageGap   struct {
		Who, Why, Rules string
		Places          []string
	}
	pageEnds   struct{ Name, First, Last string }
	pageEnergy struct {
		Name  string
		Cells []string
	}
	pageBehaviour  struct{ Cylinder, Event, Does string }
	pagePurchase   struct{ Item, Listed, Wanted, Short, Over, For string }
	pageConcession struct{ State, Rule, Of, Accepts, Reason, By, Until, At string }
	pageChange     struct {
		Name, Change string
		Relaxed      bool
	}
	pageStrength struct{ Share, Of, Rule, Says, Worst string }
	pagePass     struct{ Of, Rule, Says string }
)

// HTML writes the run as one page for people, with pictures. It needs nothing else: no network, and no script but to move the drawings.
func HTML(w io.Writer, run Run) error {
	parsed, err := template.New("page").Funcs(template.FuncMap{"breaking": breaking}).Parse(pageText)
	if err != nil {
		return err
	}
	return parsed.Execute(w, pageOf(run))
}

func pageOf(run Run) page {
	p := page{Verdict: run.verdict(), Version: Plain(run.Version), Date: run.Date.Format(time.DateOnly), Caution: Caution,
		Style: template.CSS(drawing.Style + pageStyle), Script: template.JS(pageScript)}
	var all Counts
	var names []string
	for _, s := range run.Specs {
		if len(s.Mistakes) > 0 {
			wrong := pageWrong{Folder: Plain(s.Dir)}
			for _, m := range s.Mistakes {
				wrong.Mistakes = append(wrong.Mistakes, pageMistake{Plain(m.Text), shownPlace(m.At)})
			}
			p.Wrong = append(p.Wrong, wrong)
		}
		for _, r := range s.Remarks {
			p.Remarks = append(p.Remarks, strings.TrimSpace(shownPlace(r.At)+" "+Plain(r.Text)))
		}
		for _, j := range s.Judgements {
			all.add(count(j))
			m := machineOnPage(j, run.view(j.Machine), fmt.Sprintf("m%d", len(p.Machines)+1))
			m.Room, m.Sheets = Plain(run.room(j)), run.Sheets[j]
			if m.Sheets == "" {
				m.SheetsBy = sheetsBy(s.Dir, j.Machine.Name)
			}
			if plan := run.Plans[j]; plan != nil {
				for _, c := range ladderOf(plan, m.ID+"-ladder") {
					m.Ladder = append(m.Ladder, figureOf(c))
				}
			}
			p.Machines = append(p.Machines, m)
			names = append(names, m.Name)
		}
	}
	p.Name = plural(len(names), "machine")
	if len(names) == 1 {
		p.Name = names[0]
	}
	p.Total = "In all " + all.inWords() + "."
	return p
}

// breaking is a path that a line may break before each of its fields, and not within their names.
func breaking(path string) template.HTML {
	return template.HTML(beforeFields.Replace(template.HTMLEscapeString(path)))
}

var beforeFields = strings.NewReplacer(".", "<wbr>.", "[", "<wbr>[")

// shownPlace is a place as a page shows it; "" for none.
func shownPlace(at schema.Place) string {
	if at.File == "" {
		return ""
	}
	return Plain(at.String())
}

func figureOf(p drawing.Picture) pageFigure {
	return pageFigure{p.Name + "-figure", Plain(p.Title), template.HTML(p.SVG)}
}

func machineOnPage(j *rules.Judgement, v *view, id string) pageMachine {
	machine := j.Machine
	m := pageMachine{ID: id, Name: Plain(machine.Name), Title: Plain(machine.Title.Value), Verdict: verdict(j), Counts: count(j).inWords(), At: shownPlace(machine.At)}
	go v.swept() // takes longest: all else is made meanwhile
	courses, holding := v.courses(), checks.HoldingOf(machine)
	for _, g := range gaps(j) {
		one := pageGap{Why: Plain(g.why), Rules: Plain(strings.Join(g.rules, ", "))}
		var who []string
		for _, s := range g.subjects {
			who = append(who, Plain(subject(s)))
		}
		one.Who = strings.Join(who, ", ")
		for _, at := range g.places {
			if at := shownPlace(at); at != "" {
				one.Places = append(one.Places, at)
			}
		}
		m.Gaps = append(m.Gaps, one)
	}
	timed := checks.TimedStrokes(machine)
	for _, c := range drawing.Charts(id, courses, timed) {
		m.Charts = append(m.Charts, figureOf(c))
	}
	for _, t := range timed {
		one := pageEnergy{Name: Plain(t.Cylinder + " " + t.Way)}
		for _, e := range []float64{t.Energy.Drive, t.Energy.Load, t.Energy.Friction, t.Energy.Cushion, t.Energy.Stop} {
			one.Cells = append(one.Cells, strconv.FormatFloat(e+0, 'f', 2, 64))
		}
		m.Energies = append(m.Energies, one)
	}
	m.strengths(j)
	for i, g := range holding.Groups {
		m.Groups = append(m.Groups, figureOf(drawing.ScrewGroup(g, screwsID(id, i))))
	}
	for i, s := range checks.PivotSections(machine) {
		m.Pivots = append(m.Pivots, figureOf(drawing.Pivot(s, pivotID(id, i))))
	}
	for i, b := range holding.Bent {
		m.Bent = append(m.Bent, figureOf(drawing.LinkBending(b, bentID(id, i))))
	}
	for _, s := range j.Subjects {
		if does, known := s.Facts["does"]; known && s.Kind == "behaviour" {
			m.Behaviour = append(m.Behaviour, pageBehaviour{Plain(s.Facts["cylinder"].Text), s.Facts["event"].Text, Plain(does.String())})
		}
		if s.Kind == "purchase" {
			m.Purchases = append(m.Purchases, purchaseOf(s))
		}
	}
	for _, c := range circuits(machine, id) {
		m.Circuit = append(m.Circuit, figureOf(c))
	}
	m.Wiring = wiringOnPage(j, id)
	m.accepted(j)
	for _, r := range j.Changed {
		m.Changed = append(m.Changed, pageChange{Plain(r.Name), Plain(r.Changed), r.Relaxed})
	}
	for _, a := range assumptions(j) {
		m.Assumptions = append(m.Assumptions, schema.Assumption{Path: Plain(a.Path), Value: Plain(a.Value), Source: Plain(a.Source)})
	}
	for _, line := range notFollowed(j) {
		m.NotFollowed = append(m.NotFollowed, Plain(line))
	}
	m.AssumedCount = plural(len(m.Assumptions), "value")
	for _, f := range sortedFindings(j) {
		if f.Outcome == rules.Pass {
			m.Passes = append(m.Passes, pagePass{Plain(subject(f.Subject)), Plain(f.Rule.Name), Plain(measured(f.Rule) + " " + against(f))})
		}
	}
	m.PassCount = "All " + strconv.Itoa(len(m.Passes))
	m.picture(j, drawing.NewMechanism(machine, id, courses, v.swept()), courses, holding)
	return m
}

// picture adds what is drawn with the mechanism, and the sections of fastenings.
func (m *pageMachine) picture(j *rules.Judgement, mechanism *drawing.Mechanism, courses []checks.Course, holding checks.Holding) {
	machine := j.Machine
	groups := alike(failures(j))
	for i, alike := range groups {
		m.Failures = append(m.Failures, failureOnPage(alike, fmt.Sprintf("%s-finding%d", m.ID, i+1), mechanism))
	}
	for name, section := range sections(machine, m.ID) {
		// It stands with the first finding that is about it, and the others refer to it there.
		figure, stands := figureOf(section), false
		for i, alike := range groups {
			switch about := slices.ContainsFunc(alike, func(f *rules.Finding) bool { return f.Subject.Kind == "fastening" && f.Subject.Name == name }); {
			case about && stands:
				m.Failures[i].Drawn = append(m.Failures[i].Drawn, figure)
			case about:
				m.Failures[i].Pictures = append(m.Failures[i].Pictures, figure)
				stands = true
			}
		}
		if !stands {
			m.Fastenings = append(m.Fastenings, figure)
		}
	}
	if len(machine.Points) > 0 {
		m.draw(mechanism, courses)
	}
	if stands, ok := mechanism.Standing(holding.Standing); ok {
		figure := figureOf(stands)
		m.Stands = &figure
	}
	if zones, ok := mechanism.Zones(closings(j)); ok {
		figure := figureOf(zones)
		m.Zones = &figure
		var says []string
		for _, one := range checks.Margins(j.Machine) {
			says = append(says, Plain(one.Says))
		}
		m.Margins = strings.Join(says, "; ")
	}
}

// closings are the gaps that close on people.
func closings(j *rules.Judgement) []checks.Closing {
	var all []checks.Closing
	for _, s := range j.Subjects {
		all = append(all, s.Closings...)
	}
	return all
}

func (m *pageMachine) strengths(j *rules.Judgement) {
	list, open := strengths(j)
	for _, c := range barsOf(list, m.ID+"-strength") {
		m.Bars = append(m.Bars, figureOf(c))
	}
	for _, f := range list {
		one := pageStrength{percent(f.Utilised.Share), Plain(subject(f.Subject)), Plain(f.Rule.Name), Plain(ofStrength(f.Utilised)), Plain(f.Worst)}
		m.Strengths = append(m.Strengths, one)
	}
	m.Unranked = unranked(open)
}

func (m *pageMachine) accepted(j *rules.Judgement) {
	for _, c := range j.Concessions {
		one := pageConcession{State: string(c.State), Rule: Plain(c.Rule), Of: Plain(c.Of), Reason: Plain(c.Reason), By: Plain(c.By), Until: Plain(c.Until), At: shownPlace(c.At)}
		var accepts []string
		for _, f := range j.Findings {
			if f.Concession == c {
				accepts = append(accepts, Plain(f.Rule.Title+". "+found(f)))
			}
		}
		one.Accepts = cmp.Or(strings.Join(accepts, "; "), "nothing: take this concession out")
		m.Concessions = append(m.Concessions, one)
	}
}

// draw adds the mechanism and what moves it.
func (m *pageMachine) draw(mechanism *drawing.Mechanism, courses []checks.Course) {
	figure := figureOf(mechanism.Motion())
	m.Motion = &figure
	m.Tracks = mechanism.Tracks(poseInWords)
	m.LastPose = viewPoses - 1
	m.Legend = "Its motion is not known: this is how it is drawn."
	if len(m.Tracks) > 0 {
		m.Legend = "The rod of the first stroke is in; what is faded shows it out. Dotted edge: the area that moving parts sweep. Dashed line: the way of the tools. Hatched: what stands still."
	}
	for _, t := range m.Tracks {
		m.Ends = append(m.Ends, pageEnds{t.Name, t.Says[0], t.Says[len(t.Says)-1]})
	}
	for _, c := range courses {
		if c.Why != "" {
			m.Ends = append(m.Ends, pageEnds{Plain(c.Cylinder), Plain(c.Why), Plain(c.Why)})
		}
	}
}

// poseInWords tells how far the rod is out, and what that pose asks of it.
func poseInWords(c *checks.Course, i int) string {
	text := "Rod out by " + schema.Format(schema.LengthDim, c.Stroke[i])
	if len(c.Out.Needed) > i && !math.IsNaN(c.Out.Needed[i]) {
		text += ": needs " + schema.Format(schema.ForceDim, math.Round(c.Out.Needed[i])) + " going out and " + schema.Format(schema.ForceDim, math.Round(c.In.Needed[i])) + " coming in"
	}
	return text
}

func failureOnPage(alike []*rules.Finding, id string, mechanism *drawing.Mechanism) pageFailure {
	f := alike[0]
	one := pageFailure{Level: string(f.Level), Word: string(f.Level), Title: Plain(f.Rule.Title), Rule: Plain(f.Rule.Name), Measured: Plain(found(f)),
		Worst: Plain(f.Worst), Because: Plain(f.Because), Remedy: Plain(f.Remedy), Source: Plain(sources(f.Rule)), At: shownPlace(f.At)}
	var who []string
	var inputs []schema.Input
	for _, g := range alike {
		who, inputs = append(who, Plain(subject(g.Subject))), append(inputs, g.Inputs...)
	}
	one.Who = strings.Join(who, ", ")
	if c := f.Concession; c != nil {
		one.Note = Plain(fmt.Sprintf("the concession that accepted this ended on %s (%s)", c.Until, c.At))
	}
	for _, in := range distinct(inputs) {
		o := schema.OriginOf(in)
		input := pageInput{Path: Plain(o.Path), Value: Plain(in.String()), Where: shownPlace(o.At)}
		if o.Assumed != "" {
			input.Where = Plain("assumed: " + o.Assumed)
		}
		one.Inputs = append(one.Inputs, input)
	}
	one.InputCount = plural(len(one.Inputs), "value") + " of the spec"
	if rods := worstRods(f); rods != nil {
		if course, at, found := mechanism.Find(rods); found {
			bodies, points := about(f.Subject)
			one.Pictures = append(one.Pictures, figureOf(mechanism.Worst(id+"-worst", course, at, bodies, points)))
		}
	}
	return one
}

// worstRods are how far the rods are out where a finding is worst; nil where that is not known.
func worstRods(f *rules.Finding) []float64 {
	if f.Worst == "" {
		return nil
	}
	if fact := f.Subject.Facts[f.Rule.Measure.Fact]; fact.Worst == f.Worst {
		return fact.Rods
	}
	for _, name := range slices.Sorted(maps.Keys(f.Subject.Facts)) {
		if fact := f.Subject.Facts[name]; fact.Worst == f.Worst && fact.Rods != nil {
			return fact.Rods
		}
	}
	return nil
}

// about names the links, cylinders and points that a subject is about.
func about(s *checks.Subject) (bodies, points []string) {
	for _, word := range strings.FieldsFunc(s.Name, func(r rune) bool { return strings.ContainsRune(" :,.", r) }) {
		_, isLink := s.Machine.Links[word]
		_, isCylinder := s.Machine.Cylinders[word]
		_, isPoint := s.Machine.Points[word]
		switch {
		case (isLink || isCylinder) && !slices.Contains(bodies, word):
			bodies = append(bodies, word)
		case isPoint:
			points = append(points, word)
		}
	}
	return bodies, points
}

// purchaseOf is a line of the purchase list against what all machines take.
func purchaseOf(s *checks.Subject) pagePurchase {
	bought, wanted := s.Facts["bought"], s.Facts["wanted"]
	p := pagePurchase{Item: Plain(s.Name), Listed: bought.String(), For: Plain(s.Facts["uses"].Text)}
	switch {
	case wanted.Kind == checks.Quantity:
		p.Wanted = wanted.String()
		if short := wanted.SI - bought.SI; short > 0 {
			p.Short = strconv.FormatFloat(short, 'f', -1, 64)
		} else if short < 0 {
			p.Over = strconv.FormatFloat(-short, 'f', -1, 64)
		}
	case wanted.Kind == checks.Open:
		p.Wanted = "not known: " + Plain(wanted.Why)
	default:
		p.Wanted, p.Over = "0", p.Listed
	}
	return p
}

// sheetsBy is the command that writes a machine's workshop sheets. It is there to be copied into a shell, so a name that a shell would read
// otherwise is left to who copies it.
func sheetsBy(dir, machine string) string {
	word := func(text, instead string) string {
		if text == "" || text[0] == '-' || strings.ContainsFunc(text, func(r rune) bool {
			return (r < 'a' || r > 'z') && (r < 'A' || r > 'Z') && (r < '0' || r > '9') && !strings.ContainsRune("-_./", r)
		}) {
			return instead
		}
		return text
	}
	return fmt.Sprintf("trammel sheets %s %s --to workshop", word(dir, "FOLDER"), word(machine, "MACHINE"))
}
