package check

import (
	"fmt"
	"math/big"

	"sawbill/internal/job"
	"sawbill/internal/length"
)

// Sheets are valued by dual feasible functions. With every length grown by a
// kerf, panels on a sheet lie side by side without any kerf between them, and
// for functions f and g of the table below whatever is cut from a sheet X × Y
// satisfies Σ f(x)·g(y) ≤ f(X)·g(Y); so does a sum S of such products (Fekete
// and Schepers 2004; Carlier, Clautiaux and Moukrim 2007). A panel that takes
// the share S(x,y)/S(X,Y) of a sheet worth U is worth U times that, the least
// over all sheets and poses in which it fits, rounded down.

// family names a family of dual feasible functions.
type family string

const (
	identity  family = "identity"
	threshold family = "threshold" // U⁽ᵋ⁾: short lengths vanish, long ones take all
	rounding  family = "rounding"  // u⁽ᵏ⁾: whole parts of 1/(p+1)
	steps     family = "steps"     // f₂: how often p fits
)

// feasible is one such function with its parameter.
type feasible struct {
	family    family
	parameter int64
}

// mostParts is the most that rounding may divide a sheet into, so that products
// of parts and lengths stay far inside 64 bits.
const mostParts = 1000

// mostProducts is the most that a sheet's value may be a sum of.
const mostProducts = 100

// fits reports whether the function is dual feasible on lengths up to whole.
func (f feasible) fits(whole int64) bool {
	switch f.family {
	case identity:
		return true
	case threshold, steps:
		return f.parameter >= 1 && f.parameter <= whole/2
	case rounding:
		return f.parameter >= 1 && f.parameter <= mostParts
	}
	return false
}

// at is the value of x on [0, whole].
func (f feasible) at(x, whole int64) int64 {
	p := f.parameter
	switch f.family {
	case threshold:
		switch {
		case x > whole-p:
			return whole
		case x < p:
			return 0
		}
		return x
	case rounding:
		parts := x * (p + 1)
		if parts%whole == 0 {
			return x * p
		}
		return parts / whole * whole
	case steps:
		short := min(x, whole-x)
		switch n := 2 * (short / p); {
		case x < whole-x:
			return n
		case x > whole-x:
			return 2*(whole/p) - n
		}
		return whole / p
	}
	return x
}

// product is f for lengths along x and g for lengths along y.
type product struct{ x, y feasible }

// sheetValue is what a sheet of one offer is worth, and how its parts share
// in that. No products: the offer cannot be used.
type sheetValue struct {
	worth    int64
	products []product
}

// room is a sheet or a panel with every length grown by a kerf.
type room struct{ x, y int64 }

func (m *material) room(l, w length.Length) room {
	return room{int64(l + m.process.Kerf), int64(w + m.process.Kerf)}
}

// poses lists the ways in which a panel may lie on a sheet, as far as it fits.
func (m *material) poses(l, w length.Length, turn bool, sheet room) []room {
	var list []room
	lies := m.room(l, w)
	for _, r := range []room{lies, {lies.y, lies.x}} {
		if r.x <= sheet.x && r.y <= sheet.y {
			list = append(list, r)
		}
		if !turn || m.job.Grain {
			break
		}
	}
	return list
}

func (v sheetValue) sum(r, sheet room) *big.Int {
	total, one := new(big.Int), new(big.Int)
	for _, p := range v.products {
		one.Mul(big.NewInt(p.x.at(r.x, sheet.x)), big.NewInt(p.y.at(r.y, sheet.y)))
		total.Add(total, one)
	}
	return total
}

// valued values the panels by the sheets, one value for each of the material's
// offers and openings. It gives a reason when that proves nothing.
func (a *audit) valued(m *material, sheets []sheetValue) (w worth, reason string) {
	rooms := make([]room, len(sheets))
	wholes := make([]*big.Int, len(sheets))
	for k, o := range m.offers {
		r := m.trimmed(&a.job.Offers[o])
		rooms[k] = m.room(r.length, r.width)
		v := sheets[k]
		w.most = append(w.most, 0)
		if !a.sold(&a.job.Offers[o]) || r.length <= 0 || r.width <= 0 {
			rooms[k] = room{}
			continue
		}
		if reason := v.wrong(rooms[k]); reason != "" {
			return w, fmt.Sprintf("of a sheet of offer %d %s", o, reason)
		}
		wholes[k] = v.sum(rooms[k], rooms[k])
		w.most[k] = v.worth
	}
	var wanted wide
	for i, o := range m.openings {
		k := len(m.offers) + i
		v := sheets[k]
		rooms[k] = o.room
		if reason := v.wrong(o.room); reason != "" {
			return w, fmt.Sprintf("of opening %d of %s %s", o.number, a.job.Panels[o.panel].Mark, reason)
		}
		wholes[k] = v.sum(o.room, o.room)
		wanted = wanted.minus(whole(v.worth).times(whole(a.job.Panels[o.panel].Quantity)))
	}
	for _, p := range a.job.Panels {
		if p.Material != m.index {
			continue
		}
		least := a.leastValue(m, &p, sheets, rooms, wholes, true)
		if least == nil { // no sheet that could be carried holds it, so any value is true
			least = a.leastValue(m, &p, sheets, rooms, wholes, false)
		}
		if least != nil {
			wanted = wanted.plus(wide{least}.times(whole(p.Quantity)))
		}
	}
	if wanted.sign() < 0 {
		wanted = whole(0)
	}
	var fits bool
	if w.wanted, fits = wanted.int64(); !fits {
		return w, "its values are too large"
	}
	return w, ""
}

// wrong says why the value proves nothing of a sheet or an opening of a size.
func (v sheetValue) wrong(r room) string {
	if v.worth < 0 || len(v.products) == 0 || len(v.products) > mostProducts {
		return "it does not say what can be held"
	}
	for _, p := range v.products {
		if !p.x.fits(r.x) || !p.y.fits(r.y) {
			return "one of its functions is unknown or has no such parameter"
		}
	}
	return ""
}

// leastValue is the least that a panel is worth on any sheet, in any pose; nil
// where it fits none. If carried, sheets do not count of which it could not be
// carried away.
func (a *audit) leastValue(m *material, p *job.Panel, sheets []sheetValue, rooms []room, wholes []*big.Int, carried bool) *big.Int {
	var least *big.Int
	for k, v := range sheets {
		turn := p.Turn
		if i := k - len(m.offers); i >= 0 {
			turn = turn || m.openings[i].turn
		} else if carried && a.mustCarry(&a.job.Offers[m.offers[k]]) > 0 && !a.load(p.Length, p.Width) {
			continue
		}
		for _, r := range m.poses(p.Length, p.Width, turn, rooms[k]) {
			s := v.sum(r, rooms[k])
			s.Mul(s, big.NewInt(v.worth))
			s.Quo(s, wholes[k])
			if least == nil || s.Cmp(least) < 0 {
				least = s
			}
		}
	}
	return least
}
