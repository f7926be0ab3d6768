package nest1d

import (
	"bufio"
	"encoding/csv"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
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

// TestPublishedInstances solves a sample of each class, with no value below and
// no bound above the published ones, and to a proof where that is quick.
func TestPublishedInstances(t *testing.T) {
	dir := benchFolder(t)
	for _, c := range []struct {
		class  string
		step   int
		proven bool
	}{
		{"Falkenauer_U", 8, true}, {"Falkenauer_T", 10, true}, {"Scholl_1", 20, true}, {"Scholl_2", 20, true},
		{"Schwerin_1", 10, true}, {"Schwerin_2", 10, true}, {"Waescher", 4, true}, {"Hard28", 7, false},
		{"NIRUP53", 9, false}, {"GAP", 3, false}, {"Randomly_Generated", 40, true},
	} {
		t.Run(c.class, func(t *testing.T) {
			values := published(t, dir, c.class)
			files, err := filepath.Glob(filepath.Join(dir, "1d", c.class, "*.txt"))
			if err != nil || len(files) == 0 {
				t.Fatalf("no instances: %v", err)
			}
			for i := 0; i < len(files); i += c.step {
				name := strings.TrimSuffix(filepath.Base(files[i]), ".txt")
				want, ok := values[name]
				if !ok {
					t.Fatalf("%s has no published value", name)
				}
				p := readCutting(t, files[i])
				o := Options{Effort: Quick}
				if c.proven {
					o.Effort = Normal
				}
				res := mustSolve(t, p, o)
				verify(t, &p, &res)
				if res.Outcome != Planned || res.Cost.Value < want[0] || res.Cost.Bound > want[1] {
					t.Errorf("%s: %+v, published %v", name, res.Cost, want)
				}
				if c.proven && (res.Cost.Status != Proven || res.Cost.Value != want[1]) {
					t.Errorf("%s: %+v not proven, published %v", name, res.Cost, want)
				}
			}
		})
	}
}

// TestPublishedLengths checks samples with several bar lengths against the
// bounds that stand beside them, and the gap left.
func TestPublishedLengths(t *testing.T) {
	dir := benchFolder(t)
	f, err := os.Open(filepath.Join(dir, "1d-lengths", "lp_bounds.csv"))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	for i := 1; i < len(rows); i += 23 {
		class, name := rows[i][0], rows[i][1]
		low, err := strconv.ParseInt(rows[i][2], 10, 64)
		if err != nil {
			t.Fatal(err)
		}
		p := readLengths(t, filepath.Join(dir, "1d-lengths", class, name+".txt"))
		res := mustSolve(t, p, Options{Effort: Quick})
		verify(t, &p, &res)
		if res.Outcome != Planned || res.Cost.Value < low || res.Cost.Bound < low {
			t.Errorf("%s: %v %+v, relaxation %d", name, res.Outcome, res.Cost, low)
		}
		if gap := float64(res.Cost.Value-res.Cost.Bound) / float64(res.Cost.Value); gap > 0.005 {
			t.Errorf("%s: %+v, %.2f %% open", name, res.Cost, 100*gap)
		}
	}
}
