package nest1d

import (
	"math/rand/v2"
	"slices"
	"strings"
	"testing"
)

// worthiest is the greatest value of a content that fits a bar in some order, by
// trying all contents in all orders.
func worthiest(p *Problem, k int, value, need []int64) int64 {
	f := &bruteForce{p: p, fits: map[string]bool{}}
	var best int64
	content := make([]int64, len(need))
	var fill func(i int)
	fill = func(i int) {
		if anyPositive(content) && !f.contentFits(k, content) {
			return
		}
		var sum int64
		for j, n := range content {
			sum += n * value[j]
		}
		best = max(best, sum)
		for j := i; j < len(need); j++ {
			if content[j] < need[j] {
				content[j]++
				fill(j)
				content[j]--
			}
		}
	}
	fill(0)
	return best
}

func TestWorthAgainstBruteForce(t *testing.T) {
	for _, kinds := range []int{1, 3} {
		above, tighter, loose := 0, 0, 0
		for seed := range 600 {
			r := rand.New(rand.NewPCG(uint64(seed), 31))
			p := smallProblem(r, kinds)
			if seed%2 == 0 {
				workshopScale(r, &p)
			}
			if seed%3 > 0 {
				divide(r, &p)
			}
			var value, need []int64
			for _, q := range p.Pieces {
				value = append(value, anyOf(r, q.Length, r.Int64N(30), 0))
				need = append(need, q.Demand)
			}
			worth, err := Worth(p, value)
			if err != nil {
				t.Fatalf("seed %d: %v", seed, err)
			}
			inParts, err := WorthInParts(p, value)
			if err != nil {
				t.Fatalf("seed %d: %v", seed, err)
			}
			for k := range p.Stocks {
				want, relaxed := worthiest(&p, k, value, need), bestContent(&p, k, value)
				if worth[k] < want {
					t.Errorf("seed %d: stock %d holds %d, said to be worth %d: %+v", seed, k, want, worth[k], p)
				}
				if worth[k] != relaxed {
					t.Errorf("seed %d: stock %d is worth %d, its knapsack %d: %+v", seed, k, worth[k], relaxed, p)
				}
				if inParts[k] < want || inParts[k] > worth[k] {
					t.Errorf("seed %d: stock %d is worth %d in parts, %d as a whole, and holds %d: %+v", seed, k, inParts[k], worth[k], want, p)
				}
				if p.Stocks[k].parted() {
					if inParts[k] < worth[k] {
						tighter++
					}
					if kinds == 1 && inParts[k] > want {
						loose++
					}
				}
				if worth[k] > want && !p.Stocks[k].parted() {
					above++
				}
			}
		}
		if kinds == 1 && above > 0 {
			t.Errorf("%d bars are worth more than they hold, with one kerf", above)
		}
		if tighter < 20 || loose > 2 {
			t.Errorf("in parts %d bars are worth less, %d more than they hold", tighter, loose)
		}
		t.Logf("%d kinds of cut: %d bars worth more than they hold", kinds, above)
	}
}

// A bar that is sold out has its worth; what holds nothing has none; settled
// pieces are wanted no more.
func TestWorthOfOddBars(t *testing.T) {
	p := Problem{
		Pieces: []Piece{{Length: 40, Demand: 3}, {Length: 55, Demand: 1}},
		Stocks: []Stock{
			{Length: 100, Kerf: []int64{2}, Price: 5},
			{Length: 300, Kerf: []int64{2}, Price: 9, Supply: 1},
			{Length: 30, Kerf: []int64{2}, Price: 1},
			{Length: 100, TrimLeft: 70, TrimRight: 60, Kerf: []int64{2}, Price: 1},
		},
		Fixed: []Layout{{Stock: 1, Count: 1, Places: []Place{{Piece: 0}}}},
	}
	worth, err := Worth(p, []int64{7, 11})
	// 40 + 2 + 55 fits 100; two of 40 are left and fit 300 with the 55.
	if want := []int64{18, 25, 0, 0}; err != nil || !slices.Equal(worth, want) {
		t.Errorf("worth %v (%v), want %v", worth, err, want)
	}
}

// The knapsack may give up; what it then says is still a bound.
func TestWorthWithLittleEffort(t *testing.T) {
	r := rand.New(rand.NewPCG(8, 8))
	b := bar{capacity: 100_000}
	var value, need []int64
	for range 60 {
		w := 2_000 + r.Int64N(9_000)
		b.weight, value, need = append(b.weight, w), append(value, w+r.Int64N(3)), append(need, 2)
	}
	k := newKnapsack(&b, value, need)
	exact, _ := k.byLists(0, 1<<30)
	for _, states := range []int{1, 1_000, 20_000, worthStates} {
		if got := k.most(states); got < exact.top || got > k.ceiling(0, k.capacity) {
			t.Errorf("%d states: %d, the best content is worth %d", states, got, exact.top)
		}
	}
}

func TestWorthRefuses(t *testing.T) {
	p := Problem{Pieces: []Piece{{Length: 10, Demand: 2}}, Stocks: []Stock{{Length: 50, Kerf: []int64{1}, Price: 3}}}
	bad := p
	bad.Stocks = []Stock{{Length: 50, Kerf: []int64{1}}}
	bad.Stocks[0].Supply = Unlimited
	for _, c := range []struct {
		p     Problem
		value []int64
		says  string
	}{
		{p, nil, "0 values for 1 pieces"},
		{p, []int64{-3}, "value -3"},
		{p, []int64{limit}, "add up to more"},
		{p, []int64{1<<63 - 1}, "add up to more"},
		{bad, []int64{1}, "write a supply"},
	} {
		if _, err := Worth(c.p, c.value); err == nil || !strings.Contains(err.Error(), c.says) {
			t.Errorf("values %v: %v, want %q", c.value, err, c.says)
		}
	}
}
