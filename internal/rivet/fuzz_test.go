package rivet

import (
	"encoding/binary"
	"testing"

	"sawbill/nest2d/geom"
)

// FuzzLay: whatever the numbers, Lay ends without a panic, a row is laid or
// refused, and holes laid are in the material.
func FuzzLay(f *testing.F) {
	seed := func(values ...int64) {
		var b []byte
		for _, v := range values {
			b = binary.AppendVarint(b, v)
		}
		f.Add(b)
	}
	seed(400*mm, 100*mm, 100*mm, 30*mm, 60*mm, 20*mm, 300*mm, 50*mm, 10*mm, 1, 200*mm, 50*mm, 20*mm, mm, 0, 50*mm, 400*mm, 50*mm, d48, 0, 0, 0, 25*mm, 2*mm, 3*mm, 0, 0, 0, 2, 20*mm)
	seed(400*mm, 100*mm, 0, 0, 0, 0, 0, 0, 0, 0, 200*mm, 0, 200*mm, 100*mm, d48, 0, 0, 0, 25*mm, 2*mm, 3*mm, 0, 0, 0, 0, 0, 0, 50*mm, 400*mm, 50*mm, 4*mm)
	seed(1<<39, 1<<39, 1<<10, 1<<10, 1<<38, 1<<38, 1, 1, 1, 1, 1<<62, -1<<62, 1<<62, 1<<62, 1, 1, 1<<39, 1<<39, 1, 1, 1, 1, 1<<62, 1<<62, 1<<62, 1<<62, 1<<62, 1<<62, 3, 1<<62)
	seed(1<<39, 1<<38, 0, 0, 0, 0, 0, 0, 0, 0, 0, 1<<37, 1<<39, 1<<37, mostDiameter, 0, 1<<41, 1<<41)
	f.Fuzz(func(t *testing.T, b []byte) {
		next := func() int64 {
			v, n := binary.Varint(b)
			if n <= 0 {
				b = nil
				return 0
			}
			b = b[n:]
			return v
		}
		near := func() int64 { return next() % (1 << 40) } // as far as geometry goes
		p := geom.Rectangle(near(), near())
		if x, y, l, w := near(), near(), near(), near(); l > 0 && w > 0 {
			o := geom.Polygon(pt(x, y), pt(x+l, y), pt(x+l, y+w), pt(x, y+w))
			if q, err := o.Rounded(2, 2*mm); err == nil {
				o = q
			}
			p.Inner = []geom.Outline{o}
		}
		if x, y, d := near(), near(), near(); d > 0 {
			p.Holes = []geom.Hole{{Center: pt(x, y), Diameter: d}}
		}
		var keep []Zone
		if next()%2 == 1 {
			keep = []Zone{{pt(next(), next()), next(), next()}}
		}
		var rows []Row
		for len(b) > 0 && len(rows) < 4 {
			r := Row{From: pt(next(), next()), To: pt(next(), next()), Rivet: Rivet{next(), next()}, Pitch: next(), End: next(),
				Member: Member{next(), next(), next()}, Offset: next(), Packing: next(), Bond: next()}
			kind := next()
			r.Between = kind%2 == 1
			if kind&2 != 0 {
				r.Second = &Second{next()}
			}
			rows = append(rows, r)
		}
		laid, findings := Lay(p, rows, keep)
		told := make([]bool, len(rows))
		for _, l := range laid {
			told[l.Row] = true
			for _, h := range l.Holes {
				if p.Contains(h) != geom.Inside {
					t.Errorf("the hole at %v is not in the material", h)
				}
			}
		}
		for _, x := range findings {
			if x.Row < 0 {
				return
			}
			told[x.Row] = told[x.Row] || x.Severity == Refuse
		}
		for i := range told {
			if !told[i] {
				t.Errorf("row %d is neither laid nor refused: %v", i, findings)
			}
		}
		Needs(mm, rows, laid)
	})
}
