package main

import (
	"cmp"
	"context"
	"errors"
	"io/fs"
	"math/big"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"sawbill/internal/job"
	"sawbill/internal/plan"
	"sawbill/internal/progress"
	"sawbill/internal/rack"
)

// rackChoice are the flags that say which rack is used, and how.
type rackChoice struct {
	file, value string
	look        bool         // nothing is reserved
	twins       []rack.Owner // jobs whose reservations count as the job's own
}

// fileFlag, valueFlag and reserveFlag add what a command asks of these.
func (c *rackChoice) fileFlag(cmd *cobra.Command) {
	cmd.Flags().StringVar(&c.file, "rack", "", "use what lies on the rack in `FILE` first; \"mine\" is your own, \"none\" is no rack whatever the job says")
}

func (c *rackChoice) valueFlag(cmd *cobra.Command) {
	cmd.Flags().StringVar(&c.value, "rack-value", "", "what a piece of the rack counts for, in `PERCENT` of the cheapest offer by length or area (default: the job's, else 50)")
}

func (c *rackChoice) reserveFlag(cmd *cobra.Command) {
	cmd.Flags().BoolVar(&c.look, "no-reserve", false, "reserve nothing on the rack")
}

// today is the date of what is put on a rack or reserved there.
func today() string { return time.Now().Format(time.DateOnly) }

// shelf is the rack that a job is planned with; its zero value is none.
type shelf struct {
	*rack.Rack
	look  bool
	owner rack.Owner // the job
}

// ownerOf is a job to a rack.
func ownerOf(j *job.Job, path string) rack.Owner {
	folder, err := filepath.Abs(filepath.Dir(path))
	if err != nil {
		return rack.Owner{Job: j.Name}
	}
	if real, err := filepath.EvalSymlinks(folder); err == nil {
		folder = real
	}
	return rack.Owner{Job: j.Name, Folder: folder}
}

func (s shelf) close() {
	if s.Rack != nil {
		s.Close()
	}
}

// stocked is a job with what can be used of its rack among its offers, and the
// rack, which is to be closed.
func (c rackChoice) stocked(ctx context.Context, j *job.Job, path string) (*job.Job, shelf, error) {
	j, err := c.valued(j)
	if err != nil {
		return nil, shelf{}, err
	}
	file, err := c.resolve(j, path)
	if err != nil || file == "" {
		return j, shelf{}, err
	}
	r, err := rack.Open(ctx, file)
	if err != nil {
		return nil, shelf{}, &failure{exitFiles, err}
	}
	all, err := r.List(ctx)
	if err != nil {
		r.Close()
		return nil, shelf{}, fail(exitFiles, "the rack cannot be read: %v", err)
	}
	owner := ownerOf(j, path)
	return j.OnRack(usable(j, append(c.twins, owner), all)), shelf{r, c.look, owner}, nil
}

// valued is a job with the value that was asked for.
func (c rackChoice) valued(j *job.Job) (*job.Job, error) {
	if c.value == "" {
		return j, nil
	}
	share, err := percentage(c.value)
	if err != nil {
		return nil, err
	}
	with := *j
	with.Rack.Share = share
	return &with, nil
}

// asPlanned is a job with the pieces of a rack that a plan beside it had to choose
// from, those of materials that the job has; the job itself where there are none.
func (c rackChoice) asPlanned(j *job.Job, folder string) (*job.Job, error) {
	p, _, err := readPlan(filepath.Join(folder, "plan.json"))
	if err != nil || p.Rack == nil {
		return j, nil // orders can be kept without the plan
	}
	known := *p.Rack
	if c.value != "" {
		if known.Share, err = percentage(c.value); err != nil {
			return nil, err
		}
	}
	known.Pieces = slices.DeleteFunc(slices.Clone(known.Pieces), func(r plan.RackPiece) bool {
		return !slices.ContainsFunc(j.Materials, func(m job.Material) bool { return m.Key == r.Material })
	})
	p.Rack = &known
	return progress.Planned(j, p), nil
}

// jobsRack is the rack that a job names, beside the job where it is not said
// otherwise; "" where it names none.
func jobsRack(j *job.Job, path string) string {
	file := j.Rack.File
	if file == "" || file == job.MyRack || filepath.IsAbs(file) {
		return file
	}
	return filepath.Join(filepath.Dir(path), filepath.FromSlash(file))
}

// resolve is the file of the rack to plan with; "" for none. One that was named has
// to be there; the user's own may still have nothing on it.
func (c rackChoice) resolve(j *job.Job, path string) (string, error) {
	file := c.file
	if file == "" {
		file = jobsRack(j, path)
	}
	if file == "" || c.file == job.NoRack {
		return "", nil
	}
	own := file == job.MyRack
	if own {
		folder, err := dataFolder()
		if err != nil {
			return "", &failure{exitFiles, err}
		}
		file = filepath.Join(folder, rackFile)
	}
	_, err := os.Stat(file)
	switch {
	case errors.Is(err, fs.ErrNotExist) && own:
		return "", nil
	case errors.Is(err, fs.ErrNotExist):
		return "", fail(exitFiles, "there is no rack %s; put something on it with 'sawbill rack add', or name another with --rack", file)
	case err != nil:
		return "", fail(exitFiles, "the rack %s cannot be read: %w", file, err)
	}
	return file, nil
}

// percentage reads 30, 30 % or 12.5% as hundredths of a percent.
func percentage(text string) (int64, error) {
	r, ok := new(big.Rat).SetString(strings.TrimSpace(strings.TrimSuffix(strings.TrimSpace(text), "%")))
	if ok {
		r.Mul(r, big.NewRat(100, 1))
	}
	if !ok || !r.IsInt() || r.Sign() < 0 || r.Cmp(big.NewRat(10_000, 1)) > 0 || strings.ContainsAny(text, "/eE") {
		return 0, fail(exitUsage, "%q is not a percentage from 0 to 100, with at most two decimals; write one such as 50", text)
	}
	return r.Num().Int64(), nil
}

// usable are the pieces of a rack that a job may use: of its materials, free or
// reserved for one of the owners, and large enough for something that it wants.
func usable(j *job.Job, owners []rack.Owner, all []rack.Offcut) []job.RackPiece {
	known := map[string][]int{} // materials of the job by the rack's spelling
	var list []job.RackPiece
	for _, o := range all {
		if o.Held != nil && !slices.ContainsFunc(owners, o.Held.Is) {
			continue
		}
		materials, met := known[o.Material]
		if !met {
			materials = made(j, o.Material)
			known[o.Material] = materials
		}
		for _, m := range materials {
			if holds(j, m, o) {
				list = append(list, job.RackPiece{ID: o.ID, Place: o.Place, Material: m, Length: o.Length, Width: o.Width})
				break // one material only: there is one of it
			}
		}
	}
	slices.SortFunc(list, func(a, b job.RackPiece) int {
		return cmp.Or(cmp.Compare(a.Material, b.Material), cmp.Compare(a.Length, b.Length), cmp.Compare(a.Width, b.Width), cmp.Compare(a.ID, b.ID))
	})
	return list
}

// made are the materials of a job that are what a rack's spelling names, however
// either is written.
func made(j *job.Job, spelling string) (list []int) {
	s, alloy, err := rack.ParseMaterial(spelling)
	if err != nil {
		return nil
	}
	for i, m := range j.Materials {
		if m.Section.Same(s) && m.Alloy.Name == alloy.Name {
			list = append(list, i)
		}
	}
	return list
}

// holds says that some piece or panel of a material might be cut from a bar or sheet.
func holds(j *job.Job, m int, o rack.Offcut) bool {
	p := j.Processes[j.Materials[m].Process]
	long, wide := o.Length-p.TrimLeft-p.TrimRight, o.Width-p.TrimBottom-p.TrimTop
	if o.Width == 0 {
		return slices.ContainsFunc(j.Pieces, func(q job.Piece) bool { return q.Material == m && q.Length <= long-p.Tail })
	}
	return slices.ContainsFunc(j.Panels, func(q job.Panel) bool {
		return q.Material == m && (q.Length <= long && q.Width <= wide || q.Turn && q.Width <= long && q.Length <= wide)
	})
}

// reserving writes a pack and reserves what its plan uses of the rack, both or
// neither.
func (s shelf) reserving(p *plan.Plan, write func() error) error {
	if s.Rack == nil || s.look {
		return write()
	}
	_, err := s.Reserve(context.Background(), rack.Hold{Owner: s.owner, Plan: p.Number, Date: today()}, p.FromRack(), func() error {
		if err := unchanged(s.Rack, p); err != nil {
			return err
		}
		return write()
	})
	return notReserved(err)
}

// extending is reserving for a plan that goes on from another: what the job has
// reserved stays so.
func (s shelf) extending(p *plan.Plan, write func() error) error {
	if s.Rack == nil || s.look {
		return write()
	}
	return notReserved(s.Extend(context.Background(), rack.Hold{Owner: s.owner, Plan: p.Number, Date: today()}, p.FromRack(), func() error {
		if err := unchanged(s.Rack, p); err != nil {
			return err
		}
		return write()
	}))
}

// withdraw takes back from a new plan the pieces of the rack that are gone, changed
// or reserved for others since the first was made; all of them where no rack is
// named. It returns the rack, which is to be closed.
func (w *work) withdraw(v *progress.View, c rackChoice) (shelf, error) {
	if w.plan.Rack == nil {
		return shelf{}, nil
	}
	free := map[int64]bool{}
	_, on, err := c.stocked(context.Background(), w.job, w.path)
	if err != nil {
		return on, err
	}
	if on.Rack != nil {
		all, err := on.List(context.Background())
		if err != nil {
			on.close()
			return shelf{}, fail(exitFiles, "the rack cannot be read: %v", err)
		}
		for _, p := range usable(w.job, []rack.Owner{on.owner}, all) {
			free[p.ID] = slices.ContainsFunc(w.plan.Rack.Pieces, func(r plan.RackPiece) bool {
				return r.Number == p.ID && r.Length == p.Length && r.Width == p.Width && r.Material == w.job.Materials[p.Material].Key
			})
		}
	}
	for _, r := range w.plan.Rack.Pieces {
		if !free[r.Number] {
			v.Withdrawn = append(v.Withdrawn, r.Number)
		}
	}
	return on, nil
}

// unchanged refuses a plan that uses pieces of the rack which have another size by
// now. Nothing is changed on the rack while they are being reserved.
func unchanged(r *rack.Rack, p *plan.Plan) error {
	all, err := r.List(context.Background())
	if err != nil {
		return fail(exitFiles, "the rack cannot be read: %v", err)
	}
	for _, used := range p.Rack.Used() {
		i := slices.IndexFunc(all, func(o rack.Offcut) bool { return o.ID == used.Number })
		if i >= 0 && (all[i].Length != used.Length || all[i].Width != used.Width) {
			return fail(exitFiles, "no. %d of the rack has another size than plan no. %s takes it for; plan the job again", used.Number, p.Number)
		}
	}
	return nil
}

// notReserved gives an error of the rack its exit code.
func notReserved(err error) error {
	if f := (*failure)(nil); err == nil || errors.As(err, &f) {
		return err
	}
	return fail(exitFiles, "the pieces of the rack could not be reserved: %w", err)
}
