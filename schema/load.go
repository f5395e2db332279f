package schema

import (
	"bytes"
	"embed"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"reflect"
	"sort"
	"strings"

	"cuelang.org/go/cue"
	"cuelang.org/go/cue/cuecontext"
	"cuelang.org/go/cue/load"
)

// ImportPath is the module under which a spec imports the schema: `import "trammel.example/schema"`.
const ImportPath = "trammel.example"

// Files is the schema as builders import it.
//
//go:embed *.cue
var Files embed.FS

// LargestFile is how long a file of a spec may be. A page that a builder writes has some ten thousand bytes; a generated parts list some
// hundred thousand. A larger one is a mistake or an attack.
const LargestFile = 1 << 20

// A Loader reads specs. Packages are the CUE packages served under ImportPath, by name; all are served from memory, whatever copies the
// spec's repository holds.
type Loader struct {
	Packages map[string]fs.FS
	// Dir is the working folder: patterns and printed paths are relative to it.
	Dir string
}

// Load reads the package in one folder, or one file. The error is *Mistakes when the spec is at fault.
func (l *Loader) Load(target string) (*Spec, error) {
	cwd, err := filepath.Abs(l.Dir)
	if err != nil {
		return nil, err
	}
	full := target
	if !filepath.IsAbs(full) {
		full = filepath.Join(cwd, target)
	}
	info, err := os.Stat(full)
	if err != nil {
		return nil, fault("%s: %s", target, reasonOf(err))
	}
	dir, file := full, ""
	if !info.IsDir() {
		if filepath.Ext(full) != ".cue" {
			return nil, fault("%s is no .cue file: name a folder with a spec, or one .cue file", target)
		}
		dir, file = filepath.Dir(full), filepath.Base(full)
	}
	root := moduleRoot(dir)
	if err := checkFiles(target, dir, file, root); err != nil {
		return nil, err
	}
	spec := &Spec{Dir: filepath.ToSlash(target)}
	overlay, embedded, err := l.overlay(spec, dir, root)
	if err != nil {
		return nil, err
	}
	cfg := &load.Config{Dir: dir, Overlay: overlay, Registry: noRegistry{}, Env: []string{}}
	arg := "."
	if file != "" {
		arg = "./" + file
	}
	instances := load.Instances([]string{arg}, cfg)
	places := newPlaces(cwd)
	spec.Place = places.of
	mistakes := &Mistakes{}
	x := &explainer{places: places, embedded: embedded, mistakes: mistakes, said: map[string]bool{}}
	if x.definitions, err = l.definitions(); err != nil {
		return nil, err
	}
	inst := instances[0]
	x.files = inst.Files
	x.labels = newLabels(places, inst.Files)
	if inst.Err != nil {
		x.errors(inst.Err)
		return nil, x.result(target)
	}
	if file == "" {
		// The evaluator passes over a file that has no package clause where the folder holds a package; what it says would be lost.
		read := map[string]bool{}
		for _, f := range inst.Files {
			read[f.Filename] = true
		}
		names, _ := filepath.Glob(filepath.Join(dir, "*.cue"))
		for _, name := range names {
			base := filepath.Base(name)
			aside := strings.HasPrefix(base, "_") || strings.HasPrefix(base, ".") || strings.HasSuffix(base, "_tool.cue") || strings.HasSuffix(base, "_test.cue")
			if !read[name] && !aside && inst.PkgName != "" {
				mistakes.add(Place{File: places.name(name)}, "", "is not part of the spec: begin it with `package %s`, or move it out of the folder", inst.PkgName)
			}
		}
		if len(mistakes.List) > 0 {
			return nil, x.result(target)
		}
	}
	if _, ok := x.labels.byName["machines"]; !ok {
		return nil, noMachines(spec.Dir)
	}
	value := cuecontext.New().BuildInstance(inst)
	if err := value.Validate(cue.Concrete(true), cue.Final(), cue.All()); err != nil {
		x.unknownNames()
		x.deadReferences()
		x.errors(err)
		x.absentMachines(value)
		l.alsoWrong(value, x)
		return nil, x.result(target)
	}
	if err := l.machines(spec, value, x); err != nil {
		return nil, err
	}
	mistakes.tidy()
	if len(mistakes.List) > 0 {
		return nil, mistakes
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
	if l.machines(spec, value, &y) != nil {
		return
	}
	for _, m := range y.mistakes.List {
		follows := m.Path == "" || m.At.File == "" || strings.HasPrefix(m.At.File, x.places.name(x.embedded))
		for said := range x.said {
			follows = follows || strings.HasPrefix(said, m.Path) || strings.HasPrefix(m.Path, said) || strings.HasSuffix(said, "."+m.Path) || strings.Contains(said, m.Path+".")
		}
		if !follows {
			x.mistakes.List = append(x.mistakes.List, m)
		}
	}
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
	made := cue.MakePath(cue.Hid("_definition", ImportPath+"/schema"))
	layouts := map[reflect.Type]*layout{}
	for it.Next() {
		m := &Machine{Name: it.Selector().Unquoted()}
		where := join("machines", m.Name)
		if at, ok := x.labels.find(where); ok {
			m.At = at
		}
		if s, _ := it.Value().LookupPath(made).String(); s != "machine" {
			x.mistakes.add(m.At, where, "%s is not made from the schema: write machines: %q: schema.#Machine & {…}", where, m.Name)
			continue
		}
		d := &decoder{places: x.places, labels: x.labels, definitions: x.definitions, embedded: x.embedded, layouts: layouts, mistakes: x.mistakes}
		d.value(it.Value(), reflect.ValueOf(m).Elem(), "")
		if m.Air.Given() && !m.Site.Given() {
			d.assume(reflect.ValueOf(&m.Site).Elem(), "site", d.layoutOf(reflect.TypeFor[Site]()))
		}
		m.Assumptions = d.assumptions
		check(m, x.mistakes)
		spec.Machines = append(spec.Machines, m)
	}
	sort.Slice(spec.Machines, func(i, j int) bool { return spec.Machines[i].Name < spec.Machines[j].Name })
	if len(spec.Machines) == 0 && len(x.mistakes.List) == 0 {
		return noMachines(spec.Dir)
	}
	return nil
}

// ErrNoMachines is the error of a package without a machine: wrong when it was named, ordinary when a pattern found it.
var ErrNoMachines = errors.New("no machines: add machines: \"lifter\": schema.#Machine & {…}")

func noMachines(dir string) error { return fmt.Errorf("%s has %w", dir, ErrNoMachines) }

// fault is a mistake without a place in a file.
func fault(format string, args ...any) error {
	return &Mistakes{List: []Mistake{{Text: fmt.Sprintf(format, args...)}}}
}

func (l *Loader) definitions() (definitions, error) {
	files := map[string][]byte{}
	err := eachFile(l.Packages["schema"], func(name string, data []byte) { files[name] = data })
	if err != nil {
		return nil, err
	}
	return readDefinitions(files)
}

func eachFile(fsys fs.FS, do func(name string, data []byte)) error {
	entries, err := fs.Glob(fsys, "*.cue")
	if err != nil {
		return err
	}
	for _, name := range entries {
		data, err := fs.ReadFile(fsys, name)
		if err != nil {
			return err
		}
		do(name, data)
	}
	return nil
}

// overlay serves the embedded packages, and hides every copy of them that the evaluator would merge in.
func (l *Loader) overlay(spec *Spec, dir, root string) (map[string]load.Source, string, error) {
	overlay := map[string]load.Source{}
	if root == "" {
		root = dir
		overlay[filepath.Join(root, "cue.mod", "module.cue")] = load.FromString("module: \"spec.example\"\nlanguage: version: \"v0.17.0\"\n")
	}
	served := filepath.Join(root, "cue.mod", "pkg", ImportPath)
	ours := map[string][]byte{}
	for name, fsys := range l.Packages {
		err := eachFile(fsys, func(file string, data []byte) { ours[filepath.Join(served, name, file)] = data })
		if err != nil {
			return nil, "", err
		}
	}
	hide := load.FromString("@ignore()\npackage _\n")
	for _, kind := range []string{"gen", "usr", "pkg"} {
		base := filepath.Join(root, "cue.mod", kind)
		for _, pattern := range []string{"*.cue", ImportPath + "/*.cue", ImportPath + "/*/*.cue"} {
			files, _ := filepath.Glob(filepath.Join(base, pattern))
			for _, f := range files {
				overlay[f] = hide
				if data, err := os.ReadFile(f); err == nil && kind == "pkg" && ours[f] != nil && !bytes.Equal(data, ours[f]) {
					name, _ := filepath.Rel(root, f)
					spec.Remarks = append(spec.Remarks, Remark{At: Place{File: filepath.ToSlash(name)}, Text: "differs from the definitions that this version of trammel judges by; its own were used"})
				}
			}
		}
	}
	for f, data := range ours {
		overlay[f] = load.FromBytes(data)
	}
	return overlay, served, nil
}

// moduleRoot is the nearest folder upwards with a cue.mod, or "".
func moduleRoot(dir string) string {
	for {
		if info, err := os.Stat(filepath.Join(dir, "cue.mod", "module.cue")); err == nil && !info.IsDir() {
			return dir
		}
		up := filepath.Dir(dir)
		if up == dir {
			return ""
		}
		dir = up
	}
}

// checkFiles refuses what the evaluator would follow or choke on: links that lead out of the repository, folders named like files, files
// that can't be read or are far too long, and two packages in one folder.
func checkFiles(target, dir, file, root string) error {
	if root == "" {
		root = dir
	}
	var mistakes Mistakes
	found := 0
	// A package also takes the files of the folders above it, up to the module's root.
	for d := dir; ; d = filepath.Dir(d) {
		entries, err := os.ReadDir(d)
		if err != nil {
			return fault("%s: %s", target, reasonOf(err))
		}
		for _, e := range entries {
			name := e.Name()
			if filepath.Ext(name) != ".cue" || file != "" && (d != dir || name != file) {
				continue
			}
			shown := path.Join(filepath.ToSlash(target), name)
			if file != "" {
				shown = filepath.ToSlash(target)
			}
			if d != dir {
				shown = filepath.ToSlash(filepath.Join(d, name))
			}
			if d == dir {
				found++
			}
			if text := checkFile(filepath.Join(d, name), root); text != "" {
				mistakes.List = append(mistakes.List, Mistake{Text: shown + " " + text})
			}
		}
		if d == root || filepath.Dir(d) == d {
			break
		}
	}
	if len(mistakes.List) > 0 {
		return &mistakes
	}
	if found == 0 {
		return fault("%s holds no .cue file: a spec is a folder with one or more", target)
	}
	return nil
}

func checkFile(full, root string) string {
	real, err := filepath.EvalSymlinks(full)
	if err != nil {
		return "can't be read: " + reasonOf(err)
	}
	realRoot, err := filepath.EvalSymlinks(root)
	if err != nil {
		return "can't be read: " + reasonOf(err)
	}
	if rel, err := filepath.Rel(realRoot, real); err != nil || rel == ".." || strings.HasPrefix(rel, ".."+string(filepath.Separator)) {
		return "is a link to a file outside the spec's repository, which is not followed: copy the file in"
	}
	info, err := os.Stat(real)
	switch {
	case err != nil:
		return "can't be read: " + reasonOf(err)
	case info.IsDir():
		return "is a folder with the name of a file: rename it"
	case !info.Mode().IsRegular():
		return "is no ordinary file"
	case info.Size() > LargestFile:
		return fmt.Sprintf("is %.1f MB long; a spec's file may have %d MB: split it, or leave out what no machine needs", float64(info.Size())/1e6, LargestFile>>20)
	}
	f, err := os.Open(real)
	if err != nil {
		return "can't be read: " + reasonOf(err)
	}
	f.Close()
	return ""
}

// reasonOf is an error of the file system without the path, which the sentence already has.
func reasonOf(err error) string {
	var pe *fs.PathError
	if errors.As(err, &pe) {
		switch {
		case os.IsNotExist(err):
			return "there is no such file or folder"
		case os.IsPermission(err):
			return "permission is denied"
		}
		return pe.Err.Error()
	}
	return err.Error()
}
