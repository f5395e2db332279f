package report

import (
	"context"
	"encoding/json"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"

	"trammel.example/cmd/trammel/internal/compare"
	"trammel.example/cmd/trammel/internal/drawing"
	"trammel.example/cmd/trammel/internal/ramp"
	"trammel.example/rules"
)

// browser opens a page in a headless Chromium, without a network.
func browser(t *testing.T, page string) context.Context {
	t.Helper()
	program := ""
	for _, name := range []string{"chromium", "chromium-browser", "google-chrome", "chrome"} {
		if found, err := exec.LookPath(name); err == nil {
			program = found
			break
		}
	}
	if program == "" {
		t.Skip("there is no Chromium here to open a page with (Debian: apt-get install chromium)")
	}
	file := filepath.Join(t.TempDir(), "page.html")
	if err := os.WriteFile(file, []byte(page), 0o600); err != nil {
		t.Fatal(err)
	}
	options := append(chromedp.DefaultExecAllocatorOptions[:], chromedp.ExecPath(program), chromedp.NoSandbox, chromedp.WindowSize(1000, 800))
	allocated, release := chromedp.NewExecAllocator(t.Context(), options...)
	t.Cleanup(release)
	ctx, closeTab := chromedp.NewContext(allocated)
	t.Cleanup(closeTab)
	ctx, cancel := context.WithTimeout(ctx, 2*time.Minute)
	t.Cleanup(cancel)
	if err := chromedp.Run(ctx, chromedp.Navigate("file://"+file)); err != nil {
		t.Fatal(err)
	}
	return ctx
}

// shown is what a person sees of the mechanism, read from the page.
type shown struct {
	Says, Value, Spoken string
	Parts               []string // where each part stands
}

func look(t *testing.T, ctx context.Context, actions ...chromedp.Action) shown {
	t.Helper()
	var text string
	read := `(() => {
		const figure = document.querySelector("[data-motion]"), slider = figure.querySelector("input");
		return JSON.stringify({Says: figure.querySelector("output").textContent, Value: slider.value, Spoken: slider.getAttribute("aria-valuetext"),
			Parts: [...document.querySelectorAll("#m1-live use")].map(u => u.getAttribute("transform"))});
	})()`
	if err := chromedp.Run(ctx, append(actions, chromedp.Evaluate(read, &text))...); err != nil {
		t.Fatal(err)
	}
	var s shown
	if err := json.Unmarshal([]byte(text), &s); err != nil {
		t.Fatal(err)
	}
	return s
}

// TestScrubbing moves the slider of a page by keys, as a person would, and reads the pose: it must be the one that was computed.
func TestScrubbing(t *testing.T) {
	run := exampleRun(t, "tray-lifter")
	m := machineOnPage(run.Specs[0].Judgements[0], run.view(run.Specs[0].Judgements[0].Machine), "m1")
	track := m.Tracks[0]
	ctx := browser(t, written(t, HTML, run))
	const slider = "#m1-pose"
	at := func(got shown, i int) {
		t.Helper()
		if got.Says != track.Says[i] || got.Spoken != track.Says[i] || got.Value != fmt.Sprint(i) {
			t.Errorf("pose %d is shown as %+v, and is %s", i, got, track.Says[i])
		}
		if want := placesOf(track, i); strings.Join(got.Parts, ";") != strings.Join(want, ";") {
			t.Errorf("pose %d shows its parts at %v, want %v", i, got.Parts, want)
		}
	}
	last := len(track.Parts) - 1
	at(look(t, ctx), 0)
	at(look(t, ctx, chromedp.SendKeys(slider, kb.ArrowRight)), 1)
	at(look(t, ctx, chromedp.SendKeys(slider, strings.Repeat(kb.ArrowRight, 6))), 7)
	at(look(t, ctx, chromedp.SendKeys(slider, kb.ArrowLeft)), 6)
	at(look(t, ctx, chromedp.SendKeys(slider, kb.End)), last)
	at(look(t, ctx, chromedp.SendKeys(slider, kb.Home)), 0)

	// The button moves it by itself, and stops.
	moved := `document.querySelector("` + slider + `").value !== "0"`
	held := look(t, ctx, chromedp.Click("[data-motion] button"), chromedp.Poll(moved, nil), chromedp.Click("[data-motion] button"))
	if later := look(t, ctx, chromedp.Sleep(100*time.Millisecond)); later.Value != held.Value {
		t.Errorf("held at pose %s, and %s a moment later", held.Value, later.Value)
	}
	var i int
	if _, err := fmt.Sscan(held.Value, &i); err != nil {
		t.Fatal(err)
	}
	at(held, i)
}

func placesOf(track drawing.Track, i int) (all []string) {
	for _, p := range track.Parts[i] {
		all = append(all, fmt.Sprintf("translate(%v %v) rotate(%v)", p[0], p[1], p[2]))
	}
	return all
}

// TestNarrow opens pages as wide as a phone, and demands that nothing sticks out but what can be scrolled.
func TestNarrow(t *testing.T) {
	long := noGo()
	for _, f := range long.Specs[0].Judgements[0].Findings {
		f.Because, f.Subject.Name, f.At.File = strings.Repeat("W", 300), strings.Repeat("W", 300), strings.Repeat("W", 300)+".cue"
	}
	pages := map[string]string{"draft": written(t, HTML, exampleRun(t, "tray-lifter-draft")), "long words": written(t, HTML, long),
		"strengths": written(t, HTML, exampleRun(t, "dough-clamp")), "screws": written(t, HTML, exampleRun(t, "tray-lifter"))}
	base, head := exampleRun(t, "tray-lifter").Specs[0].Judgements[0], exampleRun(t, "tray-lifter-draft").Specs[0].Judgements[0]
	head.Machine.Name = base.Machine.Name
	var b strings.Builder
	if err := CompareHTML(&b, compare.Of(side(map[string]*rules.Judgement{"a": base}), side(map[string]*rules.Judgement{"a": head}), 0.05)); err != nil {
		t.Fatal(err)
	}
	pages["comparison"] = b.String()
	run, plan := planned(t, "tray-lifter-draft")
	b.Reset()
	if err := RampHTML(&b, []*ramp.Plan{plan}); err != nil {
		t.Fatal(err)
	}
	pages["first air"], pages["headroom"] = b.String(), written(t, HTML, run)
	const width = 390
	for name, page := range pages {
		var wide []string
		err := chromedp.Run(browser(t, page), chromedp.EmulateViewport(width, 844), chromedp.Evaluate(`[...document.querySelectorAll("body *")]
			.filter(e => e.getBoundingClientRect().right > innerWidth && !e.closest(".scroll, svg"))
			.map(e => e.tagName + " " + e.textContent.slice(0, 80))`, &wide))
		if err != nil {
			t.Fatal(err)
		}
		if len(wide) > 0 {
			t.Errorf("%s: wider than %d px: %q", name, width, wide)
		}
	}
}
