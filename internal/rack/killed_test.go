package rack

import (
	"bufio"
	"context"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strconv"
	"testing"
	"time"
)

// With these set the test binary reserves and books as a job of that name without
// end, and tells each step once it has been done.
const (
	bookerFile = "SAWBILL_TEST_RACK_BOOKER"
	bookerName = "SAWBILL_TEST_RACK_JOB"
)

// booker adds two pieces, reserves them for a plan, and books the plan, which uses
// the first and leaves a shorter one.
func booker(path, job string) int {
	ctx := context.Background()
	r, err := Open(ctx, path)
	for n := 0; err == nil; n++ {
		plan := fmt.Sprint(job, "/", n)
		var ids, in []int64
		if ids, err = r.Add(ctx, tube(2400), tube(1200)); err != nil {
			break
		}
		fmt.Println("added", plan, ids[0], ids[1])
		if _, err = r.Reserve(ctx, day(job, plan), ids, nil); err != nil {
			break
		}
		fmt.Println("reserved", plan, ids[0], ids[1])
		left := tube(300)
		left.Note = plan
		if in, _, err = r.Book(ctx, Booking{Owner: Owner{Job: job}, Plan: plan, Digest: plan, Date: "2026-05-02", Used: ids[:1], Left: []Offcut{left}}); err != nil {
			break
		}
		fmt.Println("booked", plan, ids[0], ids[1], in[0])
	}
	fmt.Fprintln(os.Stderr, err)
	return 1
}

// TestKilledBooking kills two processes that reserve and book at once, again and
// again: the file stays sound, what was told is so, and each booking has happened
// with all that belongs to it or not at all.
func TestKilledBooking(t *testing.T) {
	rounds := 10
	if n, err := strconv.Atoi(os.Getenv("SAWBILL_RACK_ROUNDS")); err == nil {
		rounds = n
	}
	ctx := context.Background()
	path := filepath.Join(t.TempDir(), "r.db")
	type step struct {
		word, plan           string
		used, back, leftOver int64
	}
	bookings := 0
	for round := range rounds {
		heard := make(chan []step, 2)
		for i := range 2 {
			c := exec.Command(os.Args[0])
			c.Env = append(os.Environ(), bookerFile+"="+path, fmt.Sprintf("%s=job %d-%d", bookerName, round, i))
			out, err := c.StdoutPipe()
			if err != nil {
				t.Fatal(err)
			}
			if err := c.Start(); err != nil {
				t.Fatal(err)
			}
			time.AfterFunc(time.Duration(60+13*round%70)*time.Millisecond, func() { _ = c.Process.Kill() })
			go func() {
				var steps []step
				for s := bufio.NewScanner(out); s.Scan(); {
					var e step
					var job, number string
					// "job 3-1/7" is two words.
					if n, _ := fmt.Sscan(s.Text(), &e.word, &job, &number, &e.used, &e.back, &e.leftOver); n < 5 || e.word == "booked" && n < 6 {
						break // cut short by the kill
					}
					e.plan = job + " " + number
					steps = append(steps, e)
				}
				_ = c.Wait() // it was killed
				heard <- steps
			}()
		}
		var steps []step
		for range 2 {
			steps = append(steps, <-heard...)
		}
		r := open(t, path)
		var verdict string
		if err := r.db.QueryRowContext(ctx, "PRAGMA integrity_check").Scan(&verdict); err != nil || verdict != "ok" {
			t.Fatalf("round %d: integrity check says %q, %v", round, verdict, err)
		}
		all, err := r.List(ctx)
		if err != nil {
			t.Fatal(err)
		}
		there := map[int64]Offcut{}
		for _, o := range all {
			there[o.ID] = o
		}
		booked := func(plan string) bool {
			var n int
			if err := r.db.QueryRowContext(ctx, "SELECT count(*) FROM booked WHERE plan = ?", plan).Scan(&n); err != nil {
				t.Fatal(err)
			}
			return n == 1
		}
		for _, e := range steps {
			used, usedThere := there[e.used]
			back, backThere := there[e.back]
			isBooked := booked(e.plan)
			leftThere := slices.ContainsFunc(all, func(o Offcut) bool { return o.Note == e.plan })
			switch {
			case !backThere:
				t.Fatalf("round %d: %+v: no. %d is lost", round, e, e.back)
			case usedThere == isBooked || leftThere != isBooked:
				t.Fatalf("round %d: %+v: booked %v, used piece there %v, what is left there %v", round, e, isBooked, usedThere, leftThere)
			case e.word == "booked" && (!isBooked || there[e.leftOver].Note != e.plan || back.Held != nil):
				t.Fatalf("round %d: %+v was told, and is not so", round, e)
			case e.word == "reserved" && !isBooked && (used.Held == nil || back.Held == nil || used.Held.Plan != e.plan):
				t.Fatalf("round %d: %+v was told, and is not so", round, e)
			}
			if e.word == "booked" {
				bookings++
			}
		}
		r.Close()
	}
	if bookings == 0 {
		t.Error("nothing was ever booked: the test tests nothing")
	}
}
