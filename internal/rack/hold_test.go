package rack

import (
	"context"
	"errors"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"sawbill/internal/length"
)

const mm = length.Millimetre

func day(job, plan string) Hold { return Hold{Owner{Job: job}, plan, "2026-05-02"} }

func put3(t *testing.T) (*Rack, []int64) {
	t.Helper()
	r := open(t, filepath.Join(t.TempDir(), "r.db"))
	ids, err := r.Add(context.Background(), tube(2400), tube(1200), tube(600))
	if err != nil {
		t.Fatal(err)
	}
	return r, ids
}

// held tells which numbers are reserved for a job.
func held(t *testing.T, r *Rack, job string) (ids []int64) {
	t.Helper()
	all, err := r.List(context.Background())
	if err != nil {
		t.Fatal(err)
	}
	for _, o := range all {
		if o.Held != nil && o.Held.Job == job {
			ids = append(ids, o.ID)
		}
	}
	slices.Sort(ids)
	return ids
}

func TestReserve(t *testing.T) {
	ctx := context.Background()
	r, ids := put3(t)
	if back, err := r.Reserve(ctx, day("Hide", "1"), ids[:2], nil); len(back) > 0 || err != nil {
		t.Fatalf("%v, %v", back, err)
	}
	// Another job gets what is free or nothing.
	var taken *Taken
	if _, err := r.Reserve(ctx, day("Barrow", "2"), []int64{ids[2], ids[1]}, nil); !errors.As(err, &taken) || taken.ID != ids[1] ||
		err.Error() != `no. 2 is reserved for "Hide" by plan no. 1 meanwhile; plan the job again` {
		t.Errorf("got %v", err)
	}
	if got := held(t, r, "Barrow"); got != nil {
		t.Errorf("%v are reserved for the job that was refused", got)
	}
	if _, err := r.Reserve(ctx, day("Barrow", "2"), []int64{99}, nil); !errors.As(err, &taken) || taken.By != nil {
		t.Errorf("got %v", err)
	}
	// The same job planned again keeps what it uses again and gives back the rest.
	if back, err := r.Reserve(ctx, day("Hide", "3"), ids[1:], nil); !slices.Equal(back, ids[:1]) || err != nil {
		t.Errorf("%v given back, %v", back, err)
	}
	if got := held(t, r, "Hide"); !slices.Equal(got, ids[1:]) {
		t.Errorf("%v are reserved", got)
	}
	// What fails last leaves all as it was.
	stop := errors.New("disk full")
	if _, err := r.Reserve(ctx, day("Hide", "4"), ids[:1], func() error { return stop }); !errors.Is(err, stop) {
		t.Errorf("got %v", err)
	}
	if err := r.Extend(ctx, day("Hide", "4"), ids[:1], func() error { return stop }); !errors.Is(err, stop) {
		t.Errorf("got %v", err)
	}
	if got := held(t, r, "Hide"); !slices.Equal(got, ids[1:]) {
		t.Errorf("%v are reserved after a failure", got)
	}
	if err := r.Extend(ctx, day("Hide", "4"), ids[:1], nil); err != nil || len(held(t, r, "Hide")) != 3 {
		t.Errorf("%v reserved, %v", held(t, r, "Hide"), err)
	}
	if err := r.Drop(ctx, ids[0]); err == nil || !strings.Contains(err.Error(), `no. 1 is reserved for "Hide" by plan no. 4; release it first`) {
		t.Errorf("got %v", err)
	}
	if err := r.ReleasePieces(ctx, ids[0], 99); err == nil || len(held(t, r, "Hide")) != 3 {
		t.Errorf("got %v", err)
	}
	if err := r.ReleasePieces(ctx, ids[0]); err != nil || !slices.Equal(held(t, r, "Hide"), ids[1:]) {
		t.Errorf("got %v", err)
	}
	if err := r.ReleasePieces(ctx, ids[0]); err == nil || !strings.Contains(err.Error(), "no. 1 is not reserved") {
		t.Errorf("got %v", err)
	}
	if got, err := r.Release(ctx, Owner{Job: "Hide"}); !slices.Equal(got, ids[1:]) || err != nil || held(t, r, "Hide") != nil {
		t.Errorf("%v released, %v", got, err)
	}
}

func TestBook(t *testing.T) {
	ctx := context.Background()
	r, ids := put3(t)
	if _, err := r.Reserve(ctx, day("Hide", "1"), ids[:2], nil); err != nil {
		t.Fatal(err)
	}
	left := tube(350)
	left.Job = "Hide"
	b := Booking{Owner: Owner{Job: "Hide"}, Plan: "1", Digest: "1full", Date: "2026-05-03", Used: []int64{ids[0], 98}, Left: []Offcut{left}}
	other := b
	other.Job, other.Digest = "Barrow", "2full"
	if _, _, err := r.Book(ctx, other); err == nil || !strings.Contains(err.Error(), `no. 1 is reserved for "Hide"`) {
		t.Errorf("another job took it: %v", err)
	}
	in, missing, err := r.Book(ctx, b)
	if err != nil || len(in) != 1 || !slices.Equal(missing, []int64{98}) {
		t.Fatalf("in %v, missing %v, %v", in, missing, err)
	}
	all, err := r.List(ctx)
	if err != nil || len(all) != 3 || all[0].ID != in[0] || all[0].Job != "Hide" || all[1].ID != ids[2] || all[2].ID != ids[1] || all[2].Held != nil {
		t.Errorf("%+v, %v", all, err)
	}
	var booked *Booked
	if _, _, err := r.Book(ctx, b); !errors.As(err, &booked) || err.Error() != "plan no. 1 was booked on 2026-05-03; the rack stays as it is" {
		t.Errorf("twice: %v", err)
	}
	if again, _ := r.List(ctx); len(again) != 3 {
		t.Errorf("%d pieces after it was refused", len(again))
	}
}

// Jobs of one name in two folders are two, and one that was moved is the same.
func TestJobsOfOneName(t *testing.T) {
	ctx := context.Background()
	r, ids := put3(t)
	here, there := t.TempDir(), t.TempDir()
	mine := Hold{Owner{"Hide", here}, "1", "2026-05-02"}
	yours := Hold{Owner{"Hide", there}, "2", "2026-05-02"}
	if _, err := r.Reserve(ctx, mine, ids[:1], nil); err != nil {
		t.Fatal(err)
	}
	if back, err := r.Reserve(ctx, yours, ids[1:2], nil); len(back) > 0 || err != nil {
		t.Fatalf("%v given back, %v", back, err)
	}
	var taken *Taken
	if _, err := r.Reserve(ctx, yours, ids[:2], nil); !errors.As(err, &taken) || !strings.HasPrefix(err.Error(), `no. 1 is reserved for "Hide" in `+here+` by plan no. 1 meanwhile`) {
		t.Errorf("got %v", err)
	}
	if got := held(t, r, "Hide"); !slices.Equal(got, ids[:2]) {
		t.Errorf("%v are reserved", got)
	}
	// Each books its own plan, though the two are the same to the byte, and no more than once.
	for _, h := range []Hold{mine, yours} {
		b := Booking{Owner: h.Owner, Plan: h.Plan, Digest: "same", Date: "2026-05-03"}
		if _, _, err := r.Book(ctx, b); err != nil {
			t.Error(err)
		}
		var booked *Booked
		if _, _, err := r.Book(ctx, b); !errors.As(err, &booked) {
			t.Errorf("booked twice: %v", err)
		}
		if got := held(t, r, "Hide"); h == mine && !slices.Equal(got, ids[1:2]) || h == yours && got != nil {
			t.Errorf("%v are reserved after %+v was booked", got, h)
		}
	}
	if _, err := r.Reserve(ctx, mine, ids[:1], nil); err != nil {
		t.Fatal(err)
	}
	moved := Owner{"Hide", t.TempDir()}
	if got, err := r.Release(ctx, moved); got != nil || err != nil {
		t.Errorf("%v of another were released, %v", got, err)
	}
	if err := os.Remove(here); err != nil {
		t.Fatal(err)
	}
	if got, err := r.Release(ctx, moved); !slices.Equal(got, ids[:1]) || err != nil {
		t.Errorf("%v were released, %v", got, err)
	}
}

func TestEdit(t *testing.T) {
	ctx := context.Background()
	r, ids := put3(t)
	after, err := r.Edit(ctx, ids[0], func(o *Offcut) error {
		o.ID, o.Length, o.Place, o.Note = 77, 2390*mm, "wall", "cut\r\nsquare"
		return nil
	})
	if err != nil || after.ID != ids[0] {
		t.Fatalf("%+v, %v", after, err)
	}
	if all, _ := r.List(ctx); all[2].Length != 2390*mm || all[2].Place != "wall" || all[2].Note != "cut  square" {
		t.Errorf("got %+v", all[2])
	}
	stop := errors.New("no")
	if _, err := r.Edit(ctx, ids[0], func(o *Offcut) error { o.Place = "x"; return stop }); !errors.Is(err, stop) {
		t.Errorf("got %v", err)
	}
	if _, err := r.Edit(ctx, 99, func(*Offcut) error { return nil }); err == nil {
		t.Error("a number that is not there was edited")
	}
	if _, err := r.Reserve(ctx, day("Hide", "1"), ids[:1], nil); err != nil {
		t.Fatal(err)
	}
	if _, err := r.Edit(ctx, ids[0], func(o *Offcut) error { o.Length--; return nil }); err == nil || !strings.Contains(err.Error(), "is reserved for") {
		t.Errorf("a plan's piece was made shorter: %v", err)
	}
	if _, err := r.Edit(ctx, ids[0], func(o *Offcut) error { o.Place = "bin 4"; return nil }); err != nil {
		t.Errorf("it may lie elsewhere: %v", err)
	}
}

func TestRules(t *testing.T) {
	ctx := context.Background()
	r, _ := put3(t)
	sheet := Offcut{Material: "sheet 1.5 mm, 5005-H14", Length: 700 * mm, Width: 300 * mm, Date: "2026-05-02"}
	old := tube(5000)
	old.Date = "2024-05-01"
	undated := tube(4000)
	undated.Date = ""
	ids, err := r.Add(ctx, sheet, old, undated)
	if err != nil {
		t.Fatal(err)
	}
	if out, err := r.Out(ctx, "2026-05-02"); len(out) > 0 || err != nil {
		t.Errorf("without rules %+v falls out, %v", out, err)
	}
	if _, err := r.SetRules(ctx, func(k *Rules) { k.Bar, k.SheetLength, k.SheetWidth, k.Days = 700*mm, 300*mm, 700*mm, 730 }); err != nil {
		t.Fatal(err)
	}
	falls := func() (list []int64) {
		out, err := r.Out(ctx, "2026-05-02")
		if err != nil {
			t.Fatal(err)
		}
		for _, o := range out {
			list = append(list, o.ID)
		}
		slices.Sort(list)
		return list
	}
	// Bar 3 is short, the sheet lies the other way, 731 days is one too many.
	if got := falls(); !slices.Equal(got, []int64{3, ids[1]}) {
		t.Errorf("%v fall out", got)
	}
	if k, err := r.SetRules(ctx, func(k *Rules) { k.Days, k.SheetWidth = 731, 701*mm }); err != nil || k.Bar != 700*mm {
		t.Fatalf("%+v, %v", k, err)
	}
	if got := falls(); !slices.Equal(got, []int64{3, ids[0]}) {
		t.Errorf("%v fall out", got)
	}
	if _, err := r.Reserve(ctx, day("Hide", "1"), []int64{3}, nil); err != nil {
		t.Fatal(err)
	}
	if got := falls(); !slices.Equal(got, []int64{ids[0]}) {
		t.Errorf("%v fall out, and one of them is reserved", got)
	}
}
