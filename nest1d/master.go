package nest1d

import (
	"context"
	"math"
	"slices"

	"sawbill/solver"
)

// master is the linear programme of Gilmore and Gomory with the patterns known
// so far:
//
//	minimise   Σ costⱼ·xⱼ
//	subject to Σ aᵢⱼ·xⱼ ≥ demandᵢ     for each item
//	           Σ xⱼ     ≤ supplyₖ     for each bar that can run out
//
// Pieces too many are allowed: they are dropped from a plan at no cost.
type master struct {
	m        *model
	lp       solver.LP
	columns  []pattern
	known    map[uint64][]int32 // columns by hash
	supplyOf []int              // row of each bar, or −1
	// missing are columns that stand for pieces not cut at all.
	missing []int
	offset  int // LP columns before the patterns
	// shares, when set, are the values that a pattern has in further rows.
	shares func(p *pattern) (rows []int32, values []float64)
}

// newMaster makes the programme for the given needs and supplies. With fines,
// pieces may be left out at that cost each.
func newMaster(m *model, engine solver.Engine, need, left []int64, fines []float64) *master {
	s := &master{m: m, lp: engine.New(), known: map[uint64][]int32{}}
	for _, n := range need {
		s.lp.AddRow(float64(n), solver.Inf, nil, nil)
	}
	for b := range m.bars {
		if left[b] == Unlimited {
			s.supplyOf = append(s.supplyOf, -1)
			continue
		}
		s.supplyOf = append(s.supplyOf, s.lp.AddRow(-solver.Inf, float64(left[b]), nil, nil))
	}
	if fines != nil {
		for i := range need {
			s.missing = append(s.missing, s.lp.AddColumn(fines[i], 0, solver.Inf, []int32{int32(i)}, []float64{1}))
		}
		s.offset = len(need)
	}
	return s
}

// add takes a pattern as a column unless it is known.
func (s *master) add(p pattern, cost float64) bool {
	h := p.hash()
	for _, j := range s.known[h] {
		if s.columns[j].equal(&p) {
			return false
		}
	}
	s.known[h] = append(s.known[h], int32(len(s.columns)))
	var rows []int32
	var values []float64
	if s.shares != nil {
		rows, values = s.shares(&p)
	}
	s.insertWith(p, cost, rows, values)
	return true
}

// insert makes a column of a pattern, with further rows that count it.
func (s *master) insert(p pattern, cost float64, more []int32) {
	s.insertWith(p, cost, more, slices.Repeat([]float64{1}, len(more)))
}

// insertWith makes a column of a pattern, with its values in further rows.
func (s *master) insertWith(p pattern, cost float64, more []int32, values []float64) {
	rows, own := make([]int32, 0, len(p.items)+1+len(more)), make([]float64, 0, len(p.items)+1+len(more))
	for _, e := range p.items {
		rows, own = append(rows, e.item), append(own, float64(e.count))
	}
	if r := s.supplyOf[p.bar]; r >= 0 {
		rows, own = append(rows, int32(r)), append(own, 1)
	}
	s.lp.AddColumn(cost, 0, solver.Inf, append(rows, more...), append(own, values...))
	s.columns = append(s.columns, p)
}

// relieve adds a column, before any pattern, that rows to come may hold.
func (s *master) relieve(fine float64) int {
	j := s.lp.AddColumn(fine, 0, solver.Inf, nil, nil)
	s.missing = append(s.missing, j)
	s.offset++
	return j
}

// hash is FNV-1a over the pattern.
func (p *pattern) hash() uint64 {
	h := uint64(14695981039346656037)
	mix := func(v uint64) {
		h = (h ^ v) * 1099511628211
	}
	mix(uint64(p.bar))
	for _, e := range p.items {
		mix(uint64(e.item)<<32 | uint64(uint32(e.count)))
	}
	return h
}

// solve optimises and reads the duals: value per item and rent per bar, both
// never negative.
func (s *master) solve(ctx context.Context) (value, rent []float64, ok bool) {
	if s.optimise(ctx) != solver.Optimal {
		return nil, nil, false
	}
	dual := s.lp.Dual(nil)
	value = make([]float64, len(s.m.items))
	for i := range value {
		value[i] = max(0, dual[i])
	}
	rent = make([]float64, len(s.m.bars))
	for b, r := range s.supplyOf {
		if r >= 0 {
			rent[b] = max(0, -dual[r])
		}
	}
	return value, rent, true
}

// optimise solves from the last basis, and once more from the slack basis when
// that ends without an answer.
func (s *master) optimise(ctx context.Context) solver.Status {
	most := iterationsPerRow * (s.lp.NumRows() + iterationsPerRow)
	status := s.lp.Solve(ctx, most)
	if (status == solver.Limit || status == solver.Failed) && ctx.Err() == nil {
		s.lp.SetBasis(solver.Basis{})
		status = s.lp.Solve(ctx, most)
	}
	return status
}

// iterationsPerRow bounds the simplex iterations of one solve: several times
// what degenerate programmes of this kind were seen to take.
const iterationsPerRow = 50

// primal gives the values of the patterns' columns.
func (s *master) primal() []float64 {
	return s.lp.Primal(nil)[s.offset:]
}

// short is the number of pieces the solution leaves out.
func (s *master) short() float64 {
	var sum float64
	x := s.lp.Primal(nil)
	for _, j := range s.missing {
		sum += x[j]
	}
	return sum
}

// dualBits is the binary precision of integer duals: multiples of 2⁻⁴⁰ of a
// unit of money, or coarser when the sums would not stay below limit.
const dualBits = 40

// scaleFor picks the power of two that turns the duals into integers; 0 when
// they are too large for that.
func scaleFor(value []float64, need []int64, prices float64) int64 {
	sum := 1 + prices
	for i, v := range value {
		sum += float64(v*float64(need[i])) + v
	}
	if !(sum <= float64(limit)/4) { // false for NaN, too
		return 0
	}
	return int64(1) << min(dualBits, math.Ilogb(float64(limit)/4/sum))
}

func floorAll(v []float64, scale int64) []int64 {
	out := make([]int64, len(v))
	for i, x := range v {
		out[i] = int64(math.Floor(x * float64(scale)))
	}
	return out
}

// sorted indices of the positive entries, greatest first, ties by index.
func descending(x []float64) []int {
	var order []int
	for j, v := range x {
		if v > epsilon {
			order = append(order, j)
		}
	}
	slices.SortStableFunc(order, func(a, b int) int {
		switch {
		case x[a] > x[b]:
			return -1
		case x[a] < x[b]:
			return 1
		}
		return a - b
	})
	return order
}

// epsilon is the tolerance on values of the linear programme. It steers
// rounding and column choice; no bound rests on it.
const epsilon = 1e-6
