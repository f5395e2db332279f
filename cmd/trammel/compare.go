package main

import (
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"trammel.example/cmd/trammel/internal/compare"
	"trammel.example/cmd/trammel/internal/report"
	"trammel.example/cmd/trammel/internal/revision"
	"trammel.example/schema"
)

// comparisons are the formats in which a comparison can be written.
var comparisons = map[string]func(w io.Writer, c *compare.Comparison) error{
	"html":     report.CompareHTML,
	"json":     report.CompareJSON,
	"markdown": report.CompareMarkdown,
	"text": func(w io.Writer, c *compare.Comparison) error {
		return report.CompareText(w, c, report.TextOptions{Width: plainWidth})
	},
}

type compareOptions struct {
	in     []string
	with   []string
	write  []string
	on     string
	part   float64
	limits limits
}

func compareCommand(status *int) *cobra.Command {
	var o compareOptions
	c := &cobra.Command{
		Use:   "compare BASE [HEAD] | compare --with 'PATH=VALUE' FOLDER",
		Short: "Compare two states of the specs: what fails now and did not, what moved, what was let through",
		Long: "Compare judges the specs of two git revisions, or of two folders, and says what differs. Without HEAD it is the files as they stand.\n" +
			"With --with it holds a spec against itself with one value changed, as in\n" +
			"  trammel compare --with 'fastenings.\"valve to bench\".screw.length=16' examples/tray-lifter\n" +
			"Exit status: 0 nothing got worse; 1 something did: a finding is new or further from its limit, a rule lets more pass, a finding is conceded,\n" +
			"or part data changed while its source did not; 2 a spec or the call is wrong. The working tree is never touched.",
		Args: takes(1, 2),
		RunE: func(cmd *cobra.Command, args []string) error {
			s, err := o.compare(args, cmd.OutOrStdout(), cmd.ErrOrStderr())
			*status = s
			return err
		},
	}
	f := c.Flags()
	f.StringArrayVar(&o.in, "in", []string{"./..."}, "the folders with specs, within each side; FOLDER/... stands for all below")
	f.StringArrayVar(&o.with, "with", nil, "a value to change, as PATH=VALUE in the unit in which it is written; any number of times")
	f.StringArrayVar(&o.write, "write", nil, "also write the comparison, as FORMAT=FILE: html, json, markdown or text; any number of times")
	f.StringVar(&o.on, "on", "", "the day that concessions are judged by, as 2027-06-30 (default: today)")
	f.Float64Var(&o.part, "moved", 0.05, "by what part of itself a number must have changed to be listed")
	o.limits.flags(f)
	return c
}

func (o *compareOptions) compare(args []string, stdout, stderr io.Writer) (int, error) {
	outputs, err := parseOutputs(o.write, comparisons)
	if err != nil {
		return exitWrong, err
	}
	if !(o.part >= 0 && o.part < 1) {
		return exitWrong, fmt.Errorf("--moved wants a part from 0 to below 1, and %g is none", o.part)
	}
	if err := o.limits.check(); err != nil {
		return exitWrong, err
	}
	day, err := dayOf(o.on)
	if err != nil {
		return exitWrong, err
	}
	defer o.limits.watch(stderr)()
	var states []*state
	defer func() {
		for _, s := range states {
			s.remove()
		}
	}()
	if len(o.with) > 0 {
		states, err = o.changed(args)
	} else {
		states, err = o.states(args)
	}
	if err != nil {
		return exitWrong, err
	}
	sides := make([]compare.Side, len(states))
	wrong := false
	for i, s := range states {
		side, ok, err := s.judge(o.in, day, stderr)
		if err != nil {
			return exitWrong, err
		}
		sides[i], wrong = side, wrong || !ok
	}
	if wrong {
		return exitWrong, errReported
	}
	if machines(sides[0])+machines(sides[1]) == 0 {
		return exitWrong, fmt.Errorf("no machines in %s, on either side", strings.Join(o.in, ", "))
	}
	c := compare.Of(sides[0], sides[1], o.part)
	if len(o.with) > 0 {
		for i := range c.Machines {
			c.Machines[i].Data = nil // which was asked for
		}
	}
	if err := report.CompareText(stdout, c, report.TextOptions{Width: textWidth(stdout), Colour: useColour(stdout)}); err != nil {
		return exitWrong, err
	}
	if err := saveAll(outputs, func(format string, w io.Writer) error { return comparisons[format](w, c) }); err != nil {
		return exitWrong, err
	}
	if c.Worse() {
		return exitNoGo, nil
	}
	return exitGo, nil
}

func machines(s compare.Side) (n int) {
	for _, spec := range s.Specs {
		n += len(spec.Judgements)
	}
	return n
}

// A state is one side before it is judged: a folder to read specs from.
type state struct {
	name   string
	folder string
	prefix string // of the working folder within it
	remove func()
}

// states finds both sides: each a folder that is there, or a revision.
func (o *compareOptions) states(args []string) ([]*state, error) {
	var all []*state
	for _, name := range args {
		info, err := os.Stat(name)
		if err == nil && info.IsDir() {
			if _, both := revision.Extract(".", name); both == nil && !strings.ContainsAny(name, `./\`) {
				return all, fmt.Errorf("`%s` is a folder and a revision: write ./%s for the folder, or the revision's full name, as in refs/heads/%s", name, name, name)
			}
			all = append(all, &state{name: filepath.ToSlash(filepath.Clean(name)), folder: name, remove: func() {}})
			continue
		}
		tree, err := revision.Extract(".", name)
		if err != nil {
			return all, err
		}
		all = append(all, &state{name: name, folder: tree.Root, prefix: tree.Prefix, remove: func() { _ = tree.Remove() }})
	}
	if len(all) == 1 {
		all = append(all, &state{name: "the files as they stand", folder: ".", remove: func() {}})
	}
	return all, nil
}

// judge reads and judges the specs of a state. Their folders are named as within it.
func (s *state) judge(in []string, day time.Time, stderr io.Writer) (side compare.Side, ok bool, err error) {
	side.Name = s.name
	root := filepath.Join(s.folder, filepath.FromSlash(s.prefix))
	var targets []target
	for _, pattern := range in {
		if !filepath.IsLocal(strings.TrimSuffix(filepath.FromSlash(pattern), "...")) && filepath.Clean(pattern) != "." {
			return side, false, fmt.Errorf("--in names folders within both sides, and %s leads out of them", pattern)
		}
		if _, err := os.Stat(filepath.Join(root, strings.TrimSuffix(filepath.FromSlash(pattern), "..."))); errors.Is(err, os.ErrNotExist) {
			continue // it came or went
		}
		found, err := expand([]string{filepath.Join(root, filepath.FromSlash(strings.TrimSuffix(pattern, "/..."))) + map[bool]string{true: "/...", false: ""}[strings.HasSuffix(pattern, "/...")]})
		if err != nil && !strings.HasPrefix(err.Error(), "no folder with .cue files") {
			return side, false, err
		}
		for _, t := range found {
			rel, err := filepath.Rel(root, t.path)
			if err != nil {
				return side, false, err
			}
			targets = append(targets, target{path: rel, found: true})
		}
	}
	ok = true
	for _, r := range checkAll(schema.NewLoader(root, packages), targets, day) {
		for i := range r.mistakes {
			r.mistakes[i].Text += fmt.Sprintf(" (in %s)", s.name)
		}
		r.complain(stderr, false)
		ok = ok && len(r.mistakes) == 0
		if !r.nothing {
			side.Specs = append(side.Specs, compare.Spec{Folder: r.target, Judgements: r.judgements, Rules: r.set})
		}
	}
	return side, ok, nil
}

// changed are a spec's folder as it is, and a copy of it with values changed.
func (o *compareOptions) changed(args []string) ([]*state, error) {
	if len(args) != 1 {
		return nil, errors.New("--with holds one folder against itself: name that folder alone")
	}
	folder := args[0]
	o.in = []string{"."}
	spec, err := newLoader().Load(folder)
	var mistakes *schema.Mistakes
	switch {
	case errors.As(err, &mistakes):
		return nil, fmt.Errorf("%s: %s", folder, mistakes.List[0].String())
	case err != nil:
		return nil, err
	}
	root := folder
	for dir, err := filepath.Abs(folder); err == nil; dir = filepath.Dir(dir) {
		if _, err := os.Stat(filepath.Join(dir, "cue.mod")); err == nil {
			root = dir // a spec in a module may import the module's other packages
			break
		}
		if dir == filepath.Dir(dir) {
			break
		}
	}
	copied, err := os.MkdirTemp("", "trammel-with-")
	if err != nil {
		return nil, err
	}
	now := &state{folder: copied, remove: func() { _ = os.RemoveAll(copied) }}
	all := []*state{{name: filepath.ToSlash(filepath.Clean(folder)), folder: folder, remove: func() {}}, now}
	if err := copyCUE(root, copied); err != nil {
		return all, err
	}
	prefix, err := filepath.Rel(mustAbs(root), mustAbs(folder))
	if err != nil {
		return all, err
	}
	now.prefix = filepath.ToSlash(prefix)
	var said []string
	edits := map[string][]schema.Edit{}
	for _, w := range o.with {
		e, text, err := schema.EditOf(spec, w)
		if err != nil {
			return all, err
		}
		said = append(said, text)
		edits[e.File] = append(edits[e.File], e)
	}
	for file, list := range edits {
		rel, err := filepath.Rel(mustAbs(root), mustAbs(file))
		if err != nil || !filepath.IsLocal(rel) {
			return all, fmt.Errorf("%s lies outside of %s and can't be changed in a copy", file, root)
		}
		at := filepath.Join(copied, rel)
		data, err := os.ReadFile(at)
		if err != nil {
			return all, err
		}
		slices.SortFunc(list, func(a, b schema.Edit) int { return b.From - a.From }) // from the end, so that places stay right
		for _, e := range list {
			data = slices.Concat(data[:e.From], []byte(e.Text), data[e.To:])
		}
		if err := os.WriteFile(at, data, 0o600); err != nil {
			return all, err
		}
	}
	now.name = strings.Join(said, ", ")
	return all, nil
}

func mustAbs(path string) string {
	if abs, err := filepath.Abs(path); err == nil {
		return abs
	}
	return path
}

// copyCUE copies the CUE files below a folder, without following links.
func copyCUE(from, to string) error {
	return filepath.WalkDir(from, func(path string, d os.DirEntry, err error) error {
		if err != nil {
			return err
		}
		rel, err := filepath.Rel(from, path)
		if err != nil {
			return err
		}
		switch {
		case d.IsDir():
			if rel != "." && strings.HasPrefix(d.Name(), ".") {
				return filepath.SkipDir
			}
			return os.MkdirAll(filepath.Join(to, rel), 0o700)
		case filepath.Ext(path) != ".cue" || !d.Type().IsRegular():
			return nil
		}
		data, err := os.ReadFile(path)
		if err != nil {
			return err
		}
		return os.WriteFile(filepath.Join(to, rel), data, 0o600)
	})
}
