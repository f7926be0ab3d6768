package job

import (
	"errors"
	"math/big"
	"strings"
)

func (r *reader) readOffers(t *table) {
	var all []*sale
	for _, row := range t.rows {
		o := Offer{Pos: row.line.at, Stock: -1, Pack: 1}
		sold := row.supplier(&o.Supplier)
		fine := sold
		var m Material
		variant := row.ofVariant()
		named := variant != nil || row.anyMaterial(&o.Material)
		fine = named && fine
		switch {
		case variant != nil:
			o.Material, m = variant.index, variant.value
		case named:
			m = r.job.Materials[o.Material]
		}
		sized := row.size(&o, m, named)
		from := int64(1)
		fine = sized && fine
		fine = row.onHand(&o.Stock, sold && r.job.Suppliers[o.Supplier].OnHand) && fine
		fine = row.from(&from) && fine
		inPacks := row.packed(&o.Pack)
		fine = row.price(&o, from, m, named && sized && inPacks) && inPacks && fine
		if s := (&sale{row: row, variant: variant, offer: o, sound: fine}); named && sized {
			all = append(all, s)
		}
	}
	for _, s := range r.tiered(all) {
		switch {
		case s.variant != nil:
			s.variant.offers = append(s.variant.offers, s.offer)
		default:
			r.job.Offers = append(r.job.Offers, s.offer)
		}
	}
}

// supplier reads who sells; a job with one supplier need not repeat it.
func (c record) supplier(to *int) bool {
	r, v := c.t.r, c.cell("supplier")
	switch {
	case v.text == "" && len(r.job.Suppliers) == 1 && !c.t.has("supplier"):
		*to = 0
	case v.text == "":
		r.fault(v.at, "the row has no supplier; write who sells it")
		return false
	default:
		*to = r.supplier(v.text, v.at)
		if len(r.job.Suppliers) > mostSuppliers {
			r.fault(v.at, "there are more than %d suppliers; check the column", mostSuppliers)
			return false
		}
	}
	return true
}

// size reads the length of a bar, or the length and width of a sheet.
func (c record) size(o *Offer, m Material, named bool) bool {
	r := c.t.r
	at := c.cell("size")
	if c.t.has("size") {
		if at.text == "" {
			r.fault(at.at, "the row has no size; write a length such as 6000, or length x width such as 2500 x 1250")
			return false
		}
		sides, ok := r.sizes(at.at, "size", at.text, c.reading("size"))
		if !ok {
			return false
		}
		o.Length = sides[0]
		if len(sides) == 2 {
			o.Width = sides[1]
		}
	} else {
		at = c.cell("length")
		if !c.positive("length", &o.Length) {
			return false
		}
		if w := c.cell("width"); w.text != "" {
			at = w
			if !c.positive("width", &o.Width) {
				return false
			}
		}
	}
	if !named || m.Section.Canonical == "" {
		return true
	}
	switch {
	case m.Sheet() && o.Width == 0:
		r.fault(at.at, "%s is a sheet and its size %s is one length; write length x width such as 2500 x 1250", quote(m.Key), quote(at.text))
		return false
	case !m.Sheet() && o.Width != 0:
		r.fault(at.at, "%s is a bar and its size %s is two lengths; write one, such as 6000", quote(m.Key), quote(at.text))
		return false
	}
	return true
}

// onHand reads the stock: a whole number, or blank for as many as wanted. Our own
// stock is never that.
func (c record) onHand(to *int64, own bool) bool {
	v := c.cell("stock")
	switch {
	case v.text == "" && own:
		c.t.r.fault(v.at, "the row is of our own stock and does not say how many there are; write it under \"stock\"")
		*to = 0
		return false
	case v.text == "":
		return true
	}
	if v.text == "0" {
		*to = 0
		return true
	}
	n, err := quantity(v.text, c.comma("stock"))
	if err != nil {
		c.t.r.fault(v.at, "stock %s is not a count; write a whole number, or leave it empty for as many as wanted", quote(v.text))
		return false
	}
	*to = n
	return true
}

// from reads the quantity from which the price holds; blank is 1.
func (c record) from(to *int64) bool {
	v := c.cell("from")
	if v.text == "" {
		return true
	}
	n, err := quantity(strings.Trim(v.text, "+≥>= "), c.comma("from"))
	if err != nil {
		advice := "write the whole number of bars or sheets from which the price holds, or leave it empty for 1"
		if !c.t.has("supplier") && !strings.ContainsAny(v.text, "0123456789") {
			advice = "if the column is of who sells, name it \"supplier\""
		}
		c.t.r.fault(v.at, "from %s is not a quantity; %s", quote(v.text), advice)
		return false
	}
	*to = n
	return true
}

// packed reads how many make one pack; blank is 1.
func (c record) packed(to *int64) bool {
	v := c.cell("pack")
	if v.text == "" {
		return true
	}
	n, err := quantity(v.text, c.comma("pack"))
	if err != nil {
		c.t.r.fault(v.at, "pack %s is not a whole number from 1 up; write how many bars or sheets make one pack, or leave it empty where they are sold singly", quote(v.text))
		return false
	}
	*to = n
	return true
}

// priced reads the price of a row, with the unit of sale of the head if it has
// none of its own; what is the advice for an empty cell.
func (c record) priced(advice string) (p price, ok bool) {
	r, v := c.t.r, c.cell("price")
	if v.text == "" {
		r.fault(v.at, "the row has no price; %s", advice)
		return p, false
	}
	p, err := r.parsePrice(v.text, c.comma("price"))
	if err == nil && p.amount.Sign() < 0 {
		err = errors.New(quote(v.text) + " is negative; write 0 or more")
	}
	if err != nil {
		r.fault(v.at, "price: %v", err)
		return p, false
	}
	if head := c.t.heads["price"].per; head != "" && !p.stated {
		p.per, _ = saleUnit(head)
	}
	return p, true
}

// price reads the price and makes it cents for one bar or sheet, and for one pack.
func (c record) price(o *Offer, from int64, m Material, placed bool) bool {
	r, v := c.t.r, c.cell("price")
	p, ok := c.priced("write one such as 21.40 each, 3.70 per m or 4.20 per kg, or take the row out")
	if !ok {
		return false
	}
	o.PriceText = v.text
	if p.per.basis != each && !p.stated {
		o.PriceText += " " + p.per.name
	}
	if !placed || m.Section.Canonical == "" {
		return false
	}
	if p.per.basis == byPack && c.cell("pack").text == "" {
		r.fault(v.at, "the price %s is per pack and the row does not say how many make one; write it under \"pack\"", quote(v.text))
		return false
	}
	one, pack, err := p.cents(o, m)
	switch {
	case err != nil:
		r.fault(v.at, "price %s: %v", quote(v.text), err)
		return false
	case pack == 0 && o.Stock < 0:
		r.fault(v.at, "the price %s is nothing and the stock is not limited; write how many there are under \"stock\"", quote(v.text))
		return false
	}
	o.Price, o.Tiers = one, []Tier{{From: from, Price: pack, Text: o.PriceText}}
	return true
}

// cents is the price of one bar or sheet and that of one pack. What is said of
// one is rounded first and then taken as often as the pack has it.
func (p price) cents(o *Offer, m Material) (one, pack int64, err error) {
	amount, err := p.each(m.Section, m.Alloy, o.Length, o.Width)
	if err != nil {
		return 0, 0, err
	}
	if p.per.basis == byPack {
		if pack, _, err = toCents(amount); err != nil {
			return 0, 0, err
		}
		one, _, err = toCents(amount.Quo(amount, big.NewRat(o.Pack, 1)))
		return one, pack, err
	}
	if one, _, err = toCents(amount); err != nil {
		return 0, 0, err
	}
	pack, _, err = toCents(new(big.Rat).Mul(big.NewRat(one, 100), big.NewRat(o.Pack, 1)))
	return one, pack, err
}
