package rivet

import (
	"testing"

	"sawbill/nest2d/geom"
)

const mm = millimetre

func pt(x, y int64) geom.Point { return geom.Point{X: x, Y: y} }

// A window skin: three rows cross a fourth.
func TestCrossings(t *testing.T) {
	p := geom.Rectangle(1000*mm, 600*mm)
	m := Member{25 * mm, 2 * mm, 3 * mm}
	r := Rivet{Diameter: 48 * mm / 10}
	in := int64(25 * mm / 2)
	rows := []Row{
		{From: pt(in, 0), To: pt(in, 600*mm), Rivet: r, Member: m},
		{From: pt(0, in), To: pt(1000*mm, in), Rivet: r, Member: m},
		{From: pt(500*mm, 0), To: pt(500*mm, 600*mm), Rivet: r, Member: m},
	}
	laid, findings := Lay(p, rows, nil)
	if len(laid) != 3 || len(findings) != 0 {
		t.Fatalf("%d rows laid and findings %v", len(laid), findings)
	}
	// The first hole is 2 D off the face of the member crossed: 12.5 + 12.5 +
	// 9.6 mm; the last 2.5 D off the end. 553.4 mm take ten spaces of at most
	// 60 mm, so that a row has eleven holes.
	for _, l := range []Laid{laid[0], laid[2]} {
		if n := len(l.Holes); n != 11 || l.Along[0] != 346*mm/10 || l.Along[10] != 588*mm || l.Pitch != 5534*mm/100 {
			t.Errorf("row %d has %d holes along %v, pitch %d", l.Row, n, l.Along, l.Pitch)
		}
	}
	// 12.5 − 1.5 · 4.8 = 5.3 mm of play.
	if laid[0].Play != 53*mm/10 {
		t.Errorf("the frame may be off by %s", millimetres(laid[0].Play))
	}
	if got := len(Drilled(p, rows, laid).Holes); got != 11+18+11 {
		t.Errorf("the panel has %d holes", got)
	}
}
