package main

import (
	"errors"
	"fmt"
	"io"

	"github.com/spf13/cobra"

	"sawbill/internal/job"
	"sawbill/internal/order"
	"sawbill/internal/plan"
	"sawbill/internal/plan/change"
	"sawbill/internal/rack"
	"sawbill/internal/report"
)

func changesCommand() *cobra.Command {
	var s settings
	var out, to string
	var r rackChoice
	c := &cobra.Command{
		Use:   "changes OLD NEW",
		Short: "what differs between two jobs, and what to add to or cancel from an order",
		Long: `Changes reads two jobs, plans and proves both, and lists the pieces, panels,
offers and settings that differ, the difference in cost, mass and waste, and
what to add to or cancel from an order that was sent after the old plan.

OLD may be the orders.json that 'sawbill freeze' writes, or the folder it lies
in. Then NEW is planned and held against the orders that were sent: each of
them, or the one --to names. It is planned with what the plan there could use of a
rack, unless --rack or the job names one to look at now.

What was planned with --rack or --rack-value is to be planned with the same here.

With -o it writes changes.csv, and for each supplier whose order changes a note
as PDF and CSV. It writes nothing else, and nothing when interrupted.

` + exitHelp,
		Args: exactly(2, "the old job file and the new one"),
		RunE: func(c *cobra.Command, args []string) error {
			if err := s.valid(); err != nil {
				return err
			}
			switch orders, err := frozenOrders(args[0]); {
			case err != nil:
				return err
			case orders != nil:
				return changeOrders(orders, args[0], args[1], to, out, s, r, c.OutOrStdout(), c.ErrOrStderr())
			case to != "":
				return fail(exitUsage, "--to names an order that was frozen, and %s is no %s; leave it out", args[0], order.FileName)
			}
			return changeJobs(args[0], args[1], out, s, r, c.OutOrStdout(), c.ErrOrStderr())
		},
	}
	s.flags(c)
	r.fileFlag(c)
	r.valueFlag(c)
	c.Flags().StringVar(&to, "to", "", "of the frozen orders only the one to `SUPPLIER`")
	c.Flags().StringVarP(&out, "out", "o", "", "`FOLDER` for the notes (without it none are written)")
	return c
}

// changeJobs compares two jobs. Jobs that ask the same need no plans: nothing
// is to be added or cancelled, whatever was ordered.
func changeJobs(oldPath, newPath, out string, s settings, c rackChoice, stdout, stderr io.Writer) error {
	oldJob, err := readJob(oldPath)
	if err != nil {
		return err
	}
	newJob, err := readJob(newPath)
	if err != nil {
		return err
	}
	printRemarks(stderr, oldJob.Remarks)
	printRemarks(stderr, newJob.Remarks)
	if err := change.Comparable(oldJob, newJob); err != nil {
		return &failure{exitFaults, err}
	}
	if out != "" {
		if err := writable(out); err != nil {
			return err
		}
	}
	if len(change.Jobs(oldJob, newJob)) == 0 {
		if out != "" && len(ownFiles(out)) > 0 { // notes of an earlier change are void
			if err := writePack(out, nil); err != nil {
				return err
			}
		}
		fmt.Fprintln(stdout, "nothing changed")
		return nil
	}
	// What is reserved for one of them is there for both.
	c.twins = []rack.Owner{ownerOf(oldJob, oldPath), ownerOf(newJob, newPath)}
	old, err := provedPlan(oldPath, oldJob, s, c, stderr)
	if err != nil {
		return err
	}
	new, err := provedPlan(newPath, newJob, s, c, stderr)
	if err != nil {
		return err
	}
	d := change.Plans(oldJob, newJob, old, new)
	if out != "" {
		draw := func() ([]report.File, []job.Message, error) { return report.Changes(d, newJob) }
		if err := papers("the notes", out, stderr, draw); err != nil {
			return err
		}
	}
	if err := report.ChangeSummary(stdout, d, newJob, out); err != nil {
		return fail(exitFiles, "the summary could not be printed: %w", err)
	}
	return nil
}

// provedPlan plans one of the two jobs. An interrupted plan is no ground to
// change an order on.
func provedPlan(path string, j *job.Job, s settings, c rackChoice, stderr io.Writer) (*plan.Plan, error) {
	ctx, end := interruptible(s.limit)
	defer end()
	j, on, err := c.stocked(ctx, j, path)
	if err != nil {
		return nil, err
	}
	on.close()
	p, err := search(ctx, j, s, stderr)
	if err != nil {
		return nil, fmt.Errorf("%s: %w", path, err)
	}
	if p.Struck == "interrupt" {
		return nil, &failure{exitInterrupted, errors.New("interrupted: nothing was compared or written")}
	}
	return p, prove(j, p, stderr)
}
