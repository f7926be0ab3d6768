// Bench runs the cutting engines on published instances and prints one CSV
// row for each:
//
//	instance,pieces,kinds,bound,value,proven,seconds
//
//	go run ./bench 1d [flags] FILE...
//	go run ./bench 2d [flags] FILE...
//	go run ./bench knapsack [flags] FILE...
//
// A 1d FILE holds one instance in one of three plain forms (see read1d.go), a
// 2d FILE one instance a line as JSON (see read2d.go). Bound and value count
// bars or sheets when there is one size to cut from, and are in the
// instance's own cost when it states several. Both are empty where no plan
// was found, the bound too where it is proved that none exists. A row appears
// only after the plan behind it has been recounted from the instance alone:
// demands, supplies, sizes, overlaps, guillotine cuts and price. A plan that
// fails goes to the error output in its place.
//
// Knapsack reads 2d files and cuts the items of greatest value from one sheet of
// the first kind, any number of each unless told otherwise; value and bound are
// then values, and the bound is an upper one.
//
// The exit status is 0 when every row was printed, 1 when a file could not
// be read or a plan was wrong, 2 for a wrong command line, and 130 after an
// interrupt, which lets the running instance hand over what it has.
package main

import (
	"context"
	"errors"
	"flag"
	"fmt"
	"io"
	"os"
	"os/signal"
)

const (
	exitOK          = 0
	exitFault       = 1
	exitUsage       = 2
	exitInterrupted = 130
)

func main() {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt)
	defer stop()
	os.Exit(run(ctx, os.Args[1:], os.Stdout, os.Stderr))
}

// run is the whole program but for the process around it.
func run(ctx context.Context, args []string, out, errs io.Writer) int {
	set, err := parse(args, errs)
	if errors.Is(err, flag.ErrHelp) {
		return exitOK
	}
	if err != nil {
		fmt.Fprintf(errs, "bench: %v\n", err)
		return exitUsage
	}
	if set.plans != "" {
		if err := os.MkdirAll(set.plans, 0o777); err != nil {
			fmt.Fprintf(errs, "bench: cannot make the folder for plans: %v\n", err)
			return exitFault
		}
	}
	instances, faults := read(set)
	for _, f := range faults {
		fmt.Fprintf(errs, "bench: %v\n", f)
	}
	sound, err := report(ctx, set, instances, out, errs)
	switch {
	case err != nil:
		fmt.Fprintf(errs, "bench: %v\n", err)
		return exitFault
	case ctx.Err() != nil:
		fmt.Fprintln(errs, "bench: interrupted, the remaining instances were not run")
		return exitInterrupted
	case !sound || len(faults) > 0:
		return exitFault
	}
	return exitOK
}
