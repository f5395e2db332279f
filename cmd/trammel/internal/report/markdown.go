package report

import (
	"bytes"
	"fmt"
	"io"
	"strings"
	"time"

	"trammel.example/rules"
	"trammel.example/schema"
)

const (
	// mostRows of a table, and longestCell: a comment on a pull request takes some 65,000 characters. The other formats have all.
	mostRows    = 40
	longestCell = 300
)

// Markdown writes a short report in GitHub Flavored Markdown, for a comment on a pull request: the verdict, what fails in a table, and the
// reasons folded below it.
func Markdown(w io.Writer, run Run) error {
	var b bytes.Buffer
	var total Counts
	for _, s := range run.Specs {
		for _, j := range s.Judgements {
			total.add(count(j))
		}
	}
	fmt.Fprintf(&b, "## %s\n\n", markdown(run.verdict()))
	if words := total.inWords(); words != "" {
		fmt.Fprintf(&b, "In all %s. Judged by the day %s.\n\n", words, run.Date.Format(time.DateOnly))
	}
	for _, s := range inOrder(run.Specs) {
		markdownMistakes(&b, s)
		for _, j := range s.Judgements {
			markdownMachine(&b, j)
		}
	}
	fmt.Fprintf(&b, "%s\n", markdown(Caution))
	_, err := w.Write(b.Bytes())
	return err
}

func markdownMistakes(b *bytes.Buffer, s SpecResult) {
	if len(s.Mistakes) == 0 {
		return
	}
	fmt.Fprintf(b, "### %s can't be judged\n\n", markdown(s.Dir))
	for i, m := range s.Mistakes {
		if i == mostRows {
			fmt.Fprintf(b, "* and %d more\n", len(s.Mistakes)-i)
			break
		}
		fmt.Fprintf(b, "* %s\n", markdown(m.String()))
	}
	b.WriteByte('\n')
}

func markdownMachine(b *bytes.Buffer, j *rules.Judgement) {
	fmt.Fprintf(b, "### %s: %s\n\n%s.\n\n", verdict(j), markdown(j.Machine.Name), markdown(count(j).inWords()))
	list := failures(j)
	if len(list) > 0 {
		b.WriteString("| | Finding | Found | Where |\n|---|---|---|---|\n")
		for i, f := range list {
			if i == mostRows {
				break
			}
			fmt.Fprintf(b, "| %s | %s, %s | %s | %s |\n", f.Level, markdown(f.Rule.Title), markdown(subject(f.Subject)),
				markdown(against(f)), markdown(placed(f.At)))
		}
		b.WriteString("\n<details><summary>Why, and what to do</summary>\n\n")
		for i, f := range list {
			if i == mostRows {
				fmt.Fprintf(b, "* and %d more, which the other reports hold\n", len(list)-i)
				break
			}
			fmt.Fprintf(b, "* **%s**, %s: %s %s\n", markdown(f.Rule.Title), markdown(subject(f.Subject)), markdown(f.Because), markdown(f.Remedy))
		}
		b.WriteString("\n</details>\n\n")
	}
	if open := gaps(j); len(open) > 0 {
		b.WriteString("<details><summary>Not judged for lack of data</summary>\n\n")
		for i, g := range open {
			if i == mostRows {
				fmt.Fprintf(b, "* and %d more\n", len(open)-i)
				break
			}
			fmt.Fprintf(b, "* %s (%s)\n", markdown(g.why), markdown(strings.Join(g.rules, ", ")))
		}
		b.WriteString("\n</details>\n\n")
	}
}

func placed(at schema.Place) string {
	if at.File == "" {
		return ""
	}
	return fmt.Sprintf("%s:%d", at.File, at.Line)
}

// marks are what Markdown or HTML could read as more than text; as character references they are text everywhere.
var marks = strings.NewReplacer("&", "&amp;", "<", "&lt;", ">", "&gt;", "|", "&#124;", "`", "&#96;", "*", "&#42;", "_", "&#95;", "[", "&#91;", "]", "&#93;",
	"~", "&#126;", "@", "&#64;", "#", "&#35;", "\\", "&#92;", "!", "&#33;", "$", "&#36;", "://", "&#58;//", "www.", "www&#46;")

// markdown makes a text from a spec fit for a line or a cell.
func markdown(s string) string {
	s = Plain(s)
	if runes := []rune(s); len(runes) > longestCell {
		s = string(runes[:longestCell]) + "…"
	}
	return marks.Replace(s)
}
