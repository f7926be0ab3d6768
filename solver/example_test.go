package solver_test

import (
	"context"
	"fmt"

	"sawbill/solver"
	"sawbill/solver/embedded"
)

// Bars of 6 m for 7 posts of 2.1 m, 9 rails of 1.4 m and 4 braces of 0.9 m:
// every column is one way to cut a bar (the saw's kerf left out), every row
// a demand.
func Example() {
	lp := embedded.Engine{}.New()
	defer lp.Close()
	posts := int32(lp.AddRow(7, solver.Inf, nil, nil))
	rails := int32(lp.AddRow(9, solver.Inf, nil, nil))
	braces := int32(lp.AddRow(4, solver.Inf, nil, nil))
	lp.AddColumn(1, 0, solver.Inf, []int32{posts, rails}, []float64{2, 1})
	lp.AddColumn(1, 0, solver.Inf, []int32{posts, rails, braces}, []float64{1, 2, 1})
	lp.AddColumn(1, 0, solver.Inf, []int32{rails}, []float64{4})

	status := lp.Solve(context.Background(), 0)
	fmt.Println(status == solver.Optimal)
	fmt.Printf("%.2f bars\n", lp.Objective())
	fmt.Printf("a further post costs %.2f bars\n", lp.Dual(nil)[posts])

	// A better pattern joins the solved model; the next solve starts where
	// the last one ended.
	lp.AddColumn(1, 0, solver.Inf, []int32{posts, braces}, []float64{2, 2})
	lp.Solve(context.Background(), 0)
	fmt.Printf("%.3f bars\n", lp.Objective())

	whole := solver.SolveMIP(context.Background(), lp, solver.MIPOptions{ObjectiveStep: 1})
	fmt.Printf("%.0f whole bars\n", whole.Objective)
	// Output:
	// true
	// 5.50 bars
	// a further post costs 0.50 bars
	// 5.375 bars
	// 6 whole bars
}
