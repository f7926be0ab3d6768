package job

import (
	"strings"
	"testing"
	"unicode/utf8"
)

// checkFaults holds every message to what a person needs: one line, a place in
// the file that is there, a sentence.
func checkFaults(t *testing.T, text string, err error) {
	t.Helper()
	faults, ok := err.(Faults)
	if err != nil && (!ok || len(faults) == 0) {
		t.Fatalf("an error that is no faults: %v", err)
	}
	lines := strings.Count(text, "\n") + strings.Count(text, "\r") + 1
	for _, f := range faults {
		if f.Text == "" || strings.ContainsAny(f.Text, "\n\r\x00") || !utf8.ValidString(f.Text) {
			t.Errorf("not one sentence: %q", f.Text)
		}
		if f.Pos.Line > lines || f.Pos.File == "" {
			t.Errorf("no such place: %s", f)
		}
	}
}

func FuzzRead(f *testing.F) {
	f.Add(sound)
	for _, s := range []string{
		"", "[", "[[", "[]", "[job", "= 3", "a = ", "a = \"", "a = '''", "a = \"\"\"\n\\", "a = [1,", "a = {b = 1", "\ufeff[job]", "[job]\r\nname = \"x\"\r", "a = 1\rb = 2",
		"[tables]\npieces = \"\"\"\nmark, length\nP1, \"\n\"\"\"", "[columns.pieces]\nmark = \"?\"\n", "[material.\"\"]\nstock = \"\"", "# \x01\n", "'''", "a\x00b", "\xff\xfe",
	} {
		f.Add(s)
		f.Add(sound + s)
	}
	f.Add(buy("[supplier.West]\nlays-out = \"supplier\"\nmetre-cut = \"0.26 per ft\"\ntax = \"19 %\"\n[supplier.Shed]\non-hand = true\n[variant.near.supplier.West]\nfetch = 1",
		"supplier, material, size, price, from, pack, stock\nNorth, tube, 6000, 80 per pack, 4+, 4, 9\nNorth, tube, 6000, 19, 8, 4, 9\nShed, tube, 3000, 0, , , 2\nEast, skin, 2500 x 1250, 58, , ,\n", "West, P1, 4.80\nWest, S1, 9\n"))
	for _, load := range []string{`"1199 x 350"`, `"10 ft"`, "1", `"x"`} {
		f.Add(strings.Replace(sound, "[material.tube]\n", "longest-load = "+load+"\nbudget = 90\n[material.tube]\nspare = 2\nspare-percent = 0.5\n", 1))
	}
	f.Add(adjusting("name, marks, less, more, step\nw, \"P1, 2x S1 width\", 5, 0, 0.1\nv, 2x4 length + P1, , 1 km, 7 in\n"))
	f.Add(sound + "brackets = '''\nkind, material, length, price, mass\nK1, tube, 60,,\nK2,,, 1.2 each, 3 oz\n'''\nrivets = '''\ndiameter, length, grip from, grip to, pack, price\n4, 8, 1, 5, 100, 3 per box\n'''\n" +
		"joints = '''\nmark, bracket, rivets, grip, quantity\nJ1, K1, 4, 3, 2\n'''\nitems = '''\nname, price\nhinge, 3\n'''\nconsumables = '''\nname, by, of, bead, coats, coverage, waste, content, price\ns, length, 3 m, 6 round,,, 5, 310 ml, 8\np, area, skin,, 2, 9 m2 per l,, 2 l, 9\nd, count, holes,,, 100,, 5, 7\n'''\n")
	f.Add(sound + formed)
	f.Add(sound + "outlines = '''\nmark, contour, x, y, corner, mirror, file\nS1, outer, 0, 0, 9,,\nS1,, 600, 0,,,\nS1,, 600, 1e3, 9,,\nS1,,0,400,,,\nS2,,,,,S1,\nS1,,,,,,job.toml\n'''\nzones = '''\nmark, x, y, radius\nS1, 1, 1, 1\n'''\n" +
		"rows = '''\nmark, edge, inset, from, to, member, offset, rivet, pitch, second, between\nS1, top,,,, tube, 1, 4,, 20, yes\nS1,,, 1;1, 90;90, tube,, 4, 12,,\n'''\n")
	f.Fuzz(func(t *testing.T, text string) {
		j, err := readText(t, text)
		if (j == nil) == (err == nil) {
			t.Fatalf("job %v with error %v", j, err)
		}
		checkFaults(t, text, err)
	})
}

func FuzzTable(f *testing.F) {
	for _, s := range []string{
		"", "mark,length\nP1,1200\n", "mark;length\nP1;1200,5\n", "mark\tlength\rP1\t3' 11-3/8\"", "\"mark\",\"length\"\n\"P\"\"1\",\"1\n2\"\n", "mark,length\n\"P1,1\n",
		"mark,length,left\nP1,9,45/30\n", "a,b\nmark,length\n,\nTotal,9\n", "PK\x03\x04", "mark,length\n# c\n#1,2\n", "mark,length (in)\nP1,1/0\n", "mark,length\nP1,\"1\"\"\",\n",
		"mark,length,quantity\nP1,1,999999\nP2,1,999999\n", "mark,length per m\n", "mark,material,length\nP1,SHS 25x25x2 6063,1\n", ",,,\n,,,\n", "\ufeffmark,length\n",
	} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, text string) {
		j, err := readText(t, withPieces("list.csv"), "list.csv", text)
		if (j == nil) == (err == nil) {
			t.Fatalf("job %v with error %v", j, err)
		}
		checkFaults(t, sound+text, err)
		if j != nil {
			for _, p := range j.Pieces {
				if p.Length <= 0 || p.Quantity < 1 || p.Quantity > mostCopies || p.Mark == "" || p.Left > 60000 || p.Left < -60000 {
					t.Errorf("a piece that cannot be: %+v", p)
				}
			}
		}
	})
}

func FuzzPrice(f *testing.F) {
	for _, s := range []string{"21.40 each", "3.70 per m", "€ 1,5/kg", "24 per m²", "1 per 0", "/", "per", "-1", "1e9", "$", "1.2.3 per ft", "٣ per m"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, text string) {
		r := newReader("job.toml")
		r.job.Currency = "EUR"
		for _, comma := range []bool{false, true} {
			p, err := r.parsePrice(text, comma)
			if err == nil && (p.amount == nil || p.per.one.Sign() <= 0) {
				t.Errorf("%q: %+v", text, p)
			}
		}
	})
}

// New never panics, and what it makes is read without a fault of syntax.
func FuzzNew(f *testing.F) {
	for _, s := range []string{
		"mark,length\nP1,1200\n", "Pos.;Profil;Länge [mm]\n1;SHS 25x25x2;3\n", "a,b\nc,d\n", "mark,length,width\nS1,6,4\n", "x'''y,length\n1,2\n", "mark,length,material\nP1,2,\"a\n'''\nb\"\n",
	} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, list string) {
		path := t.TempDir() + "/list.csv"
		writeFile(t, path, list)
		text, err := New(path)
		if err != nil {
			checkFaults(t, list, err)
			return
		}
		_, err = readText(t, string(text), "list.csv", list)
		checkFaults(t, string(text)+list, err)
		if _, faults := parseTOML(newSource("job.toml", text)); len(faults) > 0 {
			t.Errorf("%v\n%s", faults, text)
		}
	})
}
