package dxf

import (
	"bytes"
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"

	"sawbill/nest2d/geom"
)

// Names of layers.
const (
	LayerCut     = "CUT"         // all contours, unless told apart
	LayerOutside = "CUT_OUTSIDE" // the outer contour
	LayerInside  = "CUT_INSIDE"  // openings and holes
	LayerEngrave = "ENGRAVE"     // strokes of the mark
)

// Options say how a shop wants its drawings. The zero value is one layer of
// cuts in millimetres, AutoCAD 2000.
type Options struct {
	Inches        bool   // the drawing's unit is the inch, else the millimetre
	R12           bool   // AutoCAD R12, which does not say its unit
	InsideOutside bool   // outer contour and openings on layers of their own
	Mark          string // the panel's mark
	Engrave       bool   // Mark as strokes on LayerEngrave
}

// Write writes a panel as a DXF drawing, its coordinates as they are. A panel
// that is not simple is refused with the geom.Fault that says where; a mark
// that is to be engraved, if it has other characters than A to Z, 0 to 9, space
// and - . / _ + or no clear place on the panel. Nothing is written on
// such an error. Inner outlines that are circles are written as such. The same
// panel and options give the same bytes.
func Write(w io.Writer, s geom.Shape, o Options) error {
	return WriteSheet(w, []Placed{{s, o.Mark}}, o)
}

// A Placed panel lies where its shape is on a sheet.
type Placed struct {
	Shape geom.Shape
	Mark  string
}

// WriteSheet is Write for all panels of a sheet, one after the other, each with a
// mark of its own. That they are clear of each other is for the caller to know.
func WriteSheet(w io.Writer, panels []Placed, o Options) error {
	d := &drawing{Options: o}
	for _, p := range panels {
		if err := p.Shape.Simple(); err != nil {
			return err
		}
		s := drilled(p.Shape).Normal()
		d.shapes = append(d.shapes, s)
		if o.Engrave {
			strokes, err := engraved(s, p.Mark)
			if err != nil {
				return err
			}
			d.strokes = append(d.strokes, strokes...)
		}
	}
	if o.R12 {
		d.r12()
	} else {
		d.r2000()
	}
	_, err := w.Write(d.text.Bytes())
	return err
}

// A drawing is one being written.
type drawing struct {
	Options
	shapes  []geom.Shape
	strokes [][]geom.Point // of the marks
	text    bytes.Buffer
	next    int // handle
}

// units of 25 nm in one of the drawing's.
func (d *drawing) unit() float64 {
	if d.Inches {
		return inch
	}
	return millimetre
}

const (
	millimetre = 40_000
	inch       = 1_016_000
)

// put writes one group. The lines end as on Windows, where such files are
// mostly opened.
func (d *drawing) put(code int, value string) {
	fmt.Fprintf(&d.text, "%3d\r\n%s\r\n", code, value)
}

func (d *drawing) integer(code, value int) { d.put(code, strconv.Itoa(value)) }

func (d *drawing) handle(code, value int) {
	d.put(code, strings.ToUpper(strconv.FormatInt(int64(value), 16)))
}

// real writes a number that is read back to the last bit.
func (d *drawing) real(code int, value float64) {
	text := strconv.FormatFloat(value, 'f', -1, 64)
	if !strings.Contains(text, ".") {
		text += ".0"
	}
	d.put(code, text)
}

// half writes half as many units as given, in the drawing's unit.
func (d *drawing) half(code int, twice int64) {
	const decimals = 1e10 // of an inch; a millimetre needs seven
	value := float64(twice) / (2 * d.unit())
	if d.Inches {
		whole := math.Trunc(value)
		value = whole + math.Round((value-whole)*decimals)/decimals
		text := strconv.FormatFloat(value, 'f', 10, 64)
		text = strings.TrimRight(text, "0")
		if strings.HasSuffix(text, ".") {
			text += "0"
		}
		d.put(code, text)
		return
	}
	d.real(code, value)
}

func (d *drawing) length(code int, units int64) { d.half(code, 2*units) }

// point writes a point with its x under the code, its y under ten more.
func (d *drawing) point(code int, p geom.Point) {
	d.length(code, p.X)
	d.length(code+10, p.Y)
}

// layers in use, with their colours: 7 is black or white, 1 red, 3 green.
func (d *drawing) layers() (names []string, colours []int) {
	if d.InsideOutside {
		names, colours = []string{LayerOutside, LayerInside}, []int{7, 1}
	} else {
		names, colours = []string{LayerCut}, []int{7}
	}
	if d.Engrave {
		names, colours = append(names, LayerEngrave), append(colours, 3)
	}
	return names, colours
}

// bounds is the box around all panels.
func (d *drawing) bounds() geom.Box {
	var b geom.Box
	for i, s := range d.shapes {
		c := s.Bounds()
		if i == 0 {
			b = c
		}
		b.Min = geom.Point{X: min(b.Min.X, c.Min.X), Y: min(b.Min.Y, c.Min.Y)}
		b.Max = geom.Point{X: max(b.Max.X, c.Max.X), Y: max(b.Max.Y, c.Max.Y)}
	}
	return b
}

// entities writes all contours, panel by panel, then the marks.
func (d *drawing) entities(contour func(geom.Outline, string), circle func(geom.Hole, string), stroke func([]geom.Point, string)) {
	outside, inside := LayerCut, LayerCut
	if d.InsideOutside {
		outside, inside = LayerOutside, LayerInside
	}
	for _, s := range d.shapes {
		contour(s.Outer, outside)
		for _, o := range s.Inner {
			contour(o, inside)
		}
		for _, h := range s.Holes {
			circle(h, inside)
		}
	}
	for _, s := range d.strokes {
		stroke(s, LayerEngrave)
	}
}
