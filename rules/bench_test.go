package rules_test

import (
	"testing"
	"time"

	"trammel.example/checks"
	"trammel.example/rules"
	"trammel.example/schema"
)

// BenchmarkJudge reports what one rule costs on one subject: shipped rules on the flagship, and a rule of the house whose measure is an
// expression that CUE works out.
func BenchmarkJudge(b *testing.B) {
	spec, err := schema.NewLoader(root, packages).Load("examples/tray-lifter")
	if err != nil {
		b.Fatal(err)
	}
	machine := spec.Machines[0]
	subjects := checks.Examine(machine)
	shipped, err := rules.Shipped()
	if err != nil {
		b.Fatal(err)
	}
	zero := 0.0
	expression := &rules.Rule{
		Name: "play-share", Kind: "fit", Level: rules.Error,
		Measure: rules.Operand{Expression: "given.clearanceLeast.mm / given.pin.mm"},
		Limit:   rules.Limit{Op: rules.AtLeast, By: rules.Operand{Constant: &rules.Constant{Number: &zero}}},
	}
	for _, c := range []struct {
		name  string
		rules []*rules.Rule
	}{{"shipped", shipped}, {"expression", []*rules.Rule{expression}}} {
		b.Run(c.name, func(b *testing.B) {
			set := &rules.Set{Rules: c.rules}
			judged := 0
			for b.Loop() {
				judged = 0
				for _, f := range rules.Judge(set, machine, subjects, time.Time{}).Findings {
					if f.Outcome == rules.Open {
						b.Fatal(f.Why)
					}
					judged++
				}
			}
			b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/float64(judged), "ns/finding")
		})
	}
}
