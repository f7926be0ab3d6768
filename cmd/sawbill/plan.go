package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"os/signal"
	"path/filepath"
	"time"

	"github.com/spf13/cobra"

	"sawbill/internal/job"
	"sawbill/internal/plan"
	"sawbill/internal/plan/check"
	"sawbill/internal/plan/planner"
	"sawbill/internal/report"
)

// defaultLimit is a backstop for searches gone astray, not a budget.
const defaultLimit = 10 * time.Minute

// settings are the flags that steer a search.
type settings struct {
	effort string
	seed   int64
	limit  time.Duration
	setUps int64 // hundredths of a percent
}

func (s *settings) flags(c *cobra.Command) {
	c.Flags().StringVar(&s.effort, "effort", string(planner.Normal), "how much `WORK` to spend: quick, normal or long")
	c.Flags().Int64Var(&s.seed, "seed", 1, "`NUMBER` that starts the random choices; the same gives the same plan")
	c.Flags().DurationVar(&s.limit, "time", defaultLimit, "stop after `TIME`, such as 60s, whatever the effort; the plan says if it struck")
}

func (s *settings) valid() error {
	if !planner.Effort(s.effort).Valid() {
		return fail(exitUsage, "--effort %q is not known; write quick, normal or long", s.effort)
	}
	if s.limit <= 0 {
		return fail(exitUsage, "--time %s leaves no time; write for example 60s", s.limit)
	}
	return nil
}

func planCommand() *cobra.Command {
	var s settings
	var out, setUps string
	var r rackChoice
	c := &cobra.Command{
		Use:   "plan JOB",
		Short: "plan a job and write the pack: plan, cut sheets, orders",
		Long: `Plan reads JOB (a job.toml), finds the cheapest purchase it can, proves it, and
writes the pack: plan.json, summary.pdf for the buyer, workshop/ for whoever
cuts, and one folder for each supplier.

Work is counted, not timed: the same job, effort and seed give the same plan
on any machine. Ctrl-C writes the best plan so far.

With --rack, or file under [rack] in the job, offcuts and spares that lie on a
rack are cut where that costs less than buying: each counts for a share of the
cheapest offer, by length or area. What the plan uses is reserved, so that
another job does not use it too; planning the same job again gives back what
it had. When the job is done, 'sawbill rack book' takes off the rack what was
used and puts on it what is left.

` + exitHelp,
		Args: exactly(1, "one job file"),
		RunE: func(c *cobra.Command, args []string) error {
			if err := s.valid(); err != nil {
				return err
			}
			if out == "" {
				out = filepath.Join(filepath.Dir(args[0]), "pack")
			}
			if setUps != "" {
				var err error
				if s.setUps, err = percentage(setUps); err != nil {
					return err
				}
			}
			return planJob(args[0], out, s, r, c.OutOrStdout(), c.ErrOrStderr())
		},
	}
	s.flags(c)
	r.fileFlag(c)
	r.valueFlag(c)
	r.reserveFlag(c)
	c.Flags().StringVar(&setUps, "setups", "", "give up at most `PERCENT` of the total for fewer different bars, and so fewer set-ups of the saw")
	c.Flags().StringVarP(&out, "out", "o", "", "`FOLDER` for the pack (default \"pack\" beside the job)")
	return c
}

// planJob reads, plans, proves, writes and sums up. Nothing is written unless
// all of the pack could be made.
func planJob(path, out string, s settings, c rackChoice, stdout, stderr io.Writer) error {
	j, err := readJob(path)
	if err != nil {
		return err
	}
	printRemarks(stderr, j.Remarks)
	if err := writable(out); err != nil {
		return err
	}
	// Ctrl-C stays caught to the end: it stops the search, and what was found
	// is still proved and written.
	ctx, end := interruptible(s.limit)
	defer end()
	j, on, err := c.stocked(ctx, j, path)
	if err != nil {
		return err
	}
	defer on.close()
	p, err := search(ctx, j, s, stderr)
	if err != nil {
		return err
	}
	if err := pack(j, p, on, out, stderr); err != nil {
		return err
	}
	if err := report.Summary(stdout, p, j, out); err != nil {
		return fail(exitFiles, "the summary could not be printed: %w", err)
	}
	if p.Struck == "interrupt" {
		return &failure{exitInterrupted, errors.New("interrupted: the plan written is the best found so far")}
	}
	return nil
}

// pack proves a plan, writes its pack, and reserves what it uses of the rack.
func pack(j *job.Job, p *plan.Plan, on shelf, out string, stderr io.Writer) error {
	if err := prove(j, p, stderr); err != nil {
		return err
	}
	if err := unticked(out, p); err != nil {
		return err
	}
	encoded, err := p.Encode()
	if err != nil {
		return fail(exitBroken, "the plan could not be written as JSON: %w", err)
	}
	files, err := drawPapers("the pack", stderr, func() ([]report.File, []job.Message, error) { return report.Pack(p, j) })
	if err != nil {
		return err
	}
	return on.reserving(p, func() error { return writePack(out, append(files, report.File{Path: "plan.json", Data: encoded})) })
}

// search runs the planner and shows how far it is.
func search(ctx context.Context, j *job.Job, s settings, stderr io.Writer) (*plan.Plan, error) {
	line := newProgressLine(stderr, j.Currency)
	defer line.clear()
	return planner.Make(ctx, j, planner.Options{
		Effort: planner.Effort(s.effort), Seed: s.seed, SetUps: s.setUps, Progress: line.update,
	})
}

// interruptible is a context that ends at the time limit or at Ctrl-C; a second
// Ctrl-C ends the program at once.
func interruptible(limit time.Duration) (context.Context, func()) {
	ctx, cancel := context.WithCancelCause(context.Background())
	ctx, stop := context.WithTimeout(ctx, limit)
	signals := make(chan os.Signal, 1)
	signal.Notify(signals, os.Interrupt)
	go func() {
		select {
		case <-signals:
			signal.Stop(signals)
			cancel(planner.ErrInterrupted)
		case <-ctx.Done():
		}
	}()
	return ctx, func() {
		signal.Stop(signals)
		stop()
		cancel(nil)
	}
}

// prove has the independent checker look at a plan before anybody sees it.
func prove(j *job.Job, p *plan.Plan, stderr io.Writer) error {
	findings, notes := check.Plan(j, p)
	if n := len(notes); n > 0 {
		fmt.Fprintf(stderr, "note: claims of the plan not proved a second time: %d; 'sawbill check' lists them\n", n)
	}
	if len(findings) == 0 {
		return nil
	}
	for _, f := range findings {
		fmt.Fprintln(stderr, f)
	}
	return fail(exitBroken, "the plan made here fails its own proof (above); nothing was written; please report it with the job")
}

// unproved is a fault of ours when a plan made for comparing or saving fails its
// proof; other errors are as they are.
func unproved(err error) error {
	if u := (*check.Unproved)(nil); errors.As(err, &u) {
		return fail(exitBroken, "%w; nothing was written; please report it with the job", err)
	}
	return err
}

func printRemarks(w io.Writer, remarks []job.Message) {
	const most = 20
	for i, m := range remarks {
		if i == most {
			fmt.Fprintf(w, "note: %d more of the kind\n", len(remarks)-most)
			return
		}
		fmt.Fprintln(w, "note:", m)
	}
}
