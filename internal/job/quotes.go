package job

// The table of quotes: what a supplier that lays out its own stock asks for one
// piece or panel, cut and ready.

func (r *reader) readQuotes(t *table) {
	for _, row := range t.rows {
		q := Quote{Pos: row.line.at}
		fine := row.supplier(&q.Supplier)
		m := row.cell("mark")
		if q.Mark = m.text; m.text == "" {
			r.fault(m.at, "the row has no mark; write that of a piece or panel")
			fine = false
		}
		if row.quoted(&q.Price) && fine {
			r.job.Quotes = append(r.job.Quotes, q)
		}
	}
}

// quoted reads the price of one piece or panel.
func (c record) quoted(to *int64) bool {
	p, ok := c.priced("write what one costs cut and ready, such as 4.80")
	if !ok {
		return false
	}
	v := c.cell("price")
	if p.per.basis != each {
		c.t.r.fault(v.at, "price %s is %s; write what one costs cut and ready, such as 4.80", quote(v.text), p.per.name)
		return false
	}
	cents, _, err := toCents(p.amount)
	if err != nil {
		c.t.r.fault(v.at, "price %s: %v", quote(v.text), err)
		return false
	}
	*to = cents
	return true
}
