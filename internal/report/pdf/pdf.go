// Package pdf writes drawings as PDF files with the type embedded. The same
// drawing and date give the same bytes.
package pdf

import (
	"bytes"
	"fmt"
	"time"

	"codeberg.org/go-pdf/fpdf"

	"sawbill/internal/report/drawing"
	"sawbill/internal/report/typeface"
)

// Document is what a reader shows about the file. All texts must be printable
// in the sense of typeface.Face.
type Document struct {
	Title, Subject, Author string
	Date                   time.Time
	Pages                  []*drawing.Page
}

const family = "text"

// Write returns the document as PDF. Its error would be a fault of the
// program, not of the input.
func Write(d Document) ([]byte, error) {
	f := fpdf.New("P", "mm", "A4", "")
	f.SetCreationDate(d.Date)
	f.SetModificationDate(d.Date)
	f.SetCatalogSort(true)
	f.SetAutoPageBreak(false, 0)
	f.SetLang("en")
	f.SetTitle(d.Title, true)
	f.SetSubject(d.Subject, true)
	f.SetAuthor(d.Author, true)
	f.SetCreator("Sawbill", true)
	f.SetProducer("Sawbill", true)
	f.SetDisplayMode("fullpage", "single")
	f.AddUTF8FontFromBytes(family, "", typeface.Regular)
	f.AddUTF8FontFromBytes(family, "B", typeface.Bold)
	for _, page := range d.Pages {
		// With "P" the sizes are taken as they are.
		f.AddPageFormat("P", fpdf.SizeType{Wd: page.Width, Ht: page.Height})
		f.SetLineCapStyle("butt")
		f.SetLineJoinStyle("round")
		for _, it := range page.Items {
			draw(f, it)
		}
	}
	var b bytes.Buffer
	if err := f.Output(&b); err != nil {
		return nil, fmt.Errorf("writing %q as PDF: %w", d.Title, err)
	}
	return b.Bytes(), nil
}

func draw(f *fpdf.Fpdf, it drawing.Item) {
	switch it := it.(type) {
	case drawing.Line:
		pen(f, it.Pen)
		f.MoveTo(it.Points[0].X, it.Points[0].Y)
		for _, p := range it.Points[1:] {
			f.LineTo(p.X, p.Y)
		}
		f.DrawPath("D")
	case drawing.Shape:
		shape(f, it)
	case drawing.Text:
		text(f, it)
	case drawing.Cells:
		f.SetFillColor(0, 0, 0)
		for _, r := range it.Runs() {
			f.Rect(r.X, r.Y, r.Width, it.Side, "F")
		}
	}
}

func shape(f *fpdf.Fpdf, s drawing.Shape) {
	style := ""
	if s.Pen.Width > 0 {
		pen(f, s.Pen)
		style = "D"
	}
	switch s.Fill {
	case drawing.White:
		f.SetFillColor(255, 255, 255)
		style = "F" + style
	case drawing.Black:
		f.SetFillColor(0, 0, 0)
		style = "F" + style
	}
	if style == "" {
		return
	}
	corners := make([]fpdf.PointType, len(s.Points))
	for i, p := range s.Points {
		corners[i] = fpdf.PointType{X: p.X, Y: p.Y}
	}
	f.Polygon(corners, style)
}

func text(f *fpdf.Fpdf, t drawing.Text) {
	style := ""
	if t.Bold {
		style = "B"
	}
	f.SetFont(family, style, t.Size)
	x := t.X
	switch t.Align {
	case drawing.Centre:
		x -= t.Width / 2
	case drawing.Right:
		x -= t.Width
	}
	if t.Angle == 0 {
		f.Text(x, t.Y, t.Text)
		return
	}
	f.TransformBegin()
	f.TransformRotate(t.Angle, t.X, t.Y)
	f.Text(x, t.Y, t.Text)
	f.TransformEnd()
}

func pen(f *fpdf.Fpdf, p drawing.Pen) {
	f.SetLineWidth(p.Width)
	f.SetDashPattern(p.Dash, 0)
}
