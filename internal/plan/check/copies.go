package check

import (
	"slices"

	"sawbill/internal/job"
	"sawbill/internal/plan"
)

// copyKey names one copy: a row of the job's pieces or panels and its number.
type copyKey struct {
	panel bool
	row   int
	copy  int
}

// piece finds the job's piece of a mark, ticks the copy off, and says what is
// wrong with either. nil means that nothing can be measured.
func (a *audit) piece(m *material, p plan.Piece, where string) *job.Piece {
	row, known := a.pieces[p.Mark]
	if !known {
		a.find(where, "the job has no piece %q", p.Mark)
		return nil
	}
	jp := &a.job.Pieces[row]
	if jp.Material != m.index {
		a.find(where, "%s is not a piece of this material", p.Mark)
		return nil
	}
	a.tick(copyKey{false, row, p.Copy}, p.Mark, jp.Quantity, jp.Copies, where)
	return jp
}

// panel is piece for panels.
func (a *audit) panel(m *material, p plan.Panel, where string) *job.Panel {
	row, known := a.panels[p.Mark]
	if !known {
		a.find(where, "the job has no panel %q", p.Mark)
		return nil
	}
	jp := &a.job.Panels[row]
	if jp.Material != m.index {
		a.find(where, "%s is not a panel of this material", p.Mark)
		return nil
	}
	a.tick(copyKey{true, row, p.Copy}, p.Mark, jp.Quantity, jp.Copies, where)
	return jp
}

func (a *audit) tick(k copyKey, mark string, quantity int64, wanted []int, where string) {
	switch {
	case wanted == nil && (k.copy < 1 || int64(k.copy) > quantity):
		a.find(where, "there is no copy %d of %s, the job wants %d", k.copy, mark, quantity)
	case wanted != nil && !slices.Contains(wanted, k.copy):
		a.find(where, "copy %d of %s is not wanted, only %v", k.copy, mark, wanted)
	case a.cut[k]:
		a.find(where, "%s/%d is cut more than once", mark, k.copy)
	default:
		a.cut[k] = true
	}
}

// copies finds what the job wants and no layout cuts, apart from what is
// bought by the mark.
func (a *audit) copies() {
	cut := map[copyKey]int64{} // per row, copy 0
	for k := range a.cut {
		cut[copyKey{k.panel, k.row, 0}]++
	}
	for row, p := range a.job.Pieces {
		if a.byMark[p.Material] {
			continue
		}
		a.missing(copyKey{false, row, 0}, p.Mark, p.Quantity, p.Copies, cut)
	}
	for row, p := range a.job.Panels {
		if a.byMark[p.Material] {
			continue
		}
		a.missing(copyKey{true, row, 0}, p.Mark, p.Quantity, p.Copies, cut)
	}
}

func (a *audit) missing(k copyKey, mark string, quantity int64, wanted []int, cut map[copyKey]int64) {
	lacking := quantity - cut[k]
	if lacking <= 0 {
		return
	}
	for i := 0; i == 0 || a.cut[k]; i++ {
		if k.copy = i + 1; wanted != nil && i < len(wanted) {
			k.copy = wanted[i]
		}
	}
	a.find("plan", "%d of the %d copies of %s are not cut anywhere, the first is %s/%d", lacking, quantity, mark, mark, k.copy)
}
