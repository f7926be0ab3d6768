package embedded

import "math"

// Solving with the factors, and the Forrest–Tomlin update (Forrest & Tomlin
// 1972, "Updated triangular factors of the basis to maintain sparsity in the
// product form simplex method", Math. Programming 2:263–278): the entering
// column replaces one column of U, its row moves to the end of the order and
// is eliminated by one row transformation.

// ftran solves B·w = x in place. With keep, the half-transformed vector is
// kept for the update that brings x into the basis.
func (f *factor) ftran(x []float64, keep bool) {
	for _, r := range f.lowerOrder {
		if v := x[r]; v != 0 {
			for _, t := range f.below[r] {
				x[t.index] -= float64(t.value * v)
			}
		}
	}
	for k := range f.rowEtas {
		eta := &f.rowEtas[k]
		sum := x[eta.row]
		for _, t := range eta.entries {
			sum -= float64(t.value * x[t.index])
		}
		x[eta.row] = sum
	}
	if keep {
		copy(f.spike, x)
		f.spikeSet = true
	}
	for k := len(f.order) - 1; k >= 0; k-- {
		r := f.order[k]
		if int(f.place[r]) != k {
			continue
		}
		v := x[r]
		if v == 0 {
			continue
		}
		if math.Abs(v) < dropTolerance {
			x[r] = 0
			continue
		}
		v /= f.pivot[r]
		x[r] = v
		for _, t := range f.upperCol[r] {
			x[t.index] -= float64(t.value * v)
		}
	}
}

// btran solves Bᵀ·y = x in place.
func (f *factor) btran(x []float64) {
	for k, r := range f.order {
		if int(f.place[r]) != k {
			continue
		}
		v := x[r]
		if v == 0 {
			continue
		}
		v /= f.pivot[r]
		x[r] = v
		for _, t := range f.upperRow[r] {
			x[t.index] -= float64(t.value * v)
		}
	}
	for k := len(f.rowEtas) - 1; k >= 0; k-- {
		eta := &f.rowEtas[k]
		if v := x[eta.row]; v != 0 {
			for _, t := range eta.entries {
				x[t.index] -= float64(t.value * v)
			}
		}
	}
	for k := len(f.lowerOrder) - 1; k >= 0; k-- {
		r := f.lowerOrder[k]
		v := x[r]
		if v == 0 {
			continue
		}
		if math.Abs(v) < dropTolerance {
			x[r] = 0
			continue
		}
		for _, t := range f.before[r] {
			x[t.index] -= float64(t.value * v)
		}
	}
}

// update replaces the basic column of row r by the column whose ftran kept
// the spike; alpha is the pivot, the r-th value of that ftran. It reports
// false if the new diagonal disagrees with the old one times alpha, in which
// case the factors are spoiled and the basis must be refactorised.
func (f *factor) update(r int32, alpha float64) bool {
	if !f.spikeSet {
		return false
	}
	f.spikeSet = false
	for _, t := range f.upperCol[r] {
		f.upperRow[t.index] = withoutEntry(f.upperRow[t.index], r)
	}
	col := f.upperCol[r][:0]
	for i, v := range f.spike {
		if v != 0 && int32(i) != r && math.Abs(v) >= dropTolerance {
			col = append(col, entry{int32(i), v})
			f.upperRow[i] = append(f.upperRow[i], entry{r, v})
		}
	}
	f.upperCol[r] = col
	diagonal := f.spike[r]

	work := f.work
	for _, t := range f.upperRow[r] {
		work[t.index] = t.value
		f.upperCol[t.index] = withoutEntry(f.upperCol[t.index], r)
	}
	remaining := len(f.upperRow[r])
	f.upperRow[r] = f.upperRow[r][:0]
	var eta []entry
	if remaining > 0 {
		if n := len(f.rowEtas); n < cap(f.rowEtas) {
			eta = f.rowEtas[:n+1][n].entries[:0]
		}
		for k := int(f.place[r]) + 1; k < len(f.order); k++ {
			j := f.order[k]
			v := work[j]
			if v == 0 || int(f.place[j]) != k {
				continue
			}
			work[j] = 0
			if math.Abs(v) < dropTolerance {
				continue
			}
			v /= f.pivot[j]
			eta = append(eta, entry{j, v})
			for _, t := range f.upperRow[j] {
				if t.index == r {
					diagonal -= float64(v * t.value)
				} else {
					work[t.index] -= float64(v * t.value)
				}
			}
		}
	}
	expected := float64(f.pivot[r] * alpha)
	f.pivot[r] = diagonal
	f.place[r] = int32(len(f.order))
	f.order = append(f.order, r)
	if len(eta) > 0 {
		f.rowEtas = append(f.rowEtas, rowEta{r, eta})
		f.etaEntries += len(eta)
	}
	f.updates++
	return math.Abs(diagonal) > dropTolerance &&
		math.Abs(diagonal-expected) <= float64(updateTolerance*max(math.Abs(diagonal), math.Abs(expected)))
}

func withoutEntry(s []entry, index int32) []entry {
	for k := range s {
		if s[k].index == index {
			s[k] = s[len(s)-1]
			return s[:len(s)-1]
		}
	}
	return s
}
