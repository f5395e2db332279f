package report

import (
	"io"
	"strings"
	"sync"
	"testing"
)

var everyFormat = map[string]func(io.Writer, Run) error{
	"annotations": Annotations, "html": HTML, "json": JSON, "junit": JUnit, "markdown": Markdown, "sarif": SARIF,
}

// TestFormatsAtOnce demands that formats written at once from what they share are those written one by one.
func TestFormatsAtOnce(t *testing.T) {
	run := exampleRun(t, "tray-lifter-draft")
	sharing := run.Sharing()
	texts := map[string]*strings.Builder{}
	for name := range everyFormat {
		texts[name] = &strings.Builder{}
	}
	var all sync.WaitGroup
	for name, write := range everyFormat {
		all.Go(func() {
			if err := write(texts[name], sharing); err != nil {
				t.Error(err)
			}
		})
	}
	all.Wait()
	for name, write := range everyFormat {
		if got := texts[name].String(); got == "" || got != written(t, write, run) {
			t.Errorf("%s differs when it is written beside the others", name)
		}
	}
}

// BenchmarkFormats writes each report of the flagship by itself.
func BenchmarkFormats(b *testing.B) {
	run := exampleRun(b, "tray-lifter")
	for name, write := range everyFormat {
		b.Run(name, func(b *testing.B) {
			for b.Loop() {
				if err := write(io.Discard, run); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
