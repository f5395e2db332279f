// Package start writes the repository that a builder begins with.
package start

import (
	"embed"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"trammel.example/schema"
)

//go:embed all:new
var files embed.FS

// packagesDir is where the cue command looks for the packages that a spec imports.
const packagesDir = "cue.mod/pkg/" + schema.ImportPath

// Write writes a spec that passes into a folder, which is made if need be, with a copy of the packages that it may import. It gives the
// names of the files, with slashes. Nothing that is there is overwritten, and an error leaves nothing behind.
func Write(dir string, packages map[string]fs.FS) (names []string, err error) {
	contents := map[string][]byte{}
	spec, err := fs.Sub(files, "new")
	if err != nil {
		return nil, err
	}
	if err := collect(contents, spec, ""); err != nil {
		return nil, err
	}
	for name, fsys := range packages {
		if err := collect(contents, fsys, packagesDir+"/"+name+"/"); err != nil {
			return nil, err
		}
	}
	switch info, err := os.Stat(dir); {
	case dir == "":
		return nil, errors.New("a folder is wanted: name one to be made, or `.` for this one")
	case err == nil && !info.IsDir():
		return nil, fmt.Errorf("%s is no folder: name one to be made", dir)
	}
	var there []string
	for name := range contents {
		names = append(names, name)
		if _, err := os.Lstat(filepath.Join(dir, name)); err == nil {
			there = append(there, name)
		}
	}
	slices.Sort(names)
	if slices.Sort(there); len(there) > 0 {
		if rest := len(there) - 3; rest > 0 {
			there = append(there[:3], fmt.Sprintf("and %d more", rest))
		}
		return nil, fmt.Errorf("%s holds %s already, and nothing is overwritten: name a new folder", dir, strings.Join(there, ", "))
	}
	if own, _ := schema.SpecFiles(dir); len(own) > 0 {
		return nil, fmt.Errorf("%s holds a spec already (%s), and two in one folder can't be told apart: name a new folder", dir, own[0])
	}
	var made []string // files and folders, in the order in which they were made
	defer func() {
		if err == nil {
			return
		}
		for _, path := range slices.Backward(made) {
			os.Remove(path)
		}
	}()
	for _, name := range names {
		path := filepath.Join(dir, name)
		if err := makeFolders(filepath.Dir(path), &made); err != nil {
			return nil, err
		}
		if err := create(path, contents[name], &made); err != nil {
			return nil, err
		}
	}
	return names, nil
}

func collect(contents map[string][]byte, fsys fs.FS, under string) error {
	return fs.WalkDir(fsys, ".", func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		contents[under+path], err = fs.ReadFile(fsys, path)
		return err
	})
}

func makeFolders(dir string, made *[]string) error {
	if _, err := os.Stat(dir); err == nil {
		return nil
	}
	if err := makeFolders(filepath.Dir(dir), made); err != nil {
		return err
	}
	if err := os.Mkdir(dir, 0o777); err != nil {
		return told(dir, err)
	}
	*made = append(*made, dir)
	return nil
}

func create(path string, data []byte, made *[]string) error {
	f, err := os.OpenFile(path, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o666)
	if err != nil {
		return told(path, err)
	}
	*made = append(*made, path)
	_, err = f.Write(data)
	if err := errors.Join(err, f.Close()); err != nil {
		return told(path, err)
	}
	return nil
}

// told leaves the name of the system's call out.
func told(path string, err error) error {
	var failed *fs.PathError
	if errors.As(err, &failed) {
		err = failed.Err
	}
	return fmt.Errorf("%s can't be written: %w; nothing was left there", path, err)
}
