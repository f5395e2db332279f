package rules_test

import (
	"go/ast"
	"go/parser"
	"go/token"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
)

// TestOutsideChecks reads testdata/outside-checks.tsv: a row for each shipped rule, which names the test that checks its fact, or the
// limit of that, against something outside the project.
func TestOutsideChecks(t *testing.T) {
	data, err := os.ReadFile(filepath.Join(root, "testdata", "outside-checks.tsv"))
	if err != nil {
		t.Fatal(err)
	}
	facts := map[string][]string{}
	for _, r := range shipped(t) {
		facts[r.Name] = append(factsOf(r.Measure), factsOf(r.Limit.By)...)
		if r.Prefer != nil {
			facts[r.Name] = append(facts[r.Name], factsOf(r.Prefer.By)...)
		}
	}
	tests := map[string][]string{}
	checked := map[string]bool{}
	var lines []string
	for _, line := range strings.Split(strings.TrimSpace(string(data)), "\n") {
		if !strings.HasPrefix(line, "#") {
			lines = append(lines, line)
		}
	}
	if lines[0] != "rule\tfact\tpackage\ttest\tsource" {
		t.Fatalf("the columns are %q", lines[0])
	}
	if !slices.IsSorted(lines[1:]) {
		t.Error("the rows are not sorted")
	}
	for _, line := range lines[1:] {
		cells := strings.Split(line, "\t")
		if len(cells) != 5 || slices.Contains(cells, "") {
			t.Errorf("not five cells: %q", line)
			continue
		}
		rule, fact, folder, test := cells[0], cells[1], cells[2], cells[3]
		checked[rule] = true
		of, ok := facts[rule]
		switch {
		case !ok:
			t.Errorf("there is no rule %s", rule)
		case !slices.Contains(of, fact):
			t.Errorf("%s has nothing to do with %s, but with %v", rule, fact, of)
		}
		if tests[folder] == nil {
			tests[folder] = testsIn(t, folder)
		}
		if !slices.Contains(tests[folder], test) {
			t.Errorf("%s: there is no %s in %s", rule, test, folder)
		}
	}
	for rule := range facts {
		if !checked[rule] {
			t.Errorf("%s: which test checks its number against something outside the project?", rule)
		}
	}
}

// testsIn lists the test functions of a folder.
func testsIn(t *testing.T, folder string) []string {
	t.Helper()
	files, err := filepath.Glob(filepath.Join(root, folder, "*_test.go"))
	if err != nil {
		t.Fatal(err)
	}
	var names []string
	for _, f := range files {
		parsed, err := parser.ParseFile(token.NewFileSet(), f, nil, parser.SkipObjectResolution)
		if err != nil {
			t.Fatal(err)
		}
		for _, d := range parsed.Decls {
			if fn, ok := d.(*ast.FuncDecl); ok && strings.HasPrefix(fn.Name.Name, "Test") {
				names = append(names, fn.Name.Name)
			}
		}
	}
	return names
}
