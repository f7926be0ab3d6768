package nest1d_test

import (
	"context"
	"testing"

	"sawbill/nest1d"
)

// TestNoFalseProof holds bounds against plans found by other means on problems
// where a sum that overflowed once proved too much.
func TestNoFalseProof(t *testing.T) {
	const mm = 40_000
	pieces := func(lengthAndDemand ...int64) (list []nest1d.Piece) {
		for i := 0; i < len(lengthAndDemand); i += 2 {
			list = append(list, nest1d.Piece{Length: lengthAndDemand[i] * mm, Demand: lengthAndDemand[i+1]})
		}
		return list
	}
	square := func(kerf, trim, tail, length, price, supply int64) nest1d.Stock {
		return nest1d.Stock{
			Length: length * mm, TrimLeft: trim * mm, TrimRight: trim * mm, Tail: tail * mm,
			Kerf: []int64{kerf * mm}, Price: price, Supply: supply,
		}
	}
	kerfs := []int64{120_000, 129_886, 169_706, 240_000} // 3 mm at 0, 22.5, 45 and 60 degrees
	mitred := func(length, price, supply int64) nest1d.Stock {
		return nest1d.Stock{Length: length * mm, TrimLeft: 11 * mm, TrimRight: 11 * mm, Kerf: kerfs, Price: price, Supply: supply}
	}
	ends := func(length int64, left, right int, demand int64) nest1d.Piece {
		return nest1d.Piece{Length: length * mm, Left: left, Right: right, Demand: demand}
	}
	for name, c := range map[string]struct {
		problem nest1d.Problem
		cost    int64 // of a plan known to be valid
	}{
		"six short bars hold everything": {nest1d.Problem{
			Stocks: []nest1d.Stock{square(3, 10, 120, 6783, 2416, -1), square(3, 10, 120, 4248, 1546, -1)},
			Pieces: pieces(1016, 1, 1679, 5, 1625, 4, 482, 3, 1304, 4, 348, 4),
		}, 9276},
		"one long and four short bars": {nest1d.Problem{
			Stocks: []nest1d.Stock{square(0, 7, 0, 5926, 2209, -1), square(0, 7, 0, 4912, 1996, 2), square(0, 7, 0, 6660, 2423, -1)},
			Pieces: pieces(753, 4, 1729, 2, 1236, 4, 1888, 2, 1647, 5, 1515, 4),
		}, 11259},
		"mitred": {nest1d.Problem{
			Stocks: []nest1d.Stock{mitred(5885, 2120, -1), mitred(4139, 1544, 4), mitred(4224, 1768, 3)},
			Pieces: []nest1d.Piece{
				ends(1259, 2, 3, 2), ends(1399, 0, 0, 1), ends(1578, 2, 0, 2), ends(1309, 1, 2, 4),
				ends(721, 2, 2, 2), ends(275, 0, 0, 2), ends(389, 3, 1, 1), ends(1742, 1, 0, 2),
			},
		}, 7200},
	} {
		for _, effort := range []nest1d.Effort{nest1d.Quick, nest1d.Normal} {
			r, err := nest1d.Solve(context.Background(), c.problem, nest1d.Options{Effort: effort})
			if err != nil {
				t.Fatal(err)
			}
			if r.Cost.Bound > c.cost {
				t.Errorf("%s, effort %d: bound %d is above the cost %d of a plan", name, effort, r.Cost.Bound, c.cost)
			}
		}
	}
}
