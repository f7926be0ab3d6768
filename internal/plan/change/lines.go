package change

import (
	"cmp"
	"slices"

	"sawbill/internal/plan"
)

// Lines lists the goods of both plans. Goods are known by what a supplier
// knows them by: section, alloy and size, not by the job's name for a material.
// Our own stock and what lies on a rack are not ordered and not among them.
func Lines(old, new *plan.Plan) []Line {
	count := map[Line]*Line{}
	gather := func(p *plan.Plan, side func(*Line) *int64) {
		for _, m := range p.Materials {
			for _, b := range m.Buy {
				if slices.ContainsFunc(p.Orders, func(o plan.Order) bool { return o.Supplier == b.Supplier && o.Way == plan.OnHand }) {
					continue
				}
				key := Line{Supplier: b.Supplier, Stock: m.Stock, Alloy: m.Alloy, Length: b.Length, Width: b.Width}
				if count[key] == nil {
					line := key
					count[key] = &line
				}
				*side(count[key]) += b.Count
			}
		}
	}
	gather(old, func(l *Line) *int64 { return &l.Old })
	gather(new, func(l *Line) *int64 { return &l.New })
	var lines []Line
	for _, l := range count {
		if l.Old != 0 || l.New != 0 {
			lines = append(lines, *l)
		}
	}
	slices.SortFunc(lines, func(a, b Line) int {
		return cmp.Or(byName(a.Supplier, b.Supplier), byName(a.Stock, b.Stock), byName(a.Alloy, b.Alloy),
			cmp.Compare(b.Length, a.Length), cmp.Compare(b.Width, a.Width))
	})
	return lines
}

// byName puts P2 before P10: runs of digits count as numbers. Names that this
// cannot tell apart are in the order of their bytes.
func byName(a, b string) int {
	x, y := a, b
	for x != "" && y != "" {
		m, n := digits(x), digits(y)
		if m > 0 && n > 0 {
			p, q := leadless(x[:m]), leadless(y[:n])
			if c := cmp.Or(cmp.Compare(len(p), len(q)), cmp.Compare(p, q)); c != 0 {
				return c
			}
			x, y = x[m:], y[n:]
			continue
		}
		if x[0] != y[0] {
			break
		}
		x, y = x[1:], y[1:]
	}
	return cmp.Or(cmp.Compare(x, y), cmp.Compare(a, b))
}

// digits is how many digits a text begins with.
func digits(s string) int {
	n := 0
	for n < len(s) && s[n] >= '0' && s[n] <= '9' {
		n++
	}
	return n
}

func leadless(s string) string {
	for len(s) > 1 && s[0] == '0' {
		s = s[1:]
	}
	return s
}
