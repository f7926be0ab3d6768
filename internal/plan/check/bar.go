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
	if len(l.Panels) > 0 || l.Tree != nil || l.Strip != nil || l.TrimsAtYard {
		a.find(where, "a bar holds pieces, not panels, a cut tree or trimmed edges")
	}
	if len(l.Pieces) == 0 {
		a.find(where, "nothing is cut from it")
		return false
	}
	if o == nil {
		for _, p := range l.Pieces {
			a.piece(m, p, copyName(where, p.Mark, p.Copy))
		}
		return false
	}
	stretches := a.stretches(m, l, o, where)
	if stretches == nil {
		return false
	}
	b := barAudit{audit: a, m: m, offer: o, stretches: stretches, where: where}
	for _, s := range stretches {
		b.ends = append(b.ends, s.from)
	}
	measured := true
	for _, p := range l.Pieces {
		at := copyName(where, p.Mark, p.Copy)
		jp := a.piece(m, p, at)
		if jp == nil || !onTape(p.At) {
			if jp != nil {
				a.find(at, "it starts at %d units, which is no length on a bar", int64(p.At))
			}
			measured = false
			continue
		}
		if m.process.BySupplier && a.carried(o) && jp.Length > a.job.LongestLoad {
			a.find(at, "it is %s long and is to be fetched, the load may be %s", a.len(jp.Length), a.len(a.job.LongestLoad))
		}
		if measured {
			b.piece(jp, p, at)
		}
	}
	if !measured {
		return false
	}
	b.end()

	var offcut length.Length
	for i, s := range stretches {
		offcut = max(offcut, s.to-b.ends[i])
	}
	if l.Offcut != offcut {
		a.find(where, "its offcut is given as %s, what remains is %s", a.len(l.Offcut), a.len(offcut))
	}
	stays := a.carried(o) && offcut > a.job.LongestLoad
	kept := m.job.KeepOver > 0 && offcut >= m.job.KeepOver && !stays
	a.kept(where, l.Kept, kept)
	m.leftover(whole(int64(offcut)), kept)
	return true
}

// barAudit walks the pieces of one bar from left to right.
type barAudit struct {
	*audit
	m         *material
	offer     *job.Offer
	stretches []stretch
	// ends are where the leftover of every stretch begins.
	ends  []length.Length
	where string

	at    int // stretch of the piece before
	last  *job.Piece
	right mitre         // its right end
	tip   length.Length // and that end's tip
}

// piece checks where a piece starts: at the left end of its part of the bar,
// or one saw cut after the piece before it.
func (b *barAudit) piece(p *job.Piece, placed plan.Piece, name string) {
	at := placed.At
	how, may := b.lying(b.m, placed.Turned, placed.Rolled)
	if !may {
		b.find(name, "it lies turned end for end (%t) and rolled over (%t), which its section, its good face or the saw does not allow", placed.Turned, placed.Rolled)
	}
	left, right := b.m.mitres(p, how)
	for b.at+1 < len(b.stretches) && at >= b.stretches[b.at+1].from {
		b.end()
		b.at++
	}
	if b.last == nil {
		want := b.stretches[b.at].from
		if b.at == 0 {
			want = b.m.process.TrimLeft
		}
		switch {
		case at != want && b.at == 0:
			b.find(name, "it starts at %s, it must start at the end of the left trim, %s", b.len(at), b.len(want))
		case at != want:
			b.find(name, "it starts at %s, it must start behind the first cut, at %s", b.len(at), b.len(want))
		case at < b.m.process.TrimLeft:
			b.find(name, "it starts at %s, within the left trim", b.len(at))
		}
	} else {
		joint := max(b.right.cut, left.cut)
		if b.nests(b.m) && len(b.stretches) == 1 {
			joint = apart(b.right, left)
		}
		if want := b.tip + joint; at != want {
			b.find(name, "it starts at %s, it must start at %s, one saw cut (%s) after the piece before it", b.len(at), b.len(want), b.len(joint))
		}
	}
	b.last, b.right, b.tip = p, right, at+p.Length
}

// end checks the last piece of a stretch, which must be clear of the right trim
// and of the tail that the saw cannot grip.
func (b *barAudit) end() {
	if b.last == nil {
		return
	}
	s, pr := b.stretches[b.at], b.m.process
	cut := b.right.cut
	reach, limit := b.tip, min(s.to, b.offer.Length-pr.TrimRight)
	if pr.Tail > 0 {
		reach, limit = reach+cut, limit-pr.Tail
	}
	if reach > limit {
		b.find(b.where, "its pieces reach to %s, only %s can be used", b.len(reach), b.len(limit))
	}
	b.ends[b.at] = min(s.to, b.tip+cut)
	b.last = nil
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
