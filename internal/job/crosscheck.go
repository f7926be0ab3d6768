package job

import (
	"strconv"
	"strings"

	"sawbill/internal/length"
)

// Checks across the tables, made when the offers read well; rows of pieces and
// panels that do not are left out, they have been explained.

func (r *reader) crossCheck() {
	j := &r.job
	stocks := make([]stock, len(j.Materials))
	for _, o := range j.Offers {
		s := &stocks[o.Material]
		switch {
		case j.Suppliers[o.Supplier].ByMark: // sells by the mark alone
			s.byMark = j.Suppliers[o.Supplier].Name
		case o.Stock == 0:
			s.soldOut = true
		default:
			s.add(j, o)
		}
	}
	for _, o := range j.Offers {
		r.fitsBlade(o)
	}
	quoted := r.checkQuotes()
	used := make([]bool, len(j.Materials))
	r.tellApart()
	for _, p := range j.Pieces {
		if r.wanted(quoted[p.Material]) && r.offered(p.Mark, p.Pos, p.Material, &stocks[p.Material], !used[p.Material]) {
			r.fitsBar(p, &stocks[p.Material])
		}
		used[p.Material] = true
	}
	for _, p := range j.Panels {
		if r.wanted(quoted[p.Material]) && r.offered(p.Mark, p.Pos, p.Material, &stocks[p.Material], !used[p.Material]) && !r.unparted(p) {
			r.fitsSheet(p, &stocks[p.Material])
		}
		used[p.Material] = true
	}
	sheets := false
	for i, m := range j.Materials {
		sheets = sheets || m.Sheet()
		if !used[i] {
			r.remark(m.Pos, "nothing is cut from the material %s", quote(m.Key))
			continue
		}
		if s := &stocks[i]; m.Spare+m.SparePercent > 0 && len(s.offers) > 0 && r.wanted(quoted[i]) && !s.spare(j, i) {
			r.fault(m.Pos, "no offer of %s is one from which every mark of it can be cut, so none is fit for a spare; offer a larger size, or take spare out of [material.%s]", quote(m.Key), tomlKey(m.Key))
		}
	}
	if j.WidestLoad > 0 && !sheets {
		r.remark(r.loadAt, "the second length of longest-load is for sheets and the job has none")
	}
}

// tellApart finds marks that labels, and whoever ticks off what is cut, could take for
// each other: that of a piece and of a panel, and one that reads like a copy of another.
func (r *reader) tellApart() {
	first := map[string]Pos{}
	for _, p := range r.job.Pieces {
		first[p.Mark] = p.Pos
	}
	for _, p := range r.job.Panels {
		if at, twice := first[p.Mark]; twice {
			r.fault(p.Pos, "the mark %s is a panel here and a piece in %s; give one of them another mark, for their labels would be alike", quote(p.Mark), at)
			continue
		}
		first[p.Mark] = p.Pos
	}
	copied := func(mark string, at Pos) {
		slash := strings.LastIndex(mark, "/")
		if slash < 0 {
			return
		}
		other, known := first[mark[:slash]]
		if n, err := strconv.Atoi(mark[slash+1:]); known && err == nil && n > 0 {
			r.fault(at, "the mark %s reads like copy %d of %s in %s; give one of them another mark, such as %s", quote(mark), n, quote(mark[:slash]), other, quote(mark[:slash]+"-"+mark[slash+1:]))
		}
	}
	for _, p := range r.job.Pieces {
		copied(p.Mark, p.Pos)
	}
	for _, p := range r.job.Panels {
		copied(p.Mark, p.Pos)
	}
}

// wanted tells whether a material must be on sale: it need not where all its
// marks can be bought cut, or may be, as a quote is at fault.
func (r *reader) wanted(quoted bool) bool { return !quoted && !r.unreadTables["quotes"] }

// stock is what is on sale of one material, and of bars the longest, the most
// that one has to give and the most that can be brought home of it.
type stock struct {
	offers                 []Offer
	soldOut                bool
	byMark                 string // who offers it and sells by the mark alone, if anyone
	longest, usable, loads length.Length
}

func (s *stock) add(j *Job, o Offer) {
	s.offers = append(s.offers, o)
	p := j.Processes[j.Materials[o.Material].Process]
	usable := p.usable(o.Length)
	s.longest, s.usable = max(s.longest, o.Length), max(s.usable, usable)
	if j.bound(j.Suppliers[o.Supplier]) {
		switch {
		case p.BySupplier:
			usable = min(usable, j.LongestLoad)
		case o.Length > j.LongestLoad: // cut at the yard; a part from the middle has no trims
			usable = min(usable, j.LongestLoad-p.Tail)
		}
	}
	s.loads = max(s.loads, usable)
}

// spare reports whether every mark of the material can be cut from one offer.
func (s *stock) spare(j *Job, material int) bool {
	process := j.Processes[j.Materials[material].Process]
	for _, o := range s.offers {
		all := true
		for _, p := range j.Pieces {
			all = all && (p.Material != material || p.Length <= process.usable(o.Length))
		}
		for _, p := range j.Panels {
			all = all && (p.Material != material || process.holds(o, p))
		}
		if all {
			return true
		}
	}
	return false
}

// bound reports whether the longest load binds what a supplier sells: there is
// one, and all is fetched.
func (j *Job) bound(s Supplier) bool { return j.LongestLoad > 0 && !s.Delivers && !s.OnHand }

// loaded reports whether a sheet or panel is within the load, either way round.
func (j *Job) loaded(long, wide length.Length) bool {
	return max(long, wide) <= j.LongestLoad && (j.WidestLoad == 0 || min(long, wide) <= j.WidestLoad)
}

// print is a length in the job's unit.
func (r *reader) print(l length.Length) string {
	return length.Exact(l, r.job.Unit) + unitBehindExact(r.job.Unit)
}

func unitBehindExact(u length.Unit) string {
	if u == length.Ft {
		return "" // feet and inches carry their marks
	}
	return " " + u.String()
}

// usable is what trims and tail leave of a bar.
func (p Process) usable(long length.Length) length.Length {
	return long - p.TrimLeft - p.TrimRight - p.Tail
}

// offered reports whether anything is on sale for a piece or panel; the first
// of a material for which nothing is says so.
func (r *reader) offered(mark string, at Pos, material int, s *stock, first bool) bool {
	key := r.job.Materials[material].Key
	switch {
	case len(s.offers) > 0:
		return true
	case first && s.soldOut:
		r.fault(at, "%s is cut from %s and every offer of it has the stock 0; raise the stock, leave it empty for as many as wanted, or add a row to offers", quote(mark), quote(key))
	case first && s.byMark != "":
		r.fault(at, "%s is cut from %s and %s, which offers it, sells by the mark; add a price for each mark to quotes, or a row of another supplier to offers", quote(mark), quote(key), quote(s.byMark))
	case first:
		r.fault(at, "%s is cut from %s and no supplier offers it; add a row to offers", quote(mark), quote(key))
	}
	return false
}

// fitsBar refuses a piece longer than what any offered bar has to give, or than
// what of it can be brought home.
func (r *reader) fitsBar(p Piece, s *stock) {
	key := quote(r.job.Materials[p.Material].Key)
	switch {
	case p.Length > s.usable:
		r.fault(p.Pos, "%s is %s long and the longest bar of %s is %s, of which %s can be used; offer a longer bar or split the piece", quote(p.Mark), r.print(p.Length), key, r.print(s.longest), r.print(max(s.usable, 0)))
	case p.Length > s.loads:
		r.fault(p.Pos, "%s is %s long and at most %s of %s can be fetched under the longest load of %s; have a supplier deliver it, raise longest-load or split the piece", quote(p.Mark), r.print(p.Length), r.print(max(s.loads, 0)), key, r.print(r.job.LongestLoad))
	}
}

// holds reports whether a panel can be cut from a sheet, as far as its size tells.
func (p Process) holds(o Offer, of Panel) bool {
	long, wide := o.Length-p.TrimLeft-p.TrimRight, o.Width-p.TrimBottom-p.TrimTop
	return of.Length <= long && of.Width <= wide || of.Turn && of.Width <= long && of.Length <= wide
}

// fitsBlade refuses a sheet whose trims or first cuts are longer than the blade.
func (r *reader) fitsBlade(o Offer) {
	m := r.job.Materials[o.Material]
	p := r.job.Processes[m.Process]
	if !m.Sheet() || p.Blade == 0 || o.Length <= p.Blade && o.Width <= p.Blade {
		return
	}
	what := ""
	switch {
	case o.Length > p.Blade && p.TrimBottom+p.TrimTop > 0, o.Width > p.Blade && p.TrimLeft+p.TrimRight > 0:
		what = "trimmed at its edges"
	case o.Length > p.Blade && p.FirstCut == CutsAlongLength, o.Width > p.Blade && p.FirstCut == CutsAlongWidth:
		what = "cut " + string(p.FirstCut) + " first"
	}
	if what != "" {
		r.fault(p.Pos, "the sheet of %s x %s (%s, line %d) is to be %s, and the blade of [process.%s] is %s long; give a longer blade, or take that out",
			r.print(o.Length), r.print(o.Width), o.Pos.File, o.Pos.Line, what, tomlKey(p.Key), r.print(p.Blade))
	}
}

// fitsSheet refuses a panel larger than what any offered sheet has to give, or
// than what can be brought home.
func (r *reader) fitsSheet(p Panel, s *stock) {
	m := r.job.Materials[p.Material]
	process := r.job.Processes[m.Process]
	var largest Offer
	held := false
	for _, o := range s.offers {
		if process.holds(o, p) {
			if held = true; !r.job.bound(r.job.Suppliers[o.Supplier]) || r.job.loaded(p.Length, p.Width) {
				return
			}
		}
		// Below ten metres the area stays inside int64; sizes beyond wrap only
		// in the wording.
		if o.Length.Millimetres()*o.Width.Millimetres() > largest.Length.Millimetres()*largest.Width.Millimetres() {
			largest = o
		}
	}
	if held {
		load := r.print(r.job.LongestLoad)
		if wide := r.job.WidestLoad; wide > 0 {
			load += " x " + r.print(wide)
		}
		r.fault(p.Pos, "%s is %s x %s and the longest load is %s; have a supplier of %s deliver it, raise longest-load or split the panel%s", quote(p.Mark), r.print(p.Length), r.print(p.Width), load, quote(m.Key), r.offerSeams(p, s))
		return
	}
	long := max(largest.Length-process.TrimLeft-process.TrimRight, 0)
	wide := max(largest.Width-process.TrimBottom-process.TrimTop, 0)
	turned := ""
	if !p.Turn && p.Width <= long && p.Length <= wide {
		turned = ", and it may not be turned"
	}
	r.fault(p.Pos, "%s is %s x %s and the largest sheet of %s is %s x %s, of which %s x %s can be used%s; offer a larger sheet or split the panel%s",
		quote(p.Mark), r.print(p.Length), r.print(p.Width), quote(m.Key), r.print(largest.Length), r.print(largest.Width), r.print(long), r.print(wide), turned, r.offerSeams(p, s))
}
