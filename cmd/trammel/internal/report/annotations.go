package report

import (
	"bytes"
	"fmt"
	"io"
	"strings"

	"trammel.example/rules"
	"trammel.example/schema"
)

// Annotations writes what fails, and mistakes, as workflow commands, one on a line: printed by a step, they show beside the lines of a pull
// request.
func Annotations(w io.Writer, run Run) error {
	var b bytes.Buffer
	for _, s := range inOrder(run.Specs) {
		for _, m := range s.Mistakes {
			annotate(&b, rules.Error, m.At, "The spec can't be read", m.Text)
		}
		for _, j := range s.Judgements {
			for _, f := range failures(j) {
				annotate(&b, f.Level, f.At, f.Rule.Title, fmt.Sprintf("%s, %s: %s. %s", j.Machine.Name, subject(f.Subject), against(f), f.Remedy))
			}
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

func annotate(b *bytes.Buffer, level rules.Level, at schema.Place, title, text string) {
	fmt.Fprintf(b, "::%s ", commands[level])
	if at.File != "" {
		fmt.Fprintf(b, "file=%s,line=%d,col=%d,", commandProperty.Replace(Plain(at.File)), at.Line, at.Column)
	}
	fmt.Fprintf(b, "title=%s::%s\n", commandProperty.Replace(Plain(title)), commandText.Replace(Plain(text)))
}
