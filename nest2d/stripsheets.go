package nest2d

import (
	"context"
	"slices"
)

// Where strips go to sheets of several kinds, or parted in two ways, those fixed first
// may not come together on few sheets. Then sheets are fixed, and each is filled at
// once: from its thickest strip on with what is worth most by the program, of the
// copies still wanted (sequential value correction, as Mukhacheva et al. 2000 fill
// one layout after the other, with the duals for values).
//
// E. A. Mukhacheva, G. N. Belov, V. M. Kartack & A. S. Mukhacheva, "Linear
// one-dimensional cutting-packing problems: numerical experiments with the sequential
// value correction method (SVC) and a modified branch-and-bound method (MBB)",
// Pesquisa Operacional 20 (2000) 153–168.

// fillSheets fixes sheets and returns the draft, nil if there is none or when the
// program says that it costs more than most, in units of the largest price.
func (g *staging) fillSheets(ctx context.Context, most float64, chance func() float64) *draft {
	d := &draft{used: make([]int64, len(g.m.kinds))}
	g.restart()
	defer g.release()
	var f sliced
	for g.need() {
		g.ask()
		g.askSheets(d)
		solved, all := g.converge(ctx, roundsBetween)
		spent := float64(d.cost) / g.unit
		if !solved || spent > most || all && g.lp.Objective()+spent > most {
			return nil
		}
		worth := g.worths(g.lp.Dual(nil))
		fixed := g.pickSheets(d, chance, func(p parting) []strip { return g.filled(p, worth, &f) })
		if !fixed {
			return nil
		}
	}
	return d
}

// filled takes from the copies that are wanted what strips on a sheet hold at best, and
// more strips as far as there is room.
func (g *staging) filled(p parting, worth []int64, f *sliced) []strip {
	s := &g.slicings[p.slicing]
	room := g.m.kinds[s.kind].usable[s.axis]
	levels := slices.Sorted(slices.Values(p.levels))
	slices.Reverse(levels)
	for _, t := range levels {
		room -= s.levels[t].thickness
	}
	var list []strip
	take := func(t int) bool {
		f.room = f.room[:0]
		g.fill(s, f, worth, ruler.up)
		if f.values[t] <= 0 {
			return false
		}
		next := g.strip(p.slicing, t, f)
		for _, l := range next.lanes {
			g.wanted[l.panel]--
		}
		if len(next.lanes) > 0 {
			room -= s.levels[next.level].thickness
			list = append(list, next)
		}
		return len(next.lanes) > 0
	}
	for _, t := range levels {
		room += s.levels[t].thickness
		take(t)
	}
	for t := len(s.levels) - 1; t >= 0; {
		if s.levels[t].thickness > room || !take(t) {
			t--
		}
	}
	return list
}
