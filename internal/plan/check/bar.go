package check

import (
	"math"

	"sawbill/internal/job"
	"sawbill/internal/length"
	"sawbill/internal/plan"
)

// cutLength is the length of bar that one cut uses: the kerf over the cosine
// of its angle from square (thousandths of a degree), rounded up to the unit.
// The millionth taken off keeps an exact value, such as the double kerf at
// 60°, from being rounded up by the float's last digit.
func cutLength(kerf length.Length, angle int64) length.Length {
	cos := math.Cos(float64(angle) * math.Pi / 180_000)
	return length.Length(math.Ceil(float64(kerf)/cos - 1e-6))
}

// stock checks that a layout's bar or sheet is an offer of the material.
func (a *audit) stock(m *material, s plan.Stock, where string) *job.Offer {
	if s.Offer < 0 || s.Offer >= len(a.job.Offers) {
		a.find(where, "its stock is offer %d, the job has %d offers counted from 0", s.Offer, len(a.job.Offers))
		return nil
	}
	o := &a.job.Offers[s.Offer]
	if o.Material != m.index {
		a.find(where, "its stock is offer %d, which is another material", s.Offer)
		return nil
	}
	if s.Length != o.Length || s.Width != o.Width {
		a.find(where, "its stock is %s x %s, offer %d is %s x %s", a.len(s.Length), a.len(s.Width), s.Offer, a.len(o.Length), a.len(o.Width))
	}
	if s.Supplier != a.supplier(o) {
		a.find(where, "its stock comes from %q, offer %d is of %q", s.Supplier, s.Offer, a.supplier(o))
	}
	return o
}

func (a *audit) supplier(o *job.Offer) string {
	if o.Supplier < 0 || o.Supplier >= len(a.job.Suppliers) {
		return ""
	}
	return a.job.Suppliers[o.Supplier].Name
}

// bar checks one bar. It returns false when the bar holds values on which
// nothing more can be built.
func (a *audit) bar(m *material, l *plan.Layout, where string) bool {
	o := a.stock(m, l.Stock, where)
	if len(l.Panels) > 0 || l.Tree != nil {
		a.find(where, "a bar holds pieces, not panels or a cut tree")
	}
	if len(l.Pieces) == 0 {
		a.find(where, "nothing is cut from it")
		return false
	}
	pr := m.process
	var last *job.Piece
	var end length.Length // right tip of the last piece
	measured := o != nil
	for i, p := range l.Pieces {
		at := copyName(where, p.Mark, p.Copy)
		jp := a.piece(m, p, at)
		if jp == nil || !onTape(p.At) {
			if jp != nil {
				a.find(at, "it starts at %d units, which is no length on a bar", int64(p.At))
			}
			measured, last = false, nil
			continue
		}
		switch {
		case i == 0 && p.At != pr.TrimLeft:
			a.find(at, "it starts at %s, it must start at the end of the left trim, %s", a.len(p.At), a.len(pr.TrimLeft))
		case last != nil:
			joint := max(cutLength(pr.Kerf, last.Right), cutLength(pr.Kerf, jp.Left))
			if want := end + joint; p.At != want {
				a.find(at, "it starts at %s, it must start at %s, one saw cut (%s) after the piece before it", a.len(p.At), a.len(want), a.len(joint))
			}
		}
		last, end = jp, p.At+jp.Length
	}
	if !measured || last == nil {
		return false
	}

	cut := cutLength(pr.Kerf, last.Right)
	reach, limit := end, o.Length-pr.TrimRight
	if pr.Tail > 0 {
		reach, limit = end+cut, limit-pr.Tail
	}
	if reach > limit {
		a.find(where, "its pieces reach to %s, only %s can be used", a.len(reach), a.len(limit))
	}
	offcut := max(0, o.Length-end-cut)
	if l.Offcut != offcut {
		a.find(where, "its offcut is given as %s, what remains is %s", a.len(l.Offcut), a.len(offcut))
	}
	kept := m.job.KeepOver > 0 && offcut >= m.job.KeepOver
	a.kept(where, l.Kept, kept)
	m.leftover(whole(int64(offcut)), kept)
	return true
}

func (a *audit) kept(where string, got, want bool) {
	switch {
	case got && !want:
		a.find(where, "a leftover is marked as kept that is too small to keep")
	case want && !got:
		a.find(where, "a leftover large enough to keep is not marked as kept")
	}
}

// leftover remembers the largest leftover of the material.
func (m *material) leftover(size wide, kept bool) {
	if size.compare(m.largest) > 0 {
		m.largest = size
	}
	if kept && size.compare(m.largestKept) > 0 {
		m.largestKept = size
	}
}
