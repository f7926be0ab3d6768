package progress

import (
	"cmp"
	"slices"
	"strings"

	"sawbill/internal/job"
	"sawbill/internal/length"
	"sawbill/internal/plan"
)

// Planned is the job as a plan was made of it: with what could be used of a rack
// among its offers. It is the job itself where the plan knows no rack.
func Planned(j *job.Job, p *plan.Plan) *job.Job {
	if p == nil || p.Rack == nil {
		return j
	}
	with := *j
	with.Rack.Share = p.Rack.Share
	var pieces []job.RackPiece
	for _, r := range p.Rack.Pieces {
		m := slices.IndexFunc(j.Materials, func(m job.Material) bool { return m.Key == r.Material })
		if m < 0 {
			return j // the plan is of another job
		}
		pieces = append(pieces, job.RackPiece{ID: r.Number, Place: r.Place, Material: m, Length: r.Length, Width: r.Width})
	}
	return with.OnRack(pieces)
}

// Booking is what a plan that has been cut means for the rack.
type Booking struct {
	// Used are the numbers of the pieces that were cut from or are missing, or of
	// which nothing can be used, ascending; Back those that were to be cut from and
	// were not.
	Used, Back []int64
	// Found are those of Back that are not as they lay on the rack, by number.
	Found []Found
	// Left is stock left over: rests of what was cut, pieces gone wrong whose size
	// is known, and spares.
	Left []Stock
	// Open are copies that are still to be cut or planned again.
	Open int
	// Assumed says that nothing was ticked, so that all counts as cut as planned.
	Assumed bool
}

// Found is a piece of a rack with what can be used of it at once, and where it is
// damaged, in words; empty where it has another size and no more.
type Found struct {
	Number        int64
	Length, Width length.Length
	Damage        string
}

// Booking works out what has become of the stock. Where no copy was ever ticked as
// cut, all that waits is taken as cut; else a bar or sheet of which nothing is cut
// is not booked: it is neither used nor left over. The job is the one that the
// first plan answers.
func (v *View) Booking() Booking {
	b := Booking{Open: len(v.Waiting) + len(v.Wanted)}
	touched := func(l Layout) bool { return slices.ContainsFunc(l.Gone, func(g Gone) bool { return g.Cut }) }
	back := map[int64]bool{}
	var uncut []string
	for _, l := range slices.Concat(v.Layouts, v.Lost) {
		switch {
		case touched(l) || v.fates[l.name()].missing:
			continue
		case v.number(l) != 0:
			found, usable, changed := v.found(l)
			found.Number = v.number(l)
			if back[found.Number] = usable; changed && usable {
				b.Found = append(b.Found, found)
			}
		}
		uncut = append(uncut, l.rest())
	}
	for _, n := range v.Bought {
		switch {
		case n.Rack == 0:
		case back[n.Rack]:
			b.Back = append(b.Back, n.Rack)
		default:
			b.Used = append(b.Used, n.Rack)
		}
	}
	slices.Sort(b.Used)
	slices.Sort(b.Back)
	slices.SortFunc(b.Found, func(x, y Found) int { return cmp.Compare(x.Number, y.Number) })
	for _, s := range v.Loose {
		if !slices.Contains(uncut, s.What) {
			b.Left = append(b.Left, s)
		}
	}
	for _, l := range v.Layouts {
		if touched(l) { // given up in the middle
			for _, a := range v.all[l.name()] {
				b.Left = append(b.Left, Stock{l.Material, a.Length, a.Width, l.rest(), nil})
			}
		}
	}
	return b
}

// number is that on a rack of a layout's bar or sheet, 0 of what does not lie on one.
func (v *View) number(l Layout) int64 {
	if o := l.Layout.Stock.Offer; o >= 0 && o < len(v.job.Offers) && v.fromOffer(l) {
		return v.job.Offers[o].Rack
	}
	return 0
}

// OnRack is the number on a rack of the bar or sheet that an event is about; 0 where it
// does not lie on one, or was cut from already.
func (v *View) OnRack(e Event) int64 {
	for _, l := range slices.Concat(v.Layouts, v.Lost) {
		cut := slices.ContainsFunc(l.Gone, func(g Gone) bool { return g.Cut })
		if l.name() == (layoutName{e.Plan, e.Material, e.Number}) && !cut {
			return v.number(l)
		}
	}
	return 0
}

// found is what a bar or sheet of which nothing was cut is, apart from its number:
// of a damaged bar the longest stretch that is sound.
func (v *View) found(l Layout) (f Found, usable, changed bool) {
	for _, a := range v.all[l.name()] {
		if a.Length > f.Length {
			f.Length, f.Width = a.Length, a.Width
		}
	}
	var damages []string
	for _, d := range v.fates[l.name()].damaged {
		damages = append(damages, "damaged "+v.print(d[0])+" to "+v.print(d[1]))
	}
	f.Damage = strings.Join(damages, ", ")
	return f, f.Length > 0, f.Length != l.Layout.Stock.Length || f.Width != l.Layout.Stock.Width
}

// fromOffer says that a layout is cut from an offer of the job, and not from what
// was at hand when it was planned.
func (v *View) fromOffer(l Layout) bool {
	s := l.Layout.Stock
	o := v.job.Offers[s.Offer]
	return v.job.Suppliers[o.Supplier].Name == s.Supplier && o.Length == s.Length && o.Width == s.Width
}

// Book is the booking of a plan by what was noted since it was made.
func Book(j *job.Job, s State, events []Event) Booking {
	v := Look(j, s, events)
	ticked := len(s.Made) > 0 || slices.ContainsFunc(events, func(e Event) bool { return e.Become == Cut || e.Become == Wrong || e.Become == Lost })
	if ticked {
		return v.Booking()
	}
	events = slices.Clone(events)
	for _, c := range v.Waiting {
		events = append(events, Event{Become: Cut, Mark: c.Mark, Copy: c.Copy})
	}
	b := Look(j, s, events).Booking()
	b.Assumed = true
	return b
}
