// Package argument checks the arguments of solver.LP calls the same way for
// every engine. A broken argument is a programming error and panics.
package argument

import (
	"fmt"
	"math"
)

// Checker remembers which indices it has seen.
type Checker struct {
	seen []int
	call int
}

// Sparse panics unless indices are distinct, within 0…n−1, and paired with
// finite values.
func (c *Checker) Sparse(method string, indices []int32, values []float64, n int) {
	if len(indices) != len(values) {
		panic(fmt.Sprintf("solver: %s: %d indices but %d values", method, len(indices), len(values)))
	}
	if len(c.seen) < n {
		c.seen = append(c.seen, make([]int, n-len(c.seen))...)
	}
	c.call++
	for k, i := range indices {
		switch {
		case i < 0 || int(i) >= n:
			panic(fmt.Sprintf("solver: %s: index %d outside 0…%d", method, i, n-1))
		case c.seen[i] == c.call:
			panic(fmt.Sprintf("solver: %s: index %d given twice", method, i))
		case math.IsNaN(values[k]) || math.IsInf(values[k], 0):
			panic(fmt.Sprintf("solver: %s: coefficient %v at index %d is not finite", method, values[k], i))
		}
		c.seen[i] = c.call
	}
}

// Bounds panics if one of the bounds is not a number, the lower is +Inf or
// the upper −Inf. Crossed bounds are allowed: they make a model infeasible.
func Bounds(method string, lower, upper float64) {
	if math.IsNaN(lower) || math.IsNaN(upper) || math.IsInf(lower, 1) || math.IsInf(upper, -1) {
		panic(fmt.Sprintf("solver: %s: bounds %v and %v are not bounds", method, lower, upper))
	}
}

// Cost panics unless the cost is finite.
func Cost(method string, cost float64) {
	if math.IsNaN(cost) || math.IsInf(cost, 0) {
		panic(fmt.Sprintf("solver: %s: cost %v is not finite", method, cost))
	}
}
