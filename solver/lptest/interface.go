package lptest

import (
	"context"
	"testing"

	"sawbill/solver"
)

// runInterface checks what the comments of solver.LP promise beyond optima.
func runInterface(t *testing.T, e solver.Engine) {
	t.Run("limits", func(t *testing.T) {
		p := solvable(t, e)
		lp := e.New()
		defer lp.Close()
		p.Load(lp)
		if s := lp.Solve(context.Background(), 1); s != solver.Limit {
			t.Fatalf("status %v after one iteration", s)
		}
		if n := lp.Iterations(); n != 1 {
			t.Errorf("%d iterations, limit 1", n)
		}
		ended, cancel := context.WithCancel(context.Background())
		cancel()
		if s := lp.Solve(ended, 0); s != solver.Limit {
			t.Errorf("status %v under a cancelled context", s)
		}
		if s := lp.Solve(context.Background(), 0); s != solver.Optimal {
			t.Errorf("status %v when resumed", s)
		}
		if err := p.CheckOptimal(lp); err != nil {
			t.Error(err)
		}
		before := lp.Iterations()
		if s := lp.Solve(context.Background(), 0); s != solver.Optimal || lp.Iterations() != before {
			t.Errorf("solving again: status %v, %d further iterations", s, lp.Iterations()-before)
		}
	})
	t.Run("bounds and sizes come back", func(t *testing.T) {
		lp := e.New()
		defer lp.Close()
		row := lp.AddRow(-3.7, 12.5, nil, nil)
		column := lp.AddColumn(2, 0.1, inf, []int32{0}, []float64{1000})
		lp.AddColumn(0, 0, 1, nil, nil)
		check := func(what string, gotL, gotU, l, u float64) {
			t.Helper()
			if gotL != l || gotU != u {
				t.Errorf("%s: [%v, %v], want [%v, %v]", what, gotL, gotU, l, u)
			}
		}
		l, u := lp.RowBounds(row)
		check("row", l, u, -3.7, 12.5)
		if s := lp.Solve(context.Background(), 0); s != solver.Infeasible {
			t.Errorf("status %v", s)
		}
		l, u = lp.RowBounds(row)
		check("row after solving", l, u, -3.7, 12.5)
		l, u = lp.ColumnBounds(column)
		check("column after solving", l, u, 0.1, inf)
		lp.SetRowBounds(row, -inf, 200)
		lp.SetColumnBounds(column, 0.05, 0.3)
		l, u = lp.ColumnBounds(column)
		check("column after change", l, u, 0.05, 0.3)
		if s := lp.Solve(context.Background(), 0); s != solver.Optimal {
			t.Errorf("status %v", s)
		}
		near(t, "objective", []float64{lp.Objective()}, []float64{0.1})
		if lp.NumRows() != 1 || lp.NumColumns() != 2 {
			t.Errorf("%d rows, %d columns", lp.NumRows(), lp.NumColumns())
		}
	})
	t.Run("misuse panics", func(t *testing.T) {
		lp := e.New()
		defer lp.Close()
		lp.AddColumn(1, 0, 1, nil, nil)
		for what, call := range map[string]func(){
			"index out of range": func() { lp.AddRow(0, 1, []int32{1}, []float64{1}) },
			"negative index":     func() { lp.AddRow(0, 1, []int32{-1}, []float64{1}) },
			"lengths differ":     func() { lp.AddColumn(0, 0, 1, []int32{}, []float64{1}) },
			"equal indices":      func() { lp.AddRow(0, 1, []int32{0, 0}, []float64{1, 1}) },
		} {
			func() {
				defer func() {
					if recover() == nil {
						t.Errorf("%s: no panic", what)
					}
				}()
				call()
			}()
		}
	})
	t.Run("same model, same result", func(t *testing.T) {
		p := solvable(t, e)
		var first []float64
		for range 3 {
			lp := e.New()
			p.Load(lp)
			lp.Solve(context.Background(), 0)
			x := append(lp.Primal(nil), lp.Dual(nil)...)
			lp.Close()
			if first == nil {
				first = x
			}
			for i := range x {
				if x[i] != first[i] {
					t.Fatalf("value %d: %v, then %v", i, first[i], x[i])
				}
			}
		}
	})
}

// solvable returns a random program with an optimum some iterations away.
func solvable(t *testing.T, e solver.Engine) *Problem {
	for seed := range uint64(50) {
		p := Random(seed)
		lp := e.New()
		p.Load(lp)
		ok := lp.Solve(context.Background(), 0) == solver.Optimal && lp.Iterations() > 10
		lp.Close()
		if ok {
			return p
		}
	}
	t.Fatal("none of 50 random programs has an optimum more than 10 iterations away")
	return nil
}
