package job

import "sawbill/internal/length"

// Checks across the tables, made when the offers read well; rows of pieces and
// panels that do not are left out, they have been explained.

func (r *reader) crossCheck() {
	j := &r.job
	offers := make([][]Offer, len(j.Materials))
	soldOut := make([]bool, len(j.Materials))
	for _, o := range j.Offers {
		if o.Stock == 0 {
			soldOut[o.Material] = true
			continue
		}
		offers[o.Material] = append(offers[o.Material], o)
	}
	used := make([]bool, len(j.Materials))
	pieces := map[string]bool{}
	for _, p := range j.Pieces {
		pieces[p.Mark] = true
		if r.offered(p.Mark, p.Pos, p.Material, len(offers[p.Material]), soldOut[p.Material], !used[p.Material]) {
			r.fitsBar(p, offers[p.Material])
		}
		used[p.Material] = true
	}
	for _, p := range j.Panels {
		if pieces[p.Mark] {
			r.remark(p.Pos, "the mark %s is a piece and a panel; their labels will look alike", quote(p.Mark))
		}
		if r.offered(p.Mark, p.Pos, p.Material, len(offers[p.Material]), soldOut[p.Material], !used[p.Material]) {
			r.fitsSheet(p, offers[p.Material])
		}
		used[p.Material] = true
	}
	for i, m := range j.Materials {
		if !used[i] {
			r.remark(m.Pos, "nothing is cut from the material %s", quote(m.Key))
		}
	}
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
func (r *reader) offered(mark string, at Pos, material, offers int, soldOut, first bool) bool {
	key := r.job.Materials[material].Key
	switch {
	case offers > 0:
		return true
	case first && soldOut:
		r.fault(at, "%s is cut from %s and every offer of it has the stock 0; raise the stock, leave it empty for as many as wanted, or add a row to offers", quote(mark), quote(key))
	case first:
		r.fault(at, "%s is cut from %s and no supplier offers it; add a row to offers", quote(mark), quote(key))
	}
	return false
}

// fitsBar refuses a piece longer than what any offered bar has to give.
func (r *reader) fitsBar(p Piece, offers []Offer) {
	m := r.job.Materials[p.Material]
	process := r.job.Processes[m.Process]
	var longest length.Length
	for _, o := range offers {
		longest = max(longest, o.Length)
	}
	usable := process.usable(longest)
	if p.Length > usable {
		r.fault(p.Pos, "%s is %s long and the longest bar of %s is %s, of which %s can be used; offer a longer bar or split the piece", quote(p.Mark), r.print(p.Length), quote(m.Key), r.print(longest), r.print(max(usable, 0)))
		return
	}
	if most := r.job.LongestLoad; most > 0 && p.Length > most {
		r.remark(p.Pos, "%s is %s long, more than the longest load of %s", quote(p.Mark), r.print(p.Length), r.print(most))
	}
}

// fitsSheet refuses a panel larger than what any offered sheet has to give.
func (r *reader) fitsSheet(p Panel, offers []Offer) {
	m := r.job.Materials[p.Material]
	process := r.job.Processes[m.Process]
	var largest Offer
	for _, o := range offers {
		long := o.Length - process.TrimLeft - process.TrimRight
		wide := o.Width - process.TrimBottom - process.TrimTop
		if p.Length <= long && p.Width <= wide || p.Turn && p.Width <= long && p.Length <= wide {
			return
		}
		// Below ten metres the area stays inside int64; sizes beyond wrap only
		// in the wording.
		if o.Length.Millimetres()*o.Width.Millimetres() > largest.Length.Millimetres()*largest.Width.Millimetres() {
			largest = o
		}
	}
	long := max(largest.Length-process.TrimLeft-process.TrimRight, 0)
	wide := max(largest.Width-process.TrimBottom-process.TrimTop, 0)
	turned := ""
	if !p.Turn && p.Width <= long && p.Length <= wide {
		turned = ", and it may not be turned"
	}
	r.fault(p.Pos, "%s is %s x %s and the largest sheet of %s is %s x %s, of which %s x %s can be used%s; offer a larger sheet or split the panel",
		quote(p.Mark), r.print(p.Length), r.print(p.Width), quote(m.Key), r.print(largest.Length), r.print(largest.Width), r.print(long), r.print(wide), turned)
}
