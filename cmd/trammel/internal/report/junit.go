package report

import (
	"cmp"
	"encoding/xml"
	"fmt"
	"io"

	"trammel.example/rules"
)

// JUnit XML has no standard; these are the elements and attributes that readers of it have in common.
type (
	junitSuites struct {
		XMLName  xml.Name     `xml:"testsuites"`
		Tests    int          `xml:"tests,attr"`
		Failures int          `xml:"failures,attr"`
		Errors   int          `xml:"errors,attr"`
		Suites   []junitSuite `xml:"testsuite"`
	}
	junitSuite struct {
		Name      string      `xml:"name,attr"`
		Tests     int         `xml:"tests,attr"`
		Failures  int         `xml:"failures,attr"`
		Errors    int         `xml:"errors,attr"`
		Skipped   int         `xml:"skipped,attr"`
		Time      string      `xml:"time,attr"`
		Timestamp string      `xml:"timestamp,attr"`
		Cases     []junitCase `xml:"testcase"`
	}
	junitCase struct {
		Class   string       `xml:"classname,attr"`
		Name    string       `xml:"name,attr"`
		Time    string       `xml:"time,attr"`
		Skipped *junitText   `xml:"skipped"`
		Error   *junitText   `xml:"error"`
		Failure *junitText   `xml:"failure"`
		Out     *junitOutput `xml:"system-out"`
	}
	junitText struct {
		Message string `xml:"message,attr"`
		Type    string `xml:"type,attr,omitempty"`
		Text    string `xml:",chardata"`
	}
	junitOutput struct {
		Text string `xml:",chardata"`
	}
)

// JUnit writes a test suite for each machine, with a case for each rule and subject. Only what makes a machine NO-GO is a failure; warnings
// and notes are passing cases with output; what is open or conceded is skipped. A mistake in a spec is an error.
func JUnit(w io.Writer, run Run) error {
	stamp := run.Date.Format("2006-01-02T15:04:05")
	var all junitSuites
	for _, s := range inOrder(run.Specs) {
		if len(s.Mistakes) > 0 {
			suite := junitSuite{Name: Plain(s.Dir), Time: "0", Timestamp: stamp}
			for _, m := range s.Mistakes {
				suite.add(junitCase{Class: Plain(s.Dir), Name: Plain(cmp.Or(placed(m.At), s.Dir)), Error: &junitText{Message: Plain(m.Text), Type: "mistake", Text: Plain(m.String())}})
			}
			all.Suites = append(all.Suites, suite)
		}
		for _, j := range s.Judgements {
			suite := junitSuite{Name: Plain(j.Machine.Name), Time: "0", Timestamp: stamp}
			for _, f := range sortedFindings(j) {
				if f.Outcome != rules.NotApplicable {
					suite.add(caseOf(j, f))
				}
			}
			all.Suites = append(all.Suites, suite)
		}
	}
	for _, s := range all.Suites {
		all.Tests, all.Failures, all.Errors = all.Tests+s.Tests, all.Failures+s.Failures, all.Errors+s.Errors
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

func caseOf(j *rules.Judgement, f *rules.Finding) junitCase {
	c := junitCase{Class: Plain(j.Machine.Name + "." + f.Rule.Name), Name: Plain(subject(f.Subject))}
	switch {
	case f.Outcome == rules.Open:
		c.Skipped = &junitText{Message: Plain(f.Why)}
	case f.Outcome == rules.Fail:
		text := Plain(fmt.Sprintf("%s: %s. %s %s (%s)", f.Rule.Title, against(f), f.Because, f.Remedy, placed(f.At)))
		switch {
		case conceded(f):
			c.Skipped = &junitText{Message: Plain(fmt.Sprintf("conceded by %s until %s: %s", f.Concession.By, f.Concession.Until, f.Concession.Reason))}
			c.Out = &junitOutput{text}
		case f.Level == rules.Error:
			c.Failure = &junitText{Message: Plain(f.Rule.Title + ": " + against(f)), Type: string(f.Level), Text: text}
		default:
			c.Out = &junitOutput{string(f.Level) + ": " + text}
		}
	}
	return c
}
