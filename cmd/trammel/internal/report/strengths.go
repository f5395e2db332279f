package report

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"trammel.example/checks"
	"trammel.example/cmd/trammel/internal/drawing"
	"trammel.example/rules"
)

// strengths are the findings that tell how far a part is utilised, the most utilised first, and how many more can't be judged.
func strengths(j *rules.Judgement) (list []*rules.Finding, open int) {
	for _, f := range j.Findings {
		switch {
		case f.Utilised != nil:
			list = append(list, f)
		case f.Rule.Strength && f.Outcome == rules.Open:
			open++
		}
	}
	slices.SortStableFunc(list, func(a, b *rules.Finding) int {
		return cmp.Or(byShare(b.Utilised.Share, a.Utilised.Share), bySubject(a, b))
	})
	return list, open
}

// percent is a share of a strength.
func percent(share float64) string {
	switch {
	case math.IsInf(share, 1):
		return "no strength at all"
	case share >= 10:
		return digits(share) + " times"
	case share > 0 && share < 0.001:
		return "under 0.1 %"
	case share == 0:
		return "0 %"
	}
	return digits(share*100) + " %"
}

// ofStrength is the load with the strength that it is held against.
func ofStrength(u *rules.Utilised) string { return u.Load.String() + " of " + u.Strength.String() }

// unranked says that strengths are missing from the list.
func unranked(open int) string {
	switch open {
	case 0:
		return ""
	case 1:
		return "One more can't be judged, since something is missing."
	}
	return fmt.Sprintf("%d more can't be judged, since something is missing.", open)
}

const strengthsTitle = "What breaks first"

// Bars shorter than leastBar say no more than that they are short: they are drawn only up to fewBars.
const (
	leastBar = 0.05
	fewBars  = 9
)

// barsOf are the charts of the list, as far as it is worth drawing.
func barsOf(list []*rules.Finding, id string) []drawing.Picture {
	n := len(list)
	for n > fewBars && list[n-1].Utilised.Share < leastBar {
		n--
	}
	list = list[:n]
	bars := make([]drawing.Bar, len(list))
	for i, f := range list {
		bars[i] = drawing.Bar{Name: Plain(subject(f.Subject)), Rule: Plain(f.Rule.Name), Says: ofStrength(f.Utilised), Share: f.Utilised.Share, Percent: percent(f.Utilised.Share)}
	}
	return drawing.Bars(id, strengthsTitle, bars)
}

const (
	notFollowedTitle = "Not followed"
	notFollowedWhat  = "what the spec leaves out, so that nothing is judged by it"
)

// notFollowed is a line for each kind of thing that nothing is judged of, since the spec leaves something out.
func notFollowed(j *rules.Judgement) []string {
	var lines []string
	for _, u := range checks.NotFollowed(j.Machine) {
		lines = append(lines, strings.ToUpper(u.What[:1])+u.What[1:]+" "+strings.Join(u.Of, ", ")+": add "+u.Add+".")
	}
	return lines
}
