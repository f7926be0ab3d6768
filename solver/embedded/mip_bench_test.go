package embedded_test

import (
	"context"
	"fmt"
	"testing"

	"sawbill/solver"
	"sawbill/solver/embedded"
)

// BenchmarkMIP proves the best whole numbers of bars over a fixed set of
// patterns.
func BenchmarkMIP(b *testing.B) {
	for _, rows := range []int{30, 50} {
		for _, demandOne := range []bool{false, true} {
			b.Run(fmt.Sprintf("%dx%d/demand 1 %v", rows, 8*rows, demandOne), func(b *testing.B) {
				nodes, iterations, k := 0, 0, 0
				for b.Loop() {
					lp := embedded.Engine{}.New()
					makeMaster(uint64(k%5), rows, 8*rows, demandOne).load(lp)
					r := solver.SolveMIP(context.Background(), lp, solver.MIPOptions{ObjectiveStep: 1})
					if r.Status != solver.Optimal {
						b.Fatalf("%+v", r)
					}
					nodes += r.Nodes
					iterations += r.Iterations
					k++
				}
				b.ReportMetric(float64(nodes)/float64(k), "nodes/op")
				b.ReportMetric(float64(iterations)/float64(k), "iterations/op")
			})
		}
	}
}
