package truth

import (
	"fmt"
	"strings"

	"sawbill/internal/job"
	"sawbill/internal/length"
	"sawbill/internal/plan"
	"sawbill/internal/section"
)

// tell writes a job drawn at random as a file that can be planned.
func tell(j *job.Job) string {
	var b strings.Builder
	out := func(format string, args ...any) { fmt.Fprintf(&b, format+"\n", args...) }
	millimetres := func(l length.Length) string { return fmt.Sprint(float64(l) / float64(length.Millimetre)) }
	money := func(key string, cents int64) {
		if cents != 0 {
			out("%s = %s", key, plan.Money(cents))
		}
	}
	thousandths := func(key string, v int64) {
		if v != 0 {
			out("%s = %d.%05d", key, v/100_000, v%100_000)
		}
	}
	out("[job]\nname = \"%s\"\nrevision = \"A\"\ndate = 2026-11-24\nunit = \"mm\"\ncurrency = \"EUR\"", j.Name)
	switch {
	case j.WidestLoad > 0:
		out("longest-load = \"%s x %s\"", millimetres(j.LongestLoad), millimetres(j.WidestLoad))
	case j.LongestLoad > 0:
		out("longest-load = %s", millimetres(j.LongestLoad))
	}
	for _, m := range j.Materials {
		p := j.Processes[m.Process]
		out("\n[material.%s]\nstock = \"%s\"\nalloy = \"6063-T6\"\nprocess = \"%s\"", m.Key, strings.TrimSuffix(m.Section.Canonical, " mm"), p.Key)
		if m.Spare > 0 {
			out("spare = %d", m.Spare)
		}
		if m.SparePercent > 0 {
			out("spare-percent = %s", plan.Money(m.SparePercent))
		}
		gap := "kerf"
		switch p.Kind {
		case job.Beam:
			gap = "spacing"
			out("\n[process.%s]\nkind = \"laser\"", p.Key)
		default:
			out("\n[process.%s]\nkind = \"%s\"", p.Key, p.Kind)
		}
		out("%s = %s", gap, millimetres(p.Kerf))
		for key, l := range map[string]length.Length{"trim-left": p.TrimLeft, "trim-right": p.TrimRight, "tail": p.Tail} {
			if l > 0 {
				out("%s = %s", key, millimetres(l))
			}
		}
		if p.Kind == job.Saw {
			out("shared-mitres = %t", p.SharedMitres)
			if p.OneWay {
				out("swings = \"one way\"")
			}
		}
		if p.BySupplier {
			out("done-by = \"supplier\"")
		}
	}
	for _, s := range j.Suppliers {
		out("\n[supplier.%s]", s.Name)
		if s.OnHand {
			out("on-hand = true")
			continue
		}
		if s.Delivers {
			out("delivery = %s", plan.Money(s.Delivery))
		}
		if s.Fetched {
			out("fetch = %s", plan.Money(s.Fetch))
		}
		money("minimum", s.Minimum)
		money("cut", s.Cut)
		money("mitre", s.Mitre)
		if s.FreeCuts > 0 {
			out("free-cuts = %d", s.FreeCuts)
		}
		if s.CutKerf >= 0 {
			out("cut-kerf = %s", millimetres(s.CutKerf))
		}
		thousandths("metre-cut", s.CutMetre)
		thousandths("pierce", s.Pierce)
		money("per-sheet", s.PerSheet)
		money("set-up", s.SetUp)
		out("tax = %d.%03d", s.Tax/1000, s.Tax%1000)
		if s.ByMark {
			out("lays-out = \"supplier\"")
		}
	}
	out("\n[tables]\noffers = '''\nsupplier, material, size, from, pack, price, stock")
	for _, o := range j.Offers {
		for _, t := range o.Tiers {
			size, stock := millimetres(o.Length), ""
			if o.Width > 0 {
				size += " x " + millimetres(o.Width)
			}
			if o.Stock >= 0 {
				stock = fmt.Sprint(o.Stock)
			}
			price := plan.Money(t.Price).String() + " each"
			if o.Pack > 1 {
				price = plan.Money(t.Price).String() + " per pack"
			}
			out("%s, %s, %s, %d, %d, %s, %s", j.Suppliers[o.Supplier].Name, j.Materials[o.Material].Key, size, t.From, o.Pack, price, stock)
		}
	}
	out("'''")
	if len(j.Pieces) > 0 {
		out("pieces = '''\nmark, material, length, left, right, left face, right face, quantity")
		for _, p := range j.Pieces {
			side := func(angle int64, f section.Face) string {
				if angle == 0 {
					return ""
				}
				return j.Materials[p.Material].Section.FaceName(f)
			}
			out("%s, %s, %s, %g, %g, %s, %s, %d", p.Mark, j.Materials[p.Material].Key, millimetres(p.Length), float64(p.Left)/1000, float64(p.Right)/1000,
				side(p.Left, p.LeftFace), side(p.Right, p.RightFace), p.Quantity)
		}
		out("'''")
	}
	if len(j.Panels) > 0 {
		out("panels = '''\nmark, material, length, width, turn, quantity")
		for _, p := range j.Panels {
			out("%s, %s, %s, %s, %s, %d", p.Mark, j.Materials[p.Material].Key, millimetres(p.Length), millimetres(p.Width), map[bool]string{true: "yes", false: "no"}[p.Turn], p.Quantity)
		}
		out("'''")
	}
	if len(j.Quotes) > 0 {
		out("quotes = '''\nsupplier, mark, price")
		for _, q := range j.Quotes {
			out("%s, %s, %s", j.Suppliers[q.Supplier].Name, q.Mark, plan.Money(q.Price))
		}
		out("'''")
	}
	return b.String()
}
