package report

import (
	"fmt"
	"io"
	"slices"
	"strings"
	"unicode"
	"unicode/utf16"
	"unicode/utf8"

	"github.com/mattn/go-runewidth"
)

// Plain makes a text from a spec fit to print on one line of a terminal. Whatever could steer the terminal or reorder what is read
// (control characters, escape sequences, bidirectional overrides, marks that can't be seen) is shown by its number, as in \u{1b}.
func Plain(s string) string {
	clean := true
	for _, r := range s {
		if (r < ' ' || r > '~') && (!unicode.IsPrint(r) || r == utf8.RuneError) { // most are ASCII
			clean = false
			break
		}
	}
	if clean {
		return s
	}
	var b strings.Builder
	for len(s) > 0 {
		r, size := utf8.DecodeRuneInString(s)
		switch {
		case r == utf8.RuneError && size == 1:
			fmt.Fprintf(&b, `\x{%x}`, s[0])
		case unicode.Is(unicode.Zs, r):
			b.WriteByte(' ')
		case !unicode.IsPrint(r):
			fmt.Fprintf(&b, `\u{%x}`, r)
		default:
			b.WriteString(s[:size])
		}
		s = s[size:]
	}
	return b.String()
}

// cells measures text in the columns of a terminal. It is set here, and not from the environment, so that the same run gives the same lines.
var cells = &runewidth.Condition{StrictEmojiNeutral: true}

func pad(s string, width int) string {
	return s + strings.Repeat(" ", max(0, width-cells.StringWidth(s)))
}

// wrap breaks text into lines of at most width columns, between words where it can.
func wrap(text string, width int) []string {
	var lines []string
	line, used := "", 0
	for _, word := range words(text) {
		w := cells.StringWidth(word)
		if used > 0 && used+1+w <= width {
			line += " " + word
			used += 1 + w
			continue
		}
		if used > 0 {
			lines = append(lines, line)
		}
		if w > width {
			// A character wider than the line leaves an empty one before it.
			parts := slices.DeleteFunc(strings.Split(cells.Wrap(word, width), "\n"), func(part string) bool { return part == "" })
			lines = append(lines, parts[:len(parts)-1]...)
			word = parts[len(parts)-1]
			w = cells.StringWidth(word)
		}
		line, used = word, w
	}
	if used > 0 || line != "" {
		lines = append(lines, line)
	}
	return lines
}

// words splits text where a line may end: never between a number and its unit.
func words(text string) []string {
	fields := strings.Fields(text)
	kept := fields[:0]
	joined := false
	for _, f := range fields {
		n := len(kept)
		// One unit to a number: a row of numbers is no word.
		joined = n > 0 && !joined && len(f) <= longestUnit && endsInDigit(kept[n-1])
		if joined {
			kept[n-1] += " " + f
			continue
		}
		kept = append(kept, f)
	}
	return kept
}

// longestUnit is that of "m/s²," in bytes; a longer word after a number may go to the next line.
const longestUnit = 7

func endsInDigit(s string) bool { return s != "" && s[len(s)-1] >= '0' && s[len(s)-1] <= '9' }

// unsteered passes JSON on with every character that Plain would not pass written as an escape. It reads the same.
type unsteered struct{ w io.Writer }

func (u unsteered) Write(data []byte) (int, error) {
	done := 0
	for i := 0; i < len(data); {
		if data[i] <= '~' { // nearly all
			i++
			continue
		}
		r, size := utf8.DecodeRune(data[i:])
		// Below the space JSON's own layout is all that the encoder leaves.
		if r >= ' ' && !unicode.IsPrint(r) {
			if _, err := u.w.Write(data[done:i]); err != nil {
				return done, err
			}
			escape := fmt.Sprintf(`\u%04x`, r)
			if hi, lo := utf16.EncodeRune(r); hi != unicode.ReplacementChar {
				escape = fmt.Sprintf(`\u%04x\u%04x`, hi, lo)
			}
			if _, err := io.WriteString(u.w, escape); err != nil {
				return done, err
			}
			done = i + size
		}
		i += size
	}
	if _, err := u.w.Write(data[done:]); err != nil {
		return done, err
	}
	return len(data), nil
}
