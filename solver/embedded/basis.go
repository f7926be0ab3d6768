package embedded

import (
	"math"

	"sawbill/solver"
)

// eachEntry calls add for every non-zero of the column of variable v.
func (p *lp) eachEntry(v int32, add func(row int32, value float64)) {
	if p.isRow[v] {
		add(p.number[v], -1)
		return
	}
	for _, t := range p.colEntries[v] {
		add(t.index, t.value)
	}
}

// addColumn adds multiple × the column of v to x.
func (p *lp) addColumn(x []float64, v int32, multiple float64) {
	if p.isRow[v] {
		x[p.number[v]] -= multiple
		return
	}
	for _, t := range p.colEntries[v] {
		x[t.index] += float64(t.value * multiple)
	}
}

// dot returns y·(column of v).
func (p *lp) dot(y []float64, v int32) float64 {
	if p.isRow[v] {
		return -y[p.number[v]]
	}
	sum := 0.0
	for _, t := range p.colEntries[v] {
		sum += float64(t.value * y[t.index])
	}
	return sum
}

// refactorise factors the basis and renames the rows of basic variables. A
// singular basis is repaired with row variables. It reports false only if
// the repair does not end.
func (p *lp) refactorise() bool {
	const repairs = 10
	for range repairs {
		position, singular := p.factor.factorise(len(p.rows), func(k int, add func(int32, float64)) {
			p.eachEntry(p.head[k], add)
		})
		if !singular {
			head := make([]int32, len(position))
			for r, k := range position {
				head[r] = p.head[k]
			}
			p.head = head
			p.reseat()
			p.factorised = true
			return true
		}
		p.repair(position)
		p.edgeValid = false
	}
	return false
}

// repair replaces the basic variables that got no pivot by the row variables
// of the rows that got none.
func (p *lp) repair(position []int32) {
	used := make([]bool, len(position))
	for _, k := range position {
		if k >= 0 {
			used[k] = true
		}
	}
	r := 0
	for k := range used {
		if used[k] {
			continue
		}
		for position[r] >= 0 {
			r++
		}
		out, in := p.head[k], p.rows[r]
		p.status[out] = p.nearestBound(out)
		p.head[k] = in
		p.status[in] = solver.Basic
		r++
	}
	p.reseat()
	for v := range p.status {
		if p.status[v] != solver.Basic {
			p.place(int32(v))
		}
	}
}

// nearestBound is the non-basic status nearest to the value of v.
func (p *lp) nearestBound(v int32) solver.BasisStatus {
	low, high := math.IsInf(p.low[v], 0), math.IsInf(p.high[v], 0)
	switch {
	case low && high:
		return solver.Free
	case low:
		return solver.AtUpper
	case high:
		return solver.AtLower
	case p.x[v]-p.low[v] <= p.high[v]-p.x[v]:
		return solver.AtLower
	}
	return solver.AtUpper
}

// place puts a non-basic variable on the bound of its status, or on another
// if that bound does not exist.
func (p *lp) place(v int32) {
	s := p.status[v]
	if s == solver.AtLower && math.IsInf(p.low[v], 0) ||
		s == solver.AtUpper && math.IsInf(p.high[v], 0) ||
		s == solver.Free && !(math.IsInf(p.low[v], 0) && math.IsInf(p.high[v], 0)) ||
		s > solver.Free || s < 0 {
		s = restingStatus(p.low[v], p.high[v])
		p.status[v] = s
	}
	switch s {
	case solver.AtLower:
		p.x[v] = p.low[v]
	case solver.AtUpper:
		p.x[v] = p.high[v]
	case solver.Free:
		p.x[v] = 0
	}
}

// computeX recomputes the basic values from the non-basic ones: B·x_B is
// minus the rest, refined once by the residual.
func (p *lp) computeX() {
	for _, v := range p.head {
		p.x[v] = 0
	}
	for range 2 {
		residual := p.column
		clear(residual)
		for v, x := range p.x {
			if x != 0 {
				p.addColumn(residual, int32(v), -x)
			}
		}
		p.factor.ftran(residual, false)
		for i, v := range p.head {
			p.x[v] += residual[i]
		}
	}
}

// computeD recomputes all reduced costs from cost, the costs by variable:
// Bᵀ·y is the basic costs, refined once by the residual.
func (p *lp) computeD(cost []float64) {
	y, residual := p.rho, p.tau
	clear(y)
	for range 2 {
		for i, v := range p.head {
			residual[i] = cost[v] - p.dot(y, v)
		}
		p.factor.btran(residual)
		for i, r := range residual {
			y[i] += r
		}
	}
	for v := range p.status {
		if p.status[v] == solver.Basic {
			p.d[v] = 0
		} else {
			p.d[v] = cost[v] - p.dot(y, int32(v))
		}
	}
}

// infeasibility is how far v lies outside its working bounds: negative below
// the lower, positive above the upper.
func (p *lp) infeasibility(v int32) float64 {
	if g := p.x[v] - p.low[v]; g < 0 {
		return g
	}
	if g := p.x[v] - p.high[v]; g > 0 {
		return g
	}
	return 0
}

// worstPrimal is the largest bound violation of a basic variable.
func (p *lp) worstPrimal() float64 {
	worst := 0.0
	for _, v := range p.head {
		worst = max(worst, math.Abs(p.infeasibility(v)))
	}
	return worst
}

// attraction is how much the objective falls per unit when non-basic v moves
// off its bound, by the reduced cost d; ≤ 0 if it may not move that way.
func (p *lp) attraction(v int32) float64 {
	d := p.d[v]
	switch p.status[v] {
	case solver.AtLower:
		if p.low[v] < p.high[v] {
			return -d
		}
	case solver.AtUpper:
		if p.low[v] < p.high[v] {
			return d
		}
	case solver.Free:
		return math.Abs(d)
	}
	return 0
}

// worstDual is the largest attraction.
func (p *lp) worstDual() float64 {
	worst := 0.0
	for v := range p.status {
		if p.status[v] != solver.Basic {
			worst = max(worst, p.attraction(int32(v)))
		}
	}
	return worst
}

// pivotRow computes alpha = ρᵀ·[A −I] over the non-basic variables from rho,
// and lists its non-zeros in touched.
func (p *lp) pivotRow(rho []float64) {
	p.clearRow()
	for i, r := range rho {
		if math.Abs(r) < dropTolerance {
			continue
		}
		for _, t := range p.rowEntries[i] {
			if p.status[t.index] == solver.Basic {
				continue
			}
			if !p.inTouched[t.index] {
				p.inTouched[t.index] = true
				p.touched = append(p.touched, t.index)
			}
			p.alpha[t.index] += float64(r * t.value)
		}
		if v := p.rows[i]; p.status[v] != solver.Basic {
			p.inTouched[v] = true
			p.touched = append(p.touched, v)
			p.alpha[v] = -r
		}
	}
}

func (p *lp) clearRow() {
	for _, v := range p.touched {
		p.alpha[v] = 0
		p.inTouched[v] = false
	}
	p.touched = p.touched[:0]
}

// exchange makes q basic in row r in place of the variable there, which goes
// to the given status. The factors must hold q's spike. It reports whether
// the update is to be trusted; if not the caller refactorises.
func (p *lp) exchange(r, q int32, status solver.BasisStatus, pivot float64) bool {
	out := p.head[r]
	p.status[out] = status
	p.at[out] = -1
	p.head[r] = q
	p.status[q] = solver.Basic
	p.at[q] = r
	ok := p.factor.update(r, pivot)
	p.factorised = ok
	return ok
}
