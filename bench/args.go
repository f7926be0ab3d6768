package main

import (
	"errors"
	"flag"
	"fmt"
	"io"
	"slices"
	"strings"
	"time"

	"sawbill/nest2d"
)

const usage = `usage: bench 1d [flags] FILE...
       bench 2d [flags] FILE...
       bench knapsack [flags] FILE...
`

// settings are what the command line asks for.
type settings struct {
	dimensions string // "1d", "2d" or "knapsack"
	effort     effort
	seconds    float64 // of each instance; 0 without limit
	jobs       int     // instances at a time
	plans      string  // folder for plan files, or empty
	verbose    bool
	placement  placement // 2d and knapsack
	bounded    bool      // knapsack only: demands are limits
	files      []string
}

// limit is the time of one instance, 0 for any.
func (s settings) limit() time.Duration {
	return time.Duration(s.seconds * float64(time.Second))
}

// parse reads the command line. Flags may stand before, between and after
// the files.
func parse(args []string, errs io.Writer) (settings, error) {
	if len(args) > 0 && (args[0] == "-h" || args[0] == "--help" || args[0] == "-help") {
		fmt.Fprint(errs, usage)
		return settings{}, flag.ErrHelp
	}
	if len(args) == 0 || !slices.Contains([]string{"1d", "2d", "knapsack"}, args[0]) {
		return settings{}, errors.New("say what to cut first: 'bench 1d FILE...' for bars, 'bench 2d FILE...' for sheets, 'bench knapsack FILE...' for the best of one sheet")
	}
	set := settings{dimensions: args[0]}
	flags := flag.NewFlagSet("bench "+args[0], flag.ContinueOnError)
	flags.SetOutput(io.Discard)
	flags.Float64Var(&set.seconds, "seconds", 0, "stop each instance after `S` seconds; 0 for never")
	flags.IntVar(&set.jobs, "jobs", 1, "run `N` instances at a time")
	flags.StringVar(&set.plans, "plans", "", "write each plan to `DIR`/INSTANCE.json")
	flags.BoolVar(&set.verbose, "verbose", false, "tell on the error output how each run ended")
	effortName := flags.String("effort", "normal", "`LEVEL` of counted effort: quick, normal or long")
	var variant, first *string
	if set.dimensions == "2d" {
		flags.BoolVar(&set.placement.exact, "exact", false, "no trimming cut after the --stages")
		variant = flags.String("variant", "OG", "`V`: O fixed or R turnable panels, G guillotine cuts or F free placement")
		flags.IntVar(&set.placement.stages, "stages", 0, "at most `N` guillotine stages, then one trimming cut unless --exact; 0 for any number")
		first = flags.String("first", "any", "`DIRECTION` of the first stage's cuts: length, width or any")
	}
	if set.dimensions == "knapsack" {
		flags.BoolVar(&set.placement.turn, "rotate", false, "items may be turned by 90°")
		flags.BoolVar(&set.bounded, "bounded", false, "no item more often than its demand")
		flags.IntVar(&set.placement.stages, "stages", 0, "at most `N` guillotine stages, then one trimming cut; 0 for any number")
	}
	for rest := args[1:]; ; {
		if err := flags.Parse(rest); err != nil {
			if errors.Is(err, flag.ErrHelp) {
				fmt.Fprint(errs, usage)
				flags.SetOutput(errs)
				flags.PrintDefaults()
			}
			return settings{}, err
		}
		if flags.NArg() == 0 {
			break
		}
		set.files = append(set.files, flags.Arg(0))
		rest = flags.Args()[1:]
	}
	var err error
	if set.effort, err = parseEffort(*effortName); err != nil {
		return settings{}, err
	}
	if variant != nil {
		if err := set.placement.parse(*variant, *first); err != nil {
			return settings{}, err
		}
	}
	switch {
	case !(set.seconds >= 0 && set.seconds <= maxSeconds):
		return settings{}, fmt.Errorf("--seconds %v is out of range: give a number from 0 to %d", set.seconds, maxSeconds)
	case set.jobs < 1:
		return settings{}, fmt.Errorf("--jobs %d is too few: give 1 or more", set.jobs)
	case set.placement.stages < 0:
		return settings{}, fmt.Errorf("--stages %d is below zero: give a number of stages, or 0 for any", set.placement.stages)
	case set.placement.free && (set.placement.stages > 0 || set.placement.first != nest2d.AnyDirection):
		return settings{}, errors.New("--stages and --first have no meaning for free placement: leave them out, or choose the variant OG or RG")
	case set.placement.exact && set.placement.stages == 0:
		return settings{}, errors.New("--exact says that no cut trims after the last stage: give --stages N with it, or leave it out")
	case len(set.files) == 0:
		return settings{}, errors.New("there is no file to run: name at least one")
	}
	return set, nil
}

// maxSeconds keeps the limit far inside the range of a time.Duration.
const maxSeconds = 10_000_000

// effort is the counted effort of a run, by name on the command line.
type effort int

const (
	normal effort = iota
	quick
	long
)

func parseEffort(name string) (effort, error) {
	switch name {
	case "quick":
		return quick, nil
	case "normal":
		return normal, nil
	case "long":
		return long, nil
	}
	return 0, fmt.Errorf("--effort %q is unknown: write quick, normal or long", name)
}

// placement is what is allowed of panels on a sheet.
type placement struct {
	turn   bool             // panels may be turned by 90°
	free   bool             // cuts need not run from edge to edge
	stages int              // of guillotine cuts, 0 for any number
	exact  bool             // no trimming cut after the last stage
	first  nest2d.Direction // of the first stage
}

// parse reads a variant after Lodi, Martello and Vigo (1999), oriented or
// rotatable, guillotine or free, and the direction of the first cuts.
func (p *placement) parse(variant, first string) error {
	v := strings.ToUpper(variant)
	switch v {
	case "OG", "RG", "OF", "RF":
		p.turn, p.free = v[0] == 'R', v[1] == 'F'
	default:
		return fmt.Errorf("--variant %q is unknown: write OG, RG, OF or RF", variant)
	}
	switch first {
	case "any":
		p.first = nest2d.AnyDirection
	case "length":
		p.first = nest2d.AlongLength
	case "width":
		p.first = nest2d.AlongWidth
	default:
		return fmt.Errorf("--first %q is unknown: write length, width or any", first)
	}
	return nil
}
