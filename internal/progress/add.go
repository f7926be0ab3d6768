package progress

import (
	"fmt"
	"slices"
	"strings"

	"sawbill/internal/job"
	"sawbill/internal/length"
)

// Add is the events with one more, when that can be: else the error is one
// sentence that says why not. A copy's Length in a wrong event, a layout's in a
// short one, are what they measure.
func Add(j *job.Job, s State, events []Event, e Event) ([]Event, error) {
	v := Look(j, s, events)
	var err error
	if e.Mark != "" {
		err = v.mayBecome(s, e, told(events))
	} else {
		err = v.stockMay(s, e)
	}
	if err != nil {
		return nil, err
	}
	return append(slices.Clip(events), e), nil
}

func (v *View) mayBecome(s State, e Event, h history) error {
	c := Copy{e.Mark, e.Copy}
	p, known := v.parts[e.Mark]
	has := slices.Contains(v.Made, c) || slices.Contains(v.Waiting, c) || slices.Contains(v.Wanted, c)
	print := v.print
	switch {
	case !known:
		return fmt.Errorf("the job has no mark %q", e.Mark)
	case !has:
		return fmt.Errorf("%s is not among the copies of %s, which are %s", c, e.Mark, numbers(v.copiesOf(e.Mark)))
	case e.Become != Cut && e.Become != Wrong && e.Become != Lost && e.Become != Open:
		return fmt.Errorf("%q is nothing that becomes of a piece; write cut, wrong, lost or open", e.Become)
	case e.Become != Wrong && (e.Length != 0 || e.Width != 0):
		return fmt.Errorf("a size belongs to a piece gone wrong; leave it out")
	case e.Length < 0 || e.Width < 0 || p.width == 0 && e.Width != 0 || p.width > 0 && (e.Length == 0) != (e.Width == 0):
		return fmt.Errorf("%s is no size of %s; write what it measures, such as %s", sizeText(print, e.Length, e.Width), c, sizeText(print, p.length, p.width))
	case e.OtherHand && (e.Become != Wrong || !p.otherHand()):
		return fmt.Errorf("%s cannot come out as another hand: only a mitred piece that is not its own mirror image can, and only wrong", c)
	case e.Become == Open && slices.Contains(s.Made, c):
		return fmt.Errorf("%s was made before this plan; say wrong or lost", c)
	}
	if dependent := h.cutFrom(c); dependent != nil && e.Become != Wrong {
		return fmt.Errorf("%s was cut from %s; take that back first", *dependent, c)
	}
	if e.From == nil {
		return nil
	}
	f := *e.From
	i := slices.IndexFunc(v.Loose, func(x Stock) bool { return x.Piece != nil && *x.Piece == f })
	switch {
	case e.Become != Cut:
		return fmt.Errorf("only what is cut comes from another piece; leave out --from")
	case i < 0 && h.copies[f].Become == Wrong:
		return fmt.Errorf("nothing of %s is left, or its size was not told", f)
	case i < 0:
		return fmt.Errorf("%s is not a piece gone wrong; say first that it went wrong, and what it measures", f)
	}
	x := v.Loose[i]
	if key := v.job.Materials[p.material].Key; key != x.Material {
		return fmt.Errorf("%s is of %s, and %s of %s", c, key, f, x.Material)
	}
	of := v.asMade(h.copies[f])
	measured := of.measured(h.copies[f])
	whole := p.width == 0 && of.width == 0 && x.Length == of.square(measured) && p.liesIn(of, measured, 0)
	if !whole && !p.goesIn(x.Length, x.Width, 0) {
		return fmt.Errorf("%s measures %s, which is more than the %s left of %s", c, sizeText(print, p.length, p.width), sizeText(print, x.Length, x.Width), f)
	}
	return nil
}

// cutFrom is a copy that is said to be cut from one gone wrong.
func (h history) cutFrom(c Copy) *Copy {
	var found *Copy
	for k, e := range h.copies {
		if e.From != nil && *e.From == c && (found == nil || k.String() < found.String()) {
			found = &Copy{k.Mark, k.Copy}
		}
	}
	return found
}

func (v *View) copiesOf(mark string) []int {
	var list []int
	for _, all := range [][]Copy{v.Made, v.Waiting, v.Wanted} {
		for _, c := range all {
			if c.Mark == mark {
				list = append(list, c.Copy)
			}
		}
	}
	slices.Sort(list)
	return list
}

func numbers(list []int) string {
	if n := len(list); n > 2 && list[n-1]-list[0] == n-1 {
		return fmt.Sprintf("%d to %d", list[0], list[n-1])
	}
	var texts []string
	for _, n := range list {
		texts = append(texts, fmt.Sprint(n))
	}
	return strings.Join(texts, ", ")
}

func (v *View) stockMay(s State, e Event) error {
	name := layoutName{e.Plan, e.Material, e.Number}
	i := slices.IndexFunc(s.Layouts, func(l Layout) bool { return l.name() == name })
	if i < 0 {
		return fmt.Errorf("plan no. %s has no %s %d", e.Plan, e.Material, e.Number)
	}
	l := s.Layouts[i]
	stock, print := l.Layout.Stock, v.print
	bar := stock.Width == 0
	switch e.Become {
	case Open, Missing:
	case Short:
		if e.Length <= 0 || bar != (e.Width == 0) || e.Width < 0 || e.Length > 2*stock.Length || e.Width > 2*stock.Width {
			return fmt.Errorf("%s is no size for it; write what it measures, such as %s", sizeText(print, e.Length, e.Width), sizeText(print, stock.Length, stock.Width))
		}
	case Damaged:
		if !bar {
			return fmt.Errorf("of a sheet write what can be used of it: short and its length x width")
		}
		if e.Start < 0 || e.End <= e.Start || e.End > 2*stock.Length {
			return fmt.Errorf("%s to %s is no stretch of it; write where the damage begins and ends, from the left end", print(e.Start), print(e.End))
		}
	default:
		return fmt.Errorf("%q is nothing that becomes of a bar or sheet; write short, damaged, missing or open", e.Become)
	}
	return nil
}

func sizeText(print func(length.Length) string, l, w length.Length) string {
	if w == 0 {
		return print(l)
	}
	return print(l) + " x " + print(w)
}

func (v *View) print(l length.Length) string {
	return length.Exact(l, v.job.Unit) + " " + v.job.Unit.String()
}
