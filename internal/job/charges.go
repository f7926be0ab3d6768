package job

import (
	"math/big"
	"strings"

	"github.com/pelletier/go-toml/v2/unstable"
)

// Amounts and percentages of job.toml: what is charged, taxed or spent.

// money reads an amount in whole cents.
func (b block) money(name string) int64 {
	e := b.at[name]
	p, ok := b.price(name)
	if !ok {
		return 0
	}
	if p.stated {
		b.r.fault(e.value.pos, "%s: %s is per something; write the amount alone, such as 35", e.key, quote(e.value.text))
		return 0
	}
	cents, exact, err := toCents(p.amount)
	switch {
	case err != nil:
		b.r.fault(e.value.pos, "%s: %v", e.key, err)
		return 0
	case !exact:
		b.r.remark(e.value.pos, "%s %s was rounded to the cent, %s", e.key, strings.TrimSpace(e.value.raw), centsText(cents))
	}
	return cents
}

// price reads an amount of 0 or more and what it is for; not ok without the key.
func (b block) price(name string) (p price, ok bool) {
	e := b.at[name]
	if e == nil {
		return p, false
	}
	if e.value.kind == unstable.String {
		var err error
		if p, err = b.r.parsePrice(e.value.text, b.r.job.DecimalComma); err != nil {
			b.r.fault(e.value.pos, "%s: %v", e.key, err)
			return p, false
		}
	} else if p.amount, ok = number(e.value); !ok {
		b.wrong(e, "an amount such as 35 or 1.20")
		return p, false
	}
	if p.amount.Sign() < 0 {
		b.r.fault(e.value.pos, "%s is negative: %s; write 0 or more", e.key, strings.TrimSpace(e.value.raw))
		return p, false
	}
	return p, true
}

// thousandths reads the price of one piercing, or of a metre of cut, in
// thousandths of a cent, rounded half up once.
func (b block) thousandths(name string, perMetre bool) int64 {
	e := b.at[name]
	p, ok := b.price(name)
	if !ok {
		return 0
	}
	switch {
	case p.stated && !perMetre:
		b.r.fault(e.value.pos, "%s: %s is per something; write the amount alone, such as 0.15", e.key, quote(e.value.text))
		return 0
	case p.stated && p.per.basis != byLength:
		b.r.fault(e.value.pos, "%s: %s is not per length; write a price such as 0.85 per m or 0.26 per ft", e.key, quote(e.value.text))
		return 0
	case p.stated:
		p.amount.Quo(p.amount, p.per.one)
	}
	n := roundHalfUp(p.amount.Mul(p.amount, big.NewRat(100_000, 1)))
	if n.Cmp(big.NewInt(mostThousandths)) > 0 {
		b.r.fault(e.value.pos, "%s %s is more than %d, beyond any price of a cut; check the figure", e.key, strings.TrimSpace(e.value.raw), mostThousandths/100_000)
		return 0
	}
	return n.Int64()
}

// percent reads a share in hundredths of a percent.
func (b block) percent(name string) int64 { return b.share(name, 2, "hundredth") }

// taxRate reads a share in thousandths of a percent, as fine as rates of tax are.
func (b block) taxRate(name string) int64 { return b.share(name, 3, "thousandth") }

// share reads a percentage with so many decimals, the last of which has a name.
func (b block) share(name string, decimals int, last string) int64 {
	e := b.at[name]
	if e == nil {
		return 0
	}
	share, ok := number(e.value)
	if !ok && e.value.kind == unstable.String {
		share, ok = plainNumber(strings.TrimSpace(strings.TrimSuffix(strings.TrimSpace(e.value.text), "%")), b.r.job.DecimalComma)
	}
	if !ok || share.Sign() < 0 || share.Cmp(big.NewRat(100, 1)) > 0 {
		b.wrong(e, "a percentage from 0 to 100, such as 5")
		return 0
	}
	unit := int64(1)
	for range decimals {
		unit *= 10
	}
	share.Mul(share, big.NewRat(unit, 1))
	n := roundHalfUp(share)
	if !share.IsInt() {
		b.r.remark(e.value.pos, "%s %s was rounded to a %s of a percent, %s", e.key, strings.TrimSpace(e.value.raw), last, new(big.Rat).SetFrac(n, big.NewInt(unit)).FloatString(decimals))
	}
	return n.Int64()
}
