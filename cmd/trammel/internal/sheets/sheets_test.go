package sheets

import (
	"bytes"
	"encoding/csv"
	"encoding/xml"
	"io/fs"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"time"

	"trammel.example/checks"
	"trammel.example/rules"
	"trammel.example/schema"
)

func judged(t testing.TB, example string) *rules.Judgement {
	t.Helper()
	spec, err := schema.NewLoader("../../../..", map[string]fs.FS{"schema": schema.Files}).Load("examples/" + example)
	if err != nil {
		t.Fatal(err)
	}
	set, faults, err := rules.ForSpec(spec)
	if err != nil || len(faults) > 0 {
		t.Fatal(err, faults)
	}
	return rules.Judge(set, spec.Machines[0], checks.Examine(spec.Machines[0]), time.Date(2026, 11, 1, 0, 0, 0, 0, time.UTC))
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
	for _, tmpl := range Templates(m) {
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
	for _, tmpl := range Templates(judged(t, "tray-lifter").Machine) {
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
    if e.dxftype() == "ARC": print("arc %.2f %.2f %.0f %.0f" % (d.center.x, d.radius, d.start_angle, d.end_angle))
`, file).CombinedOutput()
		if err != nil {
			t.Fatalf("%v: %s", err, out)
		}
		// B (0, 140), D (240, 70): 250 mm; K (219.2, 76.07) is √(219.2² + 63.93²) = 228.33 mm from B, in one line with them.
		want := "hole 0.00 0.00 4.00\nhole 250.00 0.00 4.00\nhole 228.33 0.00 4.00\n" +
			"line 0.00 -10.00 250.00 -10.00\nline 0.00 10.00 250.00 10.00\narc 0.00 10.00 90 270\narc 250.00 10.00 270 90\n"
		if got := strings.ReplaceAll(string(out), "-0.00", "0.00"); got != want {
			t.Errorf("read back:\n%s\nwant:\n%s", got, want)
		}
		return
	}
	t.Error("no template of the upper arm")
}

// A table is read back as RFC 4180 has it, and no cell is a formula.
func TestCSV(t *testing.T) {
	table := &Table{Columns: []string{"part", "how"}, Rows: [][]string{{"a \"quoted\", thing", "=1+1"}, {"two\nlines", "-5"}}}
	var b bytes.Buffer
	if err := table.CSV(&b); err != nil {
		t.Fatal(err)
	}
	rows, err := csv.NewReader(&b).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	want := [][]string{{"part", "how"}, {"a \"quoted\", thing", "'=1+1"}, {"two\\u{a}lines", "'-5"}}
	for i := range want {
		for k := range want[i] {
			if rows[i][k] != want[i][k] {
				t.Errorf("row %d: %q, want %q", i, rows[i][k], want[i][k])
			}
		}
	}
	b.Reset()
	_ = table.CSV(&b)
	if strings.Count(b.String(), "\r\n") != 3 {
		t.Errorf("lines end otherwise than in CR LF: %q", b.String())
	}
}

// The sum of a price list by hand: 20 × 0.16 + 10 × 0.14 + 20 × 0.05 + 10 × 0.45 + 2 × 31 = 72.10.
func TestCostByHand(t *testing.T) {
	for _, table := range Tables(judged(t, "crate-ejector")) {
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
		if err := HTML(&b, j, Of{Dir: example, Digest: strings.Repeat("ab", 32), Day: time.Now(), Version: "test"}); err != nil {
			t.Fatal(err)
		}
		page := b.String()
		if got := strings.Contains(page, `class="stamp"`); got != stamped {
			t.Errorf("%s: stamped is %v", example, got)
		}
		sheets, marks := strings.Count(page, "<section"), strings.Count(page, "· abababababab</p></section>")
		if sheets < 8 || marks != sheets {
			t.Errorf("%s: %d sheets, %d of them with verdict and digest", example, sheets, marks)
		}
		if strings.Contains(page, "safe") {
			t.Errorf("%s: the page says that something is safe", example)
		}
	}
}

// Every column of lengths names its unit: a sheet is read without the spec.
func TestColumnsNameTheirUnit(t *testing.T) {
	for _, example := range []string{"tray-lifter", "crate-ejector"} {
		for _, table := range Tables(judged(t, example)) {
			for c, column := range table.Columns {
				for _, row := range table.Rows {
					if _, err := strconv.ParseFloat(row[c], 64); err == nil && strings.Contains(row[c], ".") && !strings.Contains(column, "mm") && column != "each" && column != "cost" {
						t.Errorf("%s, %s: %q is %s without a unit", example, table.Title, column, row[c])
					}
				}
			}
		}
	}
}

func BenchmarkSheets(b *testing.B) {
	j := judged(b, "tray-lifter")
	for b.Loop() {
		var w bytes.Buffer
		if err := HTML(&w, j, Of{Digest: strings.Repeat("0", 64)}); err != nil {
			b.Fatal(err)
		}
	}
}
