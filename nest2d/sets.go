package nest2d

import (
	"cmp"
	"math/bits"
	"slices"
)

// A set is a number of copies of each panel, packed into one word: a digit a
// panel, each with a spare bit above it. Sets add up like numbers, and the
// spare bits tell where a difference would be negative. Copies of a panel are
// alike, so that no two sets differ only in which copies they hold.
type set uint64

// A packing gives the panels their digits, the largest panel the highest.
type packing struct {
	panels []int32   // by digit, those wanted only
	one    []set     // one copy, by digit
	digit  []set     // all bits of a digit but the spare one
	at     [64]uint8 // the digit each bit belongs to
	full   set       // all copies
	spare  set
}

// pack is not ok when the panels have more copies than a word has room for.
func (m *model) pack() (p packing, ok bool) {
	for i, a := range m.problem.Panels {
		if a.Demand > 0 {
			p.panels = append(p.panels, int32(i))
		}
	}
	slices.SortStableFunc(p.panels, func(a, b int32) int { return cmp.Compare(m.weight[b], m.weight[a]) })
	bit := 64
	for d, i := range p.panels {
		demand := uint64(m.problem.Panels[i].Demand)
		width := bits.Len64(demand) + 1
		bit -= width
		if bit < 0 {
			return p, false
		}
		p.one = append(p.one, 1<<bit)
		p.digit = append(p.digit, (1<<(width-1)-1)<<bit)
		p.full |= set(demand << bit)
		p.spare |= 1 << (bit + width - 1)
		for b := bit; b < bit+width; b++ {
			p.at[b] = uint8(d)
		}
	}
	return p, true
}

// within tells whether s is a part of all; s may be a sum of two parts of it.
func (p *packing) within(s, all set) bool { return ((all|p.spare)-s)&p.spare == p.spare }

// first is the digit of the largest panel in a set that is not empty.
func (p *packing) first(s set) int { return int(p.at[63-bits.LeadingZeros64(uint64(s))]) }
