package main

import (
	"go/parser"
	"go/token"
	"io/fs"
	"path"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
)

// mayImport says which packages of this module each may import: data flows one way. A solver (checks/<domain>) knows none of them.
var mayImport = map[string][]string{
	"schema":                        {"schema/standards", "schema/profiles"},
	"schema/profiles":               nil,
	"schema/standards":              nil,
	"checks":                        {"schema", "schema/standards", "checks/*"},
	"checks/made":                   {"checks/linkage"}, // solves the same linkage with other lengths
	"rules":                         {"checks", "schema"},
	"cmd/trammel/internal/drawing":  {"checks", "schema", "schema/standards"},
	"cmd/trammel/internal/ramp":     {"rules", "checks", "schema"},
	"cmd/trammel/internal/compare":  {"rules", "checks", "schema"},
	"cmd/trammel/internal/revision": nil,
	"cmd/trammel/internal/report":   {"cmd/trammel/internal/compare", "cmd/trammel/internal/drawing", "cmd/trammel/internal/ramp", "rules", "checks", "schema"},
	"cmd/trammel/internal/sheets":   {"cmd/trammel/internal/drawing", "cmd/trammel/internal/ramp", "cmd/trammel/internal/report", "rules", "checks", "checks/nesting", "schema", "schema/standards"},
	"cmd/trammel/internal/start":    {"schema"},
	"cmd/trammel":                   {"cmd/trammel/internal/compare", "cmd/trammel/internal/ramp", "cmd/trammel/internal/report", "cmd/trammel/internal/revision", "cmd/trammel/internal/sheets", "cmd/trammel/internal/start", "rules", "checks", "schema", "schema/standards"},
}

func TestImportDirections(t *testing.T) {
	const root, module = "../..", "trammel.example/"
	seen := map[string]bool{}
	err := filepath.WalkDir(root, func(file string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() || !strings.HasSuffix(file, ".go") || strings.HasSuffix(file, "_test.go") {
			return err
		}
		rel, err := filepath.Rel(root, filepath.Dir(file))
		if err != nil {
			return err
		}
		pkg := filepath.ToSlash(rel)
		if path.Base(pkg) == "generate" {
			return nil // run by go generate: imports the package that it writes for
		}
		seen[pkg] = true
		allowed, known := mayImport[pkg]
		isSolver := path.Dir(pkg) == "checks"
		if !known && !isSolver {
			t.Errorf("%s is a package that this test knows nothing of", pkg)
		}
		syntax, err := parser.ParseFile(token.NewFileSet(), file, nil, parser.ImportsOnly)
		if err != nil {
			return err
		}
		for _, spec := range syntax.Imports {
			imported, err := strconv.Unquote(spec.Path.Value)
			if err != nil {
				return err
			}
			own, isOwn := strings.CutPrefix(imported, module)
			first, _, _ := strings.Cut(imported, "/")
			switch {
			case isOwn && !slices.Contains(allowed, own) && !slices.Contains(allowed, path.Dir(own)+"/*"):
				t.Errorf("%s imports %s: that way nothing flows", file, own)
			case !isOwn && isSolver && strings.Contains(first, ".") && !strings.HasPrefix(imported, "gonum.org/"):
				t.Errorf("%s is of a solver and imports %s", file, imported)
			}
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	for pkg := range mayImport {
		if !seen[pkg] {
			t.Errorf("there is no package %s", pkg)
		}
	}
}
