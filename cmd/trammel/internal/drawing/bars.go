package drawing

import (
	"fmt"
	"strings"
)

// A Bar is one row of a chart of shares of a limit.
type Bar struct {
	Name, Rule, Says string
	Share            float64 // of the limit; may be infinite
	Percent          string  // the same in words
}

const (
	barsWidth  = 360.0 // px: a phone shows it at its size
	barRow     = 48.0
	barLine    = 13.0 // more where a name takes two lines
	barsTop    = 24.0
	mostRows   = 9  // in one picture, so that it goes on a page
	barName    = 50 // letters
	barSays    = 52
	farthest   = 1.5 // times the limit: where a longer bar is broken off
	barsMargin = 12.0
)

// Bars draws shares of limits as horizontal bars, in the order given, in as many pictures as it takes.
func Bars(id, title string, bars []Bar) []Picture {
	most := 1.0
	for _, b := range bars {
		most = max(most, min(b.Share, farthest))
	}
	long := (barsWidth - 2*barsMargin) / (most * 1.04)
	// The lines that all bars are held against cross these alone: between them are letters.
	return paged(id, title, bars, func(name, heading string, part []Bar) string {
		var says []string
		height := barsTop + 4
		for _, b := range part {
			says = append(says, b.Name+": "+b.Rule+" "+b.Percent)
			height += barRow + barLine*float64(len(b.names())-1)
		}
		p := &pen{}
		p.begin(name, heading, "Bars from the longest down, by the limit: "+strings.Join(says, "; ")+".", barsWidth, height)
		limit := barsMargin + long
		p.text(barsMargin+long/2, barsTop-10, "middle", "small", "50 %")
		p.text(limit, barsTop-10, "end", "small strong", "limit")
		y := barsTop
		for _, b := range part {
			y += barLine * float64(len(b.names())-1)
			p.line("thin faded", barsMargin+long/2, y+13, barsMargin+long/2, y+29)
			p.line("ring", limit, y+12, limit, y+30)
			p.bar(b, barsMargin, y, long)
			y += barRow
		}
		return p.end()
	})
}

// paged draws rows in as many pictures as it takes, and numbers those.
func paged[T any](id, title string, rows []T, draw func(name, heading string, part []T) string) (all []Picture) {
	for from := 0; from < len(rows); from += mostRows {
		part := rows[from:min(from+mostRows, len(rows))]
		name, heading := fmt.Sprintf("%s%d", id, len(all)+1), title
		switch {
		case len(rows) <= mostRows:
		case len(part) == 1:
			heading += fmt.Sprintf(", %d of %d", from+1, len(rows))
		default:
			heading += fmt.Sprintf(", %d to %d of %d", from+1, from+len(part), len(rows))
		}
		all = append(all, Picture{name, heading, draw(name, heading, part)})
	}
	return all
}

// names are what stands over a bar, in two lines where one is too short.
func (b Bar) names() []string {
	if one := b.Name + ": " + b.Rule; len([]rune(one)) <= barName {
		return []string{one}
	}
	return []string{b.Name + ":", b.Rule}
}

// bar draws one row: its name, the bar, and what it comes from. One over the limit has another fill, a thicker rim and a word.
func (p *pen) bar(b Bar, x, y, long float64) {
	percent := b.Percent
	class := "link"
	if b.Share > 1 {
		class, percent = "clash", percent+", over"
	}
	names := b.names()
	for i, name := range names {
		p.text(x, y+10-barLine*float64(len(names)-1-i), "start", "small strong label", short(name, barName))
	}
	p.text(x, y+38, "start", "small label", short(percent+": "+b.Says, barSays))
	w := long * min(b.Share, farthest)
	if w < 1 {
		p.line("bar", x, y+15, x, y+27)
		return
	}
	p.rect(class, x, y+15, w, 12)
	if b.Share > farthest { // broken off
		for _, d := range []float64{10, 16} {
			p.path("pin", false, [2]float64{x + w - d - 3, y + 29}, [2]float64{x + w - d + 3, y + 13})
		}
	}
}
