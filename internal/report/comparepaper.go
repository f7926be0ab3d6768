package report

import (
	"fmt"
	"math"
	"strings"

	"sawbill/internal/plan"
	"sawbill/internal/plan/option"
	"sawbill/internal/report/drawing"
	"sawbill/internal/report/svg"
)

// comparePaper makes compare.pdf.
func (s *set) comparePaper(t *option.Table) {
	d := s.document("Options side by side", true)
	d.newPage()
	d.heading(t.Job.Name+": options side by side", 18)
	d.gap(1)
	d.paragraph(s.verdictOf(t), 12)
	d.gap(2)
	d.optionRows("option", t.Rows)
	for _, text := range append(s.advice(t)[1:], starMeans, figuresMean) {
		d.paragraph(text, 8.5)
	}
	if len(t.WhatIfs) > 0 {
		d.gap(3)
		d.need(40)
		d.heading("What if the sheets were of another size?", 13)
		d.paragraph("Nobody offers these. Each stands for all sheets bought of its material, at the price per area and on the terms of the offer nearest in area: a figure to ask for a price with, not to buy by.", 8.5)
		d.gap(1)
		d.optionRows("sheet size", t.WhatIfs)
	}
	d.drawChart(t)
	d.save("compare.pdf")
}

// figuresMean says what the columns count.
const figuresMean = "In all: goods and all that suppliers charge, before tax. Gap: what could at most be saved on that; 0 where it is proven least. " +
	"Cuts: one for every sawn end, one where two ends meet along a line, one for every trimmed edge; for laser and the like one outline a panel. Longest: the longest thing to carry home. Stock: bars and sheets, spares included; nothing that comes cut and ready. Masses are without spares."

func (d *document) optionRows(head string, rows []option.Row) {
	right := func(head string, share float64) column { return column{head: head, share: share, align: drawing.Right} }
	t := d.table(8.5, column{head: "", share: 7, align: drawing.Centre}, column{head: head, share: 64, bold: true, wrap: true},
		right("in all, "+d.currency, 21), right("goods", 19), right("charges", 16), right("gap", 16),
		right("pieces, "+d.massUnit(), 17), right("scrap, "+d.massUnit(), 16), right("scrap", 16),
		right("stock", 11), right("longest", 20), right("cuts", 11), right("offcuts", 12), column{head: "note", share: 60, wrap: true, whole: true})
	for _, r := range rows {
		if !r.Planned {
			t.row("", r.Name, "no plan", "", "", "", "", "", "", "", "", "", "", strings.Join(r.Notes, "; "))
			continue
		}
		mark := ""
		if r.Undominated {
			mark = "*"
		}
		t.row(mark, r.Name, d.money(r.Total), d.money(r.Goods), d.money(r.Charges), d.money(r.Gap),
			d.bareMass(r.Mass.Pieces), d.bareMass(r.Mass.Scrap), d.share(r.ScrapShare()), fmt.Sprint(r.Stocks),
			d.withUnit(r.Longest), fmt.Sprint(r.Cuts), fmt.Sprint(r.Offcuts), d.notesOf(r))
	}
	t.end()
}

// drawChart puts the chart on pages of its own, with the same axes on each.
func (d *document) drawChart(t *option.Table) {
	if d.onScreen {
		return
	}
	d.newPage()
	c := d.chart(t, d.width())
	if len(c.rows) == 0 {
		d.paragraph("No option has a plan, so there is nothing to draw.", 10)
		return
	}
	for from := 0; from < len(c.rows); {
		if from > 0 {
			d.newPage()
		}
		d.heading("Side by side", 13)
		d.gap(2)
		room := int((d.bottom() - d.y - chartHead - chartFoot) / chartLine)
		to := min(len(c.rows), from+max(1, room))
		fig := c.figure(from, to)
		d.page().Place(fig, d.left(), d.y)
		d.y += fig.Height
		from = to
	}
}

// compareDrawing makes compare.svg.
func (s *set) compareDrawing(t *option.Table) {
	const edge, width = 8.0, 260.0
	c := s.chart(t, width)
	fig := c.figure(0, len(c.rows))
	page := &drawing.Page{Width: width + 2*edge, Height: fig.Height + 2*edge + 14}
	s.write(page, edge, edge+4, width, t.Job.Name+": options side by side", font{size: 12, least: 7, bold: true})
	number := "no plan of the job as offered"
	if t.Number != "" {
		number = "plan no. " + t.Number + " as offered"
	}
	s.write(page, edge, edge+9, width, strings.TrimPrefix(t.Job.Date+"    "+number, " "), font{size: 8, least: 6})
	page.Place(fig, edge, edge+14)
	s.add("compare.svg", svg.Write(page, s.clean(t.Job.Name+": options side by side")))
}

// massSteps is a mass in hundredths of the unit it is printed in.
func (s style) massSteps(m plan.Mass) int64 {
	v := m.Kilograms()
	if s.unit.Imperial() {
		v /= kilogramsPerPound
	}
	return int64(math.Round(v * 100))
}

// inMassUnit prints hundredths of a kilogram or a pound.
func (s style) inMassUnit(v int64) string { return s.decimal(plan.Money(v).String()) }
