package main

import (
	"context"
	"errors"
	"fmt"
	"io"

	"github.com/spf13/cobra"

	"sawbill/internal/job"
	"sawbill/internal/plan"
	"sawbill/internal/plan/planner"
	"sawbill/internal/plan/saving"
	"sawbill/internal/report"
)

func savingsCommand() *cobra.Command {
	var s settings
	var out string
	var r rackChoice
	c := &cobra.Command{
		Use:   "savings JOB",
		Short: "what a few millimetres off would save",
		Long: `Savings looks for small changes of dimensions that save a bar or a sheet, or let
a cheaper size do. The job marks the dimensions that may change, and what
moves with each, in a table of its own:

  [tables]
  adjust = '''
  name,      marks,              less, more, step
  bay width, "R3, R4, S2 width", 20,   5,    1
  '''

Less and more are the most that it may get shorter and longer. Sides that no
dimension moves are told when they nearly fit. The job stays as it is.

With -o it writes savings.pdf and savings.csv, without it nothing.

` + exitHelp,
		Args: exactly(1, "one job file"),
		RunE: func(c *cobra.Command, args []string) error {
			if err := s.valid(); err != nil {
				return err
			}
			return savingsOf(args[0], out, s, r, c.OutOrStdout(), c.ErrOrStderr())
		},
	}
	s.flags(c)
	r.fileFlag(c)
	r.valueFlag(c)
	c.Flags().StringVarP(&out, "out", "o", "", "`FOLDER` for the papers (without it none are written)")
	return c
}

func savingsOf(path, out string, s settings, c rackChoice, stdout, stderr io.Writer) error {
	j, err := readJob(path)
	if err != nil {
		return err
	}
	printRemarks(stderr, j.Remarks)
	j, on, err := c.stocked(context.Background(), j, path)
	if err != nil {
		return err
	}
	on.close()
	if out != "" {
		if err := writable(out); err != nil {
			return err
		}
	}
	ctx, end := interruptible(s.limit)
	defer end()
	line := newProgressLine(stderr, j.Currency)
	r, err := saving.Make(ctx, j, saving.Options{
		Solve:    s.solve,
		Progress: func(done int, of string) { line.say(fmt.Sprintf("planned %d, the last for %s", done, of)) },
	})
	line.clear()
	if err != nil {
		return unproved(err)
	}
	if out != "" {
		draw := func() ([]report.File, []job.Message, error) { return report.Savings(r, j) }
		if err := papers("the savings", out, stderr, draw); err != nil {
			return err
		}
	}
	if err := report.SavingsSummary(stdout, r, j, out); err != nil {
		return fail(exitFiles, "the summary could not be printed: %w", err)
	}
	if r.Struck == "interrupt" {
		return &failure{exitInterrupted, errors.New("interrupted: what was found so far is told")}
	}
	return nil
}

// solve plans a changed job as these settings ask.
func (s settings) solve(ctx context.Context, j *job.Job) (*plan.Plan, error) {
	p, err := planner.Make(ctx, j, planner.Options{Effort: planner.Effort(s.effort), Seed: s.seed})
	var none *planner.NoPlan
	if errors.As(err, &none) {
		return nil, &saving.None{Impossible: none.Impossible, Err: err}
	}
	return p, err
}
