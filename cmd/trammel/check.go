package main

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"sync"
	"time"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"trammel.example/checks"
	"trammel.example/cmd/trammel/internal/ramp"
	"trammel.example/cmd/trammel/internal/report"
	"trammel.example/rules"
	"trammel.example/schema"
	"trammel.example/schema/standards"
)

type checkOptions struct {
	write   []string
	room    bool // say how far up the pressure may go
	flagged *pflag.FlagSet
	on      string
	all     bool
	poses   int
	verbose bool
	limits  limits
}

func checkCommand(status *int) *cobra.Command {
	var o checkOptions
	c := &cobra.Command{
		Use:   "check FOLDER|FILE.cue|FOLDER/... ...",
		Short: "Compute and judge every machine of the specs named",
		Long: "Check loads each spec, computes what its machines will do, holds that against the rules and says GO or NO-GO.\n" +
			"A pattern that ends in /... stands for every folder below that holds machines.",
		Args: takes(1, 0),
		RunE: func(cmd *cobra.Command, args []string) error {
			s, err := o.check(newLoader(), args, cmd.OutOrStdout(), cmd.ErrOrStderr())
			*status = s
			return err
		},
	}
	o.flags(c.Flags())
	return c
}

func (o *checkOptions) flags(f *pflag.FlagSet) {
	o.flagged = f
	f.BoolVar(&o.room, "headroom", false, "say of each machine how far up its pressure may go before a rule breaks; takes some tenths of a second for each (default: on a terminal)")
	f.StringArrayVar(&o.write, "write", nil, "also write a report, as FORMAT=FILE: annotations, html, json, junit, markdown, sarif or text; any number of times")
	f.StringVar(&o.on, "on", "", "the day that concessions are judged by, as 2027-06-30 (default: today)")
	f.BoolVar(&o.all, "all", false, "show every computed number and every rule that holds")
	f.IntVar(&o.poses, "poses", 11, "how many poses of each stroke --all shows, 2 to 1000")
	f.BoolVar(&o.verbose, "verbose", false, "add the evaluator's own message to each mistake in a spec")
	o.limits.flags(f)
}

// mostMistakes of one spec are printed; the reports have all.
const mostMistakes = 100

// A checked is what came of one spec.
type checked struct {
	target     string
	spec       *schema.Spec
	judgements []*rules.Judgement
	set        *rules.Set // that they are judged by
	mistakes   []schema.Mistake
	nothing    bool // a pattern found it, and it has no machines
}

func (o *checkOptions) check(loader *schema.Loader, args []string, stdout, stderr io.Writer) (int, error) {
	outputs, err := parseOutputs(o.write, formats)
	if err != nil {
		return exitWrong, err
	}
	if o.poses < 2 || o.poses > 1000 {
		return exitWrong, fmt.Errorf("--poses wants 2 to 1000, and %d is none of them", o.poses)
	}
	if err := o.limits.check(); err != nil {
		return exitWrong, err
	}
	day, err := dayOf(o.on)
	if err != nil {
		return exitWrong, err
	}
	defer o.limits.watch(stderr)()
	targets, err := expand(args)
	if err != nil {
		return exitWrong, err
	}
	results := checkAll(loader, targets, day)
	run := report.Run{Version: version(), Date: day}
	status := exitGo
	machines := 0
	for _, r := range results {
		r.complain(stderr, o.verbose)
		switch {
		case len(r.mistakes) > 0:
			status = exitWrong
		case status == exitGo:
			for _, j := range r.judgements {
				if !j.Go() {
					status = exitNoGo
				}
			}
		}
		machines += len(r.judgements)
		if !r.nothing {
			run.Specs = append(run.Specs, r.result())
		}
	}
	if machines == 0 && status == exitGo {
		return exitWrong, fmt.Errorf("no machines in %s", strings.Join(args, ", "))
	}
	if o.looksUp(isTerminal(stdout)) {
		if run.Plans, err = climb(results, day, stderr); err != nil {
			return exitWrong, err
		}
	}
	if err := report.Text(stdout, run, report.TextOptions{Width: textWidth(stdout), Colour: useColour(stdout), All: o.all, Poses: o.poses}); err != nil {
		return exitWrong, err
	}
	if err := save(outputs, run); err != nil {
		return exitWrong, err
	}
	if status == exitWrong {
		return status, errReported
	}
	return status, nil
}

// looksUp reports whether headroom is looked for: whoever reads along gets it unasked, and what runs over many specs does not wait for it.
func (o *checkOptions) looksUp(terminal bool) bool {
	return o.room || terminal && !o.flagged.Changed("headroom")
}

// looked is the pressure in Pa up to which headroom is looked for, or that set where it is higher.
const looked = 10e5

// climb judges each machine at rising pressure; one without a regulator has no plan.
func climb(results []*checked, day time.Time, stderr io.Writer) (map[*rules.Judgement]*ramp.Plan, error) {
	plans := map[*rules.Judgement]*ramp.Plan{}
	for _, r := range results {
		for _, j := range r.judgements {
			to := looked
			if lead := checks.LeadRegulator(j.Machine); lead != "" {
				to = max(to, j.Machine.Air.Parts[lead].Set.SI)
			}
			plan, err := ramp.Climb(r.set, j.Machine, "", to, day, progress(stderr, j.Machine.Name))
			switch {
			case errors.Is(err, ramp.ErrNoRegulator):
			case err != nil:
				return nil, fmt.Errorf("no headroom for %s: %w", j.Machine.Name, err)
			default:
				plans[j] = plan
			}
		}
	}
	return plans, nil
}

// complain prints the mistakes of a spec.
func (r *checked) complain(stderr io.Writer, verbose bool) {
	for i, m := range r.mistakes {
		if i == mostMistakes {
			fmt.Fprintf(stderr, "%s: and %d more mistakes\n", r.target, len(r.mistakes)-i)
			break
		}
		fmt.Fprintln(stderr, report.Plain(m.String()))
		if verbose && m.Detail != "" {
			for line := range strings.Lines(m.Detail) {
				fmt.Fprintln(stderr, "    "+report.Plain(strings.TrimSuffix(line, "\n")))
			}
		}
	}
}

func (r *checked) result() report.SpecResult {
	s := report.SpecResult{Dir: r.target, Judgements: r.judgements, Mistakes: r.mistakes}
	if r.spec != nil {
		s.Remarks = r.spec.Remarks
	}
	return s
}

// dayOf is the day that a run is judged by: as given, else read from the clock once.
func dayOf(on string) (time.Time, error) {
	if on == "" {
		now := time.Now()
		return time.Date(now.Year(), now.Month(), now.Day(), 0, 0, 0, 0, time.UTC), nil
	}
	d, err := time.Parse(time.DateOnly, on)
	if err != nil {
		return d, fmt.Errorf("--on wants a day as 2027-06-30, and %q is none", on)
	}
	return d, nil
}

// A target is a spec to check; found are those that a pattern stands for.
type target struct {
	path  string
	found bool
}

// expand turns patterns into folders, in order.
func expand(args []string) ([]target, error) {
	var targets []target
	for _, a := range args {
		base, isPattern := strings.CutSuffix(filepath.ToSlash(a), "/...")
		if !isPattern {
			targets = append(targets, target{path: a})
			continue
		}
		root := filepath.FromSlash(base)
		if info, err := os.Lstat(root); err == nil && info.Mode()&fs.ModeSymlink != 0 {
			root += string(filepath.Separator) // a link to a folder may be named; those below it are not followed
		}
		err := filepath.WalkDir(root, func(path string, d fs.DirEntry, err error) error {
			switch {
			case err != nil && path == root:
				return fmt.Errorf("%s: there is no such folder", a)
			case err != nil:
				return fmt.Errorf("%s can't be read: %w", path, err)
			case !d.IsDir():
				return nil
			case path != root && (d.Name() == "cue.mod" || strings.HasPrefix(d.Name(), ".") || strings.HasPrefix(d.Name(), "_")):
				return filepath.SkipDir
			}
			if files, _ := schema.SpecFiles(path); len(files) > 0 {
				targets = append(targets, target{path: filepath.Clean(path), found: true})
			}
			return nil
		})
		if err != nil {
			return nil, err
		}
	}
	if len(targets) == 0 {
		return nil, fmt.Errorf("no folder with .cue files in %s", strings.Join(args, ", "))
	}
	return targets, nil
}

// packages are those that a spec may import, by their names under schema.ImportPath.
var packages = map[string]fs.FS{"schema": schema.Files, "schema/standards": standards.Files, "facts": checks.Files, "rules": rules.Files}

// newLoader reads specs named from the working folder.
func newLoader() *schema.Loader { return schema.NewLoader(".", packages) }

// checkAll checks specs on all processors; the results are in the order of the targets.
func checkAll(loader *schema.Loader, targets []target, day time.Time) []*checked {
	// What all specs need is read while the first is: the schema, then the rules.
	go func() {
		loader.Prepare()
		rules.Shipped()
	}()
	results := make([]*checked, len(targets))
	next := make(chan int)
	var workers sync.WaitGroup
	for range min(len(targets), runtime.GOMAXPROCS(0)) {
		workers.Go(func() {
			for i := range next {
				results[i] = checkOne(loader, targets[i], day)
			}
		})
	}
	for i := range targets {
		next <- i
	}
	close(next)
	workers.Wait()
	return results
}

func checkOne(loader *schema.Loader, t target, day time.Time) *checked {
	r, set := loadOne(loader, t)
	if set == nil {
		return r
	}
	for _, m := range r.spec.Machines {
		r.judgements = append(r.judgements, rules.Judge(set, m, checks.Examine(m), day))
	}
	return r
}

// loadOne reads a spec and the rules that hold for it; there are none where it has mistakes or no machines.
func loadOne(loader *schema.Loader, t target) (*checked, *rules.Set) {
	r := &checked{target: filepath.ToSlash(t.path)}
	spec, err := loader.Load(t.path)
	var mistakes *schema.Mistakes
	switch {
	case t.found && errors.Is(err, schema.ErrNoMachines):
		r.nothing = true
		return r, nil
	case errors.As(err, &mistakes):
		r.mistakes = mistakes.List
		return r, nil
	case err != nil:
		r.mistakes = []schema.Mistake{{Text: err.Error()}}
		return r, nil
	}
	r.spec = spec
	set, faults, err := rules.ForSpec(spec)
	if err != nil {
		faults = append(faults, rules.Fault{Text: err.Error()})
	}
	for _, f := range faults {
		r.mistakes = append(r.mistakes, schema.Mistake{At: f.At, Text: f.Text})
	}
	if len(faults) > 0 {
		return r, nil
	}
	r.set = set
	return r, set
}

func useColour(w io.Writer) bool {
	return os.Getenv("NO_COLOR") == "" && isTerminal(w)
}
