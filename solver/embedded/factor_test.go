package embedded

import (
	"math"
	"math/rand/v2"
	"testing"
)

// TestFactor compares solves with the factors, fresh and after updates,
// against the product with the matrix itself.
func TestFactor(t *testing.T) {
	for seed := range uint64(60) {
		r := rand.New(rand.NewPCG(seed, 7))
		m := 1 + r.IntN(60)
		columns := make([][]entry, m)
		for p := range columns {
			columns[p] = randomColumn(r, m, p)
		}
		var f factor
		position, singular := f.factorise(m, func(p int, add func(int32, float64)) {
			for _, e := range columns[p] {
				add(e.index, e.value)
			}
		})
		if singular {
			t.Fatalf("seed %d: called singular", seed)
		}
		byRow := make([][]entry, m)
		for row, p := range position {
			byRow[row] = columns[p]
		}
		checkSolves(t, seed, &f, byRow, r)
		for range 40 {
			column := randomColumn(r, m, -1)
			x := make([]float64, m)
			for _, e := range column {
				x[e.index] = e.value
			}
			f.ftran(x, true)
			row := 0
			for i, v := range x {
				if math.Abs(v) > math.Abs(x[row]) {
					row = i
				}
			}
			if math.Abs(x[row]) < 1e-3 {
				continue
			}
			if !f.update(int32(row), x[row]) {
				t.Fatalf("seed %d: update refused", seed)
			}
			byRow[row] = column
			checkSolves(t, seed, &f, byRow, r)
		}
	}
}

// randomColumn is sparse, with a dominant entry at diagonal if that is ≥ 0.
func randomColumn(r *rand.Rand, m, diagonal int) []entry {
	var column []entry
	for i := range m {
		switch {
		case i == diagonal:
			column = append(column, entry{int32(i), 3 + r.Float64()})
		case r.IntN(m) < 3:
			column = append(column, entry{int32(i), r.NormFloat64()})
		}
	}
	if len(column) == 0 {
		column = append(column, entry{int32(r.IntN(m)), 1})
	}
	return column
}

func checkSolves(t *testing.T, seed uint64, f *factor, columns [][]entry, r *rand.Rand) {
	t.Helper()
	m := len(columns)
	want := make([]float64, m)
	for i := range want {
		want[i] = r.NormFloat64()
	}
	// B·want, solved for want again; and the same transposed.
	x, y := make([]float64, m), make([]float64, m)
	for p, column := range columns {
		for _, e := range column {
			x[e.index] += e.value * want[p]
			y[p] += e.value * want[e.index]
		}
	}
	f.ftran(x, false)
	f.btran(y)
	for i := range want {
		if math.Abs(x[i]-want[i]) > 1e-6 || math.Abs(y[i]-want[i]) > 1e-6 {
			t.Fatalf("seed %d, %d updates: component %d is %g forward, %g backward, want %g", seed, f.updates, i, x[i], y[i], want[i])
		}
	}
}

// TestFactorSingular: dependent columns are found and the rows they leave
// open are named.
func TestFactorSingular(t *testing.T) {
	columns := [][]entry{{{0, 1}, {1, 2}}, {{0, 2}, {1, 4}}, {{2, 5}}}
	var f factor
	position, singular := f.factorise(3, func(p int, add func(int32, float64)) {
		for _, e := range columns[p] {
			add(e.index, e.value)
		}
	})
	if !singular {
		t.Fatal("a matrix with proportional columns passed")
	}
	open := 0
	for _, p := range position {
		if p < 0 {
			open++
		}
	}
	if open != 1 || position[2] != 2 {
		t.Errorf("positions %v: want one open row, and row 2 on column 2", position)
	}
}
