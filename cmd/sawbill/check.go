package main

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"unicode/utf8"

	"github.com/spf13/cobra"

	"sawbill/internal/job"
	"sawbill/internal/plan"
	"sawbill/internal/plan/check"
	"sawbill/internal/progress"
)

func checkCommand() *cobra.Command {
	return &cobra.Command{
		Use:   "check JOB PLAN",
		Short: "prove a plan again from the job, or list what is wrong with it",
		Long: `Check proves a plan.json from the job alone, with none of the code that made
it: every piece once, every cut inside its bar or sheet, the purchase, the
sums, the masses and the bound. PLAN is a pack or its plan.json.

` + exitHelp,
		Args: exactly(2, "a job file and a plan file"),
		RunE: func(c *cobra.Command, args []string) error {
			j, err := readJob(args[0])
			if err != nil {
				return err
			}
			p, path, err := readPlan(args[1])
			if err != nil {
				return err
			}
			if j, err = answered(j, p, filepath.Dir(path)); err != nil {
				return err
			}
			findings, notes := check.Plan(j, p)
			for _, n := range notes {
				fmt.Fprintln(c.ErrOrStderr(), "note:", n)
			}
			for _, f := range findings {
				fmt.Fprintln(c.OutOrStdout(), f)
			}
			switch n := len(findings); n {
			case 0:
				except := ""
				if len(notes) > 0 {
					except = ", but for what the notes say"
				}
				fmt.Fprintf(c.OutOrStdout(), "plan no. %s is proved: it does what job %q asks%s\n", p.Number, j.Name, except)
				return nil
			case 1:
				return fail(exitFaults, "%s: refused, 1 thing is wrong", path)
			default:
				return fail(exitFaults, "%s: refused, %d things are wrong", path, n)
			}
		},
	}
}

// readPlan reads a plan.json, or that of a pack, and tells its path.
func readPlan(path string) (*plan.Plan, string, error) {
	if info, err := os.Stat(path); err == nil && info.IsDir() {
		path = filepath.Join(path, "plan.json")
	}
	data, err := os.ReadFile(path)
	if err != nil {
		return nil, path, fail(exitFiles, "the plan cannot be read: %w", err)
	}
	p, err := plan.Decode(data)
	if err != nil {
		return nil, path, fail(exitFaults, "%s", undecoded(path, data, err))
	}
	return p, path, nil
}

// undecoded says in a person's words why a plan file could not be read.
func undecoded(path string, data []byte, err error) string {
	const again = "plan the job again, or name the plan.json of its pack"
	var syntax *json.SyntaxError
	var kind *json.UnmarshalTypeError
	switch {
	case len(bytes.TrimSpace(data)) == 0:
		return fmt.Sprintf("%s: the file is empty; %s", path, again)
	case errors.Is(err, io.ErrUnexpectedEOF):
		return fmt.Sprintf("%s: the plan ends in the middle; %s", path, again)
	case errors.As(err, &syntax):
		return fmt.Sprintf("%s: this is not JSON, so it is no plan or was changed by hand; %s", place(path, data, syntax.Offset-1), again)
	case errors.As(err, &kind) && kind.Field != "":
		return fmt.Sprintf("%s: %s is not what a plan has there (%s); %s", place(path, data, kind.Offset), kind.Field, kind.Value, again)
	case errors.As(err, &kind):
		return fmt.Sprintf("%s: the file holds no plan (its JSON begins with %s); %s", path, kind.Value, again)
	}
	return fmt.Sprintf("%s: %v", path, err)
}

// place is file:line:column of a byte, counted in characters.
func place(path string, data []byte, offset int64) string {
	before := data[:max(0, min(offset, int64(len(data))))]
	line := bytes.Count(before, []byte("\n")) + 1
	column := utf8.RuneCount(before[bytes.LastIndexByte(before, '\n')+1:]) + 1
	return fmt.Sprintf("%s:%d:%d", path, line, column)
}

// answered is the job that a plan answers: with what lay on the rack, and what
// remains of it, where the progress beside the plan says so.
func answered(j *job.Job, p *plan.Plan, dir string) (*job.Job, error) {
	j = progress.Planned(j, p)
	if p.Job.Digest == j.Digest {
		return j, nil
	}
	f, err := progress.Load(dir)
	if err != nil {
		return nil, fail(exitFiles, "%w", err)
	}
	if f == nil || !f.Of(p) {
		return j, nil
	}
	return f.JobOf(j), nil
}
