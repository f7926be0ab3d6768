package account

import (
	"os"
	"path/filepath"
	"testing"

	"sawbill/internal/job"
)

// Whatever stands in the tables, a job that reads well has an account that adds up.
func FuzzOf(f *testing.F) {
	f.Add("K1, angle, 60,,", "4, 8, 1, 5, 100, 3 per box, 1 g, 5", "J1, K1, 4, 3, 2", "hinge, 3, 2, 1 lb, 4", "s, length, 3 m, 6 round,,, 5, 310 ml, 8, 1 kg")
	f.Add("K2,,, 1.2 each, 3 oz", "1/8 in, 8, 0, 7, 1, 0, , ", "J1, , 4, 3, 2", "a,0,,,", "p, area, skin,, 2, 9 m2 per l,, 2 l, 9, 2")
	f.Add("K2, skin, 60, , ", "4, 8, 1, 5, 100, 0.03 each, , ", "J1, K2, 0, , 1000000", "b, 10000000, 1, 10 t, 900000", "d, count, holes,,, 100, 100, 5, 7, ")
	f.Add("", "", "", "", "t, length, edges of skin,, 3,, , 0.001, 10000000, 10 t")
	f.Add("", "", "", "", "t, length, 1000 m, 1 m x 1 m, 1000000,, , 9000 l, 1, 10 t")
	f.Fuzz(func(t *testing.T, bracket, rivet, joint, item, consumable string) {
		path := filepath.Join(t.TempDir(), "job.toml")
		text := metric
		for _, table := range [][3]string{
			{"brackets", "kind, material, length, price, mass", bracket}, {"rivets", "diameter, length, grip from, grip to, pack, price, mass, spare", rivet},
			{"joints", "mark, bracket, rivets, grip, quantity", joint}, {"items", "name, price, pack, mass, quantity", item},
			{"consumables", "name, by, of, bead, coats, coverage, waste, content, price, mass", consumable},
		} {
			if table[2] != "" {
				text += table[0] + " = '''\n" + table[1] + "\n" + table[2] + "\n'''\n"
			}
		}
		if err := os.WriteFile(path, []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
		j, err := job.Read(path)
		if err != nil {
			return
		}
		a := Of(j)
		for _, l := range a.Lines() {
			if l.Need < 0 || l.Packs < 1 || l.Amount < 0 || l.Mass < 0 || l.Amount/max(1, l.Each) > 10_000_000 {
				t.Fatalf("%+v", l)
			}
		}
		if a.Spend() < 0 || a.Mass() < 0 {
			t.Fatalf("spend %v, mass %v", a.Spend(), a.Mass())
		}
	})
}
