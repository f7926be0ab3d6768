package truth

import (
	"os"
	"path/filepath"
	"regexp"
	"testing"

	"sawbill/internal/job"
	"sawbill/internal/plan"
)

// jobsDir holds small jobs, each about one thing that a purchase depends on, with
// their least totals worked out by hand.
const jobsDir = "../../../testdata/buying"

var leastTotal = regexp.MustCompile(`(?m)^# Least total: (\d+\.\d\d)$`)

// each runs a test for every job, with its least total by brute force.
func each(t *testing.T, run func(t *testing.T, path string, j *job.Job, w *world, least int64)) {
	paths, err := filepath.Glob(filepath.Join(jobsDir, "*", "job.toml"))
	if err != nil || len(paths) < 20 {
		t.Fatalf("%d jobs, %v", len(paths), err)
	}
	for _, path := range paths {
		t.Run(filepath.Base(filepath.Dir(path)), func(t *testing.T) {
			j, err := job.Read(path)
			if err != nil {
				t.Fatal(err)
			}
			w, err := newWorld(j)
			if err != nil {
				t.Fatal(err)
			}
			least, err := w.brute()
			if err != nil {
				t.Fatal(err)
			}
			run(t, path, j, w, least)
		})
	}
}

// TestByHand compares brute force with the totals worked out in the jobs.
func TestByHand(t *testing.T) {
	each(t, func(t *testing.T, path string, _ *job.Job, _ *world, least int64) {
		text, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		m := leastTotal.FindSubmatch(text)
		if m == nil {
			t.Fatalf("the job does not tell its least total; brute force gives %s", plan.Money(least))
		}
		if got := plan.Money(least).String(); string(m[1]) != got {
			t.Errorf("brute force gives %s, the job says %s", got, m[1])
		}
	})
}

// TestModel compares the model, solved by glpsol, with brute force.
func TestModel(t *testing.T) {
	needSolver(t)
	each(t, func(t *testing.T, _ string, _ *job.Job, w *world, least int64) {
		if solved, err := w.solve(t.TempDir()); err != nil || solved != least {
			t.Errorf("brute force gives %s, the model %s %v", plan.Money(least), plan.Money(solved), err)
		}
	})
}
