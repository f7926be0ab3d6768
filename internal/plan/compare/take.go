package compare

import (
	"fmt"
	"slices"

	"sawbill/internal/job"
	"sawbill/internal/plan/option"
)

// Taking is what makes a job one of its options.
type Taking struct {
	// Without are the rows of offers and quotes that it does without.
	Without []job.Pos
	// Variant is the variant that the job becomes, with the materials that rows of
	// offers are then for.
	Variant string
	For     map[job.Pos]string
}

// Take says what makes a job one of its options. Those that cannot be had so are
// refused in a sentence.
func Take(j *job.Job, name string) (*Taking, error) {
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
		t := &Taking{Without: left(j, c.job), Variant: name, For: map[job.Pos]string{}}
		for _, o := range c.job.Offers {
			if !slices.ContainsFunc(j.Offers, func(p job.Offer) bool { return p.Pos == o.Pos }) {
				for _, at := range append([]job.Pos{o.Pos}, o.Further...) {
					t.For[at] = j.Materials[o.Material].Key
				}
			}
		}
		return t, nil
	default:
		if onRack(j) > onRack(c.job) {
			return nil, fmt.Errorf("it does without what lies on the rack; plan the job with --rack none for that")
		}
		return &Taking{Without: left(j, c.job)}, nil
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
