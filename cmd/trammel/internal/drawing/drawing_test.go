package drawing

import (
	"encoding/xml"
	"fmt"
	"io"
	"io/fs"
	"math"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"trammel.example/checks"
	"trammel.example/schema"
	"trammel.example/schema/standards"
)

const top = "../../../.."

func load(t *testing.T, dir, spec string) *schema.Machine {
	t.Helper()
	loader := schema.NewLoader(dir, map[string]fs.FS{"schema": schema.Files, "schema/standards": standards.Files, "facts": checks.Files})
	s, err := loader.Load(spec)
	if err != nil {
		t.Fatal(err)
	}
	return s.Machines[0]
}

func examples(t *testing.T) map[string]*schema.Machine {
	t.Helper()
	folders, err := os.ReadDir(filepath.Join(top, "examples"))
	if err != nil {
		t.Fatal(err)
	}
	all := map[string]*schema.Machine{}
	for _, f := range folders {
		all[f.Name()] = load(t, top, "examples/"+f.Name())
	}
	return all
}

// pictures are all of a machine.
func pictures(t *testing.T, m *schema.Machine) []Picture {
	t.Helper()
	courses := checks.Courses(m, 21)
	d := NewMechanism(m, "m", courses, checks.Swept(m))
	all := []Picture{d.Motion()}
	if z, ok := d.Zones(checks.Closings(m)); ok {
		all = append(all, z)
	}
	all = append(all, Charts("m", courses, checks.TimedStrokes(m))...)
	for i, name := range keys(m.Fastenings) {
		f, err := Fastening(m, name, fmt.Sprintf("m-fastening%d", i))
		if err != nil {
			t.Fatal(err)
		}
		all = append(all, f)
	}
	c, ok := Circuit(m, "m-circuit", "at rest", nil)
	if !ok {
		t.Fatal("no circuit")
	}
	for i, g := range checks.HoldingOf(m).Groups {
		all = append(all, ScrewGroup(g, fmt.Sprintf("m-screws%d", i)))
	}
	for i, b := range checks.HoldingOf(m).Bent {
		all = append(all, LinkBending(b, fmt.Sprintf("m-bent%d", i)))
	}
	for i, s := range checks.PivotSections(m) {
		all = append(all, Pivot(s, fmt.Sprintf("m-pivot%d", i)))
	}
	if s, ok := d.Standing(checks.HoldingOf(m).Standing); ok {
		all = append(all, s)
	}
	if w, ok := Wiring(m, "m-wiring"); ok {
		all = append(all, w)
	}
	return append(all, c)
}

// An element is one of an SVG document, read by encoding/xml.
type element struct {
	XMLName  xml.Name
	Attrs    []xml.Attr `xml:",any,attr"`
	Text     string     `xml:",chardata"`
	Children []element  `xml:",any"`
}

func (e element) attr(name string) string {
	for _, a := range e.Attrs {
		if a.Name.Local == name {
			return a.Value
		}
	}
	return ""
}

func (e element) number(t *testing.T, name string) float64 {
	t.Helper()
	x, err := strconv.ParseFloat(e.attr(name), 64)
	if err != nil {
		t.Fatalf("%s of %s: %v", name, e.XMLName.Local, err)
	}
	return x
}

func (e element) each(do func(element)) {
	do(e)
	for _, c := range e.Children {
		c.each(do)
	}
}

// count is how many elements have a name and all of the classes.
func (e element) count(name string, classes ...string) (n int) {
	e.each(func(c element) {
		if c.XMLName.Local != name {
			return
		}
		for _, class := range classes {
			if !strings.Contains(" "+c.attr("class")+" ", " "+class+" ") {
				return
			}
		}
		n++
	})
	return n
}

func read(t *testing.T, p Picture) element {
	t.Helper()
	decoder := xml.NewDecoder(strings.NewReader(p.Alone()))
	var e element
	if err := decoder.Decode(&e); err != nil {
		t.Fatalf("%s: %v", p.Name, err)
	}
	if _, err := decoder.Token(); err != nil && err != io.EOF {
		t.Fatalf("%s: %v", p.Name, err)
	}
	return e
}

var useful = regexp.MustCompile(`NaN|Inf|%!`)

// TestPictures reads every picture of all examples with another's XML reader: each has a title and a description that its root names, ids
// that differ and references that lead somewhere, and nothing of it lies outside.
func TestPictures(t *testing.T) {
	for name, m := range examples(t) {
		for _, p := range pictures(t, m) {
			root := read(t, p)
			if bad := useful.FindString(p.SVG); bad != "" {
				t.Errorf("%s: %s has %s in it", name, p.Name, bad)
			}
			if strings.Contains(p.SVG, "://") && strings.Count(p.SVG, "://") != strings.Count(p.SVG, `xmlns="http://www.w3.org/2000/svg"`) {
				t.Errorf("%s: %s refers to somewhere else", name, p.Name)
			}
			ids := map[string]string{}
			root.each(func(e element) {
				if id := e.attr("id"); id != "" {
					if _, twice := ids[id]; twice {
						t.Errorf("%s: %s has the id %s twice", name, p.Name, id)
					}
					ids[id] = e.XMLName.Local
				}
			})
			for i, label := range strings.Fields(root.attr("aria-labelledby")) {
				if ids[label] != []string{"title", "desc"}[i] {
					t.Errorf("%s: %s is named by %s, which is %q", name, p.Name, label, ids[label])
				}
			}
			width, height := root.number(t, "width"), root.number(t, "height")
			root.each(func(e element) {
				if href := e.attr("href"); href != "" && ids[strings.TrimPrefix(href, "#")] == "" {
					t.Errorf("%s: %s uses %s, which is not there", name, p.Name, href)
				}
			})
			for _, e := range root.Children { // those in groups are moved
				if e.XMLName.Local != "text" {
					continue
				}
				x, y, long := e.number(t, "x"), e.number(t, "y"), 6.0*float64(len([]rune(e.Text)))
				x -= long * map[string]float64{"start": 0, "middle": 0.5, "end": 1}[e.attr("text-anchor")]
				if x < 0 || x+long > width+1 || y < 8 || y > height {
					t.Errorf("%s: %s: %q at %g, %g is not within %g × %g", name, p.Name, e.Text, x, y, width, height)
				}
			}
		}
	}
}

func TestSameBytes(t *testing.T) {
	for name, m := range examples(t) {
		one, two := pictures(t, m), pictures(t, m)
		for i := range one {
			if one[i] != two[i] {
				t.Errorf("%s: %s differs from one time to the next", name, one[i].Name)
			}
		}
	}
}

var transform = regexp.MustCompile(`^translate\((\S+) (\S+)\)(?: rotate\((\S+)\))?$`)

// moved is where a transform of SVG 2 (8.5) brings a place.
func moved(t *testing.T, by string, q [2]float64) [2]float64 {
	t.Helper()
	m := transform.FindStringSubmatch(by)
	if m == nil {
		t.Fatalf("%q is no transform", by)
	}
	var n [3]float64
	for i := range n {
		n[i], _ = strconv.ParseFloat(m[i+1], 64)
	}
	sin, cos := math.Sincos(n[2] * math.Pi / 180)
	return [2]float64{n[0] + q[0]*cos - q[1]*sin, n[1] + q[0]*sin + q[1]*cos}
}

// TestPartsMeetAtTheirPins moves every link and cylinder to every pose and demands that their ends come to lie where the solver of the
// linkage has the points.
func TestPartsMeetAtTheirPins(t *testing.T) {
	compared := 0
	for name, m := range examples(t) {
		d := NewMechanism(m, "m", checks.Courses(m, 21), nil)
		drawn := d.drawn()
		for _, course := range d.Known() {
			for i := range d.courses[course].Stroke {
				pose := d.Pose(course, float64(i))
				for _, part := range d.parts {
					l, ok := m.Links[part.name]
					if !ok {
						continue
					}
					for _, q := range l.Points {
						local := d.local(drawn.points[q.Value], drawn.points[l.Points[0].Value])
						got := moved(t, part.place(pose).String(), local)
						x, y := d.at(pose.points[q.Value])
						// Drawings give points to a tenth of a millimetre, which links then stay true to.
						if off := math.Hypot(got[0]-x, got[1]-y); off > 0.1e-3*d.scale+0.02 {
							t.Fatalf("%s: %s of %s is %.3f px from where it should be in pose %d", name, q.Value, part.name, off, i)
						}
						compared++
					}
				}
				for c, y := range m.Cylinders {
					a, b := pose.points[y.Rear.At.Value], pose.points[y.Front.At.Value]
					if off := math.Hypot(a[0]+pose.lengths[c]*math.Cos(pose.angles[c])-b[0], a[1]+pose.lengths[c]*math.Sin(pose.angles[c])-b[1]); off > 1e-6 {
						t.Fatalf("%s: the rod of %s ends %g m from its pin", name, c, off)
					}
				}
			}
		}
	}
	if compared < 1000 {
		t.Errorf("only %d places were compared", compared)
	}
}

// TestFind goes to places between poses and back.
func TestFind(t *testing.T) {
	for name, m := range examples(t) {
		d := NewMechanism(m, "m", checks.Courses(m, 21), nil)
		for _, course := range d.Known() {
			for _, at := range []float64{0, 3.5, 12.25, 20} {
				rods := d.Pose(course, at).Rods
				k, found, ok := d.Find(rods)
				if !ok {
					t.Fatalf("%s: nothing is found for %v", name, rods)
				}
				for i, r := range d.Pose(k, found).Rods {
					if math.Abs(r-rods[i]) > 1e-5 {
						t.Errorf("%s: with the rods out by %v the pose has %v", name, rods, d.Pose(k, found).Rods)
					}
				}
			}
		}
		if _, _, ok := d.Find(nil); ok && len(m.Cylinders) > 0 {
			t.Errorf("%s: a pose is found for no rods", name)
		}
	}
}

// hostile is what a stranger might put into a name.
const hostile = "<script>alert(1)</script>\"' onload=x & \u202etxet \x1b[31m\x00 ]]>"

// TestHostileText puts what could steer a page or a reader in every text that is drawn, and reads it back as text alone.
func TestHostileText(t *testing.T) {
	m := load(t, top, "examples/glue-press")
	long := strings.Repeat("W", 10_000)
	rename := func(title string) {
		m.Name, m.Title.Value = title, title
		for name, f := range m.Fastenings {
			for i := range f.Stack {
				f.Stack[i].Part.Value = title
			}
			f.Into.Tapped.Material.Value = title
			m.Fastenings[name] = f
		}
		air := map[string]schema.AirPart{}
		for name, p := range m.Air.Parts {
			air[title+name] = p
		}
		m.Air.Parts = air
		for name, r := range m.Air.Runs {
			for _, end := range []*schema.Text{&r.From, &r.To} {
				if part, _ := split(end.Value); air[title+part].Given() {
					end.Value = title + end.Value
				}
			}
			m.Air.Runs[name] = r
		}
	}
	for _, title := range []string{strings.ReplaceAll(hostile, ".", ""), long} {
		rename(title)
		shown := 0
		for _, p := range pictures(t, m) {
			root := read(t, p)
			if n := root.count("script"); n > 0 {
				t.Errorf("%s has %d scripts", p.Name, n)
			}
			root.each(func(e element) {
				for _, a := range e.Attrs {
					if strings.HasPrefix(a.Name.Local, "on") {
						t.Errorf("%s: %s has %s", p.Name, e.XMLName.Local, a.Name.Local)
					}
				}
				if strings.ContainsAny(e.Text, "\u202e\x1b\x00") {
					t.Errorf("%s: %q could steer the reader", p.Name, e.Text)
				}
				if e.XMLName.Local == "text" && (strings.Contains(e.Text, "<script>") || strings.Contains(e.Text, "WWW")) {
					shown++
					if len(e.Text) > 300 {
						t.Errorf("%s: a text of %d bytes runs out of the picture", p.Name, len(e.Text))
					}
				}
			})
		}
		if shown == 0 {
			t.Error("the text is nowhere to be seen")
		}
	}
}

// TestBare draws machines of which next to nothing is known.
func TestBare(t *testing.T) {
	for _, m := range []*schema.Machine{{}, {Name: "one point", Points: map[string]schema.Point{"A": {}}}} {
		d := NewMechanism(m, "m", nil, nil)
		if p := d.Motion(); useful.MatchString(p.SVG) {
			t.Error(p.SVG)
		} else {
			read(t, p)
		}
		if _, ok := d.Zones(nil); ok {
			t.Error("zones of nobody")
		}
		if _, ok := Circuit(m, "m", "", nil); ok {
			t.Error("a circuit without parts")
		}
	}
	for _, none := range [][]float64{nil, {math.NaN(), math.Inf(1)}, {1}} {
		p := chart("m", "nothing", "x", "y", []series{{"a", []float64{1, 2}, none}}, "the rod never starts")
		read(t, p)
		if !strings.Contains(p.SVG, ">There is nothing to draw: the rod never starts.</text>") || strings.Contains(p.SVG, "<path") {
			t.Errorf("a chart of %v: %s", none, p.SVG)
		}
	}
}

// TestGapsToScale reads a gap back from the picture of zones: its two ends are as far apart as the gap is wide, by the ruler's own scale.
func TestGapsToScale(t *testing.T) {
	m := load(t, top, "examples/tray-lifter-draft")
	closings := checks.Closings(m)
	if len(closings) == 0 {
		t.Fatal("no gap closes on anybody")
	}
	p, ok := NewMechanism(m, "m", nil, nil).Zones(closings)
	if !ok {
		t.Fatal("no picture")
	}
	rings := regexp.MustCompile(`class="ring" cx="([0-9.]+)" cy="([0-9.]+)"`).FindAllStringSubmatch(p.SVG, -1)
	if len(rings) != 2*len(closings) {
		t.Fatalf("%d rings for %d gaps", len(rings), len(closings))
	}
	number := func(s string) float64 {
		x, err := strconv.ParseFloat(s, 64)
		if err != nil {
			t.Fatal(err)
		}
		return x
	}
	// The circle of those who keep away gives the scale.
	circle := regexp.MustCompile(`<circle class="zone" cx="[0-9.]+" cy="[0-9.]+" r="([0-9.]+)"`).FindStringSubmatch(p.SVG)
	scale := number(circle[1]) / m.People["gardener"].Stays.Away.SI
	for i, c := range closings {
		a, b := rings[2*i], rings[2*i+1]
		long := math.Hypot(number(a[1])-number(b[1]), number(a[2])-number(b[2])) / scale
		if want := math.Hypot(c.On[0].X-c.On[1].X, c.On[0].Y-c.On[1].Y); math.Abs(long-want) > 1e-4 || want > c.Least+1e-9 {
			t.Errorf("gap between %s is drawn %g m wide, its places are %g m apart and it is %g m", c.Between, long, want, c.Least)
		}
		if !strings.Contains(p.SVG, "gap of "+schema.Format(schema.LengthDim, c.Least)) {
			t.Errorf("the gap between %s has no figure", c.Between)
		}
	}
}

// TestStopMarginToScale reads back how far the helper gets until the petals stand still: 1.6 m/s for 1.2 s (ISO 13855, K from memory), on both
// sides of what moves, by the scale of the circle that the audience keeps.
func TestStopMarginToScale(t *testing.T) {
	m := load(t, top, "examples/stage-petals")
	p, ok := NewMechanism(m, "m", nil, checks.Swept(m)).Zones(nil)
	if !ok {
		t.Fatal("no picture")
	}
	number := func(of string) float64 {
		found := regexp.MustCompile(of).FindStringSubmatch(p.SVG)
		if found == nil {
			t.Fatalf("no %s", of)
		}
		x, err := strconv.ParseFloat(found[1], 64)
		if err != nil {
			t.Fatal(err)
		}
		return x
	}
	scale := number(`<circle class="zone" cx="[0-9.]+" cy="[0-9.]+" r="([0-9.]+)"`) / m.People["audience"].Stays.Away.SI
	if wide := number(`class="margin" stroke-width="([0-9.]+)"`) / scale / 2; math.Abs(wide-1.6*1.2) > 1e-3 {
		t.Errorf("%g m wide", wide)
	}
	// Squares of 20 mm let a hand 120 mm through (ISO 13857, table 4).
	through := regexp.MustCompile(`class="margin" stroke-width="([0-9.]+)"`).FindAllStringSubmatch(p.SVG, -1)
	if len(through) != 2 {
		t.Fatalf("%d margins, want one of the gate and one of the fence", len(through))
	}
	if wide, err := strconv.ParseFloat(through[1][1], 64); err != nil || math.Abs(wide/scale/2-0.12) > 1e-3 {
		t.Errorf("%g m wide through the fence", wide/scale/2)
	}
	if !strings.Contains(p.SVG, "nothing stops the machine for audience") {
		t.Error("it does not say why there is no margin for the audience")
	}
	if p, _ := NewMechanism(m, "m", nil, nil).Zones(nil); strings.Contains(p.SVG, `class="margin"`) || strings.Contains(p.SVG, "Inf") || strings.Contains(p.SVG, "NaN") {
		t.Error("a margin around nothing")
	}
}
