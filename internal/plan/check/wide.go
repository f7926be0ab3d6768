package check

import (
	"math"
	"math/big"
)

// wide is a whole number of any size, for sums that a hostile plan could drive
// beyond 64 bits. The zero value is 0; values are never changed in place.
type wide struct{ n *big.Int }

func whole(v int64) wide { return wide{big.NewInt(v)} }

func (w wide) big() *big.Int {
	if w.n == nil {
		return new(big.Int)
	}
	return w.n
}

func (w wide) plus(o wide) wide    { return wide{new(big.Int).Add(w.big(), o.big())} }
func (w wide) minus(o wide) wide   { return wide{new(big.Int).Sub(w.big(), o.big())} }
func (w wide) times(o wide) wide   { return wide{new(big.Int).Mul(w.big(), o.big())} }
func (w wide) compare(o wide) int  { return w.big().Cmp(o.big()) }
func (w wide) equals(v int64) bool { return w.big().Cmp(big.NewInt(v)) == 0 }
func (w wide) sign() int           { return w.big().Sign() }
func (w wide) String() string      { return w.big().String() }

// float is the nearest float64, for sizes in a message or a tolerance.
func (w wide) float() float64 {
	f, _ := new(big.Float).SetInt(w.big()).Float64()
	return f
}

// ceiling returns the least whole number at or above w/d, for d > 0.
func (w wide) ceiling(d wide) wide {
	q, r := new(big.Int).DivMod(w.big(), d.big(), new(big.Int))
	if r.Sign() > 0 {
		q.Add(q, big.NewInt(1))
	}
	return wide{q}
}

// int64 returns w, held to the ends of the range; ok says whether it fits.
func (w wide) int64() (v int64, ok bool) {
	switch {
	case w.big().IsInt64():
		return w.big().Int64(), true
	case w.sign() < 0:
		return math.MinInt64, false
	}
	return math.MaxInt64, false
}
