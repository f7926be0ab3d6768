package progress

import (
	"fmt"
	"slices"

	"sawbill/internal/job"
	"sawbill/internal/length"
	"sawbill/internal/plan"
)

// View is a state with what has happened since.
type View struct {
	// Made are good; Waiting are in a layout that can still be cut as it is, or
	// come ready; Wanted must be planned again.
	Made, Waiting, Wanted []Copy
	// Layouts are in force, Lost are those that cannot be cut as planned any more.
	Layouts, Lost []Layout
	// Loose is stock at hand that no layout uses.
	Loose  []Stock
	Ready  []Copy
	Bought []Bought
	// Withdrawn are numbers of pieces of a rack that a new plan may not use.
	Withdrawn []int64

	job   *job.Job
	parts map[string]part
	rests map[layoutName][]Area // what layouts in force leave, used parts left out
	fates map[layoutName]fate   // what became of the bars and sheets of layouts
	all   map[layoutName][]Area // what would be left if none of their copies were cut from them any more
}

// Look puts a state and events together. The events have been found good by Add.
func Look(j *job.Job, s State, events []Event) *View {
	h := told(events)
	v := &View{job: j, parts: parts(j), Bought: slices.Clone(s.Bought), rests: map[layoutName][]Area{}, all: map[layoutName][]Area{}, fates: h.stocks}
	v.Made = slices.Clone(s.Made)
	for _, c := range s.Made {
		switch e := h.copies[c]; e.Become {
		case Wrong, Lost:
			v.Made = slices.DeleteFunc(v.Made, func(o Copy) bool { return o == c })
			v.Wanted = append(v.Wanted, c)
			v.wrong(e)
		}
	}
	for _, c := range s.Ready {
		v.ready(c, h.copies[c])
	}
	v.Loose = append(v.Loose, s.Loose...)
	for _, l := range s.Layouts {
		v.layout(l, h)
	}
	v.takeFrom(h, events)
	return v
}

// wrong keeps what came out wrong as stock, where its size is known: of a mitred piece
// the bar with square ends that lies in it.
func (v *View) wrong(e Event) {
	c, p := Copy{e.Mark, e.Copy}, v.asMade(e)
	l := p.measured(e)
	if e.Become != Wrong || l == 0 {
		return
	}
	if p.width == 0 {
		if l = p.square(l); l == 0 {
			return
		}
	}
	v.Loose = append(v.Loose, Stock{v.job.Materials[p.material].Key, l, e.Width, "what was to be " + c.String(), &c})
}

func (v *View) ready(c Copy, e Event) {
	switch e.Become {
	case Cut:
		v.Made = append(v.Made, c)
	case Wrong, Lost:
		v.Wanted = append(v.Wanted, c)
		v.wrong(e)
	default:
		v.Ready = append(v.Ready, c)
		v.Waiting = append(v.Waiting, c)
	}
}

// layout takes in a layout: what of it is cut, whether the rest can still be cut
// as planned, and what it leaves.
func (v *View) layout(l Layout, h history) {
	l.Gone = slices.Clone(l.Gone)
	var waiting []Copy
	for _, c := range copiesOf(l.Layout) {
		if slices.ContainsFunc(l.Gone, func(g Gone) bool { return g.Copy == c }) {
			continue
		}
		e := h.copies[c]
		switch e.Become {
		case Cut, Wrong, Lost:
			g := Gone{Copy: c, Cut: e.From == nil}
			if e.Length > v.parts[c.Mark].length && e.Become == Wrong {
				g.Long = e.Length
			}
			l.Gone = append(l.Gone, g)
			if e.Become == Cut {
				v.Made = append(v.Made, c)
			} else {
				v.Wanted = append(v.Wanted, c)
				v.wrong(e)
			}
		default:
			waiting = append(waiting, c)
		}
	}
	if fallen := l.fallen(waiting); len(fallen) > 0 {
		for _, c := range fallen {
			l.Gone = append(l.Gone, Gone{Copy: c})
			waiting = slices.DeleteFunc(waiting, func(w Copy) bool { return w == c })
		}
		v.Wanted = append(v.Wanted, fallen...)
	}
	name := l.name()
	f := h.stocks[name]
	sound := v.sound(l, f)
	v.all[name] = v.left(l, f, nil)
	if !sound {
		v.Wanted = append(v.Wanted, waiting...)
		if !f.missing {
			v.loosen(l, v.all[name])
		}
		v.Lost = append(v.Lost, l)
		return
	}
	if len(waiting) == 0 && len(l.Gone) > 0 { // done: what it leaves is stock
		v.loosen(l, v.all[name])
		return
	}
	v.Layouts = append(v.Layouts, l)
	v.Waiting = append(v.Waiting, waiting...)
	v.rests[name] = v.left(l, f, waiting)
}

// fallen lists the waiting panels that lay in an opening of one that is cut from
// the sheet: what was left in the opening fell out with it.
func (l Layout) fallen(waiting []Copy) []Copy {
	var list []Copy
	out := func(c Copy) bool {
		return slices.Contains(list, c) || slices.ContainsFunc(l.Gone, func(g Gone) bool { return g.Copy == c && g.Cut })
	}
	for more := true; more; {
		more = false
		for _, q := range l.Layout.Panels {
			c := Copy{q.Mark, q.Copy}
			if q.In == 0 || out(c) || !slices.Contains(waiting, c) {
				continue
			}
			if host := l.Layout.Panels[q.In-1]; out(Copy{host.Mark, host.Copy}) {
				list, more = append(list, c), true
			}
		}
	}
	return list
}

// loosen makes stock of what a layout leaves.
func (v *View) loosen(l Layout, areas []Area) {
	for _, a := range areas {
		v.Loose = append(v.Loose, Stock{l.Material, a.Length, a.Width, l.rest(), nil})
	}
}

func (l Layout) rest() string {
	return fmt.Sprintf("rest of %s %d of plan no. %s", l.Material, l.Layout.Number, l.Plan)
}

// copiesOf lists a layout's copies in cutting order.
func copiesOf(l plan.Layout) []Copy {
	var list []Copy
	for _, p := range l.Pieces {
		list = append(list, Copy{p.Mark, p.Copy})
	}
	for _, p := range l.Panels {
		list = append(list, Copy{p.Mark, p.Copy})
	}
	return list
}

// takeFrom takes what was cut from copies gone wrong off what is left of these,
// in the order in which it was told.
func (v *View) takeFrom(h history, events []Event) {
	kerf := func(material string) length.Length { return v.process(material).Kerf }
	for _, e := range events {
		if e.Mark == "" || e.From == nil || h.copies[Copy{e.Mark, e.Copy}] != e {
			continue
		}
		i := slices.IndexFunc(v.Loose, func(s Stock) bool { return s.Piece != nil && *s.Piece == *e.From })
		if i < 0 {
			continue
		}
		s, p := v.Loose[i], v.parts[e.Mark]
		v.Loose = slices.Delete(slices.Clone(v.Loose), i, i+1)
		k := kerf(s.Material)
		if p.width > 0 {
			continue // what is left of a panel is not known
		}
		if left := s.Length - p.length - kerfAt(k, p.left.angle, p.right.angle); left > 0 {
			v.Loose = append(v.Loose, Stock{s.Material, left, 0, s.What, s.Piece})
		}
	}
}

func (v *View) process(material string) job.Process {
	for _, m := range v.job.Materials {
		if m.Key == material {
			return v.job.Processes[m.Process]
		}
	}
	return job.Process{}
}
