package schema

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"path/filepath"
	"strings"
	"unicode/utf8"

	"cuelang.org/go/cue/token"
)

// A Place is where something stands in a spec. Columns count characters, not bytes: that is what editors and SARIF want.
type Place struct {
	File         string // as seen from the working folder, with slashes
	Line, Column int
}

func (p Place) String() string {
	if p.Line == 0 {
		return p.File
	}
	return fmt.Sprintf("%s:%d:%d", p.File, p.Line, p.Column)
}

// or is p, or q where p is nowhere.
func (p Place) or(q Place) Place {
	if p.File == "" {
		return q
	}
	return p
}

// Before orders places by file, line and column.
func (p Place) Before(q Place) bool {
	if p.File != q.File {
		return p.File < q.File
	}
	if p.Line != q.Line {
		return p.Line < q.Line
	}
	return p.Column < q.Column
}

func (p Place) within(from, to Place) bool {
	return p.File == from.File && !p.Before(from) && p.Before(to)
}

// places turns the evaluator's positions into places.
type places struct {
	cwd   string
	names map[string]string
	lines map[string][][]byte
}

func newPlaces(cwd string) *places {
	return &places{cwd: cwd, names: map[string]string{}, lines: map[string][][]byte{}}
}

// name is a file's path as seen from the working folder.
func (ps *places) name(file string) string {
	if n, ok := ps.names[file]; ok {
		return n
	}
	n := file
	if rel, err := filepath.Rel(ps.cwd, file); err == nil && !strings.HasPrefix(rel, "..") {
		n = rel
	}
	n = filepath.ToSlash(n)
	ps.names[file] = n
	return n
}

// keep remembers a file's text.
func (ps *places) keep(file string, data []byte) { ps.lines[file] = bytes.Split(data, []byte("\n")) }

// text is a file's text, and line the line of a position in it; empty for a file that was not read.
func (ps *places) text(file string) []byte { return bytes.Join(ps.lines[file], []byte("\n")) }

// digest is that of all files kept, by their names without folders: it is the same wherever the spec lies.
func (ps *places) digest() string {
	h := sha256.New()
	for _, file := range sorted(ps.lines) {
		text := ps.text(file)
		fmt.Fprintf(h, "%s\x00%d\x00%s", filepath.Base(file), len(text), text)
	}
	return hex.EncodeToString(h.Sum(nil))
}

func (ps *places) line(pos token.Pos) string {
	lines := ps.lines[pos.Filename()]
	if n := pos.Line(); n >= 1 && n <= len(lines) {
		return string(lines[n-1])
	}
	return ""
}

// of is the place of a position. One in a served package has no place that a builder could change.
func (ps *places) of(pos token.Pos) Place {
	if !pos.IsValid() {
		return Place{}
	}
	p := pos.Position()
	at := Place{File: ps.name(p.Filename), Line: p.Line, Column: p.Column}
	lines := ps.lines[p.Filename]
	if p.Line <= len(lines) && p.Column-1 <= len(lines[p.Line-1]) {
		at.Column = utf8.RuneCount(lines[p.Line-1][:p.Column-1]) + 1
	}
	return at
}
