package sheets

import (
	"bytes"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"trammel.example/cmd/trammel/internal/ramp"
	"trammel.example/schema"
)

// program finds one of some programs, or skips the test.
func program(t *testing.T, what, debian string, names ...string) string {
	t.Helper()
	for _, name := range names {
		if found, err := exec.LookPath(name); err == nil {
			return found
		}
	}
	t.Skipf("there is no %s here (Debian: apt-get install %s)", what, debian)
	return ""
}

func run(t *testing.T, in string, program string, args ...string) string {
	t.Helper()
	c := exec.Command(program, args...)
	c.Stdin = strings.NewReader(in)
	var out, complaint bytes.Buffer
	c.Stdout, c.Stderr = &out, &complaint
	if err := c.Run(); err != nil {
		t.Fatalf("%s: %v: %s", program, err, complaint.String())
	}
	return out.String()
}

// TestBarMeasuresOnPaper prints the flagship's sheets to PDF with Chromium, has Debian's pdftoppm draw the pages in dots, and measures in them
// the bar that is below each template: 50 mm are 393.7 dots at 200 to the inch.
func TestBarMeasuresOnPaper(t *testing.T) {
	chromium := program(t, "Chromium", "chromium", "chromium", "chromium-browser", "google-chrome", "chrome")
	dots := program(t, "pdftoppm", "poppler-utils", "pdftoppm")
	j, set := judgedBy(t, "tray-lifter")
	plan, err := ramp.Walk(set, j.Machine, nil, day)
	if err != nil {
		t.Fatal(err)
	}
	folder := t.TempDir()
	page, pdf := filepath.Join(folder, "sheets.html"), filepath.Join(folder, "sheets.pdf")
	var b bytes.Buffer
	if err := HTML(&b, j, Tables(j, plan), Of{Dir: "x", Digest: strings.Repeat("ab", 32), Day: time.Now(), Version: "test"}); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(page, b.Bytes(), 0o600); err != nil {
		t.Fatal(err)
	}
	run(t, "", chromium, "--headless", "--no-sandbox", "--disable-gpu", "--user-data-dir="+filepath.Join(folder, "profile"), "--no-pdf-header-footer", "--print-to-pdf="+pdf, "file://"+page)
	run(t, "", dots, "-r", "200", "-gray", pdf, filepath.Join(folder, "page"))
	pages, err := filepath.Glob(filepath.Join(folder, "page*.pgm"))
	if err != nil || len(pages) == 0 {
		t.Fatal(pages, err)
	}
	var bars []float64
	for _, file := range pages {
		data, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		bars = append(bars, barsIn(t, data)...)
	}
	want := 0
	for _, tmpl := range Templates(j.Machine, Mark{}) {
		want += len(tmpl.Sheets())
	}
	if len(bars) != want || want < 4 {
		t.Errorf("%d bars are on paper, below %d templates: %v dots", len(bars), want, bars)
	}
	for _, long := range bars {
		if mm := long / 200 * 25.4; math.Abs(mm-bar) > 0.2 {
			t.Errorf("a bar of 50 mm is %.2f mm on paper", mm)
		}
	}
}

// barsIn are the lengths, in dots, of the bars on a page of grey dots (Netpbm's P5): a level line of about 50 mm with an upright stroke of 3 mm
// across each end.
func barsIn(t *testing.T, data []byte) (all []float64) {
	t.Helper()
	var width, height, most int
	if n, err := fmt.Sscanf(string(data[:min(len(data), 40)]), "P5\n%d %d\n%d\n", &width, &height, &most); err != nil || n != 3 {
		t.Fatalf("no page of dots: %v", err)
	}
	dot := data[len(data)-width*height:]
	dark := func(x, y int) bool { return x >= 0 && y >= 0 && x < width && y < height && dot[y*width+x] < 160 }
	tall := func(x, y int) int { // of the dark stroke through a dot
		from, to := y, y
		for dark(x, from-1) {
			from--
		}
		for dark(x, to+1) {
			to++
		}
		return to - from + 1
	}
	// middle is that of the upright stroke at the end of a line; false where there is none of about 24 dots.
	middle := func(x, y int) (float64, bool) {
		sum, n := 0, 0
		for _, at := range []int{x - 3, x - 2, x - 1, x, x + 1, x + 2, x + 3} {
			if h := tall(at, y); dark(at, y) && h >= 20 && h <= 28 {
				sum, n = sum+at, n+1
			}
		}
		return float64(sum) / float64(max(n, 1)), n > 0
	}
	last := -100
	for y := range height {
		for x := 0; x < width; x++ {
			if !dark(x, y) {
				continue
			}
			from := x
			for dark(x, y) {
				x++
			}
			if long := x - from; long < 320 || long > 480 || y-last < 10 {
				continue
			}
			a, left := middle(from, y)
			b, right := middle(x-1, y)
			if left && right {
				all, last = append(all, b-a), y
			}
		}
	}
	return all
}

// TestCostInSQL has SQLite add up the bill of materials as it is written, with the example's prices and with others.
func TestCostInSQL(t *testing.T) {
	sqlite := program(t, "sqlite3", "sqlite3", "sqlite3")
	j := judged(t, "crate-ejector")
	random := rand.New(rand.NewPCG(3, 14))
	for round := range 6 {
		for i := range j.Machine.Purchases {
			if p := &j.Machine.Purchases[i]; round > 0 && !p.Length.Given() {
				p.Count.SI = float64(1 + random.IntN(90))
				p.Price.Origin = schema.Origin{Path: "x"}
				p.Price.Amount.SI, p.Price.Currency.Value = float64(random.IntN(9999))/100, "EUR"
			}
		}
		parts := tableOf(t, j, "parts")
		file := filepath.Join(t.TempDir(), "parts.csv")
		var csv bytes.Buffer
		if err := parts.CSV(&csv, Mark{}); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(file, csv.Bytes(), 0o600); err != nil {
			t.Fatal(err)
		}
		got := run(t, ".import --csv "+file+" parts\n"+`SELECT printf('%.2f|%.2f|%d', sum("on the list" * each), sum(cost), count(*)) FROM parts;`, sqlite, ":memory:")
		_, says, _ := strings.Cut(parts.Says, "comes to ")
		says, _, _ = strings.Cut(says, " EUR")
		if want := fmt.Sprintf("%s|%s|%d\n", says, says, len(parts.Rows)); strings.ReplaceAll(got, "\r", "") != want {
			t.Errorf("SQLite adds up %q, and the sheet says %q", got, want)
		}
		if round == 0 && says != "72.10" || slices.Contains(parts.Columns, "") {
			t.Errorf("%q", parts.Says)
		}
	}
}
