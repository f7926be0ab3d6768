package progress

import (
	"bufio"
	"fmt"
	"os"
	"os/exec"
	"strconv"
	"testing"
	"time"

	"sawbill/internal/plan"
)

// writer is the name of the folder to which this process is to write events
// until it is killed.
const writer = "SAWBILL_TEST_PROGRESS_WRITER"

func TestMain(m *testing.M) {
	if dir := os.Getenv(writer); dir != "" {
		write(dir)
	}
	os.Exit(m.Run())
}

// write counts up in the events of a file without end and says after each how
// far it got.
func write(dir string) {
	for {
		n := 0
		err := Change(dir, func(f *File) (*File, error) {
			if f == nil {
				f = Begin(&plan.Plan{}, nil, State{})
			}
			n = len(f.Events) + 1
			f.Events = append(f.Events, Event{Become: Cut, Mark: "R1", Copy: n})
			return f, nil
		})
		if err != nil {
			fmt.Println("error", err)
			os.Exit(1)
		}
		fmt.Println(n)
	}
}

// TestKilled: processes that write at the same time and are killed at any moment
// lose nothing of what they said was written, and leave a whole file.
// SAWBILL_FULL=1 makes it 200 rounds.
func TestKilled(t *testing.T) {
	rounds := 12
	if os.Getenv("SAWBILL_FULL") != "" {
		rounds = 200
	}
	dir := t.TempDir()
	said := 0
	for round := range rounds {
		last := make(chan int, 2)
		for range 2 {
			c := exec.Command(os.Args[0])
			c.Env = append(os.Environ(), writer+"="+dir)
			out, err := c.StdoutPipe()
			if err != nil {
				t.Fatal(err)
			}
			if err := c.Start(); err != nil {
				t.Fatal(err)
			}
			go func() {
				most := 0
				for s := bufio.NewScanner(out); s.Scan(); {
					n, err := strconv.Atoi(s.Text())
					if err != nil {
						t.Error(s.Text())
					}
					most = max(most, n)
				}
				c.Wait()
				last <- most
			}()
			time.AfterFunc(time.Duration(20+7*round%60)*time.Millisecond, func() { c.Process.Kill() })
		}
		said = max(said, <-last, <-last)
		f, err := Load(dir)
		if err != nil {
			t.Fatal(err)
		}
		if f == nil {
			if said > 0 {
				t.Fatalf("round %d: %d were said to be written, and there is no file", round, said)
			}
			continue
		}
		if len(f.Events) < said {
			t.Fatalf("round %d: %d events of %d that were said to be written", round, len(f.Events), said)
		}
		for i, e := range f.Events {
			if e.Copy != i+1 {
				t.Fatalf("round %d: event %d is %v", round, i, e)
			}
		}
	}
	if said == 0 {
		t.Error("nothing was ever written: the test tests nothing")
	}
}
