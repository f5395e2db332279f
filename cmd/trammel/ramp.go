package main

import (
	"fmt"
	"io"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"trammel.example/cmd/trammel/internal/ramp"
	"trammel.example/cmd/trammel/internal/report"
	"trammel.example/rules"
	"trammel.example/schema"
)

// planFormats are the formats in which a plan can be written.
var planFormats = map[string]func(w io.Writer, plans []*ramp.Plan) error{
	"html": report.RampHTML,
	"json": report.RampJSON,
	"text": func(w io.Writer, plans []*ramp.Plan) error {
		return report.RampText(w, plans, report.TextOptions{Width: plainWidth})
	},
}

type rampOptions struct {
	write        []string
	on           string
	to           float64
	regulator    string
	althoughNoGo bool
	limits       limits
}

func rampCommand(status *int) *cobra.Command {
	var o rampOptions
	c := &cobra.Command{
		Use:   "ramp FOLDER|FILE.cue [MACHINE]",
		Short: "Plan how pressure is put on a machine for the first time",
		Long: "Ramp judges each machine of a spec, or the one named, at rising pressure, and finds to 0.01 bar where each rule breaks.\n" +
			"Of that it makes a plan: what to do before, the steps, what to expect and to look at, and where to stop.\n" +
			"A machine that is NO-GO gets none, unless it is asked for with --although-no-go.",
		Args: takes(1, 2),
		RunE: func(cmd *cobra.Command, args []string) error {
			s, err := o.ramp(args, cmd.OutOrStdout(), cmd.ErrOrStderr())
			*status = s
			return err
		},
	}
	f := c.Flags()
	f.StringArrayVar(&o.write, "write", nil, "also write the plan, as FORMAT=FILE: html (to print), json or text; any number of times")
	f.StringVar(&o.on, "on", "", "the day that concessions are judged by, as 2027-06-30 (default: today)")
	f.Float64Var(&o.to, "to", 10, "the highest pressure looked at, in bar, up to 50")
	f.StringVar(&o.regulator, "regulator", "", "the regulator that is turned up (default: the one that most cylinders hang on)")
	f.BoolVar(&o.althoughNoGo, "although-no-go", false, "make a plan for a machine that is NO-GO too; each part of it says so")
	o.limits.flags(f)
	return c
}

// highestBar is far above what any part of a bench machine is rated for.
const highestBar = 50

// loadNamed reads one spec, from which what is made, and the rules for it; the machines are all of it, or the one that the second argument
// names.
func loadNamed(args []string, what string, stderr io.Writer) (*checked, *rules.Set, []*schema.Machine, error) {
	if strings.HasSuffix(args[0], "/...") {
		return nil, nil, nil, fmt.Errorf("%s made for one spec: name its folder or file in place of %s", what, args[0])
	}
	spec, set := loadOne(newLoader(), target{path: args[0]})
	if set == nil {
		spec.complain(stderr, false)
		return nil, nil, nil, errReported
	}
	machines, err := named(spec.spec, args)
	return spec, set, machines, err
}

// named are the machines of a spec, or the one that the second argument names.
func named(spec *schema.Spec, args []string) ([]*schema.Machine, error) {
	if len(args) < 2 {
		return spec.Machines, nil
	}
	var names []string
	for _, m := range spec.Machines {
		if m.Name == args[1] {
			return []*schema.Machine{m}, nil
		}
		names = append(names, m.Name)
	}
	hint := "it has " + strings.Join(names, ", ")
	if n := schema.Nearest(args[1], names); n != "" {
		hint = "did you mean `" + n + "`?"
	}
	return nil, fmt.Errorf("%s has no machine %q: %s", args[0], args[1], hint)
}

func (o *rampOptions) ramp(args []string, stdout, stderr io.Writer) (int, error) {
	outputs, err := parseOutputs(o.write, planFormats)
	if err != nil {
		return exitWrong, err
	}
	if !(o.to >= 0.1 && o.to <= highestBar) {
		return exitWrong, fmt.Errorf("--to wants 0.1 to %d bar, and %g is none of them", highestBar, o.to)
	}
	if err := o.limits.check(); err != nil {
		return exitWrong, err
	}
	day, err := dayOf(o.on)
	if err != nil {
		return exitWrong, err
	}
	defer o.limits.watch(stderr)()
	_, set, machines, err := loadNamed(args, "a plan is", stderr)
	if err != nil {
		return exitWrong, err
	}
	status := exitGo
	var plans []*ramp.Plan
	for _, m := range machines {
		plan, err := ramp.Climb(set, m, o.regulator, o.to*1e5, day, progress(stderr, m.Name))
		if err != nil {
			return exitWrong, fmt.Errorf("no plan for %s: %w", m.Name, err)
		}
		if !plan.Judgement.Go() {
			status = exitNoGo
			if !o.althoughNoGo {
				fmt.Fprintf(stderr, "trammel: %s is NO-GO, and gets no plan for its first air: mend what `trammel check %s` finds, or ask for one with --although-no-go\n", report.Plain(m.Name), report.Plain(args[0]))
				continue
			}
		}
		plans = append(plans, plan)
	}
	if len(plans) == 0 {
		return status, nil
	}
	if err := report.RampText(stdout, plans, report.TextOptions{Width: textWidth(stdout), Colour: useColour(stdout)}); err != nil {
		return exitWrong, err
	}
	if err := saveAll(outputs, func(format string, w io.Writer) error { return planFormats[format](w, plans) }); err != nil {
		return exitWrong, err
	}
	return status, nil
}

// progress tells every second how far a plan is that takes longer than one.
func progress(stderr io.Writer, machine string) func(looks int) {
	last := time.Now()
	return func(looks int) {
		if now := time.Now(); now.Sub(last) >= time.Second {
			last = now
			fmt.Fprintf(stderr, "trammel: %s judged at %d pressures so far\n", report.Plain(machine), looks)
		}
	}
}
