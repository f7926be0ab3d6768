// Package svg writes a page of a drawing as an SVG file (SVG 1.1, user unit
// 1 mm). Numbers have at most three decimals, so that the same drawing gives
// the same bytes everywhere.
package svg

import (
	"bytes"
	"encoding/xml"
	"fmt"
	"math"
	"strconv"
	"strings"

	"sawbill/internal/report/drawing"
	"sawbill/internal/report/typeface"
)

// Write returns the page as SVG.
func Write(page *drawing.Page, title string) []byte {
	var b bytes.Buffer
	w, h := number(page.Width), number(page.Height)
	fmt.Fprintf(&b, `<?xml version="1.0" encoding="UTF-8"?>`+"\n"+
		`<svg xmlns="http://www.w3.org/2000/svg" version="1.1" width="%smm" height="%smm" viewBox="0 0 %s %s">`+"\n", w, h, w, h)
	b.WriteString("<title>" + escape(title) + "</title>\n")
	fmt.Fprintf(&b, `<rect width="%s" height="%s" fill="white"/>`+"\n", w, h)
	b.WriteString(`<g fill="none" stroke="black" stroke-linejoin="round" pointer-events="none" font-family="'DejaVu Sans', sans-serif">` + "\n")
	for _, it := range page.Items {
		switch it := it.(type) {
		case drawing.Line:
			fmt.Fprintf(&b, `<polyline points="%s"%s/>`+"\n", points(it.Points), pen(it.Pen))
		case drawing.Shape:
			fill := [...]string{drawing.None: "", drawing.White: ` fill="white"`, drawing.Black: ` fill="black"`}[it.Fill]
			if it.Title != "" {
				fmt.Fprintf(&b, `<polygon points="%s"%s%s pointer-events="all"><title>%s</title></polygon>`+"\n", points(it.Points), fill, pen(it.Pen), escape(it.Title))
				break
			}
			fmt.Fprintf(&b, `<polygon points="%s"%s%s/>`+"\n", points(it.Points), fill, pen(it.Pen))
		case drawing.Text:
			text(&b, it)
		case drawing.Cells:
			for _, r := range it.Runs() {
				fmt.Fprintf(&b, `<rect x="%s" y="%s" width="%s" height="%s" fill="black" stroke="none"/>`+"\n", number(r.X), number(r.Y), number(r.Width), number(it.Side))
			}
		}
	}
	b.WriteString("</g>\n</svg>\n")
	return b.Bytes()
}

func text(b *bytes.Buffer, t drawing.Text) {
	anchor := [...]string{drawing.Left: "", drawing.Centre: ` text-anchor="middle"`, drawing.Right: ` text-anchor="end"`}[t.Align]
	weight, turn := "", ""
	if t.Bold {
		weight = ` font-weight="bold"`
	}
	if t.Angle != 0 {
		turn = fmt.Sprintf(` transform="rotate(%s %s %s)"`, number(-t.Angle), number(t.X), number(t.Y))
	}
	fmt.Fprintf(b, `<text x="%s" y="%s" font-size="%s"%s%s%s textLength="%s" lengthAdjust="spacingAndGlyphs" fill="black" stroke="none">%s</text>`+"\n",
		number(t.X), number(t.Y), number(t.Size*typeface.Point), weight, anchor, turn, number(t.Width), escape(spaced(t.Text)))
}

func points(ps []drawing.Point) string {
	s := make([]string, len(ps))
	for i, p := range ps {
		s[i] = number(p.X) + "," + number(p.Y)
	}
	return strings.Join(s, " ")
}

func pen(p drawing.Pen) string {
	if p.Width == 0 {
		return ` stroke="none"`
	}
	s := ` stroke-width="` + number(p.Width) + `"`
	if len(p.Dash) > 0 {
		d := make([]string, len(p.Dash))
		for i, v := range p.Dash {
			d[i] = number(v)
		}
		s += ` stroke-dasharray="` + strings.Join(d, " ") + `"`
	}
	return s
}

// number prints three decimals at most, without exponent and never -0.
func number(v float64) string {
	v = math.Round(v*1000) / 1000
	if v == 0 {
		return "0"
	}
	return strconv.FormatFloat(v, 'f', -1, 64)
}

// spaced keeps runs of spaces, which readers of SVG put together whatever xml:space says.
func spaced(s string) string { return strings.ReplaceAll(s, "  ", "\u00a0 ") }

func escape(s string) string {
	var b strings.Builder
	// A strings.Builder takes every write.
	_ = xml.EscapeText(&b, []byte(s))
	return b.String()
}
