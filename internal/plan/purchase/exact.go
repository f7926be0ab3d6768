package purchase

import (
	"math"
	"math/big"
)

// dualBits is the precision to which duals are rounded.
const dualBits = 96

// box are the bounds of the columns at a node.
type box struct{ lower, upper []int64 }

// bound is a lower bound on the objective over all points of the box that
// satisfy the rows, from any multipliers y of the rows:
//
//	Σ yᵢ·(lowerᵢ or upperᵢ) + Σ over columns of the least of (cⱼ − Σ yᵢaᵢⱼ)·xⱼ
//
// in integers, with y as multiples of 2^−dualBits; rounded up. A multiplier on
// the side of a row that is open is taken as 0.
func (m *programme) bound(dual []float64, b *box) int64 {
	sum := new(big.Int)
	reduced := make([]big.Int, len(m.columns))
	for j := range m.columns {
		reduced[j].Lsh(reduced[j].SetInt64(m.columns[j].cost), dualBits)
	}
	var t, f big.Int
	for i := range m.rows {
		r := &m.rows[i]
		y := scaled(dual[i], dualBits-r.shift)
		side := r.lower
		switch y.Sign() {
		case 0:
			continue
		case 1:
			if r.openBelow {
				continue
			}
		case -1:
			if r.openAbove {
				continue
			}
			side = r.upper
		}
		sum.Add(sum, t.Mul(y, f.SetInt64(side)))
		for _, e := range r.terms {
			reduced[e.column].Sub(&reduced[e.column], t.Mul(y, f.SetInt64(e.factor)))
		}
	}
	for j := range reduced {
		at := b.lower[j]
		if reduced[j].Sign() < 0 {
			at = b.upper[j]
		}
		if at != 0 {
			sum.Add(sum, t.Mul(&reduced[j], f.SetInt64(at)))
		}
	}
	// Rounded up: −⌊−sum / 2^dualBits⌋.
	sum.Neg(sum)
	sum.Rsh(sum, dualBits)
	sum.Neg(sum)
	switch {
	case sum.Sign() <= 0:
		return 0
	case !sum.IsInt64():
		return noBound
	}
	return sum.Int64()
}

// scaled is y·2^shift, rounded towards 0.
func scaled(y float64, shift int) *big.Int {
	if y == 0 || math.IsNaN(y) || math.IsInf(y, 0) {
		return new(big.Int)
	}
	fraction, exponent := math.Frexp(y)
	whole := big.NewInt(int64(math.Ldexp(fraction, 53)))
	if e := exponent - 53 + shift; e >= 0 {
		return whole.Lsh(whole, uint(e))
	} else {
		return whole.Quo(whole, new(big.Int).Lsh(big.NewInt(1), uint(-e)))
	}
}
