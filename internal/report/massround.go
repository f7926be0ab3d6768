package report

import (
	"math/big"
	"strings"

	"sawbill/internal/plan"
)

// Masses in a column are printed to a thousandth of a kilogram or pound, and
// rounded along their running total, so that the lines printed add up to the sum
// printed. A line is less than a thousandth off what it would be by itself.

// massColumn is such a column in the making.
type massColumn struct {
	style
	exact plan.Mass
	sum   int64 // thousandths printed so far
}

// add is the next line in thousandths.
func (c *massColumn) add(m plan.Mass) int64 {
	c.exact += m
	n := c.thousandths(c.exact) - c.sum
	c.sum += n
	return n
}

// thousandths rounds a mass to the nearest thousandth of a kilogram or pound,
// halves up.
func (s style) thousandths(m plan.Mass) int64 {
	unit := big.NewRat(1_000, 1) // milligrams
	if s.unit.Imperial() {
		unit.SetString("453.59237") // a thousandth of a pound
	}
	v := new(big.Rat).Quo(new(big.Rat).SetInt64(int64(m)), unit)
	n := new(big.Int).Lsh(v.Num(), 1)
	n.Add(n, v.Denom())
	return n.Div(n, new(big.Int).Lsh(v.Denom(), 1)).Int64()
}

// inThousandths prints what thousandths counts.
func (s style) inThousandths(n int64) string {
	return s.decimal(strings.TrimSuffix(plan.Mass(n*1000).String(), "000"))
}

// fineMass is one mass by itself with its unit.
func (s style) fineMass(m plan.Mass) string {
	return s.inThousandths(s.thousandths(m)) + " " + s.massUnit()
}
