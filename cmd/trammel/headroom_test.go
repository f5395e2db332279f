package main

import (
	"testing"

	"github.com/spf13/pflag"
)

// TestHeadroomOnTerminals: on a terminal it needs no asking, and can be done without; elsewhere it is asked for.
func TestHeadroomOnTerminals(t *testing.T) {
	for _, c := range []struct {
		args           []string
		terminal, want bool
	}{
		{nil, true, true},
		{nil, false, false},
		{[]string{"--headroom"}, false, true},
		{[]string{"--headroom"}, true, true},
		{[]string{"--headroom=false"}, true, false},
	} {
		var o checkOptions
		f := pflag.NewFlagSet("check", pflag.ContinueOnError)
		o.flags(f)
		if err := f.Parse(c.args); err != nil {
			t.Fatal(err)
		}
		if got := o.looksUp(c.terminal); got != c.want {
			t.Errorf("%v, on a terminal %v: %v, want %v", c.args, c.terminal, got, c.want)
		}
	}
}
