package main

import (
	"fmt"
	"os"

	"github.com/spf13/cobra"

	"sawbill/internal/plan"
	"sawbill/internal/plan/check"
)

func checkCommand() *cobra.Command {
	return &cobra.Command{
		Use:   "check JOB PLAN",
		Short: "prove a plan again from the job, or list what is wrong with it",
		Long: `Check proves a plan.json from the job alone, with none of the code that made
it: every piece once, every cut inside its bar or sheet, the purchase, the
sums, the masses and the bound.

` + exitHelp,
		Args: exactly(2, "a job file and a plan file"),
		RunE: func(c *cobra.Command, args []string) error {
			j, err := readJob(args[0])
			if err != nil {
				return err
			}
			data, err := os.ReadFile(args[1])
			if err != nil {
				return fail(exitFiles, "the plan cannot be read: %w", err)
			}
			p, err := plan.Decode(data)
			if err != nil {
				return fail(exitFaults, "%s: %w", args[1], err)
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
				return fail(exitFaults, "%s: refused, 1 thing is wrong", args[1])
			default:
				return fail(exitFaults, "%s: refused, %d things are wrong", args[1], n)
			}
		},
	}
}
