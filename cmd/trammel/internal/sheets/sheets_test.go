package sheets

import (
	"bytes"
	"encoding/csv"
	"encoding/xml"
	"fmt"
	"io/fs"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"gonum.org/v1/gonum/spatial/r2"

	"trammel.example/checks"
	"trammel.example/cmd/trammel/internal/ramp"
	"trammel.example/cmd/trammel/internal/report"
	"trammel.example/rules"
	"trammel.example/schema"
)

var day = time.Date(2026, 11, 1, 0, 0, 0, 0, time.UTC)

func judged(t testing.TB, example string) *rules.Judgement {
	t.Helper()
	j, _ := judgedBy(t, example)
	return j
}

func judgedBy(t testing.TB, example string) (*rules.Judgement, *rules.Set) {
	t.Helper()
	spec, err := schema.NewLoader("../../../..", map[string]fs.FS{"schema": schema.Files}).Load("examples/" + example)
	if err != nil {
		t.Fatal(err)
	}
	set, faults, err := rules.ForSpec(spec)
	if err != nil || len(faults) > 0 {
		t.Fatal(err, faults)
	}
	return rules.Judge(set, spec.Machines[0], checks.Examine(spec.Machines[0]), day), set
}

// An svg is what the tests read of a template.
type svg struct {
	Width   string `xml:"width,attr"`
	ViewBox string `xml:"viewBox,attr"`
	Groups  []struct {
		Circles []struct {
			X float64 `xml:"cx,attr"`
			Y float64 `xml:"cy,attr"`
			R float64 `xml:"r,attr"`
		} `xml:"circle"`
	} `xml:"g"`
}

func parse(t *testing.T, text string) (s svg, width, from, shown float64) {
	t.Helper()
	if err := xml.Unmarshal([]byte(text), &s); err != nil {
		t.Fatal(err)
	}
	box := strings.Fields(s.ViewBox)
	mm, ok := strings.CutSuffix(s.Width, "mm")
	if len(box) != 4 || !ok {
		t.Fatalf("width %q, viewBox %q", s.Width, s.ViewBox)
	}
	width, _ = strconv.ParseFloat(mm, 64)
	from, _ = strconv.ParseFloat(box[0], 64)
	shown, _ = strconv.ParseFloat(box[2], 64)
	return s, width, from, shown
}

// One unit of a template is 1 mm on paper (SVG 2, section 8.2), and the holes are as far from each other as the points of the spec are.
func TestTemplatesAreFullSize(t *testing.T) {
	m := judged(t, "tray-lifter").Machine
	found := 0
	for _, tmpl := range Templates(m, Mark{}) {
		s, width, _, shown := parse(t, tmpl.SVG())
		if width != shown {
			t.Errorf("%s: %g mm of paper show %g units", tmpl.Link, width, shown)
		}
		if tmpl.Link == "lower" {
			a, c := s.Groups[0].Circles[0], s.Groups[0].Circles[1]
			// A (0, 0), C (240, −70): 24, 7 and 25 are a Pythagorean triple.
			if d := math.Hypot(a.X-c.X, a.Y-c.Y); math.Abs(d-250) > 2e-3 || 2*a.R != 8 {
				t.Errorf("holes of %g mm, %g mm apart", 2*a.R, d)
			}
			found++
		}
		end := 0.0
		for i, part := range tmpl.Sheets() {
			_, width, from, shown := parse(t, part)
			if width != shown || width > sheet {
				t.Errorf("%s, sheet %d: %g mm of paper show %g units", tmpl.Link, i+1, width, shown)
			}
			if from > end || i > 0 && math.Abs(end-from-lap) > 1e-9 {
				t.Errorf("%s, sheet %d begins at %g, and the one before ends at %g", tmpl.Link, i+1, from, end)
			}
			end = from + shown
		}
		if end < tmpl.width {
			t.Errorf("%s: the sheets end at %g mm of %g", tmpl.Link, end, tmpl.width)
		}
	}
	if found != 1 {
		t.Errorf("%d templates of the lower arm", found)
	}
}

// Debian's python3-ezdxf reads a template: three holes of 8 mm where the spec has B, D and K, and a bar of 20 mm round them.
func TestDXF(t *testing.T) {
	const python = "/usr/bin/python3" // Debian's, which has Debian's packages
	if exec.Command(python, "-c", "import ezdxf").Run() != nil {
		t.Skip("there is no ezdxf here to read a drawing with (Debian: apt-get install python3-ezdxf)")
	}
	for _, tmpl := range Templates(judged(t, "tray-lifter").Machine, Mark{Machine: "Jäter", Verdict: "NO-GO", Digest: "spec abababababab"}) {
		if tmpl.Link != "upper" {
			continue
		}
		file := filepath.Join(t.TempDir(), "upper.dxf")
		if err := os.WriteFile(file, []byte(tmpl.DXF()), 0o600); err != nil {
			t.Fatal(err)
		}
		out, err := exec.Command(python, "-c", `
import sys, ezdxf
doc = ezdxf.readfile(sys.argv[1])
assert not doc.audit().has_errors, doc.audit().errors
for e in doc.modelspace():
    d = e.dxf
    if e.dxftype() == "CIRCLE": print("hole %.2f %.2f %.2f" % (d.center.x, d.center.y, d.radius))
    if e.dxftype() == "LINE": print("line %.2f %.2f %.2f %.2f" % (d.start.x, d.start.y, d.end.x, d.end.y))
    if e.dxftype() == "TEXT": print("%s on layer %s" % (d.text, d.layer))
    if e.dxftype() == "ARC": print("arc %.2f %.2f %.0f %.0f" % (d.center.x, d.radius, d.start_angle, d.end_angle))
`, file).CombinedOutput()
		if err != nil {
			t.Fatalf("%v: %s", err, out)
		}
		// B (0, 140), D (240, 70): 250 mm; K (219.2, 76.07) is √(219.2² + 63.93²) = 228.33 mm from B, in one line with them.
		want := "hole 0.00 0.00 4.00\nhole 250.00 0.00 4.00\nhole 228.33 0.00 4.00\n" +
			"line 0.00 -10.00 250.00 -10.00\nline 250.00 10.00 0.00 10.00\narc 0.00 10.00 90 270\narc 250.00 10.00 270 90\nNO-GO on layer NO-GO\n"
		if got := strings.ReplaceAll(string(out), "-0.00", "0.00"); got != want {
			t.Errorf("read back:\n%s\nwant:\n%s", got, want)
		}
		if first, _, _ := strings.Cut(tmpl.DXF(), "  0"); !strings.HasPrefix(first, "999\r\nupper, full size in mm. J\\U+00E4ter \\U+00B7 NO-GO ") {
			t.Errorf("begins with %q", first)
		}
		return
	}
	t.Error("no template of the upper arm")
}

// The eight screws of the blocks on the post's front, which looks along x: up the post 32, 108 and 32 mm apart, and across it 38 or 64 mm;
// seen on the heads, up the post is to the right, and the viewer of the drawing above. Through holes of M5 are 5.5 mm (ISO 273, medium).
func TestFaces(t *testing.T) {
	want := [][2]float64{{0, 64}, {32, 64}, {0, 0}, {32, 0}, {140, 51}, {172, 51}, {140, 13}, {172, 13}}
	found := false
	for _, tmpl := range Templates(judged(t, "tray-lifter").Machine, Mark{}) {
		if tmpl.Link != "block to post on post" {
			continue
		}
		found = true
		for i, h := range tmpl.holes {
			if math.Hypot(h.along-want[i][0], h.across-want[i][1]) > 1e-9 || h.diameter != 5.5 || h.place != fmt.Sprintf("%g, %g", want[i][0], want[i][1]) {
				t.Errorf("screw %s of %g mm stands at %g, %g: %q", h.name, h.diameter, h.along, h.across, h.place)
			}
		}
		if len(tmpl.Sheets()) != 2 {
			t.Errorf("it is %g mm wide, and on %d sheets", tmpl.width, len(tmpl.Sheets()))
		}
	}
	if !found {
		t.Error("no pattern of the blocks")
	}
	// A face in the drawing is seen as drawn, whatever the order of its screws; screws on another face have a pattern of their own.
	at := func(x, y float64) schema.Hole {
		var h schema.Hole
		h.X.SI, h.Y.SI = x/1e3, y/1e3
		return h
	}
	other := face{on: "beam"}
	other.looks.Path, other.looks.SI = "here", math.Pi/2 // it looks up: along is to the left, so that 10 to the right is 10 back
	other.screws = []schema.Hole{at(10, 5), at(0, 5)}
	on := onFace(onFace(nil, face{on: "beam", screws: []schema.Hole{at(7, 3), at(-3, 8)}}), other)
	if len(on) != 2 {
		t.Fatalf("%d faces", len(on))
	}
	for i, want := range []string{"[{1 10 -5 0 10, -5} {2 0 0 0 0, 0}]", "[{1 0 0 0 0, 0} {2 10 0 0 10, 0}]"} {
		if got := strings.ReplaceAll(fmt.Sprint(on[i].holes()), "-0 ", "0 "); got != want {
			t.Errorf("face %d: %s, want %s", i, got, want)
		}
	}
}

// A table is read back as RFC 4180 has it, and no cell is a formula.
func TestCSV(t *testing.T) {
	table := &Table{Columns: []string{"part", "how"}, Rows: [][]string{{"a \"quoted\", thing", "=1+1"}, {"two\nlines", "-5+2"}, {"-x", "-5"}}}
	var b bytes.Buffer
	mark := Mark{"gate", "GO", "spec 0123456789ab", "commit 12e4567890ab"}
	if err := table.CSV(&b, mark); err != nil {
		t.Fatal(err)
	}
	rows, err := csv.NewReader(&b).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	own := []string{"gate", "GO", "spec 0123456789ab", "commit 12e4567890ab"}
	want := [][]string{
		{"part", "how", "machine", "verdict", "digest", "revision"},
		append([]string{"a \"quoted\", thing", "'=1+1"}, own...),
		append([]string{"two\\u{a}lines", "'-5+2"}, own...),
		append([]string{"'-x", "-5"}, own...),
	}
	if !slices.EqualFunc(rows, want, slices.Equal[[]string]) {
		t.Errorf("%q, want %q", rows, want)
	}
	b.Reset()
	_ = table.CSV(&b, mark)
	if strings.Count(b.String(), "\r\n") != 4 {
		t.Errorf("lines end otherwise than in CR LF: %q", b.String())
	}
}

// The sum of a price list by hand: 20 × 0.16 + 10 × 0.14 + 20 × 0.05 + 10 × 0.45 + 2 × 31 = 72.10.
func TestCostByHand(t *testing.T) {
	for _, table := range Tables(judged(t, "crate-ejector"), nil) {
		if table.Name == "parts" && !strings.Contains(table.Says, "comes to 72.10 EUR") {
			t.Error(table.Says)
		}
		if table.Name == "bars" && (len(table.Rows) != 1 || table.Rows[0][2] != "305 + 305 + 305 + 305" || table.Rows[0][3] != "270") { // 1500 − 4 × (305 + 2.5)
			t.Error(table.Rows)
		}
	}
}

func TestVerdictIsOnEverySheet(t *testing.T) {
	for example, stamped := range map[string]bool{"tray-lifter": false, "tray-lifter-draft": true} {
		j := judged(t, example)
		var b bytes.Buffer
		if err := HTML(&b, j, Tables(j, nil), Of{Dir: example, Digest: strings.Repeat("ab", 32), Day: time.Now(), Version: "test"}); err != nil {
			t.Fatal(err)
		}
		page := b.String()
		if got := strings.Contains(page, `class="stamp"`); got != stamped {
			t.Errorf("%s: stamped is %v", example, got)
		}
		sheets, marks := strings.Count(page, "<section"), strings.Count(page, "· spec abababababab</p></section>")
		if sheets < 8 || marks != sheets {
			t.Errorf("%s: %d sheets, %d of them with verdict and digest", example, sheets, marks)
		}
		for pivot := range j.Machine.Pivots {
			if !strings.Contains(page, "<figcaption>Section of pivot "+pivot+"</figcaption>") {
				t.Errorf("%s: pivot %s is not drawn", example, pivot)
			}
		}
		if strings.Contains(page, "safe") {
			t.Errorf("%s: the page says that something is safe", example)
		}
	}
}

func tableOf(t *testing.T, j *rules.Judgement, name string) *Table {
	t.Helper()
	for _, table := range Tables(j, nil) {
		if table.Name == name {
			return table
		}
	}
	t.Fatalf("there is no table %s", name)
	return nil
}

// What goes together when, by what the flagship's spec says: slot nuts before anything, the links from the frame outward, K, at which only
// the cylinder's rod hangs, after the links have been moved by hand, and every joint tight to its torque at the end.
func TestAssembly(t *testing.T) {
	table := tableOf(t, judged(t, "tray-lifter"), "assembly")
	var order []string
	for i, row := range table.Rows {
		if row[0] != strconv.Itoa(i+1) {
			t.Errorf("step %s is the %dth", row[0], i+1)
		}
		order = append(order, row[1])
	}
	last := -1
	for _, want := range []string{"Slide 8 slot nuts M5", "Put in the 8 screws M5 × 12 of block to post", "Pivot A: from back to front block, washer 2, lower (runs)", "Pivot C:", "Move the links", "Pivot K:",
		"Tighten the 8 screws M5 × 12 of block to post, crosswise; take one after the other out", "Tighten the 2 screws M4 × 30 of valve to bench", "Move everything", "Join the tubes"} {
		at := slices.IndexFunc(order, func(do string) bool { return strings.HasPrefix(do, want) })
		if at <= last {
			t.Errorf("%q is step %d, after step %d", want, at+1, last+1)
		}
		last = at
	}
	for _, row := range table.Rows {
		if strings.HasPrefix(row[1], "Tighten the 8 screws") && row[2] != "3 Nm" || strings.HasPrefix(row[1], "Pivot B") && row[3] != "upper must turn by hand, with 0.18 to 0.42 mm along the pin" {
			t.Errorf("%q", row)
		}
	}
	// The lock nut of E is run down until the play is gone, and not tightened; that of O clamps a sleeve and has a torque.
	for example, want := range map[string][2]string{"crate-ejector": {"Pivot E", "not tightened: run the nut down until the play is nearly gone, then lock it"}, "dough-clamp": {"Pivot O", "25 Nm"}} {
		for _, row := range tableOf(t, judged(t, example), "assembly").Rows {
			if strings.HasPrefix(row[1], want[0]) && row[2] != want[1] {
				t.Errorf("%s: %q", example, row)
			}
		}
	}
}

// The steps that the spec gives come first, in its order: what is slid in for later, put in, and closed.
func TestAssemblyBySteps(t *testing.T) {
	j := judged(t, "tray-lifter")
	text := func(s string) schema.Text { return schema.Text{Value: s, Origin: schema.Origin{Path: "here"}} }
	block, valve := j.Machine.Fastenings["block to post"], j.Machine.Fastenings["valve to bench"]
	block.Into.Slot, block.Into.SlotNut.Enters = text("post, front"), text("end")
	valve.Into.SlotNut = block.Into.SlotNut // in this test alone
	valve.Into.SlotNut.Enters = text("face")
	j.Machine.Fastenings["block to post"], j.Machine.Fastenings["valve to bench"] = block, valve
	end := func(which string) schema.SlotEnd { return schema.SlotEnd{Slot: text("post, front"), End: text(which)} }
	j.Machine.Assembly = []schema.Assembled{
		{Does: text("foot under the post"), Closes: []schema.SlotEnd{end("first")}},
		{Does: text("cap onto the post"), Loads: []schema.Text{text("block to post")}, Closes: []schema.SlotEnd{end("second")}},
		{Does: text("blocks and valve"), Fastens: []schema.Text{text("block to post"), text("valve to bench")}},
	}
	rows := tableOf(t, j, "assembly").Rows
	want := [][]string{
		{"1", "foot under the post", "", "the first end of post, front is closed: no more nuts get in there"},
		{"2", "cap onto the post. Slide 8 slot nuts M5 into the slot post, front for block to post", "", "the second end of post, front is closed: no more nuts get in there"},
		{"3", "blocks and valve. Put in the 8 screws M5 × 12 of block to post. Put 2 slot nuts M5 through the face of the slot for valve to bench. Put in the 2 screws M4 × 30 of valve to bench", "hand-tight", "the parts can still be shifted"},
	}
	for i := range want {
		if !slices.Equal(rows[i], want[i]) {
			t.Errorf("%q, want %q", rows[i], want[i])
		}
	}
	for _, row := range rows[3:] {
		if strings.HasPrefix(row[1], "Put in the 8 screws") || strings.HasPrefix(row[1], "Slide 8") {
			t.Errorf("once more: %q", row)
		}
	}
}

// With the air shut off the tray comes down, so that it is supported first; the shut-off valve lets out what is behind it.
func TestShutDown(t *testing.T) {
	rows := tableOf(t, judged(t, "tray-lifter"), "off").Rows
	for i, want := range [][2]string{{"Support what lift carries", "falls in with shift at 14"}, {"Shut shutoff and lock it", "lets out what is behind it"}, {"Unplug", "no coil"}, {"Push each rod by hand (lift)", ""}} {
		if i >= len(rows) || !strings.HasPrefix(rows[i][1], want[0]) || !strings.Contains(rows[i][2], want[1]) {
			t.Errorf("step %d is not %q: %q", i+1, want, rows)
		}
	}
	m := judged(t, "tray-lifter")
	for _, s := range m.Subjects { // as where a valve shuts its centre
		if s.Kind == "behaviour" && s.Facts["event"].Text == "isolated for work" {
			s.Facts["trapped"] = checks.Fact{Kind: checks.Flag, Flag: true}
			s.Facts["trappedIn"] = checks.Fact{Kind: checks.Text, Text: "rear"}
			s.Facts["trappedPressure"] = checks.Fact{Dim: schema.PressureDim, SI: 5e5}
			s.Facts["trappedForce"] = checks.Fact{Dim: schema.ForceDim, SI: 245}
			s.Facts["remedyTrapped"] = checks.Fact{Kind: checks.Text, Text: "Fit a hand valve"}
		}
	}
	row := tableOf(t, m, "off").Rows[3]
	if row[1] != "Let the air out of the rear of lift" || row[2] != "up to 5 bar are shut in there, 245 N on the piston" || !strings.Contains(row[3], "fit a hand valve") {
		t.Errorf("%q", row)
	}
}

// A printed link says how it is printed, and to what its holes are drilled; what has a mass on the purchase list is weighed: 2 × 0.31 kg is
// for two machines, and one takes one.
func TestPrintsAndMass(t *testing.T) {
	j := judged(t, "crate-ejector")
	crank := j.Machine.Links["crank"]
	text := func(s string) schema.Text { return schema.Text{Origin: schema.Origin{Path: "x"}, Value: s} }
	crank.Printed = schema.Printed{Origin: schema.Origin{Path: "x"}, Material: text("PETG"), Lies: text("flat")}
	crank.Printed.Layer.SI, crank.Printed.Walls.SI, crank.Printed.Infill.SI = 0.2e-3, 4, 0.4
	j.Machine.Links["crank"] = crank
	for i := range j.Machine.Purchases {
		if p := &j.Machine.Purchases[i]; strings.HasPrefix(p.Item.Value, "cylinder") {
			p.Mass.Origin, p.Mass.SI = schema.Origin{Path: "x"}, 0.31
		}
	}
	prints := tableOf(t, j, "prints")
	if got := strings.Join(prints.Rows[0], "; "); !strings.HasPrefix(got, "crank; 2; PETG; flat; 0.2; 4; 40; O 12 H") || !strings.HasSuffix(got, " through 22, K 10 H9 through 10, P 10 H9 through 10") {
		t.Error(got)
	}
	parts := tableOf(t, j, "parts")
	if !strings.Contains(parts.Says, "lines that have a mass weigh 0.31 kg in one machine") {
		t.Error(parts.Says)
	}
}

// Every column of lengths names its unit: a sheet is read without the spec.
func TestColumnsNameTheirUnit(t *testing.T) {
	for _, example := range []string{"tray-lifter", "crate-ejector"} {
		for _, table := range Tables(judged(t, example), nil) {
			for c, column := range table.Columns {
				for _, row := range table.Rows {
					if _, err := strconv.ParseFloat(row[c], 64); err == nil && strings.Contains(row[c], ".") && !strings.Contains(column, "mm") && !strings.Contains(column, "kg") && column != "each" && column != "cost" {
						t.Errorf("%s, %s: %q is %s without a unit", example, table.Title, column, row[c])
					}
				}
			}
		}
	}
}

// The template of the carrier, in its own frame from C towards D: T is 55 mm along and 90 mm to the right, and its three bars are 24 mm wide.
func TestTemplateOfPieces(t *testing.T) {
	for _, tmpl := range Templates(judged(t, "tray-lifter").Machine, Mark{Verdict: "NO-GO"}) {
		if tmpl.Link != "carrier" {
			continue
		}
		if math.Abs(tmpl.width-(140+24+2*margin)) > 1e-9 || math.Abs(tmpl.height-(90+24+2*margin+16)) > 1e-9 {
			t.Errorf("%g × %g mm", tmpl.width, tmpl.height)
		}
		// Outside three lines and three arcs, inside three lines.
		if svg := tmpl.SVG(); strings.Count(svg, "A12 12 0 0 0 ") != 3 || len(tmpl.outline) != 9 || strings.Count(svg, ">NO-GO</text>") != 1 {
			t.Errorf("%d edges in %s", len(tmpl.outline), svg)
		}
		return
	}
	t.Error("no template of the carrier")
}

// The outline of pieces bounds as much as they cover: the area by Green's theorem, and its length, against areas by hand.
func TestOutline(t *testing.T) {
	v := func(x, y float64) r2.Vec { return r2.Vec{X: x, Y: y} }
	bar := func(w float64, through ...r2.Vec) piece { return piece{through, w} }
	round := func(d float64, at r2.Vec) piece { return piece{[]r2.Vec{at}, d} }
	square := func(x, y, side float64) piece {
		return piece{through: []r2.Vec{v(x, y), v(x+side, y), v(x+side, y+side), v(x, y+side)}}
	}
	turned := func(p piece) piece {
		for i, v := range p.through {
			p.through[i] = r2.Rotate(v, 0.7, r2.Vec{})
		}
		return p
	}
	back := square(0, 0, 10)
	slices.Reverse(back.through)
	lens := 2*math.Pi/3 - math.Sqrt(3)/2 // of two circles of radius 1 whose middles are 1 apart
	for name, c := range map[string]struct {
		pieces     []piece
		area, long float64
	}{
		"a circle":                         {[]piece{round(4, v(3, 5))}, 4 * math.Pi, 4 * math.Pi},
		"a bar":                            {[]piece{bar(4, v(1, 1), v(4, 5))}, 20 + 4*math.Pi, 10 + 4*math.Pi},
		"a bar that goes back over itself": {[]piece{bar(4, v(0, 0), v(10, 0), v(7, 0))}, 40 + 4*math.Pi, 20 + 4*math.Pi},
		"the same bar twice":               {[]piece{bar(4, v(0, 0), v(10, 0)), bar(4, v(10, 0), v(0, 0))}, 40 + 4*math.Pi, 20 + 4*math.Pi},
		// Two bars of 10 × 2, three round quarters of the bend and its ends, less the square that both have.
		"a bend":                       {[]piece{bar(2, v(0, 0), v(10, 0), v(10, 10))}, 2*20 - 1 + math.Pi + math.Pi/4, 2*10 + 2*9 + 2*math.Pi + math.Pi/2},
		"two circles":                  {[]piece{round(2, v(0, 0)), round(2, v(1, 0))}, 2*math.Pi - lens, 2 * (2*math.Pi - 2*math.Pi/3)},
		"two circles apart":            {[]piece{round(2, v(0, 0)), round(2, v(9, 0))}, 2 * math.Pi, 4 * math.Pi},
		"one within another":           {[]piece{round(2, v(0, 0)), round(8, v(1, 0))}, 16 * math.Pi, 8 * math.Pi},
		"a square, clockwise":          {[]piece{back}, 100, 40},
		"squares side by side":         {[]piece{square(0, 0, 10), square(10, 0, 10)}, 200, 60},
		"squares side by side, turned": {[]piece{turned(square(0, 0, 10)), turned(square(10, -3, 10))}, 200, 80 - 14},
		"squares over each other":      {[]piece{square(0, 0, 10), square(5, 5, 10)}, 175, 60},
		"a square with a round corner": {[]piece{square(0, 0, 10), round(4, v(10, 10))}, 100 + 4*math.Pi*3/4, 40 - 4 + 4*math.Pi*3/4},
		"a triangle of bars":           {[]piece{bar(2, v(0, 0), v(30, 0)), bar(2, v(30, 0), v(0, 40)), bar(2, v(0, 40), v(0, 0))}, 0.5*30*40 + 120 + math.Pi - 0.5*27*36, 120 + 2*math.Pi + 108},
	} {
		area, long := 0.0, 0.0
		for _, e := range outlineOf(c.pieces) {
			const steps = 2000
			for k := range steps {
				p, q := e.at(float64(k)/steps), e.at(float64(k+1)/steps)
				area += r2.Cross(p, q) / 2
				long += r2.Norm(r2.Sub(q, p))
			}
		}
		if math.Abs(area/c.area-1) > 1e-5 || math.Abs(long/c.long-1) > 1e-5 {
			t.Errorf("%s: %.4f mm² within %.4f mm, want %.4f within %.4f", name, area, long, c.area, c.long)
		}
	}
}

// The sheet for the first air has the steps of the spec's plan, with what the whole plan expects there, and one for each step that a machine
// without a plan of its own takes.
func TestFirstAir(t *testing.T) {
	j, set := judgedBy(t, "tray-lifter")
	all, err := ramp.Climb(set, j.Machine, "", 10e5, day, func(int) {})
	if err != nil {
		t.Fatal(err)
	}
	var pressures []float64
	for _, s := range all.Steps {
		pressures = append(pressures, s.Pressure)
	}
	own, err := ramp.Walk(set, j.Machine, pressures, day)
	if err != nil {
		t.Fatal(err)
	}
	laid, err := ramp.Walk(set, j.Machine, nil, day)
	if err != nil {
		t.Fatal(err)
	}
	words := report.WordsOf(all)
	for _, plan := range []*ramp.Plan{own, laid} {
		rows := firstAir(plan).Rows
		if len(rows) != len(words.Steps) {
			t.Fatalf("%d steps, want %d", len(rows), len(words.Steps))
		}
		for i, row := range rows {
			if s := words.Steps[i]; row[1] != s.Pressure || row[2] != strings.Join(s.Expect, " ") || !strings.HasPrefix(row[3], s.Look) {
				t.Errorf("step %d is %q, want %v", i+1, row, s)
			}
		}
		if last := rows[len(rows)-1][3]; !strings.HasSuffix(last, " Go no higher.") || strings.HasSuffix(rows[0][3], " Go no higher.") {
			t.Errorf("ends with %q", last)
		}
	}
	// Thrust is bore² π/4 times the pressure: at 5 bar 245.4 N of 25 mm.
	if before := beforeAir(own).Rows; len(before) != 6 || !strings.Contains(before[3][1], "set it to 2.5 bar") || !strings.Contains(firstAir(own).Rows[2][2], "thrust 245.4 N") {
		t.Errorf("%q", before)
	}
}

// Long words may be broken, and nothing of a cell is taken for a tag.
func TestBreakable(t *testing.T) {
	if got, want := string(breakable("G1/8 abcdefghijklmnopqrst<b>")), "G1/8 abcdefghijklmn<wbr>opqrst&lt;b&gt;"; got != want {
		t.Errorf("%q, want %q", got, want)
	}
}

// What a page's style is given of a machine's name ends neither its string nor the style.
func TestQuotedInStyle(t *testing.T) {
	if got, want := quoted("Tor \"</style>\\ü · 1"), `"Tor \22 \3c \2f style\3e \5c ü · 1"`; got != want {
		t.Errorf("%s, want %s", got, want)
	}
}

// A drill schedule has for each hole its limits and how far it is from the edge: H7 of 8 mm is 0 to +15 µm (ISO 286-2), and the carrier's holes
// are in the middle of bars of 24 mm. A screw M5 passes a hole of 5.5 mm (ISO 273, medium).
func TestDrilling(t *testing.T) {
	j := judged(t, "tray-lifter")
	if got := strings.Join(tableOf(t, j, "holes").Rows[1], "; "); got != "carrier; D; 140; 0; 8 H7; 8.000 to 8.015; 7.8, ream; 8; 12; is held" {
		t.Error(got)
	}
	for i, want := range []string{"block to post; block foot; 8; 5.5; through 5.5; ; ; 12", "valve to bench; EN AW-6063-T6; 2; 3.3; 15; M4; 12; 8"} {
		if rows := tableOf(t, j, "taps").Rows; strings.Join(rows[[]int{0, len(rows) - 1}[i]], "; ") != want {
			t.Errorf("%q, want %q", rows, want)
		}
	}
	// On the post, from A towards B, 16 mm on and 18 mm to the left; 32 mm towards the viewer.
	if got := strings.Join(tableOf(t, j, "places").Rows[1], "; "); got != "block to post; post; 2; 16; 18; 32" {
		t.Error(got)
	}
	press := tableOf(t, judged(t, "glue-press"), "taps").Rows
	if !slices.ContainsFunc(press, func(r []string) bool { return r[1] == "pad" && r[3] == "6.6, countersunk 90°" }) {
		t.Errorf("%q", press)
	}
	square := []piece{{through: []r2.Vec{{X: 0, Y: 0}, {X: 40, Y: 0}, {X: 40, Y: 30}, {X: 0, Y: 30}}}}
	bent := []piece{{through: []r2.Vec{{X: 0, Y: 0}, {X: 50, Y: 0}, {X: 50, Y: 50}}, width: 20}, {through: []r2.Vec{{X: 0, Y: 0}}, width: 44}}
	for _, c := range []struct {
		pieces []piece
		at     r2.Vec
		want   string
	}{
		{square, r2.Vec{X: 13, Y: 8}, "8"}, {square, r2.Vec{X: 33, Y: 18}, "7"}, {square, r2.Vec{X: 50, Y: 15}, ""},
		{bent, r2.Vec{X: 50, Y: 30}, "10"}, {bent, r2.Vec{X: 30, Y: 4}, "6"}, {bent, r2.Vec{X: 3, Y: 4}, "17"}, {bent, r2.Vec{X: 25, Y: 25}, ""},
	} {
		if got := inside(c.pieces, c.at); got != c.want {
			t.Errorf("%v in %v is %q from the edge, want %q", c.at, c.pieces, got, c.want)
		}
	}
}

// The fittings of the flagship by hand: ends of tubes, and what is screwed together; a tapered thread is sealed on the thread.
func TestFittings(t *testing.T) {
	j := judged(t, "tray-lifter")
	rows := tableOf(t, j, "fittings").Rows
	if len(rows) != 12 || strings.Join(rows[0], "; ") != "shift.2; fitting; G1/8 into G1/8; 6; a washer or ring at the face" || strings.Join(rows[1], "; ") != "lift.front; lower.1; G1/8 into G1/8; ; a washer or ring at the face" {
		t.Errorf("%q", rows)
	}
	for _, s := range j.Subjects {
		switch s.Name {
		case "supply at line.2":
			s.Facts["threads"] = checks.Fact{Kind: checks.Text, Text: "R1/4 into G1/4"}
		case "upIn: raise.1 in lift.rear":
			s.Facts["threadsClash"] = checks.Fact{Kind: checks.Flag, Flag: true}
		}
	}
	r := j.Machine.Air.Runs["supply"]
	r.Fittings.From.Thread.Value = "R1/4"
	j.Machine.Air.Runs["supply"] = r
	for _, row := range tableOf(t, j, "fittings").Rows {
		if row[0] == "line.2" && row[4] != "sealant on the thread" || row[0] == "lift.rear" && row[4] != "nothing: they do not go together" {
			t.Errorf("%q", row)
		}
	}
}

// A plan of bars says when another might do with fewer: 0.41, 0.49, 0.56, 0.32 and 0.21 m are 1.99 m, and no two bars of 1 m hold them.
func TestBarsSayTheirBound(t *testing.T) {
	j := judged(t, "crate-ejector")
	if says := tableOf(t, j, "bars").Says; !strings.HasSuffix(says, " No plan takes fewer bars.") {
		t.Error(says)
	}
	m := j.Machine
	rod := m.Links["rod"]
	delete(m.Links, "rod")
	m.Copies.Origin = schema.Origin{}
	for i, cut := range []float64{0.41, 0.49, 0.56, 0.32, 0.21} {
		rod.Made.Cut.SI, rod.Made.Pieces.SI = cut, 1
		m.Links["rod "+strconv.Itoa(i)] = rod
	}
	for i := range m.Purchases {
		if p := &m.Purchases[i]; p.Length.Given() {
			p.Length.SI, p.Kerf.SI, p.Kerf.Origin = 1, 0, schema.Origin{Path: "x"}
		}
	}
	if table := bars(m); !strings.Contains(table.Says, "Of bars flat 25x5 takes 3, and no plan takes fewer than 2.") || len(table.Rows) != 3 {
		t.Error(table.Says, table.Rows)
	}
}

func BenchmarkSheets(b *testing.B) {
	j := judged(b, "tray-lifter")
	for b.Loop() {
		var w bytes.Buffer
		if err := HTML(&w, j, Tables(j, nil), Of{Digest: strings.Repeat("0", 64)}); err != nil {
			b.Fatal(err)
		}
	}
}
