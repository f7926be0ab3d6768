package job

import (
	"strings"
	"testing"

	"sawbill/internal/length"
)

func TestLabelsAndAssembly(t *testing.T) {
	const mm = length.Millimetre
	j, err := readText(t, sound+"[labels]\nrows = 7\ncolumns = 2\nmargin-top = 15\nmargin-side = \"1 cm\"\ngap-across = 5\nroll = \"60 x 40\"\n"+
		"[assembly]\nrivets-per-minute = 5\nbead-per-minute = \"1.5 m\"\nopen-time = 20\n")
	if err != nil {
		t.Fatal(err)
	}
	if w, h := j.Labels.Size(j.Paper); w != (210-20-5)*mm/2 || h != (297-30)*mm/7 {
		t.Errorf("a label is %v x %v", w, h)
	}
	if j.Labels.RollWidth != 60*mm || j.Labels.RollHeight != 40*mm {
		t.Errorf("a label of the roll is %v x %v", j.Labels.RollWidth, j.Labels.RollHeight)
	}
	if j.Assembly != (Assembly{Rivets: 5, Bead: 1500 * mm, OpenTime: 20}) {
		t.Errorf("got %+v", j.Assembly)
	}
	j, err = readText(t, sound)
	if err != nil {
		t.Fatal(err)
	}
	if j.Labels != DefaultLabels("A4") || j.Assembly != DefaultAssembly {
		t.Errorf("without headers: %+v, %+v", j.Labels, j.Assembly)
	}
	// Two columns of 4 in and a gap of 3/16 in fill Letter but for 5/32 in at each side.
	if w, h := DefaultLabels("Letter").Size("Letter"); w != 4*length.Inch || h != 2*length.Inch {
		t.Errorf("a label on Letter is %v x %v", w, h)
	}
}

func TestLabelFaults(t *testing.T) {
	for text, want := range map[string]string{
		"[labels]\nrows = 0":                                               "rows is 0; write a whole number from 1 to 40",
		"[labels]\nrows = 30":                                              "30 rows by 3 columns on A4 leave 70 mm x 9.9 mm for a label; give it 38 mm x 20 mm or more",
		"[labels]\nmargin-side = 200":                                      "8 rows by 3 columns on A4 leave 0 mm x",
		"[labels]\nroll = 60":                                              `roll is 60; write width x height of one label, as in roll = "60 x 40"`,
		"[labels]\nroll = \"20 x 10\"":                                     "a label of 20 mm x 10 mm is too small or too large",
		"[labels]\nrols = 3":                                               "the nearest key is",
		"[assembly]\nopen-time = \"long\"":                                 `open-time is the text "long"; write a whole number from 1 to 10000`,
		"[assembly]\nbead-per-minute = 0":                                  "bead-per-minute is 0; write how much adhesive",
		"[assembly]\nrivets-per-minute = 2.5":                              "rivets-per-minute is 2.5; write a whole number from 1 to 1000",
		"[process.b]\nkind = \"laser\"\nspacing = 1\ncapacity = \"9 x 9\"": "capacity has no meaning for a beam; take the line out",
		"[process.b]\nkind = \"panel saw\"\nkerf = 3\nblade = 2000":        "blade has no meaning for a panel saw; take the line out",
		"[process.b]\nkind = \"shear\"\nfirst-cut = \"upwards\"":           `first-cut is the text "upwards"; write "any", "along length" or "along width"`,
		"[process.b]\nkind = \"saw\"\nkerf = 1\ncapacity = 9":              `capacity is 9; write width x height of what the saw holds`,
	} {
		_, err := readText(t, sound+text+"\n")
		if err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%q: got %v, want %q", text, err, want)
		}
	}
}
