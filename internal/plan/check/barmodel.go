package check

import (
	"math"
	"slices"

	"sawbill/internal/job"
	"sawbill/internal/length"
	"sawbill/internal/section"
)

// barKind is a kind of piece as the saw knows it. Its weight is in doubled
// units: 2·length + left kerf + right kerf.
type barKind struct {
	length              length.Length
	left, right         int64
	leftFace, rightFace section.Face
	cuts                ends
	// charge is the most that each end counts for however the piece lies, the cut less
	// what it can overlap; whole is the least of the cut and that.
	charge, whole ends
	class         int // index into barModel.classes
	weight        int64
	number        int64
}

// piece is one of the kind.
func (k *barKind) piece() *job.Piece {
	return &job.Piece{Length: k.length, Left: k.left, Right: k.right, LeftFace: k.leftFace, RightFace: k.rightFace}
}

// has says that a piece is of the kind.
func (k *barKind) has(p *job.Piece) bool {
	return k.length == p.Length && k.left == p.Left && k.right == p.Right && k.leftFace == p.LeftFace && k.rightFace == p.RightFace
}

// barStock is an offer's bar in doubled units, as a knapsack. What is sold out
// holds nothing.
type barStock struct {
	offer    int
	capacity int64
	usable   length.Length // between the trims and the tail
	able     []bool        // per kind: fits into the bar alone
	// model has the cuts that count in this bar: the material's own, or one in
	// which none is wider than the first cuts of a bar that is parted at the yard.
	model *barModel
}

// barModel relaxes the geometry of bars to a knapsack. A joint takes at least
// the mean of the two cuts that could make it, so, with the highest and the
// lowest cut of the material,
//
//	Σ (2·length + left + right) ≤ 2·usable + 2·highest         no tail
//	                            ≤ 2·usable + highest − lowest  with a tail
//
// since the outermost two ends share no joint, and with a tail the last cut is
// made in full. Where all cuts are equal that is no relaxation. Where mitres share
// cuts, left and right are the cut less the most that the end can overlap, the
// highest is of those, and the lowest of the cut and the overlap together.
//
// In a bar that may be parted at the yard a first cut stands in place of some
// joints. The same holds for it with every cut held to the width of the first
// cuts; that the parts must be short enough to carry is left out.
type barModel struct {
	kinds  []barKind
	stocks []barStock
	tail   bool
	square bool  // all joints equal: the knapsack is exact
	nest   *nest // where mitres share cuts, else nil

	classes []ends
	orders  map[[16]byte]length.Length // what joints answered, by counts of the classes
	loose   bool                       // need was below what the best order takes, or may have been
}

func (a *audit) barModel(m *material) *barModel {
	kerf, tail := m.process.Kerf, m.process.Tail
	b := &barModel{tail: tail > 0, orders: map[[16]byte]length.Length{}}
	type shape struct {
		length              length.Length
		left, right         int64
		leftFace, rightFace section.Face
	}
	met := map[shape]int{}
	var high, low length.Length
	for _, p := range a.job.Pieces {
		if p.Material != m.index {
			continue
		}
		l, r := cutLength(kerf, p.Left), cutLength(kerf, p.Right)
		if len(met) == 0 {
			low = l
		}
		high, low = max(high, l, r), min(low, l, r)
		s := shape{p.Length, p.Left, p.Right, p.LeftFace, p.RightFace}
		k, known := met[s]
		if !known {
			k = len(b.kinds)
			met[s] = k
			class := slices.Index(b.classes, ends{l, r})
			if class < 0 {
				class = len(b.classes)
				b.classes = append(b.classes, ends{l, r})
			}
			b.kinds = append(b.kinds, barKind{
				length: p.Length, left: p.Left, right: p.Right, leftFace: p.LeftFace, rightFace: p.RightFace,
				cuts: ends{l, r}, class: class, weight: int64(2*p.Length + l + r),
			})
		}
		b.kinds[k].number += p.Quantity
	}
	b.square = high == low
	for i := range b.kinds {
		b.kinds[i].charge, b.kinds[i].whole = b.kinds[i].cuts, b.kinds[i].cuts
	}
	if a.nests(m) {
		b.share(a.nestOf(m, b.kinds, math.MaxInt64))
	}
	for _, o := range m.offers {
		b.stocks = append(b.stocks, a.barStock(m, b, o))
	}
	return b
}

func (a *audit) barStock(m *material, b *barModel, offer int) barStock {
	o := &a.job.Offers[offer]
	s := barStock{offer: offer, model: b, able: make([]bool, len(b.kinds))}
	s.usable = o.Length - m.process.TrimLeft - m.process.TrimRight - m.process.Tail
	if !a.sold(o) {
		return s
	}
	if a.mayPart(m, o) {
		s.model = b.heldTo(a.firstKerf(m, o))
		if b.nest != nil {
			s.model.share(a.nestOf(m, b.kinds, a.firstKerf(m, o)))
		}
	}
	var high, low length.Length
	for i, k := range s.model.kinds {
		if i == 0 {
			high, low = k.charge[0], k.whole[0]
		}
		high, low = max(high, k.charge[0], k.charge[1]), min(low, k.whole[0], k.whole[1])
		s.able[i] = m.holdsPiece(k.piece(), o, a.mustCarry(o), a.turns(m))
	}
	s.capacity = int64(2*s.usable + 2*high)
	if b.tail {
		s.capacity = int64(2*s.usable + high - low)
	}
	return s
}

// share charges the ends of the kinds with what their mitres can share.
func (b *barModel) share(n *nest) {
	b.nest, b.square = n, len(b.kinds) > 0 && n.even()
	for i := range b.kinds {
		k := &b.kinds[i]
		best := length.Length(math.MaxInt64)
		for w, way := range n.classes[n.of[i]] {
			charge, whole := n.charges(way)
			if w == 0 {
				k.charge, k.whole = charge, whole
			}
			for e := range charge {
				k.charge[e], k.whole[e] = max(k.charge[e], charge[e]), min(k.whole[e], whole[e])
			}
			best = min(best, charge[0]+charge[1])
		}
		k.weight = int64(2*k.length + best)
	}
}

// optimistic reports whether something may seem to fit that does not.
func (b *barModel) optimistic() bool {
	return b.loose || slices.ContainsFunc(b.stocks, func(s barStock) bool { return s.model.loose })
}

// heldTo is the model with no cut wider than a limit.
func (b *barModel) heldTo(limit length.Length) *barModel {
	h := &barModel{tail: b.tail, square: true, loose: true, orders: map[[16]byte]length.Length{}}
	held := func(e ends) ends { return ends{min(e[0], limit), min(e[1], limit)} }
	for _, c := range b.classes {
		h.classes = append(h.classes, held(c))
	}
	for _, k := range b.kinds {
		k.cuts = held(k.cuts)
		k.charge, k.whole = k.cuts, k.cuts
		k.weight = int64(2*k.length + k.cuts[0] + k.cuts[1])
		h.kinds = append(h.kinds, k)
		first := h.kinds[0].cuts[0]
		h.square = h.square && k.cuts == ends{first, first}
	}
	return h
}
