package job

// Item is a thing bought as it is: a window, a hinge, bolts by the box.
type Item struct {
	Name        string
	Quantity    int64
	Pack        Pack
	Group, Note string
	Pos         Pos
}

func (r *reader) readItems(t *table) {
	for _, row := range t.rows {
		i := Item{Name: row.cell("name").text, Group: row.group(), Note: row.cell("note").text, Pos: row.line.at}
		fine := true
		if i.Name == "" {
			r.fault(row.cell("name").at, "the row has no name; write what is bought")
			fine = false
		}
		fine = row.quantity(&i.Quantity) && fine
		if row.pack(&i.Pack, false) && fine {
			r.job.Items = append(r.job.Items, i)
		}
	}
}
