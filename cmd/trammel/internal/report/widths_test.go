package report

import (
	"strings"
	"testing"
	"unicode"

	"golang.org/x/text/width"
)

// odd are texts that take other columns than they have characters, or that a reader could be led astray by.
var odd = map[string]string{
	"long":          strings.Repeat("a tray on the bench ", 500),
	"one word":      strings.Repeat("x", 10_000),
	"digits":        strings.Repeat("9", 10_000) + " mm",
	"wide":          strings.Repeat("苗床の蓋を開ける", 1250),
	"wide and not":  strings.Repeat("蓋b", 5000),
	"combining":     strings.Repeat("e\u0301u\u0308", 5000),
	"stacked":       "o" + strings.Repeat("\u0300", 10_000),
	"leading mark":  "\u0301a",
	"pictures":      strings.Repeat("👩\u200d🌾🪴🇦🇹", 500),
	"right to left": strings.Repeat("\u200f\u202eשער \u2067גינה\u2069 12 mm ", 200),
	"controls":      strings.Repeat("\x1b[2J\r\x08\x7f\u0085", 200),
	"breaks":        "a\nGO       tray-lifter\nb\u2028c\u2029d",
	"no text":       "\xff\xfe\x80" + strings.Repeat("\xc3", 300),
	"empty":         "",
	"blank":         "   ",
}

// columns are those of UAX #11, table of golang.org/x/text/width: two for the classes W and F, none for marks.
func columns(line string) int {
	n := 0
	for _, r := range line {
		k := width.LookupRune(r).Kind()
		switch {
		case unicode.In(r, unicode.Mn, unicode.Me):
		case k == width.EastAsianWide || k == width.EastAsianFullwidth:
			n += 2
		default:
			n++
		}
	}
	return n
}

// Whatever a spec's names hold, lines keep the width and nothing of the text is lost.
func TestOddTexts(t *testing.T) {
	squeezed := func(s string) string { return strings.Join(strings.Fields(s), "") }
	for name, said := range odd {
		for _, at := range []int{40, 80} {
			out := written(t, text(TextOptions{Width: at, All: true}), everywhere(said))
			for line := range strings.Lines(out) {
				line = strings.TrimSuffix(line, "\n")
				if n := columns(line); n > at && !strings.HasPrefix(line, "  at ") {
					t.Errorf("%s at %d columns: a line takes %d: %.200q", name, at, n, line)
				}
				if strings.TrimRight(line, " ") != line {
					t.Errorf("%s: blanks end a line: %.200q", name, line)
				}
			}
			if !strings.Contains(squeezed(out), squeezed(Plain(said))) {
				t.Errorf("%s at %d columns: some of the text is lost", name, at)
			}
			for _, r := range out {
				if r != '\n' && !unicode.IsPrint(r) {
					t.Errorf("%s: %U is printed", name, r)
					break
				}
			}
		}
	}
}

// A title as long as a file may be is no reason to wait: what is laid out is counted once. (Seconds would tell, and no test asserts them:
// when this took the square of its length, it took half a minute.)
func TestLongestTitle(t *testing.T) {
	lines := wrap(strings.Repeat("蓋", 300_000), 71)
	if want := (300_000 + 34) / 35; len(lines) != want {
		t.Errorf("%d lines, want %d of 35 characters each", len(lines), want)
	}
}
