package job

import (
	"strings"
	"testing"

	"sawbill/internal/section"
)

const faceJob = `[job]
name = "Frames of the hide"
revision = "A"
date = 2026-11-24
unit = "UNIT"
currency = "EUR"
[material.bar]
stock = "STOCK"
alloy = "6063-T6"
process = "saw"
MORE
[process.saw]
kind = "saw"
kerf = 0
[tables]
offers = '''
supplier, material, size, price
Curlew, bar, 6000 mm, 21.40 each
'''
pieces = '''
mark, length, left, right, HEADS
P1, 720 mm, ROW
'''
`

func faceText(stock, heads, row, more, unit string) string {
	return strings.NewReplacer("STOCK", stock, "HEADS", heads, "ROW", row, "MORE", more, "UNIT", unit).Replace(faceJob)
}

// TestFaces: which side a mitre is laid on, in the words and sizes of each section.
func TestFaces(t *testing.T) {
	const n, w = section.Narrow, section.Wide
	for _, c := range []struct {
		stock, heads, row string
		left, right       section.Face
		fault             string
	}{
		{"RHS 40x20x2", "face", "45, 45, wide", w, w, ""},
		{"RHS 40x20x2", "face", "45, 45, 40", w, w, ""},
		{"RHS 40x20x2", "face", "45, 45, 20 mm", n, n, ""},
		{"RHS 40x20x2", "face", "45, 45, flat", w, w, ""},
		{"RHS 40x20x2", "face", "45, 45, on edge", n, n, ""},
		{"RHS 40x20x2", "face", "45, 45,", n, n, ""},
		{"RHS 40x20x2", "face", "45, 0, wide", w, n, ""},
		{"RHS 40x20x2", "left face, right face", "45, -45, wide, narrow", w, n, ""},
		{"RHS 40x20x2", "face, right face", "45, -45, wide, 20", w, n, ""},
		{"RHS 40x20x2", "Gehrung auf", "45, 45, hochkant", n, n, ""},
		{"RHS 40x20x2", "Seite links, Seite rechts", "45, 45, breit, schmale Seite", w, n, ""},
		{"RHS 40x20x2", "Onglet sur", "45, 45, à plat", w, w, ""},
		{"RHS 40x20x2", "Cara", "45, 45, de canto", n, n, ""},
		{"flat 40x5", "face", "45, 45, width", w, w, ""},
		{"flat 40x5", "face", "45, 45, thickness", n, n, ""},
		{"flat 40x5", "face", "45, 45, 5", n, n, ""},
		{"L 60x40x5", "face", "45, 45, long leg", w, w, ""},
		{"L 60x40x5", "face", "45, 45, 40", n, n, ""},
		{"L 40x40x4", "left face, right face", "45, 45, standing leg, lying leg", w, n, ""},
		{"L 40x40x4", "face", "45, 45, 40", n, n, `face "40" is no side of L 40x40x4 mm; write lying leg (40 mm) or standing leg (40 mm)`},
		{"L 40x40x4", "face", "45, 45, long leg", n, n, "write lying leg (40 mm) or standing leg (40 mm)"},
		{"channel 50x25x3x3", "face", "45, 45, web", w, w, ""},
		{"channel 50x25x3x3", "face", "45, 45, Flansch", n, n, ""},
		{"channel 50x25x3x3", "face", "45, 45, 50", w, w, ""},
		{"timber 45x70", "face", "45, 45, 70", w, w, ""},
		{"SHS 40x40x2", "face", "45, 45, wide", n, n, `face "wide" names a side, and those of SHS 40x40x2 mm are all the same; leave it empty`},
		{"CHS 33.7x3", "left face", "45, 45, wide", n, n, `left-face "wide" names a side, and those of CHS 33.7x3 mm are all the same`},
		{"RHS 40x20x2", "face", "45, 45, 30", n, n, `face "30" is no side of RHS 40x20x2 mm; write narrow side (20 mm) or wide side (40 mm)`},
		{"RHS 40x20x2", "face", "45, 45, web", n, n, `face "web" is no side of RHS 40x20x2 mm`},
		{"RHS 40x20x2", "face", "0, 0, wide", n, n, `face "wide" says on which side a mitre is laid, and both ends are square; leave it empty`},
		{"RHS 40x20x2", "left face", "0, 45, wide", n, n, `left-face "wide" says on which side a mitre is laid, and that end is square`},
	} {
		unit, alloy := "mm", "6063-T6"
		if strings.HasPrefix(c.stock, "timber") {
			alloy = "softwood"
		}
		text := strings.Replace(faceText(c.stock, c.heads, c.row, "", unit), "6063-T6", alloy, 1)
		j, err := readText(t, text)
		if c.fault != "" {
			if err == nil || !strings.Contains(err.Error(), c.fault) {
				t.Errorf("%s, %s %s: %v, want %q", c.stock, c.heads, c.row, err, c.fault)
			}
			continue
		}
		if err != nil {
			t.Errorf("%s, %s %s: %v", c.stock, c.heads, c.row, err)
			continue
		}
		if p := j.Pieces[0]; p.LeftFace != c.left || p.RightFace != c.right {
			t.Errorf("%s, %s %s: left on %v, right on %v", c.stock, c.heads, c.row, p.LeftFace, p.RightFace)
		}
	}
	// In inches a bare number is read in those first, then as the section is written.
	for row, want := range map[string]section.Face{"45, 45, 2": w, "45, 45, 1": n, "45, 45, 1 in": n} {
		j, err := readText(t, faceText("rect tube 2x1x0.125", "face", row, "", "in"))
		if err != nil || j.Pieces[0].LeftFace != want {
			t.Errorf("%s: %v", row, err)
		}
	}
}

// TestShortSides: what mitres leave of the shortest edge, each laid on its own side.
func TestShortSides(t *testing.T) {
	short := func(length, heads, row string) bool {
		_, err := readText(t, strings.Replace(faceText("RHS 40x20x2", heads, row, "", "mm"), "720 mm", length, 1))
		return err != nil && strings.Contains(err.Error(), "too short for its mitres")
	}
	for _, c := range []struct {
		length, heads, row string
		short              bool
	}{
		{"80", "face", "45, 45, wide", true}, {"80.1", "face", "45, 45, wide", false}, // 40 + 40
		{"40", "face", "45, 45, narrow", true}, {"40.1", "face", "45, 45, narrow", false}, // 20 + 20
		{"40", "face", "45, -45, wide", true}, {"40.1", "face", "45, -45, wide", false}, // a parallelogram
		{"60", "left face, right face", "45, -45, wide, narrow", true}, {"60.1", "left face, right face", "45, -45, wide, narrow", false}, // 40 + 20
	} {
		if short(c.length, c.heads, c.row) != c.short {
			t.Errorf("%s long, %s %s: short %t", c.length, c.heads, c.row, !c.short)
		}
	}
}

// TestFacesOfVariants: cut from tube whose sides are all the same, no side is named.
func TestFacesOfVariants(t *testing.T) {
	text := faceText("RHS 40x20x2", "face", "45, 45, wide", "[variant.square.material.bar]\nstock = \"SHS 40x40x2\"\n", "mm")
	text = strings.Replace(text, "21.40 each\n", "21.40 each\nCurlew, square.bar, 6000 mm, 31 each\n", 1)
	j, err := readText(t, text)
	if err != nil {
		t.Fatal(err)
	}
	if j.Pieces[0].LeftFace != section.Wide || j.Variants[0].Job.Pieces[0].LeftFace != section.Narrow {
		t.Errorf("the sides are %v, and of the variant %v", j.Pieces[0].LeftFace, j.Variants[0].Job.Pieces[0].LeftFace)
	}
}
