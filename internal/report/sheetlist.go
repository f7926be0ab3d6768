package report

import (
	"fmt"

	"sawbill/internal/report/drawing"
)

// The order of cuts is listed in strips: beside a sheet's drawing, below it, beside its
// detail, and on pages of its own behind them.

// besideStep is the height of a line in a strip, besideText where what comes off
// begins on it.
const (
	besideStep = 4.6
	besideText = 51.0
)

// strip is a column for the list, besides wide, and where its reader goes from there.
type strip struct {
	x, top, bottom float64
	then           string
}

// cutsListed is an order of cuts that is being listed.
type cutsListed struct {
	*document
	view *sheetView
	next int // the line to be written
	// y is where in the strip, and low how far down the page the list reaches.
	y, low float64
	strip  strip
	page   *leaf // that it is on
}

// listHigh is the height of all that stands beside a drawing, as far as one page
// can hold it.
func (d *document) listHigh(v *sheetView) float64 {
	if beam(v.material) {
		return 0
	}
	lines := 3
	for _, l := range v.lines {
		lines += d.linesBeside(l)
	}
	if len(v.key) > 0 {
		lines += len(v.key) + 1
	}
	return min(float64(lines)*besideStep, d.bottom()-margin-5-sheetHead)
}

// linesBeside is how many lines of type an entry takes in a strip.
func (d *document) linesBeside(l orderLine) int {
	if l.head != "" {
		return 1
	}
	return max(1, len(d.textBeside(l)))
}

func (d *document) textBeside(l orderLine) []string {
	return d.face.Wrap(d.clean(l.text), 8.5, false, besides-besideText)
}

// besideSheet lists the cuts in order beside a drawing, in the room below it, and on as
// many pages after it as they need; a detail goes below the drawing or on the next page.
func (d *document) besideSheet(v *sheetView, fig *drawing.Page, top float64) {
	const between = 5.0
	x, below := d.right()-besides, top+fig.Height
	l := cutsListed{document: d, view: v, low: below}
	var strips []strip
	details := len(v.detailed)
	if details == 1 {
		if detail, e, good := d.detailFor(v, 0, x-between-d.left(), d.bottom()-below-2); good {
			d.page().Place(detail, d.left(), below+2)
			below += 2 + detail.Height
			l.low, v.key, details = below, e.key, 0
		}
	}
	for at := d.left(); at+besides <= x && len(v.detailed) == 0; at += besides + between {
		strips = append(strips, strip{x: at, top: below + 5, bottom: d.bottom()})
	}
	first := strip{x: x, top: top + 4, bottom: d.bottom(), then: "continued on the next page"}
	if len(strips) > 0 && strips[0].bottom-strips[0].top > 4*besideStep {
		first.then = "continued below the drawing"
	} else {
		strips = nil
	}
	l.write(first)
	for i, s := range strips {
		if i+1 == len(strips) {
			s.then = "continued on the next page"
		}
		l.write(s)
	}
	d.y = l.low + 1
	if details > 0 {
		l.detailPages()
	}
	if l.next < len(v.lines) {
		d.cutRows(v.lines, l.next)
	}
	if !l.key() {
		d.keyRows(v.key)
	}
}

// detailPages draws details on pages of their own and goes on with the list beside them.
func (l *cutsListed) detailPages() {
	const worth = 1.2 // how much larger than the sheet a detail is drawn below another
	d, v := l.document, l.view
	again := d.head
	defer func() { d.head = again }()
	d.head = nil
	for i := 0; i < len(v.detailed); {
		d.newPage()
		d.y += 6
		d.write(&d.page().Page, d.left(), d.y, d.width(), fmt.Sprintf("Pattern %d, details", v.pattern.Pattern), font{size: 13, bold: true})
		d.y += 2
		top, first, side := d.y, i, 0.0
		for ; i < len(v.detailed); i++ {
			w := v.detailed[i]
			wide := d.width()
			if l.next < len(v.lines) && w.x1-w.x0 < 3*(w.y1-w.y0) {
				wide -= besides + besidesGap
			}
			detail, e, _ := d.detailFor(v, i, wide, d.bottom()-d.y)
			if detail == nil || i > first && e.scale < worth*v.scale {
				break
			}
			d.page().Place(detail, d.left(), d.y)
			d.page().scale = d.ratio(1 / e.scale)
			v.key = e.key
			side, d.y = max(side, detail.Width), d.y+detail.Height+2
		}
		if i > first+1 {
			d.page().scale = ""
		}
		l.low = d.y
		for x := d.left() + side + besidesGap; x+besides <= d.right()+0.1 && l.next < len(v.lines); x += besides + besidesGap {
			s := strip{x: x, top: top + 3, bottom: d.bottom()}
			if x+2*besides+besidesGap > d.right() {
				s.then = "continued on the next page"
			}
			l.write(s)
		}
		d.y = l.low + 1
	}
}

// write fills a strip.
func (l *cutsListed) write(s strip) {
	d, p := l.document, &l.document.page().Page
	lines := l.view.lines
	y := s.top
	put := func(text string, f font) {
		d.write(p, s.x, y, besides, text, f)
		y += besideStep
	}
	switch {
	case l.next >= len(lines):
		return
	case l.next == 0:
		put(d.orderCount(l.view.order), font{size: 9, least: 7, bold: true})
		put("Measured from each part's lower or left edge, before its first cut", font{size: 7.5, least: 6})
	case lines[l.next].head == "":
		put(headOf(lines, l.next)+", continued", font{size: 8.5, least: 6, bold: true})
	}
	fits := int((s.bottom - y) / besideStep)
	for ; l.next < len(lines); l.next++ {
		e := lines[l.next]
		n := d.linesBeside(e)
		if last := l.next+1 == len(lines); n > fits || n == fits && !last || e.head != "" && fits < 3 {
			if s.then != "" {
				put(s.then, font{size: 8})
			}
			break
		}
		fits -= n
		if e.head != "" {
			put(e.head, font{size: 8.5, least: 6, bold: true})
			continue
		}
		d.write(p, s.x, y, 12, e.numbers, font{size: 9, least: 6, bold: true})
		d.write(p, s.x+12.5, y, 14, e.kind, font{size: 8, least: 6})
		d.write(p, s.x+besideText-1.5, y, 23.5, e.at, font{size: 9, least: 6, bold: true, align: drawing.Right})
		for k, text := range d.textBeside(e) {
			d.write(p, s.x+besideText, y+float64(float64(k)*besideStep), besides-besideText, text, font{size: 8.5, least: 6})
		}
		y += float64(float64(n) * besideStep)
	}
	l.y, l.low = y, max(l.low, y-besideStep)
	l.strip, l.page = s, d.page()
}

// key lists the panels too small to letter behind the list, where it ended in a strip with room for them.
func (l *cutsListed) key() bool {
	d, key := l.document, l.view.key
	s := l.strip
	if len(key) == 0 || l.page != d.page() || int((s.bottom-l.y)/besideStep) <= len(key) {
		return len(key) == 0
	}
	y := l.y + 2
	d.write(&d.page().Page, s.x, y, besides, "Panels too small to letter", font{size: 7.5})
	for i, k := range key {
		y += besideStep
		d.write(&d.page().Page, s.x, y, besides, d.keyLine(i, k), font{size: 9, least: 7})
	}
	d.y = max(d.y, y+1)
	return true
}

// headOf is the head of the lot that a line is of.
func headOf(lines []orderLine, at int) string {
	for ; at >= 0; at-- {
		if lines[at].head != "" {
			return lines[at].head
		}
	}
	return ""
}

// keyLine is what stands in the list for a panel too small to letter.
func (s *set) keyLine(i int, mark string) string {
	row, name := s.panels[mark], keyName(i, mark)
	text := name + "  " + s.own(row.Length) + " × " + s.own(row.Width)
	if name == mark {
		return text
	}
	return text + "  " + clip(mark, 40)
}

// keyLines are the lines of all that a drawing could not letter.
func (v *sheetView) keyLines() []string {
	var list []string
	for i, mark := range v.key {
		list = append(list, v.keyLine(i, mark))
	}
	return list
}

// keyName is what a panel too small to letter is called on its drawing: by its mark, if
// that is short, else by a number.
func keyName(i int, mark string) string {
	const short = 4
	if len([]rune(mark)) <= short {
		return mark
	}
	return fmt.Sprintf("p%d", i+1)
}

// cutRows lists the cuts from one of the lines on, on pages of their own.
func (d *document) cutRows(lines []orderLine, from int) {
	again := d.head
	defer func() { d.head = again }()
	d.newPage()
	t := d.table(10, column{head: "cut", share: 12, bold: true}, column{head: "kind", share: 16}, column{head: "at, " + d.unit.String(), share: 28, align: drawing.Right, bold: true},
		column{head: "what comes off", share: 70, wrap: true, whole: true}, column{head: "done", share: 9, tick: true})
	if lines[from].head == "" {
		t.group(headOf(lines, from) + ", continued")
	}
	for _, l := range lines[from:] {
		switch {
		case l.head != "":
			t.group(l.head)
		case l.numbers == "":
			t.plain("", l.kind, "", l.text)
		default:
			t.row(l.numbers, l.kind, l.at, l.text)
		}
	}
	t.end()
}
