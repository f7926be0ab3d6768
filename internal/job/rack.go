package job

import (
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"math/big"
	"slices"

	"sawbill/internal/length"
)

// What a job says of the rack, and the job with what lies on it among its offers.

// RackUse says whether offcuts and spares that lie on a rack are used, and what
// they count for.
type RackUse struct {
	// File is the rack's, as seen from the folder of the job file; MyRack is the
	// user's own. Where it is empty the plan depends on no rack.
	File string
	// Share is what a piece of the rack counts for: hundredths of a percent of the
	// price, by length or area, of the cheapest offer of the material.
	Share int64
}

// Words in place of a rack's file.
const (
	MyRack = "mine" // the one in the user's data folder
	NoRack = "none"
)

// DefaultShare is where the job does not say what a piece of the rack counts for:
// half, so that a long offcut is not cut up to save a little of a new bar. Common
// practice, no source.
const DefaultShare = 50_00

// RackValue is what one material of a rack counts for, where it is not the share
// that the others have. The zero value says nothing.
type RackValue struct {
	Stated bool
	// Share is as in RackUse, unless PerUnit is said: thousandths of a cent for a
	// metre of bar or a square metre of sheet.
	Share   int64
	InMoney bool
	PerUnit int64
}

// RackPiece is one bar or sheet that lies on a rack.
type RackPiece struct {
	ID       int64         `json:"id"` // its number there
	Place    string        `json:"place,omitempty"`
	Material int           `json:"material"` // index into Job.Materials
	Length   length.Length `json:"length"`
	Width    length.Length `json:"width,omitempty"`
}

// rackName is the supplier that stands for the rack.
const rackName = "the rack"

func (r *reader) readRack() {
	r.job.Rack.Share = DefaultShare
	all := r.blocks("rack")
	if len(all) == 0 {
		return
	}
	b := all[0]
	r.job.Rack.File = b.text("file")
	if b.has("file") && r.job.Rack.File == "" {
		b.wrong(b.at["file"], `the name of the rack's file, or "mine" for the one in your data folder`)
	}
	if r.job.Rack.File == NoRack {
		r.job.Rack.File = ""
	}
	if b.has("value") {
		r.job.Rack.Share = b.percent("value")
	}
}

// rackValue reads what a material of the rack counts for.
func (b block) rackValue(sheet bool) RackValue {
	e := b.at["rack-value"]
	if e == nil {
		return RackValue{}
	}
	if p, ok := b.perUnit(e, sheet); ok {
		return RackValue{Stated: true, InMoney: true, PerUnit: p}
	}
	return RackValue{Stated: true, Share: b.percent("rack-value")}
}

// perUnit reads a price per metre of bar or square metre of sheet in thousandths
// of a cent; not ok where the value speaks of no such price.
func (b block) perUnit(e *entry, sheet bool) (int64, bool) {
	p, err := b.r.parsePrice(e.value.text, b.r.job.DecimalComma)
	if err != nil || !p.stated {
		return 0, false
	}
	want, such := byLength, "1.20 per m"
	if sheet {
		want, such = byArea, "6 per m2"
	}
	n := new(big.Int)
	if p.amount.Sign() >= 0 && p.per.basis == want {
		n = roundHalfUp(p.amount.Mul(p.amount.Quo(p.amount, p.per.one), big.NewRat(100_000, 1)))
	}
	if p.amount.Sign() < 0 || p.per.basis != want || n.Cmp(big.NewInt(mostThousandths)) > 0 {
		b.wrong(e, "a percentage such as 50 %, or a price such as "+such)
		return 0, true
	}
	return n.Int64(), true
}

// OnRack is the job with pieces of a rack among its offers, behind all others,
// each one of its kind and at what the job counts it for. The job itself stays as
// it is; without pieces it is returned.
func (j *Job) OnRack(pieces []RackPiece) *Job {
	if len(pieces) == 0 {
		return j
	}
	out := *j
	name := rackName
	for slices.ContainsFunc(j.Suppliers, func(s Supplier) bool { return s.Name == name }) {
		name += " here"
	}
	out.Suppliers = append(slices.Clip(j.Suppliers), Supplier{Name: name, OnHand: true, Delivers: true, CutKerf: -1})
	out.Offers = slices.Clone(j.Offers)
	for _, p := range pieces {
		price := j.rackPrice(p)
		text := centsText(price)
		out.Offers = append(out.Offers, Offer{
			Supplier: len(j.Suppliers), Material: p.Material, Length: p.Length, Width: p.Width, Stock: 1,
			Price: price, Pack: 1, Tiers: []Tier{{From: 1, Price: price, Text: text}}, PriceText: text, Rack: p.ID, Place: p.Place,
		})
	}
	text, _ := json.Marshal(struct {
		Share  int64
		Pieces []RackPiece
	}{j.Rack.Share, pieces})
	sum := sha256.Sum256(append([]byte(j.Digest+"\n"), text...))
	out.Digest = hex.EncodeToString(sum[:])
	return &out
}

// rackPrice is what a piece counts for, in cents, rounded half up: 0 where it is a
// share and nobody sells the material.
func (j *Job) rackPrice(p RackPiece) int64 {
	unit := func(l, w length.Length) *big.Rat {
		r := big.NewRat(int64(l), int64(length.Metre))
		if w > 0 {
			r.Mul(r, big.NewRat(int64(w), int64(length.Metre)))
		}
		return r
	}
	size := unit(p.Length, p.Width)
	v := j.Materials[p.Material].RackValue
	if v.InMoney {
		return mostly(size.Mul(size, big.NewRat(v.PerUnit, 1000)))
	}
	share := j.Rack.Share
	if v.Stated {
		share = v.Share
	}
	var least *big.Rat
	for _, o := range j.Offers {
		s := j.Suppliers[o.Supplier]
		if o.Material != p.Material || s.OnHand || s.ByMark {
			continue
		}
		if each := new(big.Rat).Quo(big.NewRat(o.Price, 1), unit(o.Length, o.Width)); least == nil || each.Cmp(least) < 0 {
			least = each
		}
	}
	if least == nil {
		return 0
	}
	return mostly(size.Mul(size.Mul(size, least), big.NewRat(share, 10_000)))
}

// mostly rounds cents half up, and cuts what is beyond any price.
func mostly(cents *big.Rat) int64 {
	n := roundHalfUp(cents)
	if n.CmpAbs(big.NewInt(mostCents)) > 0 {
		return mostCents
	}
	return n.Int64()
}
