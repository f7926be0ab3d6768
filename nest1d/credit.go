package nest1d

import (
	"fmt"
	"slices"
)

// An offcut that is long enough to keep may be worth something. Then what a bar
// costs depends on its content, with a jump where the offcut becomes too short:
//
//	cost = price − credit·offcut    offcut ≥ keep
//	     = price                    offcut < keep
//
// With one kerf the offcut is length − left trim − Σ (lengthᵢ + kerf), so among
// contents that leave one worth keeping the cost is linear: that of the empty bar
// and a charge for each piece. Such a bar is two knapsacks: of all contents at the
// price, and of fewer pieces, each worth its charge less, at the price less the
// credit of the whole bar. More in a bar may be worth less, so full contents do not
// stand for all, nor do sums of prices for costs.

// checkCredit refuses credits that are not of this kind.
func checkCredit(p *Problem, k int) error {
	s := &p.Stocks[k]
	switch {
	case s.Credit == 0:
		return nil
	case s.Credit < 0:
		return fmt.Errorf("nest1d: stock %d has credit %d per length of offcut; write 0 or more", k, s.Credit)
	case s.Keep == 0:
		return fmt.Errorf("nest1d: stock %d has credit %d for offcuts and keeps none; write from what length they are kept", k, s.Credit)
	case s.nests():
		return fmt.Errorf("nest1d: stock %d has credit %d for offcuts and slanted ends share its cuts; write a credit of 0", k, s.Credit)
	case s.Part > 0:
		return fmt.Errorf("nest1d: stock %d has credit %d for offcuts and is cut into parts; write a credit of 0", k, s.Credit)
	}
	if all, ok := product(s.Credit, s.Length); !ok || all >= s.Price {
		return fmt.Errorf("nest1d: stock %d with length %d and price %d has credit %d per length of offcut; write a credit below the price per length",
			k, s.Length, s.Price, s.Credit)
	}
	for i, q := range p.Pieces {
		if s.Kerf[q.Left] != s.Kerf[p.Pieces[0].Left] || s.Kerf[q.Right] != s.Kerf[p.Pieces[0].Left] {
			return fmt.Errorf("nest1d: stock %d has credit %d for offcuts, and piece %d other kerfs than piece 0; write one kerf for all, or a credit of 0",
				k, s.Credit, i)
		}
	}
	return nil
}

// reward is what offcuts of a bar bring.
type reward struct {
	whole    int64   // for a bar that remains whole
	charge   []int64 // less for each copy of an item
	capacity int64   // of contents that leave an offcut to keep, in weights of the bar
}

// reward of a stock; nil without any.
func (m *model) reward(s *Stock, b *bar) *reward {
	room := s.Length - s.TrimLeft - s.Keep
	if s.Credit == 0 || room < 0 {
		return nil
	}
	w := &reward{whole: s.Credit * (s.Length - s.TrimLeft), capacity: b.capacity}
	unit := limit // that the weights, of twice the lengths, are in
	for i, it := range m.items {
		q := &m.problem.Pieces[it.piece]
		if b.weight[i] > b.capacity {
			w.charge = append(w.charge, 0)
			continue
		}
		used := q.Length + s.Kerf[q.Left]
		w.charge = append(w.charge, s.Credit*used)
		unit = 2 * used / b.weight[i]
	}
	w.capacity = min(w.capacity, 2*room/unit)
	return w
}

// credited says that some bar's offcuts bring something.
func (m *model) credited() bool {
	return slices.ContainsFunc(m.bars, func(b bar) bool { return b.reward != nil })
}

// credit is what the offcut of a bar cut by a pattern brings.
func (m *model) credit(p *pattern) int64 {
	w := m.bars[p.bar].reward
	if w == nil || m.load(p) > w.capacity {
		return 0
	}
	c := w.whole
	for _, e := range p.items {
		c -= w.charge[e.item] * int64(e.count)
	}
	return c
}

// most is the greatest credit of the bar.
func (b *bar) most() int64 {
	if b.reward == nil {
		return 0
	}
	return b.reward.whole
}

// keeping is the bar as the knapsack of contents that leave an offcut to keep, with
// what pieces are worth in it, at scale, and what the whole bar brings.
func (b *bar) keeping(value []int64, scale int64) (kept bar, worth []int64, whole int64) {
	kept = *b
	kept.capacity = b.reward.capacity
	worth = make([]int64, len(value))
	for i, v := range value {
		worth[i] = v - scale*b.reward.charge[i]
	}
	return kept, worth, scale * b.reward.whole
}
