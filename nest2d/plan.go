package nest2d

import "slices"

// A draft is a set of boards and the panels that found no place on them.
type draft struct {
	boards  []*board
	missing []int32 // one entry a copy
	lack    int64   // weight of the missing
	cost    int64
	used    []int64 // boards by kind
	sheets  int     // boards that are sheets, and not windows of panels
}

// limits on the boards a draft may have.
type limits struct {
	cost   int64
	boards int  // windows not counted
	fixed  bool // keep the boards there are, open none and drop none
}

// emptyDraft has no boards; all panels are missing.
func (m *model) emptyDraft() *draft {
	d := &draft{used: make([]int64, len(m.kinds))}
	for i, a := range m.problem.Panels {
		for range a.Demand {
			d.miss(m, int32(i))
		}
	}
	return d
}

func (d *draft) copyFrom(o *draft) {
	d.boards = append(d.boards[:0], o.boards...)
	d.missing = append(d.missing[:0], o.missing...)
	d.used = append(d.used[:0], o.used...)
	d.lack, d.cost, d.sheets = o.lack, o.cost, o.sheets
}

func (d *draft) miss(m *model, panel int32) {
	d.missing = append(d.missing, panel)
	d.lack += m.weight[panel]
}

func (d *draft) addBoard(m *model, b *board) {
	d.boards = append(d.boards, b)
	d.used[b.kind]++
	d.cost += m.kinds[b.kind].price
	if !m.kinds[b.kind].window {
		d.sheets++
	}
}

func (d *draft) dropBoard(m *model, i int) {
	b := d.boards[i]
	d.used[b.kind]--
	d.cost -= m.kinds[b.kind].price
	if !m.kinds[b.kind].window {
		d.sheets--
	}
	d.boards = slices.Delete(d.boards, i, i+1)
}

// mayOpen tells whether one more board of kind k keeps within the limits.
func (d *draft) mayOpen(m *model, k int, l limits) bool {
	return d.used[k] < m.kinds[k].supply && (m.kinds[k].window || d.sheets < l.boards) &&
		m.kinds[k].price <= l.cost-d.cost
}
