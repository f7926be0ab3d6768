package job

import (
	"slices"

	"sawbill/internal/length"
)

// What becomes of the seats of a row, as rivets to buy.

// setsOf gathers what becomes of the copies, hole by hole, into rivets that are alike.
func setsOf(holes [][]run, quantity int64) []Set {
	cuts := []int64{0, quantity}
	for _, list := range holes {
		for _, u := range list {
			cuts = append(cuts, u.from, u.to)
		}
	}
	slices.Sort(cuts)
	cuts = slices.Compact(cuts)
	var out, before []Set
	for i, from := range cuts[:len(cuts)-1] {
		var here []Set
		for _, list := range holes {
			k := slices.IndexFunc(list, func(u run) bool { return u.set && u.from <= from && from < u.to })
			if k < 0 {
				continue
			}
			at := slices.IndexFunc(here, func(s Set) bool { return slices.Equal(s.Under, list[k].under) })
			if at < 0 {
				at, here = len(here), append(here, Set{Under: list[k].under, From: from})
			}
			here[at].Each++
		}
		wide := cuts[i+1] - from
		if slices.EqualFunc(here, before, func(a, b Set) bool { return a.Each == b.Each && slices.Equal(a.Under, b.Under) }) {
			for k := range here {
				out[len(out)-len(here)+k].Copies += wide
			}
			continue
		}
		for k := range here {
			here[k].Copies = wide
		}
		out, before = append(out, here...), here
	}
	return out
}

// most is how many rivets are set in one copy of the panel, in that which takes the most.
func most(sets []Set) int64 {
	n, here := int64(0), int64(0)
	for i, s := range sets {
		if i > 0 && s.From != sets[i-1].From {
			here = 0
		}
		here += s.Each
		n = max(n, here)
	}
	return n
}

// through is how much more a set's rivets hold together than others of their row.
func (j *Job) through(s Set) length.Length {
	sum := length.Length(0)
	for _, u := range s.Under {
		sum += j.Materials[u.Material].Section.Thickness + u.Bond
	}
	return sum
}

// rivetsForSets sees that rivets on sale take the grip of all skins.
func (r *reader) rivetsForSets(o *onTube) {
	if len(r.job.Rivets) == 0 || r.unreadTables["rivets"] {
		return
	}
	for _, s := range o.v.Sets {
		grip := r.job.Grip(*o.panel, *o.v) + r.job.through(s)
		if len(s.Under) > 0 && len(r.job.FitRivets(Joint{Diameter: length.Length(o.v.Row.Rivet.Diameter), Grip: grip})) == 0 {
			r.fault(o.at, "no rivet of diameter %s in the table of rivets takes the grip of %s where another skin lies under it, %s; add one, or set the rows apart",
				r.print(length.Length(o.v.Row.Rivet.Diameter)), quote(o.row), r.print(grip))
			return
		}
	}
}
