package dxf

import (
	"cmp"
	"fmt"
	"io"
	"math"
	"slices"
	"strings"

	"sawbill/internal/length"
	"sawbill/nest2d/geom"
)

// ReadOptions say how a drawing is taken. The zero value asks the drawing for
// its unit, closes gaps up to DefaultGap, and keeps arcs in place of curves
// within DefaultCurve.
type ReadOptions struct {
	Unit  length.Length // of the drawing, such as length.Millimetre; 0: what it says
	Gap   length.Length // the widest that is closed; below 0: none
	Curve length.Length // how far arcs may be off an ellipse or a spline
	Skip  []string      // layers to leave out, besides LayerEngrave, Defpoints and those off or frozen
	Limit int64         // bytes of the file; 0: DefaultLimit
	Print Print         // of lengths in warnings and errors
}

// Print writes a length with its unit; nil is in millimetres, to the micrometre.
type Print func(length.Length) string

// units is the same for lengths of package geom.
func (p Print) units() func(int64) string {
	if p == nil {
		return nil
	}
	return func(units int64) string { return p(length.Length(units)) }
}

// What is taken where ReadOptions has 0. Common practice, no source.
const (
	DefaultGap   = 50 * length.Micrometre
	DefaultCurve = 10 * length.Micrometre
	DefaultLimit = 50_000_000
)

// A Drawing is what was read: panels in their normal form, at their places in
// the drawing, from below and then from the left.
type Drawing struct {
	Shapes   []geom.Shape
	Unit     length.Length // size of the drawing's unit
	Ignored  []string      // what is in the drawing and was not read, such as: 3 TEXT on the layer "NOTES"
	Warnings []string      // what was mended, and what may be meant otherwise, a sentence each

	print func(int64) string
}

// Read reads the panels of a DXF drawing in ASCII, of any version: what lies
// in model space on layers that are neither off nor frozen. Contours within
// contours are openings, and within these panels again.
//
// It is an error for the drawing not to say its unit if ReadOptions does not
// either; for a contour to be open, to branch, to cross another or itself; for
// the file to be incomplete, larger than the limit, or to hold more than 20 000
// edges, 10 000 contours or 1 000 panels. Memory is bounded by what may be in a
// drawing, some 100 MB at most; time is O(n log n + n·k) for n edges in k
// contours, but O(n²) for drawings with many edges side by side.
func Read(r io.Reader, o ReadOptions) (*Drawing, error) {
	d, err := taken(r, o)
	if err != nil {
		return nil, fmt.Errorf("%s", geom.Told(err, o.Print.units()))
	}
	return d, nil
}

func taken(r io.Reader, o ReadOptions) (*Drawing, error) {
	o.Limit = cmp.Or(o.Limit, DefaultLimit)
	o.Gap = cmp.Or(o.Gap, DefaultGap)
	o.Curve = max(cmp.Or(o.Curve, DefaultCurve), length.Micrometre)
	scan, err := newScanner(r, o.Limit)
	if err != nil {
		return nil, err
	}
	p := &parser{scan: scan}
	if err := p.parse(); err != nil {
		return nil, err
	}
	d := &Drawing{print: o.Print.units()}
	if err := d.unit(p.file.unit, o.Unit); err != nil {
		return nil, err
	}
	c := &canvas{file: &p.file, curve: float64(o.Curve), skipped: map[string]bool{}, ignored: map[sort]int{}}
	for _, layer := range append([]string{LayerEngrave, Defpoints}, o.Skip...) {
		c.skipped[key(layer)] = true
	}
	if err := c.draw(&p.file.model, scaling(float64(d.Unit)), "", 0); err != nil {
		return nil, err
	}
	var t twice
	closed, loose := single(c.closed, c.loose, &t)
	more, seam, err := joined(loose, float64(max(0, o.Gap)))
	if err != nil {
		return nil, err
	}
	if d.Shapes, err = nested(c.circles, append(closed, more...), &t); err != nil {
		return nil, err
	}
	d.report(c, t, seam, o)
	d.plausible()
	return d, nil
}

// Defpoints is the layer of points that belong to dimensions; it is not
// plotted, nor cut.
const Defpoints = "DEFPOINTS"

// units by the values of $INSUNITS (Autodesk, "DXF Reference", header).
var units = map[int]length.Length{
	1: length.Inch, 2: length.Foot, 4: length.Millimetre, 5: length.Centimetre, 6: length.Metre,
	9: length.Inch / 1000, 10: 3 * length.Foot, 13: length.Micrometre, 14: 10 * length.Centimetre,
}

func (d *Drawing) unit(said int, asked length.Length) error {
	d.Unit = units[said]
	switch {
	case asked < 0 || asked > length.Metre:
		return fmt.Errorf("%v is not the size of a unit: give that of one from 25 nm to 1 m", asked)
	case asked != 0:
		if d.Unit != 0 && d.Unit != asked {
			d.warn("the drawing says that its unit is %v; it was read with %v as asked", d.Unit, asked)
		}
		d.Unit = asked
	case said == 0:
		return fmt.Errorf("the drawing does not say its unit: say whether it is drawn in millimetres or inches")
	case d.Unit == 0:
		return fmt.Errorf("the drawing's unit has the number %d of $INSUNITS, with which no panel is drawn: say whether it is drawn in millimetres or inches", said)
	}
	return nil
}

func (d *Drawing) warn(format string, args ...any) {
	d.Warnings = append(d.Warnings, geom.Say(format, args...).In(d.print))
}

// report says what was mended and what was left out.
func (d *Drawing) report(c *canvas, t twice, s seam, o ReadOptions) {
	if t.count > 0 {
		d.warn("what was drawn twice was taken once: %d lines, the first at %v", t.count, t.at)
	}
	if s.count > 0 {
		d.warn("gaps in contours were closed: %d of them, the widest of %v at %v", s.count, geom.Distance(math.Round(s.width)), s.at)
	}
	if c.curves > 0 {
		d.warn("curves were replaced by arcs within %v: %d ellipses and splines by %d arcs", geom.Distance(o.Curve), c.curves, c.arcs)
	}
	if c.guessed > 0 {
		d.warn("splines are given by the points that they pass through, without tangents at their ends, and were laid through them as smooth as can be: %d of them; compare with the drawing, or export them as lines and arcs", c.guessed)
	}
	if c.heights {
		d.warn("the drawing has heights (z), which were taken as 0")
	}
	if c.empty > 0 {
		d.warn("lines and circles of no length were left out: %d", c.empty)
	}
	var sorts []sort
	for s := range c.ignored {
		sorts = append(sorts, s)
	}
	slices.SortFunc(sorts, func(a, b sort) int {
		return cmp.Or(strings.Compare(a.kind, b.kind), strings.Compare(a.layer, b.layer))
	})
	for _, s := range sorts {
		d.Ignored = append(d.Ignored, fmt.Sprintf("%d %s on the layer %s", c.ignored[s], shown(s.kind), length.Quote(s.layer)))
	}
}

// shown is a kind of entity as it may be printed.
func shown(kind string) string {
	quoted := length.Quote(kind)
	return quoted[1 : len(quoted)-1]
}

// plausible warns where the sizes are such as panels and their holes rarely
// have: the unit may be another. Common practice, no source.
func (d *Drawing) plausible() {
	const (
		smallest = 25 * length.Millimetre
		largest  = 15 * length.Metre
		drill    = length.Millimetre / 2
	)
	var side, hole length.Length
	for _, s := range d.Shapes {
		b := s.Bounds()
		side = max(side, length.Length(max(b.Length(), b.Width())))
		for _, h := range s.Holes {
			if hole == 0 || length.Length(h.Diameter) < hole {
				hole = length.Length(h.Diameter)
			}
		}
	}
	in := func(unit length.Length, l length.Length) length.Length {
		return length.Length(float64(l) / float64(d.Unit) * float64(unit))
	}
	whole := func(l length.Length) geom.Distance { return geom.Distance(l) }
	other, name := length.Inch, "inches"
	if side > largest {
		other, name = length.Millimetre, "millimetres"
	}
	switch {
	case side < smallest || side > largest:
		d.warn("the largest panel is %v long, which is unlikely: if the drawing is in %s it is %v; say so if it is", whole(side), name, whole(in(other, side)))
	case hole > 0 && hole < drill:
		d.warn("the smallest hole is %v wide, which is unlikely: if the drawing is in %s it is %v; say so if it is", whole(hole), name, whole(in(other, hole)))
	}
}
