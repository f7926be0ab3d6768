package compare

import (
	"context"
	"fmt"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"sawbill/internal/plan/option"
)

// terms of a supplier in cents; a way home that it has not is -1.
type shopTerms struct {
	name                     string
	delivery, fetch, minimum int64
}

// bill is what an order with the given goods comes to, none when there are none.
func (s shopTerms) bill(goods int64) int64 {
	if goods == 0 {
		return 0
	}
	way := s.delivery
	if way < 0 || s.fetch >= 0 && s.fetch < way {
		way = s.fetch
	}
	return way + max(goods, s.minimum)
}

func (s shopTerms) toml() string {
	text := fmt.Sprintf("[supplier.%s]\nminimum = %s\n", s.name, cents(s.minimum))
	if s.delivery >= 0 {
		text += "delivery = " + cents(s.delivery) + "\n"
	}
	if s.fetch >= 0 {
		text += "fetch = " + cents(s.fetch) + "\n"
	}
	return text
}

func cents(n int64) string { return fmt.Sprintf("%d.%02d", n/100, n%100) }

// barOffer is a bar at one supplier.
type barOffer struct {
	shop        int
	size, price int64
}

// Small random jobs of one material against every way to share the pieces out
// among bars and the bars among two suppliers: the least sum of goods, ways home
// and small orders.
func TestAgainstAllPartitions(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		lengths := rapid.SliceOfN(rapid.Int64Range(300, 2400), 1, 5).Draw(t, "pieces")
		shops := []shopTerms{{name: "North"}, {name: "East"}}
		var text, table, pieces strings.Builder
		for i := range shops {
			s := &shops[i]
			s.delivery, s.fetch = rapid.Int64Range(0, 3000).Draw(t, "delivery"), rapid.Int64Range(-1, 3000).Draw(t, "fetch")
			if s.fetch >= 0 && rapid.Bool().Draw(t, "fetched only") {
				s.delivery = -1
			}
			s.minimum = rapid.Int64Range(0, 6000).Draw(t, "minimum")
			text.WriteString(s.toml())
		}
		var offers []barOffer
		var sizes []int64
		for _, size := range rapid.SliceOfNDistinct(rapid.SampledFrom([]int64{2500, 3000, 4000, 6000}), 1, 3, rapid.ID).Draw(t, "sizes") {
			sizes = append(sizes, size)
			sellers := rapid.SampledFrom([][]int{{0}, {1}, {0, 1}}).Draw(t, "sellers")
			for _, i := range sellers {
				o := barOffer{i, size, rapid.Int64Range(500, 3000).Draw(t, "price")}
				offers = append(offers, o)
				fmt.Fprintf(&table, "%s, tube, %d, %s\n", shops[i].name, size, cents(o.price))
			}
		}
		for i, l := range lengths {
			fmt.Fprintf(&pieces, "P%d, tube, %d\n", i+1, l)
		}
		j := read(t, `[job]
name = "Random"
unit = "mm"
currency = "EUR"
[material.tube]
stock = "SHS 25x25x2"
alloy = "6063-T6"
process = "saw"
[process.saw]
kerf = 0
`+text.String()+`[tables]
offers = '''
supplier, material, size, price
`+table.String()+`'''
pieces = '''
mark, material, length
`+pieces.String()+`'''
`)
		r, err := Make(context.Background(), j, nil, quick)
		if err != nil {
			t.Fatal(err)
		}
		for _, row := range r.Table.Rows {
			on := slices.DeleteFunc(slices.Clone(offers), func(o barOffer) bool {
				switch row.Kind {
				case option.Sizes:
					return !strings.Contains(row.Name, fmt.Sprint(o.size))
				case option.Supplier:
					return row.Name != shops[o.shop].name+" alone"
				}
				return false
			})
			want := cheapest(lengths, on, shops)
			if !row.Planned || int64(row.Total) != want || row.Gap != 0 || row.Goods+row.Charges != row.Total || row.Carriage > row.Charges {
				t.Fatalf("%s: planned %v, total %s, goods %s, charges %s, gap %s; want %s in all", row.Name, row.Planned, row.Total, row.Goods, row.Charges, row.Gap, cents(want))
			}
		}
		want := []int{1, 1, 3, 7}[len(sizes)]
		if sold := func(i int) bool { return slices.ContainsFunc(offers, func(o barOffer) bool { return o.shop == i }) }; sold(0) && sold(1) {
			want += 2
		}
		if len(r.Table.Rows) != want {
			t.Fatalf("%d rows, want %d", len(r.Table.Rows), want)
		}
		marks(t, r.Table.Rows)
	})
}

// cheapest tries every partition of the pieces and every offer for each part. Of
// a set of pieces it knows what may be spent on goods at either supplier; a pair
// of sums as large as another in both can never come to less.
func cheapest(lengths []int64, offers []barOffer, shops []shopTerms) int64 {
	spent := make([][][2]int64, 1<<len(lengths))
	spent[0] = [][2]int64{{}}
	for set := 1; set < len(spent); set++ {
		for part := set; part > 0; part = (part - 1) & set {
			if part&set&-set == 0 {
				continue // the first piece of the set lies in the part
			}
			sum := int64(0)
			for i, l := range lengths {
				if part>>i&1 == 1 {
					sum += l
				}
			}
			for _, o := range offers {
				if sum > o.size {
					continue
				}
				for _, goods := range spent[set^part] {
					goods[o.shop] += o.price
					spent[set] = withPair(spent[set], goods)
				}
			}
		}
	}
	best := int64(1) << 40
	for _, goods := range spent[len(spent)-1] {
		best = min(best, shops[0].bill(goods[0])+shops[1].bill(goods[1]))
	}
	return best
}

// withPair adds a pair to a list of which none is as large as another in both.
func withPair(list [][2]int64, p [2]int64) [][2]int64 {
	if slices.ContainsFunc(list, func(q [2]int64) bool { return q[0] <= p[0] && q[1] <= p[1] }) {
		return list
	}
	return append(slices.DeleteFunc(list, func(q [2]int64) bool { return p[0] <= q[0] && p[1] <= q[1] }), p)
}

// marks holds the marked rows against the definition: every row is matched by a
// marked one, and no marked row by another that is marked.
func marks(t *rapid.T, rows []option.Row) {
	matches := func(a, b option.Row) bool {
		worse := func(x, y []int64) bool {
			for i := range x {
				if x[i] > y[i] {
					return true
				}
			}
			return false
		}
		figures := func(r option.Row) []int64 {
			return []int64{int64(r.Total), int64(r.Mass.Pieces), int64(r.Mass.Scrap), r.Stocks, int64(r.Longest)}
		}
		return !worse(figures(a), figures(b))
	}
	for i, r := range rows {
		held := slices.ContainsFunc(rows, func(m option.Row) bool { return m.Undominated && matches(m, r) })
		if !held {
			t.Fatalf("nothing marked is as good as %s", r.Name)
		}
		for k, m := range rows {
			if k != i && r.Undominated && m.Undominated && matches(m, r) {
				t.Fatalf("%s and %s are both marked and the one is as good as the other", m.Name, r.Name)
			}
		}
	}
}
