package report

import (
	"sawbill/internal/job"
	"sawbill/internal/plan"
	"sawbill/internal/plan/option"
	"sawbill/internal/report/drawing"
	"sawbill/internal/report/screen"
)

// Screen is what the buyer's papers and the cut list of a plan say. The error
// would be a fault of the program.
func Screen(p *plan.Plan, j *job.Job) ([]screen.Paper, error) {
	s, err := newSet(p, j)
	if err != nil {
		return nil, err
	}
	s.onScreen = true
	s.buyer()
	s.massAndMoney()
	d := s.document("Cut list", false)
	d.cutList("")
	d.save("workshop/cutlist.pdf")
	return s.told, s.err
}

// CompareScreen is what the paper of a comparison says. The error would be a
// fault of the program.
func CompareScreen(t *option.Table, j *job.Job) (screen.Paper, error) {
	s, err := newSet(compareRef(t), j)
	if err != nil {
		return screen.Paper{}, err
	}
	s.onScreen = true
	s.comparePaper(t)
	return s.told[0], s.err
}

// Drawings are the drawings of a plan's layouts in its pack.
func Drawings(p *plan.Plan) []screen.Drawing {
	var all []screen.Drawing
	eachFigure(p, func(m plan.Material, pt pattern, path string) {
		all = append(all, screen.Drawing{Material: m.Key, Pattern: pt.Pattern, Title: figureTitle(m, pt), Path: path})
	})
	return all
}

// tell notes a block for the screen.
func (d *document) tell(b screen.Block) { d.blocks = append(d.blocks, b) }

// tellTable notes a table, to which rows are added.
func (t *table) tellTable() {
	b := screen.Block{Kind: screen.Table}
	for _, c := range t.columns {
		hand := c.tick || c.box
		t.byHand = append(t.byHand, hand)
		if hand {
			continue
		}
		b.Columns = append(b.Columns, screen.Column{Head: c.head, Right: c.align == drawing.Right, Bold: c.bold})
	}
	t.tell(b)
}

// tellRow notes a row of the last table. Other blocks may not come between its rows.
func (t *table) tellRow(r screen.Row) {
	b := &t.blocks[len(t.blocks)-1]
	b.Rows = append(b.Rows, r)
}

// tellLine notes a row with its cells.
func (t *table) tellLine(sum bool, cells, second []string) {
	r := screen.Row{Sum: sum}
	for i := range t.columns {
		if t.byHand[i] {
			continue
		}
		var c screen.Cell
		if i < len(cells) {
			c.Text = cells[i]
		}
		if i < len(second) {
			c.More = second[i]
		}
		r.Cells = append(r.Cells, c)
	}
	t.tellRow(r)
}
