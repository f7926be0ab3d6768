package check

import (
	"math"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"sawbill/internal/job"
	"sawbill/internal/length"
	"sawbill/internal/plan"
)

// carries reports by trial whether pieces can be cut, in any order, from a bar
// that is first parted so that no part is longer than the load.
func carries(j *job.Job, o job.Offer, held []job.Piece) bool {
	pr, load, first := j.Processes[0], j.LongestLoad, j.Suppliers[0].CutKerf
	if o.Length <= load {
		load = math.MaxInt64 // it is carried whole
	}
	// from is where the part starts, tip the end of the piece before.
	var next func(from, tip length.Length, last *job.Piece, rest []job.Piece) bool
	next = func(from, tip length.Length, last *job.Piece, rest []job.Piece) bool {
		reach := tip
		if last != nil && pr.Tail > 0 {
			reach += cutLength(pr.Kerf, last.Right) + pr.Tail
		}
		if reach-from > load || reach > o.Length-pr.TrimRight {
			return false
		}
		if len(rest) == 0 {
			return o.Length-from <= load || reach+first <= o.Length
		}
		for i, p := range rest {
			others := slices.Delete(slices.Clone(rest), i, i+1)
			at := tip
			if last != nil {
				at += max(cutLength(pr.Kerf, last.Right), cutLength(pr.Kerf, p.Left))
			}
			if next(from, at+p.Length, &p, others) {
				return true
			}
			at = max(reach+first, pr.TrimLeft)
			if o.Length > load && next(at, at+p.Length, &p, others) {
				return true
			}
		}
		return false
	}
	return next(0, pr.TrimLeft, nil, held)
}

// leastCarried is the least cost by trying every way to put the pieces into bars.
func leastCarried(j *job.Job) int64 {
	var pieces []job.Piece
	for _, p := range j.Pieces {
		for range p.Quantity {
			pieces = append(pieces, p)
		}
	}
	best := int64(math.MaxInt64)
	bars, offers := [][]job.Piece{}, []int{}
	used := make([]int64, len(j.Offers))
	var put func(i int, cost int64)
	put = func(i int, cost int64) {
		if i == len(pieces) {
			best = min(best, cost)
		}
		if i == len(pieces) || cost >= best {
			return
		}
		for b := range bars {
			held := bars[b]
			bars[b] = append(slices.Clone(held), pieces[i])
			if carries(j, j.Offers[offers[b]], bars[b]) {
				put(i+1, cost)
			}
			bars[b] = held
		}
		for o, offer := range j.Offers {
			if offer.Stock >= 0 && used[o] >= offer.Stock || !carries(j, offer, pieces[i:i+1]) {
				continue
			}
			used[o]++
			bars, offers = append(bars, pieces[i:i+1]), append(offers, o)
			put(i+1, cost+offer.Price)
			bars, offers = bars[:len(bars)-1], offers[:len(offers)-1]
			used[o]--
		}
	}
	put(0, 0)
	return best
}

// TestLeastCostCarried: of bars that are parted to be carried more than the
// least cost by brute force is never believed, whatever proof is given.
func TestLeastCostCarried(t *testing.T) {
	settled, parted := 0, 0
	often(t, 20, func(r *rapid.T) {
		j := smallJob(r)
		j.Suppliers[0] = job.Supplier{Name: "North", Fetched: true, CutKerf: length.Length(rapid.IntRange(0, 3).Draw(r, "first kerf"))}
		j.LongestLoad = length.Length(rapid.IntRange(12, 40).Draw(r, "load"))
		least := leastCarried(j)
		if least < 1 || least == math.MaxInt64 {
			return
		}
		for _, proof := range []*plan.BarProof{nil, drawProof(r, j)} {
			a := &audit{job: j}
			a.index()
			m := a.pairForTest(j)
			m.plan.Goals.Cost = plan.MoneyGoal{Value: plan.Money(least + 1), Bound: plan.Money(least + 1)}
			m.plan.BarProof = proof
			if a.bound(m); len(a.findings)+len(a.notes) == 0 {
				r.Fatalf("the least cost is %d, but %d was believed", least, least+1)
			}
		}
		settled++
		if slices.ContainsFunc(j.Offers, func(o job.Offer) bool { return o.Length > j.LongestLoad }) {
			parted++
		}
	})
	if settled == 0 || parted == 0 {
		t.Errorf("%d jobs were tried, bars parted in %d", settled, parted)
	}
}
