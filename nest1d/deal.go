package nest1d

import (
	"cmp"
	"slices"
)

// deal is the search for a way to deal pieces out to the parts of a bar: depth
// first, the longest pieces first, as many as fit into the first part and so on,
// which makes the first way tried that of first-fit decreasing. What a part holds
// is measured by the knapsack that bar.relax describes, for each part; with one
// kerf it is exact, else the joints are worked out when all pieces are dealt.
type deal struct {
	s      *Stock
	pieces []Piece
	kinds  []dealt
	rest   []int64 // weight of all kinds from here on
	least  []int64 // lightest weight from here on
	room   []int64 // of each part, in weight
	load   []int64 // of each part, in weight
	all    int64   // room of all parts together, in weight
	gain   int64   // what each part with pieces adds to that
	used   int     // parts with pieces
	most   int     // parts that can have pieces
	exact  bool    // weights are
	nodes  int64
	budget int64
	ended  bool // the budget is used up
	unsure bool // a way was refused whose joints may be shorter in another order
}

// lot is a number of copies of a piece.
type lot struct {
	piece int
	count int64
}

// dealt are pieces that the saw cannot tell apart in this bar.
type dealt struct {
	lots        []lot
	length      int64
	left, right int64 // kerfs
	turn        bool
	count       int64
	weight      int64
	put         []int64 // into each part
}

// dealNodes is how much a deal may try.
const dealNodes = 4_000

func newDeal(s *Stock, pieces []Piece, lots []lot) *deal {
	d := &deal{s: s, pieces: pieces, budget: dealNodes}
	var low, high, count int64
	for n, l := range lots {
		k := newDealt(s, &pieces[l.piece], l)
		if n == 0 {
			low = k.left
		}
		low, high = min(low, k.left, k.right), max(high, k.left, k.right)
		count += l.count
		d.kinds = append(d.kinds, k)
	}
	slices.SortStableFunc(d.kinds, compareDealt)
	d.kinds = mergeDealt(d.kinds)
	d.exact = low == high
	d.gain = 2 * high
	if s.Tail > 0 {
		d.gain = high - low
	}
	// Of the inner parts no more matter than there are pieces.
	parts := int(min(int64(s.Parts), count+2))
	d.most = int(min(int64(parts), count))
	d.room, d.load = make([]int64, parts), make([]int64, parts)
	for j := range d.room {
		d.room[j] = 2*(min(s.Part, s.Length)-s.Tail) + d.gain
	}
	d.room[0] -= 2 * s.TrimLeft
	d.room[parts-1] -= 2 * s.TrimRight
	d.gain -= 2 * s.Tail
	d.all = 2 * (s.partsLength() - s.TrimLeft - s.TrimRight)
	n := len(d.kinds)
	d.rest, d.least = make([]int64, n+1), make([]int64, n+1)
	d.least[n] = limit
	for i := n - 1; i >= 0; i-- {
		k := &d.kinds[i]
		k.put = make([]int64, parts)
		d.rest[i] = d.rest[i+1] + k.weight*k.count
		d.least[i] = min(d.least[i+1], k.weight)
	}
	return d
}

func newDealt(s *Stock, q *Piece, l lot) dealt {
	k := dealt{lots: []lot{l}, length: q.Length, left: s.Kerf[q.Left], right: s.Kerf[q.Right], turn: q.turns(), count: l.count}
	if k.turn && k.left > k.right {
		k.left, k.right = k.right, k.left
	}
	k.turn = k.turn && k.left != k.right
	k.weight = 2*k.length + k.left + k.right
	return k
}

// compareDealt orders longest first and then by the cuts, so that a content is
// dealt out the same whichever of equal pieces it names.
func compareDealt(a, b dealt) int {
	c := cmp.Or(cmp.Compare(b.length, a.length), cmp.Compare(a.left, b.left), cmp.Compare(a.right, b.right))
	switch {
	case c != 0 || a.turn == b.turn:
		return c
	case b.turn:
		return -1
	}
	return 1
}

func mergeDealt(kinds []dealt) []dealt {
	out := kinds[:0]
	for _, k := range kinds {
		if n := len(out); n > 0 && compareDealt(out[n-1], k) == 0 {
			out[n-1].lots = append(out[n-1].lots, k.lots...)
			out[n-1].count += k.count
			continue
		}
		out = append(out, k)
	}
	return out
}

// solve says whether the pieces fit and whether a no is proved.
func (d *deal) solve() (fits, sure bool) {
	if max(d.s.TrimLeft, d.s.TrimRight) > d.s.Part || d.all < 0 {
		return false, true // there is no way to part the bar
	}
	fits = d.kind(0)
	return fits, !d.ended && !d.unsure
}

// kind deals out the kinds from i on.
func (d *deal) kind(i int) bool {
	parts := d.used
	if d.gain > 0 && i < len(d.kinds) {
		parts = d.most
	}
	if d.rest[0] > d.all+int64(parts)*d.gain {
		return false
	}
	if i == len(d.kinds) {
		return d.exact || d.joined()
	}
	var room int64
	for j := range d.room {
		if free := d.room[j] - d.load[j]; free >= d.least[i] {
			room += free
		}
	}
	return d.rest[i] <= room && d.copies(i, 0, d.kinds[i].count)
}

// copies puts left copies of kind i into the parts from j on.
func (d *deal) copies(i, j int, left int64) bool {
	if left == 0 {
		return d.kind(i + 1)
	}
	if d.nodes++; d.nodes > d.budget {
		d.ended = true
		return false
	}
	var all int64
	for h := j; h < len(d.room); h++ {
		all += d.take(i, h)
	}
	if all < left {
		return false
	}
	k := &d.kinds[i]
	most := min(left, d.take(i, j))
	if d.alike(i, j) {
		most = min(most, k.put[j-1])
	}
	for n := most; n >= 0; n-- {
		d.put(i, j, n)
		if d.copies(i, j+1, left-n) {
			return true
		}
		d.put(i, j, 0)
		if d.ended {
			return false
		}
	}
	return false
}

// take is how many copies of kind i part j has room for.
func (d *deal) take(i, j int) int64 {
	return max(0, d.room[j]-d.load[j]) / d.kinds[i].weight
}

func (d *deal) put(i, j int, n int64) {
	k := &d.kinds[i]
	if d.load[j] > 0 {
		d.used--
	}
	d.load[j] += (n - k.put[j]) * k.weight
	k.put[j] = n
	if d.load[j] > 0 {
		d.used++
	}
}

// alike says that part j and the one before it are both inner parts and held
// the same before kind i, so that the one before may be the one that gets more.
func (d *deal) alike(i, j int) bool {
	if j < 2 || j == len(d.room)-1 {
		return false
	}
	k := &d.kinds[i]
	before := d.load[j-1] - k.put[j-1]*k.weight
	return before == d.load[j] && (d.exact || before == 0)
}

// joined says whether the contents of all parts fit with the joints that they need.
func (d *deal) joined() bool {
	total, least := int64(0), true
	for j, content := range d.contents() {
		p := d.s.part(j, d.s.Part)
		length := p.TrimLeft + p.TrimRight
		if len(content) > 0 {
			d.nodes += orderNodes
			need, best := p.need(d.pieces, content)
			length += need + p.Tail
			least = least && best
		}
		if total += length; length > d.s.Part || total > d.s.partsLength() {
			d.unsure = d.unsure || !least
			return false
		}
	}
	return true
}

// contents lists the pieces of each part.
func (d *deal) contents() [][]int {
	out := make([][]int, d.s.Parts)
	for i := range d.kinds {
		k := &d.kinds[i]
		lots := slices.Clone(k.lots)
		for j, n := range k.put {
			if j == len(k.put)-1 {
				j = d.s.Parts - 1
			}
			for ; n > 0; n-- {
				if lots[0].count == 0 {
					lots = lots[1:]
				}
				lots[0].count--
				out[j] = append(out[j], lots[0].piece)
			}
		}
	}
	return out
}
