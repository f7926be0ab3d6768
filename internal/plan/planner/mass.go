package planner

import (
	"math"
	"math/big"

	"sawbill/internal/job"
	"sawbill/internal/length"
	"sawbill/internal/plan"
	"sawbill/internal/section"
)

// metre and squareMetre turn base units into the units masses are stated in.
const (
	metre       = float64(length.Metre)
	squareMetre = metre * metre
)

// milligrams rounds a mass half up, once.
func milligrams(kg float64) plan.Mass { return plan.Mass(math.Floor(kg*1e6 + 0.5)) }

// alloy is what a material is made of, with the density the job goes by.
func alloy(m job.Material) section.Material {
	if m.Density > 0 && m.Density != m.Alloy.Density {
		return m.Alloy.WithDensity(m.Density)
	}
	return m.Alloy
}

// weighBars fills in the masses and shares of bars.
func weighBars(j *job.Job, mi int, out *plan.Material) {
	m := j.Materials[mi]
	perMetre := section.MassPerMetre(m.Section, alloy(m))
	weigh := func(l float64) plan.Mass { return milligrams(perMetre * (l / metre)) }
	var bought, used, kept sum
	for _, p := range j.Pieces {
		if p.Material == mi {
			out.Mass.Pieces += plan.Mass(p.Quantity) * weigh(massLength(p, m.Section))
			used.add(int64(p.Length), p.Quantity)
		}
	}
	for _, l := range out.Layouts {
		out.Mass.Bought += weigh(float64(l.Stock.Length))
		bought.add(int64(l.Stock.Length), 1)
		if l.Kept {
			out.Mass.Offcuts += weigh(float64(l.Offcut))
			kept.add(int64(l.Offcut), 1)
		}
	}
	finish(m, out, &used, &kept, &bought)
}

// massLength is the length of square-ended bar that weighs as much as the
// piece: its centre line, since a mitre takes off half of what it slants over.
func massLength(p job.Piece, s section.Section) float64 {
	slant := math.Tan(float64(max(p.Left, -p.Left))/1000*math.Pi/180) +
		math.Tan(float64(max(p.Right, -p.Right))/1000*math.Pi/180)
	return float64(p.Length) - float64(float64(s.OuterWidth())*slant/2)
}

// weighSheets fills in the masses and shares of sheets.
func weighSheets(j *job.Job, mi int, out *plan.Material) {
	m := j.Materials[mi]
	perArea := m.Section.MassPerArea(alloy(m))
	weigh := func(l, w length.Length) plan.Mass {
		return milligrams(perArea * (float64(l) * float64(w) / squareMetre))
	}
	var bought, used, kept sum
	for _, p := range j.Panels {
		if p.Material == mi {
			area := p.Area()
			square, _ := new(big.Float).SetInt(area).Float64()
			out.Mass.Pieces += plan.Mass(p.Quantity) * milligrams(perArea*(square/squareMetre))
			used.total.Add(&used.total, area.Mul(area, big.NewInt(p.Quantity)))
		}
	}
	var offcuts func(*plan.Part)
	offcuts = func(p *plan.Part) {
		if p.Kept {
			out.Mass.Offcuts += weigh(p.Length, p.Width)
			kept.add(int64(p.Length), int64(p.Width))
		}
		for _, c := range p.Parts {
			offcuts(c)
		}
	}
	for _, l := range out.Layouts {
		out.Mass.Bought += weigh(l.Stock.Length, l.Stock.Width)
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
