package lptest

import (
	"compress/gzip"
	"context"
	"encoding/csv"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"runtime"
	"strconv"
	"testing"
	"time"

	"sawbill/solver"
)

// Netlib solves the linear programs of the Netlib set (Gay 1985, "Electronic
// mail distribution of linear programming test problems", COAL Newsletter
// 13:10–12) and compares with the published optima, to one part in a million.
// The conditions of optimality are checked too.
func Netlib(t *testing.T, e solver.Engine) {
	dir := netlibDir(t)
	f, err := os.Open(filepath.Join(dir, "optima.csv"))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	records, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	for _, rec := range records[1:] {
		optimum, err := strconv.ParseFloat(rec[3], 64)
		if err != nil {
			t.Fatal(err)
		}
		t.Run(rec[0], func(t *testing.T) {
			p := readGzip(t, filepath.Join(dir, rec[0]+".mps.gz"))
			solveNetlib(t, e, p, optimum)
			for seed := range permutations() {
				p.shuffle(seed)
				solveNetlib(t, e, p, optimum)
			}
		})
	}
	t.Run("e226", func(t *testing.T) {
		// The published optimum leaves out the constant of the objective.
		p := readGzip(t, filepath.Join(dir, "e226.mps.gz"))
		p.Constant = 0
		solveNetlib(t, e, p, -18.751929066)
	})
}

// permutations is the number of times each program is solved again with rows
// and columns shuffled, which must not change the optimum: none by default,
// 10 with SAWBILL_FULL=1.
func permutations() uint64 {
	if os.Getenv("SAWBILL_FULL") == "1" {
		return 10
	}
	return 0
}

// shuffle puts rows and columns in another order.
func (p *Problem) shuffle(seed uint64) {
	r := rand.New(rand.NewPCG(seed, 0xc2b2ae35))
	r.Shuffle(len(p.Columns), func(i, j int) { p.Columns[i], p.Columns[j] = p.Columns[j], p.Columns[i] })
	to := r.Perm(len(p.Rows))
	rows := make([]Row, len(p.Rows))
	for i, k := range to {
		rows[k] = p.Rows[i]
	}
	p.Rows = rows
	for _, c := range p.Columns {
		for k, i := range c.Rows {
			c.Rows[k] = int32(to[i])
		}
	}
}

func solveNetlib(t *testing.T, e solver.Engine, p *Problem, optimum float64) {
	lp := e.New()
	defer lp.Close()
	p.Load(lp)
	start := time.Now()
	status := lp.Solve(context.Background(), 0)
	t.Logf("%d rows, %d columns: %d iterations, %v", len(p.Rows), len(p.Columns), lp.Iterations(), time.Since(start))
	got := lp.Objective() + p.Constant
	if status != solver.Optimal || math.Abs(got-optimum) > 1e-6*math.Max(1, math.Abs(optimum)) {
		t.Errorf("status %v, objective %.10g; published %.10g", status, got, optimum)
	}
	if err := p.CheckOptimal(lp); err != nil {
		t.Error(err)
	}
}

func readGzip(t *testing.T, path string) *Problem {
	f, err := os.Open(path)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	z, err := gzip.NewReader(f)
	if err != nil {
		t.Fatal(err)
	}
	p, err := ReadMPS(z)
	if err != nil {
		t.Fatalf("%s: %v", filepath.Base(path), err)
	}
	return p
}

// netlibDir is the folder netlib of $SAWBILL_BENCH, or of ../shared/bench
// beside the repository.
func netlibDir(t *testing.T) string {
	bench := os.Getenv("SAWBILL_BENCH")
	if bench == "" {
		_, file, _, _ := runtime.Caller(0)
		bench = filepath.Join(filepath.Dir(file), "..", "..", "..", "shared", "bench")
	}
	dir := filepath.Join(bench, "netlib")
	if _, err := os.Stat(dir); err != nil {
		t.Skipf("SKIPPED: the Netlib set is not at %s; set SAWBILL_BENCH to the folder that holds netlib/", dir)
	}
	return dir
}
