package dxf

import (
	"fmt"
	"slices"
	"strings"
	"unicode"

	"sawbill/internal/length"
	"sawbill/nest2d/geom"
)

// glyphs are letters of straight strokes on a grid 4 wide and 6 high, for
// marks to be engraved. A stroke is a chain of points, each x then y; strokes
// are parted by spaces. None runs along another, so nothing is burnt twice.
var glyphs = map[rune]string{
	' ': "",
	'-': "0343",
	'_': "0040",
	'+': "0343 2125",
	'.': "2021",
	'/': "0046",
	'0': "103041453616050110 1234",
	'1': "142620",
	'2': "05163645440040",
	'3': "0516364544334241301001 1333",
	'4': "30360242",
	'5': "460603334241301001",
	'6': "4536160501103041423303",
	'7': "064620",
	'8': "133344453616050413 1302011030414233",
	'9': "0110304145361605041343",
	'A': "002640 1333",
	'B': "00063645443303 3342413000",
	'C': "4536160501103041",
	'D': "00062644422000",
	'E': "46060040 0333",
	'F': "460600 0333",
	'G': "45361605011030414323",
	'H': "0006 4046 0343",
	'I': "2026 1030 1636",
	'J': "4641301001",
	'K': "0006 460340",
	'L': "060040",
	'M': "0006234640",
	'N': "00064046",
	'O': "103041453616050110",
	'P': "00063645443303",
	'Q': "103041453616050110 2240",
	'R': "00063645443303 2340",
	'S': "453616050413334241301001",
	'T': "0646 2026",
	'U': "060110304146",
	'V': "062046",
	'W': "0610243046",
	'X': "0046 0640",
	'Y': "062346 2320",
	'Z': "06460040",
}

// cells are the sizes of the grid that are tried, in units, the largest first:
// letters are six of them high, 12 mm to 3 mm. Common practice, no source.
var cells = [...]int64{80_000, 60_000, 40_000, 30_000, 20_000}

const (
	advance = 6 // cells from one letter to the next
	around  = 3 // cells between the mark and any cut
)

// engraved is a mark in strokes, where the panel has room for it, as near to
// its middle as there is, and as large. Small letters are drawn as capitals.
func engraved(s geom.Shape, mark string) ([][]geom.Point, error) {
	if strings.TrimSpace(mark) == "" {
		return nil, fmt.Errorf("the mark %s has nothing to engrave: name one or leave the engraving out", length.Quote(mark))
	}
	letters := []rune(mark)
	for i, r := range letters {
		letters[i] = unicode.ToUpper(r)
		if _, known := glyphs[letters[i]]; !known {
			return nil, fmt.Errorf("the mark %s has the character %q, for which there are no strokes: use A to Z, 0 to 9, space and - . / _ + or leave the engraving out", length.Quote(mark), r)
		}
	}
	wide := int64(len(letters)*advance - 2)
	for _, cell := range cells {
		if at, found := room(s, (wide+2*around)*cell, (6+2*around)*cell); found {
			return stroked(letters, at.X+around*cell, at.Y+around*cell, cell), nil
		}
	}
	return nil, fmt.Errorf("the mark %s has no place on the panel in letters 3 mm high that is clear of all cuts: shorten it or leave the engraving out", length.Quote(mark))
}

// stroked draws letters from a point on.
func stroked(letters []rune, x, y, cell int64) [][]geom.Point {
	var all [][]geom.Point
	for i, r := range letters {
		for _, stroke := range strings.Fields(glyphs[r]) {
			var line []geom.Point
			for k := 0; k < len(stroke); k += 2 {
				line = append(line, geom.Point{
					X: x + (int64(i*advance)+int64(stroke[k]-'0'))*cell,
					Y: y + int64(stroke[k+1]-'0')*cell,
				})
			}
			all = append(all, line)
		}
	}
	return all
}

// room finds the lower left corner of a rectangle of that size within the
// material: of a grid of places the one nearest to the middle of the panel.
func room(s geom.Shape, long, wide int64) (geom.Point, bool) {
	const places = 24 // along either axis, even so that the middle is one
	box := s.Bounds()
	free := geom.Point{X: box.Length() - long, Y: box.Width() - wide}
	if free.X < 0 || free.Y < 0 {
		return geom.Point{}, false
	}
	type place struct {
		at  geom.Point
		off float64
	}
	var all []place
	for i := range int64(places + 1) {
		for k := range int64(places + 1) {
			x, y := free.X*i/places, free.Y*k/places
			dx, dy := float64(2*x-free.X), float64(2*y-free.Y)
			all = append(all, place{geom.Point{X: box.Min.X + x, Y: box.Min.Y + y}, float64(dx*dx) + float64(dy*dy)})
		}
	}
	slices.SortStableFunc(all, func(p, q place) int {
		switch {
		case p.off < q.off:
			return -1
		case p.off > q.off:
			return 1
		}
		return 0
	})
	for _, p := range all {
		if vacant(s, geom.Box{Min: p.at, Max: geom.Point{X: p.at.X + long, Y: p.at.Y + wide}}) {
			return p.at, true
		}
	}
	return geom.Point{}, false
}

// vacant tells whether a box is all material.
func vacant(s geom.Shape, box geom.Box) bool {
	for _, h := range s.Holes {
		if overlap(h.Bounds(), box) {
			return false
		}
	}
	if s.Outer.Contains(box.Min) != geom.Inside {
		return false
	}
	rectangle := geom.Polygon(box.Min, geom.Point{X: box.Max.X, Y: box.Min.Y}, box.Max, geom.Point{X: box.Min.X, Y: box.Max.Y})
	for _, o := range s.Inner {
		if overlap(o.Bounds(), box) && (rectangle.Contains(o[0].Point) != geom.Outside ||
			o.Contains(box.Min) != geom.Outside || o.Gap(rectangle) == 0) {
			return false
		}
	}
	return s.Outer.Gap(rectangle) > 0
}

func overlap(b, c geom.Box) bool {
	return max(b.Min.X, c.Min.X) <= min(b.Max.X, c.Max.X) && max(b.Min.Y, c.Min.Y) <= min(b.Max.Y, c.Max.Y)
}
