package report

import (
	"bytes"
	"encoding/csv"
	"fmt"
	"math/big"
	"strings"

	"sawbill/internal/length"
	"sawbill/internal/plan"
)

// The tables for other programs: UTF-8, RFC 4180 (CRLF ends a line), a decimal
// point always, and lengths not rounded.

func table4180(rows [][]string) []byte {
	var b bytes.Buffer
	w := csv.NewWriter(&b)
	w.UseCRLF = true
	// A bytes.Buffer takes every write.
	_ = w.WriteAll(rows)
	return b.Bytes()
}

// tableUnit is the unit of the tables: the job's, but inches for feet.
func (s style) tableUnit() length.Unit {
	if s.unit == length.Ft {
		return length.In
	}
	return s.unit
}

// exact is a length in the tables' unit as a decimal. One that has no end, as
// a millimetre has in inches, is given to nine places, well below the 25 nm that lengths
// are held to.
func (s style) exact(l length.Length) string {
	v := big.NewRat(int64(l), int64(s.tableUnit().Size()))
	if places, ends := v.FloatPrec(); ends {
		return v.FloatString(places)
	}
	return strings.TrimRight(v.FloatString(9), "0")
}

func (s style) in(name string) string { return name + "_" + s.tableUnit().String() }

// cutTable lists what is cut.
func (s *set) cutTable(supplier string) []byte {
	rows := [][]string{{"material", "stock", "mark", s.in("length"), s.in("width"), "left_degrees", "right_degrees", "left_face", "right_face", s.in("short_point"), "quantity", "numbers", "group", "note"}}
	for _, m := range s.plan.Materials {
		for _, c := range s.cuts(m, supplier) {
			numbers := strings.ReplaceAll(strings.Trim(fmt.Sprint(c.numbers), "[]"), " ", ";")
			if m.Kind == plan.Sheet {
				rows = append(rows, []string{m.Key, m.Stock, c.mark, s.exact(c.panel.Length), s.exact(c.panel.Width), "", "", "", "", "",
					fmt.Sprint(c.quantity), numbers, c.panel.Group, c.panel.Note})
				continue
			}
			sec := s.materials[m.Key].Section
			_, short := edges(sec, c.piece)
			rows = append(rows, []string{m.Key, m.Stock, c.mark, s.exact(c.piece.Length), "", thousandths(c.piece.Left), thousandths(c.piece.Right),
				sec.LaidOn(c.piece.Left, c.piece.LeftFace), sec.LaidOn(c.piece.Right, c.piece.RightFace), s.exact(short),
				fmt.Sprint(c.quantity), numbers, c.piece.Group, c.piece.Note})
		}
	}
	return table4180(rows)
}

func thousandths(v int64) string {
	r := big.NewRat(v, 1000)
	places, _ := r.FloatPrec()
	return r.FloatString(places)
}

// layoutTable lists every piece and panel in its place, every cut that the yard makes in
// a bar (its length is the kerf), and every offcut kept. A panel cut from the opening
// of another says which, and a bar or sheet of the rack which it is.
func (s *set) layoutTable(supplier string) []byte {
	rows := [][]string{{"material", "number", "pattern", "supplier", s.in("stock_length"), s.in("stock_width"), "what", "mark", "copy",
		s.in("x"), s.in("y"), s.in("length"), s.in("width"), "turned", "inside"}}
	pieces := []string{""}
	for _, m := range s.plan.Materials {
		for _, l := range m.Layouts {
			if supplier != "" && l.Stock.Supplier != supplier {
				continue
			}
			width := ""
			if l.Stock.Width > 0 {
				width = s.exact(l.Stock.Width)
			}
			row := func(what, mark, nth, x, y, long, wide, turned string) {
				rows = append(rows, []string{m.Key, fmt.Sprint(l.Number), fmt.Sprint(l.Pattern), l.Stock.Supplier, s.exact(l.Stock.Length), width,
					what, mark, nth, x, y, long, wide, turned, ""})
				pieces = append(pieces, fromRack(s.job, l.Stock.Offer))
			}
			for _, at := range l.FirstCuts {
				row("first cut", "", "", s.exact(at), "", s.exact(l.FirstKerf), "", "")
			}
			for _, p := range l.Pieces {
				row("piece", p.Mark, fmt.Sprint(p.Copy), s.exact(p.At), "", s.exact(s.pieces[p.Mark].Length), "", "")
			}
			for _, p := range l.Panels {
				size := s.panels[p.Mark]
				row("panel", p.Mark, fmt.Sprint(p.Copy), s.exact(p.X), s.exact(p.Y), s.exact(size.Length), s.exact(size.Width), fmt.Sprint(p.Turned))
				if h := host(l, p); h != nil {
					last := rows[len(rows)-1]
					last[len(last)-1] = fmt.Sprintf("%s/%d", h.Mark, h.Copy)
				}
			}
			if l.Kept {
				row("offcut", "", "", s.exact(l.Stock.Length-l.Offcut), "", s.exact(l.Offcut), "", "")
			}
			for _, o := range append(leaves(l.Tree), leaves(l.Strip)...) {
				if o.Panel == 0 && o.Kept {
					row("offcut", "", "", s.exact(o.X), s.exact(o.Y), s.exact(o.Length), s.exact(o.Width), "")
				}
			}
		}
	}
	return s.withRack(rows, func(i int) string { return pieces[i] })
}

// leaves are the uncut parts of a tree.
func leaves(p *plan.Part) []*plan.Part {
	switch {
	case p == nil:
		return nil
	case len(p.Parts) == 0:
		return []*plan.Part{p}
	}
	var out []*plan.Part
	for _, q := range p.Parts {
		out = append(out, leaves(q)...)
	}
	return out
}
