package rules

import (
	"encoding/json"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"sort"
	"strings"

	"cuelang.org/go/cue"
	"cuelang.org/go/cue/cuecontext"
	cueerrors "cuelang.org/go/cue/errors"
	"cuelang.org/go/cue/load"
	"cuelang.org/go/cue/token"

	"trammel.example/checks"
	"trammel.example/schema"
)

// Compile reads the shipped rules from the CUE files in dir, written against the facts in the file facts, and returns them as JSON. It
// refuses a rule that lacks anything or names a fact that does not exist.
func Compile(dir, facts string) ([]byte, error) {
	files, err := filepath.Glob(filepath.Join(dir, "*.cue"))
	if err != nil {
		return nil, err
	}
	root, err := filepath.Abs("compiled") // need not exist: all files are overlaid
	if err != nil {
		return nil, err
	}
	overlay := map[string]load.Source{
		filepath.Join(root, "cue.mod", "module.cue"): load.FromString(fmt.Sprintf("module: %q\nlanguage: version: \"v0.17.0\"\n", schema.ImportPath)),
	}
	for _, f := range files {
		data, err := os.ReadFile(f)
		if err != nil {
			return nil, err
		}
		overlay[filepath.Join(root, "rules", filepath.Base(f))] = load.FromBytes(data)
	}
	data, err := os.ReadFile(facts)
	if err != nil {
		return nil, err
	}
	overlay[filepath.Join(root, "facts", "facts.cue")] = load.FromBytes(data)
	inst := load.Instances([]string{"./rules"}, &load.Config{Dir: root, Overlay: overlay})[0]
	if inst.Err != nil {
		return nil, errors.New(cueerrors.Details(inst.Err, nil))
	}
	v := cuecontext.New().BuildInstance(inst)
	if err := v.Validate(cue.All()); err != nil {
		return nil, errors.New(cueerrors.Details(err, nil))
	}
	kinds, err := checks.Definitions()
	if err != nil {
		return nil, err
	}
	r := &reader{kinds: kinds, place: func(p token.Pos) schema.Place {
		return schema.Place{File: filepath.Base(p.Filename()), Line: p.Line(), Column: p.Column()}
	}}
	it, err := v.LookupPath(cue.ParsePath("rules")).Fields()
	if err != nil {
		return nil, err
	}
	var rules []*Rule
	for it.Next() {
		rule := r.rule(it.Selector().Unquoted(), it.Value())
		if rule != nil {
			rule.Domain = strings.TrimSuffix(rule.At.File, ".cue")
			rule.At = schema.Place{}
			rules = append(rules, rule)
		}
	}
	if len(r.faults) > 0 {
		var all []error
		for _, f := range r.faults {
			all = append(all, errors.New(f.String()))
		}
		return nil, errors.Join(all...)
	}
	sort.Slice(rules, func(i, j int) bool {
		if rules[i].Domain != rules[j].Domain {
			return rules[i].Domain < rules[j].Domain
		}
		return rules[i].Name < rules[j].Name
	})
	data, err = json.MarshalIndent(rules, "", "\t")
	return append(data, '\n'), err
}
