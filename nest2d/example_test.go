package nest2d_test

import (
	"context"
	"fmt"

	"sawbill/nest2d"
)

// The skins of a small bird hide from two sizes of sheet, in millimetres and
// cents.
func Example() {
	problem := nest2d.Problem{
		Panels: []nest2d.Panel{
			{Length: 1800, Width: 600, Demand: 4, Turn: true}, // walls
			{Length: 900, Width: 600, Demand: 2, Turn: true},  // door halves
			{Length: 600, Width: 300, Demand: 3, Turn: true},  // shutters
		},
		Sheets: []nest2d.Sheet{
			{Length: 2500, Width: 1250, Kerf: 3, Supply: nest2d.Unlimited, Price: 5800},
			{Length: 2000, Width: 1000, Kerf: 3, Supply: nest2d.Unlimited, Price: 3900},
		},
	}
	result, err := nest2d.Solve(context.Background(), problem, nest2d.Options{})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println("cost", result.Cost.Value, "lowest possible", result.Cost.Bound)
	for _, layout := range result.Layouts {
		fmt.Println(layout.Count, "of sheet", layout.Sheet)
		for _, place := range layout.Places {
			fmt.Println("  panel", place.Panel, "at", place.X, place.Y, "turned", place.Turned)
		}
	}
	// Output:
	// cost 15500 lowest possible 15500
	// 2 of sheet 0
	//   panel 0 at 0 0 turned false
	//   panel 0 at 0 603 turned false
	//   panel 1 at 1803 0 turned true
	//   panel 2 at 1803 903 turned false
	// 1 of sheet 1
	//   panel 2 at 0 0 turned true
}
