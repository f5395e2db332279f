package report

import (
	"bytes"
	"fmt"
	"io"
	"slices"
	"strings"

	"trammel.example/rules"
	"trammel.example/schema"
)

// mostAnnotations of a level are written, the last saying how many more there are: a host shows no more than ten of a level from one step
// (GitHub Docs, Workflow commands and annotation limits).
const mostAnnotations = 10

// An annotation is a workflow command to be.
type annotation struct {
	level       rules.Level
	at          schema.Place
	title, text string
}

// Annotations writes mistakes, and what fails, as workflow commands, one on a line and the worst of all machines first: printed by a step,
// they show beside the lines of a pull request.
func Annotations(w io.Writer, run Run) error {
	var all []annotation
	type failed struct {
		*rules.Finding
		machine string
	}
	var list []failed
	for _, s := range inOrder(run.Specs) {
		for _, m := range s.Mistakes {
			all = append(all, annotation{rules.Error, m.At, "The spec can't be read", m.Text})
		}
		for _, j := range s.Judgements {
			for _, f := range failures(j) {
				list = append(list, failed{f, j.Machine.Name})
			}
		}
	}
	slices.SortStableFunc(list, func(a, b failed) int { return worstFirst(a.Finding, b.Finding) })
	for _, f := range list {
		all = append(all, annotation{f.Level, f.At, f.Rule.Title, fmt.Sprintf("%s, %s: %s. %s", f.machine, subject(f.Subject), found(f.Finding), f.Remedy)})
	}
	var b bytes.Buffer
	for _, level := range []rules.Level{rules.Error, rules.Warning, rules.Note} {
		of := slices.DeleteFunc(slices.Clone(all), func(a annotation) bool { return a.level != level })
		if len(of) > mostAnnotations {
			more := len(of) - mostAnnotations + 1
			of = append(of[:mostAnnotations-1], annotation{level: level, title: "And more",
				text: fmt.Sprintf("%d more of level %s are not shown beside their lines. The other reports have all.", more, level)})
		}
		for _, a := range of {
			a.write(&b)
		}
	}
	_, err := w.Write(b.Bytes())
	return err
}

var (
	// commandText and commandProperty escape what would end the text or a property of a workflow command.
	commandText     = strings.NewReplacer("%", "%25", "\r", "%0D", "\n", "%0A")
	commandProperty = strings.NewReplacer("%", "%25", "\r", "%0D", "\n", "%0A", ":", "%3A", ",", "%2C")
	commands        = map[rules.Level]string{rules.Error: "error", rules.Warning: "warning", rules.Note: "notice"}
)

func (a annotation) write(b *bytes.Buffer) {
	fmt.Fprintf(b, "::%s ", commands[a.level])
	if a.at.File != "" {
		fmt.Fprintf(b, "file=%s,", commandProperty.Replace(Plain(a.at.File)))
		if a.at.Line > 0 {
			fmt.Fprintf(b, "line=%d,col=%d,", a.at.Line, a.at.Column)
		}
	}
	fmt.Fprintf(b, "title=%s::%s\n", commandProperty.Replace(Plain(a.title)), commandText.Replace(Plain(a.text)))
}
