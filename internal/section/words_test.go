package section

import (
	"testing"

	"sawbill/internal/length"
)

// The words of other languages mean what the English ones do.
func TestWordsOfOtherLanguages(t *testing.T) {
	for text, want := range map[string]string{
		"Vierkantrohr 40x40x3": "SHS 40x40x3 mm", "Vierkantrohr 40x20x2": "RHS 40x20x2 mm", "Quadratrohr 25 x 25 x 2": "SHS 25x25x2 mm",
		"Rechteckrohr 50x30x3": "RHS 50x30x3 mm", "Rundrohr 33,7x2,6": "CHS 33.7x2.6 mm", "Winkel 40x40x4": "L 40x40x4 mm",
		"L-Profil 40x40x4": "L 40x40x4 mm", "Flachstahl 40x5": "flat 40x5 mm", "Rundstab 12": "round bar 12 mm", "Vierkantstab 12": "sq bar 12 mm",
		"Blech 1,5": "sheet 1.5 mm", "1,5 mm Blech": "sheet 1.5 mm", "Sperrholz 12": "ply 12 mm", "Kantholz 45x70": "timber 45x70 mm",
		"Tube carré 40x40x3": "SHS 40x40x3 mm", "tube rectangulaire 50x30x3": "RHS 50x30x3 mm", "Tube rond 33.7x2.6": "CHS 33.7x2.6 mm",
		"Cornière 40x40x4": "L 40x40x4 mm", "plat 40x5": "flat 40x5 mm", "Tôle 1,5": "sheet 1.5 mm", "Contreplaqué 12 mm": "ply 12 mm",
		"Tubo cuadrado 40x40x3": "SHS 40x40x3 mm", "Tubo 40x20x2": "RHS 40x20x2 mm", "tubo redondo 33,7x2,6": "CHS 33.7x2.6 mm",
		"Pletina 40x5": "flat 40x5 mm", "Chapa 1,5": "sheet 1.5 mm", "Contrachapado 12": "ply 12 mm", "perfil L 40x40x4": "L 40x40x4 mm",
	} {
		if s, err := Parse(text, length.MM); err != nil || s.Canonical != want {
			t.Errorf("%q: %q, %v; want %q", text, s.Canonical, err, want)
		}
	}
}

// No word stands for two shapes.
func TestWordsAreApart(t *testing.T) {
	words := 0
	for _, w := range shapeWords {
		words += 1
		for _, c := range w {
			if c == '|' {
				words++
			}
		}
	}
	for _, c := range tubeWords {
		if c == '|' {
			words++
		}
	}
	if words++; words+12 != len(kinds) {
		t.Errorf("%d words and 12 of the foams, %d kinds", words, len(kinds))
	}
}
