package report

import (
	"bytes"
	"encoding/base64"
	"fmt"
	"image"
	"image/png"
	"os/exec"
	"regexp"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"

	"trammel.example/checks"
	"trammel.example/cmd/trammel/internal/drawing"
)

// TestTwoRenderers draws pictures of every kind with Chromium and with librsvg: in the same font they must look alike.
func TestTwoRenderers(t *testing.T) {
	second, err := exec.LookPath("rsvg-convert")
	if err != nil {
		t.Skip("there is no second renderer here (Debian: apt-get install librsvg2-bin)")
	}
	machine := exampleRun(t, "tray-lifter").Specs[0].Judgements[0].Machine
	draft := exampleRun(t, "tray-lifter-draft").Specs[0].Judgements[0].Machine
	pictures := Pictures(machine, "ready")
	for _, section := range sections(draft, "draft") { // with clashes
		pictures = append(pictures, section)
	}
	list, _ := strengths(exampleRun(t, "dough-clamp").Specs[0].Judgements[0])
	pictures = append(pictures, barsOf(list, "strength")...)
	_, plan := planned(t, "tray-lifter")
	pictures = append(pictures, ladderOf(plan, "ladder")...)
	before, now := checks.Courses(machine, overlayPoses), checks.Courses(draft, overlayPoses)
	mechanism := drawing.NewMechanism(machine, "worst", before, nil)
	pictures = append(pictures, mechanism.Worst("worst", 0, 3, []string{"upper"}, []string{"K"}))
	overlay, ok := drawing.Overlay(machine, draft, "overlay", before, now)
	if !ok {
		t.Fatal("there is no overlay of the two")
	}
	pictures = append(pictures, overlay)

	type sheet struct {
		name, svg string
		most      float64 // of it may look different
	}
	var sheets []sheet
	for _, p := range pictures {
		svg := strings.Replace(p.Alone(), "system-ui,", "", 1) // for which each has its own font
		// Both round what is less than a pixel, letters and the dashes of circles most: up to 0.0015 is found.
		sheets = append(sheets, sheet{p.Name, svg, 0.002}, sheet{p.Name + " without letters", texts.ReplaceAllString(svg, ""), 0.001})
	}
	var page strings.Builder
	page.WriteString("<!DOCTYPE html><title>Pictures</title><style>img{display:block}</style>")
	for i, s := range sheets {
		fmt.Fprintf(&page, `<img id="p%d" src="data:image/svg+xml;base64,%s">`, i, base64.StdEncoding.EncodeToString([]byte(s.svg)))
	}
	ctx := browser(t, page.String())
	for i, s := range sheets {
		var shot []byte
		if err := chromedp.Run(ctx, chromedp.Screenshot(fmt.Sprintf("#p%d", i), &shot, chromedp.ByID)); err != nil {
			t.Fatal(err)
		}
		command := exec.Command(second)
		command.Stdin = strings.NewReader(s.svg)
		drawn, err := command.Output()
		if err != nil {
			t.Fatalf("%s: %v", s.name, err)
		}
		one, other := decoded(t, shot), decoded(t, drawn)
		if one.Bounds().Size() != other.Bounds().Size() {
			t.Errorf("%s is %v large by Chromium, and %v by librsvg", s.name, one.Bounds().Size(), other.Bounds().Size())
			continue
		}
		if share := apart(one, other); share > s.most {
			t.Errorf("%s: %.4f of it looks different by Chromium and by librsvg, at most %.4f is allowed", s.name, share, s.most)
		}
	}
}

var texts = regexp.MustCompile(`<text.*?</text>`)

func decoded(t *testing.T, data []byte) image.Image {
	t.Helper()
	p, err := png.Decode(bytes.NewReader(data))
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// apart is the share of two pictures' pixels that the other has nothing like in about the same place.
func apart(a, b image.Image) float64 {
	size := a.Bounds().Size()
	lone := 0
	for _, pair := range [][2]image.Image{{a, b}, {b, a}} {
		for y := range size.Y {
			for x := range size.X {
				if !hasLike(pair[0], pair[1], x, y) {
					lone++
				}
			}
		}
	}
	return float64(lone) / float64(2*size.X*size.Y)
}

// hasLike reports whether the colour of a pixel lies within those of the other picture about its place: edges are rounded differently.
func hasLike(a, b image.Image, x, y int) bool {
	const slack = 0x1600 // a twelfth of all shades
	shades := func(p image.Image, x, y int) [3]uint32 {
		r, g, b, _ := p.At(x, y).RGBA()
		return [3]uint32{r, g, b}
	}
	low, high := shades(b, x, y), shades(b, x, y)
	at := shades(a, x, y)
	if at == low {
		return true
	}
	within := b.Bounds()
	for dy := -1; dy <= 1; dy++ {
		for dx := -1; dx <= 1; dx++ {
			if !image.Pt(x+dx, y+dy).In(within) {
				continue
			}
			for i, v := range shades(b, x+dx, y+dy) {
				low[i], high[i] = min(low[i], v), max(high[i], v)
			}
		}
	}
	for i, v := range at {
		if v+slack < low[i] || v > high[i]+slack {
			return false
		}
	}
	return true
}
