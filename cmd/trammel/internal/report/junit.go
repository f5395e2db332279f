package report

import (
	"cmp"
	"encoding/xml"
	"fmt"
	"io"

	"trammel.example/rules"
)

// JUnit XML has no standard. These are the elements and attributes, in the order, of the schema that most readers of it go by, that of the
// reports of Apache Ant (JUnit.xsd, copyright Windy Road Technology).
type (
	junitSuites struct {
		XMLName xml.Name     `xml:"testsuites"`
		Suites  []junitSuite `xml:"testsuite"`
	}
	junitSuite struct {
		ID         int         `xml:"id,attr"`
		Package    string      `xml:"package,attr"`
		Name       string      `xml:"name,attr"`
		Tests      int         `xml:"tests,attr"`
		Failures   int         `xml:"failures,attr"`
		Errors     int         `xml:"errors,attr"`
		Skipped    int         `xml:"skipped,attr"`
		Time       string      `xml:"time,attr"`
		Timestamp  string      `xml:"timestamp,attr"`
		Host       string      `xml:"hostname,attr"`
		Properties struct{}    `xml:"properties"`
		Cases      []junitCase `xml:"testcase"`
		Out        string      `xml:"system-out"`
		Err        string      `xml:"system-err"`
	}
	junitCase struct {
		Class   string     `xml:"classname,attr"`
		Name    string     `xml:"name,attr"`
		Time    string     `xml:"time,attr"`
		Skipped *junitText `xml:"skipped"`
		Error   *junitText `xml:"error"`
		Failure *junitText `xml:"failure"`
	}
	junitText struct {
		Message string `xml:"message,attr"`
		Type    string `xml:"type,attr,omitempty"`
		Text    string `xml:",chardata"`
	}
)

// JUnit writes a test suite for each machine, with a case for each rule and subject. Only what makes a machine NO-GO is a failure; warnings
// and notes are passing cases, told of in the suite's output; what is open or conceded is skipped. A mistake in a spec is an error.
func JUnit(w io.Writer, run Run) error {
	stamp := run.Date.Format("2006-01-02T15:04:05")
	var all junitSuites
	begin := func(folder, name string) *junitSuite {
		all.Suites = append(all.Suites, junitSuite{ID: len(all.Suites), Package: Plain(folder), Name: Plain(name), Time: "0", Timestamp: stamp, Host: "localhost"})
		return &all.Suites[len(all.Suites)-1]
	}
	for _, s := range inOrder(run.Specs) {
		if len(s.Mistakes) > 0 {
			suite := begin(s.Dir, s.Dir)
			for _, m := range s.Mistakes {
				suite.add(junitCase{Class: Plain(s.Dir), Name: Plain(cmp.Or(placed(m.At), s.Dir)), Error: &junitText{Message: Plain(m.Text), Type: "mistake", Text: Plain(m.String())}})
			}
		}
		for _, j := range s.Judgements {
			suite := begin(s.Dir, j.Machine.Name)
			for _, f := range sortedFindings(j) {
				if f.Outcome != rules.NotApplicable {
					suite.judged(j, f)
				}
			}
		}
	}
	if _, err := io.WriteString(w, xml.Header); err != nil {
		return err
	}
	e := xml.NewEncoder(w)
	e.Indent("", " ")
	if err := e.Encode(all); err != nil {
		return err
	}
	_, err := io.WriteString(w, "\n")
	return err
}

func (s *junitSuite) add(c junitCase) {
	c.Time = "0"
	s.Cases = append(s.Cases, c)
	s.Tests++
	switch {
	case c.Failure != nil:
		s.Failures++
	case c.Error != nil:
		s.Errors++
	case c.Skipped != nil:
		s.Skipped++
	}
}

func (s *junitSuite) judged(j *rules.Judgement, f *rules.Finding) {
	c := junitCase{Class: Plain(j.Machine.Name + "." + f.Rule.Name), Name: Plain(subject(f.Subject))}
	switch {
	case f.Outcome == rules.Open:
		c.Skipped = &junitText{Message: Plain(f.Why)}
	case f.Outcome == rules.Fail:
		text := Plain(fmt.Sprintf("%s: %s. %s %s (%s)", f.Rule.Title, found(f), f.Because, f.Remedy, placed(f.At)))
		switch {
		case conceded(f):
			c.Skipped = &junitText{Message: Plain(fmt.Sprintf("conceded by %s until %s: %s", f.Concession.By, f.Concession.Until, f.Concession.Reason)), Text: text}
		case f.Level == rules.Error:
			c.Failure = &junitText{Message: Plain(f.Rule.Title + ": " + found(f)), Type: string(f.Level), Text: text}
		default:
			s.Out += fmt.Sprintf("%s: %s: %s\n", f.Level, c.Name, text)
		}
	}
	s.add(c)
}
