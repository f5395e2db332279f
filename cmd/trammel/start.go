package main

import (
	"fmt"
	"path/filepath"

	"github.com/spf13/cobra"

	"trammel.example/cmd/trammel/internal/start"
)

func startCommand() *cobra.Command {
	return &cobra.Command{
		Use:   "start FOLDER",
		Short: "Write a new spec that passes, to change into yours",
		Long: "Start writes a spec of a small machine that is GO, a workflow for CI, and a copy of the schema for editors and the cue command.\n" +
			"It overwrites nothing.",
		Args: takes(1, 1),
		RunE: func(cmd *cobra.Command, args []string) error {
			names, err := start.Write(args[0], packages)
			if err != nil {
				return err
			}
			machine := filepath.Join(args[0], "machine.cue")
			fmt.Fprintf(cmd.OutOrStdout(), "%d files written. Begin with %s, and check it: trammel check %s\n", len(names), machine, args[0])
			return nil
		},
	}
}
