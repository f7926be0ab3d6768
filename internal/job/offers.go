package job

import (
	"errors"
)

func (r *reader) readOffers(t *table) {
	for _, row := range t.rows {
		o := Offer{Pos: row.line.at, Stock: -1, Pack: 1}
		fine := true
		fine = row.supplier(&o.Supplier) && fine
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
		fine = sized && fine
		fine = row.onHand(&o.Stock) && fine
		fine = row.price(&o, m, named && sized) && fine
		switch {
		case fine && variant != nil:
			variant.offers = append(variant.offers, o)
		case fine:
			r.job.Offers = append(r.job.Offers, o)
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

// onHand reads the stock: a whole number, or blank for as many as wanted.
func (c record) onHand(to *int64) bool {
	v := c.cell("stock")
	if v.text == "" {
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

// price reads the price and makes it cents for one bar or sheet.
func (c record) price(o *Offer, m Material, placed bool) bool {
	r, v := c.t.r, c.cell("price")
	if v.text == "" {
		r.fault(v.at, "the row has no price; write one such as 21.40 each, 3.70 per m or 4.20 per kg, or take the row out")
		return false
	}
	p, err := r.parsePrice(v.text, c.comma("price"))
	if err == nil && p.amount.Sign() < 0 {
		err = errors.New(quote(v.text) + " is negative; write 0 or more")
	}
	if err != nil {
		r.fault(v.at, "price: %v", err)
		return false
	}
	if head := c.t.heads["price"].per; head != "" && !p.stated {
		p.per, _ = saleUnit(head)
	}
	o.PriceText = v.text
	if p.per.basis != each && !p.stated {
		o.PriceText += " " + p.per.name
	}
	if !placed || m.Section.Canonical == "" {
		return false
	}
	amount, err := p.each(m.Section, m.Alloy, o.Length, o.Width)
	if err == nil {
		o.Price, _, err = toCents(amount)
	}
	o.Tiers = []Tier{{From: 1, Price: o.Price, Text: o.PriceText}}
	switch {
	case err != nil:
		r.fault(v.at, "price %s: %v", quote(v.text), err)
		return false
	case o.Price == 0 && o.Stock < 0:
		r.fault(v.at, "the price %s is nothing and the stock is not limited; write how many there are under \"stock\"", quote(v.text))
		return false
	}
	return true
}
