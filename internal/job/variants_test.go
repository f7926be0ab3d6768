package job

import (
	"strings"
	"testing"

	"sawbill/internal/length"
)

func TestVariants(t *testing.T) {
	text := strings.Replace(sound, "[tables]\n", `[variant.thin-skin.material.skin]
stock = "sheet 1.2"
grain = "along length"
[variant.fine-blade.process.saw]
kerf = 1.6
[variant.thin-skin.process.laser]
spacing = 3
[tables]
`, 1)
	text = strings.Replace(text, "58\n", "58\nWest, Thin-Skin.skin, 2000 x 1000, 10 per m2\n", 1)
	j, err := readText(t, text)
	if err != nil {
		t.Fatal(err)
	}
	if len(j.Variants) != 2 || j.Variants[0].Name != "thin-skin" || j.Variants[1].Name != "fine-blade" {
		t.Fatalf("variants %+v", j.Variants)
	}
	if len(j.Offers) != 2 || j.Materials[1].Section.Canonical != "sheet 1.5 mm" || j.Materials[1].Grain || j.Processes[0].Kerf != 5*length.Millimetre/2 {
		t.Errorf("the job itself is changed: %+v", j)
	}

	thin := j.Variants[0].Job
	skin := thin.Materials[1]
	if skin.Key != "skin" || skin.Section.Canonical != "sheet 1.2 mm" || !skin.Grain || skin.Alloy.Name != j.Materials[1].Alloy.Name {
		t.Errorf("thin skin is %+v", skin)
	}
	if p := thin.Processes[skin.Process]; p.Kerf != 3*length.Millimetre || p.TrimLeft != 10*length.Millimetre {
		t.Errorf("thin skin is cut by %+v", p)
	}
	// 2 m² at 10 per m²; the offer of 1.5 mm sheet is gone, that of tube stays.
	if len(thin.Offers) != 2 || thin.Offers[0].Material != 0 || thin.Offers[1].Material != 1 || thin.Offers[1].Price != 2000 ||
		thin.Suppliers[thin.Offers[1].Supplier].Name != "West" {
		t.Errorf("thin skin is offered as %+v", thin.Offers)
	}
	if thin.Digest != j.Digest || len(thin.Variants) != 0 {
		t.Errorf("digest %q of %q, %d variants", thin.Digest, j.Digest, len(thin.Variants))
	}

	blade := j.Variants[1].Job
	if blade.Processes[0].Kerf != 16*length.Millimetre/10 || len(blade.Offers) != 2 || blade.Materials[1].Section != j.Materials[1].Section {
		t.Errorf("fine blade is %+v", blade)
	}
}
