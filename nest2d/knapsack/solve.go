package knapsack

// Unbounded solves the problem as if every panel could be cut any number of
// times. The value is exact: Bound equals it. The error, one sentence, names
// what is wrong with the problem.
func Unbounded(p Problem) (Result, error) {
	if err := p.check(); err != nil {
		return Result{}, err
	}
	g, err := newGrid(&p)
	if err != nil {
		return Result{}, err
	}
	v := newValuer(&p, g)
	values := make([]int64, len(p.Panels))
	for i, a := range p.Panels {
		values[i] = a.Value
	}
	v.run(values)
	r := Result{Value: v.whole(), Root: v.tree(), Work: v.steps()}
	r.Bound = r.Value
	return r, nil
}

// A valuer works out the best value of the whole for values of the panels.
type valuer struct {
	p         *Problem
	recursion *recursion
	staged    *staged
}

func newValuer(p *Problem, g *grid) *valuer {
	v := &valuer{p: p}
	// A first cut of given direction and without any part is no cut, so that
	// direction alone says nothing when stages are not limited.
	if p.Stages == 0 {
		v.recursion = newRecursion(g)
	} else {
		v.staged = newStaged(g, p)
	}
	return v
}

func (v *valuer) run(values []int64) {
	if v.recursion != nil {
		v.recursion.run(values)
	} else {
		v.staged.run(values)
	}
}

func (v *valuer) whole() int64 {
	if v.recursion != nil {
		return v.recursion.whole()
	}
	value, _ := v.staged.whole(v.p)
	return value
}

func (v *valuer) tree() *Node {
	if r := v.recursion; r != nil {
		return r.tree(int32(r.nx-1), int32(r.ny-1))
	}
	s := v.staged
	value, axis := s.whole(v.p)
	if value <= 0 {
		return nil
	}
	if axis == axisX {
		return s.tree(v.p.Stages, axisX, s.nx-1, s.ny-1)
	}
	return s.tree(v.p.Stages, axisY, s.ny-1, s.nx-1)
}

func (v *valuer) steps() int64 {
	if v.recursion != nil {
		return v.recursion.work
	}
	return v.staged.work
}
