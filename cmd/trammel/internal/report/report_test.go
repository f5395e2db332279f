package report

import (
	"bytes"
	"encoding/json"
	"errors"
	"flag"
	"io"
	"math"
	"math/rand"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"unicode"

	"github.com/google/go-cmp/cmp"

	"trammel.example/checks"
	"trammel.example/rules"
	"trammel.example/schema"
)

var update = flag.Bool("update", false, "write the goldens anew")

func text(o TextOptions) func(io.Writer, Run) error {
	return func(w io.Writer, r Run) error { return Text(w, r, o) }
}

func written(t *testing.T, write func(io.Writer, Run) error, run Run) string {
	t.Helper()
	var b bytes.Buffer
	if err := write(&b, run); err != nil {
		t.Fatal(err)
	}
	return b.String()
}

func golden(t *testing.T, name, got string) {
	t.Helper()
	file := filepath.Join("testdata", name)
	if *update {
		if err := os.WriteFile(file, []byte(got), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff(string(want), got); diff != "" {
		t.Errorf("%s (-want +got), `go test -update` writes it anew:\n%s", file, diff)
	}
}

func indented(t *testing.T, data string) string {
	t.Helper()
	var b bytes.Buffer
	if err := json.Indent(&b, []byte(data), "", "\t"); err != nil {
		t.Fatal(err)
	}
	return b.String()
}

func TestGoldens(t *testing.T) {
	for _, c := range cases {
		golden(t, c.name+".txt", written(t, text(TextOptions{}), c.run()))
		golden(t, c.name+".json", indented(t, written(t, JSON, c.run())))
		golden(t, c.name+".sarif", indented(t, written(t, SARIF, c.run())))
	}
	golden(t, "go-all.txt", written(t, text(TextOptions{All: true}), allHold()))
	golden(t, "no-go-narrow.txt", written(t, text(TextOptions{Width: 44}), noGo()))
}

var writers = []struct {
	name  string
	write func(io.Writer, Run) error
}{
	{"text", text(TextOptions{})}, {"all", text(TextOptions{All: true})}, {"json", JSON}, {"sarif", SARIF},
}

// Nothing that a spec says may steer a terminal, in any format.
func TestNothingSteersTheTerminal(t *testing.T) {
	for _, c := range hostileCases {
		for _, w := range writers {
			out := written(t, w.write, c.run())
			for i, r := range out {
				if r != '\n' && !unicode.IsPrint(r) {
					t.Errorf("%s %s: %U at byte %d: …%q", c.name, w.name, r, i, out[max(0, i-30):i])
					break
				}
			}
		}
	}
	// A forged line would begin with a verdict.
	for _, w := range writers[:2] {
		if strings.Contains(written(t, w.write, hostileEverywhere()), "\nGO") {
			t.Errorf("%s: a spec forged a line", w.name)
		}
	}
}

// What JSON carries is the text itself, escaped only in the writing.
func TestJSONKeepsText(t *testing.T) {
	var got struct {
		Specs []struct{ Machines []struct{ Name string } }
	}
	if err := json.Unmarshal([]byte(written(t, JSON, hostileEverywhere())), &got); err != nil {
		t.Fatal(err)
	}
	if name := got.Specs[0].Machines[0].Name; name != hostile {
		t.Errorf("name reads back as %q, want %q", name, hostile)
	}
}

func TestPlain(t *testing.T) {
	for _, c := range []struct{ in, want string }{
		{"M6 × 16 mm, größer 長い", "M6 × 16 mm, größer 長い"},
		{"\x1b]0;t\x07", `\u{1b}]0;t\u{7}`},
		{"a\r\nb\tc", `a\u{d}\u{a}b\u{9}c`},
		{"\u009b31m", `\u{9b}31m`},                             // CSI as one character, ECMA-48
		{"\u202eabc\u2066", `\u{202e}abc\u{2066}`},             // bidirectional controls, Unicode UAX #9
		{"a\u200bb\ufeff", `a\u{200b}b\u{feff}`},               // invisible
		{"\U000e0041", `\u{e0041}`},                            // tag character, beyond the first plane
		{"1\u00a0mm\u2028", `1 mm\u{2028}`},                    // a space that does not break is a space
		{"\xff\xfe", `\x{ff}\x{fe}`},                           // no UTF-8
		{"\ufffd", "\ufffd"},                                   // the replacement character itself
		{"e\u0301", "e\u0301"}, {"", ""}, {`\u{1b}`, `\u{1b}`}, // a combining accent is part of a name
	} {
		if got := Plain(c.in); got != c.want {
			t.Errorf("Plain(%q) = %q, want %q", c.in, got, c.want)
		}
	}
}

// Lines keep the width, measured in cells, save those with a place alone.
func TestWidth(t *testing.T) {
	for _, width := range []int{40, 57, 80, 120} {
		for _, c := range cases {
			out := written(t, text(TextOptions{Width: width, All: true}), c.run())
			for _, line := range strings.Split(out, "\n") {
				if w := cells.StringWidth(line); w > width && !strings.HasPrefix(line, "  at ") {
					t.Errorf("%s at %d columns: a line takes %d: %s", c.name, width, w, line)
				}
			}
		}
	}
	// 長 takes two cells (Unicode UAX #11, class W).
	if diff := cmp.Diff([]string{"長長", "長a", "b"}, wrap("長長長a b", 4)); diff != "" {
		t.Error(diff)
	}
	if diff := cmp.Diff([]string{"about", "12 mm"}, wrap("about 12 mm", 8)); diff != "" {
		t.Errorf("a number is parted from its unit: %s", diff)
	}
	if diff := cmp.Diff([]string{"長", "長"}, wrap("長長", 1)); diff != "" {
		t.Errorf("a character wider than the line: %s", diff)
	}
}

// Colour adds SGR sequences (ECMA-48, 8.3.117) and nothing else.
func TestColour(t *testing.T) {
	for _, c := range cases {
		plain := written(t, text(TextOptions{All: true}), c.run())
		colour := written(t, text(TextOptions{All: true, Colour: true}), c.run())
		if len(c.run().Specs) > 0 && !strings.Contains(colour, "\x1b[1;3") {
			t.Errorf("%s has no colour", c.name)
		}
		var stripped strings.Builder
		for i, part := range strings.Split(colour, "\x1b[") {
			if i > 0 {
				code, rest, _ := strings.Cut(part, "m")
				if strings.Trim(code, "0123456789;") != "" {
					t.Errorf("%s: %q is no SGR sequence", c.name, code)
				}
				part = rest
			}
			stripped.WriteString(part)
		}
		if diff := cmp.Diff(plain, stripped.String()); diff != "" {
			t.Errorf("%s: colour changes the text:\n%s", c.name, diff)
		}
	}
}

func TestWorstFirst(t *testing.T) {
	out := written(t, text(TextOptions{}), noGo())
	last := -1
	for _, title := range []string{gapRule.Title, "The threads differ", pressure.Title, engagement.Title, "It pushes too weakly", "It gets too hot", idle.Title, "OPEN", "CHANGED", "ASSUMED", "REMARK", "Keep people away"} {
		i := strings.Index(out, title)
		if i <= last {
			t.Errorf("%q stands at %d, before or at %d", title, i, last)
		}
		last = i
	}
	if strings.Contains(out, "rule thread-strips") {
		t.Error("a rule that does not speak of a subject is shown")
	}
	if n := strings.Count(out, "the screw's torque is not given"); n != 1 {
		t.Errorf("one reason that keeps two rules from judging a subject is said %d times", n)
	}
}

// The order in which findings and subjects were made must not show.
func TestSameBytes(t *testing.T) {
	for _, c := range cases {
		for _, w := range writers {
			if w.name == "all" { // in the order of the machine
				continue
			}
			want := written(t, w.write, c.run())
			for seed := range int64(5) {
				r := c.run()
				random := rand.New(rand.NewSource(seed))
				for _, s := range r.Specs {
					for _, j := range s.Judgements {
						random.Shuffle(len(j.Findings), func(a, b int) { j.Findings[a], j.Findings[b] = j.Findings[b], j.Findings[a] })
						random.Shuffle(len(j.Subjects), func(a, b int) { j.Subjects[a], j.Subjects[b] = j.Subjects[b], j.Subjects[a] })
						random.Shuffle(len(j.Machine.Assumptions), func(a, b int) {
							l := j.Machine.Assumptions
							l[a], l[b] = l[b], l[a]
						})
					}
				}
				if diff := cmp.Diff(want, written(t, w.write, r)); diff != "" {
					t.Fatalf("%s %s with seed %d:\n%s", c.name, w.name, seed, diff)
				}
			}
		}
	}
}

// A builder must never read that a machine is without danger, and always reads whose word comes first.
func TestCaution(t *testing.T) {
	shipped, err := rules.Shipped()
	if err != nil {
		t.Fatal(err)
	}
	for _, w := range writers {
		for _, c := range cases {
			out := written(t, w.write, c.run())
			if strings.Contains(strings.ToLower(out), "safe") {
				t.Errorf("%s %s: says \"safe\"", c.name, w.name)
			}
			for _, part := range []string{"Local codes", "licensed practice", "Keep people away at first air"} {
				if !strings.Contains(strings.Join(strings.Fields(out), " "), part) {
					t.Errorf("%s %s lacks the caution %q", c.name, w.name, part)
				}
			}
		}
	}
	for _, r := range shipped {
		help := helpOf(r)
		if strings.Contains(strings.ToLower(help.Text+r.Title), "safe") {
			t.Errorf("rule %s says \"safe\"", r.Name)
		}
		if !strings.Contains(help.Text, Caution) {
			t.Errorf("rule %s is explained without the caution", r.Name)
		}
	}
	if strings.Contains(strings.ToLower(Schema), "safe") {
		t.Error("the JSON Schema says \"safe\"")
	}
}

func TestAgainst(t *testing.T) {
	s := &checks.Subject{}
	least := &rules.Rule{Limit: rules.Limit{Op: rules.AtLeast}, Level: rules.Error}
	most := &rules.Rule{Limit: rules.Limit{Op: rules.AtMost}, Level: rules.Error}
	mm := func(x float64) rules.Value { return si(schema.LengthDim, x/1000) }
	one := func(x float64) rules.Value { return si(schema.NumberDim, x) }
	for _, c := range []struct {
		rule     *rules.Rule
		v, limit rules.Value
		want     string
	}{
		{least, mm(9.1), mm(12.3), "9.1 mm, at least 12.3 mm wanted (26 % short)"},
		{least, mm(12.3), mm(9.1), "12.3 mm, at least 9.1 mm wanted (35 % to spare)"},
		{least, mm(-0.2), mm(0), "-0.2 mm, at least 0 mm wanted (0.2 mm short)"},
		{least, mm(-1.95), mm(0.5), "-1.95 mm, at least 0.5 mm wanted (2.45 mm short)"},
		{least, mm(12.2999), mm(12.3), "12.3 mm, at least 12.3 mm wanted (less than 0.01 % short)"},
		{least, mm(12.29), mm(12.3), "12.29 mm, at least 12.3 mm wanted (0.081 % short)"},
		{least, mm(5), mm(5), "5 mm, at least 5 mm wanted (nothing to spare)"},
		{most, one(0.62), one(0.5), "0.62, at most 0.5 wanted (24 % over)"},
		{most, one(1.53), one(0.05), "1.53, at most 0.05 wanted (31 times the limit)"},
		{most, one(2), one(0), "2, none wanted"},
		{most, one(-2), one(0), "-2, at most 0 wanted (2 to spare)"},
		{most, one(-1), one(-3), "-1, at most -3 wanted (2 over)"},
		{most, si(schema.TemperatureDim, 353.15), si(schema.TemperatureDim, 343.15), "80 °C, at most 70 °C wanted (10 K over)"},
		{most, one(math.Inf(1)), one(1), "+Inf, at most 1 wanted"},
	} {
		if got := against(finding(c.rule, s, c.v, c.limit)); got != c.want {
			t.Errorf("got  %s\nwant %s", got, c.want)
		}
	}
	better := finding(most, s, one(0.62), one(0.5))
	better.Level = rules.Warning
	if got := against(better); got != "0.62, at most 0.5 preferred (24 % over)" {
		t.Errorf("got %s for a limit that is only preferred", got)
	}
}

func TestManyInputs(t *testing.T) {
	r := noGo()
	f := r.Specs[0].Judgements[0].Findings[0]
	f.Inputs = nil
	for i := range 9 {
		f.Inputs = append(f.Inputs, length("points.P"+string(rune('0'+i)), "mm", float64(i), place("a.cue", i+1, 1)))
	}
	out := written(t, text(TextOptions{}), r)
	if !strings.Contains(out, "points.P5 = 5 mm") || strings.Contains(out, "points.P6 ") || !strings.Contains(out, "and 3 more (--all lists them)") {
		t.Errorf("nine inputs are listed as:\n%s", out)
	}
	if out := written(t, text(TextOptions{All: true}), r); !strings.Contains(out, "points.P8 = 8 mm") {
		t.Error("with All an input is left out")
	}
}

type failing struct{}

var errDisk = errors.New("disk full")

func (failing) Write([]byte) (int, error) { return 0, errDisk }

func TestWriteErrors(t *testing.T) {
	for _, w := range writers {
		if err := w.write(failing{}, noGo()); !errors.Is(err, errDisk) {
			t.Errorf("%s: error %v, want %v", w.name, err, errDisk)
		}
	}
}

// manyMachines is a repository of a hundred machines.
func manyMachines() Run {
	r := noGo()
	for range 99 {
		r.Specs = append(r.Specs, noGo().Specs...)
	}
	return r
}

func BenchmarkWrite(b *testing.B) {
	run := manyMachines()
	for _, w := range writers {
		b.Run(w.name, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				if err := w.write(io.Discard, run); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
