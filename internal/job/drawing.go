package job

import (
	"bytes"

	"sawbill/internal/dxf"
	"sawbill/internal/length"
)

// drawing reads a panel from the DXF file that a row of outlines names, measured
// from the lower left corner of what is drawn.
func (c record) drawing(m *making) bool {
	r, v, u := c.t.r, c.cell("file"), c.cell("unit")
	if m.drawing != nil {
		r.fault(v.at, "%s has a second drawing; keep one", quote(m.mark.text))
		return false
	}
	if r.formed += drawnCorners; r.formed >= mostFormed {
		r.fault(v.at, "the tables have more drawings, corners and rows than can be read; name fewer")
		return false
	}
	options := dxf.ReadOptions{Print: r.about}
	if u.text != "" {
		unit, err := length.ParseUnit(u.text)
		if err != nil {
			r.fault(u.at, "unit %s is not a unit of length; write mm or in, or leave it empty where the drawing says it", quote(u.text))
			return false
		}
		options.Unit = unit.Size()
	}
	data, ok := r.file(r.path(v.text), v.at, "the drawing", v.text)
	if !ok {
		return false
	}
	d, err := dxf.Read(bytes.NewReader(data), options)
	if err != nil {
		r.fault(v.at, "the drawing %s cannot be taken: %v", quote(v.text), err)
		return false
	}
	for _, text := range d.Warnings {
		r.remark(v.at, "the drawing %s: %s", quote(v.text), text)
	}
	for _, text := range d.Ignored {
		r.remark(v.at, "the drawing %s has what is not read: %s", quote(v.text), text)
	}
	if len(d.Shapes) != 1 {
		r.fault(v.at, "the drawing %s holds %s; save each panel in a drawing of its own", quote(v.text), plural(len(d.Shapes), "panel"))
		return false
	}
	b := d.Shapes[0].Bounds()
	shape := d.Shapes[0].Move(-b.Min.X, -b.Min.Y)
	m.drawing, m.drawn = &shape, v.at
	return true
}
