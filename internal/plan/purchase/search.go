package purchase

import (
	"cmp"
	"container/heap"
	"context"
	"fmt"
	"math"
	"slices"

	"sawbill/solver"
)

// Solve finds the cheapest purchase it can and a bound that no purchase beats.
// Equal input and options give an equal result unless ctx ended.
func Solve(ctx context.Context, p *Problem, o Options) Result {
	s := &search{p: p, o: o, ctx: ctx, known: make([]known, len(p.Materials)), covers: make([][]Cover, len(p.Materials))}
	for i := range p.Materials {
		s.covers[i] = slices.Clone(p.Materials[i].Covers)
	}
	for i := range o.Starts {
		s.begin(&o.Starts[i])
	}
	s.explore()
	bound := s.run(nil, everyone, o.Work)
	r := Result{Best: s.best, Bound: bound, Covers: s.covers, Struck: s.struck, Ended: s.ended}
	if s.best != nil {
		r.Bound = min(bound, s.best.Total)
	}
	r.Impossible = s.best == nil && bound == noBound
	for i := range s.known {
		r.Shortages = append(r.Shortages, s.known[i].short...)
	}
	return r
}

// search is the branch and bound, and what it has learnt.
type search struct {
	p      *Problem
	o      Options
	ctx    context.Context
	best   *Choice
	covers [][]Cover
	known  []known
	begun  map[string]bool
	packs  int
	struck bool
	ended  bool
}

// node is one change of a column's bounds from its parent's.
type node struct {
	parent       *node
	column       int
	lower, upper int64
	bound        int64
	number       int
	basis        *solver.Basis
}

// open nodes: the least bound first, among equals the newest.
type open []*node

func (q open) Len() int { return len(q) }
func (q open) Less(a, b int) bool {
	if c := cmp.Compare(q[a].bound, q[b].bound); c != 0 {
		return c < 0
	}
	return q[a].number > q[b].number
}
func (q open) Swap(a, b int) { q[a], q[b] = q[b], q[a] }
func (q *open) Push(x any)   { *q = append(*q, x.(*node)) }
func (q *open) Pop() any {
	x := (*q)[len(*q)-1]
	*q = (*q)[:len(*q)-1]
	return x
}

// sureNodes limit the search for the purchase that completes a start.
const sureNodes = 500

// Complete finds the cheapest purchase for counts that are known to suffice, nil
// if the search ends without one.
func Complete(ctx context.Context, p *Problem, start Start, e solver.Engine) *Choice {
	s := &search{p: p, o: Options{Engine: e}, ctx: ctx, known: make([]known, len(p.Materials)), covers: make([][]Cover, len(p.Materials))}
	s.begin(&start)
	return s.best
}

// begin completes a start, whose counts suffice, to the cheapest purchase.
func (s *search) begin(start *Start) {
	key := fmt.Sprint(start.Counts, start.Pieces)
	if s.begun[key] {
		return
	}
	if s.begun == nil {
		s.begun = map[string]bool{}
	}
	s.begun[key] = true
	for i := range start.Counts {
		a := &s.p.Materials[i]
		for g := range start.Pieces[i] {
			own := a.own(g, start.Counts[i])
			s.known[i].packed = append(s.known[i].packed, Shortage{i, g, own, start.Pieces[i][g]})
		}
	}
	s.run(start, everyone, 0)
}

// exploring is the part of the work that goes into searches without one supplier.
const exploring = 16

// explore searches for a while without each supplier in turn, for better
// purchases than the starts.
func (s *search) explore() {
	var met []int
	for _, o := range s.p.Orders {
		if !slices.Contains(met, o.Supplier) {
			met = append(met, o.Supplier)
		}
	}
	if len(met) < 3 {
		return
	}
	struck := s.struck
	for _, without := range met {
		s.run(nil, without, s.o.Work/exploring)
	}
	s.struck = struck
}

// everyone is no supplier to be without.
const everyone = -1

// run searches below the box that start fixes, all of it without one, but for
// the orders of one supplier, and returns the least bound left open: noBound
// when nothing cheaper is possible there.
func (s *search) run(start *Start, without int, limit int64) int64 {
	penalty := s.p.dearest() + 1
	if s.best != nil {
		penalty = s.best.Total + 1
	}
	p := *s.p
	p.Materials = slices.Clone(p.Materials)
	for i := range p.Materials {
		p.Materials[i].Covers = s.covers[i]
	}
	t := &tree{search: s, m: newProgramme(&p, s.o.Engine, penalty), start: start, part: start != nil || without != everyone, left: noBound}
	defer t.m.lp.Close()
	t.root = box{make([]int64, len(t.m.columns)), make([]int64, len(t.m.columns))}
	for j, c := range t.m.columns {
		t.root.lower[j], t.root.upper[j] = c.lower, c.upper
	}
	for o, j := range t.m.placed {
		if s.p.Orders[o].Supplier == without {
			t.root.upper[j] = 0
		}
	}
	if start != nil {
		t.fix(start)
		limit = sureNodes * t.size()
	}
	heap.Push(&t.open, &node{column: -1})
	return t.run(limit)
}

// tree is one run of branch and bound.
type tree struct {
	*search
	m     *programme
	start *Start // what is fixed and known to suffice
	part  bool   // not all purchases are looked at
	root  box
	at    box
	open  open
	next  *node
	nodes int
	work  int64
	made  int
	left  int64 // the least bound of a node given up
	floor int64
}

// fix sets the counts and pieces to those of the start.
func (t *tree) fix(s *Start) {
	for i := range s.Counts {
		for k, n := range s.Counts[i] {
			t.root.lower[t.m.counts[i][k]], t.root.upper[t.m.counts[i][k]] = n, n
		}
		for g := range s.Pieces[i] {
			for c, n := range s.Pieces[i][g] {
				t.root.lower[t.m.pieces[i][g][c]], t.root.upper[t.m.pieces[i][g][c]] = n, n
			}
		}
	}
}

func (t *tree) target() int64 {
	if t.best == nil {
		return t.m.penalty
	}
	return t.best.Total
}

// size is what a node counts for.
func (t *tree) size() int64 { return int64(len(t.m.rows) + len(t.m.columns)) }

func (t *tree) run(limit int64) int64 {
	for t.open.Len() > 0 || t.next != nil {
		// A child is looked at next, as far down as it goes, which finds whole
		// points; then the node of least bound.
		n := t.next
		t.next = nil
		if n == nil {
			if n = heap.Pop(&t.open).(*node); n.bound >= t.target() {
				break
			}
		} else if n.bound >= t.target() {
			continue
		}
		if t.ctx.Err() != nil || t.work >= limit {
			t.ended = t.ended || t.ctx.Err() != nil
			t.struck = t.struck || t.start == nil
			t.giveUp(n.bound)
			for _, o := range t.open {
				t.giveUp(o.bound)
			}
			break
		}
		t.nodes++
		t.work += t.size()
		t.enter(n)
		t.look(n)
		t.report()
	}
	if t.left >= t.target() {
		return noBound
	}
	return t.left
}

func (t *tree) giveUp(bound int64) { t.left = min(t.left, bound) }

// report tells how far the search is: no purchase is below the least bound of what is
// still to be looked at.
func (t *tree) report() {
	if t.part || t.o.Progress == nil {
		return
	}
	bound := min(t.left, t.target())
	if t.next != nil {
		bound = min(bound, t.next.bound)
	}
	if len(t.open) > 0 {
		bound = min(bound, t.open[0].bound)
	}
	if bound == noBound || bound <= t.floor && t.nodes > 1 {
		return
	}
	t.floor = max(t.floor, bound)
	total := int64(0)
	if t.best != nil {
		total = t.best.Total
	}
	t.o.Progress(total, t.floor, t.best != nil)
}

// enter sets the columns' bounds to those of a node.
func (t *tree) enter(n *node) {
	grow := len(t.m.columns) - len(t.root.lower)
	for j := len(t.m.columns) - grow; j < len(t.m.columns); j++ {
		t.root.lower, t.root.upper = append(t.root.lower, t.m.columns[j].lower), append(t.root.upper, t.m.columns[j].upper)
	}
	t.at = box{slices.Clone(t.root.lower), slices.Clone(t.root.upper)}
	for a := n; a != nil; a = a.parent {
		if a.column >= 0 {
			t.at.lower[a.column], t.at.upper[a.column] = max(t.at.lower[a.column], a.lower), min(t.at.upper[a.column], a.upper)
		}
	}
	for j := range t.at.lower {
		t.m.lp.SetColumnBounds(j, float64(t.at.lower[j]), float64(t.at.upper[j]))
	}
}

// whole is how near to an integer a value must be to be read as one.
const whole = 1e-6

// look solves a node's programme and divides the node, or has its point
// judged.
func (t *tree) look(n *node) {
	for {
		if n.basis != nil {
			t.m.lp.SetBasis(*n.basis)
		}
		status := t.m.lp.Solve(t.ctx, 0)
		if status != solver.Optimal {
			t.ended = t.ended || t.ctx.Err() != nil
			t.struck = true
			t.giveUp(n.bound)
			return
		}
		basis := t.m.lp.Basis()
		n.basis = &basis
		n.bound = max(n.bound, t.m.bound(t.m.lp.Dual(nil), &t.at))
		if n.bound >= t.target() {
			return
		}
		x := t.m.lp.Primal(nil)
		if j := t.fractional(x); j >= 0 {
			t.divide(n, j, x[j])
			return
		}
		if !t.judge(n, x) {
			return
		}
		t.enter(n) // a cover was added: the same node again
	}
}

// divide parts a node below and above a value. The side that the value is
// nearer to is looked at next.
func (t *tree) divide(n *node, j int, value float64) {
	floor := min(max(int64(math.Floor(value)), t.at.lower[j]), t.at.upper[j]-1)
	below, above := t.make(n, j, t.at.lower[j], floor), t.make(n, j, floor+1, t.at.upper[j])
	if value-float64(floor) >= 0.5 {
		below, above = above, below
	}
	t.next = below
	heap.Push(&t.open, above)
}

func (t *tree) make(n *node, j int, lower, upper int64) *node {
	t.made++
	return &node{parent: n, column: j, lower: lower, upper: upper, bound: n.bound, number: t.made, basis: n.basis}
}

// child queues a part of a node, unless it is empty.
func (t *tree) child(n *node, j int, lower, upper int64) {
	if lower <= upper {
		heap.Push(&t.open, t.make(n, j, lower, upper))
	}
}

// fractional is the column to branch on: of the first rank with a fraction, the
// one nearest to a half; -1 when the point is whole.
func (t *tree) fractional(x []float64) int {
	best, rank, most := -1, ranks, 0.0
	for j, c := range t.m.columns {
		if c.rank == never || c.rank > rank {
			continue
		}
		f := x[j] - math.Floor(x[j])
		f = min(f, 1-f)
		if f <= whole {
			continue
		}
		if c.rank < rank || f > most {
			best, rank, most = j, c.rank, f
		}
	}
	return best
}

// judge puts a whole point to the oracles. It is true when the programme has
// changed so that the node must be solved again.
func (t *tree) judge(n *node, x []float64) bool {
	c := t.read(x)
	used := &Start{Pieces: c.Pieces}
	fewer := false
	for i := range t.p.Materials {
		counts := slices.Clone(c.Counts[i])
		used.Counts = append(used.Counts, counts)
		if c.Marks[i] > 0 || t.start != nil {
			continue
		}
		for g := range c.Pieces[i] {
			fit, cover, why := t.pack(i, g, c.Counts[i], c.Pieces[i][g])
			if fit == Packed {
				for k := range counts {
					if t.p.Materials[i].Kinds[k].Group == g {
						fewer = fewer || why.Counts[k] < counts[k]
						counts[k] = why.Counts[k]
					}
				}
				continue
			}
			if cover != nil {
				t.covers[i] = append(t.covers[i], *cover)
				t.m.cover(i, cover)
				return true
			}
			if fit == Unknown {
				t.struck = true
				t.giveUp(n.bound)
			}
			t.more(n, i, g, why)
			return false
		}
	}
	stands := t.take(c)
	if fewer {
		t.begin(used)
	}
	if !stands || c.Total > n.bound {
		// Not the optimum of its box as far as is proved in integers: what may be
		// cheaper in the box is still open.
		if j := t.widest(); j >= 0 {
			t.divide(n, j, x[j])
		}
	}
	return false
}

// widest is the column whose bounds lie farthest apart, -1 if all are fixed.
func (t *tree) widest() int {
	best := -1
	for j, c := range t.m.columns {
		if c.rank != never && t.at.upper[j] > t.at.lower[j] && (best < 0 || t.at.upper[j]-t.at.lower[j] > t.at.upper[best]-t.at.lower[best]) {
			best = j
		}
	}
	return best
}

// more divides a node whose counts do not suffice for its pieces: what suffices
// has more of a kind or fewer of a piece.
func (t *tree) more(n *node, i, g int, s Shortage) {
	at := n
	for k := range t.p.Materials[i].Kinds {
		if t.p.Materials[i].Kinds[k].Group != g {
			continue
		}
		j := t.m.counts[i][k]
		t.child(at, j, max(t.at.lower[j], s.Counts[k]+1), t.at.upper[j])
		if s.Counts[k] < t.at.upper[j] {
			at = &node{parent: at, column: j, lower: t.at.lower[j], upper: s.Counts[k], bound: n.bound, basis: n.basis}
		}
	}
	if len(t.p.Materials[i].Groups) == 1 {
		for _, j := range t.m.marks[i] {
			t.child(at, j, max(1, t.at.lower[j]), t.at.upper[j])
			at = &node{parent: at, column: j, lower: t.at.lower[j], upper: 0, bound: n.bound, basis: n.basis}
		}
		return
	}
	for c := range t.p.Materials[i].Demand {
		j := t.m.pieces[i][g][c]
		if s.Pieces[c] == 0 {
			continue
		}
		t.child(at, j, t.at.lower[j], min(t.at.upper[j], s.Pieces[c]-1))
		if s.Pieces[c] > t.at.lower[j] {
			at = &node{parent: at, column: j, lower: s.Pieces[c], upper: t.at.upper[j], bound: n.bound, basis: n.basis}
		}
	}
}

// read makes a choice of a whole point.
func (t *tree) read(x []float64) *Choice {
	c := &Choice{}
	at := func(j int) int64 { return int64(math.Round(x[j])) }
	for _, j := range t.m.placed {
		c.Placed = append(c.Placed, at(j) > 0)
	}
	for f, packs := range t.m.packs {
		var n int64
		for _, j := range packs {
			n += at(j) * t.p.Offers[f].Pack
		}
		c.Bought = append(c.Bought, n)
	}
	for i := range t.p.Materials {
		taken := 0
		for w, j := range t.m.marks[i] {
			if at(j) > 0 {
				taken = w + 1
			}
		}
		c.Marks = append(c.Marks, taken)
		counts := make([]int64, len(t.m.counts[i]))
		for k, j := range t.m.counts[i] {
			counts[k] = at(j)
		}
		c.Counts = append(c.Counts, counts)
		var pieces [][]int64
		for g := range t.m.pieces[i] {
			list := make([]int64, len(t.p.Materials[i].Demand))
			for d, j := range t.m.pieces[i][g] {
				list[d] = at(j)
			}
			pieces = append(pieces, list)
		}
		c.Pieces = append(c.Pieces, pieces)
	}
	return c
}

// take keeps a choice if it is cheaper than the best, and says whether it stands.
func (t *tree) take(c *Choice) bool {
	if !t.p.settle(c) {
		return false
	}
	if t.best == nil || c.Total < t.best.Total {
		t.best = c
		if !t.part && t.o.Progress != nil {
			t.o.Progress(c.Total, t.floor, true)
		}
	}
	return true
}

// known is what the oracle of a material has said.
type known struct {
	packed  []Shortage
	short   []Shortage
	unknown []Shortage
}

// pack answers from what is known, else asks.
func (t *tree) pack(i, g int, counts, pieces []int64) (Fit, *Cover, Shortage) {
	a := &t.p.Materials[i]
	own := a.own(g, counts)
	q := Shortage{Material: i, Group: g, Counts: own, Pieces: slices.Clone(pieces)}
	w := &t.known[i]
	if !slices.ContainsFunc(pieces, func(n int64) bool { return n > 0 }) {
		return Packed, nil, q
	}
	for _, k := range w.packed {
		if k.Group == g && covers(q.Counts, k.Counts) && slices.Equal(k.Pieces, q.Pieces) {
			return Packed, nil, k
		}
	}
	for _, k := range w.short {
		if k.Group == g && covers(k.Counts, q.Counts) && covers(q.Pieces, k.Pieces) {
			return Short, nil, k
		}
	}
	for c := range t.covers[i] {
		if t.covers[i][c].forbids(a, g, own, pieces) {
			return Short, nil, q
		}
	}
	for _, k := range w.unknown {
		if k.Group == g && covers(k.Counts, q.Counts) && covers(q.Pieces, k.Pieces) {
			return Unknown, nil, k
		}
	}
	if t.packs >= t.o.Packs || t.ctx.Err() != nil {
		t.struck, t.ended = true, t.ended || t.ctx.Err() != nil
		return Unknown, nil, q
	}
	t.packs++
	answer := a.Oracle.Pack(t.ctx, own, pieces)
	switch answer.Fit {
	case Packed:
		if covers(own, answer.Used) {
			q.Counts = answer.Used
		}
		w.packed = append(w.packed, q)
		return Packed, nil, q
	case Short:
		for c := range answer.Covers {
			if answer.Covers[c].forbids(a, g, own, pieces) {
				return Short, &answer.Covers[c], q
			}
		}
		w.short = append(w.short, q)
		return Short, nil, q
	}
	if t.ctx.Err() == nil {
		w.unknown = append(w.unknown, q)
	}
	return Unknown, nil, q
}

// own are the counts of the kinds of one group.
func (a *Material) own(g int, counts []int64) []int64 {
	own := make([]int64, len(counts))
	for k := range own {
		if a.Kinds[k].Group == g {
			own[k] = counts[k]
		}
	}
	return own
}

// covers says a ≥ b in every place.
func covers(a, b []int64) bool {
	for i := range b {
		if a[i] < b[i] {
			return false
		}
	}
	return true
}
