package report

import (
	"fmt"
	"strings"

	"sawbill/internal/account"
	"sawbill/internal/job"
	"sawbill/internal/plan"
	"sawbill/internal/report/drawing"
)

// massAndMoney makes bill.pdf: what the whole costs and weighs, and its joints.
func (s *set) massAndMoney() {
	a := account.Of(s.job)
	d := s.document("Mass and money", false)
	d.newPage()
	d.heading("Mass and money", 18)
	d.moneyRows(a)
	d.massInAll(a)
	d.massByGroup(a)
	d.massByMark(a)
	d.joints(a)
	d.need(45)
	d.heading("Cautions", 13)
	for _, text := range massCautions {
		d.paragraph("– "+text, 9.5)
	}
	d.save("bill.pdf")
	s.add("bill.csv", s.billTable(a))
	s.add("masses.csv", s.massTable(a))
}

var massCautions = []string{
	"Every mass here is an estimate from nominal sizes. Weigh the finished thing, part by part, before it is lifted, carried or loaded.",
	"A load that is allowed is allowed for all that is on it: people, water, tools and lashings count.",
	"Sawn and sheared edges and the stubs of rivets are sharp. Wear gloves and eye protection, and deburr before handling.",
	"Lift with enough people for the heaviest end, and keep feet and hands clear; wind takes hold of a skinned part.",
	"Nothing here says that a joint or the structure is strong enough. Have that judged by someone qualified.",
	"Prices are those entered; what is quoted and invoiced is left to fill in.",
}

// moneyRows are the bill with columns for what is quoted and invoiced.
func (d *document) moneyRows(a *account.Account) {
	d.heading("What it costs", 13)
	t := d.table(9, column{head: "what", share: 74, wrap: true}, column{head: "count", share: 12, align: drawing.Right, bold: true},
		column{head: "each", share: 18, align: drawing.Right}, column{head: "amount, " + d.currency, share: 22, align: drawing.Right},
		column{head: "quoted", share: 22, align: drawing.Right, box: true}, column{head: "invoiced", share: 22, align: drawing.Right, box: true})
	planned, sundries := d.purchaseParts(d.plan, d.job), d.sundries(a)
	for _, part := range append(planned[:len(planned):len(planned)], sundries...) {
		t.group(part.heading)
		for _, r := range part.rows {
			count, each := "", ""
			if r.count > 0 {
				count, each = fmt.Sprint(r.count), d.money(r.each)
			}
			t.rowWith([]string{r.more}, r.what, count, each, d.money(r.amount))
		}
		t.sum("", "", "", d.money(part.sum()))
	}
	spend := sumOf(planned) + sumOf(sundries)
	t.need(4 * t.high)
	t.sum("To spend in all", "", "", d.money(spend))
	if limit := plan.Money(d.job.Budget); limit > 0 {
		t.sum("Budget", "", "", d.money(limit))
		if left := limit - spend; left >= 0 {
			t.sum("Left of the budget", "", "", d.money(left))
		} else {
			t.sum("Over the budget", "", "", d.money(-left))
		}
	}
	t.end()
	d.gap(3)
}

// fittings are the masses of what is bought beside the plan, in thousandths.
func (d *document) fittings(a *account.Account) (rows []massRow, sum int64) {
	c := massColumn{style: d.style}
	for _, f := range []struct {
		name  string
		lines []account.Line
	}{{"Brackets, bought", a.Brackets}, {"Rivets", a.Rivets}, {"Items", a.Items}} {
		if len(f.lines) > 0 {
			rows = append(rows, massRow{f.name, c.add(account.MassOf(f.lines))})
		}
	}
	if len(a.Consumables) > 0 {
		n := d.thousandths(account.MassOf(a.Consumables))
		return append(rows, massRow{usedUp, n}), c.sum + n
	}
	return rows, c.sum
}

const usedUp = "Sealant, paint and the like"

type massRow struct {
	name string
	mass int64 // thousandths
}

// massInAll adds up to the whole and holds it against the load allowed.
func (d *document) massInAll(a *account.Account) {
	d.need(60)
	d.heading("What it weighs", 13)
	t := d.table(9.5, column{head: "what", share: 110, bold: true}, column{head: "mass, " + d.massUnit(), share: 30, align: drawing.Right, bold: true}, column{head: "weighed", share: 30, box: true})
	cut, growth := d.thousandths(a.Cut()), d.thousandths(a.Growth())
	rows := []massRow{{"Pieces and panels", cut}}
	if growth != 0 {
		rows = append(rows, massRow{"Growth allowance", growth})
	}
	fitted, sum := d.fittings(a)
	for _, r := range append(rows, fitted...) {
		t.plain(r.name, d.inThousandths(r.mass))
	}
	sum += cut + growth
	t.row("In all", d.inThousandths(sum))
	if limit := plan.Mass(d.job.AllowedLoad); limit > 0 {
		allowed := d.thousandths(limit)
		t.sum("Allowed load", d.inThousandths(allowed))
		if left := allowed - sum; left >= 0 {
			t.sum("Below the allowed load by this estimate", d.inThousandths(left))
		} else {
			t.sum("Above the allowed load by this estimate", d.inThousandths(-left))
		}
	}
	t.end()
	if n := d.job.People; n > 1 {
		d.paragraph(fmt.Sprintf("Carried by %d people as one, each would hold %s.", n, d.shareOf(a.Mass(), n)), 9.5)
	}
	if d.job.AllowedLoad > 0 {
		d.paragraph("The figure is an estimate, to be weighed; metal is sold within tolerances, and what is not listed here weighs too.", 9.5)
	}
	d.gap(3)
}

// shareOf is what one of n carries, rounded up to a tenth.
func (s style) shareOf(m plan.Mass, n int64) string {
	tenths := (s.thousandths(m) + 100*n - 1) / (100 * n)
	return s.decimal(strings.TrimSuffix(plan.Money(tenths*10).String(), "0")) + " " + s.massUnit()
}

// massByGroup tells what each part weighs, since parts are what is carried.
func (d *document) massByGroup(a *account.Account) {
	if len(a.Groups) < 2 {
		return
	}
	d.need(40)
	d.heading("By group", 13)
	right := func(head string, share float64) column { return column{head: head, share: share, align: drawing.Right} }
	columns := []column{{head: "group", share: 50, bold: true, wrap: true}, right("cut, "+d.massUnit(), 22), right("growth", 20), right("fitted", 20), right("in all", 22)}
	if d.job.People > 1 {
		columns = append(columns, right(fmt.Sprintf("each of %d", d.job.People), 22))
	}
	t := d.table(9.5, append(columns, column{head: "weighed", share: 24, box: true})...)
	cut, growth, fitted := massColumn{style: d.style}, massColumn{style: d.style}, massColumn{style: d.style}
	for _, g := range a.Groups {
		x, y, z := cut.add(g.Cut), growth.add(g.Growth), fitted.add(g.Fitted)
		cells := []string{groupName(g), d.unlessNone(x), d.unlessNone(y), d.unlessNone(z), d.inThousandths(x + y + z)}
		if d.job.People > 1 {
			cells = append(cells, d.shareOf(g.Mass(), d.job.People))
		}
		t.row(cells...)
	}
	sum := cut.sum + growth.sum + fitted.sum
	if len(a.Consumables) > 0 {
		used := d.thousandths(account.MassOf(a.Consumables))
		sum += used
		t.row(usedUp, "", "", "", d.inThousandths(used))
	}
	t.sum("", d.inThousandths(cut.sum), d.inThousandths(growth.sum), d.inThousandths(fitted.sum), d.inThousandths(sum))
	t.end()
	d.paragraph("fitted: brackets that are bought, rivets and items. Masses are rounded so that the columns add up.", 9)
	d.gap(3)
}

// unlessNone leaves a cell empty where there is nothing.
func (s style) unlessNone(n int64) string {
	if n == 0 {
		return ""
	}
	return s.inThousandths(n)
}

func groupName(g account.Group) string {
	if g.Name == "" {
		return "in no group"
	}
	return g.Name
}

// massByMark lists what is cut, by material.
func (d *document) massByMark(a *account.Account) {
	d.need(40)
	d.heading("By mark", 13)
	right := func(head string, share float64) column { return column{head: head, share: share, align: drawing.Right} }
	t := d.table(9, column{head: "mark", share: 40, bold: true, wrap: true, whole: true}, column{head: "group", share: 50, wrap: true},
		right("count", 16), right("each, "+d.massUnit(), 24), right("mass, "+d.massUnit(), 26))
	c := massColumn{style: d.style}
	for _, m := range a.Materials {
		t.group(m.Key)
		before := c.sum
		for _, k := range a.Marks {
			if k.Material == m.Key {
				t.row(k.Mark, k.Group, fmt.Sprint(k.Count), d.inThousandths(d.thousandths(k.Each)), d.inThousandths(c.add(k.Mass)))
			}
		}
		t.sum("", "", "", "", d.inThousandths(c.sum-before))
	}
	t.sum("Pieces and panels", "", "", "", d.inThousandths(c.sum))
	t.end()
	d.paragraph("each is rounded by itself, the masses so that the column adds up.", 9)
	d.gap(3)
}

// joints is the list for whoever rivets.
func (d *document) joints(a *account.Account) {
	riveted := d.job.Riveted()
	if len(riveted) == 0 {
		return
	}
	d.need(40)
	d.heading("Joints and rows of rivets", 13)
	right := func(head string, share float64) column { return column{head: head, share: share, align: drawing.Right} }
	mark := d.shareFor(marksOf(riveted, func(j job.Joint) string { return j.Mark }), 9, 16, 34)
	t := d.table(9, column{head: "done", share: 9, tick: true}, column{head: "joint", share: mark, bold: true, wrap: true}, right("count", 11),
		column{head: "bracket", share: 18, wrap: true}, right("rivets each", 17), column{head: "rivet", share: 29}, column{head: "grip", share: 18},
		right("rivets", 13), column{head: "note", share: 74 - mark, wrap: true})
	rivets := int64(0)
	for i, joint := range riveted {
		bracket, each, size, grip, all := "", "", "", "", ""
		if joint.Bracket >= 0 {
			bracket = fmt.Sprintf("%d × %s", joint.Brackets, d.job.Brackets[joint.Bracket].Kind)
		}
		if r := a.Sizes[i]; r >= 0 {
			n := joint.Quantity * joint.Rivets
			rivets += n
			each, all, grip = fmt.Sprint(joint.Rivets), fmt.Sprint(n), d.unitOn(d.fastener(joint.Grip))
			size = d.rivetSize(d.job.Rivets[r].Diameter, d.job.Rivets[r].Length)
		}
		t.row("", joint.Mark, fmt.Sprint(joint.Quantity), bracket, each, size, grip, all, note(joint.Group, joint.Note))
	}
	t.sum("", "", "", "", "", "", "", fmt.Sprint(rivets))
	t.end()
	d.paragraph("grip: the thickness of all that a rivet holds together, the adhesive between included. A body too long for its grip sets loose.", 9)
	if text := d.skinPins(d.job); text != "" {
		d.paragraph(text, 9)
	}
	d.gap(3)
}

// massTable is masses.csv: milligrams are not rounded.
func (s *set) massTable(a *account.Account) []byte {
	rows := [][]string{{"part", "material", "name", "group", "count", "each_kg", "mass_kg"}}
	for _, k := range a.Marks {
		rows = append(rows, []string{"cut", k.Material, k.Mark, k.Group, fmt.Sprint(k.Count), k.Each.String(), k.Mass.String()})
	}
	for _, m := range a.Materials {
		if m.Growth != 0 {
			rows = append(rows, []string{"growth allowance", m.Key, "", "", "", "", m.Growth.String()})
		}
	}
	for _, l := range a.Lines() {
		if l.Mass != 0 {
			rows = append(rows, []string{"fitted", "", s.lineName(l), l.Group, "", "", l.Mass.String()})
		}
	}
	return table4180(rows)
}
