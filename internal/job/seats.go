package job

import (
	"cmp"
	"slices"

	"sawbill/internal/length"
)

// Rivets of rows that lie on one tube at the same places. A place of a tube is a seat
// for one rivet, and there are as many of it as there are tubes of that mark. Where
// rows have more copies together than there are seats, skins lie over each other
// and share rivets: each is counted once, with the row whose panel stands last in the
// list, and takes the grip of what is under it. Nothing is shared where the seats
// suffice for all.

// Set is rivets of a row that are alike: in so many copies of the panel, from one on,
// so many each.
type Set struct {
	From, Copies, Each int64
	// Under are the skins that they go through beside the panel's own.
	Under []Skin
}

// Skin is another panel under a row of rivets, and the adhesive on it.
type Skin struct {
	Material int // index into Job.Materials
	Bond     length.Length
}

// seat is the rows that have a hole at one place of a tube, by their numbers, ascending.
type seat []int

// run is the copies of a panel, from one to before another, of which one hole is alike.
type run struct {
	from, to int64
	under    []Skin
	set      bool // a rivet is set in it from this panel
}

// shareRivets counts the rivets of rows on tubes of one mark once.
func (r *reader) shareRivets(tube Piece, all []onTube) {
	var rows []*onTube // their first courses, in the order of the panels
	number := map[*RivetRow]int{}
	for i := range all {
		if _, met := number[all[i].v]; !met {
			number[all[i].v] = len(rows)
			rows = append(rows, &all[i])
		}
	}
	seats := seatsOf(all, number)
	r.unclear(tube, rows, seats)
	if slices.ContainsFunc(rows, func(o *onTube) bool { return r.seamsOf(*o.panel) != nil }) {
		return // which parts of them lie there is not told
	}
	runs := make([][][]run, len(rows)) // of every hole of a row
	met := make([][]int, len(rows))
	heaped := false
	for _, s := range seats {
		if n := copiesIn(s, rows); n > 2*tube.Quantity { // not what is meant: each is counted by itself
			if !heaped {
				last := rows[s[len(s)-1]]
				r.remark(last.at, "%d copies of rows have holes at one place of %s, of which there are %d: more than two skins would lie over each other; check the quantities",
					n, quote(tube.Mark), tube.Quantity)
			}
			heaped = true
			for _, k := range s {
				runs[k] = append(runs[k], []run{{to: rows[k].panel.Quantity, set: true}})
			}
			continue
		}
		shares := r.share(s, rows, tube.Quantity)
		for k, list := range shares {
			runs[s[k]] = append(runs[s[k]], list)
			if len(list) == 1 && list[0].set && len(list[0].under) == 0 {
				continue
			}
			for _, other := range meeting(s, s[k], rows) {
				if !slices.Contains(met[s[k]], other) {
					met[s[k]] = append(met[s[k]], other)
				}
			}
		}
	}
	for k, o := range rows {
		if len(met[k]) == 0 {
			continue
		}
		o.v.Sets, o.v.SetFor, o.v.Met = setsOf(runs[k], o.panel.Quantity), o.panel.Quantity, nil
		for _, other := range met[k] {
			o.v.Met = append(o.v.Met, rows[other].row)
		}
		r.rivetsForSets(o)
	}
}

// copiesIn is how many copies of rows have holes in a seat.
func copiesIn(s seat, rows []*onTube) int64 {
	n := int64(0)
	for _, k := range s {
		n += rows[k].panel.Quantity
	}
	return n
}

// meeting is the other rows of a seat that one can share a rivet with: those of the same hand
// where there are any.
func meeting(s seat, row int, rows []*onTube) seat {
	others := slices.DeleteFunc(slices.Clone(s), func(k int) bool { return k == row })
	hand := func(k int) bool { return rows[k].panel.Form != nil && rows[k].panel.Form.other != nil }
	if alike := slices.DeleteFunc(slices.Clone(others), func(k int) bool { return hand(k) != hand(row) }); len(alike) > 0 {
		return alike
	}
	return others
}

// unclear tells of rows at one place of a tube of which it is not known whether they share
// rivets.
func (r *reader) unclear(tube Piece, rows []*onTube, seats []seat) {
	told := map[[2]int]bool{}
	for _, s := range seats {
		copies := copiesIn(s, rows)
		for i, a := range s {
			for _, b := range s[:i] {
				first, second := rows[b], rows[a]
				seamed := r.seamsOf(*first.panel) != nil || r.seamsOf(*second.panel) != nil
				switch {
				case told[[2]int{b, a}] || first.panel == second.panel:
					continue
				case copies < tube.Quantity:
					r.remark(second.at, "%s and %s have holes at one place of %s, of which there are %d, and are taken to lie on different ones; if they lie over each other, give that piece a mark of its own",
						quote(first.row), quote(second.row), quote(tube.Mark), tube.Quantity)
				case copies > tube.Quantity && seamed:
					r.remark(second.at, "%s and %s go through one row of rivets on %s: it must take the grip of both skins, and its rivets are counted twice here, as one of them is parted",
						quote(first.row), quote(second.row), quote(tube.Mark))
				}
				told[[2]int{b, a}] = true
			}
		}
	}
}

// seatsOf gathers the holes at one place: on one face, and no farther than lapped from the first.
func seatsOf(all []onTube, number map[*RivetRow]int) []seat {
	type hole struct {
		face          int
		offset, along int64
		row           int
	}
	var holes []hole
	for _, o := range all {
		for _, t := range o.along {
			holes = append(holes, hole{o.v.Place.Face, o.offset, t, number[o.v]})
		}
	}
	slices.SortFunc(holes, func(a, b hole) int {
		return cmp.Or(cmp.Compare(a.face, b.face), cmp.Compare(a.offset, b.offset))
	})
	var out []seat
	for len(holes) > 0 {
		n := 1
		for n < len(holes) && holes[n].face == holes[0].face && near(holes[0].offset, holes[n].offset) {
			n++
		}
		line := holes[:n]
		holes = holes[n:]
		slices.SortFunc(line, func(a, b hole) int { return cmp.Or(cmp.Compare(a.along, b.along), cmp.Compare(a.row, b.row)) })
		for i := 0; i < len(line); {
			var s seat
			first := line[i].along
			for ; i < len(line) && near(first, line[i].along); i++ {
				s = append(s, line[i].row)
			}
			slices.Sort(s)
			out = append(out, slices.Compact(s))
		}
	}
	return out
}

// slot is seats in which rivets of one row are set, from one copy of its panel to before another.
type slot struct {
	row      int // of the seat
	from, to int64
	under    []Skin
}

// share tells of each row of a seat what becomes of the copies of its hole, when so many
// tubes have that seat. What stands last is riveted first; what finds no seat
// lies under others.
func (r *reader) share(s seat, rows []*onTube, tubes int64) [][]run {
	out := make([][]run, len(s))
	var slots []slot
	for k := len(s) - 1; k >= 0; k-- {
		n := min(rows[s[k]].panel.Quantity, tubes)
		if tubes -= n; n > 0 {
			slots = append(slots, slot{row: k, to: n})
		}
		if all := rows[s[k]].panel.Quantity; n < all {
			out[k] = append(out[k], run{from: n, to: all})
		}
	}
	for k := len(s) - 1; k >= 0; k-- {
		if len(out[k]) == 0 {
			continue
		}
		o := rows[s[k]]
		skin := Skin{o.panel.Material, bondAt(o.v.Row)}
		for left := out[k][0].to - out[k][0].from; left > 0; {
			// Under those with the fewest skins, of other rows where there are any.
			i := 0
			for at := range slots {
				worse := func(t slot) [2]int { return [2]int{btoi(t.row == k), len(t.under)} }
				if a, b := worse(slots[at]), worse(slots[i]); slices.Compare(a[:], b[:]) < 0 {
					i = at
				}
			}
			t := slots[i]
			n := min(left, t.to-t.from)
			if t.from+n < t.to {
				slots = slices.Insert(slots, i+1, slot{t.row, t.from + n, t.to, t.under})
			}
			slots[i].to, slots[i].under = t.from+n, append(slices.Clone(t.under), skin)
			left -= n
		}
	}
	for _, t := range slots {
		out[t.row] = append(out[t.row], run{t.from, t.to, t.under, true})
	}
	return out
}

func btoi(b bool) int {
	if b {
		return 1
	}
	return 0
}
