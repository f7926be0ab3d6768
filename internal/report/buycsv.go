package report

import (
	"fmt"
	"strings"

	"sawbill/internal/length"
	"sawbill/internal/plan"
)

// The tables of what is bought. Every amount in them is a line of a bill, so
// that the column adds up to what is paid and the value of our own stock.

// What a row of the tables is for; a charge has the plan's own words.
const (
	rowGoods = "goods"
	rowMark  = "mark" // bought cut and ready
	rowTax   = "tax"
	rowCut   = "cut" // a piece or panel to be cut, with no amount of its own
)

// buyTable lists what is bought from everybody, and what comes from the rack.
func (s *set) buyTable() []byte {
	rows := [][]string{{"supplier", "way", "what", "mark", "material", "stock", "alloy", s.in("length"), s.in("width"),
		"count", "spare", "pack", "from", "free", "each", "amount", "currency"}}
	pieces := map[int]string{}
	for _, b := range bills(s.plan, s.job) {
		row := func(what, mark string, m plan.Material, l, w length.Length, count, spare, pack, from, free int64, each string, amount plan.Money) {
			rows = append(rows, []string{b.supplier, b.way, what, mark, m.Key, m.Stock, m.Alloy, s.some(l), s.some(w),
				some(count), some(spare), some(pack), some(from), some(free), each, amount.String(), s.currency})
		}
		for _, g := range b.goods {
			row(rowGoods, "", g.material, g.Length, g.Width, g.Count, g.Spare, g.Pack, g.from, 0, g.Each.String(), g.Amount)
			pieces[len(rows)-1] = g.rack
		}
		for _, m := range b.marks {
			row(rowMark, m.Mark, m.material, s.pieces[m.Mark].Length+s.panels[m.Mark].Length, s.panels[m.Mark].Width, m.Count, 0, 0, 0, 0, m.Each.String(), m.Amount)
		}
		for _, c := range b.charges {
			row(c.What, "", plan.Material{}, 0, 0, c.Count, 0, 0, 0, c.Free, eachText(c), c.Amount)
		}
		if b.tax != nil {
			row(rowTax, "", plan.Material{}, 0, 0, 0, 0, 0, 0, 0, "", b.tax.Amount)
		}
	}
	return s.withRack(rows, func(i int) string { return pieces[i] })
}

// some is a count, empty when there is none.
func some(n int64) string {
	if n == 0 {
		return ""
	}
	return fmt.Sprint(n)
}

func (s style) some(l length.Length) string {
	if l == 0 {
		return ""
	}
	return s.exact(l)
}

func eachText(c plan.Charge) string {
	if c.Count == 0 {
		return ""
	}
	return c.Each.String()
}

// orderTable lists what is ordered from one supplier, with what it is to cut.
func (s *set) orderTable(name string) []byte {
	b := billOf(s.plan, s.job, name)
	head := []string{"what", "mark", "material", "stock", "alloy", "temper", s.in("wall"), "finish", s.in("length"), s.in("width"),
		"left_degrees", "right_degrees", "left_face", "right_face", "count", "pack", s.in("minus"), s.in("plus"), "as", "free", "each", "amount", "currency"}
	rows := [][]string{head}
	// A row is filled by the names of its columns.
	row := func(m plan.Material, cells map[string]string) {
		if m.Key != "" {
			alloy, temper := splitTemper(m.Alloy)
			cells["material"], cells["stock"], cells["alloy"], cells["temper"] = m.Key, m.Stock, alloy, temper
			cells[s.in("wall")] = s.some(s.materials[m.Key].Section.Thickness)
			switch row := s.materials[m.Key]; {
			case row.GoodSide && row.Sheet():
				cells["finish"] = "good side, film on"
			case row.GoodSide:
				cells["finish"] = "one good side"
			}
		}
		line := make([]string, len(head))
		for i, h := range head {
			line[i] = cells[h]
		}
		rows = append(rows, line)
	}
	for _, g := range b.goods {
		row(g.material, map[string]string{"what": rowGoods, s.in("length"): s.some(g.Length), s.in("width"): s.some(g.Width), "count": fmt.Sprint(g.Count),
			"pack": some(g.Pack), s.in("minus"): "0", "each": g.Each.String(), "amount": g.Amount.String(), "currency": s.currency})
	}
	for _, m := range b.marks {
		row(m.material, map[string]string{"what": rowMark, "mark": m.Mark, "count": fmt.Sprint(m.Count),
			"each": m.Each.String(), "amount": m.Amount.String(), "currency": s.currency})
	}
	plus := s.plusses()
	for _, p := range s.orderedParts(b) {
		for _, c := range p.cuts {
			cells := map[string]string{"what": rowCut, "mark": c.mark, "count": fmt.Sprint(c.quantity), s.in("minus"): "0"}
			if p.material.Kind == plan.Sheet {
				cells[s.in("length")], cells[s.in("width")], cells[s.in("plus")] = s.exact(c.panel.Length), s.exact(c.panel.Width), s.exact(plus.panel)
			} else {
				cells[s.in("length")], cells[s.in("plus")], cells["as"] = s.exact(c.piece.Length), s.exact(plus.piece(c.piece)), state(c.piece)
				cells["left_degrees"], cells["right_degrees"] = thousandths(c.piece.Left), thousandths(c.piece.Right)
				sec := s.materials[p.material.Key].Section
				cells["left_face"], cells["right_face"] = sec.LaidOn(c.piece.Left, c.piece.LeftFace), sec.LaidOn(c.piece.Right, c.piece.RightFace)
			}
			row(p.material, cells)
		}
	}
	for _, c := range b.charges {
		row(plan.Material{}, map[string]string{"what": c.What, "count": some(c.Count), "free": some(c.Free), "each": eachText(c),
			"amount": c.Amount.String(), "currency": s.currency})
	}
	if b.tax != nil {
		row(plan.Material{}, map[string]string{"what": rowTax, "amount": b.tax.Amount.String(), "currency": s.currency})
	}
	return table4180(rows)
}

// splitTemper parts an alloy from its temper, whose letters are those of EN 515 and
// ANSI H35.1: F, O, H, W and T.
func splitTemper(alloy string) (name, temper string) {
	i := strings.LastIndex(alloy, "-")
	if i < 1 || i+1 == len(alloy) {
		return alloy, ""
	}
	rest := alloy[i+2:]
	digits := strings.Trim(rest, "0123456789") == ""
	switch c := alloy[i+1]; {
	case (c == 'F' || c == 'O') && rest == "", (c == 'H' || c == 'T' || c == 'W') && digits:
		return alloy[:i], alloy[i+1:]
	}
	return alloy, ""
}
