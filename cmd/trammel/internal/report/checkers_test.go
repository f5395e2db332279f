package report

import (
	"maps"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/chromedp/cdproto/runtime"
	"github.com/chromedp/chromedp"

	"trammel.example/cmd/trammel/internal/compare"
	"trammel.example/cmd/trammel/internal/ramp"
	"trammel.example/rules"
)

// checker gives where a checker of others is that has been fetched for the tests.
func checker(t *testing.T, variable string) string {
	t.Helper()
	path := os.Getenv(variable)
	if path == "" {
		t.Skipf("%s does not say where the checker is (.ci/run fetches it)", variable)
	}
	return path
}

// pages are those of all examples, and a comparison.
func pages(t *testing.T) map[string]string {
	t.Helper()
	all := map[string]string{}
	for _, name := range exampleNames(t) {
		all[name] = written(t, HTML, exampleRun(t, name))
	}
	base, head := exampleRun(t, "tray-lifter").Specs[0].Judgements[0], exampleRun(t, "tray-lifter-draft").Specs[0].Judgements[0]
	head.Machine.Name = base.Machine.Name
	var b strings.Builder
	if err := CompareHTML(&b, compare.Of(side(map[string]*rules.Judgement{"a": base}), side(map[string]*rules.Judgement{"a": head}), 0.05)); err != nil {
		t.Fatal(err)
	}
	all["comparison"] = b.String()
	for _, name := range []string{"tray-lifter", "tray-lifter-draft"} {
		run, plan := planned(t, name)
		b.Reset()
		if err := RampHTML(&b, []*ramp.Plan{plan}); err != nil {
			t.Fatal(err)
		}
		all["first air of "+name], all["headroom of "+name] = b.String(), written(t, HTML, run)
	}
	all["odd names"] = written(t, HTML, hostileEverywhere())
	return all
}

// TestNu has the pages checked by the Nu HTML checker of the W3C.
func TestNu(t *testing.T) {
	jar := checker(t, "NU_JAR")
	dir := t.TempDir()
	for name, page := range pages(t) {
		if err := os.WriteFile(filepath.Join(dir, name+".html"), []byte(page), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	if says, err := exec.Command("java", "-jar", jar, "--errors-only", dir).CombinedOutput(); err != nil || len(says) > 0 {
		t.Errorf("%v\n%s", err, says)
	}
}

// TestAccessible has the pages checked by axe-core.
func TestAccessible(t *testing.T) {
	axe, err := os.ReadFile(checker(t, "AXE_JS"))
	if err != nil {
		t.Fatal(err)
	}
	for name, page := range pages(t) {
		var violations []string
		err := chromedp.Run(browser(t, page), chromedp.Evaluate(string(axe)+";0", nil), chromedp.Evaluate(
			`axe.run().then(r => r.violations.map(v => v.id + ": " + v.help + ": " + v.nodes[0].html.slice(0, 200)))`, &violations,
			func(p *runtime.EvaluateParams) *runtime.EvaluateParams { return p.WithAwaitPromise(true) }))
		if err != nil {
			t.Fatal(err)
		}
		for _, v := range violations {
			t.Errorf("%s: %s", name, v)
		}
	}
}

// TestSARIFValidator has the logs checked by a public validator, which knows more of the standard than its schema says. It warns that
// there is no address to learn more of the tool at.
func TestSARIFValidator(t *testing.T) {
	program := checker(t, "SARIF_VALIDATOR")
	runs := map[string]Run{"no go": noGo()}
	for _, name := range exampleNames(t) {
		runs[name] = exampleRun(t, name)
	}
	for _, name := range slices.Sorted(maps.Keys(runs)) {
		dir := t.TempDir()
		log := filepath.Join(dir, "log.sarif")
		if err := os.WriteFile(log, []byte(written(t, SARIF, runs[name])), 0o600); err != nil {
			t.Fatal(err)
		}
		validate := exec.Command(program, "validate", log, "--output", filepath.Join(dir, "found.sarif"), "--level", "Error;Warning")
		validate.Env = append(os.Environ(), "DOTNET_SYSTEM_GLOBALIZATION_INVARIANT=1")
		says, err := validate.CombinedOutput()
		if err != nil || !strings.Contains(string(says), "1 files scanned") {
			t.Errorf("%s: %v\n%s", name, err, says)
		}
		for line := range strings.Lines(string(says)) {
			wrong := strings.Contains(line, ": error ") || strings.Contains(line, ": warning ")
			if wrong && !strings.Contains(line, "SARIF2005") {
				t.Errorf("%s: %s", name, line)
			}
		}
	}
}
