package report

import (
	"bytes"
	"cmp"
	_ "embed"
	"encoding/json"
	"io"
	"maps"
	"math"
	"reflect"
	"slices"
	"time"

	"trammel.example/checks"
	"trammel.example/rules"
	"trammel.example/schema"
)

// Schema is the JSON Schema (draft 2020-12) of what JSON writes.
//
//go:embed report.schema.json
var Schema string

// formatVersion is raised in its first number when a reader of the older format could misread the newer one.
const formatVersion = "1.0"

type (
	jsonReport struct {
		Format  string     `json:"format"`
		Version string     `json:"version"`
		Tool    jsonTool   `json:"tool"`
		Date    string     `json:"date"`
		Verdict string     `json:"verdict"`
		Counts  Counts     `json:"counts"`
		Caution string     `json:"caution"`
		Specs   []jsonSpec `json:"specs"` // the last, so that they can be written one by one
	}
	jsonTool struct {
		Name    string `json:"name"`
		Version string `json:"version"`
	}
	jsonSpec struct {
		Folder   string        `json:"folder"`
		Mistakes []jsonMistake `json:"mistakes"`
		Remarks  []jsonRemark  `json:"remarks"`
		Machines []jsonMachine `json:"machines"`
	}
	jsonMistake struct {
		Text  string     `json:"text"`
		Path  string     `json:"path,omitempty"`
		Place *jsonPlace `json:"place,omitempty"`
	}
	jsonRemark struct {
		Text  string     `json:"text"`
		Place *jsonPlace `json:"place,omitempty"`
	}
	jsonPlace struct {
		File   string `json:"file"`
		Line   int    `json:"line,omitempty"`
		Column int    `json:"column,omitempty"`
	}
	jsonMachine struct {
		Name        string           `json:"name"`
		Title       string           `json:"title,omitempty"`
		Place       *jsonPlace       `json:"place,omitempty"`
		Verdict     string           `json:"verdict"`
		Counts      Counts           `json:"counts"`
		Headroom    *jsonHeadroom    `json:"headroom,omitempty"`
		Findings    []jsonFinding    `json:"findings"`
		Subjects    []jsonSubject    `json:"subjects"`
		Assumptions []jsonAssumption `json:"assumptions"`
		Concessions []jsonConcession `json:"concessions"`
		Changed     []jsonChange     `json:"changedRules"`
		Motion      []jsonMotion     `json:"motion"`
		Swept       []jsonSwept      `json:"swept"`
		// Inputs are the values of the spec that numbers came from, by path. Findings and facts name them.
		Inputs map[string]jsonInput `json:"inputs"`
	}
	// Lists of a motion have one value for each pose.
	jsonMotion struct {
		Cylinder  string           `json:"cylinder"`
		Others    string           `json:"others,omitempty"`
		Unknown   string           `json:"unknown,omitempty"`
		Stroke    []number         `json:"stroke"`
		Thrust    []number         `json:"thrust"`
		Points    []jsonPointMove  `json:"points"`
		Links     []jsonLinkMove   `json:"links"`
		Cylinders []jsonRodMove    `json:"cylinders"`
		Pivots    []jsonPivotForce `json:"pivots"`
	}
	jsonPointMove struct {
		Name  string   `json:"name"`
		X     []number `json:"x"`
		Y     []number `json:"y"`
		Ratio []number `json:"ratio"`
	}
	jsonLinkMove struct {
		Name string   `json:"name"`
		Turn []number `json:"turn"`
	}
	jsonRodMove struct {
		Name   string   `json:"name"`
		Length []number `json:"length"`
		Angle  []number `json:"angle"`
	}
	jsonPivotForce struct {
		Point string   `json:"point"`
		Link  string   `json:"link"`
		Force []number `json:"force"`
	}
	jsonSwept struct {
		Part     string        `json:"part"`
		Cylinder string        `json:"cylinder"`
		Others   string        `json:"others,omitempty"`
		Unknown  string        `json:"unknown,omitempty"`
		Rings    [][][2]number `json:"rings"`
	}
	jsonFinding struct {
		Rule        string          `json:"rule"`
		Title       string          `json:"title"`
		SubjectKind string          `json:"subjectKind"`
		Subject     string          `json:"subject"`
		Kind        rules.Outcome   `json:"kind"`
		Level       rules.Level     `json:"level"`
		Measured    string          `json:"measured"`
		Value       *jsonValue      `json:"value,omitempty"`
		Operator    rules.Operator  `json:"operator,omitempty"`
		Limit       *jsonValue      `json:"limit,omitempty"`
		Margin      number          `json:"margin"`
		Utilised    *number         `json:"utilised,omitempty"`
		Worst       string          `json:"worst,omitempty"`
		Because     string          `json:"because,omitempty"`
		Remedy      string          `json:"remedy,omitempty"`
		Missing     string          `json:"missing,omitempty"`
		Source      []jsonSource    `json:"source"`
		Inputs      []string        `json:"inputs"`
		Place       *jsonPlace      `json:"place,omitempty"`
		Concession  *jsonConcession `json:"concession,omitempty"`
	}
	jsonSource struct {
		Standard   string `json:"standard,omitempty"`
		Part       string `json:"part,omitempty"`
		Practice   string `json:"practice,omitempty"`
		FromMemory bool   `json:"fromMemory,omitempty"`
	}
	jsonValue struct {
		Kind      string  `json:"kind"`
		Dimension string  `json:"dimension,omitempty"`
		SI        *number `json:"si,omitempty"`
		Unit      string  `json:"unit,omitempty"`
		Flag      *bool   `json:"flag,omitempty"`
		Text      string  `json:"text"`
	}
	jsonInput struct {
		Written   string     `json:"written"`
		Dimension string     `json:"dimension,omitempty"`
		SI        *number    `json:"si,omitempty"`
		Unit      string     `json:"unit,omitempty"`
		Assumed   string     `json:"assumed,omitempty"`
		Place     *jsonPlace `json:"place,omitempty"`
	}
	jsonSubject struct {
		Kind  string     `json:"kind"`
		Name  string     `json:"name"`
		Place *jsonPlace `json:"place,omitempty"`
		Facts []jsonFact `json:"facts"`
	}
	jsonFact struct {
		Name string `json:"name"`
		jsonValue
		Worst  string   `json:"worst,omitempty"`
		Inputs []string `json:"inputs"`
	}
	jsonAssumption struct {
		Path   string `json:"path"`
		Value  string `json:"value"`
		Source string `json:"source"`
	}
	jsonConcession struct {
		Rule    string                `json:"rule"`
		Of      string                `json:"of"`
		Machine string                `json:"machine,omitempty"`
		State   rules.ConcessionState `json:"state"`
		Reason  string                `json:"reason"`
		By      string                `json:"by"`
		Until   string                `json:"until"`
		Place   *jsonPlace            `json:"place,omitempty"`
	}
	jsonChange struct {
		Rule    string `json:"rule"`
		Change  string `json:"change"`
		Relaxed bool   `json:"relaxed"`
	}
)

// A number is null in JSON where it is none.
type number float64

func (n number) MarshalJSON() ([]byte, error) {
	if math.IsNaN(float64(n)) || math.IsInf(float64(n), 0) {
		return []byte("null"), nil
	}
	return json.Marshal(float64(n))
}

// unitsSI are the SI units of the dimensions, as the Unified Code for Units of Measure (UCUM) writes them.
var unitsSI = map[schema.Dimension]string{
	schema.LengthDim: "m", schema.AreaDim: "m2", schema.PressureDim: "Pa", schema.StressDim: "Pa", schema.ForceDim: "N", schema.TorqueDim: "N.m",
	schema.EnergyDim: "J", schema.MassDim: "kg", schema.AngleDim: "rad", schema.TimeDim: "s", schema.SpeedDim: "m/s",
	schema.RateDim: "N/m", schema.MomentDim: "m4", schema.TemperatureDim: "K", schema.FlowDim: "m3/s", schema.VolumeDim: "m3",
	schema.ConductanceDim: "m3/(s.Pa)", schema.AccelerationDim: "m/s2",
	schema.VoltageDim: "V", schema.CurrentDim: "A", schema.PowerDim: "W", schema.ResistanceDim: "Ohm", schema.NumberDim: "1",
}

// JSON writes the run for other programs, as Schema describes it: each spec on a line of its own. Rules that do not speak of a subject are
// counted and not listed.
func JSON(w io.Writer, run Run) error {
	r := jsonReport{
		Format: "trammel report", Version: formatVersion, Tool: jsonTool{"trammel", run.Version},
		Date: run.Date.Format(time.DateOnly), Verdict: run.verdict(), Caution: Caution, Specs: []jsonSpec{},
	}
	for _, s := range run.Specs {
		for _, j := range s.Judgements {
			r.Counts.add(count(j))
		}
	}
	head, err := json.Marshal(r)
	if err != nil {
		return err
	}
	w = unsteered{w}
	// A thousand machines would need much memory at once.
	if _, err := w.Write(bytes.TrimSuffix(head, []byte("]}"))); err != nil {
		return err
	}
	for i, s := range inOrder(run.Specs) {
		separator := ",\n"
		if i == 0 {
			separator = "\n"
		}
		one, err := json.Marshal(specOf(s, run))
		if err != nil {
			return err
		}
		if _, err := w.Write(append([]byte(separator), one...)); err != nil {
			return err
		}
	}
	_, err = io.WriteString(w, "\n]}\n")
	return err
}

func specOf(s SpecResult, run Run) jsonSpec {
	spec := jsonSpec{Folder: s.Dir, Mistakes: []jsonMistake{}, Remarks: []jsonRemark{}, Machines: []jsonMachine{}}
	for _, m := range s.Mistakes {
		spec.Mistakes = append(spec.Mistakes, jsonMistake{Text: m.Text, Path: m.Path, Place: placeOf(m.At)})
	}
	for _, m := range s.Remarks {
		spec.Remarks = append(spec.Remarks, jsonRemark{Text: m.Text, Place: placeOf(m.At)})
	}
	for _, j := range s.Judgements {
		m := machineOf(j, run.view(j.Machine))
		if plan := run.Plans[j]; plan != nil {
			m.Headroom = headroomOf(plan)
		}
		spec.Machines = append(spec.Machines, m)
	}
	return spec
}

// inOrder sorts specs by folder, and what they hold by name or place.
func inOrder(specs []SpecResult) []SpecResult {
	specs = slices.Clone(specs)
	slices.SortStableFunc(specs, func(a, b SpecResult) int { return cmp.Compare(a.Dir, b.Dir) })
	for i := range specs {
		s := &specs[i]
		s.Judgements = slices.Clone(s.Judgements)
		slices.SortStableFunc(s.Judgements, func(a, b *rules.Judgement) int { return cmp.Compare(a.Machine.Name, b.Machine.Name) })
		s.Mistakes = slices.Clone(s.Mistakes)
		slices.SortStableFunc(s.Mistakes, func(a, b schema.Mistake) int { return cmp.Or(byPlace(a.At, b.At), cmp.Compare(a.Text, b.Text)) })
		s.Remarks = slices.Clone(s.Remarks)
		slices.SortStableFunc(s.Remarks, func(a, b schema.Remark) int { return cmp.Or(byPlace(a.At, b.At), cmp.Compare(a.Text, b.Text)) })
	}
	return specs
}

func machineOf(j *rules.Judgement, v *view) jsonMachine {
	m := jsonMachine{
		Name: j.Machine.Name, Title: j.Machine.Title.Value, Place: placeOf(j.Machine.At), Verdict: verdict(j), Counts: count(j),
		Findings: []jsonFinding{}, Subjects: []jsonSubject{}, Assumptions: []jsonAssumption{}, Concessions: []jsonConcession{}, Changed: []jsonChange{},
		Motion: []jsonMotion{}, Swept: []jsonSwept{}, Inputs: map[string]jsonInput{},
	}
	for _, f := range sortedFindings(j) {
		if f.Outcome != rules.NotApplicable {
			m.Findings = append(m.Findings, findingOf(f, m.Inputs))
		}
	}
	subjects := slices.Clone(j.Subjects)
	slices.SortStableFunc(subjects, func(a, b *checks.Subject) int {
		return cmp.Or(cmp.Compare(a.Kind, b.Kind), cmp.Compare(a.Name, b.Name))
	})
	for _, s := range subjects {
		one := jsonSubject{Kind: s.Kind, Name: s.Name, Place: placeOf(s.At), Facts: []jsonFact{}}
		for _, name := range slices.Sorted(maps.Keys(s.Facts)) {
			f := s.Facts[name]
			one.Facts = append(one.Facts, jsonFact{Name: name, jsonValue: factOf(f), Worst: f.Worst, Inputs: pathsOf(f.From, m.Inputs)})
		}
		m.Subjects = append(m.Subjects, one)
	}
	for _, a := range assumptions(j) {
		m.Assumptions = append(m.Assumptions, jsonAssumption(a))
	}
	for _, c := range j.Concessions {
		m.Concessions = append(m.Concessions, concessionOf(c))
	}
	slices.SortStableFunc(m.Concessions, func(a, b jsonConcession) int { return cmp.Or(cmp.Compare(a.Rule, b.Rule), cmp.Compare(a.Of, b.Of)) })
	for _, r := range j.Changed {
		m.Changed = append(m.Changed, jsonChange{Rule: r.Name, Change: r.Changed, Relaxed: r.Relaxed})
	}
	for _, c := range v.courses() {
		m.Motion = append(m.Motion, motionOf(c))
	}
	for _, w := range v.swept() {
		m.Swept = append(m.Swept, sweptOf(w))
	}
	slices.SortStableFunc(m.Changed, func(a, b jsonChange) int { return cmp.Compare(a.Rule, b.Rule) })
	return m
}

func motionOf(c checks.Course) jsonMotion {
	m := jsonMotion{
		Cylinder: c.Cylinder, Others: c.Others, Unknown: c.Why, Stroke: numbers(c.Stroke), Thrust: numbers(c.Thrust),
		Points: []jsonPointMove{}, Links: []jsonLinkMove{}, Cylinders: []jsonRodMove{}, Pivots: []jsonPivotForce{},
	}
	for _, p := range c.Points {
		m.Points = append(m.Points, jsonPointMove{p.Name, numbers(p.X), numbers(p.Y), numbers(p.Ratio)})
	}
	for _, l := range c.Links {
		m.Links = append(m.Links, jsonLinkMove{l.Name, numbers(l.Turn)})
	}
	for _, y := range c.Cylinders {
		m.Cylinders = append(m.Cylinders, jsonRodMove{y.Name, numbers(y.Length), numbers(y.Angle)})
	}
	for _, p := range c.Pivots {
		m.Pivots = append(m.Pivots, jsonPivotForce{p.Point, p.Link, numbers(p.Force)})
	}
	return m
}

// sweptOf rounds to 10 µm, far less than how closely the boundary follows the part.
func sweptOf(w checks.SweptPart) jsonSwept {
	m := jsonSwept{Part: w.Part, Cylinder: w.Cylinder, Others: w.Others, Unknown: w.Why, Rings: [][][2]number{}}
	round := func(x float64) number { return number(math.Round(x*1e5) / 1e5) }
	for _, ring := range w.Rings {
		points := make([][2]number, len(ring))
		for i, p := range ring {
			points[i] = [2]number{round(p.X), round(p.Y)}
		}
		m.Rings = append(m.Rings, points)
	}
	return m
}

func numbers(list []float64) []number {
	all := make([]number, len(list))
	for i, x := range list {
		all[i] = number(x)
	}
	return all
}

func findingOf(f *rules.Finding, table map[string]jsonInput) jsonFinding {
	one := jsonFinding{
		Rule: f.Rule.Name, Title: f.Rule.Title, SubjectKind: f.Subject.Kind, Subject: f.Subject.Name, Kind: f.Outcome, Level: f.Level,
		Measured: f.Rule.Measure.String(), Margin: number(f.Margin), Worst: f.Worst, Because: f.Because, Remedy: f.Remedy, Missing: f.Why,
		Source: []jsonSource{}, Inputs: pathsOf(f.Inputs, table), Place: placeOf(f.At),
	}
	for _, s := range f.Rule.Source {
		one.Source = append(one.Source, jsonSource(s))
	}
	if f.Outcome == rules.Open {
		one.Margin = number(math.NaN())
	} else {
		value, limit := valueOf(f.Value), valueOf(f.Limit)
		one.Value, one.Operator, one.Limit = &value, f.Op, &limit
	}
	if f.Utilised != nil {
		share := number(f.Utilised.Share)
		one.Utilised = &share
	}
	if f.Concession != nil {
		c := concessionOf(f.Concession)
		one.Concession = &c
	}
	return one
}

func valueOf(v rules.Value) jsonValue {
	return factOf(checks.Fact{Kind: v.Kind, Dim: v.Dim, SI: v.SI, Text: v.Text, Flag: v.Flag})
}

func factOf(f checks.Fact) jsonValue {
	switch f.Kind {
	case checks.Text:
		return jsonValue{Kind: "text", Text: f.Text}
	case checks.Flag:
		return jsonValue{Kind: "flag", Flag: &f.Flag, Text: f.String()}
	case checks.Open:
		return jsonValue{Kind: "open", Text: f.Why}
	}
	si := number(f.SI)
	return jsonValue{Kind: "quantity", Dimension: string(f.Dim), SI: &si, Unit: unitsSI[f.Dim], Text: f.String()}
}

// pathsOf names the inputs, and enters them in the table.
func pathsOf(list []schema.Input, table map[string]jsonInput) []string {
	paths := make([]string, 0, len(list))
	for _, in := range list {
		o := schema.OriginOf(in)
		if slices.Contains(paths, o.Path) {
			continue
		}
		paths = append(paths, o.Path)
		if _, known := table[o.Path]; known {
			continue
		}
		one := jsonInput{Written: in.String(), Assumed: o.Assumed}
		if o.Assumed == "" {
			one.Place = placeOf(o.At)
		}
		if q, ok := quantityOf(in); ok {
			si := number(q.SI)
			one.Dimension, one.SI, one.Unit = string(q.Unit.Dim), &si, unitsSI[q.Unit.Dim]
		}
		table[o.Path] = one
	}
	return paths
}

// quantityOf finds the quantity in an input of whichever dimension: all their types embed it.
func quantityOf(in schema.Input) (schema.Quantity, bool) {
	if q, ok := in.(schema.Quantity); ok {
		return q, true
	}
	v := reflect.ValueOf(in)
	if v.Kind() != reflect.Struct {
		return schema.Quantity{}, false
	}
	field := v.FieldByName("Quantity")
	if !field.IsValid() {
		return schema.Quantity{}, false
	}
	q, ok := field.Interface().(schema.Quantity)
	return q, ok
}

func concessionOf(c *rules.Concession) jsonConcession {
	return jsonConcession{Rule: c.Rule, Of: c.Of, Machine: c.Machine, State: c.State, Reason: c.Reason, By: c.By, Until: c.Until, Place: placeOf(c.At)}
}

func placeOf(p schema.Place) *jsonPlace {
	if p.File == "" {
		return nil
	}
	return &jsonPlace{File: p.File, Line: p.Line, Column: p.Column}
}
