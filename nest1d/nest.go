package nest1d

import "slices"

// Slanted ends may share a cut. Seen across the face it is laid on, a slant has
// its tip on one edge of the bar and reaches in by Stock.Slant on the other.
// Where two ends meet with the tips on opposite edges, both slants lean the same
// way, and the pieces overlap along the bar:
//
//	 ____________    ____________      tips on one edge: the gap is the kerf
//	             \  /                  and the two slants fall out
//	______________\/______________
//
//	 ____________ ________________      tips on opposite edges: the gap is the
//	             \\                     kerf everywhere, less the shorter slant
//	______________\\______________
//
// Of two unequal slants the gap is least at one edge and there the shorter slant is
// what is gained. So a joint takes max(kerf, kerf′) − min(slant, slant′) in the one
// case, and max(kerf, kerf′) in the other or where the slants lie in different
// planes. With kerf + slant as kerf/cos + w·tan of the angles, that is what keeps a
// blade of either angle out of the other piece.

// nests says that some ends in this bar may overlap. Where first cuts part a bar
// none do.
func (s *Stock) nests() bool {
	if s.parted() {
		return false
	}
	for _, a := range s.Slant {
		if a > 0 {
			return true
		}
	}
	return false
}

// slant is how far a cut of a kind reaches along the bar, 0 where it shares none.
func (s *Stock) slant(cut int) int64 {
	if s.parted() || cut >= len(s.Slant) {
		return 0
	}
	return s.Slant[cut]
}

func (s *Stock) plane(cut int) int {
	if cut >= len(s.Plane) {
		return 0
	}
	return s.Plane[cut]
}

// tip is one end of a piece as it lies.
type tip struct {
	cut int
	up  bool // the tip is on the upper edge
}

// ends are the tips of a piece as it lies.
func (p *Piece) ends(turned, rolled bool) (left, right tip) {
	left, right = tip{p.Left, p.LeftUp}, tip{p.Right, p.RightUp}
	switch {
	case turned && p.Turned != nil:
		left, right = tip{p.Turned.Left, p.Turned.LeftUp}, tip{p.Turned.Right, p.Turned.RightUp}
	case turned:
		left, right = right, left
	}
	left.up, right.up = left.up != rolled, right.up != rolled
	return left, right
}

// cuts lists the kinds of cut that the ends can be of, each once.
func (p *Piece) cuts() []int {
	list := []int{p.Left, p.Right}
	if p.Turned != nil {
		list = append(list, p.Turned.Left, p.Turned.Right)
	}
	slices.Sort(list)
	return slices.Compact(list)
}

// between is what lies between a right and a left end that meet; it is negative
// where they overlap by more than the kerf.
func (s *Stock) between(right, left tip) int64 {
	k := max(s.Kerf[right.cut], s.Kerf[left.cut])
	if right.up != left.up && s.plane(right.cut) == s.plane(left.cut) {
		k -= min(s.slant(right.cut), s.slant(left.cut))
	}
	return k
}

// turns says that the piece may lie with its ends exchanged, rolled or not.
func (p *Piece) turns() bool { return p.Turn || p.Spin }

// lies lists the ways in which the piece may lie in a bar, as {turned, rolled}.
func (p *Piece) lies() [][2]bool {
	ways := [][2]bool{{false, false}}
	if p.Turn {
		ways = append(ways, [2]bool{true, false})
	}
	if p.Roll {
		ways = append(ways, [2]bool{false, true})
	}
	if p.Spin || p.Turn && p.Roll {
		ways = append(ways, [2]bool{true, true})
	}
	return ways
}

// Lies lists the ends of the piece in every way in which it may lie in a bar, first
// as it is listed.
func (p Piece) Lies() []Ends {
	var list []Ends
	for _, way := range p.lies() {
		l, r := p.ends(way[0], way[1])
		list = append(list, Ends{l.cut, r.cut, l.up, r.up})
	}
	return list
}

// charge is what an end of a kind is charged for its joint: twice any joint is at
// least the charges of the two ends. It is the kerf less the longest overlap with
// any end that it can meet.
type charge struct {
	kerf, slant int64
}

func (a charge) least() int64 { return a.kerf - a.slant }

// charges of all cut kinds in a bar, for the pieces of a model.
func (m *model) charges(s *Stock) []charge {
	list := make([]charge, len(s.Kerf))
	for c, k := range s.Kerf {
		list[c].kerf = k
	}
	if !s.nests() {
		return list
	}
	type meeting struct {
		cut   int
		up    bool
		right bool
	}
	ends := map[meeting]int64{} // copies that can have such an end, at most 2
	for _, it := range m.items {
		p := &m.problem.Pieces[it.piece]
		for _, way := range p.lies() {
			l, r := p.ends(way[0], way[1])
			for _, e := range []meeting{{l.cut, l.up, false}, {r.cut, r.up, true}} {
				ends[e] = min(2, ends[e]+it.demand)
			}
		}
	}
	copies := make([]int64, len(s.Kerf)) // with an end of the kind
	for _, it := range m.items {
		p := &m.problem.Pieces[it.piece]
		for _, c := range p.cuts() {
			copies[c] = min(2, copies[c]+it.demand)
		}
	}
	for a := range ends {
		for b := range ends {
			if !a.right || b.right || a.up == b.up || s.plane(a.cut) != s.plane(b.cut) {
				continue
			}
			if a.cut == b.cut && copies[a.cut] < 2 {
				continue // a piece does not meet itself
			}
			gain := min(s.slant(a.cut), s.slant(b.cut))
			list[a.cut].slant = max(list[a.cut].slant, gain)
			list[b.cut].slant = max(list[b.cut].slant, gain)
		}
	}
	return list
}

// chains says that every content of the bar can be put in an order in which all
// joints are the same: all slants are of one kind, and every piece may be rolled
// so that it goes on from the one before it.
func (m *model) chains(s *Stock) bool {
	if !s.nests() || len(m.items) == 0 {
		return false
	}
	first := &m.problem.Pieces[m.items[0].piece]
	for _, it := range m.items {
		p := &m.problem.Pieces[it.piece]
		for _, c := range p.cuts() {
			if s.Kerf[c] != s.Kerf[first.Left] || s.slant(c) != s.slant(first.Left) || s.plane(c) != s.plane(first.Left) {
				return false
			}
		}
		if !p.Roll {
			return false
		}
	}
	return true
}

// apart is the length of bar that all copies of an item take at least, kerfs not
// counted: half of what either end can overlap belongs to the neighbour.
func (m *model) apart(i int) int64 {
	q := &m.problem.Pieces[m.items[i].piece]
	var over int64
	for b := range m.bars {
		s := &m.problem.Stocks[m.bars[b].stock]
		over = max(over, s.slant(q.Left)+s.slant(q.Right))
	}
	return m.items[i].demand*q.Length - m.items[i].demand*over/2
}

// consumed says that the slants of a piece leave nothing of one of its edges, and
// so pieces might overlap that are not neighbours. Slants in two planes meet at the
// corner that both tips lie away from.
func (s *Stock) consumed(q *Piece) bool {
	l, r := s.slant(q.Left), s.slant(q.Right)
	if q.LeftUp == q.RightUp || s.plane(q.Left) != s.plane(q.Right) {
		return l+r > 0 && q.Length <= l+r
	}
	return max(l, r) > 0 && q.Length <= max(l, r)
}
