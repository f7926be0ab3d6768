package nest1d_test

import (
	"context"
	"fmt"

	"sawbill/nest1d"
)

// The posts and rails of a bird hide from bars of 6 m, in millimetres, with a
// kerf of 3 mm, and one offcut of 2.2 m on the rack.
func ExampleSolve() {
	problem := nest1d.Problem{
		Pieces: []nest1d.Piece{
			{Length: 2100, Demand: 4}, // posts
			{Length: 1750, Demand: 6}, // rails
			{Length: 640, Demand: 8},  // shutters
		},
		Stocks: []nest1d.Stock{
			{Length: 6000, TrimLeft: 10, Kerf: []int64{3}, Supply: nest1d.Unlimited, Price: 4525, Keep: 500},
			{Length: 2200, Kerf: []int64{3}, Supply: 1, Keep: 500},
		},
	}
	result, err := nest1d.Solve(context.Background(), problem, nest1d.Options{})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println("cost", result.Cost.Value, "proven", result.Cost.Status == nest1d.Proven)
	for _, l := range result.Layouts {
		fmt.Print(l.Count, " × ", problem.Stocks[l.Stock].Length, ":")
		for _, p := range l.Places {
			fmt.Print(" ", problem.Pieces[p.Piece].Length, "@", p.At)
		}
		fmt.Println()
	}
	// Output:
	// cost 18100 proven true
	// 1 × 6000: 2100@10 640@2113 640@2756 640@3399 640@4042 640@4685 640@5328
	// 3 × 6000: 2100@10 1750@2113 1750@3866
	// 1 × 2200: 640@0 640@643
}
