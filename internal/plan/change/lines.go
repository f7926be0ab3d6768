package change

import (
	"cmp"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"slices"

	"sawbill/internal/job"
	"sawbill/internal/length"
	"sawbill/internal/plan"
)

// Bought lists what a plan of a job buys, with the counts as New. Goods are known by
// what a supplier knows them by: section, alloy and size, not by the job's name for
// a material; pieces and panels that come cut and ready by their mark and how they
// are cut. Our own stock and what lies on a rack are not ordered and not among them.
func Bought(j *job.Job, p *plan.Plan) []Line {
	var lines []Line
	for _, m := range p.Materials {
		for _, b := range m.Buy {
			if slices.ContainsFunc(p.Orders, func(o plan.Order) bool { return o.Supplier == b.Supplier && o.Way == plan.OnHand }) {
				continue
			}
			lines = append(lines, Line{Supplier: b.Supplier, Stock: m.Stock, Alloy: m.Alloy, Length: b.Length, Width: b.Width, New: b.Count})
		}
		for _, q := range m.Marks {
			l := Line{Supplier: m.ByMark, Stock: m.Stock, Alloy: m.Alloy, Mark: q.Mark, New: q.Count}
			l.Length, l.Width, l.Cut = Cut(j, q.Mark)
			lines = append(lines, l)
		}
	}
	return lines
}

// Cut tells how a mark is cut: its size over all, and a digest of its ends or its
// shape; all zero where the job has no such mark.
func Cut(j *job.Job, mark string) (l, w length.Length, digest string) {
	var ends any
	for _, p := range j.Pieces {
		if p.Mark == mark {
			l, ends = p.Length, []any{p.Left, p.Right, p.LeftFace, p.RightFace, p.LeftLong}
		}
	}
	for _, p := range j.Panels {
		if p.Mark == mark {
			l, w, ends = p.Length, p.Width, p.Shape()
		}
	}
	if ends == nil {
		return 0, 0, ""
	}
	text, _ := json.Marshal(ends) // numbers and slices of them alone
	sum := sha256.Sum256(text)
	return l, w, hex.EncodeToString(sum[:8])
}

// Lines puts what is bought now beside what was, both as Bought has it.
func Lines(old, new []Line) []Line {
	count := map[Line]*Line{}
	gather := func(list []Line, side func(*Line) *int64) {
		for _, b := range list {
			key := b
			key.Old, key.New = 0, 0
			if count[key] == nil {
				line := key
				count[key] = &line
			}
			*side(count[key]) += b.New
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
		return cmp.Or(byName(a.Supplier, b.Supplier), byName(a.Mark, b.Mark), byName(a.Stock, b.Stock), byName(a.Alloy, b.Alloy),
			cmp.Compare(b.Length, a.Length), cmp.Compare(b.Width, a.Width), cmp.Compare(a.Cut, b.Cut))
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
