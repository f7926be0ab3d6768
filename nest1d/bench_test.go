package nest1d

import (
	"bufio"
	"context"
	"encoding/csv"
	"os"
	"path/filepath"
	"strconv"
	"testing"
	"time"
)

// benchFolder finds the published instances.
func benchFolder(t testing.TB) string {
	dir := os.Getenv("SAWBILL_BENCH")
	if dir == "" {
		dir = filepath.Join("..", "..", "shared", "bench")
	}
	if _, err := os.Stat(dir); err != nil {
		t.Skipf("SKIPPED: no published instances at %s; set SAWBILL_BENCH to their folder", dir)
	}
	return dir
}

func readNumbers(t testing.TB, file string) []int64 {
	t.Helper()
	f, err := os.Open(file)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	var out []int64
	s := bufio.NewScanner(f)
	s.Split(bufio.ScanWords)
	for s.Scan() {
		v, err := strconv.ParseInt(s.Text(), 10, 64)
		if err != nil {
			t.Fatalf("%s: %v", file, err)
		}
		out = append(out, v)
	}
	return out
}

// readCutting reads m, c, then m lines of length and demand, or n, c and n
// lengths: the count of numbers tells them apart.
func readCutting(t testing.TB, file string) Problem {
	v := readNumbers(t, file)
	p := Problem{Stocks: []Stock{{Length: v[1], Kerf: []int64{0}, Supply: Unlimited, Price: 1}}}
	n := int(v[0])
	for i := range n {
		if len(v) == 2+n {
			p.Pieces = append(p.Pieces, Piece{Length: v[2+i], Demand: 1})
		} else {
			p.Pieces = append(p.Pieces, Piece{Length: v[2+2*i], Demand: v[3+2*i]})
		}
	}
	return p
}

// readLengths reads K, K lines of length, supply and cost, then m and m lines
// of length and demand.
func readLengths(t testing.TB, file string) Problem {
	v := readNumbers(t, file)
	var p Problem
	at := 1
	for range v[0] {
		p.Stocks = append(p.Stocks, Stock{Length: v[at], Supply: v[at+1], Price: v[at+2], Kerf: []int64{0}})
		at += 3
	}
	m := v[at]
	at++
	for range m {
		p.Pieces = append(p.Pieces, Piece{Length: v[at], Demand: v[at+1]})
		at += 2
	}
	return p
}

// published holds the values of one class by instance.
func published(t testing.TB, dir, class string) map[string][2]int64 {
	f, err := os.Open(filepath.Join(dir, "1d", "optima.csv"))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	out := map[string][2]int64{}
	for _, r := range rows {
		if r[0] == class {
			low, _ := strconv.ParseInt(r[2], 10, 64)
			high, _ := strconv.ParseInt(r[3], 10, 64)
			out[r[1]] = [2]int64{low, high}
		}
	}
	return out
}

// TestSurvey prints a line per instance of the class in SAWBILL_CLASS.
func TestSurvey(t *testing.T) {
	class := os.Getenv("SAWBILL_CLASS")
	if class == "" {
		t.Skip("SKIPPED: set SAWBILL_CLASS to a class of published instances")
	}
	step, _ := strconv.Atoi(os.Getenv("SAWBILL_STEP"))
	seconds, _ := strconv.Atoi(os.Getenv("SAWBILL_SECONDS"))
	dir := benchFolder(t)
	files, _ := filepath.Glob(filepath.Join(dir, "1d", class, "*.txt"))
	lengths := false
	if len(files) == 0 {
		files, _ = filepath.Glob(filepath.Join(dir, "1d-lengths", class, "*.txt"))
		lengths = true
	}
	values := published(t, dir, class)
	proven, n, optimal := 0, 0, 0
	var all time.Duration
	for i, f := range files {
		if step > 1 && i%step != 0 {
			continue
		}
		name := filepath.Base(f)
		name = name[:len(name)-4]
		p := readCutting
		if lengths {
			p = readLengths
		}
		problem := p(t, f)
		ctx, cancel := context.WithTimeout(context.Background(), time.Duration(max(1, seconds))*time.Second)
		start := time.Now()
		res, err := Solve(ctx, problem, Options{})
		took := time.Since(start)
		cancel()
		if err != nil {
			t.Fatal(err)
		}
		verify(t, &problem, &res)
		all += took
		n++
		if res.Cost.Status == Proven {
			proven++
		}
		want := values[name]
		if !lengths {
			if res.Cost.Value < want[0] || res.Cost.Bound > want[1] {
				t.Errorf("%s: %+v against published %v", name, res.Cost, want)
			}
			if res.Cost.Value <= want[1] {
				optimal++
			}
		}
		if res.Cost.Status != Proven || took > time.Second || lengths {
			t.Logf("%-30s m=%d value %d bound %d (%.4f%%) published %v %v %+v %v", name, len(problem.Pieces), res.Cost.Value, res.Cost.Bound,
				100*float64(res.Cost.Value-res.Cost.Bound)/float64(max(1, res.Cost.Value)), want, took.Round(time.Millisecond), res.Work, res.Struck)
		}
	}
	t.Logf("%s: %d of %d proven, %d best known, %v in all", class, proven, n, optimal, all.Round(time.Millisecond))
}
