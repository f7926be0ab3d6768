package check

import (
	"sawbill/internal/job"
	"sawbill/internal/length"
	"sawbill/internal/plan"
)

// What is fetched must be carried. A bar that we cut ourselves and that is
// longer than the load is first cut at the yard into parts no longer than it;
// a sheet is cut at the yard as far as the parts of its cut tree are larger.

// ways says how orders of a supplier may come home.
func ways(s *job.Supplier) (delivered, fetched bool) {
	switch {
	case s.OnHand:
		return false, false
	case s.Delivers:
		return true, s.Fetched
	}
	return false, true
}

// orders checks who is bought from and how that comes home, in the job's order.
func (a *audit) orders() {
	a.way = map[int]string{}
	before := -1
	for _, o := range a.plan.Orders {
		s, known := a.suppliers[o.Supplier]
		if !known {
			a.find("orders", "the job has no supplier %q", o.Supplier)
			continue
		}
		if _, twice := a.way[s]; twice {
			a.find("orders", "%q is listed twice", o.Supplier)
		} else if s < before {
			a.find("orders", "%q is not in the job's order", o.Supplier)
		}
		a.way[s], before = o.Way, s
		delivered, fetched := ways(&a.job.Suppliers[s])
		switch {
		case o.Way == plan.OnHand && a.job.Suppliers[s].OnHand:
		case o.Way == plan.Delivered && delivered:
		case o.Way == plan.Fetched && fetched:
		default:
			a.find("orders", "what comes from %q is said to be %q, which the job does not allow", o.Supplier, o.Way)
		}
	}
}

// carried reports whether bars or sheets of an offer must fit the load.
func (a *audit) carried(o *job.Offer) bool {
	return a.job.LongestLoad > 0 && a.way[o.Supplier] == plan.Fetched
}

// mustCarry is the longest bar of an offer that can be carried where it can
// only be fetched, else 0.
func (a *audit) mustCarry(o *job.Offer) length.Length {
	if delivered, fetched := a.waysOf(o); fetched && !delivered {
		return a.job.LongestLoad
	}
	return 0
}

// mayPart reports whether bars of an offer may be parted at the yard.
func (a *audit) mayPart(m *material, o *job.Offer) bool {
	_, fetched := a.waysOf(o)
	return fetched && !m.process.BySupplier && a.job.LongestLoad > 0 && o.Length > a.job.LongestLoad
}

func (a *audit) waysOf(o *job.Offer) (delivered, fetched bool) {
	if o.Supplier < 0 || o.Supplier >= len(a.job.Suppliers) {
		return true, false
	}
	return ways(&a.job.Suppliers[o.Supplier])
}

// load reports whether something as large as that can be carried.
func (a *audit) load(l, w length.Length) bool {
	long, wide := a.job.LongestLoad, a.job.WidestLoad
	if wide <= 0 {
		return max(l, w) <= long
	}
	return l <= long && w <= wide || w <= long && l <= wide
}

// firstKerf is the width of the cuts made at the yard in bars of an offer.
func (a *audit) firstKerf(m *material, o *job.Offer) length.Length {
	if o.Supplier >= 0 && o.Supplier < len(a.job.Suppliers) {
		if k := a.job.Suppliers[o.Supplier].CutKerf; k >= 0 {
			return k
		}
	}
	return m.process.Kerf
}

// stretch is what lies between two first cuts, or the whole bar.
type stretch struct{ from, to length.Length }

// stretches checks the first cuts of a bar and returns what they make of it; nil
// when they make no sense.
func (a *audit) stretches(m *material, l *plan.Layout, o *job.Offer, where string) []stretch {
	parted := a.carried(o) && !m.process.BySupplier && o.Length > a.job.LongestLoad
	kerf := length.Length(0)
	if parted {
		kerf = a.firstKerf(m, o)
	}
	if l.FirstKerf != kerf {
		a.find(where, "the first cuts are %s wide, they must be %s", a.len(l.FirstKerf), a.len(kerf))
		return nil
	}
	if !parted && len(l.FirstCuts) > 0 {
		a.find(where, "it has first cuts, though it need not be cut to be carried")
		return nil
	}
	var list []stretch
	from := length.Length(0)
	for i, c := range l.FirstCuts {
		if !onTape(c) || c < from || c > o.Length {
			a.find(where, "its first cut %d is at %d units, which cannot be", i+1, int64(c))
			return nil
		}
		list = append(list, stretch{from, c})
		from = c + kerf
	}
	if from > o.Length {
		a.find(where, "its last first cut runs off the end")
		return nil
	}
	list = append(list, stretch{from, o.Length})
	for i, s := range list {
		if parted && s.to-s.from > a.job.LongestLoad {
			a.find(where, "its part %d is %s long, the load may be %s", i+1, a.len(s.to-s.from), a.len(a.job.LongestLoad))
		}
	}
	return list
}
