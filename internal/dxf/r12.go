package dxf

import "sawbill/nest2d/geom"

// r12 writes the drawing for AutoCAD R12 (AC1009): no handles, POLYLINE with
// a VERTEX for each vertex, and no word about the unit.
func (d *drawing) r12() {
	box := d.bounds()
	d.section("HEADER")
	d.put(9, "$ACADVER")
	d.put(1, "AC1009")
	d.extents(box)
	d.put(0, "ENDSEC")

	d.section("TABLES")
	d.oldTable("LTYPE", 1)
	d.put(0, "LTYPE")
	d.put(2, "CONTINUOUS")
	d.integer(70, 0)
	d.put(3, "Solid line")
	d.integer(72, 'A')
	d.integer(73, 0)
	d.real(40, 0)
	d.put(0, "ENDTAB")
	names, colours := d.layers()
	names, colours = append([]string{"0"}, names...), append([]int{7}, colours...)
	d.oldTable("LAYER", len(names))
	for i, name := range names {
		d.put(0, "LAYER")
		d.put(2, name)
		d.integer(70, 0)
		d.integer(62, colours[i])
		d.put(6, "CONTINUOUS")
	}
	d.put(0, "ENDTAB")
	d.oldTable("STYLE", 1)
	d.put(0, "STYLE")
	d.style("txt")
	d.put(0, "ENDTAB")
	d.put(0, "ENDSEC")

	d.section("BLOCKS")
	d.put(0, "ENDSEC")

	d.section("ENTITIES")
	d.entities(d.oldContour, d.oldCircle, func(points []geom.Point, layer string) {
		d.oldLine(geom.Polygon(points...), layer, 0)
	})
	d.put(0, "ENDSEC")
	d.put(0, "EOF")
}

func (d *drawing) section(name string) {
	d.put(0, "SECTION")
	d.put(2, name)
}

// extents are variables of the header.
func (d *drawing) extents(box geom.Box) {
	corner := func(name string, p geom.Point, space bool) {
		d.put(9, name)
		d.point(10, p)
		if space {
			d.real(30, 0)
		}
	}
	corner("$EXTMIN", box.Min, true)
	corner("$EXTMAX", box.Max, true)
	corner("$LIMMIN", box.Min, false)
	corner("$LIMMAX", box.Max, false)
}

func (d *drawing) oldTable(name string, entries int) {
	d.put(0, "TABLE")
	d.put(2, name)
	d.integer(70, entries)
}

// style is that of text, of which there is none, but the table wants one.
func (d *drawing) style(font string) {
	d.put(2, "STANDARD")
	d.integer(70, 0)
	d.real(40, 0)
	d.real(41, 1)
	d.real(50, 0)
	d.integer(71, 0)
	d.real(42, 2.5)
	d.put(3, font)
	d.put(4, "")
}

func (d *drawing) oldContour(o geom.Outline, layer string) { d.oldLine(o, layer, 1) }

func (d *drawing) oldLine(o geom.Outline, layer string, closed int) {
	d.put(0, "POLYLINE")
	d.put(8, layer)
	d.integer(66, 1)
	d.real(10, 0)
	d.real(20, 0)
	d.real(30, 0)
	d.integer(70, closed)
	for _, v := range o {
		d.put(0, "VERTEX")
		d.put(8, layer)
		d.point(10, v.Point)
		d.real(30, 0)
		if v.Bulge != 0 {
			d.real(42, v.Bulge)
		}
	}
	d.put(0, "SEQEND")
	d.put(8, layer)
}

func (d *drawing) oldCircle(h geom.Hole, layer string) {
	d.put(0, "CIRCLE")
	d.put(8, layer)
	d.point(10, h.Center)
	d.real(30, 0)
	d.half(40, h.Diameter)
}
