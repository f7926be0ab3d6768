package main

import (
	"context"
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
	"sawbill/internal/rack"
)

// sides reads 500 x 300.
func sides(flag, text string) (l, w length.Length, err error) {
	parts := strings.FieldsFunc(strings.ReplaceAll(text, "×", "x"), func(r rune) bool { return r == 'x' || r == 'X' })
	if len(parts) != 2 {
		return 0, 0, fail(exitUsage, "%s %q is no size; write length x width, such as 500 x 300", flag, text)
	}
	if l, err = measure(flag, strings.TrimSpace(parts[0])); err == nil {
		w, err = measure(flag, strings.TrimSpace(parts[1]))
	}
	return l, w, err
}

// rackOf opens the rack named, else the job's, else the user's own.
func rackOf(ctx context.Context, file, jobPath string, j *job.Job) (*rack.Rack, error) {
	if file == "" {
		file = jobsRack(j, jobPath)
	}
	return openRack(ctx, file)
}

func rackReserveCommand(file *string) *cobra.Command {
	return &cobra.Command{
		Use:   "reserve JOB PLAN",
		Short: "reserve what a plan uses of the rack, as 'sawbill plan' does",
		Args:  exactly(2, "a job file and a plan"),
		RunE: func(c *cobra.Command, args []string) error {
			w, err := openWork(args[0], args[1])
			if err != nil {
				return err
			}
			r, err := rackOf(c.Context(), *file, args[0], w.job)
			if err != nil {
				return err
			}
			defer r.Close()
			back, err := r.Reserve(c.Context(), rack.Hold{Owner: ownerOf(w.job, w.path), Plan: w.plan.Number, Date: today()}, w.plan.FromRack(), func() error { return unchanged(r, w.plan) })
			if err != nil {
				return notReserved(err)
			}
			told(c.OutOrStdout(), "reserved", w.plan.FromRack())
			told(c.OutOrStdout(), "given back", back)
			return nil
		},
	}
}

// told prints what was done to pieces; nothing of none.
func told(w io.Writer, done string, ids []int64) {
	if len(ids) > 0 {
		fmt.Fprintf(w, "%s: no. %s\n", done, numbersText(ids))
	}
}

func numbersText(ids []int64) string {
	var list []string
	for _, id := range ids {
		list = append(list, fmt.Sprint(id))
	}
	return strings.Join(list, ", ")
}

func rackReleaseCommand(file *string) *cobra.Command {
	return &cobra.Command{
		Use:   "release JOB [PLAN] | ID...",
		Short: "give back what is reserved for a job, or pieces by their numbers",
		Long: `Release gives back what is reserved for a job. What was noted of its bars and
sheets with 'sawbill stock' is kept: a piece of the rack goes back with the size
that it was found to have. It is noted beside PLAN, which is the pack beside the
job where none is named.

` + exitHelp,
		Args: func(c *cobra.Command, args []string) error {
			if len(args) == 0 {
				return exactly(1, "a job file, or the numbers of pieces")(c, args)
			}
			return nil
		},
		RunE: func(c *cobra.Command, args []string) error {
			if _, err := strconv.ParseInt(args[0], 10, 64); err != nil {
				if len(args) > 2 {
					return fail(exitUsage, "write one job file and perhaps its plan, or the numbers of pieces")
				}
				return releaseJob(c.Context(), *file, args, c.OutOrStdout())
			}
			ids, err := numbers(args)
			if err != nil {
				return err
			}
			r, err := openRack(c.Context(), *file)
			if err != nil {
				return err
			}
			defer r.Close()
			if err := r.ReleasePieces(c.Context(), ids...); err != nil {
				return &failure{exitFaults, err}
			}
			return nil
		},
	}
}

// releaseJob gives back what is reserved for a job, by what was noted beside a plan of
// it.
func releaseJob(ctx context.Context, file string, args []string, out io.Writer) error {
	j, err := readJob(args[0])
	if err != nil {
		return err
	}
	var found []rack.Found
	w, err := (*work)(nil), error(nil)
	if len(args) == 2 {
		if w, err = openWork(args[0], args[1]); err != nil {
			return err
		}
	} else {
		// The pack that happens to lie there may be of another state of the job.
		w, _ = openWork(args[0], filepath.Join(filepath.Dir(args[0]), "pack"))
	}
	if w != nil {
		f, err := w.load()
		if err != nil {
			return err
		}
		found, _ = w.found(progress.Look(w.job, f.State, f.Events).Booking())
	}
	r, err := rackOf(ctx, file, args[0], j)
	if err != nil {
		return err
	}
	defer r.Close()
	back, err := r.Release(ctx, ownerOf(j, args[0]), found...)
	if err != nil {
		return fail(exitFiles, "nothing was given back: %w", err)
	}
	if len(back) == 0 {
		fmt.Fprintf(out, "nothing is reserved for %q\n", j.Name)
	}
	told(out, "given back", back)
	tellFound(w, found, back, out)
	return nil
}

// found is what a booking says of pieces that go back to the rack, as it is read off a
// tape, and the numbers of those of which nothing is left then.
func (w *work) found(b progress.Booking) (found []rack.Found, used []int64) {
	for _, f := range b.Found {
		l, wide := w.onTape(f.Length), w.onTape(f.Width)
		if l == 0 || f.Width > 0 && wide == 0 {
			used = append(used, f.Number)
			continue
		}
		found = append(found, rack.Found{ID: f.Number, Length: l, Width: wide, Note: f.Damage})
	}
	return found, used
}

// tellFound prints what the rack has learnt of pieces that went back.
func tellFound(w *work, found []rack.Found, back []int64, out io.Writer) {
	for _, f := range found {
		if !slices.Contains(back, f.ID) {
			continue
		}
		size := w.print(f.Length)
		if f.Width > 0 {
			size += " x " + w.print(f.Width)
		}
		if f.Note != "" {
			size += ", " + f.Note
		}
		fmt.Fprintf(out, "no. %d is noted as it was found: %s\n", f.ID, size)
	}
}

func rackBookCommand(file *string) *cobra.Command {
	var place string
	var unfinished bool
	c := &cobra.Command{
		Use:   "book JOB PLAN",
		Short: "take off the rack what a job used, and put on it what is left",
		Long: `Book closes a plan that has been cut: what it used of the rack is taken off, and
what is left and worth keeping is put on it, with the job, the date and --place.
Worth keeping is what the job's keep-over says, else the rules of 'sawbill rack
keep'. A plan is booked once.

What was ticked with 'sawbill tick' and 'sawbill stock' counts: a bar or sheet of
which nothing was cut is not booked, and goes back to the rack if it came from
there. Where nothing was ticked, all counts as cut as planned. With --unfinished
a plan is closed of which something was not cut and will not be.

` + exitHelp,
		Args: exactly(2, "a job file and a plan"),
		RunE: func(c *cobra.Command, args []string) error {
			w, err := openWork(args[0], args[1])
			if err != nil {
				return err
			}
			r, err := rackOf(c.Context(), *file, args[0], w.job)
			if err != nil {
				return err
			}
			defer r.Close()
			return w.book(r, place, unfinished, c.OutOrStdout())
		},
	}
	c.Flags().StringVar(&place, "place", "", "where what is left is put")
	c.Flags().BoolVar(&unfinished, "unfinished", false, "book what is cut, though not all is")
	return c
}

func (w *work) book(r *rack.Rack, place string, unfinished bool, out io.Writer) error {
	ctx := context.Background()
	f, err := w.load()
	if err != nil {
		return err
	}
	rules, err := r.Rules(ctx)
	if err != nil {
		return fail(exitFiles, "the rack cannot be read: %w", err)
	}
	date := today()
	done := progress.Book(w.job, f.State, f.Events)
	if done.Open > 0 && !unfinished {
		return fail(exitFaults, "%s of plan no. %s still to be cut or planned again; tick what is cut, go on, or close the plan with --unfinished", openText(done.Open), w.plan.Number)
	}
	b := rack.Booking{Owner: ownerOf(w.job, w.path), Plan: w.plan.Number, Digest: w.plan.Digest, Date: date, Used: done.Used}
	found, gone := w.found(done)
	b.Found, b.Used = found, append(b.Used, gone...)
	slices.Sort(b.Used)
	var small, unknown int
	for _, s := range done.Left {
		s.Length, s.Width = w.onTape(s.Length), w.onTape(s.Width)
		m := w.job.Materials[slices.IndexFunc(w.job.Materials, func(m job.Material) bool { return m.Key == s.Material })]
		spelling := m.Section.Canonical + ", " + m.Alloy.Name
		switch {
		case !worthKeeping(m, rules, s.Length, s.Width):
			small++
		case len(made(w.job, spelling)) == 0:
			unknown++
		default:
			b.Left = append(b.Left, rack.Offcut{Material: spelling, Length: s.Length, Width: s.Width, Place: place, Date: date, Job: w.job.Name, Note: s.What})
		}
	}
	if err := w.onThisRack(ctx, r, b); err != nil {
		return err
	}
	in, missing, err := r.Book(ctx, b)
	var booked *rack.Booked
	if err != nil && !errors.As(err, &booked) {
		return fail(exitFaults, "nothing was booked: %w", err)
	}
	on := date
	if booked != nil {
		on = booked.Date
	}
	// The rack refuses a second booking whether or not this is noted.
	if noteErr := w.markBooked(on); noteErr != nil && err == nil {
		return fail(exitFiles, "the rack is booked, and the progress beside the plan cannot be written: %w", noteErr)
	}
	if err != nil {
		return &failure{exitFaults, err}
	}
	if done.Assumed {
		fmt.Fprintln(out, "nothing was ticked: all counts as cut as planned")
	}
	told(out, "taken off the rack", slices.DeleteFunc(slices.Clone(b.Used), func(id int64) bool { return slices.Contains(missing, id) }))
	told(out, "was off the rack already", missing)
	back := slices.DeleteFunc(done.Back, func(id int64) bool { return slices.Contains(gone, id) })
	told(out, "not cut, free again", back)
	tellFound(w, found, back, out)
	for i, o := range b.Left {
		size := w.print(o.Length)
		if o.Width > 0 {
			size += " x " + w.print(o.Width)
		}
		fmt.Fprintf(out, "put on the rack: no. %d, %s, %s, %s\n", in[i], o.Material, size, o.Note)
	}
	if small > 0 {
		fmt.Fprintf(out, "not worth keeping: %s\n", piecesText(small))
	}
	if unknown > 0 {
		fmt.Fprintf(out, "of a material that the rack does not know: %s\n", piecesText(unknown))
	}
	return nil
}

// onThisRack refuses to book on another rack than the plan's: a piece that was used and
// is not reserved for the job must be as the plan takes it.
func (w *work) onThisRack(ctx context.Context, r *rack.Rack, b rack.Booking) error {
	all, err := r.List(ctx)
	if err != nil {
		return fail(exitFiles, "the rack cannot be read: %w", err)
	}
	for _, o := range all {
		if !slices.Contains(b.Used, o.ID) || o.Held != nil && o.Held.Is(b.Owner) || w.plan.Rack == nil {
			continue
		}
		i := slices.IndexFunc(w.plan.Rack.Pieces, func(p plan.RackPiece) bool { return p.Number == o.ID })
		if i < 0 {
			continue
		}
		p := w.plan.Rack.Pieces[i]
		same := slices.ContainsFunc(made(w.job, o.Material), func(m int) bool { return w.job.Materials[m].Key == p.Material })
		if !same || o.Length != p.Length || o.Width != p.Width {
			return fail(exitFaults, "no. %d of this rack is not the piece that plan no. %s was cut from; name the plan's rack with --rack, or give the piece its old size with 'sawbill rack edit'", o.ID, w.plan.Number)
		}
	}
	return nil
}

// onTape rounds down to what is read off a tape: a millimetre or a 16th of an inch.
func (w *work) onTape(l length.Length) length.Length {
	if w.job.Unit.Imperial() {
		return l - l%(length.Inch/16)
	}
	return l - l%length.Millimetre
}

// print is a length in the job's unit, exact.
func (w *work) print(l length.Length) string {
	return length.Exact(l, w.job.Unit) + " " + w.job.Unit.String()
}

func openText(n int) string {
	if n == 1 {
		return "1 piece or panel is"
	}
	return fmt.Sprintf("%d pieces and panels are", n)
}

// worthKeeping goes by what the job says of a material, else by the rack's rules;
// where neither says anything nothing is.
func worthKeeping(m job.Material, k rack.Rules, l, w length.Length) bool {
	switch {
	case w == 0 && m.KeepOver > 0:
		return l >= m.KeepOver
	case w > 0 && m.KeepLength > 0:
		return rack.Rules{SheetLength: m.KeepLength, SheetWidth: m.KeepWidth}.Large(l, w)
	case w == 0:
		return k.Bar > 0 && k.Large(l, w)
	}
	return k.SheetLength > 0 && k.Large(l, w)
}

// markBooked has nothing more noted of the plan.
func (w *work) markBooked(date string) error {
	return progress.Change(w.dir, func(f *progress.File) (*progress.File, error) {
		f, err := w.own(f)
		if err != nil {
			return nil, err
		}
		changed := *f
		changed.Booked = date
		return &changed, nil
	})
}
