package progress

import (
	"slices"

	"sawbill/internal/length"
	"sawbill/internal/plan"
)

// Source says what one layout of a new plan is cut from, where that was at hand.
type Source struct {
	Material string
	Number   int    // of the layout in the new plan
	What     string // "rest of tube 3 of plan no. 1a2b3c4d"
}

// Next is the state when what remains has been planned as p, from the Rest that
// was made with the same all, and what the layouts of p are cut from that was at hand.
func (v *View) Next(p *plan.Plan, all bool) (State, []Source) {
	j := v.job
	rest := v.Rest(all)
	remains := rest.Job(j)
	s := State{Made: slices.Clone(v.Made), Bought: slices.Clone(v.Bought), Ready: slices.Clone(v.Ready)}
	again := v.again()
	for _, l := range v.Layouts {
		if !all || !again[l.Material] {
			s.Layouts = append(s.Layouts, l)
		}
	}
	pool := v.atHand(all)
	s.Loose = v.unused(all)
	name := nameFor(j)
	var sources []Source
	use := func(material string, l, w length.Length) *atHand {
		i := slices.IndexFunc(pool, func(a atHand) bool { return a.Material == material && a.Length == l && a.Width == w })
		if i < 0 {
			return nil
		}
		a := pool[i]
		pool = slices.Delete(pool, i, i+1)
		return &a
	}
	for _, m := range p.Materials {
		for _, l := range m.Layouts {
			if l.Stock.Supplier != name {
				continue
			}
			a := use(m.Key, l.Stock.Length, l.Stock.Width)
			if a == nil {
				continue // the plan is not of this rest
			}
			sources = append(sources, Source{m.Key, l.Number, a.What})
			if i := slices.IndexFunc(s.Layouts, func(o Layout) bool {
				return a.of != nil && layoutName{o.Plan, o.Material, o.Layout.Number} == *a.of
			}); i >= 0 {
				s.Layouts[i].Used = append(slices.Clone(s.Layouts[i].Used), a.area)
			}
		}
	}
	for _, a := range pool {
		if a.of == nil || all && again[a.Material] {
			s.Loose = append(s.Loose, a.Stock)
		}
	}
	s.add(remains, p, func(o plan.Stock) bool { return o.Supplier != name })
	return s, sources
}

// unused is the loose stock that was not offered.
func (v *View) unused(all bool) []Stock {
	again := v.again()
	var list []Stock
	for _, s := range v.Loose {
		if !again[s.Material] || !v.holdsAny(s, all) {
			list = append(list, s)
		}
	}
	return list
}

// MayBecome lists the marks that are still to be cut and would go in what went wrong by
// an event, the longest first, each once.
func (v *View) MayBecome(e Event) []string {
	of := v.asMade(e)
	l, w := of.measured(e), e.Width
	kerf := v.job.Processes[v.job.Materials[of.material].Process].Kerf
	var rows []struct {
		mark string
		part
	}
	seen := map[string]bool{}
	for _, list := range [][]Copy{v.Wanted, v.Waiting} {
		for _, c := range list {
			p := v.parts[c.Mark]
			if seen[c.Mark] || p.material != of.material || (p.width == 0) != (of.width == 0) {
				continue
			}
			if p.width == 0 && !p.liesIn(of, l, kerf) || p.width > 0 && !p.goesIn(l, w, kerf) {
				continue
			}
			seen[c.Mark] = true
			rows = append(rows, struct {
				mark string
				part
			}{c.Mark, p})
		}
	}
	slices.SortStableFunc(rows, func(a, b struct {
		mark string
		part
	}) int {
		return int(min(1, max(-1, (b.length+b.width)-(a.length+a.width))))
	})
	var marks []string
	for _, r := range rows {
		marks = append(marks, r.mark)
	}
	return marks
}
