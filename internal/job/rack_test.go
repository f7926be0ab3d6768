package job

import (
	"strings"
	"testing"

	"sawbill/internal/length"
)

const m = length.Metre

func TestRack(t *testing.T) {
	j, err := readText(t, sound+"[rack]\nfile = \"offcuts.db\"\nvalue = \"25 %\"\n")
	if err != nil {
		t.Fatal(err)
	}
	if j.Rack != (RackUse{File: "offcuts.db", Share: 25_00}) {
		t.Errorf("got %+v", j.Rack)
	}
	if j, err = readText(t, sound); err != nil || j.Rack != (RackUse{Share: DefaultShare}) {
		t.Errorf("without a header: %+v, %v", j.Rack, err)
	}
	if j, err = readText(t, sound+"[rack]\nfile = \"none\"\n"); err != nil || j.Rack.File != "" {
		t.Errorf("none: %+v, %v", j.Rack, err)
	}
}

func TestRackFaults(t *testing.T) {
	for text, want := range map[string]string{
		"[rack]\nvalue = 120":  "value is 120; write a percentage from 0 to 100, such as 5",
		"[rack]\nfile = \"\"":  `file is the text ""; write the name of the rack's file`,
		"[rack]\nfil = \"x\"":  "the nearest key is file",
		"[racks]\nvalue = 20":  "the nearest is [rack]",
		"[rack.a]\nvalue = 20": "[rack.a] has no names below it; write [rack]",
	} {
		if _, err := readText(t, sound+text+"\n"); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%q: got %v, want %q", text, err, want)
		}
	}
	for text, want := range map[string]string{
		`"6 per m2"`:    "write a percentage such as 50 %, or a price such as 1.20 per m",
		`"1.20 per kg"`: "or a price such as 1.20 per m",
		`"-2 per m"`:    "or a price such as 1.20 per m",
		`130`:           "write a percentage from 0 to 100",
	} {
		text = strings.Replace(sound, "process = \"saw\"", "process = \"saw\"\nrack-value = "+text, 1)
		if _, err := readText(t, text); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("got %v, want %q", err, want)
		}
	}
}

// The prices are worked out by hand.
func TestOnRack(t *testing.T) {
	priced := func(line string) *Job {
		text := strings.Replace(sound, "process = \"saw\"", "process = \"saw\"\n"+line, 1)
		text = strings.Replace(text, "North, tube, 6000, 21.40 each\n", "North, tube, 6000, 21.40 each\nNorth, tube, 5000, 18.00 each\n", 1)
		j, err := readText(t, text)
		if err != nil {
			t.Fatal(err)
		}
		return j
	}
	pieces := []RackPiece{{17, "bin 3", 0, 24 * m / 10, 0}, {4, "", 1, 12 * m / 10, m / 2}}
	for line, want := range map[string][2]int64{
		// 21.40 / 6 m is less than 18.00 / 5 m: 2.4 m of it are 8.56, half of that 4.28.
		// 58 / (2.5 · 1.25 m²) = 18.56 a m², 0.6 m² are 11.136, half 5.568.
		"":                            {428, 557},
		"rack-value = 0":              {0, 557},
		"rack-value = \"12.5 %\"":     {107, 557},
		"rack-value = \"0.30 per m\"": {72, 557},
		// 0.10 per ft is 0.10 / 0.3048 a metre: 0.787 for 2.4 m.
		"rack-value = \"0.10 per ft\"": {79, 557},
	} {
		j := priced(line)
		before := len(j.Offers)
		r := j.OnRack(pieces)
		if len(j.Offers) != before || len(j.Suppliers) != 2 {
			t.Fatal("the job itself was changed")
		}
		got := r.Offers[before:]
		if len(got) != 2 || got[0].Price != want[0] || got[1].Price != want[1] {
			t.Errorf("%q: got %+v, want prices %v", line, got, want)
		}
		s := r.Suppliers[got[0].Supplier]
		if got[0].Rack != 17 || got[0].Place != "bin 3" || got[0].Stock != 1 || !s.OnHand || s.Name != "the rack" {
			t.Errorf("got %+v of %+v", got[0], s)
		}
		if r.Digest == j.Digest || r.Digest == j.OnRack(pieces[:1]).Digest || r.Digest != j.OnRack(pieces).Digest {
			t.Error("the digest does not tell what lies on the rack")
		}
	}
	if j := priced(""); j.OnRack(nil) != j {
		t.Error("a job with nothing on the rack is another")
	}
}
