package saving

import (
	"context"
	"fmt"
	"math/rand/v2"
	"slices"
	"testing"

	"sawbill/internal/job"
	"sawbill/internal/length"
	"sawbill/internal/plan"
	"sawbill/internal/plan/check"
)

// Against the oracle: bars and sheets of a few copies, every step of every
// dimension.
func TestOracle(t *testing.T) {
	falls, free, several := 0, 0, 0
	for seed := range uint64(110) {
		j := drawJob(t, rand.New(rand.NewPCG(seed, 7)))
		r := look(t, j)
		base := plan.Money(oracleCost(j))
		if r.Base.Total != base || r.Base.Bound != base {
			t.Fatalf("seed %d: the job costs %v, at least %v, by the oracle %v", seed, r.Base.Total, r.Base.Bound, base)
		}
		for i, d := range r.Dimensions {
			want := oracleFalls(j, i)
			if got := fallsOf(d); !slices.Equal(got, want) {
				t.Errorf("seed %d, %s: falls %v, by the oracle %v", seed, d.Name, got, want)
			}
			if n := oracleFree(j, i); int64(d.Free/d.Step) != n {
				t.Errorf("seed %d, %s: free %d steps, by the oracle %d", seed, d.Name, d.Free/d.Step, n)
			}
			for _, s := range d.Savings {
				backed(t, j, i, s, base)
				if !s.Proven || !s.Smallest || s.Least != s.Amount {
					t.Errorf("seed %d, %s: open, %+v", seed, d.Name, s)
				}
			}
			if d.Free > 0 {
				free++
			}
			if len(want) > 1 {
				several++
			}
			falls += len(want)
		}
	}
	if falls < 40 || free < 50 || several < 2 {
		t.Errorf("the jobs drawn show too little: %d falls, %d free, %d with several", falls, free, several)
	}
}

// backed proves a claim once more from the whole job.
func backed(t *testing.T, j *job.Job, i int, s Saving, base plan.Money) {
	steps := make([]int64, len(j.Dimensions))
	steps[i] = int64(s.Moves[0].By / j.Dimensions[i].Step)
	whole := j.Moved(steps)
	p, err := planned(context.Background(), whole)
	if err != nil {
		t.Fatal(err)
	}
	if findings, _ := check.Plan(whole, p); len(findings) > 0 {
		t.Fatal(findings)
	}
	if saved := base - p.Total; saved != s.InAll {
		t.Errorf("the whole job saves %v, the claim is %v", saved, s.InAll)
	}
	if findings, _ := check.Plan(s.Part, s.Plan); len(findings) > 0 {
		t.Error(findings)
	}
}

// drawJob draws a job that nearly fits.
func drawJob(t *testing.T, random *rand.Rand) *job.Job {
	n := func(from, to int64) int64 { return from + random.Int64N(to-from+1) }
	j := workshop(t)
	if n(0, 2) == 0 {
		s := &j.Suppliers[0]
		s.Delivers, s.Fetched, s.Delivery, s.Minimum = true, false, n(1, 90), n(0, 900)
	}
	if n(0, 2) > 0 {
		usable := n(500, 1500)
		addOffer(j, 0, length.Length(usable+10)*mm, 0, n(200, 400))
		if n(0, 1) == 1 {
			addOffer(j, 0, length.Length(n(usable/2, usable-1)+10)*mm, 0, n(100, 190))
		}
		for k := range n(1, 2) {
			of := n(2, 3)
			addPiece(j, fmt.Sprint("P", k), length.Length((usable-3*(of-1))/of+n(-4, 16))*mm, of)
		}
	}
	if len(j.Pieces) == 0 || n(0, 2) == 0 {
		l, w := n(400, 900), n(300, 600)
		addOffer(j, 1, length.Length(l+10)*mm, length.Length(w+10)*mm, n(100, 300))
		turn := n(0, 1) == 1
		for k := range n(2, 4) {
			side := func(all int64) length.Length {
				of := n(1, 3)
				return length.Length(min(all, (all-4*(of-1))/of+n(-3, 6))) * mm
			}
			addPanel(j, fmt.Sprint("S", k), side(l), side(w), turn, 1)
		}
	}
	for i := range n(1, 2) {
		var sides []job.Side
		for _, p := range j.Pieces {
			if n(0, 2) > 0 {
				sides = append(sides, job.Side{Mark: p.Mark, Factor: n(1, 2)})
			}
		}
		for _, p := range j.Panels {
			if n(0, 2) > 0 {
				sides = append(sides, job.Side{Mark: p.Mark, Of: job.PanelLength, Factor: 1})
			}
			if n(0, 2) > 0 {
				sides = append(sides, job.Side{Mark: p.Mark, Of: job.PanelWidth, Factor: 1})
			}
		}
		if len(sides) > 0 {
			addDimension(j, fmt.Sprint("d", i), n(6, 20), n(0, 5), sides...)
		}
	}
	return j
}
