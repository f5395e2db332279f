package report

import (
	"fmt"
	"io/fs"
	"os"
	"slices"
	"strconv"
	"strings"
	"testing"
	"unicode"

	"golang.org/x/net/html"

	"trammel.example/checks"
	"trammel.example/rules"
	"trammel.example/schema"
	"trammel.example/schema/standards"
)

// exampleRun judges one example.
func exampleRun(t testing.TB, name string) Run {
	t.Helper()
	loader := schema.NewLoader("../../../..", map[string]fs.FS{
		"schema": schema.Files, "schema/standards": standards.Files, "facts": checks.Files, "rules": rules.Files,
	})
	spec, err := loader.Load("examples/" + name)
	if err != nil {
		t.Fatal(err)
	}
	set, faults, err := rules.ForSpec(spec)
	if err != nil || len(faults) > 0 {
		t.Fatal(err, faults)
	}
	r := SpecResult{Dir: "examples/" + name, Remarks: spec.Remarks}
	for _, m := range spec.Machines {
		r.Judgements = append(r.Judgements, rules.Judge(set, m, checks.Examine(m), day))
	}
	return Run{Version: "v0.1.0", Date: day, Specs: []SpecResult{r}}
}

func exampleNames(t testing.TB) []string {
	t.Helper()
	folders, err := os.ReadDir("../../../../examples")
	if err != nil {
		t.Fatal(err)
	}
	var names []string
	for _, f := range folders {
		names = append(names, f.Name())
	}
	return names
}

// void are the elements of HTML that have no end tag (HTML Standard, 13.1.2); in SVG each tag says so itself.
var void = []string{"meta", "wbr", "input", "br", "img", "link", "hr"}

// nested demands that every tag is closed by its own, and gives the elements in order.
func nested(t *testing.T, page string) []html.Token {
	t.Helper()
	var open []string
	var all []html.Token
	z := html.NewTokenizer(strings.NewReader(page))
	for {
		switch z.Next() {
		case html.ErrorToken:
			if len(open) > 0 {
				t.Errorf("%v are not closed", open)
			}
			return all
		case html.StartTagToken:
			token := z.Token()
			all = append(all, token)
			if !slices.Contains(void, token.Data) {
				open = append(open, token.Data)
			}
		case html.SelfClosingTagToken:
			all = append(all, z.Token())
		case html.EndTagToken:
			name, _ := z.TagName()
			if len(open) == 0 || open[len(open)-1] != string(name) {
				t.Fatalf("</%s> where %v are open", name, open)
			}
			open = open[:len(open)-1]
		}
	}
}

func attribute(token html.Token, name string) string {
	for _, a := range token.Attr {
		if a.Key == name {
			return a.Val
		}
	}
	return ""
}

// reader is what a person reads of a page: its text, without scripts and styles.
func reader(t *testing.T, page string) string {
	t.Helper()
	root, err := html.Parse(strings.NewReader(page))
	if err != nil {
		t.Fatal(err)
	}
	var b strings.Builder
	for n := range root.Descendants() {
		if n.Type == html.TextNode && n.Parent.Data != "script" && n.Parent.Data != "style" {
			b.WriteString(n.Data)
		}
	}
	return b.String()
}

// TestPageIsWhole demands of every page that its tags nest, its ids differ, what refers to an id finds it, headings leave out no level,
// every table has a caption and every field a label, and that it needs nothing from elsewhere.
func TestPageIsWhole(t *testing.T) {
	pages := map[string]string{}
	for _, c := range hostileCases {
		pages[c.name] = written(t, HTML, c.run())
	}
	for _, name := range exampleNames(t) {
		pages["example "+name] = written(t, HTML, exampleRun(t, name))
	}
	for name, page := range pages {
		tokens := nested(t, page)
		ids, labelled := map[string]bool{}, map[string]bool{}
		level, captions, tables, mains := 0, 0, 0, 0
		for _, token := range tokens {
			if id := attribute(token, "id"); id != "" {
				if ids[id] {
					t.Errorf("%s: the id %s is there twice", name, id)
				}
				ids[id] = true
			}
			switch token.Data {
			case "h1", "h2", "h3", "h4":
				at := int(token.Data[1] - '0')
				if at > level+1 {
					t.Errorf("%s: h%d follows h%d", name, at, level)
				}
				level = at
			case "table":
				tables++
			case "caption":
				captions++
			case "main":
				mains++
			case "label":
				labelled[attribute(token, "for")] = true
			case "img", "link", "iframe", "object", "embed", "base", "form":
				t.Errorf("%s: there is a <%s>", name, token.Data)
			}
			for _, a := range token.Attr {
				if strings.HasPrefix(a.Key, "on") || a.Key == "src" || strings.Contains(a.Val, "://") && a.Key != "xmlns" {
					t.Errorf("%s: <%s> has %s=%q", name, token.Data, a.Key, a.Val)
				}
			}
		}
		if captions != tables || mains != 1 {
			t.Errorf("%s: %d captions of %d tables, %d mains", name, captions, tables, mains)
		}
		for _, token := range tokens {
			for _, key := range []string{"aria-labelledby", "for", "href"} {
				for _, id := range strings.Fields(attribute(token, key)) {
					if key == "href" && !strings.HasPrefix(id, "#") || !ids[strings.TrimPrefix(id, "#")] {
						t.Errorf("%s: <%s> refers to %s", name, token.Data, id)
					}
				}
			}
			if (token.Data == "input" || token.Data == "select") && !labelled[attribute(token, "id")] {
				t.Errorf("%s: nothing says what %s is for", name, attribute(token, "id"))
			}
		}
	}
}

// TestEveryFindingIsOnThePage looks for every finding, assumption and concession of all examples and cases in what a person reads.
func TestEveryFindingIsOnThePage(t *testing.T) {
	runs := map[string]Run{}
	for _, c := range hostileCases {
		runs[c.name] = c.run()
	}
	for _, name := range exampleNames(t) {
		runs[name] = exampleRun(t, name)
	}
	looked := 0
	for name, run := range runs {
		read := reader(t, written(t, HTML, run))
		has := func(what string, texts ...string) {
			t.Helper()
			looked++
			for _, text := range texts {
				if !strings.Contains(read, Plain(text)) {
					t.Errorf("%s: %s: %q is not on the page", name, what, text)
				}
			}
		}
		has("the verdict", run.verdict(), Caution)
		for _, s := range run.Specs {
			for _, m := range s.Mistakes {
				has("a mistake", m.Text)
			}
			for _, r := range s.Remarks {
				has("a remark", r.Text)
			}
			for _, j := range s.Judgements {
				has("the machine", j.Machine.Name, j.Machine.Title.Value, count(j).inWords())
				for _, f := range j.Findings {
					switch f.Outcome {
					case rules.Pass:
						has("a rule that holds", f.Rule.Name, subject(f.Subject), against(f))
					case rules.Open:
						has("an open finding", f.Why, f.Rule.Name, subject(f.Subject))
					case rules.Fail:
						has("a failure", f.Rule.Title, subject(f.Subject), against(f))
						if conceded(f) {
							continue
						}
						has("a failure", f.Because, f.Remedy, sources(f.Rule), f.Worst, f.At.String(), string(f.Level))
						for _, in := range f.Inputs {
							has("an input", schema.OriginOf(in).Path, in.String())
						}
					}
				}
				for _, a := range assumptions(j) {
					has("an assumption", a.Path, a.Value, a.Source)
				}
				for _, c := range j.Concessions {
					has("a concession", c.Rule, c.Of, c.Reason, c.By, c.Until, string(c.State))
				}
				for _, c := range j.Changed {
					has("a changed rule", c.Name, c.Changed)
				}
			}
		}
	}
	if looked < 1500 {
		t.Errorf("only %d things were looked for", looked)
	}
}

// TestPageBearsHostileText puts into a spec's texts what could become markup, script or a reordered line, and reads it back as text.
func TestPageBearsHostileText(t *testing.T) {
	for _, evil := range []string{
		"<script>alert(1)</script>", `"><img src=x onerror=alert(1)>`, "' onmouseover='alert(1)", "</style></title></svg></script><b>", "{{.Version}}",
		"javascript:alert(1)", "<!-- ", "]]>", "\u202egnp.\u2066", "\x00\x1b[2J\u0085", strings.Repeat("W", 10_000), "::error::`|`",
	} {
		run := noGo()
		j := run.Specs[0].Judgements[0]
		j.Machine.Name, j.Machine.Title.Value = evil, evil
		run.Specs[0].Dir, run.Version = evil, evil
		for _, f := range j.Findings {
			f.Because, f.Remedy, f.Worst, f.Why, f.Subject.Name = evil, evil, evil, evil, evil
			f.At.File = evil
		}
		j.Machine.Points = map[string]schema.Point{evil: {}}
		j.Machine.Links = map[string]schema.Link{evil: {Points: []schema.Text{{Value: evil}}}}
		page := written(t, HTML, run)
		tokens := nested(t, page)
		scripts := 0
		for _, token := range tokens {
			if token.Data == "script" {
				scripts++
			}
			for _, a := range token.Attr {
				if strings.HasPrefix(a.Key, "on") || a.Key == "src" {
					t.Errorf("%.20q became the attribute %s", evil, a.Key)
				}
			}
			if token.Data == "img" || token.Data == "b" {
				t.Errorf("%.20q became a <%s>", evil, token.Data)
			}
		}
		if scripts != 1 {
			t.Errorf("%.20q: %d scripts, want the page's own", evil, scripts)
		}
		for _, r := range page {
			if r != '\n' && !unicode.IsPrint(r) {
				t.Errorf("%.20q: %U is on the page", evil, r)
				break
			}
		}
		if read := reader(t, page); !strings.Contains(read, Plain(evil)) {
			t.Errorf("%.20q can't be read", evil)
		}
	}
}

// TestPageSize keeps the page of the flagship below what a mail carries. One of many cylinders has more poses to show.
func TestPageSize(t *testing.T) {
	if n := len(written(t, HTML, exampleRun(t, "tray-lifter"))); n > 500_000 {
		t.Errorf("the page has %d bytes", n)
	}
}

// TestWorstPoses counts the findings of a draft that have a pose, and demands a picture of each.
func TestWorstPoses(t *testing.T) {
	run := exampleRun(t, "tray-lifter-draft")
	want := 0
	for _, group := range alike(failures(run.Specs[0].Judgements[0])) {
		if group[0].Worst != "" {
			want++
		}
	}
	page := written(t, HTML, run)
	if got := strings.Count(page, "-worst-title\">"); want == 0 || got != want {
		t.Errorf("%d pictures of %d worst poses", got, want)
	}
}

// TestSections demands of each finding about a fastening that its section stands with it, or that it leads to one further up.
func TestSections(t *testing.T) {
	run := exampleRun(t, "tray-lifter-draft")
	j := run.Specs[0].Judgements[0]
	// One entry of two fastenings, as when they share the screw that is wrong.
	i := slices.IndexFunc(j.Findings, func(f *rules.Finding) bool { return f.Outcome == rules.Fail && f.Subject.Name == "block to post" })
	k := slices.IndexFunc(j.Findings, func(f *rules.Finding) bool {
		return f.Subject.Kind == "fastening" && f.Subject.Name == "valve to bench"
	})
	both := *j.Findings[i]
	both.Subject = j.Findings[k].Subject
	j.Findings = append(j.Findings, &both)

	root, err := html.Parse(strings.NewReader(written(t, HTML, run)))
	if err != nil {
		t.Fatal(err)
	}
	stands, shown, led, two := map[string]bool{}, 0, 0, false
	for article := range root.Descendants() {
		if article.Data != "article" {
			continue
		}
		var text strings.Builder
		drawn := map[string]bool{}
		for n := range article.Descendants() {
			switch {
			case n.Type == html.TextNode:
				text.WriteString(n.Data)
			case n.Data == "figure":
				stands[attribute(html.Token{Attr: n.Attr}, "id")] = true
				drawn[n.LastChild.FirstChild.Data] = true
				shown++
			case n.Data == "a":
				if id := attribute(html.Token{Attr: n.Attr}, "href"); !stands[strings.TrimPrefix(id, "#")] {
					t.Errorf("%s leads to no picture further up", id)
				}
				drawn[n.FirstChild.Data] = true
				led++
			}
		}
		of := 0
		for name := range j.Machine.Fastenings {
			if strings.Contains(text.String(), "fastening "+strconv.Quote(name)) && !strings.Contains(text.String(), "Not judged") {
				of++
				if !drawn["Fastening "+name] {
					t.Errorf("the section of %q is not with %.200s", name, text.String())
				}
			}
		}
		two = two || of == 2
	}
	if shown < 3 || led < 3 || !two {
		t.Errorf("only %d pictures and %d references to them were found; two in one entry: %v", shown, led, two)
	}
}

// TestTracksMove demands that the page has a place for each part in each pose of each stroke that is known.
func TestTracksMove(t *testing.T) {
	for _, name := range exampleNames(t) {
		run := exampleRun(t, name)
		m := machineOnPage(run.Specs[0].Judgements[0], run.view(run.Specs[0].Judgements[0].Machine), "m1")
		if len(m.Tracks) == 0 {
			t.Fatalf("%s does not move", name)
		}
		_, live, _ := strings.Cut(string(m.Motion.SVG), `id="m1-live"`)
		uses := strings.Count(live, "<use ")
		for _, track := range m.Tracks {
			if len(track.Parts) != viewPoses || len(track.Says) != viewPoses {
				t.Errorf("%s: %s has %d poses", name, track.Name, len(track.Parts))
			}
			for i, parts := range track.Parts {
				if len(parts) != uses || len(track.Labels[i]) != strings.Count(live, "data-label") || len(track.Springs[i]) != strings.Count(live, `class="spring"`) {
					t.Fatalf("%s: %s has %d places for %d parts", name, track.Name, len(parts), uses)
				}
			}
			if fmt.Sprint(track.Parts[0]) == fmt.Sprint(track.Parts[viewPoses-1]) {
				t.Errorf("%s: nothing moves in %s", name, track.Name)
			}
		}
	}
}

// The line is there to be copied into a shell: names from a spec that one would read otherwise are not in it.
func TestSheetsBy(t *testing.T) {
	for _, row := range [][3]string{
		{"examples/tray-lifter", "tray-lifter", "trammel sheets examples/tray-lifter tray-lifter --to workshop"},
		{".", "a; rm -r x", "trammel sheets . MACHINE --to workshop"},
		{"bäckerei", "$(x)", "trammel sheets FOLDER MACHINE --to workshop"},
		{"-x", "--to", "trammel sheets FOLDER MACHINE --to workshop"},
		{"", "a\nb", "trammel sheets FOLDER MACHINE --to workshop"},
	} {
		if got := sheetsBy(row[0], row[1]); got != row[2] {
			t.Errorf("%q, want %q", got, row[2])
		}
	}
}
