package compare

import (
	"fmt"
	"slices"

	"sawbill/internal/job"
	"sawbill/internal/plan/option"
)

// Without names the rows of offers and quotes that an option does without. With
// them set aside, the job is the option. Options that are no choice among what
// is offered are refused in a sentence.
func Without(j *job.Job, name string) ([]job.Pos, error) {
	all, _ := choicesOf(j)
	i := slices.IndexFunc(all, func(c choice) bool { return c.name == name })
	if i < 0 {
		return nil, fmt.Errorf("the job has no option %q any more; compare it again", name)
	}
	switch c := all[i]; c.kind {
	case option.AsOffered:
		return nil, fmt.Errorf("this is the job as it is; there is nothing to change")
	case option.WhatIf:
		return nil, fmt.Errorf("nobody offers sheets of this size; ask for a price, and write it among the offers")
	case option.Variant:
		return nil, fmt.Errorf("a variant is taken by writing its keys, [variant.%s. …], in the places of the job's own", name)
	default:
		if onRack(j) > onRack(c.job) {
			return nil, fmt.Errorf("it does without what lies on the rack; plan the job with --rack none for that")
		}
		return left(j, c.job), nil
	}
}

// onRack counts what a job may use of a rack.
func onRack(j *job.Job) (n int) {
	for _, o := range j.Offers {
		if o.Rack != 0 {
			n++
		}
	}
	return n
}

// left are the rows of a job that are not in one with less.
func left(j, less *job.Job) []job.Pos {
	var rows []job.Pos
	for _, o := range j.Offers {
		if o.Rack == 0 && !slices.ContainsFunc(less.Offers, func(p job.Offer) bool { return p.Pos == o.Pos }) {
			rows = append(append(rows, o.Pos), o.Further...)
		}
	}
	for _, q := range j.Quotes {
		if !slices.ContainsFunc(less.Quotes, func(p job.Quote) bool { return p.Pos == q.Pos }) {
			rows = append(rows, q.Pos)
		}
	}
	return rows
}
