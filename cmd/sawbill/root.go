package main

import (
	"errors"
	"fmt"
	"io"
	"os"
	"regexp"
	"strings"

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

Begin with a list as a drawing program or spreadsheet exports it:
  sawbill new LIST.csv        writes job.toml; fill in materials and prices
  sawbill plan job.toml       writes the papers into pack/
or look at the example:
  sawbill demo

` + exitHelp,
		SilenceErrors: true,
		SilenceUsage:  true,
	}
	root.SetOut(stdout)
	root.SetErr(stderr)
	root.SetFlagErrorFunc(func(c *cobra.Command, err error) error {
		return fail(exitUsage, "%s; see '%s --help'", flagAdvice(err), c.CommandPath())
	})
	root.AddCommand(newCommand(), demoCommand(), planCommand(), compareCommand(), savingsCommand(), changesCommand(), checkCommand(), offersCommand(), freezeCommand(), tickCommand(), stockCommand(), replanCommand(), serveCommand(), rackCommand())
	root.CompletionOptions.HiddenDefaultCmd = true
	return root
}

// exactly wants n arguments and names them when they are not there.
func exactly(n int, names string) cobra.PositionalArgs {
	return func(c *cobra.Command, args []string) error {
		if len(args) == n {
			return nil
		}
		return fail(exitUsage, "%s takes %s, and %s given; see '%[1]s --help'", c.CommandPath(), names, counted(len(args)))
	}
}

// shellWord is a path as it is typed behind a command: in double quotes when it
// has a blank or another character that shells take for themselves.
func shellWord(path string) string {
	if strings.ContainsAny(path, " \t&;()<>|*?'$#~") {
		return `"` + path + `"`
	}
	return path
}

// counted is "nothing was", "1 argument was" or "3 arguments were".
func counted(n int) string {
	switch n {
	case 0:
		return "nothing was"
	case 1:
		return "1 argument was"
	}
	return fmt.Sprintf("%d arguments were", n)
}

var flagValue = regexp.MustCompile(`^invalid argument ("[^"]*") for "(?:-\w, )?(--[a-z]+)" flag`)

// flagAdvice says what a flag takes where the flag parser speaks of its insides.
func flagAdvice(err error) string {
	m := flagValue.FindStringSubmatch(err.Error())
	if m == nil {
		return err.Error()
	}
	switch m[2] {
	case "--time":
		return fmt.Sprintf("--time %s is not a time; write a number with its unit, such as 60s or 5m", m[1])
	case "--seed":
		return fmt.Sprintf("--seed %s is not a whole number; write one such as 1", m[1])
	}
	return err.Error()
}

// readable turns a failure to read the job itself into the right exit code:
// faults of content stay faults.
func readJob(path string) (*job.Job, error) {
	j, err := job.Read(path)
	if err == nil {
		return j, nil
	}
	return nil, &failure{readCode(path), err}
}

// readCode is the exit code for a file whose reading failed: of files when it
// cannot be read at all, of faults when its content is wrong.
func readCode(path string) int {
	f, err := os.Open(path)
	if err != nil {
		return exitFiles
	}
	defer f.Close()
	if info, err := f.Stat(); err != nil || info.IsDir() {
		return exitFiles
	}
	return exitFaults
}
