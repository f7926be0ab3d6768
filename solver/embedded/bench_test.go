package embedded_test

import (
	"context"
	"fmt"
	"math/rand/v2"
	"testing"

	"sawbill/solver"
	"sawbill/solver/embedded"
)

// master is a cutting-stock master program: rows of demand, columns of random
// maximal patterns for stock of 6000 and items of 300 to 3000, and one column
// per item alone.
type master struct {
	demand   []float64
	patterns [][2][]float64 // rows, counts
}

func makeMaster(seed uint64, rows, columns int, demandOne bool) master {
	r := rand.New(rand.NewPCG(seed, 42))
	size := make([]int, rows)
	var m master
	for i := range size {
		size[i] = 300 + r.IntN(2701)
		d := 1.0
		if !demandOne {
			d = float64(1 + r.IntN(100))
		}
		m.demand = append(m.demand, d)
	}
	for k := range rows + columns {
		left := 6000
		count := map[int]int{}
		if k < rows {
			count[k], left = 1, 0
		}
		for try := 0; left > 0 && try < 30; try++ {
			i := r.IntN(rows)
			if size[i] <= left && float64(count[i]) < m.demand[i] {
				count[i]++
				left -= size[i]
			}
		}
		var p [2][]float64
		for i := range rows {
			if count[i] > 0 {
				p[0] = append(p[0], float64(i))
				p[1] = append(p[1], float64(count[i]))
			}
		}
		m.patterns = append(m.patterns, p)
	}
	return m
}

func (m master) load(lp solver.LP) {
	for _, d := range m.demand {
		lp.AddRow(d, solver.Inf, nil, nil)
	}
	for _, p := range m.patterns {
		m.add(lp, p)
	}
}

func (m master) add(lp solver.LP, p [2][]float64) {
	rows := make([]int32, len(p[0]))
	for k, i := range p[0] {
		rows[k] = int32(i)
	}
	lp.AddColumn(1, 0, solver.Inf, rows, p[1])
}

// BenchmarkMaster solves masters of 100 rows and 1000 patterns from the slack
// basis, and grows them in rounds of 20 columns as column generation does.
func BenchmarkMaster(b *testing.B) {
	for _, demandOne := range []bool{false, true} {
		for _, rows := range []int{100, 200} {
			masters := make([]master, 10)
			for k := range masters {
				masters[k] = makeMaster(uint64(k), rows, 10*rows, demandOne)
			}
			name := fmt.Sprintf("%dx%d", rows, 10*rows)
			if demandOne {
				name += "/demand 1"
			}
			b.Run(name+"/at once", func(b *testing.B) {
				iterations, k := 0, 0
				for b.Loop() {
					lp := embedded.Engine{}.New()
					masters[k%10].load(lp)
					if s := lp.Solve(context.Background(), 0); s != solver.Optimal {
						b.Fatalf("status %v", s)
					}
					iterations += lp.Iterations()
					k++
				}
				b.ReportMetric(float64(iterations)/float64(k), "iterations/op")
			})
			b.Run(name+"/grown", func(b *testing.B) {
				iterations, k := 0, 0
				for b.Loop() {
					m := masters[k%10]
					lp := embedded.Engine{}.New()
					first := m
					first.patterns = m.patterns[:rows]
					first.load(lp)
					for from := rows; from < len(m.patterns); from += 20 {
						for _, p := range m.patterns[from:min(from+20, len(m.patterns))] {
							m.add(lp, p)
						}
						if s := lp.Solve(context.Background(), 0); s != solver.Optimal {
							b.Fatalf("status %v", s)
						}
					}
					iterations += lp.Iterations()
					k++
				}
				b.ReportMetric(float64(iterations)/float64(k), "iterations/op")
			})
		}
	}
}
