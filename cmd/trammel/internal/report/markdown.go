package report

import (
	"fmt"
	"io"
	"slices"
	"sort"
	"strings"
	"time"

	"trammel.example/rules"
	"trammel.example/schema"
)

const (
	// mostMarkdown is how long a report may be, in bytes: a comment on a pull request takes 65,536 characters.
	mostMarkdown = 65_000
	// mostRows of a table or list, longestCell and longestText in characters, however much room there is: the other formats have all.
	mostRows    = 100
	longestCell = 300
	longestText = 3000 // of what is folded: no rule's reasons come near it, since their cautions must not be cut off
)

// Markdown writes a short report in GitHub Flavored Markdown, for a comment on a pull request: the verdict, what fails in a table, and the
// reasons folded below it. Where that is too long, each machine loses folded lines first, then rows; what is left out is counted.
func Markdown(w io.Writer, run Run) error {
	m := markdownOf(run)
	// How full the report is goes from nothing over the machines, then their rows, to all folded lines.
	fullest := len(m.sections) + 2*mostRows
	less := sort.Search(fullest, func(less int) bool { return len(m.write(fullest-less)) <= mostMarkdown })
	_, err := io.WriteString(w, m.write(fullest-less))
	return err
}

// A markdownReport is all that there is to say, in the order in which it is said.
type markdownReport struct {
	head     string
	sections []markdownSection
}

// A markdownSection tells of a machine, or of a spec that can't be judged.
type markdownSection struct {
	head         string
	table        bool
	rows         []string
	folded, gaps []string
	// silent is what nothing is judged of.
	silent []string
}

func markdownOf(run Run) markdownReport {
	var total Counts
	var wrong, bad, good []markdownSection
	for _, s := range inOrder(run.Specs) {
		if len(s.Mistakes) > 0 {
			one := markdownSection{head: fmt.Sprintf("### %s can't be judged\n\n", markdown(s.Dir))}
			for _, m := range s.Mistakes {
				one.rows = append(one.rows, "* "+markdown(m.String())+"\n")
			}
			wrong = append(wrong, one)
		}
		for _, j := range s.Judgements {
			total.add(count(j))
			if one := markdownMachine(run, j); j.Go() {
				good = append(good, one)
			} else {
				bad = append(bad, one)
			}
		}
	}
	r := markdownReport{head: fmt.Sprintf("## %s\n\n", markdown(run.verdict())), sections: slices.Concat(wrong, bad, good)}
	if words := total.inWords(); words != "" {
		r.head += fmt.Sprintf("In all %s. Judged by the day %s.\n\n", words, run.Date.Format(time.DateOnly))
	}
	return r
}

func markdownMachine(run Run, j *rules.Judgement) markdownSection {
	one := markdownSection{head: fmt.Sprintf("### %s: %s\n\n%s.\n\n", verdict(j), markdown(j.Machine.Name), markdown(count(j).inWords())), table: true}
	if room := run.room(j); room != "" {
		one.head += fmt.Sprintf("Room for more pressure: %s\n\n", markdown(room))
	}
	for _, f := range failures(j) {
		one.rows = append(one.rows, fmt.Sprintf("| %s | %s, %s | %s | %s |\n", f.Level, markdown(f.Rule.Title), markdown(subject(f.Subject)),
			markdown(found(f)), markdown(placed(f.At))))
		one.folded = append(one.folded, fmt.Sprintf("* **%s**, %s: %s %s\n", markdown(f.Rule.Title), markdown(subject(f.Subject)), markdownReasons(f.Because), markdownReasons(f.Remedy)))
	}
	for _, g := range gaps(j) {
		var places []string
		for _, at := range g.places {
			places = append(places, placed(at))
		}
		where := ""
		if places := strings.Join(places, ", "); places != "" {
			where = ", " + markdown(places)
		}
		one.gaps = append(one.gaps, fmt.Sprintf("* **%s**: %s (%s)%s\n", markdown(g.who()), markdownReasons(g.why), markdown(strings.Join(g.rules, ", ")), where))
	}
	for _, line := range notFollowed(j) {
		one.silent = append(one.silent, "* "+markdown(line)+"\n")
	}
	return one
}

// write fills the report: up to as many sections as it has, then rows of each, then folded lines of each.
func (r markdownReport) write(full int) string {
	sections := min(full, len(r.sections))
	rows := min(full-sections, mostRows)
	folded := full - sections - rows
	var b strings.Builder
	var all, shown [3]int // sections, rows, folded lines
	for i, s := range r.sections {
		all[0], all[1], all[2] = all[0]+1, all[1]+len(s.rows), all[2]+len(s.folded)+len(s.gaps)+len(s.silent)
		if i >= sections {
			continue
		}
		b.WriteString(s.head)
		shown[0]++
		head := ""
		if s.table {
			head = "| | Finding | Found | Where |\n|---|---|---|---|\n"
		}
		shown[1] += markdownLines(&b, head, s.rows, rows, "\n")
		shown[2] += markdownLines(&b, "<details><summary>Why, and what to do</summary>\n\n", s.folded, folded, "\n</details>\n\n")
		shown[2] += markdownLines(&b, "<details><summary>Not judged for lack of data</summary>\n\n", s.gaps, folded, "\n</details>\n\n")
		shown[2] += markdownLines(&b, "<details><summary>Not followed: what the spec leaves out</summary>\n\n", s.silent, folded, "\n</details>\n\n")
	}
	var left []string
	for i, what := range []string{"machines and specs", "rows", "folded lines"} {
		if shown[i] < all[i] {
			left = append(left, fmt.Sprintf("%d of %d %s", all[i]-shown[i], all[i], what))
		}
	}
	head := r.head
	if len(left) > 0 {
		head += "Left out to fit a comment: " + strings.Join(left, ", ") + ". The other reports have all.\n\n"
	}
	return head + b.String() + markdown(Caution) + "\n"
}

// markdownLines writes at most so many lines between head and foot, and gives the number of them.
func markdownLines(b *strings.Builder, head string, lines []string, most int, foot string) int {
	lines = lines[:min(len(lines), most)]
	if len(lines) > 0 {
		b.WriteString(head + strings.Join(lines, "") + foot)
	}
	return len(lines)
}

// placed is a file with its line, as short as a table wants it.
func placed(at schema.Place) string {
	if at.File == "" {
		return ""
	}
	if at.Line == 0 {
		return at.File
	}
	return fmt.Sprintf("%s:%d", at.File, at.Line)
}

// marks are what Markdown or HTML could read as more than text; as character references they are text everywhere.
var marks = strings.NewReplacer("&", "&amp;", "<", "&lt;", ">", "&gt;", "|", "&#124;", "`", "&#96;", "*", "&#42;", "_", "&#95;", "[", "&#91;", "]", "&#93;",
	"~", "&#126;", "@", "&#64;", "#", "&#35;", "\\", "&#92;", "!", "&#33;", "$", "&#36;", "://", "&#58;//", "www.", "www&#46;")

// markdown makes a text from a spec fit for a line or a cell.
func markdown(s string) string { return markedUp(s, longestCell) }

// markdownReasons makes reasons fit for a line.
func markdownReasons(s string) string { return markedUp(s, longestText) }

func markedUp(s string, most int) string {
	s = Plain(s)
	if runes := []rune(s); len(runes) > most {
		s = string(runes[:most]) + "…"
	}
	return marks.Replace(s)
}
