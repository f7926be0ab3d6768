// Package check proves that a plan is what it says. It takes the job and the
// plan and nothing else: it shares no code with the engines that searched for
// the plan nor with what assembled it, and works every figure out again.
//
// # What is proved
//
//   - The plan answers this job, and its own digest fits its content.
//   - Every copy of every piece and panel is cut exactly once, from its material.
//   - Every panel is as large as its outline; its area and what is cut of it, measured again.
//   - Every bar: pieces in order from the left trim, exactly one saw cut apart,
//     the last one clear of the right trim and of the tail the saw cannot grip.
//     Bars to be fetched are parted so that they can be carried, each part the same.
//   - Every sheet: panels inside the trims, turned only where allowed, nowhere
//     closer than the kerf or the spacing, or in an opening of another and a
//     spacing from its edge; the cut tree, unless a beam cuts
//     panels that lie freely, made of real edge-to-edge cuts within the stages the
//     process allows.
//   - The purchase is what the layouts use and the spares, in whole packs, at the
//     job's prices for the quantity, within the stocks; what each supplier charges
//     and its tax; all sums, masses and shares. What is used of a rack is there
//     once, at what the job counts it for, and nobody is asked for it.
//   - The least cost claimed: no purchase for less can be enough. Likewise the
//     fewest bars or sheets claimed for the cost, and the least total of all
//     materials with what the suppliers charge.
//
// # Exactness
//
// Lengths, money and counts are compared exactly: a piece shifted by one unit
// of 25 nm is refused. Masses alone are compared within a tolerance, one milligram
// per item weighed, because they come from decimal densities; their sums inside
// the plan must be exact.
//
// # The bound
//
// The proof in the plan gives every piece a value: dual values of the cutting
// problem for bars (Gilmore and Gomory 1961), shares of the sheet by dual
// feasible functions for sheets (Fekete and Schepers 2004). That no content of
// a bar is worth more than the proof allows is a bounded knapsack problem for
// each offer, and so is the cheapest purchase worth as much as all pieces; both
// are solved here exactly in integers. What the values leave open is settled,
// for small problems, by trying every cheaper purchase. The least total is
// proved by a search over suppliers, ways home and counts (see purchase.go).
// Effort is counted, never timed.
//
// A bound that nothing proves is a finding. What a proof claims but is too
// large to be worked out again is named in the notes, as are the plan's claims
// about patterns and offcuts: notes say what was not proved again.
package check

import (
	"sawbill/internal/job"
	"sawbill/internal/plan"
)

// Plan checks the plan against the job and returns everything found wrong, in
// a fixed order; an empty list means proved. The notes name what was not
// proved again. It never panics, whatever the plan holds.
func Plan(j *job.Job, p *plan.Plan) (findings []Finding, notes []string) {
	a := &audit{job: j, plan: p}
	if j == nil || p == nil {
		a.find("plan", "there is no job or no plan to check")
		return a.close()
	}
	a.index()
	a.head()
	a.forms()
	a.orders()
	pairs := a.materials()
	for _, m := range pairs {
		a.layouts(m)
		a.patterns(m)
		a.buy(m)
		a.goals(m)
		a.masses(m)
		a.shares(m)
		a.bound(m)
	}
	a.copies()
	a.money(pairs)
	a.rack()
	a.purchase(pairs)
	return a.close()
}

// material is one material of the job beside its part of the plan.
type material struct {
	index   int
	job     job.Material
	process job.Process
	plan    *plan.Material
	offers  []int // the job's offers of the material, as indexes
	free    bool  // panels lie freely on its sheets
	// openings are those of panels in which others may lie.
	openings []opening
	// effort is what is left for corners; loose says that sets of panels were
	// assumed to fit.
	effort *int64
	loose  bool
	// largest is the longest offcut, or the area of the largest leftover of a
	// sheet; largestKept the same of those kept.
	largest, largestKept wide
	// bars and ladder are what the least cost was proved by.
	bars    *barModel
	ladder  *ladder
	weights *worth
	// sound is false when a layout holds values on which no sum can be built.
	sound bool
}

// layouts checks every bar or sheet of the material on its own.
func (a *audit) layouts(m *material) {
	m.sound = true
	for i := range m.plan.Layouts {
		l := &m.plan.Layouts[i]
		where := a.layoutName(m, i)
		if l.Number != i+1 {
			a.find(where, "it is numbered %d, it must be number %d", l.Number, i+1)
		}
		var ok bool
		if m.job.Sheet() {
			ok = a.sheet(m, l, where)
		} else {
			ok = a.bar(m, l, where)
		}
		m.sound = m.sound && ok
	}
}
