package nest1d

import (
	"context"
	"os"
	"slices"
	"strconv"
	"testing"
	"time"
)

func TestProf(t *testing.T) {
	pieces, _ := strconv.Atoi(os.Getenv("PIECES"))
	if pieces == 0 {
		t.Skip()
	}
	lengths, _ := strconv.Atoi(os.Getenv("LENGTHS"))
	seeds, _ := strconv.Atoi(os.Getenv("SEEDS"))
	proven := 0
	var times []time.Duration
	for seed := range seeds {
		p := workshop(uint64(seed), pieces, lengths)
		if os.Getenv("TAIL") != "" {
			p.Stocks[0].Tail = 40 * mm
		}
		start := time.Now()
		ctx, c := context.WithTimeout(context.Background(), 60*time.Second)
		res, _ := Solve(ctx, p, Options{})
		c()
		d := time.Since(start)
		times = append(times, d)
		if res.Cost.Status == Proven {
			proven++
		} else {
			t.Logf("seed %d %+v %+v %v", seed, res.Cost, res.Work, d)
		}
	}
	slices.Sort(times)
	t.Logf("proven %d of %d, median %v, 95%% %v, max %v", proven, seeds, times[len(times)/2], times[len(times)*95/100], times[len(times)-1])
}
