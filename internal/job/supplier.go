package job

import "strings"

// Who sells, and what it charges: [supplier.NAME] and the names in the tables.

func (r *reader) readSuppliers() {
	for _, b := range r.blocks("supplier") {
		if first, twice := r.suppliers[fold(b.name)]; twice {
			r.fault(b.pos, "the suppliers %s and %s cannot be told apart; rename one", quote(r.job.Suppliers[first].Name), quote(b.name))
			continue
		}
		r.suppliers[fold(b.name)] = len(r.job.Suppliers)
		r.job.Suppliers = append(r.job.Suppliers, r.readSupplier(b))
	}
}

func (r *reader) readSupplier(b block) Supplier {
	s := PlainSupplier(b.name)
	s.Pos = b.pos
	s.OnHand = b.yesNo("on-hand")
	s.ByMark = b.choice("lays-out") == "supplier"
	s.Delivers = b.has("delivery") || s.OnHand
	s.Fetched = !s.Delivers || b.has("fetch")
	s.Delivery, s.Fetch, s.Minimum = b.money("delivery"), b.money("fetch"), b.money("minimum")
	s.Cut, s.Mitre, s.FreeCuts = b.money("cut"), b.money("mitre"), b.count("free-cuts")
	if b.has("cut-kerf") {
		s.CutKerf = b.extent("cut-kerf")
	}
	s.CutMetre, s.Pierce = b.thousandths("metre-cut", true), b.thousandths("pierce", false)
	s.PerSheet, s.SetUp = b.money("per-sheet"), b.money("set-up")
	s.Tax = b.taxRate("tax")
	s.DXFR12 = b.choice("dxf-version") == "R12"
	s.DXFInsideOutside = b.choice("dxf-layers") == "inside and outside"
	s.DXFEngraved = b.choice("dxf-mark") == "engraved"
	s.DXFSheets = b.choice("dxf-files") == "sheets"
	if s.OnHand {
		for _, k := range b.head.keys {
			if b.has(k.name) && k.name != "on-hand" && (k.name != "lays-out" || s.ByMark) {
				r.fault(b.at[k.name].pos, "%s has no meaning for our own stock; take the line out, or on-hand", k.name)
			}
		}
	}
	if b.has("free-cuts") && b.lacks("cut") {
		r.fault(b.at["free-cuts"].pos, "free-cuts has no meaning without cut; add what a cut costs beyond them, or take the line out")
	}
	return s
}

// PlainSupplier is a supplier of which a job says no more than the name: what it
// sells is fetched, and nothing is charged beside the price.
func PlainSupplier(name string) Supplier {
	return Supplier{Name: name, Fetched: true, CutKerf: -1}
}

// supplier finds a supplier by name, adding one that has no header.
func (r *reader) supplier(name string, at Pos) int {
	f := fold(name)
	if f == "" {
		f = strings.ToLower(name)
	}
	i, ok := r.suppliers[f]
	if !ok {
		i = len(r.job.Suppliers)
		r.suppliers[f] = i
		s := PlainSupplier(name)
		s.Pos = at
		r.job.Suppliers = append(r.job.Suppliers, s)
	}
	return i
}
