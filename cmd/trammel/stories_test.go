package main

import (
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	cue "cuelang.org/go/cmd/cue/cmd"
	"github.com/rogpeppe/go-internal/testscript"
)

func TestMain(m *testing.M) {
	testscript.Main(m, map[string]func(){"trammel": main, "cue": func() { os.Exit(cue.Main()) }})
}

// TestStories runs the program as its users do: each file in testdata/stories is one story.
func TestStories(t *testing.T) {
	examples, err := filepath.Abs("../../examples")
	if err != nil {
		t.Fatal(err)
	}
	testscript.Run(t, testscript.Params{
		Dir: "../../testdata/stories",
		Setup: func(env *testscript.Env) error {
			return os.CopyFS(filepath.Join(env.WorkDir, "examples"), os.DirFS(examples))
		},
		Cmds: map[string]func(ts *testscript.TestScript, neg bool, args []string){"exits": exits, "bigfile": bigFile, "endures": endures, "endless": endless, "linked": linked},
		Condition: func(cond string) (bool, error) {
			if cond != "root" {
				return false, fmt.Errorf("no condition %q", cond)
			}
			return os.Getuid() == 0, nil // who can read all
		},
	})
}

// exits runs trammel with the arguments after the first and demands the exit status that the first names.
func exits(ts *testscript.TestScript, _ bool, args []string) {
	want := map[string]string{"go": "0", "no-go": "1", "wrong": "2", "limited": "3"}[args[0]]
	err := ts.Exec("trammel", args[1:]...)
	got := "0"
	if err != nil {
		got = err.Error()[len("exit status "):]
	}
	if got != want {
		ts.Fatalf("exit status %s, want %s\n%s%s", got, want, ts.ReadFile("stdout"), ts.ReadFile("stderr"))
	}
}

func bigFile(ts *testscript.TestScript, _ bool, args []string) {
	data := make([]byte, 10_000_000)
	for i := range data {
		data[i] = "x: 1\n"[i%5]
	}
	ts.Check(os.WriteFile(ts.MkAbs(args[0]), data, 0o600))
}

// endless writes a spec with 4,000 misspelt fields.
func endless(ts *testscript.TestScript, _ bool, args []string) {
	text := "package a\n\nimport \"trammel.example/schema\"\n\nmachines: a: schema.#Machine & {\n" + numbered(4000, "\tfield%d: 1\n") + "}\n"
	ts.Check(os.MkdirAll(filepath.Dir(ts.MkAbs(args[0])), 0o700))
	ts.Check(os.WriteFile(ts.MkAbs(args[0]), []byte(text), 0o600))
}

// linked demands of so many pages in a folder that each links to files beside it, all of which are there, and within itself only to what is
// there.
func linked(ts *testscript.TestScript, _ bool, args []string) {
	pages, err := filepath.Glob(filepath.Join(ts.MkAbs(args[0]), "*.html"))
	ts.Check(err)
	if fmt.Sprint(len(pages)) != args[1] {
		ts.Fatalf("%d pages: %v", len(pages), pages)
	}
	for _, page := range pages {
		text := ts.ReadFile(page)
		beside := 0
		for _, link := range links.FindAllStringSubmatch(text, -1) {
			if anchor, within := strings.CutPrefix(link[1], "#"); within {
				if !strings.Contains(text, `id="`+anchor+`"`) {
					ts.Fatalf("%s: nothing is at %s", page, link[1])
				}
				continue
			}
			beside++
			_, err := os.Stat(filepath.Join(filepath.Dir(page), link[1]))
			ts.Check(err)
		}
		if beside == 0 {
			ts.Fatalf("%s links to nothing beside it", page)
		}
	}
}

var links = regexp.MustCompile(`href="([^"]*)"`)
