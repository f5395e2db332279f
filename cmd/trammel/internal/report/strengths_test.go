package report

import (
	"encoding/json"
	"encoding/xml"
	"math"
	"slices"
	"strconv"
	"strings"
	"testing"

	"trammel.example/rules"
)

// A shareOf is how far something is utilised.
type shareOf struct {
	of    string
	share float64
}

// TestStrengths holds the list of the page and the bars of its charts against the values and limits in the JSON report, sorted anew.
func TestStrengths(t *testing.T) {
	looked := 0
	for _, name := range exampleNames(t) {
		run := exampleRun(t, name)
		var report struct {
			Specs []struct {
				Machines []struct {
					Findings []struct {
						Rule, Subject, SubjectKind, Operator string
						Value, Limit                         struct{ SI float64 }
						Utilised                             *float64
					}
				}
			}
		}
		if err := json.Unmarshal([]byte(written(t, JSON, run)), &report); err != nil {
			t.Fatal(err)
		}
		for i, m := range report.Specs[0].Machines {
			var rows []shareOf
			preferring := map[string]bool{}
			for _, f := range run.Specs[0].Judgements[i].Findings {
				preferring[f.Rule.Name] = f.Rule.Prefer != nil
			}
			for _, f := range m.Findings {
				if f.Utilised == nil {
					continue
				}
				share := f.Value.SI / f.Limit.SI
				if f.Operator == string(rules.AtLeast) {
					share = 1 / share
				}
				if !preferring[f.Rule] && math.Abs(max(share, 0)-*f.Utilised) > 1e-9*math.Abs(share) {
					t.Errorf("%s: %s of %s is utilised by %g, and its value and limit say %g", name, f.Rule, f.Subject, *f.Utilised, share)
				}
				rows = append(rows, shareOf{f.SubjectKind + " " + strconv.Quote(f.Subject) + ": " + f.Rule, *f.Utilised})
			}
			j := run.Specs[0].Judgements[i]
			list, _ := strengths(j)
			var drawn []shareOf
			for _, p := range barsOf(list, "m") {
				drawn = append(drawn, bars(t, p.SVG)...)
			}
			long := 0
			for _, r := range rows {
				if r.share >= 0.05 {
					long++
				}
			}
			if len(list) != len(rows) || len(drawn) != max(long, min(9, len(rows))) {
				t.Fatalf("%s: %d bars for %d of %d strengths", name, len(drawn), long, len(rows))
			}
			for k, d := range drawn {
				looked++
				of := strings.TrimSuffix(d.of, "…")
				if k > 0 && d.share > drawn[k-1].share+0.001 {
					t.Errorf("%s: the bar of %s is longer than the one before", name, d.of)
				}
				if !slices.ContainsFunc(rows, func(r shareOf) bool {
					return strings.HasPrefix(r.of, of) && math.Abs(min(r.share, 1.5)-d.share) < 0.0035
				}) {
					t.Errorf("%s: no strength is %s with %g", name, d.of, d.share)
				}
			}
		}
	}
	if looked < 50 {
		t.Errorf("only %d bars were looked at", looked)
	}
}

// bars reads names and lengths, by the line of the limit, from a chart.
func bars(t *testing.T, svg string) (all []shareOf) {
	t.Helper()
	decoder := xml.NewDecoder(strings.NewReader(svg))
	limit, from, name := 0.0, 0.0, false
	value := func(e xml.StartElement, key string) float64 {
		for _, a := range e.Attr {
			if a.Name.Local == key {
				x, _ := strconv.ParseFloat(a.Value, 64)
				return x
			}
		}
		return 0
	}
	for {
		token, err := decoder.Token()
		if err != nil {
			return all
		}
		switch e := token.(type) {
		case xml.StartElement:
			class := ""
			for _, a := range e.Attr {
				if a.Name.Local == "class" {
					class = a.Value
				}
			}
			switch {
			case e.Name.Local == "line" && class == "ring":
				limit = value(e, "x1")
			case e.Name.Local == "rect" && (class == "link" || class == "clash"):
				from = value(e, "x")
				all[len(all)-1].share = value(e, "width") / (limit - from)
				if (class == "clash") != (all[len(all)-1].share > 1.0005) {
					t.Errorf("%s is drawn as %s with %g", all[len(all)-1].of, class, all[len(all)-1].share)
				}
			}
			name = class == "small strong label"
		case xml.CharData:
			switch n := len(all); {
			case name && n > 0 && strings.HasSuffix(all[n-1].of, ":"): // in two lines
				all[n-1].of += " " + string(e)
			case name:
				all = append(all, shareOf{of: string(e)})
			}
			name = false
		}
	}
}

func TestPercent(t *testing.T) {
	for share, want := range map[float64]string{0: "0 %", 1e-5: "under 0.1 %", 0.0093: "0.93 %", 0.594: "59 %", 1: "100 %", 1.234: "123 %", 12: "12 times", math.Inf(1): "no strength at all"} {
		if got := percent(share); got != want {
			t.Errorf("%g is %q, want %q", share, got, want)
		}
	}
}
