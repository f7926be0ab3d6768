package progress

import (
	"testing"

	"github.com/google/go-cmp/cmp"

	"sawbill/internal/job"
	"sawbill/internal/length"
	"sawbill/internal/plan"
)

const mm = length.Millimetre

// racked is a job of three pieces, each cut from a bar of its own: two of the rack
// and one that is bought, with one to spare.
func racked() (*job.Job, *plan.Plan) {
	j := (&job.Job{
		Name: "Bird hide", Rack: job.RackUse{Share: job.DefaultShare}, Digest: "d",
		Materials: []job.Material{{Key: "tube"}},
		Processes: []job.Process{{Key: "saw", Kind: job.Saw, Kerf: 2 * mm}},
		Suppliers: []job.Supplier{{Name: "North"}},
		Offers:    []job.Offer{{Length: 6000 * mm, Price: 2000, Pack: 1, Stock: -1}},
		Pieces:    []job.Piece{{Mark: "P1", Length: 1000 * mm, Quantity: 3}},
	}).OnRack([]job.RackPiece{{ID: 7, Length: 1500 * mm}, {ID: 9, Length: 1200 * mm}})
	layout := func(n, offer int) plan.Layout {
		o := j.Offers[offer]
		return plan.Layout{Number: n, Pattern: n, Stock: plan.Stock{Offer: offer, Supplier: j.Suppliers[o.Supplier].Name, Length: o.Length}, Pieces: []plan.Piece{{Mark: "P1", Copy: n}}}
	}
	line := func(offer int, count, spare int64) plan.Line {
		o := j.Offers[offer]
		return plan.Line{Offer: offer, Supplier: j.Suppliers[o.Supplier].Name, Length: o.Length, Count: count, Spare: spare}
	}
	return j, &plan.Plan{Number: "1", Digest: "1", Job: plan.JobRef{Digest: j.Digest}, Materials: []plan.Material{{
		Key: "tube", Kind: plan.Bar, Buy: []plan.Line{line(0, 2, 1), line(1, 1, 0), line(2, 1, 0)}, Layouts: []plan.Layout{layout(1, 0), layout(2, 1), layout(3, 2)}}}}
}

func TestBook(t *testing.T) {
	j, p := racked()
	cut := func(n int) Event { return Event{Become: Cut, Mark: "P1", Copy: n} }
	missing := func(n int) Event { return Event{Become: Missing, Plan: "1", Material: "tube", Number: n} }
	rest := func(n int, l length.Length) Stock {
		return Stock{Material: "tube", Length: l, What: map[int]string{1: "rest of tube 1 of plan no. 1", 2: "rest of tube 2 of plan no. 1", 3: "rest of tube 3 of plan no. 1", 0: "spare of plan no. 1"}[n]}
	}
	spare := rest(0, 6000*mm)
	short := func(n int, l length.Length) Event {
		return Event{Become: Short, Plan: "1", Material: "tube", Number: n, Length: l}
	}
	damaged := func(n int, from, to length.Length) Event {
		return Event{Become: Damaged, Plan: "1", Material: "tube", Number: n, Start: from, End: to}
	}
	// Each rest is the bar less 1000 and a kerf of 2.
	for name, c := range map[string]struct {
		events []Event
		want   Booking
	}{
		"nothing ticked":  {nil, Booking{Used: []int64{7, 9}, Left: []Stock{spare, rest(1, 4998*mm), rest(2, 498*mm), rest(3, 198*mm)}, Assumed: true}},
		"all ticked":      {[]Event{cut(1), cut(2), cut(3)}, Booking{Used: []int64{7, 9}, Left: []Stock{spare, rest(1, 4998*mm), rest(2, 498*mm), rest(3, 198*mm)}}},
		"one of the rack": {[]Event{cut(2)}, Booking{Used: []int64{7}, Back: []int64{9}, Left: []Stock{spare, rest(2, 498*mm)}, Open: 2}},
		"one bought":      {[]Event{cut(1)}, Booking{Back: []int64{7, 9}, Left: []Stock{spare, rest(1, 4998*mm)}, Open: 2}},
		"one went wrong": {[]Event{{Become: Wrong, Mark: "P1", Copy: 3, Length: 900 * mm}}, Booking{Used: []int64{9}, Back: []int64{7}, Open: 3,
			Left: []Stock{spare, {Material: "tube", Length: 900 * mm, What: "what was to be P1/3", Piece: &Copy{"P1", 3}}, rest(3, 198*mm)}}},
		"one is missing": {[]Event{cut(1), cut(3), missing(2)}, Booking{Used: []int64{7, 9}, Left: []Stock{spare, rest(1, 4998*mm), rest(3, 198*mm)}, Open: 1}},
		"one is short": {[]Event{cut(1), cut(3), short(2, 900*mm)}, Booking{Used: []int64{9}, Back: []int64{7}, Found: []Found{{7, 900 * mm, 0, ""}},
			Left: []Stock{spare, rest(1, 4998*mm), rest(3, 198*mm)}, Open: 1}},
		"one is longer, both uncut": {[]Event{cut(1), short(3, 1300*mm)}, Booking{Back: []int64{7, 9}, Found: []Found{{9, 1300 * mm, 0, ""}},
			Left: []Stock{spare, rest(1, 4998*mm)}, Open: 2}},
		// The sound stretches are 0 to 298 and 412 to 1500, a kerf from the damage.
		"one is damaged": {[]Event{cut(1), cut(3), damaged(2, 300*mm, 410*mm)}, Booking{Used: []int64{9}, Back: []int64{7}, Found: []Found{{7, 1088 * mm, 0, "damaged 300 mm to 410 mm"}},
			Left: []Stock{spare, rest(1, 4998*mm), rest(3, 198*mm)}, Open: 1}},
		"one is damaged all along": {[]Event{cut(1), cut(3), damaged(2, 0, 1500*mm)}, Booking{Used: []int64{7, 9},
			Left: []Stock{spare, rest(1, 4998*mm), rest(3, 198*mm)}, Open: 1}},
		"one was short after all not": {[]Event{cut(1), cut(3), short(2, 900*mm), {Become: Open, Plan: "1", Material: "tube", Number: 2}}, Booking{Used: []int64{9}, Back: []int64{7},
			Left: []Stock{spare, rest(1, 4998*mm), rest(3, 198*mm)}, Open: 1}},
		"one was cut and is short": {[]Event{cut(1), cut(2), cut(3), short(2, 1400*mm)}, Booking{Used: []int64{7, 9},
			Left: []Stock{spare, rest(1, 4998*mm), rest(2, 398*mm), rest(3, 198*mm)}}},
	} {
		if diff := cmp.Diff(c.want, Book(j, Start(j, p), c.events)); diff != "" {
			t.Errorf("%s: %s", name, diff)
		}
	}
}

// TestPlanned: the job as it was planned is made again from its files and the plan.
func TestPlanned(t *testing.T) {
	j, p := racked()
	bare := *j
	bare.Digest, bare.Suppliers, bare.Offers = "d", j.Suppliers[:1], j.Offers[:1]
	if Planned(&bare, p) != &bare {
		t.Error("a plan without a rack changes the job")
	}
	p.Rack = &plan.Rack{Share: job.DefaultShare, Pieces: []plan.RackPiece{{Number: 7, Material: "tube", Length: 1500 * mm}, {Number: 9, Material: "tube", Length: 1200 * mm}}}
	if diff := cmp.Diff(j, Planned(&bare, p)); diff != "" {
		t.Error(diff)
	}
	p.Rack.Pieces[1].Material = "rail"
	if Planned(&bare, p) != &bare {
		t.Error("a plan of another job is taken for its own")
	}
}

// Of two pieces of one length the one that was used is not offered again.
func TestLessBoughtOfTheRack(t *testing.T) {
	j, _ := racked()
	j.Offers[1].Length = 1200 * mm
	r := Rest{Bought: []Bought{{Supplier: "the rack", Material: "tube", Length: 1200 * mm, Count: 1, Rack: 9}}}
	if got := r.Job(j).Offers; got[1].Stock != 1 || got[2].Stock != 0 {
		t.Errorf("%d of no. 7 and %d of no. 9 are offered", got[1].Stock, got[2].Stock)
	}
	r.Withdrawn = []int64{7}
	if got := r.Job(j).Offers; got[1].Stock != 0 {
		t.Error("what was withdrawn is offered")
	}
}
