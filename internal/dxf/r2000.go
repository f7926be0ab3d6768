package dxf

import "sawbill/nest2d/geom"

// Handles of what every drawing has; the entities follow firstEntity. An
// object is owned by what its group 330 names: entities by the block record of
// model space, entries by their table, tables by nothing (0).
const (
	blockRecords   = 0x1
	layerTable     = 0x2
	styleTable     = 0x3
	linetypeTable  = 0x5
	viewTable      = 0x6
	ucsTable       = 0x7
	viewportTable  = 0x8
	appidTable     = 0x9
	dimstyleTable  = 0xA
	rootDictionary = 0xC
	groupNames     = 0xD
	plotStyles     = 0xE
	normalStyle    = 0xF
	layerZero      = 0x10
	textStyle      = 0x11
	appid          = 0x12
	layouts        = 0x13
	byBlock        = 0x14
	byLayer        = 0x15
	continuous     = 0x16
	dimstyle       = 0x17
	viewport       = 0x18
	modelRecord    = 0x19
	modelBlock     = 0x1A
	modelEnd       = 0x1B
	modelLayout    = 0x1C
	paperRecord    = 0x1D
	paperBlock     = 0x1E
	paperEnd       = 0x1F
	paperLayout    = 0x20
	firstLayer     = 0x21 // up to three
	firstEntity    = 0x30
)

// r2000 writes the drawing for AutoCAD 2000 (AC1015).
func (d *drawing) r2000() {
	d.next = firstEntity
	count := len(d.strokes)
	for _, s := range d.shapes {
		count += 1 + len(s.Inner) + len(s.Holes)
	}
	d.header(firstEntity + count)
	d.classes()
	d.tables()
	d.blocks()
	d.section("ENTITIES")
	d.entities(d.contour, d.circle, func(points []geom.Point, layer string) {
		d.polyline(geom.Polygon(points...), layer, 0)
	})
	d.put(0, "ENDSEC")
	d.objects()
	d.put(0, "EOF")
}

func (d *drawing) header(seed int) {
	d.section("HEADER")
	d.put(9, "$ACADVER")
	d.put(1, "AC1015")
	d.put(9, "$HANDSEED")
	d.handle(5, seed)
	d.put(9, "$INSUNITS")
	metric := 1
	if d.Inches {
		metric = 0
		d.integer(70, 1)
	} else {
		d.integer(70, 4)
	}
	d.put(9, "$MEASUREMENT")
	d.integer(70, metric)
	d.extents(d.bounds())
	d.put(0, "ENDSEC")
}

// classes are those of the objects that AutoCAD 2000 does not know of itself.
func (d *drawing) classes() {
	d.section("CLASSES")
	for _, c := range [...][2]string{
		{"ACDBDICTIONARYWDFLT", "AcDbDictionaryWithDefault"},
		{"ACDBPLACEHOLDER", "AcDbPlaceHolder"},
		{"LAYOUT", "AcDbLayout"},
	} {
		d.put(0, "CLASS")
		d.put(1, c[0])
		d.put(2, c[1])
		d.put(3, "ObjectDBX Classes")
		d.integer(90, 0)
		d.integer(280, 0)
		d.integer(281, 0)
	}
	d.put(0, "ENDSEC")
}

func (d *drawing) table(name string, handle, entries int) {
	d.put(0, "TABLE")
	d.put(2, name)
	d.handle(5, handle)
	d.handle(330, 0)
	d.put(100, "AcDbSymbolTable")
	d.integer(70, entries)
}

func (d *drawing) entry(kind, class string, handle, table int) {
	d.put(0, kind)
	if kind == "DIMSTYLE" {
		d.handle(105, handle) // its group 5 is taken
	} else {
		d.handle(5, handle)
	}
	d.handle(330, table)
	d.put(100, "AcDbSymbolTableRecord")
	d.put(100, class)
}

func (d *drawing) tables() {
	end := func() { d.put(0, "ENDTAB") }
	d.section("TABLES")

	d.table("VPORT", viewportTable, 1)
	d.entry("VPORT", "AcDbViewportTableRecord", viewport, viewportTable)
	d.view()
	end()

	d.table("LTYPE", linetypeTable, 3)
	for _, l := range [...]struct {
		handle     int
		name, text string
	}{{byBlock, "ByBlock", ""}, {byLayer, "ByLayer", ""}, {continuous, "Continuous", "Solid line"}} {
		d.entry("LTYPE", "AcDbLinetypeTableRecord", l.handle, linetypeTable)
		d.put(2, l.name)
		d.integer(70, 0)
		d.put(3, l.text)
		d.integer(72, 'A')
		d.integer(73, 0)
		d.real(40, 0)
	}
	end()

	names, colours := d.layers()
	d.table("LAYER", layerTable, 1+len(names))
	d.layer("0", layerZero, 7)
	for i, name := range names {
		d.layer(name, firstLayer+i, colours[i])
	}
	end()

	d.table("STYLE", styleTable, 1)
	d.entry("STYLE", "AcDbTextStyleTableRecord", textStyle, styleTable)
	d.style("txt")
	end()

	d.table("VIEW", viewTable, 0)
	end()
	d.table("UCS", ucsTable, 0)
	end()

	d.table("APPID", appidTable, 1)
	d.entry("APPID", "AcDbRegAppTableRecord", appid, appidTable)
	d.put(2, "ACAD")
	d.integer(70, 0)
	end()

	d.table("DIMSTYLE", dimstyleTable, 1)
	d.put(100, "AcDbDimStyleTable")
	d.integer(71, 0)
	d.entry("DIMSTYLE", "AcDbDimStyleTableRecord", dimstyle, dimstyleTable)
	d.put(2, "STANDARD")
	d.integer(70, 0)
	d.handle(340, textStyle)
	end()

	d.table("BLOCK_RECORD", blockRecords, 2)
	d.entry("BLOCK_RECORD", "AcDbBlockTableRecord", modelRecord, blockRecords)
	d.put(2, "*Model_Space")
	d.handle(340, modelLayout)
	d.entry("BLOCK_RECORD", "AcDbBlockTableRecord", paperRecord, blockRecords)
	d.put(2, "*Paper_Space")
	d.handle(340, paperLayout)
	end()
	d.put(0, "ENDSEC")
}

// view shows the whole panel from above.
func (d *drawing) view() {
	box := d.bounds()
	d.put(2, "*Active")
	d.integer(70, 0)
	pair := func(code int, x, y float64) {
		d.real(code, x)
		d.real(code+10, y)
	}
	pair(10, 0, 0) // the whole of the screen
	pair(11, 1, 1)
	d.half(12, box.Min.X+box.Max.X)
	d.half(22, box.Min.Y+box.Max.Y)
	pair(13, 0, 0)
	pair(14, 1, 1)
	pair(15, 1, 1)
	pair(16, 0, 0) // from above
	d.real(36, 1)
	pair(17, 0, 0)
	d.real(37, 0)
	d.length(40, max(box.Length(), box.Width()))
	d.real(41, 1)
	d.real(42, 50)
	d.real(43, 0)
	d.real(44, 0)
	d.real(50, 0)
	d.real(51, 0)
	d.integer(71, 0)
	d.integer(72, 100)
	d.integer(73, 1)
	d.integer(74, 3)
	d.integer(75, 0)
	d.integer(76, 0)
	d.integer(77, 0)
	d.integer(78, 0)
}

func (d *drawing) layer(name string, handle, colour int) {
	d.entry("LAYER", "AcDbLayerTableRecord", handle, layerTable)
	d.put(2, name)
	d.integer(70, 0)
	d.integer(62, colour)
	d.put(6, "Continuous")
	d.integer(370, 0) // hairline
	d.handle(390, normalStyle)
}

func (d *drawing) blocks() {
	d.section("BLOCKS")
	for _, b := range [...]struct {
		name               string
		record, begin, end int
		paper              bool
	}{
		{"*Model_Space", modelRecord, modelBlock, modelEnd, false},
		{"*Paper_Space", paperRecord, paperBlock, paperEnd, true},
	} {
		d.put(0, "BLOCK")
		d.blockEntity(b.begin, b.record, b.paper)
		d.put(100, "AcDbBlockBegin")
		d.put(2, b.name)
		d.integer(70, 0)
		d.real(10, 0)
		d.real(20, 0)
		d.real(30, 0)
		d.put(3, b.name)
		d.put(1, "")
		d.put(0, "ENDBLK")
		d.blockEntity(b.end, b.record, b.paper)
		d.put(100, "AcDbBlockEnd")
	}
	d.put(0, "ENDSEC")
}

func (d *drawing) blockEntity(handle, owner int, paper bool) {
	d.handle(5, handle)
	d.handle(330, owner)
	d.put(100, "AcDbEntity")
	if paper {
		d.integer(67, 1)
	}
	d.put(8, "0")
}

func (d *drawing) entity(kind, layer, class string) {
	d.put(0, kind)
	d.handle(5, d.next)
	d.next++
	d.handle(330, modelRecord)
	d.put(100, "AcDbEntity")
	d.put(8, layer)
	d.put(100, class)
}

func (d *drawing) contour(o geom.Outline, layer string) { d.polyline(o, layer, 1) }

func (d *drawing) polyline(o geom.Outline, layer string, closed int) {
	d.entity("LWPOLYLINE", layer, "AcDbPolyline")
	d.integer(90, len(o))
	d.integer(70, closed)
	d.real(43, 0)
	for _, v := range o {
		d.point(10, v.Point)
		if v.Bulge != 0 {
			d.real(42, v.Bulge)
		}
	}
}

func (d *drawing) circle(h geom.Hole, layer string) {
	d.entity("CIRCLE", layer, "AcDbCircle")
	d.point(10, h.Center)
	d.real(30, 0)
	d.half(40, h.Diameter)
}
