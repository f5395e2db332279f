package schema

import (
	"bytes"
	"fmt"
	"io/fs"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"sync"

	"cuelang.org/go/cue/ast"
	"cuelang.org/go/cue/build"
	"cuelang.org/go/cue/errors"
	"cuelang.org/go/cue/parser"
	"cuelang.org/go/cue/token"
)

// ImportPath is the module under which a spec imports the schema: `import "trammel.example/schema"`.
const ImportPath = "trammel.example"

// LargestFile is how long a file of a spec may be. A page that a builder writes has some ten thousand bytes; a generated parts list some
// hundred thousand. A larger one is a mistake or an attack.
const LargestFile = 1 << 20

// sources reads packages as text and as syntax. The evaluator's own loader is not used: it takes files whatever their size and wherever
// they lie, fetches modules, merges copies of the schema with the one that is served, and takes as long as the evaluation.
//
// What is served under ImportPath is read once; sources may be used by several goroutines.
type sources struct {
	packages map[string]fs.FS
	mutex    sync.Mutex
	built    map[string]*build.Instance
}

// served is a package that is served under ImportPath, or nil.
func (s *sources) served(name string) *build.Instance {
	s.mutex.Lock()
	defer s.mutex.Unlock()
	return s.serve(name)
}

func (s *sources) serve(name string) *build.Instance {
	if inst, ok := s.built[name]; ok {
		return inst
	}
	fsys, ok := s.packages[name]
	if !ok {
		return nil
	}
	load := func(_ token.Pos, path string) *build.Instance {
		if other, ok := strings.CutPrefix(path, ImportPath+"/"); ok {
			return s.serve(other)
		}
		return nil // a package of the language
	}
	inst := build.NewContext().NewInstance(name, load)
	inst.ImportPath = ImportPath + "/" + name
	err := eachFile(fsys, func(file string, data []byte) error {
		f, err := parser.ParseFile(servedName(name, file), data, parser.ParseComments)
		if err != nil {
			return err
		}
		inst.AddSyntax(f) // which keeps what is wrong with it
		return nil
	})
	if err != nil {
		inst.ReportError(errors.Promote(err, "served"))
	}
	inst.Complete()
	s.built[name] = inst
	return inst
}

// servedName is the file name of positions in a served package; names of files on disk are absolute.
func servedName(name, file string) string { return ImportPath + "/" + name + "/" + file }

// isServed reports whether a position's file is of a served package.
func isServed(file string) bool { return strings.HasPrefix(file, ImportPath+"/") }

func eachFile(fsys fs.FS, do func(name string, data []byte) error) error {
	names, err := fs.Glob(fsys, "*.cue")
	if err != nil {
		return err
	}
	for _, name := range names {
		data, err := fs.ReadFile(fsys, name)
		if err != nil {
			return err
		}
		if err := do(name, data); err != nil {
			return err
		}
	}
	return nil
}

// A told error has a message that is a sentence for the builder.
type told struct{ cueError }

type cueError = errors.Error

// reading is the reading of one spec.
type reading struct {
	*sources
	places   *places
	root     string // the folder of cue.mod, or that of the spec
	files    *os.Root
	module   string // the import path of root, or ""
	context  *build.Context
	open     []string // the packages being read, each imported by the one before
	errs     errors.Error
	slips    [][]errors.Error // of each file whose syntax is wrong
	mistakes Mistakes
	remarks  []Remark
}

// read reads the package in dir, or only one file of it. What is wrong with the text is in errs and in mistakes. The reading is to be closed.
func (s *sources) read(places *places, dir, file string) (*build.Instance, *reading) {
	r := &reading{sources: s, places: places, root: dir}
	isModule := false
	if root := moduleRoot(dir); root != "" {
		r.root, isModule = root, true
	}
	var err error
	if r.files, err = os.OpenRoot(r.root); err != nil {
		r.mistakes.add(Place{File: places.name(r.root)}, "", "can't be read: %s", reasonOf(err))
		return build.NewContext().NewInstance(dir, nil), r
	}
	if isModule {
		r.module = r.moduleName()
	}
	r.context = build.NewContext(build.Loader(r.load))
	inst := r.context.NewInstance(dir, nil)
	if file != "" {
		r.add(inst, r.parse(filepath.Join(dir, file)))
	} else {
		r.folder(inst, "")
	}
	if r.good() {
		inst.Complete()
	}
	return inst, r
}

func (r *reading) close() {
	if r.files != nil {
		r.files.Close()
	}
}

// good reports whether nothing is wrong so far.
func (r *reading) good() bool { return r.errs == nil && len(r.slips) == 0 && len(r.mistakes.List) == 0 }

// folder adds the files of the instance's folder that belong to one package: that of the name, or the only one that the folder holds.
// A package in a module also takes the files of the same package in the folders above.
func (r *reading) folder(inst *build.Instance, pkg string) {
	names, err := SpecFiles(inst.Dir)
	if err != nil {
		r.mistakes.add(Place{File: r.places.name(inst.Dir)}, "", "can't be read: %s", reasonOf(err))
		return
	}
	if len(names) == 0 {
		r.mistakes.add(Place{File: r.places.name(inst.Dir)}, "", "holds no .cue file: a spec is a folder with one or more")
		return
	}
	var files []*ast.File
	for _, name := range names {
		if f := r.parse(filepath.Join(inst.Dir, name)); f != nil {
			files = append(files, f)
		}
	}
	only := pkg != ""
	for _, f := range files {
		switch p := f.PackageName(); {
		case p == "" || p == "_" || p == pkg || only:
		case pkg == "":
			pkg = p
		default:
			first := files[slices.IndexFunc(files, func(f *ast.File) bool { return f.PackageName() == pkg })]
			r.mistakes.add(r.places.of(packageClause(f)), "", "the folder has files of two packages, %s (%s) and %s (%s): a spec is one package; move one to a folder of its own",
				pkg, filepath.Base(first.Filename), p, filepath.Base(f.Filename))
			return
		}
	}
	for _, f := range files {
		p := f.PackageName()
		if p == "_" {
			p = ""
		}
		switch {
		case p == pkg:
			r.add(inst, f)
		case p == "" && !only:
			r.mistakes.add(Place{File: r.places.name(f.Filename)}, "", "is not part of the spec: begin it with `package %s`, or move it out of the folder", pkg)
		}
	}
	if pkg == "" {
		return
	}
	for dir := inst.Dir; dir != r.root && dir != filepath.Dir(dir); {
		dir = filepath.Dir(dir)
		names, err := SpecFiles(dir)
		if err != nil {
			return
		}
		for _, name := range names {
			if f := r.parse(filepath.Join(dir, name)); f != nil && f.PackageName() == pkg {
				r.add(inst, f)
			}
		}
	}
}

func packageClause(f *ast.File) token.Pos {
	for _, d := range f.Decls {
		if p, ok := d.(*ast.Package); ok {
			return p.Pos()
		}
	}
	return f.Pos()
}

func (r *reading) add(inst *build.Instance, f *ast.File) {
	if f == nil {
		return
	}
	if err := inst.AddSyntax(f); err != nil {
		r.errs = errors.Append(r.errs, err)
	}
}

// SpecFiles are the files of a folder that its packages are made of: not those that are set aside by their names.
func SpecFiles(dir string) ([]string, error) {
	entries, err := os.ReadDir(dir)
	var names []string
	for _, e := range entries {
		name := e.Name()
		aside := strings.HasPrefix(name, "_") || strings.HasPrefix(name, ".") || strings.HasSuffix(name, "_tool.cue") || strings.HasSuffix(name, "_test.cue")
		if filepath.Ext(name) == ".cue" && !aside {
			names = append(names, name)
		}
	}
	return names, err
}

// parse reads one file; it returns nil where the file says to leave it out, or is wrong.
func (r *reading) parse(full string) *ast.File {
	data, problem := r.text(full)
	if problem != "" {
		r.mistakes.add(Place{File: r.places.name(full)}, "", "%s", problem)
		return nil
	}
	r.places.keep(full, data)
	f, err := parser.ParseFile(full, data, parser.ParseComments)
	if err != nil {
		r.slips = append(r.slips, errors.Errors(err))
		return nil
	}
	for _, d := range f.Decls {
		a, ok := d.(*ast.Attribute)
		if !ok {
			break
		}
		switch key, _ := a.Split(); key {
		case "ignore":
			return nil
		case "if":
			r.mistakes.add(r.places.of(a.Pos()), "", "trammel judges a spec as it stands and takes no tags: write `@ignore()` to leave the file out, or drop the line to keep it")
			return nil
		}
	}
	return f
}

// load gives the package for an import, or nil for a package of the language.
func (r *reading) load(pos token.Pos, importPath string) *build.Instance {
	refuse := func(format string, args ...any) *build.Instance {
		inst := r.context.NewInstance("", nil)
		inst.Err = told{errors.Newf(pos, format, args...)}
		return inst
	}
	ip := ast.ParseImportPath(importPath)
	if first, _, _ := strings.Cut(ip.Path, "/"); !strings.Contains(first, ".") {
		return nil
	}
	if name, ok := strings.CutPrefix(ip.Path, ImportPath+"/"); ok {
		if inst := r.served(name); inst != nil && importPath != ip.Path {
			return refuse("`%s` can't be imported: write `%s`", importPath, ip.Path)
		} else if inst != nil {
			own := *inst // the evaluator writes into what it imports, and other specs are being read
			return &own
		}
		var names []string
		for n := range r.packages {
			names = append(names, ImportPath+"/"+n)
		}
		return refuse("`%s` can't be imported: %s", importPath, meant(ip.Path, names))
	}
	dir := filepath.Join(r.root, "cue.mod", "pkg", filepath.FromSlash(ip.Path))
	if sub, ok := strings.CutPrefix(ip.Path+"/", r.module+"/"); ok && r.module != "" {
		dir = filepath.Join(r.root, filepath.FromSlash(sub))
	}
	if info, err := os.Stat(dir); err != nil || !info.IsDir() || strings.Contains("/"+ip.Path+"/", "/../") {
		if r.module != "" && strings.HasPrefix(ip.Path+"/", r.module+"/") {
			return refuse("`%s` can't be imported: there is no folder %s", importPath, r.places.name(dir))
		}
		return refuse("`%s` can't be imported: trammel uses no network: copy it to %s", importPath, r.places.name(dir))
	}
	if slices.Contains(r.open, dir) {
		return refuse("`%s` is imported by what it imports itself: move what both need to a package of its own", importPath)
	}
	r.open = append(r.open, dir)
	defer func() { r.open = r.open[:len(r.open)-1] }()
	inst := r.context.NewInstance(dir, nil)
	inst.ImportPath = importPath
	r.folder(inst, ip.Qualifier)
	if len(inst.Files) == 0 && r.good() {
		return refuse("`%s` can't be imported: %s has no file of `package %s`", importPath, r.places.name(dir), ip.Qualifier)
	}
	inst.Complete()
	return inst
}

// copies remarks on copies of the served packages in the repository that say something else: the cue command and editors go by them.
func (r *reading) copies() {
	within := filepath.Join(r.root, "cue.mod", "pkg", ImportPath)
	if _, err := os.Stat(within); err != nil {
		return
	}
	for _, name := range slices.Sorted(maps.Keys(r.packages)) {
		dir := filepath.Join(within, filepath.FromSlash(name))
		if _, err := os.Stat(dir); err != nil {
			continue
		}
		var differ []string
		wanted := map[string]bool{}
		eachFile(r.packages[name], func(file string, data []byte) error {
			wanted[file] = true
			if have, problem := r.text(filepath.Join(dir, file)); problem != "" || !bytes.Equal(have, data) {
				differ = append(differ, file)
			}
			return nil
		})
		files, _ := SpecFiles(dir)
		for _, file := range files {
			if !wanted[file] {
				differ = append(differ, file)
			}
		}
		if len(differ) == 0 {
			continue
		}
		slices.Sort(differ)
		if n := len(differ) - 3; n > 0 {
			differ = append(differ[:3], fmt.Sprintf("and %d more", n))
		}
		r.remarks = append(r.remarks, Remark{At: Place{File: r.places.name(dir)}, Text: "differs from the definitions that this version of trammel judges by, in " + strings.Join(differ, ", ") +
			": its own were used. `trammel start` in a new folder writes a copy that agrees"})
	}
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

// moduleName is the import path that a module gives itself, or "": only a spec that imports its own packages needs one.
func (r *reading) moduleName() string {
	full := filepath.Join(r.root, "cue.mod", "module.cue")
	data, problem := r.text(full)
	if problem != "" {
		return ""
	}
	f, err := parser.ParseFile(full, data)
	if err != nil {
		r.mistakes.add(Place{File: r.places.name(full)}, "", "is not CUE, so that the spec's own packages can't be told: %v", err)
		return ""
	}
	for _, d := range f.Decls {
		field, ok := d.(*ast.Field)
		if !ok {
			continue
		}
		name, _, _ := ast.LabelName(field.Label)
		if text, ok := field.Value.(*ast.BasicLit); ok && name == "module" {
			module, _ := strconv.Unquote(text.Value)
			return ast.ParseImportPath(module).Path
		}
	}
	return ""
}

// text reads a file of the spec. It refuses what a stranger's repository could send it to: links that lead out of the repository, folders
// and devices named like files, files that are far too long.
func (r *reading) text(full string) (data []byte, problem string) {
	name, err := filepath.Rel(r.root, full)
	if err != nil {
		return nil, "can't be read: " + reasonOf(err)
	}
	info, err := r.files.Stat(name)
	switch {
	case err != nil && exists(full) && !os.IsPermission(err):
		return nil, "is a link that leads out of the spec's repository, or whose target is written from the root of the disk, which is not followed: copy the file in"
	case err != nil:
		return nil, "can't be read: " + reasonOf(err)
	case info.IsDir():
		return nil, "is a folder with the name of a file: rename it"
	case !info.Mode().IsRegular():
		return nil, "is no ordinary file"
	case info.Size() > LargestFile:
		return nil, fmt.Sprintf("is %.1f MB long; a spec's file may have %d MB: split it, or leave out what no machine needs", float64(info.Size())/1e6, LargestFile>>20)
	}
	data, err = r.files.ReadFile(name)
	if err != nil {
		return nil, "can't be read: " + reasonOf(err)
	}
	return data, ""
}

func exists(name string) bool {
	_, err := os.Stat(name)
	return err == nil
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
