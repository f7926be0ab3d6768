package main

import (
	"errors"
	"fmt"
	"io"
	"os"

	"github.com/spf13/cobra"

	"sawbill/internal/job"
	"sawbill/internal/plan/planner"
)

// Exit codes, as the help text and the README state them.
const (
	exitGood        = 0
	exitFaults      = 1 // the job or the plan is wrong, and how was printed
	exitUsage       = 2
	exitNoPlan      = 3 // the stock cannot yield the pieces, or no way was found
	exitFiles       = 4 // a file could not be read or written
	exitBroken      = 5 // the plan made here failed its own proof; nothing was written
	exitInterrupted = 130
)

const exitHelp = `Exit codes: 0 good; 1 the job or plan has faults (printed); 2 wrong usage;
3 no plan possible or found; 4 a file cannot be read or written; 5 the plan
failed its own proof; 130 interrupted (the best plan so far was written).`

// failure is an error with the exit code it ends in.
type failure struct {
	code int
	err  error
}

func (f *failure) Error() string { return f.err.Error() }
func (f *failure) Unwrap() error { return f.err }

func fail(code int, format string, args ...any) error {
	return &failure{code, fmt.Errorf(format, args...)}
}

// run is the whole program but for the process around it.
func run(args []string, stdout, stderr io.Writer) int {
	root := rootCommand(stdout, stderr)
	root.SetArgs(args)
	err := root.Execute()
	if err == nil {
		return exitGood
	}
	if text := err.Error(); text != "" {
		fmt.Fprintln(stderr, text)
	}
	return exitCode(err)
}

// exitCode judges an error: what does not say otherwise was wrong usage, since
// the flag parser's errors carry no type.
func exitCode(err error) int {
	var f *failure
	var faults job.Faults
	var none *planner.NoPlan
	switch {
	case errors.As(err, &f):
		return f.code
	case errors.As(err, &none):
		return exitNoPlan
	case errors.As(err, &faults):
		return exitFaults
	}
	return exitUsage
}

func rootCommand(stdout, stderr io.Writer) *cobra.Command {
	root := &cobra.Command{
		Use:   "sawbill",
		Short: "What to buy and how to cut it, from a cut list, with proof",
		Long: `Sawbill reads a job (a cut list, panels, what suppliers offer) and works out
the cheapest purchase, how every bar and sheet is cut, and the paper for it.

` + exitHelp,
		SilenceErrors: true,
		SilenceUsage:  true,
	}
	root.SetOut(stdout)
	root.SetErr(stderr)
	root.SetFlagErrorFunc(func(c *cobra.Command, err error) error {
		return fail(exitUsage, "%w; see 'sawbill %s --help'", err, c.Name())
	})
	root.AddCommand(newCommand(), demoCommand(), planCommand(), checkCommand())
	root.CompletionOptions.HiddenDefaultCmd = true
	return root
}

// exactly wants n arguments and names them when they are not there.
func exactly(n int, names string) cobra.PositionalArgs {
	return func(c *cobra.Command, args []string) error {
		if len(args) == n {
			return nil
		}
		return fail(exitUsage, "sawbill %s takes %s, not %d arguments; see 'sawbill %s --help'", c.Name(), names, len(args), c.Name())
	}
}

// readable turns a failure to read the job itself into the right exit code:
// faults of content stay faults.
func readJob(path string) (*job.Job, error) {
	j, err := job.Read(path)
	if err == nil {
		return j, nil
	}
	if _, statErr := os.Stat(path); statErr != nil {
		return nil, &failure{exitFiles, err}
	}
	return nil, &failure{exitFaults, err}
}
