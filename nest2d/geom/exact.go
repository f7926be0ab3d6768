package geom

import (
	"math"
	"math/big"
	"math/bits"
)

// A wide is a signed number of 128 bits in two's complement: products of
// coordinates do not always fit 64.
type wide struct {
	hi int64
	lo uint64
}

// product is a·b.
func product(a, b int64) wide {
	hi, lo := bits.Mul64(uint64(a), uint64(b))
	// The product of the bit patterns exceeds that of the signed numbers by
	// 2⁶⁴ times the other factor for each negative one.
	if a < 0 {
		hi -= uint64(b)
	}
	if b < 0 {
		hi -= uint64(a)
	}
	return wide{int64(hi), lo}
}

func (a wide) plus(b wide) wide {
	lo, carry := bits.Add64(a.lo, b.lo, 0)
	hi, _ := bits.Add64(uint64(a.hi), uint64(b.hi), carry)
	return wide{int64(hi), lo}
}

func (a wide) negated() wide {
	lo, borrow := bits.Sub64(0, a.lo, 0)
	hi, _ := bits.Sub64(0, uint64(a.hi), borrow)
	return wide{int64(hi), lo}
}

func (a wide) minus(b wide) wide { return a.plus(b.negated()) }

func (a wide) sign() int {
	switch {
	case a.hi < 0:
		return -1
	case a.hi > 0 || a.lo > 0:
		return 1
	}
	return 0
}

// float is the number as a float64: exact below 2⁵³, else within 2⁻⁵² of it.
func (a wide) float() float64 {
	if a.hi < 0 {
		return -a.negated().float()
	}
	return math.Ldexp(float64(a.hi), 64) + float64(a.lo)
}

// big is the number as a big.Int.
func (a wide) big() *big.Int {
	x := big.NewInt(a.hi)
	return x.Add(x.Lsh(x, 64), new(big.Int).SetUint64(a.lo))
}

func (p Point) minus(q Point) Point { return Point{p.X - q.X, p.Y - q.Y} }
func (p Point) plus(q Point) Point  { return Point{p.X + q.X, p.Y + q.Y} }

// cross is the cross product, above 0 when q points to the left of p.
func cross(p, q Point) wide { return product(p.X, q.Y).minus(product(p.Y, q.X)) }

// dot is the scalar product.
func dot(p, q Point) wide { return product(p.X, q.X).plus(product(p.Y, q.Y)) }

// length is the length of a vector; exact where it is a whole number.
func (p Point) length() float64 { return math.Sqrt(dot(p, p).float()) }
