package rules_test

import (
	"errors"
	"flag"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"golang.org/x/tools/txtar"

	"trammel.example/checks"
	"trammel.example/rules"
	"trammel.example/schema"
	"trammel.example/schema/standards"
)

var update = flag.Bool("update", false, "write the golden files anew")

// root is the module's folder, as seen from this package.
const root = ".."

// packages is what the command serves to specs.
var packages = map[string]fs.FS{"schema": schema.Files, "schema/standards": standards.Files, "facts": checks.Files, "rules": rules.Files}

// judgingDay is any day: no spec of these tests holds a concession.
var judgingDay = time.Date(2026, time.June, 1, 0, 0, 0, 0, time.UTC)

// judgeDir loads the spec in a folder and judges its machines. Places are named as seen from dir.
func judgeDir(dir, target string) ([]*rules.Judgement, error) {
	l := schema.NewLoader(dir, packages)
	spec, err := l.Load(target)
	if err != nil {
		return nil, err
	}
	set, faults, err := rules.ForSpec(spec)
	if err != nil || len(faults) > 0 {
		return nil, fmt.Errorf("%v %v", err, faults)
	}
	var js []*rules.Judgement
	for _, m := range spec.Machines {
		js = append(js, rules.Judge(set, m, checks.Examine(m), judgingDay))
	}
	return js, nil
}

// judgeFiles judges a spec held in memory.
func judgeFiles(files map[string]string) ([]*rules.Judgement, error) {
	dir, err := os.MkdirTemp("", "trammel-spec-")
	if err != nil {
		return nil, err
	}
	defer os.RemoveAll(dir)
	for name, text := range files {
		if err := os.WriteFile(filepath.Join(dir, name), []byte(text), 0o600); err != nil {
			return nil, err
		}
	}
	return judgeDir(dir, ".")
}

// exampleFiles reads an example's .cue files, by name.
func exampleFiles(name string) (map[string]string, error) {
	found, err := filepath.Glob(filepath.Join(root, "examples", name, "*.cue"))
	if err != nil {
		return nil, err
	}
	if len(found) == 0 {
		return nil, fmt.Errorf("there is no example %s", name)
	}
	files := map[string]string{}
	for _, f := range found {
		data, err := os.ReadFile(f)
		if err != nil {
			return nil, err
		}
		files[filepath.Base(f)] = string(data)
	}
	return files, nil
}

// A fault is one spec under testdata/faults with a mistake in it that a builder would make.
type fault struct {
	name  string // of its file
	files map[string]string
}

// readFault reads a txtar whose sections are either files of a whole spec, or edits of an example's files: a section
//
//	-- examples/tray-lifter/lifter.cue --
//	- length: mm: 12
//	+ length: mm: 16 @fails("screw-bottoms")
//
// replaces what stands behind the minus signs, which must be there exactly once, by what stands behind the plus signs. Neighbouring lines
// with one sign are one text of several lines; how wide its blanks are, and where it breaks, does not matter behind minus signs.
func readFault(path string) (*fault, error) {
	archive, err := txtar.ParseFile(path)
	if err != nil {
		return nil, err
	}
	f := &fault{name: strings.TrimSuffix(filepath.Base(path), ".txtar"), files: map[string]string{}}
	if strings.TrimSpace(string(archive.Comment)) == "" {
		return nil, fmt.Errorf("%s: say in a line at the top which mistake it is", path)
	}
	example := ""
	for _, section := range archive.Files {
		folder, edits := strings.CutPrefix(filepath.ToSlash(filepath.Dir(section.Name)), "examples/")
		name := filepath.Base(section.Name)
		if !edits {
			f.files[name] = string(section.Data)
			continue
		}
		if example != "" && example != folder {
			return nil, fmt.Errorf("%s: edits of two examples, %s and %s", path, example, folder)
		}
		if example == "" {
			example = folder
			files, err := exampleFiles(folder)
			if err != nil {
				return nil, fmt.Errorf("%s: %w", path, err)
			}
			for n, text := range files {
				// Of a machine with another part its list would be short as well, which is another slip: it is left out where none of it is edited.
				if n != listFile || edited(archive, listFile) {
					f.files[n] = text
				}
			}
		}
		text, err := edit(f.files[name], string(section.Data))
		if err != nil {
			return nil, fmt.Errorf("%s: %s: %w", path, section.Name, err)
		}
		f.files[name] = text
	}
	return f, nil
}

// listFile is the one of an example that has its whole purchase list, where it has one of its own.
const listFile = "buying.cue"

func edited(archive *txtar.Archive, file string) bool {
	return slices.ContainsFunc(archive.Files, func(s txtar.File) bool { return filepath.Base(s.Name) == file })
}

// edit replaces the texts behind minus signs by those behind the plus signs that follow them.
func edit(text, edits string) (string, error) {
	var from, to []string
	done := 0
	apply := func() error {
		if len(from)+len(to) == 0 {
			return nil
		}
		if len(from) == 0 {
			return fmt.Errorf("no line with a minus sign before: %s", to[0])
		}
		done++
		before, after := strings.Join(from, "\n"), strings.Join(to, "\n")
		words := strings.Fields(before)
		for i := range words {
			words[i] = regexp.QuoteMeta(words[i])
		}
		found := regexp.MustCompile(strings.Join(words, `\s+`)).FindAllStringIndex(text, -1)
		if len(found) != 1 {
			return fmt.Errorf("stands there %d times instead of once: %s", len(found), before)
		}
		text = text[:found[0][0]] + after + text[found[0][1]:]
		from, to = nil, nil
		return nil
	}
	for _, line := range strings.Split(edits, "\n") {
		var err error
		switch {
		case strings.HasPrefix(line, "- "):
			if len(to) > 0 {
				err = apply()
			}
			from = append(from, line[2:])
		case line == "+":
			to = append(to, "")
		case strings.HasPrefix(line, "+ "):
			to = append(to, line[2:])
		case line == "":
			err = apply()
		default:
			err = fmt.Errorf("neither \"- \" nor \"+ \" begins the line: %s", line)
		}
		if err != nil {
			return "", err
		}
	}
	if err := apply(); err != nil {
		return "", err
	}
	if done == 0 {
		return "", fmt.Errorf("edits nothing")
	}
	return text, nil
}

// A judged is one machine of the corpus: an example, or a fault.
type judged struct {
	name  string // the example's folder or the fault's file
	fault *fault // nil for an example
	*rules.Judgement
}

// corpus is every machine of examples/ and of testdata/faults/, judged once.
var corpus = sync.OnceValues(func() ([]judged, error) {
	var all []judged
	var errs []error
	folders, err := filepath.Glob(filepath.Join(root, "examples", "*"))
	if err != nil {
		return nil, err
	}
	for _, f := range folders {
		if found, _ := filepath.Glob(filepath.Join(f, "*.cue")); len(found) == 0 {
			continue
		}
		js, err := judgeDir(root, "examples/"+filepath.Base(f))
		if err != nil {
			errs = append(errs, err)
		}
		for _, j := range js {
			all = append(all, judged{filepath.Base(f), nil, j})
		}
	}
	files, err := filepath.Glob(filepath.Join(root, "testdata", "faults", "*.txtar"))
	if err != nil {
		return nil, err
	}
	for _, path := range files {
		f, err := readFault(path)
		if err != nil {
			errs = append(errs, err)
			continue
		}
		js, err := judgeFiles(f.files)
		if err != nil {
			errs = append(errs, fmt.Errorf("%s: %w", path, err))
		}
		for _, j := range js {
			all = append(all, judged{f.name, f, j})
		}
	}
	return all, errors.Join(errs...)
})

func everything(t *testing.T) []judged {
	t.Helper()
	all, err := corpus()
	if err != nil {
		t.Fatal(err)
	}
	return all
}

func shipped(t *testing.T) []*rules.Rule {
	t.Helper()
	all, err := rules.Shipped()
	if err != nil {
		t.Fatal(err)
	}
	return all
}
