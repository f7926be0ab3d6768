package planner

import (
	"math/big"

	"sawbill/internal/job"
	"sawbill/internal/length"
	"sawbill/internal/plan"
)

// orders lists the suppliers bought from and how it comes home, where the
// purchase has not said so: what is delivered only, or fetched only.
func orders(j *job.Job, p *plan.Plan, way func(supplier int) string) []plan.Order {
	buys := make([]bool, len(j.Suppliers))
	for _, m := range p.Materials {
		for _, l := range m.Buy {
			buys[j.Offers[l.Offer].Supplier] = true
		}
		for i, s := range j.Suppliers {
			buys[i] = buys[i] || m.ByMark != "" && s.Name == m.ByMark
		}
	}
	list := []plan.Order{}
	for i, s := range j.Suppliers {
		if buys[i] {
			list = append(list, plan.Order{Supplier: s.Name, Way: way(i)})
		}
	}
	return list
}

// onlyWay is the way of a supplier that leaves no choice, or the cheaper one.
func onlyWay(s job.Supplier) string {
	switch {
	case s.OnHand:
		return plan.OnHand
	case s.Delivers && (!s.Fetched || s.Delivery <= s.Fetch):
		return plan.Delivered
	}
	return plan.Fetched
}

// bill is what one supplier charges for.
type bill struct {
	goods          plan.Money
	square, mitred int64
	panels         []plan.Charge // cutting, by mark
	sheets         []plan.Charge // handling and set-up, by material
}

// charges lists what the suppliers of a plan add to the price of the goods.
func charges(j *job.Job, p *plan.Plan) []plan.Charge {
	bills := make([]bill, len(j.Suppliers))
	named := map[string]int{}
	for i, s := range j.Suppliers {
		named[s.Name] = i
	}
	for _, m := range p.Materials {
		for _, l := range m.Buy {
			bills[j.Offers[l.Offer].Supplier].goods += l.Amount
		}
		for _, q := range m.Marks {
			bills[named[m.ByMark]].goods += q.Amount
		}
		countCuts(j, m, bills)
	}
	var list []plan.Charge
	for _, o := range p.Orders {
		if o.Way == plan.OnHand {
			continue
		}
		s, b := j.Suppliers[named[o.Supplier]], bills[named[o.Supplier]]
		add := func(c plan.Charge) {
			c.Supplier = s.Name
			if c.Amount != 0 || c.Free > 0 {
				list = append(list, c)
			}
		}
		free := min(s.FreeCuts, b.square)
		if s.Cut > 0 {
			add(plan.Charge{What: plan.SquareCuts, Count: b.square, Free: free, Each: plan.Money(s.Cut), Amount: plan.Money((b.square - free) * s.Cut)})
		}
		add(plan.Charge{What: plan.MitreCuts, Count: b.mitred, Each: plan.Money(s.Mitre), Amount: plan.Money(b.mitred * s.Mitre)})
		for _, c := range b.panels {
			add(c)
		}
		for _, c := range b.sheets {
			add(c)
		}
		add(plan.Charge{What: plan.SmallOrder, Amount: max(0, plan.Money(s.Minimum)-b.goods)})
		if o.Way == plan.Delivered {
			add(plan.Charge{What: plan.Delivery, Amount: plan.Money(s.Delivery)})
		} else {
			add(plan.Charge{What: plan.Fetching, Amount: plan.Money(s.Fetch)})
		}
	}
	return list
}

// countCuts adds the cuts that suppliers make in one material to their bills.
func countCuts(j *job.Job, m plan.Material, bills []bill) {
	var jm job.Material
	for _, x := range j.Materials {
		if x.Key == m.Key {
			jm = x
		}
	}
	bySupplier := j.Processes[jm.Process].BySupplier
	sheets := make([]int64, len(bills))
	type cut struct {
		supplier int
		mark     string
	}
	panels := map[cut]int64{}
	ends := map[string][2]int64{}
	for _, q := range j.Pieces {
		ends[q.Mark] = pieceCuts(q.Left, q.Right)
	}
	for _, l := range m.Layouts {
		s := j.Offers[l.Stock.Offer].Supplier
		b := &bills[s]
		b.square += l.YardCuts()
		if !bySupplier || j.Suppliers[s].OnHand {
			continue
		}
		sheets[s]++
		for _, q := range l.Pieces {
			b.square += ends[q.Mark][0]
			b.mitred += ends[q.Mark][1]
		}
		for _, q := range l.Panels {
			panels[cut{s, q.Mark}]++
		}
	}
	if m.Kind != plan.Sheet {
		return
	}
	for _, q := range j.Panels {
		for s := range bills {
			if n := panels[cut{s, q.Mark}]; n > 0 {
				each := panelCut(j.Suppliers[s], contours{q.CutLength(), q.Pierces()})
				bills[s].panels = append(bills[s].panels, plan.Charge{What: plan.Cutting + " " + q.Mark, Count: n, Each: plan.Money(each), Amount: plan.Money(n * each)})
			}
		}
	}
	for s, n := range sheets {
		if n == 0 {
			continue
		}
		each, setUp := j.Suppliers[s].PerSheet, j.Suppliers[s].SetUp
		bills[s].sheets = append(bills[s].sheets,
			plan.Charge{What: plan.PerSheet + " " + m.Key, Count: n, Each: plan.Money(each), Amount: plan.Money(n * each)},
			plan.Charge{What: plan.SetUp + " " + m.Key, Amount: plan.Money(setUp)})
	}
}

// pieceCuts are the square and the mitred cuts charged for a piece.
func pieceCuts(left, right int64) [2]int64 {
	var mitred int64
	for _, angle := range []int64{left, right} {
		if angle != 0 {
			mitred++
		}
	}
	if mitred == 2 {
		return [2]int64{0, 2}
	}
	return [2]int64{1, mitred}
}

// contours are what is cut around a panel and in it: their length in base units,
// and how often the cutting begins anew.
type contours struct{ length, pierces int64 }

// panelCut is the price of cutting one panel out of its sheet, in cents: its
// contours and their piercings, rounded half up.
func panelCut(s job.Supplier, c contours) int64 {
	// (length · price a metre + metre · pierces · price of one) / (1000 · metre), half up.
	n := new(big.Int).Mul(big.NewInt(c.length), big.NewInt(s.CutMetre))
	pierces := new(big.Int).Mul(big.NewInt(c.pierces), big.NewInt(s.Pierce))
	n.Add(n, pierces.Mul(pierces, big.NewInt(int64(length.Metre))))
	d := big.NewInt(1000 * int64(length.Metre))
	n.Add(n.Lsh(n, 1), d)
	return n.Div(n, d.Lsh(d, 1)).Int64()
}

// taxes are on all that a supplier bills.
func taxes(j *job.Job, p *plan.Plan) []plan.Tax {
	var list []plan.Tax
	for _, o := range p.Orders {
		if o.Way == plan.OnHand {
			continue
		}
		var rate int64
		for _, s := range j.Suppliers {
			if s.Name == o.Supplier {
				rate = s.Tax
			}
		}
		if rate == 0 {
			continue
		}
		var net plan.Money
		for _, m := range p.Materials {
			for _, l := range m.Buy {
				if l.Supplier == o.Supplier {
					net += l.Amount
				}
			}
			if m.ByMark == o.Supplier {
				net += m.Goals.Cost.Value
			}
		}
		for _, c := range p.Charges {
			if c.Supplier == o.Supplier {
				net += c.Amount
			}
		}
		list = append(list, plan.Tax{Supplier: o.Supplier, Rate: rate, Net: net, Amount: taxOf(net, rate)})
	}
	return list
}

// taxOf is rate thousandths of a percent of an amount, rounded half up.
func taxOf(net plan.Money, rate int64) plan.Money {
	const whole = 100_000
	return net/whole*plan.Money(rate) + (net%whole*plan.Money(rate)+whole/2)/whole
}

// onHand is the value of what is taken from our own stock.
func onHand(j *job.Job, p *plan.Plan) plan.Money {
	var sum plan.Money
	for _, m := range p.Materials {
		for _, l := range m.Buy {
			if j.Suppliers[j.Offers[l.Offer].Supplier].OnHand {
				sum += l.Amount
			}
		}
	}
	return sum
}
