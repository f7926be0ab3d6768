package main

import (
	"errors"
	"fmt"
	"io"
	"path/filepath"
	"regexp"
	"strconv"

	"github.com/spf13/cobra"

	"sawbill/internal/job"
	"sawbill/internal/plan"
	"sawbill/internal/plan/planner"
	"sawbill/internal/plan/replan"
	"sawbill/internal/progress"
	"sawbill/internal/report"
)

func replanCommand() *cobra.Command {
	var s settings
	var out string
	var r rackChoice
	c := &cobra.Command{
		Use:   "replan JOB PLAN",
		Short: "how to go on when something went wrong at the saw",
		Long: `Replan reads what 'sawbill tick' and 'sawbill stock' noted beside the plan and
plans what is missing: from bars and sheets that are not used up, from offcuts
and pieces gone wrong, and as little new purchase as will do. What can still be
cut as planned stays as it is, unless giving it up costs less. The new pack
holds only what is new; go on with it and the layouts that stay. What the first
plan could use of the rack and did not can be used now, if it is still free.

` + exitHelp,
		Args: exactly(2, "a job file and a plan"),
		RunE: func(c *cobra.Command, args []string) error {
			if err := s.valid(); err != nil {
				return err
			}
			w, err := openWork(args[0], args[1])
			if err != nil {
				return err
			}
			if out == "" {
				out = following(w.dir)
			}
			return w.replan(out, s, r, c.OutOrStdout(), c.ErrOrStderr())
		},
	}
	s.flags(c)
	r.fileFlag(c)
	r.reserveFlag(c)
	c.Flags().StringVarP(&out, "out", "o", "", "`FOLDER` for the new pack (default beside the plan's, with the next number)")
	return c
}

var numbered = regexp.MustCompile(`^(.*)-(\d+)$`)

// following is the folder for the plan after the one in a folder: pack-2 after
// pack, pack-3 after pack-2.
func following(dir string) string {
	dir = filepath.Clean(dir)
	if abs, err := filepath.Abs(dir); err == nil && filepath.Base(dir) != filepath.Base(abs) {
		dir = abs
	}
	if m := numbered.FindStringSubmatch(filepath.Base(dir)); m != nil {
		if n, err := strconv.Atoi(m[2]); err == nil {
			return filepath.Join(filepath.Dir(dir), fmt.Sprintf("%s-%d", m[1], n+1))
		}
	}
	return dir + "-2"
}

func (w *work) replan(out string, s settings, c rackChoice, stdout, stderr io.Writer) error {
	f, err := w.load()
	if err != nil {
		return err
	}
	if err := writable(out); err != nil {
		return err
	}
	if err := unticked(out, nil); err != nil {
		return err
	}
	v := progress.Look(w.job, f.State, f.Events)
	on, err := w.withdraw(v, c)
	if err != nil {
		return err
	}
	defer on.close()
	ctx, end := interruptible(s.limit)
	defer end()
	line := newProgressLine(stderr, w.job.Currency)
	r, err := replan.Make(ctx, w.job, v, planner.Options{Effort: planner.Effort(s.effort), Seed: s.seed, Progress: line.update})
	line.clear()
	if errors.Is(err, replan.ErrNothing) {
		fmt.Fprintf(stdout, "Nothing has to be planned again: %d made, %d to be cut as planned.\n", len(v.Made), len(v.Waiting))
		return nil
	}
	if err != nil {
		return unproved(err)
	}
	told := goOn(r)
	encoded, err := r.Plan.Encode()
	if err != nil {
		return fail(exitBroken, "the plan could not be written as JSON: %w", err)
	}
	start, err := progress.Begin(r.Plan, &r.Rest, r.State).Encode()
	if err != nil {
		return fail(exitBroken, "the progress could not be written as JSON: %w", err)
	}
	files, err := drawPapers("the pack", stderr, func() ([]report.File, []job.Message, error) { return report.GoOnPack(told) })
	if err != nil {
		return err
	}
	err = on.extending(r.Plan, func() error {
		if err := writePack(out, append(files, report.File{Path: "plan.json", Data: encoded})); err != nil {
			return err
		}
		if err := writeFile(filepath.Join(out, progress.FileName), start); err != nil {
			return fail(exitFiles, "the progress cannot be written: %w", err)
		}
		return nil
	})
	if err != nil {
		return err
	}
	err = progress.Change(w.dir, func(now *progress.File) (*progress.File, error) {
		now, err := w.own(now)
		if err != nil {
			return nil, err
		}
		if len(now.Events) != len(f.Events) {
			return nil, fail(exitFaults, "more was ticked while this was planned; replan again")
		}
		next, err := filepath.Rel(w.dir, out)
		if err != nil {
			next = out
		}
		changed := *now
		changed.Next = filepath.ToSlash(next)
		return &changed, nil
	})
	if err != nil {
		if f := (*failure)(nil); errors.As(err, &f) {
			return f
		}
		return fail(exitFiles, "the progress of the old plan cannot be written: %w", err)
	}
	if err := report.GoingOn(stdout, told, out); err != nil {
		return fail(exitFiles, "the summary could not be printed: %w", err)
	}
	if r.Plan.Struck == "interrupt" {
		return &failure{exitInterrupted, errors.New("interrupted: the plan written is the best found so far")}
	}
	return nil
}

// goOn is a result in the words of the papers.
func goOn(r *replan.Result) *report.GoOn {
	g := &report.GoOn{Plan: r.Plan, Job: r.Job}
	ref := func(l progress.Layout) report.LayoutRef {
		return report.LayoutRef{Plan: l.Plan, Material: l.Material, Number: l.Layout.Number}
	}
	for _, l := range r.Stays {
		g.Stays = append(g.Stays, ref(l))
	}
	for _, l := range r.GivenUp {
		g.GivenUp = append(g.GivenUp, ref(l))
	}
	for _, s := range r.Sources {
		g.Sources = append(g.Sources, report.SourceRef{LayoutRef: report.LayoutRef{Plan: r.Plan.Number, Material: s.Material, Number: s.Number}, What: s.What})
	}
	return g
}

// unticked refuses to write a pack where pieces of another plan have been ticked.
func unticked(dir string, p *plan.Plan) error {
	f, err := progress.Load(dir)
	switch {
	case err != nil:
		return fail(exitFiles, "%w", err)
	case f == nil || p != nil && f.Of(p) || len(f.Events) == 0 && f.Next == "" && f.Booked == "" && f.Rest == nil:
		return nil
	}
	return fail(exitFiles, "%s says what was cut by plan no. %s, which a new plan there would lose; go on with 'sawbill replan', or name another folder with -o", filepath.Join(dir, progress.FileName), f.Plan)
}
