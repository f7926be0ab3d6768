package planner

import (
	"math/big"

	"sawbill/internal/job"
	"sawbill/internal/plan"
	"sawbill/internal/plan/mass"
)

// weighBars fills in the masses and shares of bars.
func weighBars(j *job.Job, mi int, out *plan.Material) {
	m := j.Materials[mi]
	var bought, used, kept sum
	shared := shares(j, mi)
	for _, p := range j.Pieces {
		if p.Material == mi {
			out.Mass.Pieces += plan.Mass(p.Quantity) * mass.Piece(m, p)
			own := p.Length
			if shared {
				own -= ownedBeside(m.Section, p)
			}
			used.add(int64(own), p.Quantity)
		}
	}
	for _, l := range out.Layouts {
		out.Mass.Bought += mass.Bar(m, l.Stock.Length)
		bought.add(int64(l.Stock.Length), 1)
		if l.Kept {
			out.Mass.Offcuts += mass.Bar(m, l.Offcut)
			kept.add(int64(l.Offcut), 1)
		}
	}
	finish(m, out, &used, &kept, &bought)
}

// weighSheets fills in the masses and shares of sheets.
func weighSheets(j *job.Job, mi int, out *plan.Material) {
	m := j.Materials[mi]
	var bought, used, kept sum
	for _, p := range j.Panels {
		if p.Material == mi {
			area := p.Area()
			out.Mass.Pieces += plan.Mass(p.Quantity) * mass.Panel(m, p)
			used.total.Add(&used.total, area.Mul(area, big.NewInt(p.Quantity)))
		}
	}
	var offcuts func(*plan.Part)
	offcuts = func(p *plan.Part) {
		if p.Kept {
			out.Mass.Offcuts += mass.Sheet(m, p.Length, p.Width)
			kept.add(int64(p.Length), int64(p.Width))
		}
		for _, c := range p.Parts {
			offcuts(c)
		}
	}
	for _, l := range out.Layouts {
		out.Mass.Bought += mass.Sheet(m, l.Stock.Length, l.Stock.Width)
		bought.add(int64(l.Stock.Length), int64(l.Stock.Width))
		for _, p := range []*plan.Part{l.Tree, l.Strip} {
			if p != nil {
				offcuts(p)
			}
		}
	}
	finish(m, out, &used, &kept, &bought)
}

func finish(m job.Material, out *plan.Material, used, kept, bought *sum) {
	out.Mass.Scrap = out.Mass.Bought - out.Mass.Pieces - out.Mass.Offcuts
	out.Mass.Allowed = (out.Mass.Pieces*plan.Mass(10_000+m.Growth) + 5_000) / 10_000
	out.Shares.Used = used.share(bought)
	out.Shares.Offcuts = kept.share(bought)
	out.Shares.Scrap = 10_000 - out.Shares.Used - out.Shares.Offcuts
}

func sumMasses(a, b plan.Masses) plan.Masses {
	return plan.Masses{
		Pieces: a.Pieces + b.Pieces, Bought: a.Bought + b.Bought, Offcuts: a.Offcuts + b.Offcuts,
		Scrap: a.Scrap + b.Scrap, Allowed: a.Allowed + b.Allowed,
	}
}

// sum adds products that may pass 64 bits: areas of a thousand sheets do.
type sum struct{ total big.Int }

func (s *sum) add(factors ...int64) {
	product := big.NewInt(1)
	for _, f := range factors {
		product.Mul(product, big.NewInt(f))
	}
	s.total.Add(&s.total, product)
}

// share is s in hundredths of a percent of the whole, rounded half up.
func (s *sum) share(whole *sum) int64 {
	if whole.total.Sign() == 0 {
		return 0
	}
	n := new(big.Int).Mul(&s.total, big.NewInt(20_000))
	n.Add(n, &whole.total)
	return n.Div(n, new(big.Int).Lsh(&whole.total, 1)).Int64()
}
