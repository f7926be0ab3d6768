package nest1d

import (
	"context"
	"math/rand/v2"
	"testing"
)

// Units of 25 nm.
const (
	mm     = 40_000
	inch64 = 15_875
)

// workshop draws a job: pieces in so many lengths on the 1/64 in grid, sawn with
// a kerf of 3.2 mm from two lengths of bar.
func workshop(seed uint64, pieces, lengths int) Problem {
	r := rand.New(rand.NewPCG(seed, 7))
	p := Problem{Stocks: []Stock{
		{Length: 6100 * mm, TrimLeft: 10 * mm, Kerf: []int64{3.2 * mm}, Supply: Unlimited, Price: 4525},
		{Length: 7300 * mm, TrimLeft: 10 * mm, Kerf: []int64{3.2 * mm}, Supply: Unlimited, Price: 5310},
	}}
	for range lengths {
		p.Pieces = append(p.Pieces, Piece{Length: (400 + r.Int64N(6500)) * inch64, Demand: 1})
	}
	for range pieces - lengths {
		p.Pieces[r.IntN(lengths)].Demand++
	}
	return p
}

// frame is an ordinary job: six sections, a hundred pieces in all.
func frame(seed uint64) []Problem {
	r := rand.New(rand.NewPCG(seed, 11))
	var out []Problem
	for range 6 {
		p := workshop(r.Uint64(), 17, 5+r.IntN(6))
		p.Stocks[0].Tail = 40 * mm
		out = append(out, p)
	}
	return out
}

func benchmarkJob(b *testing.B, pieces, lengths int) {
	p := workshop(1, pieces, lengths)
	var gap, dearest float64
	for b.Loop() {
		res, err := Solve(context.Background(), p, Options{})
		if err != nil {
			b.Fatal(err)
		}
		gap = 100 * float64(res.Cost.Value-res.Cost.Bound) / float64(res.Cost.Value)
		dearest = float64(res.Cost.Value-res.Cost.Bound) / 5310
	}
	b.ReportMetric(gap, "%gap")
	b.ReportMetric(dearest, "bars-gap")
}

func BenchmarkThousand(b *testing.B)    { benchmarkJob(b, 1_000, 60) }
func BenchmarkTenThousand(b *testing.B) { benchmarkJob(b, 10_000, 200) }

func BenchmarkFrame(b *testing.B) {
	jobs := frame(3)
	proven := 0.0
	for b.Loop() {
		proven = 0
		for _, p := range jobs {
			res, err := Solve(context.Background(), p, Options{})
			if err != nil {
				b.Fatal(err)
			}
			if res.Cost.Status == Proven {
				proven++
			}
		}
	}
	b.ReportMetric(proven, "proven-of-6")
}
