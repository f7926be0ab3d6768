package job

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"sawbill/internal/length"
)

// rivetedIn lists the joints of rows, "mark: copies x rivets, grip".
func rivetedIn(j *Job) string {
	var out []string
	for _, v := range j.Riveted()[len(j.Joints):] {
		out = append(out, fmt.Sprintf("%s: %d x %d, %s", v.Mark, v.Quantity, v.Rivets, length.Format{Unit: length.MM, Decimals: 1}.String(v.Grip)))
	}
	return strings.Join(out, "\n")
}

// A row along the left edge of 400, 50 apart, has its first hole two and a half diameters
// from the edge, 10, and its last at 390: 380 in eight spaces of 47.5 make nine holes. Grips: a skin
// of 1.5 and the wall of 3 with 0.4 of adhesive, 4.9, and 1.9 more for another skin.
func TestSharedRivetsByHand(t *testing.T) {
	left := sharedRow{edge: "left", inset: 10, pitch: 50, from: 700, face: 1}
	right := left
	right.edge = "right"
	for name, c := range map[string]struct {
		rows           string
		tubes, s1, s2  int
		want, remarked string
	}{
		"one of each": {left.text("S1", "a", true) + left.text("S2", "b", true), 1, 1, 1,
			"S1 a: 1 x 0, 4.9\nS2 b: 1 x 9, 6.8", ""},
		"as many tubes as panels": {left.text("S1", "a", true) + left.text("S2", "b", true), 3, 3, 3,
			"S1 a: 3 x 0, 4.9\nS2 b: 3 x 9, 6.8", ""},
		"one panel does not reach": {left.text("S1", "a", true) + left.text("S2", "b", true), 3, 3, 1,
			"S1 a: 2 x 9, 4.9\nS2 b: 1 x 9, 6.8", ""},
		"three bays on four posts": {left.text("S1", "a", true) + right.text("S1", "b", true), 4, 3, 1,
			"S1 a: 1 x 9, 4.9\nS1 b: 2 x 9, 6.8\nS1 b: 1 x 9, 4.9", ""},
		"a ring of three": {left.text("S1", "a", true) + right.text("S1", "b", true), 3, 3, 1,
			"S1 a: 3 x 0, 4.9\nS1 b: 3 x 9, 6.8", ""},
		"three bays with posts of their own": {left.text("S1", "a", true) + right.text("S1", "b", true), 6, 3, 1,
			"S1 a: 3 x 9, 4.9\nS1 b: 3 x 9, 4.9", ""},
		"more skins than two to a tube": {left.text("S1", "a", true) + left.text("S2", "b", true), 1, 2, 1,
			"S1 a: 2 x 9, 4.9\nS2 b: 1 x 9, 4.9", "3 copies of rows have holes at one place of \"P1\", of which there are 1: more than two skins"},
		"more tubes": {left.text("S1", "a", true) + left.text("S2", "b", true), 3, 1, 1,
			"S1 a: 1 x 9, 4.9\nS2 b: 1 x 9, 4.9", "of which there are 3, and are taken to lie on different ones"},
	} {
		text := strings.NewReplacer("P1, tube, 2000", fmt.Sprintf("P1, tube, 2000, %d", c.tubes), "mark, material, length\n", "mark, material, length, quantity\n",
			"S1, skin, 600, 400", fmt.Sprintf("S1, skin, 600, 400, %d", c.s1), "S2, skin, 600, 400", fmt.Sprintf("S2, skin, 600, 400, %d", c.s2),
			"mark, material, length, width\n", "mark, material, length, width, quantity\n").Replace(sharedJob(c.rows))
		j, err := readText(t, text)
		if err != nil {
			t.Errorf("%s: %v", name, err)
			continue
		}
		if got := rivetedIn(j); got != c.want {
			t.Errorf("%s:\n%s\nwant\n%s", name, got, c.want)
		}
		said := ""
		for _, m := range j.Remarks {
			said += m.Text + "\n"
		}
		if c.remarked == "" && strings.Contains(said, "rivets") || !strings.Contains(said, c.remarked) {
			t.Errorf("%s: said %q", name, said)
		}
	}
}

// Of a long row only what the other skin reaches is shared: S2's row begins at the fifth
// of S1's nine holes, four spaces of 47.5 later, so that the last five of one are the
// first five of the other.
func TestPartOfARowIsShared(t *testing.T) {
	a := sharedRow{edge: "left", inset: 10, pitch: 50, from: 700, face: 1}
	b := a
	b.from += 190
	j, err := readText(t, sharedJob(a.text("S1", "a", true)+b.text("S2", "b", true)))
	if err != nil {
		t.Fatal(err)
	}
	if got, want := rivetedIn(j), "S1 a: 1 x 4, 4.9\nS2 b: 1 x 5, 6.8\nS2 b: 1 x 4, 4.9"; got != want {
		t.Errorf("%s\nwant\n%s", got, want)
	}
	s1, s2 := j.Panels[0].Form.Rows[0], j.Panels[1].Form.Rows[0]
	if s1.Rivets() != 4 || s2.Rivets() != 9 || s1.Holes() != 9 || s2.Holes() != 9 {
		t.Errorf("%d and %d rivets, %d and %d holes", s1.Rivets(), s2.Rivets(), s1.Holes(), s2.Holes())
	}
	if s1.Met[0] != "S2 b" || s2.Met[0] != "S1 a" {
		t.Errorf("met %v and %v", s1.Met, s2.Met)
	}
	// Of a job with fewer panels, as after a mishap, all that is there is riveted.
	j.Panels[0].Quantity = 2
	if got := j.Riveted()[0]; got.Rivets != 9 || got.Quantity != 2 {
		t.Errorf("%+v", got)
	}
}

// Against laying every copy of every row into the seats one by one.
func TestSharesAgainstLayingThemOneByOne(t *testing.T) {
	draw := rand.New(rand.NewPCG(7, 11))
	r := &reader{}
	for range 60_000 {
		tubes := 1 + draw.Int64N(6)
		var rows []*onTube
		var s seat
		all := int64(0)
		for k := range 1 + draw.IntN(4) {
			q := 1 + draw.Int64N(6)
			all += q
			rows = append(rows, &onTube{panel: &Panel{Material: k, Quantity: q}, v: &RivetRow{}})
			s = append(s, k)
		}
		layers := make([]int, min(tubes, all)) // skins in each seat that is in use
		for i := range all {
			layers[i%int64(len(layers))]++
		}
		var got []int
		under := make([]int64, len(rows))
		for k, list := range r.share(s, rows, tubes) {
			covered := int64(0)
			for _, u := range list {
				covered += u.to - u.from
				if !u.set {
					under[k] += u.to - u.from
					continue
				}
				for range u.to - u.from {
					got = append(got, 1+len(u.under))
				}
				for _, skin := range u.under {
					under[skin.Material] -= u.to - u.from
				}
			}
			if covered != rows[k].panel.Quantity {
				t.Fatalf("%d of %d copies", covered, rows[k].panel.Quantity)
			}
		}
		if slices.ContainsFunc(under, func(n int64) bool { return n != 0 }) {
			t.Fatalf("skins under others: %v", under)
		}
		sum := 0
		for _, n := range got {
			sum += n
		}
		if len(got) != len(layers) || int64(sum) != all {
			t.Fatalf("%d seats, %d rows of copies %d: %v, one by one %v", tubes, len(rows), all, got, layers)
		}
	}
}

// Sets hold every rivet of every copy, whatever the runs.
func TestSetsAgainstCopyByCopy(t *testing.T) {
	draw := rand.New(rand.NewPCG(5, 3))
	for range 50_000 {
		quantity := 1 + draw.Int64N(6)
		var holes [][]run
		want := map[string]int64{}
		mostWant := int64(0)
		for range draw.IntN(6) {
			var list []run
			for from := int64(0); from < quantity; {
				to := from + 1 + draw.Int64N(quantity-from)
				list = append(list, run{from, to, []Skin{{Material: 1}, {Material: 2}}[:draw.IntN(3)], draw.IntN(3) > 0})
				from = to
			}
			holes = append(holes, list)
		}
		for c := range quantity {
			n := int64(0)
			for _, list := range holes {
				for _, u := range list {
					if u.set && u.from <= c && c < u.to {
						want[fmt.Sprint(u.under)]++
						n++
					}
				}
			}
			mostWant = max(mostWant, n)
		}
		sets := setsOf(holes, quantity)
		got := map[string]int64{}
		for _, s := range sets {
			got[fmt.Sprint(s.Under)] += s.Copies * s.Each
		}
		if fmt.Sprint(got) != fmt.Sprint(want) || most(sets) != mostWant {
			t.Fatalf("%v: %v, most %d, copy by copy %v, most %d", holes, got, most(sets), want, mostWant)
		}
	}
}
