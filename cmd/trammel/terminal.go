package main

import (
	"io"
	"os"

	"golang.org/x/term"
)

// plainWidth is the width of reports that go to a file or a pipe.
const plainWidth = 80

func isTerminal(w io.Writer) bool {
	f, ok := w.(*os.File)
	return ok && term.IsTerminal(int(f.Fd()))
}

// textWidth is that of the terminal, within what reads well.
func textWidth(w io.Writer) int {
	if f, ok := w.(*os.File); ok && isTerminal(w) {
		if width, _, err := term.GetSize(int(f.Fd())); err == nil && width > 0 {
			return max(40, min(width, 120))
		}
	}
	return plainWidth
}
