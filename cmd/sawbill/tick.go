package main

import (
	"errors"
	"fmt"
	"io"
	"path/filepath"
	"slices"
	"strconv"
	"strings"

	"github.com/spf13/cobra"

	"sawbill/internal/job"
	"sawbill/internal/length"
	"sawbill/internal/plan"
	"sawbill/internal/progress"
)

func tickCommand() *cobra.Command {
	var from string
	var otherHand bool
	c := &cobra.Command{
		Use:   "tick JOB PLAN MARK[/COPY]... cut|wrong|lost|open [SIZE]",
		Short: "say what became of pieces and panels at the saw",
		Long: `Tick notes, in progress.json beside the plan, what became of a piece or panel:
  cut     it is made, and good
  wrong   it was cut, and is not what it should be; with SIZE, what it measures,
          it can be used for something else
  lost    it was cut, and nobody has it
  open    it is not cut after all
Without a copy the next one that it can be said of is meant. What was cut from a
piece gone wrong is ticked with --from:
  sawbill tick job.toml pack R3/2 wrong 1180
  sawbill tick job.toml pack R4/1 wrong --other-hand
  sawbill tick job.toml pack R5/1 cut --from R3/2
PLAN is a pack or its plan.json. Then 'sawbill replan' says how to go on.

` + exitHelp,
		Args: func(c *cobra.Command, args []string) error {
			if len(args) < 4 {
				return fail(exitUsage, "%s takes a job, a plan, marks and what became of them, and %s given; see '%[1]s --help'", c.CommandPath(), counted(len(args)))
			}
			return nil
		},
		RunE: func(c *cobra.Command, args []string) error {
			w, err := openWork(args[0], args[1])
			if err != nil {
				return err
			}
			return w.tick(args[2:], from, otherHand, c.OutOrStdout())
		},
	}
	c.Flags().StringVar(&from, "from", "", "the `MARK/COPY` gone wrong that it was cut from")
	c.Flags().BoolVar(&otherHand, "other-hand", false, "what went wrong is the mirror image of what was wanted")
	return c
}

func stockCommand() *cobra.Command {
	return &cobra.Command{
		Use:   "stock JOB PLAN BAR short SIZE|damaged FROM TO|missing|open",
		Short: "say that a bar or sheet is not what it should be",
		Long: `Stock notes, in progress.json beside the plan, that a bar or sheet is not what the
plan takes it for. BAR is its material and number as on the cut sheets:
  sawbill stock job.toml pack "tube 3" short 5980        what it measures
  sawbill stock job.toml pack "tube 3" damaged 1200 1260 from its left end
  sawbill stock job.toml pack "skin 1" short 2400 x 1200
  sawbill stock job.toml pack "tube 3" missing
Open takes back what was said. Then 'sawbill replan' says how to go on.

` + exitHelp,
		Args: func(c *cobra.Command, args []string) error {
			if len(args) < 4 {
				return fail(exitUsage, "%s takes a job, a plan, a bar or sheet and what became of it, and %s given; see '%[1]s --help'", c.CommandPath(), counted(len(args)))
			}
			return nil
		},
		RunE: func(c *cobra.Command, args []string) error {
			w, err := openWork(args[0], args[1])
			if err != nil {
				return err
			}
			return w.stock(args[2:], c.OutOrStdout())
		},
	}
}

// work is a job and a plan of it that is being cut.
type work struct {
	job  *job.Job // the whole job
	plan *plan.Plan
	dir  string // of the plan
	path string // of the job
}

func openWork(jobPath, planPath string) (*work, error) {
	j, err := readJob(jobPath)
	if err != nil {
		return nil, err
	}
	p, planPath, err := readPlan(planPath)
	if err != nil {
		return nil, err
	}
	w := &work{progress.Planned(j, p), p, filepath.Dir(planPath), jobPath}
	f, err := w.load()
	if err != nil {
		return nil, err
	}
	if p.Job.Digest != f.JobOf(w.job).Digest {
		return nil, fail(exitFaults, "%s: plan no. %s is of another state of %s; go on with the job as it was planned, or plan it anew", planPath, p.Number, jobPath)
	}
	return w, nil
}

// load reads the progress of the plan, which is new where nothing is on file.
func (w *work) load() (*progress.File, error) {
	f, err := progress.Load(w.dir)
	if err != nil {
		return nil, fail(exitFiles, "%w", err)
	}
	return w.own(f)
}

// own is the progress on file, if it is the plan's.
func (w *work) own(f *progress.File) (*progress.File, error) {
	f, err := progress.For(w.job, w.plan, w.dir, f)
	if err != nil {
		return nil, fail(exitFaults, "%w", err)
	}
	return f, nil
}

// note puts on file what more makes of the events so far, and tells how things stand after.
func (w *work) note(out io.Writer, more func(*progress.File) ([]progress.Event, error)) error {
	if _, err := w.load(); err != nil { // a fault of what is named, not of the disk
		return err
	}
	after, err := progress.Note(w.job, w.plan, w.dir, more)
	if err != nil {
		if f := (*failure)(nil); errors.As(err, &f) {
			return f
		}
		return fail(exitFiles, "progress was not noted: %w", err)
	}
	v := progress.Look(w.job, after.State, after.Events)
	fmt.Fprintf(out, "%d made, %d to be cut as planned", len(v.Made), len(v.Waiting))
	if n := len(v.Wanted); n > 0 {
		fmt.Fprintf(out, ", %d to be planned again: 'sawbill replan' says how to go on", n)
	}
	fmt.Fprintln(out, ".")
	return nil
}

var becomes = []string{progress.Cut, progress.Wrong, progress.Lost, progress.Open}

func (w *work) tick(args []string, from string, otherHand bool, out io.Writer) error {
	at := slices.IndexFunc(args, func(a string) bool { return slices.Contains(becomes, a) })
	if at < 0 {
		return fail(exitUsage, "%q is nothing that becomes of a piece; write cut, wrong, lost or open behind the marks", args[len(args)-1])
	}
	if at == 0 {
		return fail(exitUsage, "no mark is named; write for example R3/2 %s", args[0])
	}
	become, size := args[at], strings.Join(args[at+1:], " ")
	l, wide, err := w.size(size)
	if err != nil {
		return err
	}
	var source *progress.Copy
	if from != "" {
		c, err := w.copyNamed(from)
		if err != nil {
			return err
		}
		if c.Copy == 0 {
			return fail(exitUsage, "--from %q does not say which copy; write for example %s/1", from, from)
		}
		source = &c
	}
	var done []progress.Event
	err = w.note(out, func(f *progress.File) ([]progress.Event, error) {
		done = nil
		events := f.Events
		for _, text := range args[:at] {
			c, err := w.copyNamed(text)
			if err != nil {
				return nil, err
			}
			if c.Copy == 0 {
				c.Copy = w.next(progress.Look(w.job, f.State, events), c.Mark, become)
			}
			e := progress.Event{Become: become, Mark: c.Mark, Copy: c.Copy, Length: l, Width: wide, From: source, OtherHand: otherHand}
			if events, err = progress.Add(w.job, f.State, events, e); err != nil {
				return nil, fail(exitFaults, "%w", err)
			}
			done = append(done, e)
		}
		for _, e := range done {
			fmt.Fprintf(out, "%s/%d: %s\n", e.Mark, e.Copy, e.Become)
		}
		return events, nil
	})
	if err != nil {
		return err
	}
	return w.advise(done, out)
}

// advise says what a piece gone wrong can still become.
func (w *work) advise(done []progress.Event, out io.Writer) error {
	f, err := w.load()
	if err != nil {
		return err
	}
	v := progress.Look(w.job, f.State, f.Events)
	for _, e := range done {
		if e.Become != progress.Wrong || e.Length == 0 && !e.OtherHand {
			continue
		}
		marks := v.MayBecome(e)
		if len(marks) == 0 {
			fmt.Fprintf(out, "Nothing that is still to be cut would go in what %s/%d measures.\n", e.Mark, e.Copy)
			continue
		}
		fmt.Fprintf(out, "It can still become %s. Replan uses it where that saves; if you cut one from it now, say so with --from %s/%d.\n", either(marks), e.Mark, e.Copy)
	}
	return nil
}

// either is "A, B or C".
func either(list []string) string {
	if n := len(list); n > 1 {
		return strings.Join(list[:n-1], ", ") + " or " + list[n-1]
	}
	return list[0]
}

// next is the copy meant by a mark alone: for what is cut or goes wrong the next
// that waits in cutting order, for what is lost or taken back the last made.
func (w *work) next(v *progress.View, mark, become string) int {
	pick := func(list []progress.Copy) (first, last int) {
		for _, c := range list {
			if c.Mark == mark {
				if first == 0 {
					first = c.Copy
				}
				last = c.Copy
			}
		}
		return first, last
	}
	waiting, _ := pick(v.Waiting)
	wanted, _ := pick(v.Wanted)
	_, made := pick(v.Made)
	order := []int{waiting, wanted, made}
	if become == progress.Lost || become == progress.Open {
		order = []int{made, wanted, waiting}
	}
	for _, c := range order {
		if c > 0 {
			return c
		}
	}
	return 1
}

// copyNamed reads R3/2; the copy is 0 where none is named. A mark may have a stroke in it.
func (w *work) copyNamed(text string) (progress.Copy, error) {
	slash := strings.LastIndex(text, "/")
	whole := slices.ContainsFunc(w.job.Pieces, func(p job.Piece) bool { return p.Mark == text }) ||
		slices.ContainsFunc(w.job.Panels, func(p job.Panel) bool { return p.Mark == text })
	if slash < 0 || whole {
		return progress.Copy{Mark: text}, nil
	}
	mark := text[:slash]
	n, err := strconv.Atoi(text[slash+1:])
	if err != nil || n < 1 || mark == "" {
		return progress.Copy{}, fail(exitUsage, "%q is no copy of a mark; write for example R3/2", text)
	}
	return progress.Copy{Mark: mark, Copy: n}, nil
}

// size reads "1180" or "2400 x 1200"; both are 0 of nothing.
func (w *work) size(text string) (l, wide length.Length, err error) {
	if text == "" {
		return 0, 0, nil
	}
	parts := strings.FieldsFunc(strings.ReplaceAll(text, "×", "x"), func(r rune) bool { return r == 'x' || r == 'X' })
	if len(parts) > 2 {
		return 0, 0, fail(exitUsage, "%q is no size; write a length such as 1180, or length x width", text)
	}
	sides := [2]length.Length{}
	for i, part := range parts {
		if sides[i], err = w.length(part); err != nil {
			return 0, 0, err
		}
		if sides[i] <= 0 {
			return 0, 0, fail(exitUsage, "%q is no size; write what it measures, above 0", text)
		}
	}
	return sides[0], sides[1], nil
}

func (w *work) length(text string) (length.Length, error) {
	l, err := length.Parse(text, length.Reading{Unit: w.job.Unit, DecimalComma: w.job.DecimalComma})
	if off := (*length.OffGridError)(nil); errors.As(err, &off) {
		return off.Nearest, nil
	}
	if err != nil {
		return 0, fail(exitUsage, "%w", err)
	}
	return l, nil
}

func (w *work) stock(args []string, out io.Writer) error {
	e := progress.Event{Become: args[1]}
	if err := w.layout(args[0], &e); err != nil {
		return err
	}
	var err error
	switch rest := args[2:]; e.Become {
	case progress.Short:
		if e.Length, e.Width, err = w.size(strings.Join(rest, " ")); err == nil && e.Length == 0 {
			err = fail(exitUsage, "short does not say how long it is; write what it measures, such as short 5980")
		}
	case progress.Damaged:
		if len(rest) != 2 {
			return fail(exitUsage, "damaged takes where the damage begins and ends, from the left end, such as damaged 1200 1260")
		}
		if e.Start, err = w.length(rest[0]); err == nil {
			e.End, err = w.length(rest[1])
		}
	case progress.Missing, progress.Open:
		if len(rest) > 0 {
			return fail(exitUsage, "%s takes nothing more, and %q was given", e.Become, strings.Join(rest, " "))
		}
	default:
		return fail(exitUsage, "%q is nothing that becomes of a bar or sheet; write short, damaged, missing or open", e.Become)
	}
	if err != nil {
		return err
	}
	number := int64(0)
	err = w.note(out, func(f *progress.File) ([]progress.Event, error) {
		events, err := progress.Add(w.job, f.State, f.Events, e)
		if err != nil {
			return nil, fail(exitFaults, "%w", err)
		}
		number = progress.Look(w.job, f.State, events).OnRack(e)
		return events, nil
	})
	if err == nil && number != 0 && e.Become != progress.Open {
		fmt.Fprintf(out, "It is no. %d of the rack, where this is noted by 'sawbill rack book' or 'rack release'.\n", number)
	}
	return err
}

// layout reads "tube 3", or "3" where only one material is cut. A layout of an
// earlier plan that stays in force has the plan's number before it: "1a2b3c4d tube 3".
func (w *work) layout(text string, e *progress.Event) error {
	f, err := w.load()
	if err != nil {
		return err
	}
	words := strings.FieldsFunc(text, func(r rune) bool { return r == ' ' || r == '/' })
	number := 0
	if len(words) > 0 {
		number, _ = strconv.Atoi(words[len(words)-1])
	}
	if number < 1 {
		return fail(exitUsage, "%q names no bar or sheet; write its material and number, such as \"tube 3\"", text)
	}
	var found []progress.Event
	var names []string
	for _, l := range f.State.Layouts {
		name := l.Material
		if !slices.Contains(names, name) {
			names = append(names, name)
		}
		before := strings.Join(words[:len(words)-1], " ")
		if l.Layout.Number == number && (before == "" || before == name && l.Plan == w.plan.Number || before == l.Plan+" "+name || before == name) {
			found = append(found, progress.Event{Plan: l.Plan, Material: l.Material, Number: number})
		}
	}
	if own := slices.DeleteFunc(slices.Clone(found), func(c progress.Event) bool { return c.Plan != w.plan.Number }); len(own) == 1 {
		found = own
	}
	switch len(found) {
	case 1:
		e.Plan, e.Material, e.Number = found[0].Plan, found[0].Material, number
		return nil
	case 0:
		return fail(exitFaults, "plan no. %s has no %q; its materials are %s, and bars and sheets are numbered as on the cut sheets", w.plan.Number, text, strings.Join(names, ", "))
	}
	return fail(exitFaults, "%q may be of several materials; write one of %s before the number", text, strings.Join(names, ", "))
}
