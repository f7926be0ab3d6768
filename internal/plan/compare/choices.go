package compare

import (
	"math/big"
	"slices"
	"strings"

	"sawbill/internal/job"
	"sawbill/internal/length"
	"sawbill/internal/plan/option"
)

// choice is an option before it is planned: a job of its own.
type choice struct {
	name     string
	kind     option.Kind
	notes    []string
	job      *job.Job
	problems []problem
}

// mostPaired is the number of sizes of one material up to which every pair is
// an option.
const mostPaired = 8

// choicesOf lists the options of a job, the job as it is first, and the
// materials whose pairs are left out.
func choicesOf(j *job.Job) (all []choice, crowded []string) {
	all = []choice{{name: string(option.AsOffered), kind: option.AsOffered, job: j}}
	for mi, m := range j.Materials {
		if !cut(j, mi) {
			continue
		}
		sizes := sizesOf(j, mi)
		if len(sizes) > mostPaired {
			crowded = append(crowded, m.Key)
		}
		all = append(all, bySize(j, mi, sizes)...)
	}
	all = append(all, bySupplier(j)...)
	for _, v := range j.Variants {
		all = append(all, choice{name: v.Name, kind: option.Variant, job: v.Job})
	}
	for mi, m := range j.Materials {
		if m.Sheet() && cut(j, mi) {
			all = append(all, whatIfs(j, mi)...)
		}
	}
	return all, crowded
}

// cut tells whether anything is cut from a material.
func cut(j *job.Job, mi int) bool {
	return slices.ContainsFunc(j.Pieces, func(p job.Piece) bool { return p.Material == mi }) ||
		slices.ContainsFunc(j.Panels, func(p job.Panel) bool { return p.Material == mi })
}

// size of a bar (width 0) or a sheet.
type size struct{ length, width length.Length }

func sizeOf(o job.Offer) size { return size{o.Length, o.Width} }

// sizesOf are the sizes on sale of a material, in the order of the offers.
func sizesOf(j *job.Job, mi int) []size {
	var all []size
	for _, o := range j.Offers {
		if o.Material == mi && o.Stock != 0 && !slices.Contains(all, sizeOf(o)) {
			all = append(all, sizeOf(o))
		}
	}
	return all
}

// offering is the job with those of its offers for which keep is true.
func offering(j *job.Job, keep func(job.Offer) bool) *job.Job {
	less := *j
	less.Offers = nil
	for _, o := range j.Offers {
		if keep(o) {
			less.Offers = append(less.Offers, o)
		}
	}
	return &less
}

// bySize are a material's sizes, each alone and each pair. All together are the
// job as it is.
func bySize(j *job.Job, mi int, sizes []size) []choice {
	var all []choice
	add := func(those ...size) {
		var names []string
		for _, s := range those {
			names = append(names, spell(j, s))
		}
		all = append(all, choice{
			name: j.Materials[mi].Key + ": " + strings.Join(names, " + "), kind: option.Sizes,
			job: offering(j, func(o job.Offer) bool { return o.Material != mi || slices.Contains(those, sizeOf(o)) }),
		})
	}
	if len(sizes) < 2 {
		return nil
	}
	for _, s := range sizes {
		add(s)
	}
	if len(sizes) == 2 || len(sizes) > mostPaired {
		return all
	}
	for i, a := range sizes {
		for _, b := range sizes[i+1:] {
			add(a, b)
		}
	}
	return all
}

// spell writes a size in the job's unit, exactly.
func spell(j *job.Job, s size) string {
	text := length.Exact(s.length, j.Unit)
	if s.width > 0 {
		text += " x " + length.Exact(s.width, j.Unit)
	}
	return text
}

// bySupplier are the suppliers, each alone, where there are several.
func bySupplier(j *job.Job) []choice {
	var all []choice
	for i, s := range j.Suppliers {
		sells := func(o job.Offer) bool { return o.Supplier == i }
		if slices.ContainsFunc(j.Offers, sells) {
			all = append(all, choice{name: s.Name + " alone", kind: option.Supplier, job: offering(j, sells)})
		}
	}
	if len(all) < 2 {
		return nil
	}
	return all
}

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

// whatIfs are the standard sheet sizes in which a material is not offered, each
// alone, at the price per area of the offer nearest in area (the dearest of
// several as near).
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
		price, fits := scaled(near, s)
		if !fits {
			continue
		}
		with := offering(j, func(o job.Offer) bool { return o.Material != mi })
		with.Offers = append(with.Offers, job.Offer{
			Supplier: near.Supplier, Material: mi, Length: s.length, Width: s.width, Price: price, Stock: -1, Pos: near.Pos,
			Pack: 1, Tiers: []job.Tier{{From: 1, Price: price}},
		})
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

// nearest is the offer with a price whose area is nearest to a size.
func nearest(j *job.Job, mi int, s size) (job.Offer, bool) {
	var best job.Offer
	var least *big.Int
	for _, o := range j.Offers {
		if o.Material != mi || o.Price <= 0 {
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

// scaled is the price of a size at an offer's price per area, rounded half up
// to the cent; false when it has no place in 64 bits or comes to nothing.
func scaled(o job.Offer, s size) (int64, bool) {
	n := new(big.Int).Mul(big.NewInt(2*o.Price), area(s))
	d := area(sizeOf(o))
	n.Add(n, d)
	n.Div(n, d.Lsh(d, 1))
	return n.Int64(), n.IsInt64() && n.Sign() > 0
}
