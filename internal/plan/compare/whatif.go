package compare

import (
	"math/big"
	"slices"

	"sawbill/internal/job"
	"sawbill/internal/length"
	"sawbill/internal/plan/option"
)

// Sheet sizes that are commonly stocked, length by width: common practice, no
// source.
var (
	metricSheets = [][2]int64{{2000, 1000}, {2440, 1220}, {2500, 1250}, {3000, 1000}, {3000, 1250}, {3000, 1500}} // mm
	inchSheets   = [][2]int64{{96, 36}, {96, 48}, {120, 48}, {120, 60}}                                           // in
)

func standardSheets(u length.Unit) []size {
	list, unit := metricSheets, length.Millimetre
	if u.Imperial() {
		list, unit = inchSheets, length.Inch
	}
	var all []size
	for _, s := range list {
		all = append(all, size{length.Length(s[0]) * unit, length.Length(s[1]) * unit})
	}
	return all
}

// whatIfs are the standard sheet sizes in which a material is not on sale, each
// in place of all that are, on the terms and at the price per area of the offer
// nearest in area (the dearest of several as near).
func whatIfs(j *job.Job, mi int) []choice {
	var all []choice
	offered := sizesOf(j, mi)
	for _, s := range standardSheets(j.Unit) {
		if slices.Contains(offered, s) || slices.Contains(offered, size{s.width, s.length}) {
			continue
		}
		near, found := nearest(j, mi, s)
		if !found {
			return nil
		}
		offer, fits := resized(near, s)
		if !fits {
			continue
		}
		with := offering(j, func(o job.Offer) bool { return o.Material != mi || j.Suppliers[o.Supplier].OnHand }, elsewhere(j, mi))
		with.Offers = append(with.Offers, offer)
		all = append(all, choice{
			name: j.Materials[mi].Key + ": " + spell(j, s), kind: option.WhatIf, job: with,
			notes: []string{"no offer, priced by area as " + spell(j, sizeOf(near))},
		})
	}
	return all
}

func area(s size) *big.Int {
	return new(big.Int).Mul(big.NewInt(int64(s.length)), big.NewInt(int64(s.width)))
}

// resized is an offer in another size, at the same prices per area and from
// the same quantities; false when one of its prices cannot be had.
func resized(o job.Offer, s size) (job.Offer, bool) {
	fits := true
	scale := func(price int64) int64 {
		p, fit := scaled(price, sizeOf(o), s)
		fits = fits && fit
		return p
	}
	is := o
	is.Length, is.Width, is.Stock, is.PriceText = s.length, s.width, -1, ""
	is.Price, is.Tiers = scale(o.Price), slices.Clone(o.Tiers)
	for i := range is.Tiers {
		is.Tiers[i].Price, is.Tiers[i].Text = scale(o.Tiers[i].Price), ""
	}
	return is, fits
}

// nearest is the offer on sale whose area is nearest to a size.
func nearest(j *job.Job, mi int, s size) (job.Offer, bool) {
	var best job.Offer
	var least *big.Int
	for _, o := range j.Offers {
		if o.Material != mi || !onSale(j, o) || o.Price <= 0 {
			continue
		}
		far := new(big.Int).Sub(area(sizeOf(o)), area(s))
		far.Abs(far)
		closer := least == nil || far.Cmp(least) < 0
		if !closer && far.Cmp(least) == 0 {
			// price / area of o above that of best
			dearer := new(big.Int).Mul(big.NewInt(o.Price), area(sizeOf(best)))
			closer = dearer.Cmp(new(big.Int).Mul(big.NewInt(best.Price), area(sizeOf(o)))) > 0
		}
		if closer {
			best, least = o, far
		}
	}
	return best, least != nil
}

// scaled is the price of a size at that of another, by area, rounded half up to
// the cent; false when it has no place in 64 bits or comes to nothing.
func scaled(price int64, of, s size) (int64, bool) {
	n := new(big.Int).Mul(big.NewInt(2*price), area(s))
	d := area(of)
	n.Add(n, d)
	n.Div(n, d.Lsh(d, 1))
	return n.Int64(), n.IsInt64() && n.Sign() > 0
}
