package embedded

import "math"

// Scaling: geometric means of rows and columns in turn, rounded to powers of
// two (Curtis & Reid 1972 minimise the same spread exactly; a few passes of
// geometric means come near it). Rows and columns added later fit the scales
// that stand.

const scalingPasses = 4

// scaleModel scales the whole model once, before its first solve.
func (p *lp) scaleModel() {
	p.scaled = true
	factor := filled([]float64(nil), len(p.scale), 1)
	spread := p.spread(factor)
	for range scalingPasses {
		for i, v := range p.rows {
			factor[v] = p.meanOf(p.rowEntries[i], func(t entry) float64 { return factor[t.index] }, factor[v])
		}
		for _, v := range p.columns {
			m := p.meanOf(p.colEntries[v], func(t entry) float64 { return 1 / factor[p.rows[t.index]] }, 1/factor[v])
			factor[v] = 1 / m
		}
	}
	if p.spread(factor) >= float64(0.9*spread) {
		return
	}
	for v := range factor {
		factor[v] = powerOfTwo(factor[v])
	}
	for i, r := range p.rows {
		for k := range p.rowEntries[i] {
			t := &p.rowEntries[i][k]
			t.value = t.value * factor[t.index] / factor[r]
		}
	}
	for _, v := range p.columns {
		for k := range p.colEntries[v] {
			t := &p.colEntries[v][k]
			t.value = t.value * factor[v] / factor[p.rows[t.index]]
		}
	}
	for v, s := range factor {
		p.scale[v] *= s
		p.cost[v] *= s
		p.lower[v] /= s
		p.upper[v] /= s
	}
}

// meanOf is the geometric mean of the least and largest magnitude of the
// entries, each multiplied by its other side's factor.
func (p *lp) meanOf(entries []entry, other func(entry) float64, empty float64) float64 {
	least, most := math.Inf(1), 0.0
	for _, t := range entries {
		a := math.Abs(t.value) * other(t)
		least, most = min(least, a), max(most, a)
	}
	if most == 0 {
		return empty
	}
	return math.Sqrt(float64(least * most))
}

// spread is the ratio of the largest to the least magnitude of the matrix.
func (p *lp) spread(factor []float64) float64 {
	least, most := math.Inf(1), 0.0
	for i, r := range p.rows {
		for _, t := range p.rowEntries[i] {
			a := math.Abs(t.value) * factor[t.index] / factor[r]
			least, most = min(least, a), max(most, a)
		}
	}
	if most == 0 {
		return 1
	}
	return most / least
}

func powerOfTwo(x float64) float64 {
	fraction, exponent := math.Frexp(x)
	if fraction < math.Sqrt2/2 {
		exponent--
	}
	return math.Ldexp(1, exponent)
}

// fitRow returns the scale of a row added to a scaled model.
func (p *lp) fitRow(columns []int32, values []float64) float64 {
	least, most := math.Inf(1), 0.0
	for k, c := range columns {
		if values[k] != 0 {
			a := math.Abs(values[k]) * p.scale[p.columns[c]]
			least, most = min(least, a), max(most, a)
		}
	}
	if most == 0 {
		return 1
	}
	return powerOfTwo(math.Sqrt(float64(least * most)))
}

// fitColumn returns the scale of a column added to a scaled model.
func (p *lp) fitColumn(rows []int32, values []float64) float64 {
	least, most := math.Inf(1), 0.0
	for k, i := range rows {
		if values[k] != 0 {
			a := math.Abs(values[k]) / p.scale[p.rows[i]]
			least, most = min(least, a), max(most, a)
		}
	}
	if most == 0 {
		return 1
	}
	return 1 / powerOfTwo(math.Sqrt(float64(least*most)))
}
