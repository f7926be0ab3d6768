package job

// Which worksheet of a workbook is which table.

// worksheet is one that a table might have been read from.
type worksheet struct {
	grid *grid
	name string
	read bool
}

// pick chooses among worksheets: the one named like the table, else the one
// with the most heads; of two with as many, for pieces the one without widths.
func pick(k tableKind, grids []sheetGrid, mapped map[string]*entry) *grid {
	var best *grid
	most := 0
	for i := range grids {
		row, count := headRow(k, grids[i].grid, mapped)
		if count == 0 {
			continue
		}
		if fold(grids[i].name) == k.name {
			count += 100
		}
		if score := headScore(k, grids[i].grid.rows[row], count); score > most {
			best, most = &grids[i].grid, score
		}
	}
	return best
}

// listHeads is how many heads make rows a list.
const listHeads = 3

// headScore ranks rows of heads: by their number, and of two with as many for
// pieces the one without widths first.
func headScore(k tableKind, heads line, count int) int {
	if k.name == "pieces" && hasWidth(heads) {
		return 2*count - 1
	}
	return 2 * count
}

// hasWidth reports whether a row of heads has one for the width.
func hasWidth(heads line) bool {
	panels := kindNamed("panels")
	for _, c := range heads.cells {
		if h, ok := panels.head(c.text, nil); ok && h.field == "width" {
			return true
		}
	}
	return false
}

// visit notes which worksheet of a workbook has been read.
func (r *reader) visit(grids []sheetGrid, chosen *grid) {
	for i := range grids {
		g := &grids[i].grid
		at := -1
		for k := range r.worksheets {
			if r.worksheets[k].grid.file == g.file {
				at = k
			}
		}
		if at < 0 {
			at = len(r.worksheets)
			r.worksheets = append(r.worksheets, worksheet{grid: g, name: grids[i].name})
		}
		r.worksheets[at].read = r.worksheets[at].read || g == chosen
	}
}

// passedOver remarks on worksheets that look like a list and were not read, lest
// pieces be missing that nobody misses.
func (r *reader) passedOver() {
	for _, w := range r.worksheets {
		for _, name := range []string{"pieces", "panels"} {
			row, count := headRow(kindNamed(name), *w.grid, nil)
			if !w.read && count >= listHeads && row+1 < len(w.grid.rows) {
				r.remark(w.grid.rows[row].at, "the worksheet %s looks like a list and was not read; put its rows into the other, or save it as a file for a job of its own", quote(w.name))
				break
			}
		}
	}
}
