package nest2d

import (
	"context"
	"fmt"
	"slices"
)

// Lesser aims
//
// Among plans of least cost others are sought, in an order that the caller gives. Ruin
// and recreate wanders through complete drafts of that cost and keeps to those that
// are no worse in the aims together, the first that differs deciding. Boards that hold
// the same panels are cut alike. A further move cuts one more board as another is cut,
// of panels from two boards, which makes layouts fewer.
//
// What is known of the values is little: see aimBounds.

// Aim is what a plan is to have beside the least cost.
type Aim int

const (
	FewestSheets Aim = iota
	// LargestOffcut is the area of the largest single rectangle of waste.
	LargestOffcut
	// LargestStrip is the same of those that run from edge to edge of the trimmed sheet.
	LargestStrip
	// FewestLayouts counts the different ways in which sheets are cut.
	FewestLayouts
	// FewestCuts counts all cuts, trims included.
	FewestCuts
	aims
)

// aimed are the values of a draft by aim.
type aimed [aims]int64

// boardAims are those of one board.
type boardAims struct {
	content             string // kind and panels
	offcut, strip, cuts int64
}

// better tells that values a beat b, in the order of the aims.
func better(order []Aim, a, b aimed) (is, equal bool) {
	for _, aim := range order {
		if x, y := a[aim], b[aim]; x != y {
			if aim == LargestOffcut || aim == LargestStrip {
				x, y = y, x
			}
			return x < y, false
		}
	}
	return false, true
}

// A wander is the search for better values under way.
type wander struct {
	*search
	order []Aim
	known map[*board]*boardAims
}

// board works out the values of one board, once.
func (w *wander) board(b *board) *boardAims {
	if a := w.known[b]; a != nil {
		return a
	}
	w.work += 30 * b.extent()
	l := w.m.layout(b)
	counts := make([]int, len(w.m.problem.Panels))
	for panel := range b.each {
		if !w.m.isOffcut(panel) {
			counts[panel]++
		}
	}
	a := &boardAims{content: fmt.Sprint(b.kind, counts)}
	if l.Tree != nil {
		s := w.m.problem.Sheets[b.kind]
		a.offcut, a.strip, a.cuts = largestWaste(l.Tree), longestWaste(l.Tree), countCuts(l.Tree)
		for _, trim := range []int64{s.TrimLeft, s.TrimRight, s.TrimBottom, s.TrimTop} {
			a.cuts += min(trim, 1)
		}
	}
	w.known[b] = a
	return a
}

// values are those of a draft whose boards of equal content are cut alike.
func (w *wander) values(d *draft) aimed {
	var v aimed
	contents := map[string]bool{}
	for _, b := range d.boards {
		if b.empty() {
			continue
		}
		a := w.board(b)
		v[FewestSheets]++
		contents[a.content] = true
		v[LargestOffcut], v[LargestStrip] = max(v[LargestOffcut], a.offcut), max(v[LargestStrip], a.strip)
		v[FewestCuts] += a.cuts
	}
	v[FewestLayouts] = int64(len(contents))
	return v
}

// alike cuts boards of equal content as the first of them that is best in the order.
func (w *wander) alike(d *draft) {
	first := map[string]*board{}
	for _, b := range d.boards {
		if b.empty() {
			continue
		}
		a := w.board(b)
		c := first[a.content]
		if c == nil {
			first[a.content] = b
			continue
		}
		x, y := *a, *w.board(c)
		values := func(a boardAims) aimed {
			return aimed{LargestOffcut: a.offcut, LargestStrip: a.strip, FewestCuts: a.cuts}
		}
		if is, _ := better(w.order, values(x), values(y)); is {
			first[a.content] = b
		}
	}
	for i, b := range d.boards {
		if !b.empty() {
			d.boards[i] = first[w.board(b).content]
		}
	}
}

// seek wanders from the best draft, and leaves the best it met.
func (r *run) seek(ctx context.Context, order []Aim, work int64) {
	w := &wander{search: r.search, order: order, known: map[*board]*boardAims{}}
	pool := w.pool
	w.pool = nil // boards are known by their addresses
	defer func() { w.pool = pool }()
	current, next := &draft{}, &draft{}
	current.copyFrom(r.best)
	w.alike(current)
	now := w.values(current)
	best, most := &draft{}, now
	best.copyFrom(current)
	end := w.work + work
	w.halted = func() bool { return w.work > end+mostOverrun || ctx.Err() != nil }
	iterations := 0
	for ; w.work < end && ctx.Err() == nil && len(current.boards) > 0; iterations++ {
		w.work += int64(10*len(current.boards)) + 100
		next.copyFrom(current)
		w.notFresh(next)
		if w.random.IntN(4) == 0 {
			if !w.repeat(next) {
				continue
			}
		} else {
			w.ruin(next, 1+w.random.IntN(mostRuin))
		}
		w.shuffle(next.missing)
		w.recreate(next, w.anyRule(), blinkOdds, func(*draft, int32) int { return -1 })
		if next.lack > 0 {
			continue
		}
		w.dropEmpty(next)
		w.alike(next)
		v := w.values(next)
		is, equal := better(order, v, now)
		if is || equal || next.cost < current.cost {
			current, next, now = next, current, v
			if is, _ := better(order, now, most); is || current.cost < best.cost {
				most = now
				best.copyFrom(current)
			}
		}
		if len(w.known) > mostKnown {
			w.known = map[*board]*boardAims{}
		}
	}
	r.result.Work.Iterations += int64(iterations)
	r.best = best
	if ctx.Err() != nil {
		r.result.Struck = TimeLimit
	}
}

// mostKnown is the number of boards whose values are remembered.
const mostKnown = 1 << 14

// repeat clears two boards and cuts one of them as a third is cut, if they hold the
// panels for it; the rest is missing.
func (w *wander) repeat(d *draft) bool {
	n := len(d.boards)
	if n < 2 {
		return false
	}
	model := d.boards[w.random.IntN(n)]
	i, k := w.random.IntN(n), w.random.IntN(n)
	if d.boards[i] == model || d.boards[i].kind != model.kind || w.board(d.boards[i]).content == w.board(model).content {
		return false
	}
	left := make([]int, len(w.m.problem.Panels))
	for _, b := range []*board{d.boards[i], d.boards[k]} {
		for panel := range b.each {
			left[panel]++
		}
		if i == k {
			break
		}
	}
	for panel := range model.each {
		if left[panel]--; left[panel] < 0 {
			return false
		}
	}
	same := &board{}
	same.copyFrom(model)
	d.boards[i], w.fresh[i] = same, true
	if k != i {
		empty := &board{}
		empty.reset(w.m, d.boards[k].kind)
		empty.measure(w.m)
		d.boards[k], w.fresh[k] = empty, true
	}
	for panel, n := range left {
		for range n {
			d.miss(w.m, int32(panel))
		}
	}
	return true
}

// longestWaste is the area of the largest waste from edge to edge of the whole.
func longestWaste(root *Node) int64 {
	largest := int64(0)
	var walk func(n *Node)
	walk = func(n *Node) {
		if n.Kind == Waste && (n.Length == root.Length || n.Width == root.Width) {
			largest = max(largest, n.Length*n.Width)
		}
		for _, c := range n.Children {
			walk(c)
		}
	}
	walk(root)
	return largest
}

// countCuts counts the cuts of a tree: one behind each part that does not reach to
// the far edge.
func countCuts(n *Node) int64 {
	cuts := int64(0)
	for _, c := range n.Children {
		if n.Cut == AlongLength && c.Y+c.Width < n.Y+n.Width || n.Cut == AlongWidth && c.X+c.Length < n.X+n.Length {
			cuts++
		}
		cuts += countCuts(c)
	}
	return cuts
}

// lesser sees to the aims after cost, in their order.
func (r *run) lesser(ctx context.Context) {
	order := r.options.Aims
	if order == nil || r.search.m.problem.Free {
		r.fewest(ctx)
		r.largestOffcut(ctx)
		return
	}
	done := 0
	if len(order) > 0 && order[0] == FewestSheets {
		r.fewest(ctx)
		done++
		if len(order) > 1 && order[1] == LargestOffcut {
			r.largestOffcut(ctx)
			done++
		}
	}
	if done < len(order) && r.unstripped() {
		r.seek(ctx, order, r.effort.offcut)
	}
	w := &wander{search: r.search, order: order, known: map[*board]*boardAims{}}
	w.alike(r.best)
	value, bound := w.values(r.best), r.aimBounds(order)
	for aim, g := range []*Goal{&r.result.Sheets, &r.result.Offcut, &r.result.Strip, &r.result.Different, &r.result.Cuts} {
		*g = goal(value[aim], bound[aim])
	}
}

// unstripped takes the strips off that hold room for an offcut, unless that makes the
// largest smaller.
func (r *run) unstripped() bool {
	d := &draft{}
	d.copyFrom(r.best)
	for i, b := range d.boards {
		d.boards[i] = b.without(r.search.m)
	}
	if r.search.m.offcut(d) < r.search.m.offcut(r.best) {
		return false
	}
	r.best = d
	return true
}

// aimBounds are values that no plan of the best one's cost beats that is as good in
// the aims before: every sheet but the last takes a panel more than it takes cuts.
func (r *run) aimBounds(order []Aim) aimed {
	m := r.search.m
	least := r.fewestBound()
	sheets := m.copies // at most
	for _, aim := range order {
		if aim == FewestSheets {
			sheets = int64(r.best.sheets)
		}
	}
	if m.bought() == 1 && m.kinds[0].price > 0 {
		sheets = min(sheets, r.best.cost/m.kinds[0].price)
	}
	largest := int64(0)
	for k := range m.kinds {
		if m.kinds[k].supply > 0 && m.kinds[k].price <= r.best.cost {
			largest = max(largest, m.kinds[k].area)
		}
	}
	bound := aimed{FewestSheets: least, LargestOffcut: largest, LargestStrip: largest, FewestLayouts: min(1, m.copies), FewestCuts: max(0, m.copies-sheets)}
	// What is left of all sheets counts where their number stands before.
	for i, aim := range order {
		if (aim == LargestOffcut || aim == LargestStrip) && slices.Contains(order[:i], FewestSheets) {
			bound[aim] = m.offcutBound(r.best)
		}
		if aim == FewestCuts && !slices.Contains(order[:i], FewestSheets) && !(m.bought() == 1 && m.kinds[0].price > 0) {
			bound[aim] = 0
		}
	}
	return bound
}
