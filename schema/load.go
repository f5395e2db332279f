package schema

import (
	"embed"
	"errors"
	"fmt"
	"io/fs"
	"maps"
	"os"
	"path/filepath"
	"reflect"
	"slices"
	"sort"
	"strings"
	"sync"

	"cuelang.org/go/cue"
	"cuelang.org/go/cue/build"
	"cuelang.org/go/cue/cuecontext"
)

// Files is the schema as builders import it.
//
//go:embed *.cue
var Files embed.FS

// A Loader reads specs. It may be used by several goroutines.
type Loader struct {
	dir         string
	sources     *sources
	definitions func() definitions
}

// NewLoader makes a loader for a working folder, to which patterns and printed paths are relative. The packages are served under
// ImportPath, by name, whatever copies of them a spec's repository holds.
func NewLoader(dir string, packages map[string]fs.FS) *Loader {
	l := &Loader{dir: dir, sources: &sources{packages: packages, built: map[string]*build.Instance{}}}
	l.definitions = sync.OnceValue(func() definitions { return readDefinitions(l.sources.served("schema").Files) })
	return l
}

// Prepare reads what every spec needs. Load does without; beside it, Prepare saves time.
func (l *Loader) Prepare() { l.definitions() }

// Load reads the package in one folder, or one file. The error is *Mistakes when the spec is at fault.
func (l *Loader) Load(target string) (*Spec, error) {
	cwd, err := filepath.Abs(l.dir)
	if err != nil {
		return nil, err
	}
	dir, file := target, ""
	if !filepath.IsAbs(dir) {
		dir = filepath.Join(cwd, target)
	}
	info, err := os.Stat(dir)
	if err != nil {
		return nil, fault("%s: %s", target, reasonOf(err))
	}
	if !info.IsDir() {
		if filepath.Ext(dir) != ".cue" {
			return nil, fault("%s is no .cue file: name a folder with a spec, or one .cue file", target)
		}
		dir, file = filepath.Dir(dir), filepath.Base(dir)
	}
	places := newPlaces(cwd)
	inst, read := l.sources.read(places, dir, file)
	defer read.close()
	x := &explainer{places: places, definitions: l.definitions, mistakes: &read.mistakes, said: map[string]bool{}}
	if read.good() {
		read.errs = inst.Err
	}
	var value cue.Value
	var evaluating sync.WaitGroup
	if read.good() {
		evaluating.Go(func() { value = cuecontext.New().BuildInstance(inst) })
		read.copies()
	}
	x.labels = newLabels(places, inst)
	if read.good() {
		x.layouts = newLayouts(x.labels, l.definitions())
	}
	evaluating.Wait()
	if !read.good() {
		for _, s := range read.slips {
			x.slips(s)
		}
		if x.oddities(); len(x.mistakes.List) == 0 {
			x.errors(read.errs)
		}
		return nil, x.result(target)
	}
	spec := &Spec{Dir: filepath.ToSlash(target), Remarks: read.remarks, Place: places.of, Digest: places.digest}
	x.elsewhere(spec)
	if _, ok := x.labels.byName["machines"]; !ok {
		if len(x.mistakes.List) > 0 {
			return nil, x.result(target)
		}
		return nil, noMachines(spec.Dir)
	}
	if err := value.Validate(cue.Concrete(true), cue.Final(), cue.All()); err != nil {
		if x.oddities(); len(x.mistakes.List) == 0 {
			x.selves()
			x.unknownNames()
			x.deadReferences()
			x.errors(err)
		}
		x.absentMachines(value)
		l.alsoWrong(value, x)
		return nil, x.result(target)
	}
	if err := l.machines(spec, value, x); err != nil && len(x.mistakes.List) == 0 {
		return nil, err
	}
	if len(x.mistakes.List) > 0 {
		x.selves()
		return nil, x.result(target)
	}
	return spec, nil
}

// result is the error of a spec that did not evaluate.
func (x *explainer) result(target string) error {
	for i := range x.mistakes.List {
		if m := &x.mistakes.List[i]; m.At.File == "" {
			m.At.File = filepath.ToSlash(target)
		}
	}
	x.mistakes.tidy()
	if len(x.mistakes.List) == 0 {
		return fault("%s can't be evaluated, and the evaluator does not say why", target)
	}
	return x.mistakes
}

func (x *explainer) absentMachines(v cue.Value) {
	it, err := v.LookupPath(cue.ParsePath("machines")).Fields()
	for err == nil && it.Next() {
		x.absent(it.Value(), join("machines", it.Selector().Unquoted()), 0)
	}
}

// alsoWrong finds what Go would say of a spec that already has mistakes, so that its builder sees all at once. What only follows from
// a mistake that has its sentence is left out.
func (l *Loader) alsoWrong(value cue.Value, x *explainer) {
	y := *x
	y.mistakes = &Mistakes{}
	spec := &Spec{}
	// What is computed from a spec that is known to be wrong may go astray; the mistakes that are known are enough then.
	defer func() { _ = recover() }()
	if l.machines(spec, value, &y) != nil {
		return
	}
	said := slices.Clone(x.mistakes.List)
	for _, m := range y.mistakes.List {
		if !x.follows(m, said) {
			x.mistakes.List = append(x.mistakes.List, m)
		}
	}
}

// follows reports whether a mistake may come of one that has its sentence: of the same value, of one inside or around it, or of another
// one in the same struct.
func (x *explainer) follows(m Mistake, said []Mistake) bool {
	if m.Path == "" || m.At.File == "" || isServed(m.At.File) {
		return true
	}
	around := splitPath(m.Path)
	own, ownEnd := x.labels.spanAt(m.At, around[len(around)-1])
	if len(around) > 2 {
		around = around[:len(around)-1]
	}
	from, to := x.labels.span(around)
	for _, s := range said {
		names := splitPath(s.Path)
		if slices.Equal(names[:min(len(names), len(around))], around[:min(len(names), len(around))]) {
			return true
		}
		if s.At.within(from, to) || s.At.within(own, ownEnd) {
			return true
		}
	}
	return false
}

// machines decodes the machines of a checked package.
func (l *Loader) machines(spec *Spec, value cue.Value, x *explainer) error {
	spec.House = value.LookupPath(cue.ParsePath("#house"))
	all := value.LookupPath(cue.ParsePath("machines"))
	if !all.Exists() {
		return noMachines(spec.Dir)
	}
	it, err := all.Fields()
	if err != nil {
		return fault("%s: machines wants named machines: machines: \"lifter\": schema.#Machine & {…}", spec.Dir)
	}
	for it.Next() {
		m := &Machine{Name: it.Selector().Unquoted()}
		if l, ok := x.labels.exact([]string{"machines", m.Name}); ok {
			m.At = x.places.of(l.pos)
		}
		if s, _ := it.Value().LookupPath(definitionMark).String(); s != "machine" {
			x.notMade(m)
			continue
		}
		d := &decoder{root: []string{"machines", m.Name}, places: x.places, labels: x.labels, layouts: x.layouts, mistakes: x.mistakes}
		d.value(it.Value(), reflect.ValueOf(m).Elem(), "")
		if m.Air.Given() && !m.Site.Given() {
			d.assume(reflect.ValueOf(&m.Site).Elem(), "site", x.layouts.of[reflect.TypeFor[Site]()])
		}
		m.Assumptions = d.assumptions
		check(m, x.mistakes)
		spec.Machines = append(spec.Machines, m)
	}
	sort.Slice(spec.Machines, func(i, j int) bool { return spec.Machines[i].Name < spec.Machines[j].Name })
	if len(spec.Machines) == 0 && len(x.mistakes.List) == 0 {
		return noMachines(spec.Dir)
	}
	if kit := value.LookupPath(kitPath); kit.Exists() {
		d := &decoder{root: []string{"#kit"}, places: x.places, labels: x.labels, layouts: x.layouts, mistakes: x.mistakes}
		d.kit(spec.Machines, kit)
	}
	return nil
}

var kitPath = cue.MakePath(cue.Def("#kit"))

// kit gives the list that a spec's machines share to each that has none.
func (d *decoder) kit(machines []*Machine, v cue.Value) {
	if s, _ := v.LookupPath(definitionMark).String(); s != "kit" {
		d.mistakes.add(d.places.of(v.Pos()), "#kit", "#kit is not made from the schema: write #kit: schema.#Kit & {…}")
		return
	}
	var kit Kit
	d.value(v, reflect.ValueOf(&kit).Elem(), "")
	var kin []*Machine
	fastenings := map[string]Fastening{}
	for _, m := range machines {
		if len(m.Purchases) == 0 {
			kin = append(kin, m)
			maps.Copy(fastenings, m.Fastenings)
		}
	}
	for _, m := range kin {
		m.Purchases, m.Spares, m.Kin = kit.Purchases, kit.Spares, kin
	}
	if len(kin) > 0 {
		(&checker{kin[0], d.mistakes, map[string]bool{}}).purchases(kit.Purchases, fastenings)
	}
}

// elsewhere finds machines that are written where none is looked for: under a name that is a slip for machines, or hidden.
func (x *explainer) elsewhere(spec *Spec) {
	for _, name := range sorted(x.labels.byName) {
		for _, l := range x.labels.byName[name] {
			if len(l.chain) != 2 || definitionIn(l.value) != "#Machine" {
				continue
			}
			top, hidden := l.chain[0], strings.HasPrefix(l.chain[1], "_") || strings.HasPrefix(l.chain[1], "#")
			switch {
			case top != "machines" && Nearest(top, []string{"machines"}) != "":
				x.mistakes.add(x.places.of(l.pos), "", "the machine stands under `%s`, where trammel does not look: write machines: %q: schema.#Machine & {…}", top, l.chain[1])
			case top == "machines" && hidden:
				spec.Remarks = append(spec.Remarks, Remark{At: x.places.of(l.pos), Text: "is a hidden machine, and was not judged"})
			}
		}
	}
}

// notMade explains a machine that nothing makes one: no part of it names the definition, or its name is a slip for that of one that is.
func (x *explainer) notMade(m *Machine) {
	where := join("machines", m.Name)
	var made []string
	for _, ls := range x.labels.byName {
		for _, l := range ls {
			if len(l.chain) != 2 || definitionIn(l.value) != "#Machine" {
				continue
			}
			if l.chain[0] == "machines" {
				made = append(made, l.chain[1])
			} else if l.chain[1] == m.Name {
				return // elsewhere says so
			}
		}
	}
	if n := Nearest(m.Name, made); n != "" && n != m.Name {
		x.mistakes.add(m.At, where, "%s is not made from the schema; did you mean machines: %q, which is?", where, n)
		return
	}
	x.mistakes.add(m.At, where, "%s is not made from the schema: write machines: %q: schema.#Machine & {…}", where, m.Name)
}

// definitionMark is in values that are made from a definition which says so.
var definitionMark = cue.MakePath(cue.Hid("_definition", ImportPath+"/schema"))

// ErrNoMachines is the error of a package without a machine: wrong when it was named, ordinary when a pattern found it.
var ErrNoMachines = errors.New("no machines: add machines: \"lifter\": schema.#Machine & {…}")

func noMachines(dir string) error { return fmt.Errorf("%s has %w", dir, ErrNoMachines) }

// fault is a mistake without a place in a file.
func fault(format string, args ...any) error {
	return &Mistakes{List: []Mistake{{Text: fmt.Sprintf(format, args...)}}}
}
