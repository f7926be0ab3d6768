package truth

import (
	"fmt"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
)

// modelFile states the purchase in the language of glpsol.
const modelFile = "../../../testdata/buying/purchase.mod"

// maximal are the contents of at most the given cuts to which nothing can be added.
func maximal(forms []form, f form) [][]int64 {
	var all [][]int64
	for _, g := range forms {
		if g.offer == f.offer && g.order == f.order && g.cuts <= f.cuts {
			all = append(all, g.contents...)
		}
	}
	var list [][]int64
	for _, c := range all {
		if !slices.ContainsFunc(all, func(d []int64) bool { return within(c, d) && !slices.Equal(c, d) }) {
			list = append(list, c)
		}
	}
	return list
}

// data writes the world as the data of the model.
func (w *world) data() string {
	var b strings.Builder
	out := func(format string, args ...any) { fmt.Fprintf(&b, format, args...) }
	out("data;\nset SUPPLIERS :=")
	for s := range w.suppliers {
		out(" S%d", s)
	}
	out(";\nparam: minimum cut free :=\n")
	for s, v := range w.suppliers {
		out("S%d %d %d %d\n", s, v.minimum, v.cut, v.free)
	}
	out(";\nparam: ORDERS: placed_with fee :=\n")
	for r, o := range w.orders {
		out("O%d S%d %d\n", r, o.supplier, o.fee)
	}
	out(";\n")
	var items, charges, money, sheets, once, offers, tiers, patterns, holds, spares, marks strings.Builder
	line := func(b *strings.Builder, format string, args ...any) { fmt.Fprintf(b, format+"\n", args...) }
	out("param: MATERIALS: spare percent :=\n")
	number := 0
	described := map[int]bool{}
	for i, m := range w.materials {
		out("M%d %d %d\n", i, m.spare, m.percent)
		for k, n := range m.demand {
			line(&items, "M%d_I%d M%d %d", i, k, i, n)
			for s := range w.suppliers {
				line(&charges, "M%d_I%d S%d %d", i, k, s, m.squares[s][k])
				line(&money, "M%d_I%d S%d %d", i, k, s, m.each[s][k])
			}
		}
		for s := range w.suppliers {
			line(&sheets, "M%d S%d %d", i, s, m.sheet[s])
			line(&once, "M%d S%d %d", i, s, m.once[s])
		}
		for _, f := range m.forms {
			if !described[f.offer] {
				described[f.offer] = true
				w.offer(&offers, &tiers, i, f.offer)
			}
			for _, c := range maximal(m.forms, f) {
				line(&patterns, "P%d F%d O%d %d", number, f.offer, f.order, f.cuts)
				for k, n := range c {
					if n > 0 {
						line(&holds, "P%d M%d_I%d %d", number, i, k, n)
					}
				}
				number++
			}
		}
		for _, c := range m.columns() {
			if m.spares[c] {
				line(&spares, "F%d O%d", c[0], c[1])
			}
		}
		for n, k := range m.marks {
			line(&marks, "K%d_%d M%d O%d %d", i, n, i, k.order, k.price)
		}
	}
	out(";\n")
	for _, part := range []struct {
		head string
		body *strings.Builder
	}{
		{"param: ITEMS: of demand", &items}, {"param squares", &charges}, {"param each", &money},
		{"param sheet", &sheets}, {"param once", &once},
		{"param: OFFERS: made_of sold_by pack most", &offers}, {"param: TIERS: from to price", &tiers},
		{"param: PATTERNS: offer order yard", &patterns}, {"param holds", &holds}, {"set SPARES", &spares},
		{"param: MARKS: marks_of marks_by marks_price", &marks},
	} {
		out("%s :=\n%s;\n", part.head, part.body)
	}
	out("end;\n")
	return b.String()
}

// offer describes one offer and its prices by quantity.
func (w *world) offer(offers, tiers *strings.Builder, material, at int) {
	o, m := w.offers[at], w.materials[material]
	pieces := total(m.demand)
	most := pieces + m.spare + (pieces*m.percent+9999)/10_000
	most = max(most, o.tiers[len(o.tiers)-1].From) + o.pack
	if o.stock >= 0 {
		most = min(most, o.stock)
	}
	fmt.Fprintf(offers, "F%d M%d S%d %d %d\n", at, material, o.supplier, o.pack, most)
	for t, tier := range o.tiers {
		to := most
		if t+1 < len(o.tiers) {
			to = min(most, o.tiers[t+1].From-1)
		}
		if tier.From <= to {
			fmt.Fprintf(tiers, "F%d %d %d %d %d\n", at, t, tier.From, to, tier.Price)
		}
	}
}

// needSolver skips a test where glpsol is not there, which is told.
func needSolver(t *testing.T) {
	if _, err := exec.LookPath("glpsol"); err != nil {
		t.Skip("SKIPPED: the model is not solved, for glpsol is not installed; on Debian: apt-get install glpk-utils")
	}
}

// solve is the least total by glpsol, never when there is none.
func (w *world) solve(dir string) (int64, error) {
	data := filepath.Join(dir, "purchase.dat")
	if err := os.WriteFile(data, []byte(w.data()), 0o600); err != nil {
		return 0, err
	}
	text, err := exec.Command("glpsol", "--math", modelFile, "--data", data, "--tmlim", "60").CombinedOutput()
	if err != nil {
		return 0, fmt.Errorf("glpsol: %w\n%s", err, text)
	}
	out := string(text)
	switch {
	case strings.Contains(out, "HAS NO PRIMAL FEASIBLE SOLUTION"), strings.Contains(out, "HAS NO INTEGER FEASIBLE SOLUTION"), strings.Contains(out, "PROBLEM HAS NO FEASIBLE SOLUTION"):
		return never, nil
	case !strings.Contains(out, "INTEGER OPTIMAL SOLUTION FOUND"):
		return 0, fmt.Errorf("glpsol found no optimum\n%s", out)
	}
	_, after, _ := strings.Cut(out, "\ntotal ")
	value, err := strconv.ParseFloat(strings.Fields(after)[0], 64)
	if err != nil {
		return 0, fmt.Errorf("glpsol: %w\n%s", err, out)
	}
	whole := math.Round(value)
	if math.Abs(value-whole) > 0.01 {
		return 0, fmt.Errorf("glpsol gives %f cents, which are not whole", value)
	}
	return int64(whole), nil
}
