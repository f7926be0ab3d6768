// Package progress is what becomes of a plan at the saw: which copies are cut,
// which went wrong, which bars and sheets are not what they should be, and what
// of all that can still be used.
//
// A State is where things stood when a plan was made; Events are what happened
// since. Look puts the two together. Rest is what is still to be made, from what
// is left and what suppliers offer, as a job like any other: it can be planned,
// and the plan proved, as the first was. Next is the state after that.
//
// Lengths are integers of 25 nm. The package plans nothing.
package progress

import (
	"slices"

	"sawbill/internal/job"
	"sawbill/internal/length"
	"sawbill/internal/plan"
)

// Copy is one copy of one mark.
type Copy struct {
	Mark string `json:"mark"`
	Copy int    `json:"copy"`
}

// State is where things stand when a plan is made.
type State struct {
	// Made are good and not to be made again.
	Made []Copy `json:"made,omitempty"`
	// Layouts are in force: of this plan, or of an earlier one that it leaves as it was.
	Layouts []Layout `json:"layouts,omitempty"`
	// Loose is stock that no layout uses.
	Loose []Stock `json:"loose,omitempty"`
	// Ready come cut from a supplier that sells by the mark.
	Ready []Copy `json:"ready,omitempty"`
	// Bought is all that was bought so far, by offer.
	Bought []Bought `json:"bought,omitempty"`
}

// Layout is one bar or sheet and how it is cut.
type Layout struct {
	Plan     string      `json:"plan"` // its number
	Material string      `json:"material"`
	Layout   plan.Layout `json:"layout"`
	// Gone are the copies that are no longer in it: cut before, or cut from
	// something else.
	Gone []Gone `json:"gone,omitempty"`
	// Used are parts of what it leaves that another layout uses.
	Used []Area `json:"used,omitempty"`
}

// Gone is a copy of a layout and whether its place in it has been cut. Long is
// how long the piece came out where that is longer than it should be.
type Gone struct {
	Copy
	Cut  bool          `json:"cut,omitempty"`
	Long length.Length `json:"long,omitempty"`
}

// Area is a part of a bar or a sheet: from X on, Length long; of a sheet from
// its lower left corner X, Y.
type Area struct {
	X      length.Length `json:"x"`
	Y      length.Length `json:"y,omitempty"`
	Length length.Length `json:"length"`
	Width  length.Length `json:"width,omitempty"`
}

// Stock is a piece of bar or sheet at hand.
type Stock struct {
	Material string        `json:"material"`
	Length   length.Length `json:"length"`
	Width    length.Length `json:"width,omitempty"`
	// What says where it comes from: "rest of tube 3 of plan no. 1a2b3c4d".
	What string `json:"what"`
	// Piece is the copy that it was to be, where one came out wrong.
	Piece *Copy `json:"piece,omitempty"`
}

// Bought is what was bought of one size from one supplier.
type Bought struct {
	Supplier string        `json:"supplier"`
	Material string        `json:"material"`
	Length   length.Length `json:"length"`
	Width    length.Length `json:"width,omitempty"`
	Count    int64         `json:"count"`
	// Rack is the number of a piece of a rack, 0 for what was bought.
	Rack int64 `json:"rack,omitempty"`
}

// Start is the state when a job has been planned and nothing cut.
func Start(j *job.Job, p *plan.Plan) State {
	var s State
	s.add(j, p, func(plan.Stock) bool { return true })
	return s
}

// add takes in a plan of the job: its layouts, its spares, what it buys, where
// bought tells what is not stock that was at hand already.
func (s *State) add(j *job.Job, p *plan.Plan, bought func(plan.Stock) bool) {
	for _, m := range p.Materials {
		for _, l := range m.Layouts {
			s.Layouts = append(s.Layouts, Layout{Plan: p.Number, Material: m.Key, Layout: l})
		}
		for _, line := range m.Buy {
			if !bought(plan.Stock{Offer: line.Offer, Supplier: line.Supplier, Length: line.Length, Width: line.Width}) {
				continue
			}
			s.buy(Bought{line.Supplier, m.Key, line.Length, line.Width, line.Count, j.Offers[line.Offer].Rack})
			for range line.Spare {
				s.Loose = append(s.Loose, Stock{Material: m.Key, Length: line.Length, Width: line.Width, What: "spare of plan no. " + p.Number})
			}
		}
		if m.ByMark == "" {
			continue
		}
		s.Ready = append(s.Ready, wantedOf(j, m.Key)...)
	}
}

func (s *State) buy(b Bought) {
	i := slices.IndexFunc(s.Bought, func(o Bought) bool {
		o.Count = b.Count
		return o == b
	})
	if i < 0 {
		s.Bought = append(s.Bought, b)
		return
	}
	s.Bought[i].Count += b.Count
}

// wantedOf are the copies a job wants of one material, in list order.
func wantedOf(j *job.Job, key string) []Copy {
	var list []Copy
	for _, p := range j.Pieces {
		for i := 0; int64(i) < p.Quantity && j.Materials[p.Material].Key == key; i++ {
			list = append(list, Copy{p.Mark, p.Copy(i)})
		}
	}
	for _, p := range j.Panels {
		for i := 0; int64(i) < p.Quantity && j.Materials[p.Material].Key == key; i++ {
			list = append(list, Copy{p.Mark, p.Copy(i)})
		}
	}
	return list
}
