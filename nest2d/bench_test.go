package nest2d

import (
	"bufio"
	"encoding/csv"
	"encoding/json"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strconv"
	"testing"
)

// An instance is one of a published set. The sets are not part of this
// repository.
type instance struct {
	Name    string
	Objects []struct {
		Length, Height float64
		Stock, Cost    *float64
	}
	Items []struct{ Length, Height, Demand float64 }
}

func benchPath(t testing.TB, name string) string {
	dir := os.Getenv("SAWBILL_BENCH")
	if dir == "" {
		dir = filepath.Join("..", "..", "shared", "bench")
	}
	path := filepath.Join(dir, "2d", name)
	if _, err := os.Stat(path); err != nil {
		t.Skipf("SKIPPED, NOT PASSED: the published instances are not here (%v); set SAWBILL_BENCH to their folder", err)
	}
	return path
}

func readInstances(t testing.TB, set string) []instance {
	t.Helper()
	file, err := os.Open(benchPath(t, set+".jsonl"))
	if err != nil {
		t.Fatal(err)
	}
	defer file.Close()
	var list []instance
	lines := bufio.NewScanner(file)
	lines.Buffer(nil, 1<<20)
	for lines.Scan() {
		var in instance
		if err := json.Unmarshal(lines.Bytes(), &in); err != nil {
			t.Fatal(err)
		}
		list = append(list, in)
	}
	return list
}

func (in instance) problem(turn bool) Problem {
	var p Problem
	for _, o := range in.Objects {
		s := Sheet{Length: int64(o.Length), Width: int64(o.Height), Supply: Unlimited, Price: 1}
		if len(in.Objects) > 1 {
			s.Price = int64(o.Length * o.Height)
			if o.Cost != nil {
				s.Price = int64(*o.Cost)
			}
		}
		if o.Stock != nil {
			s.Supply = int64(*o.Stock)
		}
		p.Sheets = append(p.Sheets, s)
	}
	for _, i := range in.Items {
		p.Panels = append(p.Panels, Panel{int64(i.Length), int64(i.Height), int64(i.Demand), turn})
	}
	return p
}

type published struct {
	low, best int64 // best is 0 where no value is known
}

// readPublished gives the published bounds and values by instance and variant;
// each row of the file names its source.
func readPublished(t testing.TB) map[string]published {
	t.Helper()
	file, err := os.Open(benchPath(t, "best.csv"))
	if err != nil {
		t.Fatal(err)
	}
	defer file.Close()
	rows, err := csv.NewReader(file).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	all := make(map[string]published)
	for _, row := range rows[1:] {
		low, _ := strconv.ParseFloat(row[3], 64)
		best, _ := strconv.ParseFloat(row[4], 64)
		all[row[1]+" "+row[2]] = published{int64(low), int64(best)}
	}
	return all
}

// TestInstances solves a sample of the sets CLASS and FURN_A with little
// effort: no plan may beat a published lower bound, and no bound may exceed a
// published value.
func TestInstances(t *testing.T) {
	known := readPublished(t)
	for _, set := range []struct {
		name string
		step int
	}{{"CLASS", 7}, {"FURN_A", 2}} {
		compared, reached := 0, 0
		for i, in := range readInstances(t, set.name) {
			if i%set.step != 0 {
				continue
			}
			for _, turn := range []bool{false, true} {
				variant := map[bool]string{false: "2BP|O|G", true: "2BP|R|G"}[turn]
				k, ok := known[in.Name+" "+variant]
				if !ok {
					continue
				}
				r := mustSolve(t, in.problem(turn), Options{Effort: Quick})
				compared++
				if r.Outcome != Planned || r.Cost.Value < k.low {
					t.Errorf("%s %s: outcome %d, %d sheets, published bound %d", in.Name, variant, r.Outcome, r.Cost.Value, k.low)
				}
				if k.best > 0 && r.Cost.Bound > k.best {
					t.Errorf("%s %s: bound %d, published value %d", in.Name, variant, r.Cost.Bound, k.best)
				}
				if k.best > 0 && r.Cost.Value <= k.best {
					reached++
				}
			}
		}
		if compared == 0 {
			t.Errorf("%s: nothing to compare", set.name)
		}
		t.Logf("%s: %d compared, %d at the published value or better", set.name, compared, reached)
	}
}

// BenchmarkClass reports the total number of sheets, and of the bounds, over
// the CLASS instances that are here.
func BenchmarkClass(b *testing.B) {
	for _, turn := range []bool{false, true} {
		for _, e := range []struct {
			name   string
			effort Effort
		}{{"Quick", Quick}, {"Normal", Normal}} {
			b.Run(map[bool]string{false: "Fixed", true: "Turned"}[turn]+e.name, func(b *testing.B) {
				list := readInstances(b, "CLASS")
				for b.Loop() {
					var sheets, bounds, iterations int64
					for _, in := range list {
						r := mustSolve(b, in.problem(turn), Options{Effort: e.effort})
						sheets += r.Cost.Value
						bounds += r.Cost.Bound
						iterations += r.Work.Iterations
					}
					b.ReportMetric(float64(sheets), "sheets")
					b.ReportMetric(float64(bounds), "bounds")
					b.ReportMetric(float64(iterations), "iterations")
				}
			})
		}
	}
}

// BenchmarkEveryday plans forty panels on three sizes of sheet, the size of
// job the efforts are set for; lengths are in units of 25 nm.
func BenchmarkEveryday(b *testing.B) {
	const mm = 40_000
	r := rand.New(rand.NewPCG(1, 1))
	var p Problem
	for range 20 {
		p.Panels = append(p.Panels, Panel{(200 + r.Int64N(1200)) * mm, (150 + r.Int64N(700)) * mm, 2, true})
	}
	for _, s := range [][3]int64{{2500, 1250, 5800}, {2000, 1000, 3900}, {3000, 1500, 8900}} {
		p.Sheets = append(p.Sheets, Sheet{
			Length: s[0] * mm, Width: s[1] * mm, TrimLeft: 10 * mm, TrimBottom: 10 * mm,
			Kerf: 3 * mm, Supply: Unlimited, Price: s[2],
		})
	}
	for _, e := range []struct {
		name   string
		effort Effort
	}{{"Quick", Quick}, {"Normal", Normal}} {
		b.Run(e.name, func(b *testing.B) {
			for b.Loop() {
				r := mustSolve(b, p, Options{Effort: e.effort})
				b.ReportMetric(float64(r.Cost.Value), "cost")
				b.ReportMetric(float64(r.Cost.Bound), "bound")
			}
		})
	}
}
