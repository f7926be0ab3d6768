package job

// The table of quotes: what a supplier that lays out its own stock asks for one
// piece or panel, cut and ready.

// quoted is what a quote is for.
type quoted struct {
	supplier int
	mark     string
}

func (r *reader) readQuotes(t *table) {
	cut := r.marks()
	met := map[quoted]Pos{}
	for _, row := range t.rows {
		q := Quote{Mark: row.cell("mark").text, Pos: row.line.at}
		fine := row.layingOut(&q.Supplier)
		fine = row.cutMark(cut) && fine
		if first, twice := met[quoted{q.Supplier, q.Mark}]; twice && fine {
			r.fault(row.cell("mark").at, "the mark %s stands twice for %s, first in line %d; keep one row", quote(q.Mark), quote(r.job.Suppliers[q.Supplier].Name), first.Line)
			fine = false
		}
		if fine {
			met[quoted{q.Supplier, q.Mark}] = q.Pos
		}
		if row.quote(&q.Price) && fine {
			r.job.Quotes = append(r.job.Quotes, q)
		}
	}
}

// layingOut reads a supplier that lays out its own stock.
func (c record) layingOut(to *int) bool {
	r := c.t.r
	if !c.supplier(to) {
		return false
	}
	s := r.job.Suppliers[*to]
	switch {
	case s.ByMark:
		return true
	case s.OnHand:
		r.fault(c.cell("supplier").at, "%s is our own stock and quotes nothing; take the row out", quote(s.Name))
	case !r.lostHeader:
		r.fault(c.cell("supplier").at, "%s does not lay out, so it has no price for a mark; add lays-out = \"supplier\" under [supplier.%s], or take the row out", quote(s.Name), tomlKey(s.Name))
	}
	return false
}

// marks are those of all pieces and panels.
func (r *reader) marks() map[string]bool {
	cut := map[string]bool{}
	for _, p := range r.job.Pieces {
		cut[p.Mark] = true
	}
	for _, p := range r.job.Panels {
		cut[p.Mark] = true
	}
	return cut
}

// cutMark sees that the mark of a quote is that of a piece or panel.
func (c record) cutMark(cut map[string]bool) bool {
	r, v := c.t.r, c.cell("mark")
	switch {
	case v.text == "":
		r.fault(v.at, "the row has no mark; write that of a piece or panel")
		return false
	case cut[v.text] || r.unreadTables["pieces"] || r.unreadTables["panels"] || r.unreadTables["brackets"] || r.unreadTables["joints"]:
		return true // its row may be one that is explained
	}
	advice := "take the row out"
	var marks []string
	for _, p := range r.job.Pieces {
		marks = append(marks, p.Mark)
	}
	for _, p := range r.job.Panels {
		marks = append(marks, p.Mark)
	}
	if parts := r.partsOf(v.text); len(parts) > 0 {
		r.fault(v.at, "the panel %s is parted along seams; give prices of %s", quote(v.text), list(parts))
		return false
	}
	if near := nearest(v.text, marks); near != "" {
		advice = "the nearest is " + quote(near)
	}
	r.fault(v.at, "there is no piece or panel %s; %s", quote(v.text), advice)
	return false
}

// quote reads the price of one piece or panel.
func (c record) quote(to *int64) bool {
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

// checkQuotes finds the materials all marks of which some supplier quotes and
// can bring home, and remarks on prices that lead to nothing.
func (r *reader) checkQuotes() (whole []bool) {
	j := &r.job
	whole = make([]bool, len(j.Materials))
	prices := map[quoted]*Quote{}
	for i := range j.Quotes {
		q := &j.Quotes[i]
		prices[quoted{q.Supplier, q.Mark}] = q
	}
	for i, s := range j.Suppliers {
		if !s.ByMark {
			continue
		}
		first, missing, heavy := make([]*Quote, len(j.Materials)), make([]string, len(j.Materials)), make([]bool, len(j.Materials))
		mark := func(mark string, material int, loaded bool) {
			q := prices[quoted{i, mark}]
			if q == nil && missing[material] == "" {
				missing[material] = mark
			}
			if q != nil && (first[material] == nil || q.Pos.Line < first[material].Pos.Line) {
				first[material] = q
			}
			heavy[material] = heavy[material] || !loaded && j.bound(s)
		}
		for _, p := range j.Pieces {
			mark(p.Mark, p.Material, p.Length <= j.LongestLoad)
		}
		for _, p := range j.Panels {
			mark(p.Mark, p.Material, j.loaded(p.Length, p.Width))
		}
		some := false
		for m := range j.Materials {
			if first[m] == nil {
				continue
			}
			some = true
			if missing[m] != "" {
				r.remark(first[m].Pos, "%s quotes marks of %s and not %s, so none of them can be bought of it by the mark; add a row to quotes", quote(s.Name), quote(j.Materials[m].Key), quote(missing[m]))
			}
			whole[m] = whole[m] || missing[m] == "" && !heavy[m]
		}
		if !some {
			r.remark(s.Pos, "%s lays out and has no row in quotes, so nothing can be bought of it; add a price for each mark, or take lays-out out", quote(s.Name))
		}
	}
	return whole
}
