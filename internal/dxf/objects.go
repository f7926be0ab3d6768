package dxf

// objects writes the dictionaries that AutoCAD looks for: of groups, which
// are none, of plot styles, and of the layouts of model and paper space.
func (d *drawing) objects() {
	d.section("OBJECTS")
	d.dictionary("DICTIONARY", rootDictionary, 0,
		named{"ACAD_GROUP", groupNames}, named{"ACAD_LAYOUT", layouts}, named{"ACAD_PLOTSTYLENAME", plotStyles})
	d.dictionary("DICTIONARY", groupNames, rootDictionary)
	d.dictionary("DICTIONARY", layouts, rootDictionary, named{"Model", modelLayout}, named{"Layout1", paperLayout})
	d.dictionary("ACDBDICTIONARYWDFLT", plotStyles, rootDictionary, named{"Normal", normalStyle})
	d.put(100, "AcDbDictionaryWithDefault")
	d.handle(340, normalStyle)
	d.put(0, "ACDBPLACEHOLDER")
	d.owned(normalStyle, plotStyles)
	d.layout("Model", modelLayout, modelRecord, 0)
	d.layout("Layout1", paperLayout, paperRecord, 1)
	d.put(0, "ENDSEC")
}

// A named object of a dictionary.
type named struct {
	name   string
	handle int
}

// owned writes the handle of an object and its owner, which also wants to
// hear of its changes.
func (d *drawing) owned(handle, owner int) {
	d.handle(5, handle)
	if owner != 0 {
		d.put(102, "{ACAD_REACTORS")
		d.handle(330, owner)
		d.put(102, "}")
	}
	d.handle(330, owner)
}

func (d *drawing) dictionary(kind string, handle, owner int, entries ...named) {
	d.put(0, kind)
	d.owned(handle, owner)
	d.put(100, "AcDbDictionary")
	d.integer(281, 1) // keep the older of two of one name
	for _, e := range entries {
		d.put(3, e.name)
		d.handle(350, e.handle)
	}
}

// layout writes one, for a sheet of A4 if ever it is plotted.
func (d *drawing) layout(name string, handle, record, order int) {
	d.put(0, "LAYOUT")
	d.owned(handle, layouts)
	d.put(100, "AcDbPlotSettings")
	d.put(1, "")
	d.put(2, "none_device")
	d.put(4, "")
	d.put(6, "")
	for code := 40; code <= 43; code++ { // margins
		d.real(code, 7.5)
	}
	d.real(44, 210)
	d.real(45, 297)
	for _, code := range [...]int{46, 47, 48, 49, 140, 141} { // origin and window
		d.real(code, 0)
	}
	d.real(142, 1)
	d.real(143, 1)
	d.integer(70, 688+1024*(1-order)) // 1024: of model space
	d.integer(72, 1)                  // millimetres of paper
	d.integer(73, 0)
	d.integer(74, 5)
	d.put(7, "")
	d.integer(75, 16) // one to one
	d.real(147, 1)
	d.real(148, 0)
	d.real(149, 0)
	d.put(100, "AcDbLayout")
	d.put(1, name)
	d.integer(70, 1)
	d.integer(71, order)
	box := d.bounds()
	d.point(10, box.Min)
	d.point(11, box.Max)
	triple := func(code int, x, y, z float64) {
		d.real(code, x)
		d.real(code+10, y)
		d.real(code+20, z)
	}
	triple(12, 0, 0, 0)
	d.point(14, box.Min)
	d.real(34, 0)
	d.point(15, box.Max)
	d.real(35, 0)
	d.real(146, 0)
	triple(13, 0, 0, 0)
	triple(16, 1, 0, 0)
	triple(17, 0, 1, 0)
	d.integer(76, 0)
	d.handle(330, record)
}
