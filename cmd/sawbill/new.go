package main

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"

	"github.com/spf13/cobra"

	"sawbill/internal/job"
)

func newCommand() *cobra.Command {
	var out string
	c := &cobra.Command{
		Use:   "new LIST",
		Short: "start a job from a cut list (CSV or XLSX): write its job.toml",
		Long: `New reads a cut list as a drawing program or spreadsheet exports it, and writes
a job.toml beside it: the columns found, the materials named, and comments on
what to fill in. The list itself is left as it is.

` + exitHelp,
		Args: exactly(1, "one list"),
		RunE: func(c *cobra.Command, args []string) error {
			if out == "" {
				out = filepath.Join(filepath.Dir(args[0]), "job.toml")
			}
			text, err := job.New(args[0])
			if err != nil {
				return &failure{readCode(args[0]), err}
			}
			if out == "-" {
				_, err := c.OutOrStdout().Write(text)
				return err
			}
			if err := writeNew(out, text); err != nil {
				return err
			}
			fmt.Fprintf(c.OutOrStdout(), "wrote %s\nOpen it in a text editor, fill in the prices and what else is empty or \"?\", then run:\n  sawbill plan %s\n", out, shellWord(out))
			return nil
		},
	}
	c.Flags().StringVarP(&out, "out", "o", "", "job `FILE` to write, \"-\" for standard output (default \"job.toml\" beside the list)")
	return c
}

// writeNew writes a file that must not exist yet.
func writeNew(path string, data []byte) error {
	f, err := os.OpenFile(path, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o644)
	if errors.Is(err, fs.ErrExist) {
		return fail(exitFiles, "%s exists already; move it away or name another with -o", path)
	}
	if err != nil {
		return fail(exitFiles, "the job cannot be written: %w", err)
	}
	_, err = f.Write(data)
	if err = errors.Join(err, f.Close()); err != nil {
		os.Remove(path)
		return fail(exitFiles, "the job cannot be written: %w", err)
	}
	return nil
}
