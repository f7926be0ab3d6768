package job

import (
	"fmt"
	"math/big"
	"regexp"
	"strings"

	"sawbill/internal/length"
)

// What is bought by the piece, the box, the tin or the roll, and not laid out.

// Pack is how such a thing is sold.
type Pack struct {
	Supplier int   // index into Job.Suppliers, or -1 when not said
	Count    int64 // how many make one pack, at least 1
	Price    int64 // cents for one pack, before the supplier's tax
	// PriceText is the price as the table says it, "0.12 each".
	PriceText string
	// Mass of one in milligrams, 0 when not said; of a consumable that of one pack.
	Mass int64
	// Spare is how much more is bought than needed, in percent times 100.
	Spare int64
}

// Packs is the least number of packs that hold n and the spare.
func (p Pack) Packs(n int64) int64 {
	if n <= 0 {
		return 0
	}
	// n is at most a few million and a spare at most 100 %.
	need := (n*(10_000+p.Spare) + 9_999) / 10_000
	return (need + p.Count - 1) / p.Count
}

// Limits far above any real job, so that no sum of a bill leaves 64 bits.
const (
	mostPackPrice   = 10_000_000_00             // cents
	mostMass        = 10_000 * kilogram         // of one thing
	mostPacks       = 100_000                   // of one consumable
	mostNeed        = 1_000_000_000_000_000_000 // of one consumable, a square kilometre
	mostConsumables = 1_000
)

var (
	perPack  = regexp.MustCompile(`(?i)\s*(?:/|\b(?:per|a|pro|je|par|por)\b)\s*(packs?|packets?|box|boxes|bags?|tins?|cans?|rolls?|tubes?|cartridges?|sausages?|bottles?|sets?|cartons?|packung|dose|rolle|kartusche|boite|boîte|paquet|rouleau|caja|paquete|rollo|bote)\.?\s*$`)
	perPiece = regexp.MustCompile(`(?i)\s*(?:(?:/|\b(?:per|pro|je|par|por)\b)\s*(?:one|piece|pc|st(?:ü|ue)ck|stk|pièce|pieza|ud)|\b(?:each|ea|stk|stück)\b)\.?\s*$`)
	packHead = regexp.MustCompile(`\b(pack|box|packung|boite|paquet|caja)\b`)
)

// packPrice reads the price of a pack: "12.40 per box", or "0.12 each" times
// the pack. A bare figure is for one, under a head such as price per box for a
// pack, and whole for consumables, which come in packs.
func (c record) packPrice(to *Pack, whole bool) bool {
	r, v := c.t.r, c.cell("price")
	if v.text == "" {
		r.fault(v.at, "the row has no price; write one such as 0.12 each or 12.40 per box, or 0 for what is there already")
		return false
	}
	text := strings.TrimSpace(v.text)
	if i, ok := c.t.columns["price"]; ok && packHead.MatchString(fold(c.t.grid.rows[c.t.header].cells[i].text)) {
		whole = true
	}
	if cut := perPack.ReplaceAllString(text, ""); cut != text {
		text, whole = cut, true
	} else if cut := perPiece.ReplaceAllString(text, ""); cut != text {
		text, whole = cut, false
	}
	p, err := r.parsePrice(text, c.comma("price"))
	amount := p.amount
	const such = "write one such as 0.12 each or 12.40 per box"
	switch {
	case !priceText.MatchString(length.Clean(text)):
		err = fmt.Errorf("%s is not a price; %s", quote(v.text), such)
	case err == nil && p.stated:
		err = fmt.Errorf("%s is by measure, and this is sold by the piece or the pack; %s", quote(v.text), such)
	case err == nil && amount.Sign() < 0:
		err = fmt.Errorf("%s is negative; write 0 or more", quote(v.text))
	}
	if err != nil {
		r.fault(v.at, "price: %v", err)
		return false
	}
	if !whole {
		amount = new(big.Rat).Mul(amount, big.NewRat(to.Count, 1))
	}
	cents, exact, err := toCents(amount)
	if err == nil && cents > mostPackPrice {
		err = fmt.Errorf("a pack of more than %d is beyond any job; check the figure", int64(mostPackPrice/100))
	}
	if err != nil {
		r.fault(v.at, "price %s: %v", quote(v.text), err)
		return false
	}
	if !exact {
		r.remark(v.at, "the price of one pack, from %s, was rounded to the cent, %s", quote(v.text), centsText(cents))
	}
	to.Price, to.PriceText = cents, v.text
	if to.Supplier >= 0 && r.job.Suppliers[to.Supplier].OnHand && cents > 0 {
		r.fault(v.at, "%s is our own stock, which is not paid for; write the price 0", quote(r.job.Suppliers[to.Supplier].Name))
		return false
	}
	return true
}

// pack reads what all such things have: supplier, pack, price, mass and spare.
func (c record) pack(to *Pack, whole bool) bool {
	*to = Pack{Supplier: -1, Count: 1}
	fine := true
	if v := c.cell("supplier"); v.text != "" {
		fine = c.supplier(&to.Supplier)
	}
	if !whole { // the pack of a consumable is its content
		fine = c.countOf("pack", &to.Count) && fine
	}
	fine = c.mass(&to.Mass) && fine
	fine = c.share("spare", &to.Spare) && fine
	return fine && c.packPrice(to, whole)
}

// countOf reads a whole number from 1 up; what it points to stays without one.
func (c record) countOf(name string, to *int64) bool {
	v := c.cell(name)
	if v.text == "" {
		return true
	}
	n, err := quantity(v.text, c.comma(name))
	if err != nil {
		c.t.r.fault(v.at, "%s: %v", name, err)
		return false
	}
	*to = n
	return true
}

// share reads a percentage from 0 to 100 in hundredths of a percent.
func (c record) share(name string, to *int64) bool {
	v := c.cell(name)
	if v.text == "" {
		return true
	}
	p, ok := plainNumber(strings.TrimSpace(strings.TrimSuffix(strings.TrimSpace(v.text), "%")), c.comma(name))
	if !ok || p.Sign() < 0 || p.Cmp(big.NewRat(100, 1)) > 0 {
		c.t.r.fault(v.at, "%s %s is not a percentage; write one from 0 to 100, such as 10", name, quote(v.text))
		return false
	}
	*to = roundHalfUp(p.Mul(p, big.NewRat(100, 1))).Int64()
	return true
}

// readBillTable reads one of the tables of what is bought beside bars and sheets.
func (r *reader) readBillTable(t *table) {
	before := len(r.faults)
	switch t.kind.name {
	case "brackets":
		r.readBrackets(t)
	case "rivets":
		r.readRivets(t)
	case "joints":
		r.readJoints(t)
	case "items":
		r.readItems(t)
	case "consumables":
		r.readConsumables(t)
	}
	if len(r.faults) > before {
		r.unreadTables[t.kind.name] = true
	}
}
