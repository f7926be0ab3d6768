package main

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"

	"github.com/spf13/cobra"

	"sawbill/internal/job"
	"sawbill/internal/plan/compare"
	"sawbill/internal/plan/option"
	"sawbill/internal/plan/planner"
	"sawbill/internal/report"
)

// In the folder of a comparison, cacheName keeps the plans for the next one, and
// optionsName the table for the pages.
const (
	cacheName   = "cache.json"
	optionsName = "options.json"
)

func compareCommand() *cobra.Command {
	var s settings
	var out string
	var r rackChoice
	c := &cobra.Command{
		Use:   "compare JOB",
		Short: "plan a job in several ways and put them side by side",
		Long: `Compare plans JOB once for each option and writes a table of them: every
material from one of its sizes or two, or bought cut and ready; everything
from one supplier, or without one; the variants the job names
([variant.NAME]); and standard sheet sizes that nobody offers, at the price per
area of the nearest that is offered. Our own stock stays beside whoever is
alone. Options are put in order by what they cost in all: goods and charges,
before tax.

It writes compare.csv, compare.pdf and compare.svg, the table for the pages of
'sawbill serve' as options.json, and keeps the plans in cache.json: what has
not changed is not searched again. In compare.csv, delivery is what delivering
and fetching cost; other charges are in the note.

` + exitHelp,
		Args: exactly(1, "one job file"),
		RunE: func(c *cobra.Command, args []string) error {
			if err := s.valid(); err != nil {
				return err
			}
			if out == "" {
				out = filepath.Join(filepath.Dir(args[0]), "compare")
			}
			return compareJob(args[0], out, s, r, c.OutOrStdout(), c.ErrOrStderr())
		},
	}
	s.flags(c)
	r.fileFlag(c)
	r.valueFlag(c)
	c.Flags().StringVarP(&out, "out", "o", "", "`FOLDER` for the papers (default \"compare\" beside the job)")
	return c
}

func compareJob(path, out string, s settings, c rackChoice, stdout, stderr io.Writer) error {
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
	if err := writable(out); err != nil {
		return err
	}
	ctx, stop := interruptible(s.limit)
	defer stop()
	line := newProgressLine(stderr, j.Currency)
	table, err := lay(ctx, j, out, s, stderr, func(done, of int) { line.say(fmt.Sprintf("planned %d of %d", done, of)) }, line.clear)
	if err != nil {
		return err
	}
	if err := report.CompareSummary(stdout, table, j, out); err != nil {
		return fail(exitFiles, "the summary could not be printed: %w", err)
	}
	best, _, _ := table.Best()
	switch {
	case table.Struck == "interrupt":
		return &failure{exitInterrupted, errors.New("interrupted: the table written is of the best plans found so far")}
	case best == nil:
		return fail(exitNoPlan, "none of the options has a plan")
	}
	return nil
}

// lay lays the options of a job side by side, and writes the papers; planned is
// called when the search is over.
func lay(ctx context.Context, j *job.Job, out string, s settings, stderr io.Writer, progress func(done, of int), planned func()) (*option.Table, error) {
	// Without a cache of its own everything is planned again, no more.
	cache, _ := os.ReadFile(filepath.Join(out, cacheName))
	r, err := compare.Make(ctx, j, cache, compare.Options{Effort: planner.Effort(s.effort), Seed: s.seed, Program: programDigest(), Progress: progress})
	planned()
	if err != nil {
		return nil, unproved(err)
	}
	table, err := json.Marshal(r.Table)
	if err != nil {
		return nil, fail(exitBroken, "the table could not be written as JSON: %w", err)
	}
	draw := func() ([]report.File, []job.Message, error) { return report.Comparison(r.Table, j) }
	return r.Table, papers("the comparison", out, stderr, draw, report.File{Path: cacheName, Data: r.Cache}, report.File{Path: optionsName, Data: table})
}

// programDigest identifies this very program, so that it believes no plans kept
// by another version; without it nothing kept is believed.
func programDigest() string {
	path, err := os.Executable()
	if err != nil {
		return "unknown"
	}
	f, err := os.Open(path)
	if err != nil {
		return "unknown"
	}
	defer f.Close()
	h := sha256.New()
	if _, err := io.Copy(h, f); err != nil {
		return "unknown"
	}
	return hex.EncodeToString(h.Sum(nil))
}
