//go:build unix

package nest2d

import (
	"context"
	"fmt"
	"math/rand/v2"
	"runtime"
	"syscall"
	"testing"
	"time"
)

// everydayList is a list as a workshop has it, in units of 25 nm: panels of so many
// kinds with sizes in whole millimetres, sheets of three sizes, a saw of 3.2 mm.
func everydayList(seed uint64, kinds, panels int) Problem {
	const mm = 40_000
	r := rand.New(rand.NewPCG(seed, 77))
	p := Problem{}
	for _, s := range []Sheet{{Length: 2500, Width: 1250, Price: 5800}, {Length: 3000, Width: 1500, Price: 8900}, {Length: 2000, Width: 1000, Price: 3950}} {
		s.Length, s.Width, s.Kerf, s.Supply = s.Length*mm, s.Width*mm, 128_000, Unlimited
		p.Sheets = append(p.Sheets, s)
	}
	for range kinds {
		p.Panels = append(p.Panels, Panel{Length: (100 + r.Int64N(1100)) * mm, Width: (80 + r.Int64N(620)) * mm, Demand: 1, Turn: r.IntN(2) == 0})
	}
	for range panels - kinds {
		p.Panels[r.IntN(kinds)].Demand++
	}
	return p
}

// BenchmarkLists tells of five lists each of 40 panels and of 2,000 in 100 kinds: the
// time to the first plan and to the last, in processor time of this process, and
// the memory that the system gave.
func BenchmarkLists(b *testing.B) {
	for _, size := range []struct{ kinds, panels int }{{20, 40}, {40, 40}, {100, 2000}} {
		for seed := range uint64(5) {
			b.Run(fmt.Sprintf("%d of %d, list %d", size.panels, size.kinds, seed+1), func(b *testing.B) {
				p := everydayList(seed, size.kinds, size.panels)
				for b.Loop() {
					start, first := processorTime(), time.Duration(-1)
					r, err := Solve(context.Background(), p, Options{Progress: func(at Progress) {
						if at.Found && first < 0 {
							first = processorTime() - start
						}
					}})
					if err != nil || r.Outcome != Planned || Validate(p, r.Layouts) != nil {
						b.Fatalf("%v, outcome %d, %v", err, r.Outcome, Validate(p, r.Layouts))
					}
					b.ReportMetric(float64(first.Milliseconds()), "ms-first")
					b.ReportMetric((processorTime() - start).Seconds(), "s-last")
					b.ReportMetric(100*float64(r.Cost.Value-r.Cost.Bound)/float64(r.Cost.Value), "%-gap")
				}
				var memory runtime.MemStats
				runtime.ReadMemStats(&memory)
				b.ReportMetric(float64(memory.Sys)/(1<<20), "MB")
			})
		}
	}
}

// processorTime is what this process has used, in user mode.
func processorTime() time.Duration {
	var u syscall.Rusage
	if syscall.Getrusage(syscall.RUSAGE_SELF, &u) != nil {
		return 0
	}
	return time.Duration(u.Utime.Nano())
}
