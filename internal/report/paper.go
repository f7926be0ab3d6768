package report

import (
	"fmt"
	"strings"

	"sawbill/internal/report/drawing"
	"sawbill/internal/report/pdf"
	"sawbill/internal/report/screen"
	"sawbill/internal/report/typeface"
)

// Margins of the frame: 20 mm to file the sheet by, 10 mm elsewhere (ISO 5457).
const (
	filing = 20.0
	margin = 10.0
	// blockHigh is the title block's height, two rows.
	blockHigh = 20.0
)

// document is one PDF in the making: pages with a frame and a title block, and
// a pen that moves down the page.
type document struct {
	*set
	kind      string // document type in the title block
	title     string // what the pages show, when it differs from page to page
	landscape bool
	drawings  bool // a 100 mm bar on every page
	pages     []*leaf
	// y is where the next thing goes, on the last page.
	y float64
	// blocks are what it says, for a screen.
	blocks []screen.Block
	// head, when set, is drawn at the top of each new page.
	head func()
}

// leaf is one page with its own title.
type leaf struct {
	drawing.Page
	title, scale string
}

func (s *set) document(kind string, landscape bool) *document {
	return &document{set: s, kind: kind, landscape: landscape}
}

func (d *document) page() *leaf { return d.pages[len(d.pages)-1] }

// newPage starts a page.
func (d *document) newPage() {
	w, h := d.high, d.wide
	if d.landscape {
		w, h = h, w
	}
	d.pages = append(d.pages, &leaf{Page: drawing.Page{Width: w, Height: h}, title: d.title})
	d.y = margin + 5
	if d.head != nil {
		d.head()
	}
}

// The drawing space within frame and title block.
func (d *document) left() float64   { return filing + 4 }
func (d *document) right() float64  { return d.page().Width - margin - 4 }
func (d *document) width() float64  { return d.right() - d.left() }
func (d *document) bottom() float64 { return d.page().Height - margin - blockHigh - 3 }

// fullPage is the height of the drawing space.
func (d *document) fullPage() float64 {
	high := d.high
	if !d.landscape {
		high = d.wide
	}
	return high - 2*margin - blockHigh - 8
}

// need starts a new page unless so much room is left. A hair more than fits is
// let pass, lest the last bit of a float decide.
func (d *document) need(height float64) {
	if len(d.pages) == 0 || d.y+height > d.bottom()+1e-3 {
		d.newPage()
	}
}

// save finishes the pages and adds the file.
func (d *document) save(name string) {
	if len(d.pages) == 0 {
		d.newPage()
	}
	if d.onScreen {
		d.told = append(d.told, screen.Paper{Name: name, Title: d.kind, Blocks: d.blocks})
		return
	}
	pages := make([]*drawing.Page, len(d.pages))
	for i, p := range d.pages {
		d.frame(p, i+1, len(d.pages))
		pages[i] = &p.Page
	}
	title := d.plan.Job.Name + " – " + d.kind
	data, err := pdf.Write(pdf.Document{
		Title: d.clean(title), Subject: d.clean("Plan no. " + d.plan.Number), Author: d.clean(d.job.Author),
		Date: d.date(), Pages: pages,
	})
	if err != nil && d.err == nil {
		d.err = err
	}
	d.add(name, data)
}

// frame draws the border, the title block with the fields of ISO 7200, and the
// 100 mm bar.
func (d *document) frame(p *leaf, n, of int) {
	right, bottom := p.Width-margin, p.Height-margin
	p.Box(filing, margin, right-filing, bottom-margin, thick, drawing.None)
	top := bottom - blockHigh
	block := right - filing
	if d.drawings {
		block -= 112
	}
	left := right - block
	p.Stroke(filing, top, right, top, medium)
	if d.drawings {
		p.Stroke(left, top, left, bottom, medium)
		d.checkBar(p, filing+6, top+9)
	}
	p.Stroke(left, top+blockHigh/2, right, top+blockHigh/2, thin)
	scale := p.scale
	if scale == "" {
		scale = "–"
	}
	first := []field{{"Job", d.plan.Job.Name, 3.6}, {"Document", d.kind, 2.6}}
	if p.title != "" {
		first = append(first, field{"Contents", p.title, 4.2})
	}
	d.fields(p, left, top, block, first)
	d.fields(p, left, top+blockHigh/2, block, []field{
		{"Plan no.", d.plan.Number, 2}, {"Revision", d.plan.Job.Revision, 1}, {"Date", d.plan.Job.Date, 2.1},
		{"Drawn by", d.job.Author, 2.7}, {"Approved", "", 1.3}, {"Scale", scale, 1.3}, {"Paper", d.paper, 1.2},
		{"Sheet", fmt.Sprintf("%d of %d", n, of), 1.6},
	})
}

type field struct {
	name, value string
	share       float64
}

func (d *document) fields(p *leaf, x, y, w float64, fields []field) {
	total := 0.0
	for _, f := range fields {
		total += f.share
	}
	cells := make([]float64, len(fields))
	over, slack := 0.0, 0.0 // what the longest texts lack at their least size, and what others have
	const beside, least = 3.4, 6
	lack := make([]float64, len(fields))
	for i, f := range fields {
		cells[i] = w * f.share / total
		lack[i] = d.measure(f.value, font{size: least, bold: true}) + beside + 0.1 - cells[i]
		over, slack = over+max(0, lack[i]), slack+max(0, -lack[i])
	}
	given := min(over, slack*0.8)
	for i := range cells {
		if lack[i] > 0 {
			cells[i] += given * lack[i] / over
		} else if slack > 0 {
			cells[i] += given * lack[i] / slack
		}
	}
	for i, f := range fields {
		if i > 0 {
			p.Stroke(x, y, x, y+blockHigh/2, thin)
		}
		cell := cells[i]
		d.write(&p.Page, x+1.2, y+3, cell-2.2, f.name, font{size: 5.5})
		d.write(&p.Page, x+1.2, y+7.8, cell-beside, f.value, font{size: 9, least: least, bold: true})
		x += cell
	}
}

func (d *document) checkBar(p *leaf, x, y float64) {
	p.Box(x, y, 100, 2, thin, drawing.White)
	for i := 0; i < 10; i += 2 {
		p.Box(x+float64(i)*10, y, 10, 2, drawing.Pen{}, drawing.Black)
	}
	d.write(&p.Page, x, y-2, 100, "This bar is 100 mm long. If not, the print is not to scale.", font{size: 7})
	d.write(&p.Page, x, y+6, 50, "0", font{size: 7})
	d.write(&p.Page, x+100, y+6, 50, "100 mm", font{size: 7, align: drawing.Right})
}

// font is how a text is lettered. A text too wide is lessened to least (when
// set), then clipped with an ellipsis.
type font struct {
	size, least float64
	bold        bool
	align       drawing.Align
	angle       float64
}

// write puts one line of text with its baseline at x, y, no wider than room;
// it returns the width taken.
func (s *set) write(p *drawing.Page, x, y, room float64, text string, f font) float64 {
	text = strings.ReplaceAll(s.clean(text), "\u00a0", " ")
	size := f.size
	if f.least > 0 {
		text, size = s.face.Fit(text, f.size, f.least, f.bold, room)
	} else {
		text = s.face.Clip(text, f.size, f.bold, room)
	}
	if text == "" {
		return 0
	}
	text = typeface.Arrange(text)
	w := s.face.Width(text, size, f.bold)
	p.Add(drawing.Text{X: x, Y: y, Size: size, Bold: f.bold, Align: f.align, Angle: f.angle, Width: w, Text: text})
	return w
}

// measure is the width of a text as it would be printed.
func (s *set) measure(text string, f font) float64 {
	clean, _ := s.face.Clean(text)
	return s.face.Width(clean, f.size, f.bold)
}

// heading writes one bold line and moves down.
func (d *document) heading(text string, size float64) {
	d.tell(screen.Block{Kind: screen.Heading, Text: text})
	d.need(size*0.7 + 12)
	d.y += size * 0.45
	d.write(&d.page().Page, d.left(), d.y, d.width(), text, font{size: size, least: size * 0.6, bold: true})
	d.y += size * 0.25
}

// paragraph writes wrapped text and moves down.
func (d *document) paragraph(text string, size float64) {
	d.tell(screen.Block{Kind: screen.Text, Text: text})
	const together = 5 // lines that are not parted
	d.need(size * 0.5)
	lines := d.face.Wrap(d.clean(text), size, false, d.width())
	if len(lines) <= together {
		d.need(float64(len(lines)) * size * 0.5)
	}
	for _, line := range lines {
		d.need(size * 0.5)
		d.y += size * 0.48
		d.write(&d.page().Page, d.left(), d.y, d.width()+1, line, font{size: size})
	}
	d.y += size * 0.2
}

func (d *document) gap(height float64) { d.y += height }
