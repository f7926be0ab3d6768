package main

import (
	"context"
	"encoding/json"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"
	"time"
)

// instance is one problem that can be solved.
type instance struct {
	name   string
	pieces int64 // sum of the demands
	kinds  int
	solve  func(context.Context, effort) (answer, error)
}

// answer is what a run found, recounted.
type answer struct {
	bound, value string // in the instance's cost, empty where there is none
	proven       bool
	plan         any    // marshals to the plan file; nil without a plan
	note         string // how the run ended
}

// row is a line of the CSV, or why there is none.
type row struct {
	answer
	seconds float64
	err     error
}

// read gathers the instances of all files in order, and a fault for each
// file or line that holds none.
func read(set settings) ([]instance, []error) {
	var instances []instance
	var faults []error
	for _, name := range set.files {
		text, err := os.ReadFile(name)
		if err != nil {
			faults = append(faults, fmt.Errorf("cannot read the file: %w", err))
			continue
		}
		base := strings.TrimSuffix(filepath.Base(name), filepath.Ext(name))
		if set.dimensions == "1d" {
			p, err := readBars(string(text))
			if err != nil {
				faults = append(faults, fmt.Errorf("%s: %w", name, err))
				continue
			}
			instances = append(instances, p.instance(base))
			continue
		}
		found, bad := readSheets(name, base, text)
		for _, p := range found {
			if set.dimensions == "knapsack" {
				instances = append(instances, p.selection(set.placement, set.bounded))
				continue
			}
			instances = append(instances, p.instance(set.placement))
		}
		faults = append(faults, bad...)
	}
	return instances, faults
}

// report solves the instances, set.jobs at a time, and prints each row once
// those before it are printed. It tells whether every row was sound; the
// error is that of writing. A cancelled context ends it early.
func report(ctx context.Context, set settings, instances []instance, out, errs io.Writer) (bool, error) {
	if _, err := fmt.Fprintln(out, "instance,pieces,kinds,bound,value,proven,seconds"); err != nil {
		return false, err
	}
	rows := make([]chan row, len(instances))
	for i := range rows {
		rows[i] = make(chan row, 1)
	}
	go func() {
		slots := make(chan struct{}, set.jobs)
		for i, in := range instances {
			slots <- struct{}{}
			if ctx.Err() != nil {
				close(rows[i])
				<-slots
				continue
			}
			go func() {
				rows[i] <- measure(ctx, set, in)
				<-slots
			}()
		}
	}()
	sound := true
	for i, in := range instances {
		r, ran := <-rows[i]
		if !ran {
			continue
		}
		if r.err != nil {
			sound = false
			fmt.Fprintf(errs, "bench: %s: %v\n", in.name, r.err)
			continue
		}
		if set.plans != "" && r.plan != nil {
			if err := writePlan(set.plans, in.name, r.plan); err != nil {
				return false, err
			}
		}
		if set.verbose {
			fmt.Fprintf(errs, "%s: %s\n", in.name, r.note)
		}
		proven := 0
		if r.proven {
			proven = 1
		}
		if _, err := fmt.Fprintf(out, "%s,%d,%d,%s,%s,%d,%.3f\n",
			field(in.name), in.pieces, in.kinds, r.bound, r.value, proven, r.seconds); err != nil {
			return false, err
		}
	}
	return sound, nil
}

// measure solves one instance within its time.
func measure(ctx context.Context, set settings, in instance) row {
	if set.seconds > 0 {
		var cancel context.CancelFunc
		ctx, cancel = context.WithTimeout(ctx, set.limit())
		defer cancel()
	}
	start := time.Now()
	a, err := in.solve(ctx, set.effort)
	return row{answer: a, seconds: time.Since(start).Seconds(), err: err}
}

// field quotes a CSV field where RFC 4180 asks for it.
func field(s string) string {
	if !strings.ContainsAny(s, ",\"\r\n") {
		return s
	}
	return `"` + strings.ReplaceAll(s, `"`, `""`) + `"`
}

// writePlan writes a plan to dir under the instance's name.
func writePlan(dir, name string, plan any) error {
	text, err := json.Marshal(plan)
	if err != nil {
		return err
	}
	return os.WriteFile(filepath.Join(dir, fileName(name)+".json"), append(text, '\n'), 0o666)
}

// fileName turns an instance's name into one that stays inside its folder.
func fileName(name string) string {
	return strings.Map(func(r rune) rune {
		if r == '/' || r == '\\' || r == ':' || r < ' ' {
			return '_'
		}
		return r
	}, name)
}
