package nest2d

import (
	"math"
	"math/big"
	"math/rand/v2"
	"testing"

	"pgregory.net/rapid"
)

// TestDualFeasible proves every function on every small length by complete
// enumeration: the most that the values of lengths within C can add up to is
// the value of C.
func TestDualFeasible(t *testing.T) {
	for c := int64(1); c <= 40; c++ {
		var list []Function
		for p := int64(0); p <= maxRounding; p++ {
			for _, family := range []Family{Identity, Threshold, Rounding, Steps} {
				if f := (Function{family, p}); f.Valid(c) {
					list = append(list, f)
				}
			}
		}
		for _, f := range list {
			most := make([]int64, c+1)
			for room := int64(1); room <= c; room++ {
				for x := int64(1); x <= room; x++ {
					most[room] = max(most[room], most[room-x]+f.At(x, c))
				}
			}
			if whole := f.At(c, c); most[c] > whole || whole <= 0 || f.At(0, c) != 0 {
				t.Errorf("%v on [0, %d]: %d may add up to %d", f, c, whole, most[c])
			}
		}
	}
}

// TestDualFeasibleLarge draws lengths of real size, where the products come
// closest to the end of an int64.
func TestDualFeasibleLarge(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := rapid.Int64Range(1, MaxLength*2).Draw(t, "c")
		f := Function{Family(rapid.IntRange(0, 3).Draw(t, "family")), rapid.Int64Range(0, c).Draw(t, "p")}
		if f.Family == Rounding {
			f.Parameter = f.Parameter%maxRounding + 1
		}
		if !f.Valid(c) {
			t.Skip("no such parameter")
		}
		sum, left := int64(0), c
		for left > 0 {
			x := rapid.Int64Range(1, left).Draw(t, "x")
			if v := f.At(x, c); v < 0 {
				t.Fatalf("%v(%d) = %d on [0, %d]", f, x, v, c)
			} else {
				sum += v
			}
			left -= x
			if rapid.IntRange(0, 4).Draw(t, "stop") == 0 {
				break
			}
		}
		if sum > f.At(c, c) {
			t.Fatalf("%v on [0, %d]: %d of %d", f, c, sum, f.At(c, c))
		}
	})
}

// reprove follows the words of the Certificate in rational numbers, sharing
// nothing with prove but the functions. It returns the bound by trying all
// purchases.
func reprove(t *testing.T, p Problem, c Certificate) int64 {
	t.Helper()
	need := int64(0)
	for _, a := range p.Panels {
		least := (*big.Int)(nil)
		for k, s := range p.Sheets {
			if len(c.Kinds[k].Terms) == 0 {
				if s.Supply != 0 && s.Length-s.TrimLeft-s.TrimRight > 0 && s.Width-s.TrimBottom-s.TrimTop > 0 && a.Demand > 0 {
					t.Fatalf("kind %d is left out of the certificate", k)
				}
				continue
			}
			wholeX, wholeY := s.Length-s.TrimLeft-s.TrimRight+s.Kerf, s.Width-s.TrimBottom-s.TrimTop+s.Kerf
			for turned := 0; turned < 2; turned++ {
				x, y := a.Length+s.Kerf, a.Width+s.Kerf
				if turned == 1 {
					if !a.Turn {
						continue
					}
					x, y = a.Width+s.Kerf, a.Length+s.Kerf
				}
				if x > wholeX || y > wholeY {
					continue
				}
				part, whole := new(big.Rat), new(big.Rat)
				for _, term := range c.Kinds[k].Terms {
					if !term.X.Valid(wholeX) || !term.Y.Valid(wholeY) {
						t.Fatalf("%v has no such parameter", term)
					}
					part.Add(part, new(big.Rat).Mul(new(big.Rat).SetInt64(term.X.At(x, wholeX)), new(big.Rat).SetInt64(term.Y.At(y, wholeY))))
					whole.Add(whole, new(big.Rat).Mul(new(big.Rat).SetInt64(term.X.At(wholeX, wholeX)), new(big.Rat).SetInt64(term.Y.At(wholeY, wholeY))))
				}
				v := new(big.Rat).Mul(new(big.Rat).SetInt64(c.Kinds[k].Worth), part.Quo(part, whole))
				floor := new(big.Int).Quo(v.Num(), v.Denom())
				if least == nil || floor.Cmp(least) < 0 {
					least = floor
				}
			}
		}
		if least != nil {
			need += a.Demand * least.Int64()
		}
	}
	if need != c.Need {
		t.Fatalf("need %d, certificate says %d", need, c.Need)
	}
	copies := int64(0)
	for _, a := range p.Panels {
		copies += a.Demand
	}
	best := int64(-1)
	var buy func(k int, need, price int64)
	buy = func(k int, need, price int64) {
		if need <= 0 {
			if best < 0 || price < best {
				best = price
			}
			return
		}
		if k == len(p.Sheets) {
			return
		}
		for n := int64(0); n <= copies && (p.Sheets[k].Supply == Unlimited || n <= p.Sheets[k].Supply); n++ {
			buy(k+1, need-n*c.Kinds[k].Worth, price+n*p.Sheets[k].Price)
		}
	}
	buy(0, need, 0)
	return best
}

// TestCertificate proves certificates again.
func TestCertificate(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 4))
	mirrored := 0
	for n := range 400 {
		p := randomProblem(r, 1+r.IntN(12))
		m, err := newModel(p)
		if err != nil {
			t.Fatal(err)
		}
		if m.tooLarge() != nil {
			continue
		}
		c := m.certify(100_000)
		if got := reprove(t, p, c); got != c.Bound {
			t.Fatalf("problem %d: bound %d, certificate says %d\n%+v", n, got, c.Bound, p)
		}
		for _, k := range c.Kinds {
			if len(k.Terms) > 1 {
				mirrored++
			}
		}
	}
	if mirrored == 0 {
		t.Error("no certificate has two terms: they are not tested")
	}
}

// TestPurchase compares with all purchases, with and without a budget.
func TestPurchase(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var offers []offer
		for range rapid.IntRange(0, 4).Draw(t, "offers") {
			offers = append(offers, offer{
				worth:  rapid.Int64Range(0, 30).Draw(t, "worth"),
				price:  rapid.Int64Range(0, 20).Draw(t, "price"),
				cost:   rapid.Int64Range(0, 20).Draw(t, "cost"),
				supply: rapid.Int64Range(0, 5).Draw(t, "supply"),
			})
		}
		need := rapid.Int64Range(0, 150).Draw(t, "need")
		budget := rapid.OneOf(rapid.Just(int64(noBudget)), rapid.Int64Range(0, 100)).Draw(t, "budget")
		want := int64(-1)
		var buy func(i int, worth, price, cost int64)
		buy = func(i int, worth, price, cost int64) {
			if cost > budget {
				return
			}
			if worth >= need && (want < 0 || price < want) {
				want = price
			}
			if i == len(offers) {
				return
			}
			for n := range offers[i].supply + 1 {
				buy(i+1, worth+n*offers[i].worth, price+n*offers[i].price, cost+n*offers[i].cost)
			}
		}
		buy(0, 0, 0, 0)
		p := &purchase{offers: append([]offer(nil), offers...), need: need, budget: budget}
		if got := p.least(); got != want {
			t.Fatalf("%d, by trial %d", got, want)
		}
	})
}

// TestWorthLimit holds the sums of worths inside an int64 for the largest
// problem that is accepted.
func TestWorthLimit(t *testing.T) {
	p := Problem{
		Panels: []Panel{{MaxLength, MaxLength, MaxCopies, false}},
		Sheets: []Sheet{{Length: MaxLength, Width: MaxLength, Supply: Unlimited, Price: maxPrice}},
	}
	m, err := newModel(p)
	if err != nil {
		t.Fatal(err)
	}
	c := m.certify(1_000_000)
	if c.Need <= 0 || c.Need > math.MaxInt64/2 || c.Bound != maxPrice*MaxCopies {
		t.Errorf("need %d, bound %d", c.Need, c.Bound)
	}
}
