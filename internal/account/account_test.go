package account

import (
	"context"
	"fmt"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"sawbill/internal/job"
	"sawbill/internal/plan"
	"sawbill/internal/plan/planner"
)

// boxes against all ways to buy.
func TestBoxesAgainstAllWays(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var kinds []job.Pack
		for range rapid.IntRange(1, 3).Draw(t, "kinds") {
			kinds = append(kinds, job.Pack{Count: rapid.Int64Range(1, 9).Draw(t, "count"), Price: rapid.Int64Range(0, 20).Draw(t, "price")})
		}
		n := rapid.Int64Range(1, 30).Draw(t, "n")
		got := boxes(kinds, n)
		have, cost := int64(0), int64(0)
		for i, p := range got {
			have, cost = have+p*kinds[i].Count, cost+p*kinds[i].Price
		}
		var least func(i int, rest int64) int64
		least = func(i int, rest int64) int64 {
			if rest <= 0 {
				return 0
			}
			if i == len(kinds)-1 {
				return (rest + kinds[i].Count - 1) / kinds[i].Count * kinds[i].Price
			}
			best := int64(-1)
			for p := int64(0); ; p++ {
				if c := p*kinds[i].Price + least(i+1, rest-p*kinds[i].Count); best < 0 || c < best {
					best = c
				}
				if p*kinds[i].Count >= rest {
					return best
				}
			}
		}
		if want := least(0, n); have < n || cost != want {
			t.Fatalf("%v of %v hold %d of %d for %d, least %d", got, kinds, have, n, cost, want)
		}
	})
}

// fitted is a job with everything in it, from drawn figures.
func fitted(t testing.TB, draw func(name string, from, to int64) int64) *job.Job {
	var b strings.Builder
	b.WriteString(metric)
	row := func(format string, args ...any) { fmt.Fprintf(&b, format+"\n", args...) }
	group := func() string { return []string{"", "wall", "roof"}[draw("group", 0, 2)] }
	row("brackets = '''\nkind, material, length, width, price, mass, spare\nK1, angle, %d,,,,\nK2, skin, %d, 80,,,\nK3,,,, %d.%02d, %d g, %d\n'''",
		draw("length", 20, 300), draw("length", 20, 300), draw("price", 0, 9), draw("cents", 0, 99), draw("mass", 0, 500), draw("spare", 0, 100))
	row("rivets = '''\ndiameter, length, grip from, grip to, pack, price, mass, spare\n4, 8, 1, 5, %d, 0.07 each, 1.2 g, 5\n4, 8, 1, 5, 100, 5.20 per box, 1.2 g, 10\n'''", draw("pack", 1, 500))
	row("joints = '''\nmark, bracket, brackets, rivets, grip, quantity, group")
	for i, kind := range []string{"K1", "K2", "K3", "", "K1"} {
		n, r := draw("brackets", 1, 4), draw("rivets", 0, 9)
		if kind == "" {
			row("J%d,,, %d, 4, %d, %s", i, r+1, draw("quantity", 1, 30), group())
			continue
		}
		row("J%d, %s, %d, %d, 2.5, %d, %s", i, kind, n, r, draw("quantity", 1, 30), group())
	}
	row("'''\nitems = '''\nname, supplier, price, pack, mass, quantity, group\nhinge, Avocet Sheet, %d.5, 1, %d g, %d, %s\nbolt,, 4.10 per box, 25, 22 g, %d, %s\n'''",
		draw("price", 0, 99), draw("mass", 0, 999), draw("quantity", 1, 99), group(), draw("quantity", 1, 99), group())
	row("consumables = '''\nname, by, of, bead, waste, content, price, mass\nsealant, length, %d m, 5 round, %d, 310 ml, 6.40, 450 g\n'''", draw("seam", 1, 200), draw("waste", 0, 100))
	text := b.String()
	text = strings.Replace(text, "[tables]", fmt.Sprintf("[supplier.\"Avocet Sheet\"]\ntax = %d\n[tables]", draw("tax", 0, 30)), 1)
	return read(t, strings.Replace(text, "process = \"saw\"\n", fmt.Sprintf("process = \"saw\"\ngrowth = %d\n", draw("growth", 0, 20)), 1))
}

// Groups, materials and lines add up to the same whole, and packs hold what is needed.
func TestAddsUp(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		j := fitted(t, func(name string, from, to int64) int64 { return rapid.Int64Range(from, to).Draw(r, name) })
		a := Of(j)
		var sum Group
		for _, g := range a.Groups {
			sum.Cut, sum.Growth, sum.Fitted = sum.Cut+g.Cut, sum.Growth+g.Growth, sum.Fitted+g.Fitted
		}
		marks := plan.Mass(0)
		for _, m := range a.Marks {
			marks += m.Mass
			if m.Mass != plan.Mass(m.Count)*m.Each {
				r.Fatalf("%+v is no product", m)
			}
		}
		if sum.Cut != a.Cut() || marks != a.Cut() || sum.Growth != a.Growth() {
			r.Fatalf("groups %+v, cut %v, marks %v, growth %v", sum, a.Cut(), marks, a.Growth())
		}
		if want := MassOf(a.Brackets) + MassOf(a.Rivets) + MassOf(a.Items); sum.Fitted != want {
			r.Fatalf("fitted %v, lines %v", sum.Fitted, want)
		}
		if sum.Mass()+MassOf(a.Consumables) != a.Mass() {
			r.Fatalf("whole %v", a.Mass())
		}
		spend := plan.Money(0)
		for _, l := range a.Lines() {
			spend += l.Amount
			if l.Amount != plan.Money(l.Packs)*l.Each || l.Packs*l.Content < l.Need || l.Packs < 1 {
				r.Fatalf("%+v", l)
			}
		}
		for _, x := range a.Taxes {
			spend += x.Amount
			if d := 100_000*int64(x.Amount) - x.Rate*int64(x.Net); d <= -50_000 || d > 50_000 {
				r.Fatalf("tax %+v", x)
			}
		}
		if spend != a.Spend() {
			r.Fatalf("spend %v, lines %v", a.Spend(), spend)
		}
		cut := int64(0)
		for _, p := range j.Pieces {
			cut += p.Quantity
		}
		want := int64(0)
		for _, joint := range j.Joints {
			if joint.Bracket == 0 {
				want += joint.Quantity * joint.Brackets
			}
		}
		if cut != want {
			r.Fatalf("%d brackets cut, joints have %d", cut, want)
		}
	})
}

// A plan weighs the same marks.
func TestWeighsAsThePlanDoes(t *testing.T) {
	j := fitted(t, func(name string, from, to int64) int64 { return (from + to) / 2 })
	p, err := planner.Make(context.Background(), j, planner.Options{Effort: planner.Quick, Seed: 1})
	if err != nil {
		t.Fatal(err)
	}
	a := Of(j)
	if p.Mass.Pieces != a.Cut() || p.Mass.Allowed != a.Cut()+a.Growth() {
		t.Errorf("plan %v and %v, account %v and %v", p.Mass.Pieces, p.Mass.Allowed, a.Cut(), a.Growth())
	}
}
