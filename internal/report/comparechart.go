package report

import (
	"fmt"
	"math"

	"sawbill/internal/plan"
	"sawbill/internal/plan/option"
	"sawbill/internal/report/drawing"
)

// The chart of a comparison: a line for each option, and on it one dot for
// its amount in all, one for the mass of the pieces where that differs, and one
// for the scrap. Shapes and fill tell the options apart, never colour.

// chartRow is one line of the chart.
type chartRow struct {
	option.Row
	values []int64
}

// axis is one figure of the chart, in whole numbers.
type axis struct {
	title string
	// from and to are its ends, step the distance of its lines.
	from, to, step int64
	print          func(int64) string
}

// chart is a comparison ready to be drawn, whole or in parts.
type chart struct {
	*set
	rows   []chartRow
	axes   []axis
	left   int // options left out because they are the job as offered
	width  float64
	labels float64
}

const (
	chartLine = 5.2  // the height of a line
	chartHead = 12.0 // of titles and figures above
	chartFoot = 12.0 // of the explanation below
)

func (s *set) chart(t *option.Table, width float64) *chart {
	c := &chart{set: s, width: width, labels: width * 0.3}
	pays := axis{title: "in all, " + s.currency, print: func(v int64) string { return s.money(plan.Money(v)) }}
	build := axis{title: "pieces weigh, " + s.massUnit(), print: s.inMassUnit}
	scrap := axis{title: "scrap, " + s.massUnit(), print: s.inMassUnit}
	c.axes = []axis{pays, build, scrap}
	for _, r := range append(t.Rows[:len(t.Rows):len(t.Rows)], t.WhatIfs...) {
		switch {
		case !r.Planned:
		case r.Alike:
			c.left++
		default:
			c.rows = append(c.rows, chartRow{r, []int64{int64(r.Total), s.massSteps(r.Mass.Pieces), s.massSteps(r.Mass.Scrap)}})
		}
	}
	for i := range c.axes {
		var all []int64
		for _, r := range c.rows {
			all = append(all, r.values[i])
		}
		c.axes[i].span(all)
	}
	if len(c.rows) > 0 && c.axes[1].from == c.axes[1].to {
		c.drop(1)
	}
	return c
}

// drop takes an axis out of the chart.
func (c *chart) drop(i int) {
	c.axes = append(c.axes[:i:i], c.axes[i+1:]...)
	for k := range c.rows {
		v := c.rows[k].values
		c.rows[k].values = append(v[:i:i], v[i+1:]...)
	}
}

// span sets the ends of the axis around its values, on round figures of at most
// six steps.
func (a *axis) span(values []int64) {
	if len(values) == 0 {
		return
	}
	low, high := values[0], values[0]
	for _, v := range values {
		low, high = min(low, v), max(high, v)
	}
	a.from, a.to, a.step = low, high, 1
	if low == high {
		return
	}
	for i := 0; ; i++ {
		if a.step > (high-low)/5 || a.step > math.MaxInt64/10 {
			break
		}
		// 1, 2, 5, 10, 20 …
		if i%3 == 1 {
			a.step = a.step / 2 * 5
		} else {
			a.step *= 2
		}
	}
	a.from, a.to = low-low%a.step, high
	if rest := high % a.step; rest > 0 {
		a.to = high - rest + a.step
	}
}

// at is where a value lies on an axis of the given place and width.
func (a axis) at(v int64, x, width float64) float64 {
	if a.to == a.from {
		return x + width/2
	}
	return x + float64(width*(float64(v-a.from)/float64(a.to-a.from)))
}

// figure draws the lines from one to another, exclusive.
func (c *chart) figure(from, to int) *drawing.Page {
	rows := c.rows[from:to]
	high := float64(len(rows)) * chartLine
	p := &drawing.Page{Width: c.width, Height: chartHead + high + chartFoot}
	const figures, gap = 20.0, 8.0
	panel := (c.width - c.labels - gap*float64(len(c.axes))) / float64(len(c.axes))
	for i, a := range c.axes {
		x := c.labels + gap/2 + float64(i)*(panel+gap) + figures
		w := panel - figures
		c.write(p, x-figures, 4, panel, a.title, font{size: 9, least: 6, bold: true})
		for v := a.from; ; v += a.step {
			at := a.at(v, x, w)
			p.Stroke(at, chartHead-1, at, chartHead+high, hair)
			c.write(p, at, chartHead-2, w/3, trimZeros(a.print(v)), font{size: 6.5, least: 5, align: drawing.Centre})
			if v >= a.to || a.step <= 0 {
				break
			}
		}
		for k, r := range rows {
			y := chartHead + (float64(k)+0.5)*chartLine
			c.write(p, x-4, y+1, figures-4, a.print(r.values[i]), font{size: 8, least: 5, align: drawing.Right, bold: r.Undominated})
			p.Stroke(x, y, x+w, y, drawing.Pen{Width: drawing.Hair, Dash: []float64{0.5, 1}})
			dot(p, a.at(r.values[i], x, w), y, r.Row)
		}
	}
	for k, r := range rows {
		y := chartHead + (float64(k)+0.5)*chartLine
		c.write(p, 0, y+1, c.labels, optionName(r.Row), font{size: 8.5, least: 6, bold: r.Kind == option.AsOffered})
	}
	c.explain(p, chartHead+high+6)
	return p
}

// explain says below the chart what its dots mean.
func (c *chart) explain(p *drawing.Page, y float64) {
	x := 1.5
	for _, e := range []struct {
		row  option.Row
		text string
	}{
		{option.Row{Undominated: true}, "no other is as good in everything"},
		{option.Row{}, "another is as good or better in everything"},
		{option.Row{Kind: option.WhatIf}, "what if: nobody offers it"},
	} {
		dot(p, x, y-0.9, e.row)
		x += 3 + c.write(p, x+3, y, c.width, e.text, font{size: 7.5}) + 5
	}
	text := "Axes do not begin at 0."
	if c.left > 0 {
		text += fmt.Sprintf(" Not drawn: %s with the figures of the job as offered.", plural(int64(c.left), "option"))
	}
	c.write(p, 0, y+4.5, c.width, text, font{size: 7.5, least: 5})
}

// dot draws an option's sign: a full or open circle, or a diamond.
func dot(p *drawing.Page, x, y float64, r option.Row) {
	corners, radius, fill := 24, 1.25, drawing.White
	switch {
	case r.Kind == option.WhatIf:
		corners, radius = 4, 1.5
	case r.Undominated:
		fill = drawing.Black
	}
	var outline []drawing.Point
	for i := range corners {
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / float64(corners))
		outline = append(outline, drawing.Point{X: x + float64(radius*cos), Y: y + float64(radius*sin)})
	}
	p.Add(drawing.Shape{Points: outline, Pen: medium, Fill: fill})
}

// optionName says of a sheet size without an offer that it is a question.
func optionName(r option.Row) string {
	if r.Kind == option.WhatIf {
		return "what if " + r.Name
	}
	return r.Name
}
