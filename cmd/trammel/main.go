// Trammel checks the design of a machine that moves by compressed air, written in CUE, before anyone cuts metal or opens the valve.
package main

import (
	"errors"
	"fmt"
	"io"
	"os"

	"github.com/spf13/cobra"
)

// Exit statuses.
const (
	exitGo      = 0 // every machine is GO
	exitNoGo    = 1
	exitWrong   = 2 // the spec or the call is wrong
	exitLimited = 3 // a limit on time or memory was hit
)

func main() { os.Exit(run(os.Args[1:], os.Stdout, os.Stderr)) }

// run is the whole program: it returns the exit status.
func run(args []string, stdout, stderr io.Writer) int {
	status := exitGo
	root := &cobra.Command{
		Use:   "trammel",
		Short: "Check the design of a machine that moves by compressed air",
		Long: "Trammel works out what a machine written in CUE will do, holds that against rules, and says GO or NO-GO.\n" +
			"Exit status: 0 GO, 1 NO-GO, 2 the spec or the call is wrong, 3 a limit on time or memory was hit.",
		SilenceErrors: true,
		SilenceUsage:  true,
	}
	root.SetArgs(args)
	root.SetOut(stdout)
	root.SetErr(stderr)
	root.CompletionOptions.DisableDefaultCmd = true
	root.AddCommand(checkCommand(&status), compareCommand(&status), rampCommand(&status), watchCommand(), startCommand(), drawCommand(&status), sheetsCommand(&status), rulesCommand())
	if err := root.Execute(); err != nil {
		if !errors.Is(err, errReported) {
			complain(stderr, err)
		}
		return exitWrong
	}
	return status
}

// complain prints an error; of several joined, each on a line of its own.
func complain(stderr io.Writer, err error) {
	if several, ok := err.(interface{ Unwrap() []error }); ok {
		for _, one := range several.Unwrap() {
			complain(stderr, one)
		}
		return
	}
	fmt.Fprintf(stderr, "trammel: %v\n", err)
}

// errReported ends a command whose errors have been printed.
var errReported = errors.New("reported")

// takes demands as many arguments as a command takes, and says what they are. most is 0 where there may be any number.
func takes(least, most int) cobra.PositionalArgs {
	return func(cmd *cobra.Command, args []string) error {
		usage := "trammel " + cmd.Use
		switch n := len(args); {
		case n < least:
			return fmt.Errorf("`trammel %s` needs to know what to work on: %s", cmd.Name(), usage)
		case most > 0 && n > most:
			return fmt.Errorf("`trammel %s` has %q too many: %s", cmd.Name(), args[most], usage)
		}
		return nil
	}
}
