// Package drawing is the one model of everything drawn: lines, outlines and
// text on pages measured in millimetres, x to the right and y down from the
// page's upper left corner. It knows nothing of bars, sheets or file formats;
// the writers beside it know nothing but this model.
package drawing

import "math"

// Point is a place on a page.
type Point struct{ X, Y float64 }

// Line widths in millimetres: the steps of ISO 128-2, a factor of √2 each.
const (
	Hair   = 0.13
	Thin   = 0.18
	Medium = 0.35
	Thick  = 0.5
)

// Pen is how a line is drawn.
type Pen struct {
	Width float64
	// Dash alternates the lengths of strokes and gaps; nil draws through.
	Dash []float64
}

// Align says which point of a text lies at its X.
type Align int

// The alignments.
const (
	Left Align = iota
	Centre
	Right
)

// Item is a Line, a Shape, a Text or Cells.
type Item interface {
	// move shifts the item and sets it on the grid.
	move(dx, dy float64) Item
}

// Line is an open run of straight strokes.
type Line struct {
	Points []Point
	Pen    Pen
}

// Shape is a closed outline.
type Shape struct {
	Points []Point
	Pen    Pen // no outline when its width is 0
	// Fill is None, White or Black.
	Fill Fill
	// Title says what it shows; a screen tells it where it is pointed at.
	Title string
}

// Fill of a shape.
type Fill int

// The fills.
const (
	None Fill = iota
	White
	Black
)

// Text is one line of lettering. X, Y is on its baseline; Angle turns it
// counter-clockwise about that point, in degrees.
type Text struct {
	X, Y  float64
	Size  float64 // points
	Bold  bool
	Align Align
	Angle float64
	// Width in millimetres, measured, so that a writer whose reader has another
	// type can keep the text in its place.
	Width float64
	Text  string
}

// Cells are a square of black and white cells, row by row from its upper left
// corner at X, Y. The white ones are not drawn.
type Cells struct {
	X, Y  float64
	Side  float64 // of one cell
	Count int     // of cells in a row
	Black []bool  // Count × Count; not changed by anyone
}

// Run is a rectangle of black cells, one cell high.
type Run struct{ X, Y, Width float64 }

// Runs are the black cells, neighbours in a row together.
func (c Cells) Runs() []Run {
	var out []Run
	for row := range c.Count {
		line := c.Black[row*c.Count : (row+1)*c.Count]
		for i := 0; i < c.Count; i++ {
			k := i
			for k < c.Count && line[k] {
				k++
			}
			if k > i {
				out = append(out, Run{Snap(c.X + float64(i)*c.Side), Snap(c.Y + float64(row)*c.Side), Snap(float64(k-i) * c.Side)})
				i = k
			}
		}
	}
	return out
}

// Page is a sheet of paper, or a figure to be placed on one.
type Page struct {
	Width, Height float64
	Items         []Item
}

// Add puts items on top of the page.
func (p *Page) Add(items ...Item) {
	for _, it := range items {
		p.Items = append(p.Items, it.move(0, 0))
	}
}

// Place copies a figure's items onto the page, its corner at x, y.
func (p *Page) Place(figure *Page, x, y float64) {
	for _, it := range figure.Items {
		p.Items = append(p.Items, it.move(x, y))
	}
}

// Snap sets a coordinate on a grid of a thousandth of a millimetre. The last bits of
// a float differ between processors that fuse multiplication and addition and those
// that do not; on the grid they are gone before a writer rounds again.
func Snap(v float64) float64 { return math.Round(v*1000) / 1000 }

// Stroke draws one straight line.
func (p *Page) Stroke(x1, y1, x2, y2 float64, pen Pen) {
	p.Add(Line{Points: []Point{{x1, y1}, {x2, y2}}, Pen: pen})
}

// Box draws a rectangle.
func (p *Page) Box(x, y, w, h float64, pen Pen, fill Fill) {
	p.Add(Shape{Points: Rectangle(x, y, w, h), Pen: pen, Fill: fill})
}

// Rectangle returns the corners of a rectangle, clockwise on the page.
func Rectangle(x, y, w, h float64) []Point {
	return []Point{{x, y}, {x + w, y}, {x + w, y + h}, {x, y + h}}
}

func shift(points []Point, dx, dy float64) []Point {
	moved := make([]Point, len(points))
	for i, p := range points {
		moved[i] = Point{Snap(p.X + dx), Snap(p.Y + dy)}
	}
	return moved
}

func (l Line) move(dx, dy float64) Item {
	l.Points = shift(l.Points, dx, dy)
	return l
}

func (s Shape) move(dx, dy float64) Item {
	s.Points = shift(s.Points, dx, dy)
	return s
}

func (t Text) move(dx, dy float64) Item {
	t.X, t.Y, t.Width = Snap(t.X+dx), Snap(t.Y+dy), Snap(t.Width)
	return t
}

func (c Cells) move(dx, dy float64) Item {
	c.X, c.Y = Snap(c.X+dx), Snap(c.Y+dy)
	return c
}
