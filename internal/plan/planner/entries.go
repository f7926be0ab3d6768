package planner

import (
	"fmt"
	"strings"

	"sawbill/internal/job"
	"sawbill/internal/length"
	"sawbill/internal/plan"
)

// named is one copy of one row of the list.
type named struct {
	mark string
	copy int
}

// marksOf lists the marks among copies, each once, in list order.
func marksOf(copies []named) []string {
	var marks []string
	for _, c := range copies {
		if len(marks) == 0 || marks[len(marks)-1] != c.mark {
			marks = append(marks, c.mark)
		}
	}
	return marks
}

func moneyGoal(value, bound int64) plan.MoneyGoal {
	g := plan.MoneyGoal{Value: plan.Money(value), Bound: plan.Money(bound), Status: plan.Open}
	if value == bound {
		g.Status = plan.Proven
	}
	return g
}

func countGoal(value, bound int64, proven bool) plan.CountGoal {
	g := plan.CountGoal{Value: value, Bound: bound, Status: plan.Open}
	if proven {
		g.Status = plan.Proven
	}
	return g
}

func stock(j *job.Job, offer int) plan.Stock {
	o := j.Offers[offer]
	return plan.Stock{Offer: offer, Supplier: j.Suppliers[o.Supplier].Name, Length: o.Length, Width: o.Width}
}

// number gives layouts their numbers and equal ones the same pattern: same
// stock parted alike, and the same marks in the same places, whichever copies
// they are.
func number(list []plan.Layout) {
	patterns := map[string]int{}
	for i := range list {
		l := &list[i]
		l.Number = i + 1
		var key strings.Builder
		fmt.Fprint(&key, l.Stock.Offer, l.FirstCuts)
		for _, p := range l.Pieces {
			fmt.Fprintf(&key, " %q %d %t %t", p.Mark, p.At, p.Turned, p.Rolled)
		}
		for _, p := range l.Panels {
			fmt.Fprintf(&key, " %q %d %d %t", p.Mark, p.X, p.Y, p.Turned)
		}
		if patterns[key.String()] == 0 {
			patterns[key.String()] = len(patterns) + 1
		}
		l.Pattern = patterns[key.String()]
	}
}

// cut counts the layouts of each offer.
func cut(j *job.Job, layouts []plan.Layout) []int64 {
	counts := make([]int64, len(j.Offers))
	for _, l := range layouts {
		counts[l.Stock.Offer]++
	}
	return counts
}

// buy lists what is bought of each offer, in the order of the offers, and what
// of it is not cut.
func buy(j *job.Job, bought, cut []int64) []plan.Line {
	lines := []plan.Line{}
	for i, n := range bought {
		if n == 0 {
			continue
		}
		s, o := stock(j, i), j.Offers[i]
		line := plan.Line{Offer: i, Supplier: s.Supplier, Length: s.Length, Width: s.Width, Count: n, Spare: n - cut[i], Each: plan.Money(o.Price)}
		for _, t := range o.Tiers {
			if t.From <= n {
				line.Each = plan.Money(t.Price)
			}
		}
		packs := n
		if o.Pack > 1 {
			line.Pack, packs = o.Pack, n/o.Pack
		}
		line.Amount = line.Each * plan.Money(packs)
		lines = append(lines, line)
	}
	return lines
}

// shortMessage says that a material cannot be planned from its stock.
func shortMessage(m job.Material, what string, impossible bool, missing string, left []string) *job.Message {
	text := fmt.Sprintf("material %q: no plan was found with the %s in stock", m.Key, what)
	if impossible {
		text = fmt.Sprintf("material %q: the %s in stock run out", m.Key, what)
	}
	if missing != "" {
		text += ", " + missing
	}
	if len(left) > 0 {
		text += "; the best try leaves over " + strings.Join(few(left, "kinds"), "; ")
	}
	text += "; raise the stock in the offers or add an offer"
	return &job.Message{Pos: m.Pos, Text: text}
}

// tooLarge says that pieces or panels fit nothing on offer, each alone.
func tooLarge(m job.Material, p job.Process, what string, marks []string) *job.Message {
	return &job.Message{Pos: m.Pos, Text: fmt.Sprintf("material %q: none of the %s in stock is large enough for %s, as the process %q cuts it; offer a larger size or change the process",
		m.Key, what, strings.Join(few(marks, "marks"), ", "), p.Key)}
}

// few shortens a list to what can be read.
func few(list []string, what string) []string {
	const most = 5
	if more := len(list) - most; more > 0 {
		return append(list[:most:most], fmt.Sprintf("%d %s more", more, what))
	}
	return list
}

// inUnit prints a length in the job's unit.
func inUnit(j *job.Job, l length.Length) string {
	return length.Format{Unit: j.Unit, Decimals: 1, Comma: j.DecimalComma, Fraction: j.Fraction}.WithUnit(l)
}
