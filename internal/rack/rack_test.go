package rack

import (
	"bufio"
	"context"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"testing"

	"github.com/google/go-cmp/cmp"

	"sawbill/internal/length"
)

// The test binary is its own second process: with this variable set it writes
// into the rack named there and tells each number once it has been given.
const writerFile = "SAWBILL_TEST_RACK_WRITER"

func TestMain(m *testing.M) {
	if path := os.Getenv(writerFile); path != "" {
		os.Exit(writer(path))
	}
	if path := os.Getenv(bookerFile); path != "" {
		os.Exit(booker(path, os.Getenv(bookerName)))
	}
	os.Exit(m.Run())
}

func writer(path string) int {
	ctx := context.Background()
	r, err := Open(ctx, path)
	if err != nil {
		fmt.Fprintln(os.Stderr, err)
		return 1
	}
	for range 10000 {
		ids, err := r.Add(ctx, tube(2400))
		if err != nil {
			fmt.Fprintln(os.Stderr, err)
			return 1
		}
		fmt.Println(ids[0])
	}
	return 0
}

func tube(mm int64) Offcut {
	return Offcut{Material: "SHS 25x25x2 mm, 6063-T6", Length: length.Length(mm) * length.Millimetre, Place: "bin 3", Date: "2026-05-02"}
}

func open(t *testing.T, path string) *Rack {
	t.Helper()
	r, err := Open(context.Background(), path)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { r.Close() })
	return r
}

func TestAddListDrop(t *testing.T) {
	ctx := context.Background()
	r := open(t, filepath.Join(t.TempDir(), "a rack?#.db"))
	ids, err := r.Add(ctx, tube(2400), tube(1200))
	if err != nil {
		t.Fatal(err)
	}
	if err := r.Drop(ctx, ids[0], 99); err == nil {
		t.Error("a number that is not there was dropped")
	}
	long, short := tube(2400), tube(1200)
	long.ID, short.ID = ids[0], ids[1]
	got, err := r.List(ctx)
	if diff := cmp.Diff([]Offcut{short, long}, got); diff != "" || err != nil {
		t.Errorf("after a drop that failed: %v %s", err, diff)
	}
	if err := r.Drop(ctx, ids[1]); err != nil {
		t.Fatal(err)
	}
	if again, err := r.Add(ctx, tube(300)); err != nil || again[0] <= ids[1] {
		t.Errorf("number %v given after %d was dropped, %v", again, ids[1], err)
	}
	if _, err := r.Add(ctx, tube(300), tube(0)); err == nil {
		t.Error("a piece of no length was added")
	}
	if got, err := r.List(ctx); len(got) != 2 || err != nil {
		t.Errorf("%d pieces, want 2: %v", len(got), err)
	}
}

// TestKilled kills two processes that write at once, again and again: the file
// stays sound and holds every piece whose number was told.
func TestKilled(t *testing.T) {
	rounds := 10
	if n, err := strconv.Atoi(os.Getenv("SAWBILL_RACK_ROUNDS")); err == nil {
		rounds = n
	}
	ctx := context.Background()
	path := filepath.Join(t.TempDir(), "r.db")
	told := map[int64]bool{}
	for round := range rounds {
		heard := make(chan []int64, 2)
		for range 2 {
			c := exec.Command(os.Args[0])
			c.Env = append(os.Environ(), writerFile+"="+path)
			c.Stderr = os.Stderr
			out, err := c.StdoutPipe()
			if err != nil {
				t.Fatal(err)
			}
			if err := c.Start(); err != nil {
				t.Fatal(err)
			}
			go func() {
				var ids []int64
				for s := bufio.NewScanner(out); s.Scan(); {
					id, err := strconv.ParseInt(s.Text(), 10, 64)
					if err != nil {
						break // cut short by the kill
					}
					if ids = append(ids, id); len(ids) == 5+round {
						_ = c.Process.Kill()
					}
				}
				_ = c.Wait() // it was killed
				heard <- ids
			}()
		}
		for range 2 {
			ids := <-heard
			if len(ids) < 5+round {
				t.Errorf("round %d: a writer told %d numbers before it ended", round, len(ids))
			}
			for _, id := range ids {
				if told[id] {
					t.Errorf("number %d was given twice", id)
				}
				told[id] = true
			}
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
		there := map[int64]bool{}
		for _, o := range all {
			there[o.ID] = true
		}
		for id := range told {
			if !there[id] {
				t.Fatalf("round %d: number %d was told and is not there", round, id)
			}
		}
		r.Close()
	}
}

func TestMaterial(t *testing.T) {
	for _, text := range []string{"SHS 25x25x2 6063-T6", "shs 25 x 25 x 2 mm 6063 T6"} {
		if got, sheet, err := Material(text); got != "SHS 25x25x2 mm, 6063-T6" || sheet || err != nil {
			t.Errorf("%q is %q, sheet %v, %v", text, got, sheet, err)
		}
	}
	for text, want := range map[string]string{"sq tube 1x1x.125 wall 6061-T6": "sq tube 1x1x0.125 in, 6061-T6", "sheet .063, 5052-H32": "sheet 0.063 in, 5052-H32"} {
		if got, _, err := Material(text); got != want || err != nil {
			t.Errorf("%q is %q, %v", text, got, err)
		}
	}
	for _, text := range []string{"", "SHS 25x25x2", "6063-T6", "SHS 25x25x2 cheese"} {
		if got, _, err := Material(text); err == nil {
			t.Errorf("%q is read as %q", text, got)
		}
	}
}
