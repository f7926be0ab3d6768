package section

import (
	"strings"
	"testing"

	"sawbill/internal/length"
)

func TestLookupMaterial(t *testing.T) {
	for text, want := range map[string]string{
		"6063-T6": "6063-T6", "6063 t6": "6063-T6", "6063T66": "6063-T66", "EN AW-6063 T66": "6063-T66", "EN AW 6063": "6063", "AA6061-T6": "6061-T6",
		"5005-H14": "5005-H14", "AW-5005 H24": "5005-H24", "6005A-T6": "6005-T6", "1050A H14": "1050-H14", "5083-O": "5083-O",
		"aluminium": "aluminium", "Aluminum": "aluminium",
		"mild steel": "mild steel", "Steel": "mild steel", "A36": "mild steel", "A-500": "mild steel", "1018": "mild steel",
		"S235": "S235", "s235jrh": "S235", "S355 J2H": "S355",
		"1.4301": "304", "304": "304", "AISI 304": "304", "stainless": "304", "1.4404": "316",
		"birch ply": "birch ply", "Birch plywood": "birch ply", "softwood ply": "softwood ply",
		"XPS": "XPS Type IV", "xps type vii": "XPS Type VII", "EPS": "EPS Type I", "EPS Type IX": "EPS Type IX",
		"spruce": "spruce", "Douglas-fir": "Douglas fir", "oak": "oak", "MDF": "MDF",
	} {
		m, err := LookupMaterial(text)
		if err != nil || m.Name != want || m.Density <= 0 || m.Source == "" || m.Stated {
			t.Errorf("%q: %+v, %v; want %q", text, m, err, want)
		}
	}
	for text, nearest := range map[string]string{
		"6036-T6": "6063", "6o61": "6061", "mild stel": "mild steel", "birch plz": "birch ply", "S325": "S235", "spruse": "spruce", "plywood": "ply",
	} {
		_, err := LookupMaterial(text)
		if err == nil || !strings.Contains(err.Error(), nearest) || !strings.Contains(err.Error(), `"`+text+`"`) {
			t.Errorf("%q: %v; want advice %q", text, err, nearest)
		}
	}
	// What fits several materials is refused with some of them.
	for text, advice := range map[string]string{"plywood": "birch ply or softwood ply", "Sperrholz": "birch ply", "foam": "XPS", "timber": "larch", "Metall": "S235"} {
		if _, err := LookupMaterial(text); err == nil || !strings.Contains(err.Error(), advice) || !strings.Contains(err.Error(), `"`+text+`" is not of one density`) {
			t.Errorf("%q: %v; want advice %q", text, err, advice)
		}
	}
	for text, want := range map[string]string{"Stahl": "mild steel", "acier inoxydable": "304", "Lärche": "larch", "Laerche": "", "contreplaque bouleau": "birch ply", "MÉLÈZE": "larch"} {
		if m, err := LookupMaterial(text); m.Name != want || (err == nil) != (want != "") {
			t.Errorf("%q: %q, %v; want %q", text, m.Name, err, want)
		}
	}
	if _, err := LookupMaterial("  "); err == nil {
		t.Error("an empty name is a material")
	}
}

// Every name and alias finds its own row, and no two rows claim one name.
func TestMaterialTable(t *testing.T) {
	seen := map[string]string{}
	for _, m := range materials {
		for _, n := range append([]string{m.name}, strings.Split(m.aliases, ",")...) {
			if n == "" {
				continue
			}
			if other := seen[fold(n)]; other != "" {
				t.Errorf("%q is %s and %s", n, other, m.name)
			}
			seen[fold(n)] = m.name
			if got, err := LookupMaterial(n); err != nil || got.Name != m.name {
				t.Errorf("%q finds %q, %v; want %q", n, got.Name, err, m.name)
			}
		}
	}
}

func TestWithDensity(t *testing.T) {
	m := material(t, "5005").WithDensity(2650)
	if m.Density != 2650 || !m.Stated || m.Family != Aluminium || m.Name != "5005" {
		t.Errorf("%+v", m)
	}
	near(t, "1.5 mm sheet", section(t, "sheet 1.5", length.MM).MassPerArea(m), 3.975, 1e-9)
}

func TestSuits(t *testing.T) {
	for _, c := range []struct {
		section, material string
		ok                bool
	}{
		{"SHS 25x25x2", "6063-T6", true}, {"SHS 25x25x2", "S235", true}, {"SHS 25x25x2", "birch ply", false}, {"SHS 25x25x2", "spruce", false},
		{"sheet 1.5", "5005-H14", true}, {"sheet 16 ga", "mild steel", true}, {"sheet 16 ga", "5005-H14", false}, {"sheet 16 ga", "304", false},
		{"sheet 3", "polycarbonate", true}, {"ply 12", "birch ply", true}, {"ply 12", "6061", false}, {"XPS 50", "XPS", true}, {"foam 30", "steel", false},
		{"timber 45x70", "larch", true}, {"timber 45x70", "6061", false}, {"board 18", "MDF", true}, {"board 18", "XPS", false},
		{"flat 40x5", "oak", true}, {"flat 40x5", "XPS", false}, {"L 40x40x4", "304", true},
	} {
		err := section(t, c.section, length.MM).Suits(material(t, c.material))
		if (err == nil) != c.ok {
			t.Errorf("%s of %s: %v", c.section, c.material, err)
		}
	}
	err := section(t, "sheet 16 ga", length.MM).Suits(material(t, "5052"))
	if err == nil || !strings.Contains(err.Error(), "write the thickness") {
		t.Errorf("aluminium by gauge: %v", err)
	}
}

// Distances counted by hand.
func TestDistance(t *testing.T) {
	for _, c := range []struct {
		a, b string
		want int
	}{{"", "", 0}, {"", "abc", 3}, {"kitten", "sitting", 3}, {"6036", "6063", 1}, {"S325", "S235", 1}, {"ca", "abc", 3}, {"ß", "ss", 2}} {
		if got := distance(c.a, c.b); got != c.want || distance(c.b, c.a) != c.want {
			t.Errorf("distance(%q, %q) = %d; want %d", c.a, c.b, got, c.want)
		}
	}
}
