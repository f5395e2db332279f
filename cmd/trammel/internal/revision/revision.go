// Package revision lays out the specs of a git revision in a folder of their own, without touching the working tree.
//
// It runs the git command: what is checked out in a runner has it, and a library would bring its own ideas of partial clones and
// of the owner of a folder.
package revision

import (
	"bufio"
	"bytes"
	"errors"
	"fmt"
	"io"
	"os"
	"os/exec"
	"path"
	"path/filepath"
	"strconv"
	"strings"
)

// A Tree is a revision's CUE files in a folder.
type Tree struct {
	Root   string // the folder; Remove takes it away
	Prefix string // of the working folder within the repository, with slashes; "" at its top
	Commit string
}

// Remove deletes the folder.
func (t *Tree) Remove() error { return os.RemoveAll(t.Root) }

// Of says which commit a folder's files are of, and whether they have changed since; "" where they are in no git repository, or where git
// is not there.
func Of(folder string) string {
	head, err := git(folder, nil, "rev-parse", "--short=12", "HEAD")
	if err != nil {
		return ""
	}
	says := strings.TrimSpace(string(head))
	changed, err := git(folder, nil, "status", "--porcelain", "--ignore-submodules", "--", ".")
	if err != nil || len(changed) > 0 {
		says += " with changes that are not committed"
	}
	return says
}

// mostBytes is what all CUE files of a revision may have in sum: a spec has thousands of bytes.
const mostBytes = 64 << 20

// Extract lays out the CUE files of a revision of the repository that a folder lies in. Links are left out, as a spec that needs one
// is read where it is.
func Extract(folder, name string) (*Tree, error) {
	top, err := git(folder, nil, "rev-parse", "--show-prefix")
	if err != nil {
		return nil, fmt.Errorf("`%s` is no folder, and for a revision the working folder must lie in a git repository: %s", name, firstLine(err))
	}
	prefix := strings.TrimSuffix(strings.TrimSuffix(string(top), "\n"), "/")
	found, err := git(folder, nil, "rev-parse", "--verify", "--quiet", "--end-of-options", name+"^{commit}")
	if err != nil {
		if shallow, _ := git(folder, nil, "rev-parse", "--is-shallow-repository"); strings.TrimSpace(string(shallow)) == "true" {
			return nil, fmt.Errorf("`%s` is neither a folder nor a revision in this clone, which is shallow: fetch the whole history (with actions/checkout, `fetch-depth: 0`), or that revision", name)
		}
		return nil, fmt.Errorf("`%s` is neither a folder nor a revision of this git repository: name a branch, a tag or a commit", name)
	}
	commit := strings.TrimSpace(string(found))
	list, err := git(folder, nil, "ls-tree", "-r", "-z", "--full-tree", commit)
	if err != nil {
		return nil, fmt.Errorf("the files of `%s` can't be listed: %s", name, firstLine(err))
	}
	var names []string
	var asked bytes.Buffer
	for entry := range strings.SplitSeq(strings.TrimSuffix(string(list), "\x00"), "\x00") {
		about, file, ok := strings.Cut(entry, "\t")
		fields := strings.Fields(about)
		if !ok || len(fields) != 3 || fields[1] != "blob" || fields[0] == "120000" || path.Ext(file) != ".cue" || !filepath.IsLocal(filepath.FromSlash(file)) {
			continue
		}
		names = append(names, file)
		fmt.Fprintln(&asked, fields[2])
	}
	blobs, err := git(folder, &asked, "cat-file", "--batch")
	if err != nil {
		return nil, fmt.Errorf("the files of `%s` can't be read: %s", name, firstLine(err))
	}
	root, err := os.MkdirTemp("", "trammel-revision-")
	if err != nil {
		return nil, err
	}
	t := &Tree{Root: root, Prefix: prefix, Commit: commit}
	if err := t.write(names, bufio.NewReader(bytes.NewReader(blobs))); err != nil {
		return nil, errors.Join(fmt.Errorf("the files of `%s` can't be laid out: %w", name, err), t.Remove())
	}
	return t, nil
}

// write takes the answers of cat-file apart: a line with id, kind and size, the bytes, and an end of line for each.
func (t *Tree) write(names []string, answers *bufio.Reader) error {
	sum := 0
	for _, name := range names {
		head, err := answers.ReadString('\n')
		if err != nil {
			return fmt.Errorf("git says nothing of %s", name)
		}
		fields := strings.Fields(head)
		if len(fields) != 3 {
			return fmt.Errorf("%s is not in this clone", name)
		}
		size, err := strconv.Atoi(fields[2])
		if sum += size; err != nil || sum > mostBytes {
			return fmt.Errorf("its CUE files have more than %d MB", mostBytes>>20)
		}
		data := make([]byte, size)
		if _, err := io.ReadFull(answers, data); err != nil {
			return err
		}
		if _, err := answers.Discard(1); err != nil {
			return err
		}
		file := filepath.Join(t.Root, filepath.FromSlash(name))
		if err := os.MkdirAll(filepath.Dir(file), 0o700); err != nil {
			return err
		}
		if err := os.WriteFile(file, data, 0o600); err != nil {
			return err
		}
	}
	return nil
}

// git runs one command that only reads. A clone without some files is not filled up, nobody is asked for a password, no lock is taken,
// and no program of the repository's own configuration is run.
func git(folder string, in io.Reader, args ...string) ([]byte, error) {
	c := exec.Command("git", append([]string{"--no-optional-locks", "-c", "core.fsmonitor=false", "-c", "core.hooksPath=/dev/null"}, args...)...)
	c.Dir = folder
	c.Stdin = in
	c.Env = append(os.Environ(), "GIT_NO_LAZY_FETCH=1", "GIT_TERMINAL_PROMPT=0", "LC_ALL=C")
	var out, complaint bytes.Buffer
	c.Stdout, c.Stderr = &out, &complaint
	if err := c.Run(); err != nil {
		if text := strings.TrimSpace(complaint.String()); text != "" {
			return nil, errors.New(text)
		}
		return nil, err
	}
	return out.Bytes(), nil
}

func firstLine(err error) string {
	line, _, _ := strings.Cut(err.Error(), "\n")
	return line
}
