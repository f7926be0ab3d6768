package job

import (
	"os"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
)

// TestTableFaults appends tables to the sound job, as testdata/billfaults.txt and
// testdata/formfaults.txt say, and compares every message. Each case is
//
//	= the text appended
//	the messages, one a line; a remark has "remark: " in front
//
// where ⏎ is a line end, NAME⟩ begins the rows of a table and »
// ends them.
func TestTableFaults(t *testing.T) {
	for file, least := range map[string]int{"billfaults.txt": 60, "formfaults.txt": 40} {
		data, err := os.ReadFile("testdata/" + file)
		if err != nil {
			t.Fatal(err)
		}
		cases := strings.Split(strings.TrimSpace(string(data)), "\n= ")
		if len(cases) < least {
			t.Fatalf("%s: only %d cases", file, len(cases))
		}
		tableFaults(t, cases)
	}
}

func tableFaults(t *testing.T, cases []string) {
	plain := strings.NewReplacer("⏎", "\n", "»", "\n'''\n", "⟩", " = '''\n")
	for _, c := range cases {
		head, want, _ := strings.Cut(strings.TrimPrefix(c, "= "), "\n")
		t.Run(head, func(t *testing.T) {
			text := sound + plain.Replace(head)
			if old, added, found := strings.Cut(head, " ⇒ "); found {
				// A key of [job] goes behind the currency.
				text = strings.Replace(sound, "currency = \"EUR\"\n", "currency = \"EUR\"\n"+plain.Replace(old)+"\n", 1) + plain.Replace(added)
			}
			j, err := readText(t, text)
			var got []string
			if err != nil {
				got = strings.Split(err.Error(), "\n")
			} else {
				for _, m := range j.Remarks {
					got = append(got, "remark: "+m.String())
				}
			}
			if d := cmp.Diff(strings.TrimSpace(want), strings.Join(got, "\n")); d != "" {
				t.Error(d)
			}
		})
	}
}

// Units in heads hold for bare figures, a price per box is that of the box, and
// a heading gives the rows below it a group.
func TestBillTables(t *testing.T) {
	j, err := readText(t, strings.Replace(sound, "currency = \"EUR\"\n", "currency = \"EUR\"\npeople = 4\nallowed-load = \"0.5 t\"\n", 1)+`items = '''
Artikel; Gewicht (g); price per box; box; Anzahl; Lieferant
bolt; 22,5; 6,30; 25; 60; Shed
Roof:;;;;;
nut; 5 oz; 0,02 each; 100; 60;
'''
brackets = '''
kind, material, length, width, price, pack, weight kg, spare
K1, tube, 60, , , , ,
K2, skin, 2.5 in, 40, , , ,
K3, , , , 1.50 each, 10, 0.085, 5%
'''
rivets = '''
dia, length, grip min, grip max, price, pack
1/8 in, .325 in, .063 in, .125 in, 3 per box, 100
'''
joints = '''
joint, bracket, brackets each, rivets, grip, no off, assembly
J1, k1, 2, 4, 0.1 in, 3, wall
J2, K2, , , , 5, wall
J3, K3, 4, , , 2, roof
J4, K1, , , , 1, roof
'''
[supplier.Shed]
delivery = 1
`)
	if err != nil {
		t.Fatal(err)
	}
	if j.People != 4 || j.AllowedLoad != 500*kilogram {
		t.Errorf("people %d, load %d", j.People, j.AllowedLoad)
	}
	bolt, nut := j.Items[0], j.Items[1]
	if bolt.Pack != (Pack{Supplier: 0, Count: 25, Price: 630, PriceText: "6,30", Mass: 22_500}) || bolt.Group != "" || bolt.Quantity != 60 {
		t.Errorf("bolt %+v", bolt)
	}
	// An ounce is 28.349523125 g.
	if nut.Pack != (Pack{Supplier: -1, Count: 100, Price: 200, PriceText: "0,02 each", Mass: 141_748}) || nut.Group != "Roof" {
		t.Errorf("nut %+v", nut)
	}
	if b := j.Brackets[2]; b.Cut || b.Pack.Price != 1500 || b.Pack.Mass != 85_000 || b.Pack.Spare != 500 || b.Pack.Packs(8) != 1 || b.Pack.Packs(10) != 2 {
		t.Errorf("K3 %+v", b)
	}
	cut := j.Pieces[len(j.Pieces)-1]
	if cut.Mark != "K1" || cut.Quantity != 7 || cut.Length != mm(60) || cut.Group != "" || cut.Note != "bracket" {
		t.Errorf("K1 %+v", cut)
	}
	gusset := j.Panels[len(j.Panels)-1]
	if gusset.Mark != "K2" || gusset.Quantity != 5 || gusset.Length != mm(63.5) || gusset.Width != mm(40) || gusset.Group != "wall" || !gusset.Turn {
		t.Errorf("K2 %+v", gusset)
	}
	if r := j.Joints[0]; r.Diameter != mm(3.175) || len(j.FitRivets(r)) != 1 {
		t.Errorf("J1 %+v", r)
	}
}

func TestOwnStockIsNotPaid(t *testing.T) {
	text := sound + "items = '''\nname, supplier, price\nhinge, Shed, 3\n'''\n[supplier.Shed]\non-hand = true\n"
	_, err := readText(t, text)
	want := `job.toml:34:14: "Shed" is our own stock, which is not paid for; write the price 0`
	if err == nil || err.Error() != want {
		t.Errorf("got %v", err)
	}
	if j, err := readText(t, strings.Replace(text, "Shed, 3", "Shed, 0", 1)); err != nil || j.Items[0].Pack.Price != 0 {
		t.Errorf("at no price: %v", err)
	}
}
