package main

import (
	"fmt"
	"io"
	"strings"
	"text/tabwriter"

	"github.com/spf13/cobra"

	"trammel.example/checks"
	"trammel.example/cmd/trammel/internal/report"
	"trammel.example/rules"
	"trammel.example/schema"
)

func rulesCommand() *cobra.Command {
	return &cobra.Command{
		Use:   "rules [NAME]",
		Short: "List the rules, or explain one",
		Args:  takes(0, 1),
		RunE: func(cmd *cobra.Command, args []string) error {
			shipped, err := rules.Shipped()
			if err != nil {
				return err
			}
			if len(args) == 0 {
				return listRules(cmd.OutOrStdout(), shipped)
			}
			var names []string
			for _, r := range shipped {
				if r.Name == args[0] {
					return explainRule(cmd.OutOrStdout(), r)
				}
				names = append(names, r.Name)
			}
			hint := "`trammel rules` lists them"
			if n := schema.Nearest(args[0], names); n != "" {
				hint = "did you mean `" + n + "`?"
			}
			return fmt.Errorf("there is no rule %q: %s", args[0], hint)
		},
	}
}

func listRules(w io.Writer, shipped []*rules.Rule) error {
	t := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
	domain := ""
	for _, r := range shipped {
		if r.Domain != domain {
			domain = r.Domain
			fmt.Fprintf(t, "%s\n", strings.ToUpper(domain))
		}
		fmt.Fprintf(t, "  %s\t%s\t%s\n", r.Name, r.Level, r.Title)
	}
	return t.Flush()
}

func explainRule(w io.Writer, r *rules.Rule) error {
	facts, err := checks.Definitions()
	if err != nil {
		return err
	}
	fmt.Fprintf(w, "%s: %s\n\n", r.Name, r.Title)
	fmt.Fprintf(w, "Judges:   each %s\n", r.Kind)
	if r.When != nil {
		fmt.Fprintf(w, "When:     %s\n", r.When)
	}
	fmt.Fprintf(w, "Holds if: %s is %s %s (else %s)\n", r.Measure, r.Limit.Op, r.Limit.By, r.Level)
	if r.Prefer != nil {
		fmt.Fprintf(w, "Better:   %s %s (else a warning)\n", r.Prefer.Op, r.Prefer.By)
	}
	for _, o := range []rules.Operand{r.Measure, r.Limit.By} {
		for _, d := range facts[r.Kind] {
			if d.Name != o.Fact {
				continue
			}
			if d.Doc != "" {
				fmt.Fprintf(w, "\n%s: %s\n", d.Name, d.Doc)
			}
			if d.Formula != "" {
				fmt.Fprintf(w, "  %s = %s\n", d.Name, d.Formula)
			}
		}
	}
	fmt.Fprintf(w, "\nWhy:      %s\n", r.Because)
	for _, s := range r.Source {
		fmt.Fprintf(w, "Source:   %s\n", s)
	}
	fmt.Fprintf(w, "Remedy:   %s\n", r.Remedy)
	fmt.Fprintf(w, "\n%s\n", report.Caution)
	return nil
}
