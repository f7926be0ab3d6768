package truth

import (
	"fmt"
	"math"
	"slices"

	"sawbill/internal/job"
	"sawbill/internal/length"
	"sawbill/internal/plan"
	"sawbill/internal/section"
)

// A world is a job told in nothing but whole numbers: who sells what in which
// way, what one bar or sheet can hold, and what each thing costs.
type world struct {
	suppliers []supplier
	orders    []order
	offers    []offer
	materials []material
}

// supplier is what is charged on top of the goods. Of our own stock all is 0.
type supplier struct {
	name                string
	minimum, cut, free  int64
	mitre, metre        int64
	pierce, sheet, once int64
}

// order is one supplier's in one way home.
type order struct {
	supplier int
	way      string
	fee      int64
}

type offer struct {
	supplier int
	stock    int64 // -1 without an end
	pack     int64
	tiers    []job.Tier
}

// form is an offer that comes home in one way, with a number of cuts made at the
// yard so that it can be carried. It can hold the contents, copies by item.
type form struct {
	offer, order int
	cuts         int64
	contents     [][]int64
}

type material struct {
	key    string
	sheets bool
	demand []int64
	forms  []form
	// squares and each are what is charged for cutting one item, by supplier:
	// counted square cuts, and cents beside them.
	squares, each [][]int64
	// sheet is charged by supplier for each one cut, once for the first.
	sheet, once    []int64
	spare, percent int64
	// spares are the offers, by order, that can hold every item.
	spares map[[2]int]bool
	marks  []marks
}

// marks is the price of everything of a material, cut and ready.
type marks struct {
	order int
	price int64
}

// item is a row of the lists: a piece (width 0) or a panel.
type item struct {
	mark          string
	length, width int64
	left, right   int64   // angles
	wide          [2]bool // laid on the wide side, left and right
	turn          bool
}

func newWorld(j *job.Job) (*world, error) {
	w := &world{}
	for i, s := range j.Suppliers {
		if s.OnHand {
			w.suppliers = append(w.suppliers, supplier{name: s.Name})
			w.orders = append(w.orders, order{i, plan.OnHand, 0})
			continue
		}
		w.suppliers = append(w.suppliers, supplier{
			name: s.Name, minimum: s.Minimum, cut: s.Cut, free: s.FreeCuts,
			mitre: s.Mitre, metre: s.CutMetre, pierce: s.Pierce, sheet: s.PerSheet, once: s.SetUp,
		})
		if s.Delivers {
			w.orders = append(w.orders, order{i, plan.Delivered, s.Delivery})
		}
		if s.Fetched || !s.Delivers {
			w.orders = append(w.orders, order{i, plan.Fetched, s.Fetch})
		}
	}
	for _, o := range j.Offers {
		f := offer{supplier: o.Supplier, stock: o.Stock, pack: max(1, o.Pack), tiers: o.Tiers}
		if len(f.tiers) == 0 {
			f.tiers = []job.Tier{{From: 1, Price: o.Price}}
		}
		w.offers = append(w.offers, f)
	}
	for i := range j.Materials {
		if err := w.add(j, i); err != nil {
			return nil, err
		}
	}
	return w, nil
}

// add lists what one material's offers can hold.
func (w *world) add(j *job.Job, mi int) error {
	jm := j.Materials[mi]
	p := j.Processes[jm.Process]
	m := material{key: jm.Key, sheets: jm.Sheet(), spare: jm.Spare, percent: jm.SparePercent, spares: map[[2]int]bool{}}
	items := itemsOf(j, mi, &m)
	if len(items) == 0 {
		return nil
	}
	if p.Stages != 0 || p.MinStrip != 0 {
		return fmt.Errorf("stages and smallest strips are not modelled here")
	}
	for _, s := range w.suppliers {
		squares, each := make([]int64, len(items)), make([]int64, len(items))
		if p.BySupplier {
			for i, it := range items {
				squares[i], each[i] = s.charge(it)
			}
		}
		m.squares, m.each = append(m.squares, squares), append(m.each, each)
		if jm.Sheet() && p.BySupplier {
			m.sheet, m.once = append(m.sheet, s.sheet), append(m.once, s.once)
		} else {
			m.sheet, m.once = append(m.sheet, 0), append(m.once, 0)
		}
	}
	for o, off := range j.Offers {
		if off.Material != mi || off.Stock == 0 || j.Suppliers[off.Supplier].ByMark {
			continue
		}
		for r, ord := range w.orders {
			if ord.supplier != off.Supplier {
				continue
			}
			load := load{}
			if ord.way == plan.Fetched {
				load.long, load.wide = int64(j.LongestLoad), int64(j.WidestLoad)
			}
			var forms []form
			if jm.Sheet() {
				forms = sheetForms(items, m.demand, p, jm, off, load)
			} else {
				forms = barForms(items, m.demand, p, jm, off, load, firstKerf(j, off))
			}
			for _, f := range forms {
				f.offer, f.order = o, r
				m.forms = append(m.forms, f)
			}
			m.spares[[2]int{o, r}] = holdsEach(forms, m.demand)
		}
	}
	for r, ord := range w.orders {
		if j.Suppliers[ord.supplier].ByMark {
			if price, all := quoted(j, ord.supplier, items, m.demand); all {
				m.marks = append(m.marks, marks{r, price})
			}
		}
	}
	w.materials = append(w.materials, m)
	return nil
}

func itemsOf(j *job.Job, mi int, m *material) []item {
	var items []item
	for _, p := range j.Pieces {
		if p.Material == mi {
			items = append(items, item{mark: p.Mark, length: int64(p.Length), left: p.Left, right: p.Right, wide: [2]bool{p.LeftFace == section.Wide, p.RightFace == section.Wide}})
			m.demand = append(m.demand, p.Quantity)
		}
	}
	for _, p := range j.Panels {
		if p.Material == mi {
			items = append(items, item{mark: p.Mark, length: int64(p.Length), width: int64(p.Width), turn: p.Turn})
			m.demand = append(m.demand, p.Quantity)
		}
	}
	return items
}

// charge is what a supplier asks for cutting one item. A piece takes one square
// cut, none when both of its ends are mitred, and a mitred cut for each such end;
// a panel takes its outline and one piercing, rounded half up to the cent.
func (s supplier) charge(it item) (squares, each int64) {
	if it.width > 0 {
		outline := 2 * (it.length + it.width) // below 2^31 for small jobs
		whole := int64(length.Metre) * 1000
		thousandths := outline*s.metre + int64(length.Metre)*s.pierce
		return 0, (2*thousandths + whole) / (2 * whole)
	}
	if it.left != 0 {
		each += s.mitre
	}
	if it.right != 0 {
		each += s.mitre
	}
	if it.left == 0 || it.right == 0 {
		squares = 1
	}
	return squares, each
}

// firstKerf is what a cut at the yard takes of a bar.
func firstKerf(j *job.Job, o job.Offer) int64 {
	if k := j.Suppliers[o.Supplier].CutKerf; k >= 0 {
		return int64(k)
	}
	return int64(j.Processes[j.Materials[o.Material].Process].Kerf)
}

func quoted(j *job.Job, supplier int, items []item, demand []int64) (sum int64, all bool) {
	for i, it := range items {
		at := slices.IndexFunc(j.Quotes, func(q job.Quote) bool { return q.Supplier == supplier && q.Mark == it.mark })
		if at < 0 {
			return 0, false
		}
		sum += j.Quotes[at].Price * demand[i]
	}
	return sum, true
}

// load is the longest and widest that can be carried; 0 is without an end.
type load struct{ long, wide int64 }

func (l load) carries(long, wide int64) bool {
	fits := func(a, b int64) bool { return (l.long == 0 || a <= l.long) && (l.wide == 0 || b <= l.wide) }
	if l.wide == 0 {
		return fits(max(long, wide), 0)
	}
	return fits(long, wide) || fits(wide, long)
}

// holdsEach says that every item, alone, is among the contents.
func holdsEach(forms []form, demand []int64) bool {
	for i, n := range demand {
		if n > 0 && !slices.ContainsFunc(forms, func(f form) bool {
			return slices.ContainsFunc(f.contents, func(c []int64) bool { return c[i] > 0 })
		}) {
			return false
		}
	}
	return true
}

// cost is the least that at least need bars or sheets of an offer cost, buying
// more where a pack or a lower price asks for it.
func (o offer) cost(need int64) int64 {
	if need == 0 {
		return 0
	}
	most := max(need, o.tiers[len(o.tiers)-1].From) + o.pack
	if o.stock >= 0 {
		most = min(most, o.stock)
	}
	least := int64(math.MaxInt64)
	for b := o.pack; b <= most; b += o.pack {
		if b < need {
			continue
		}
		for _, t := range slices.Backward(o.tiers) {
			if t.From <= b {
				least = min(least, b/o.pack*t.Price)
				break
			}
		}
	}
	return least
}

// submultisets calls visit with every content of at most the given copies that
// fits, the empty one excepted, as long as what is a part of a content that
// fits also fits. Visit may keep the slice.
func submultisets(most []int64, fits func([]int64) bool, visit func([]int64)) {
	content := make([]int64, len(most))
	var from func(i int)
	from = func(i int) {
		for k := i; k < len(most); k++ {
			if content[k] == most[k] {
				continue
			}
			content[k]++
			if fits(content) {
				visit(slices.Clone(content))
				from(k)
			}
			content[k]--
		}
	}
	from(0)
}

// name is a content as a key of a map.
func name(content []int64) string { return fmt.Sprint(content) }
