package knapsack

import (
	"container/heap"
	"math"
	"slices"
)

const (
	// mostRectangles is how many rectangles are held at a time.
	mostRectangles = 1 << 20
	// mostCopies is the largest limit on copies that is enumerated.
	mostCopies = math.MaxUint8
)

// enumerate settles the problem by targets that fall from the bound on.
func (b *bounded) enumerate() {
	if slices.Max(b.most) > mostCopies {
		return
	}
	// With stages limited this is more than can be cut around a rectangle, and so good too.
	r := b.valuer.recursion
	if r == nil {
		r = newRecursion(b.grid)
		defer func() { b.result.Work += r.work }()
	}
	r.run(b.priced(b.price))
	around := r.around(nil)
	gap := max(1, (b.result.Bound-b.result.Value)/64)
	for !b.done() {
		target := max(b.result.Bound-gap+1, b.result.Value+1)
		e := &enumeration{bounded: b, around: around, charge: b.charged(b.price), target: target, whole: b.p.usable(), byCounts: map[uint64][]int32{}}
		before := b.result.Value
		if !e.run() {
			return
		}
		if b.result.Value > before && b.result.Value >= target {
			b.result.Bound = b.result.Value
			return
		}
		b.result.Bound = target - 1
		gap *= 2
	}
}

// A rectangle is a set of panels laid out in least size.
type rectangle struct {
	size   size
	key    uint64 // of the counts
	priced int64
	value  int64
	bound  int64 // of layouts with it, in parts of a unit
	a, b   int32 // the parts side by side, or -1
	pose   int32
	axis   int8 // along which the parts lie, or -1 for a panel
	depth  int8 // of stages, where they are limited; 0 for a panel
	bare   bool // a panel of its full height is a part of the row itself
	gone   bool // another of the same panels takes less room
}

// An enumeration looks for layouts worth a target or more. A rectangle is taken
// up once, the one with the highest bound first, and joined with itself and all
// taken up before. Of rectangles with the same panels only those stay that take
// no more room than another; in a layout any may stand for a larger one.
type enumeration struct {
	*bounded
	around   []int64
	charge   int64
	target   int64
	whole    size
	all      []rectangle
	counts   []uint8 // len(most) for each rectangle
	codes    []uint64
	open     []int32 // heap
	taken    []int32
	byCounts map[uint64][]int32
}

func (e *enumeration) Len() int { return len(e.open) }
func (e *enumeration) Less(i, j int) bool {
	a, b := &e.all[e.open[i]], &e.all[e.open[j]]
	if a.bound != b.bound {
		return a.bound > b.bound
	}
	return e.open[i] < e.open[j]
}
func (e *enumeration) Swap(i, j int) { e.open[i], e.open[j] = e.open[j], e.open[i] }
func (e *enumeration) Push(x any)    { e.open = append(e.open, x.(int32)) }
func (e *enumeration) Pop() any {
	n := len(e.open) - 1
	x := e.open[n]
	e.open = e.open[:n]
	return x
}

// run tells whether it came to its end: then no layout is worth the target or
// more but those that were offered.
func (e *enumeration) run() bool {
	code := uint64(0x9e3779b97f4a7c15)
	for range e.most {
		code ^= code << 13
		code ^= code >> 7
		code ^= code << 17
		e.codes = append(e.codes, code)
	}
	priced := e.priced(e.price)
	single := make([]uint8, len(e.most))
	for q, s := range e.grid.poses {
		single[s.panel] = 1
		e.add(rectangle{
			size: s.size, key: e.codes[s.panel], priced: priced[s.panel], value: e.p.Panels[s.panel].Value,
			a: -1, b: -1, pose: int32(q), axis: -1,
		}, single, nil)
		single[s.panel] = 0
	}
	for len(e.open) > 0 {
		v := heap.Pop(e).(int32)
		if e.all[v].gone {
			continue
		}
		if e.all[v].bound < e.target*Scale {
			return true
		}
		e.taken = append(e.taken, v)
		for _, u := range e.taken {
			e.try(u, v, axisX)
			e.try(u, v, axisY)
		}
		e.result.Work += int64(4 * len(e.taken))
		if e.result.Work > e.work || e.done() || len(e.all) > mostRectangles || e.ctx.Err() != nil {
			return false
		}
	}
	return true
}

// try joins two rectangles along an axis.
func (e *enumeration) try(u, v int32, axis int) {
	a, b := &e.all[u], &e.all[v]
	if a.gone || a.size[axis]+b.size[axis] > e.whole[axis] {
		return
	}
	r := rectangle{key: a.key + b.key, priced: a.priced + b.priced, value: a.value + b.value, a: u, b: v, axis: int8(axis)}
	r.size[axis] = a.size[axis] + b.size[axis]
	r.size[1-axis] = max(a.size[1-axis], b.size[1-axis])
	if e.p.Stages > 0 && !e.staged(&r, a, b) {
		return
	}
	n := len(e.most)
	e.add(r, e.counts[int(u)*n:int(u+1)*n], e.counts[int(v)*n:int(v+1)*n])
}

// add holds a rectangle of the counts of two, the second nil for a panel, if a
// layout with it may reach the target.
func (e *enumeration) add(r rectangle, x, y []uint8) {
	i, j := e.grid.floor(axisX, r.size[axisX]), e.grid.floor(axisY, r.size[axisY])
	ny := len(e.grid.points[axisY])
	r.bound = r.priced + e.around[int(i)*ny+int(j)] + e.charge
	if r.bound < e.target*Scale {
		return
	}
	for k := range y {
		if int64(x[k])+int64(y[k]) > e.most[k] {
			return
		}
	}
	at := len(e.counts)
	e.counts = append(e.counts, x...)
	for k := range y {
		e.counts[at+k] += y[k]
	}
	mine := e.counts[at:]
	n := len(e.most)
	for _, o := range e.byCounts[r.key] {
		other := &e.all[o]
		if other.gone || !slices.Equal(e.counts[int(o)*n:int(o+1)*n], mine) {
			continue
		}
		if e.stands(other, &r) {
			e.counts = e.counts[:at]
			return
		}
		if e.stands(&r, other) {
			other.gone = true
		}
	}
	v := int32(len(e.all))
	e.all = append(e.all, r)
	e.byCounts[r.key] = append(e.byCounts[r.key], v)
	heap.Push(e, v)
	if r.value > e.result.Value && e.cut(&r) {
		e.result.Value, e.result.Root = r.value, e.tree(v)
		e.target = max(e.target, r.value+1)
	}
}

func (e *enumeration) tree(v int32) *Node {
	r := &e.all[v]
	if r.axis < 0 {
		return e.grid.poses[r.pose].leaf()
	}
	return join(int(r.axis), e.tree(r.a), e.tree(r.b))
}
