package saving

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"strings"
	"testing"

	"sawbill/internal/job"
	"sawbill/internal/length"
	"sawbill/internal/plan"
	"sawbill/internal/plan/check"
	"sawbill/internal/plan/planner"
	"sawbill/internal/section"
)

const mm = length.Millimetre

// planned is Solve by the planner with quick effort.
func planned(ctx context.Context, j *job.Job) (*plan.Plan, error) {
	p, err := planner.Make(ctx, j, planner.Options{Effort: planner.Quick, Seed: 1})
	var none *planner.NoPlan
	if errors.As(err, &none) {
		return nil, &None{Impossible: none.Impossible, Err: err}
	}
	return p, err
}

func look(t testing.TB, j *job.Job) *Result {
	t.Helper()
	r, err := Make(context.Background(), j, Options{Solve: planned})
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// workshop is a job with one bar and one sheet material and no pieces.
func workshop(t testing.TB) *job.Job {
	alloy, err := section.LookupMaterial("6063-T6")
	if err != nil {
		t.Fatal(err)
	}
	parse := func(text string) section.Section {
		s, err := section.Parse(text, length.MM)
		if err != nil {
			t.Fatal(err)
		}
		return s
	}
	return &job.Job{
		Name: "Bird hide", Date: "2026-11-24", Currency: "EUR", Paper: "A4", Digest: "0123456789abcdef",
		Materials: []job.Material{
			{Key: "rail", Section: parse("SHS 25x25x2"), Alloy: alloy, Density: alloy.Density, Process: 0},
			{Key: "skin", Section: parse("sheet 1.5"), Alloy: alloy, Density: alloy.Density, Process: 1},
		},
		Processes: []job.Process{
			{Key: "saw", Kind: job.Saw, Kerf: 3 * mm, TrimLeft: 5 * mm, TrimRight: 5 * mm},
			{Key: "panel saw", Kind: job.PanelSaw, Kerf: 4 * mm, TrimLeft: 5 * mm, TrimRight: 5 * mm, TrimBottom: 5 * mm, TrimTop: 5 * mm},
		},
		Suppliers: []job.Supplier{{Name: "Curlew", Fetched: true, CutKerf: -1}},
	}
}

func addOffer(j *job.Job, material int, l, w length.Length, price int64) {
	text := fmt.Sprintf("%s each", plan.Money(price))
	j.Offers = append(j.Offers, job.Offer{Material: material, Length: l, Width: w, Price: price, Pack: 1, PriceText: text,
		Tiers: []job.Tier{{From: 1, Price: price, Text: text}}, Stock: -1})
}

func addPiece(j *job.Job, mark string, l length.Length, quantity int64) {
	j.Pieces = append(j.Pieces, job.Piece{Mark: mark, Length: l, Quantity: quantity})
}

func addPanel(j *job.Job, mark string, l, w length.Length, turn bool, quantity int64) {
	j.Panels = append(j.Panels, job.Panel{Mark: mark, Material: 1, Length: l, Width: w, Turn: turn, Quantity: quantity})
}

func addDimension(j *job.Job, name string, less, more int64, sides ...job.Side) {
	j.Dimensions = append(j.Dimensions, job.Dimension{Name: name, Less: length.Length(less) * mm, More: length.Length(more) * mm, Step: mm, Sides: sides})
}

// fallsOf are the falls that a result names. Prices are below 1000 cents, so
// every saving is worth telling.
func fallsOf(d Dimension) []fall {
	var all []fall
	for _, s := range d.Savings {
		n := fall{-int64(s.Moves[0].By / d.Step), int64(s.InAll)}
		if k := len(all); k > 0 && all[k-1].steps == n.steps {
			all[k-1] = n
			continue
		}
		all = append(all, n)
	}
	return all
}

// A worked example: eight rails of 743 mm and kerfs of 3 take 8 x 743 + 7 x 3 =
// 5965, and 5950 can be used of a bar of 5960 with 5 off each end; with 2 mm less
// each they take 5949. One bar for two, or for a second of 1500 at 800 cents.
func TestEightRails(t *testing.T) {
	j := workshop(t)
	addOffer(j, 0, 5960*mm, 0, 2140)
	addOffer(j, 0, 1500*mm, 0, 800)
	addPiece(j, "R1", 743*mm, 8)
	addDimension(j, "bay width", 20, 30, job.Side{Mark: "R1", Factor: 1})
	r := look(t, j)
	d := r.Dimensions[0]
	if len(d.Savings) != 1 {
		t.Fatalf("%+v", d.Savings)
	}
	s := d.Savings[0]
	if s.Moves[0].By != -2*mm || s.Amount != 800 || s.Least != 800 || s.InAll != 800 || !s.Proven || !s.Smallest || !d.NoMore {
		t.Errorf("%+v", s)
	}
	if len(s.Lines) != 1 || s.Lines[0].Length != 1500*mm || s.Lines[0].Old != 1 || s.Lines[0].New != 0 {
		t.Errorf("lines %+v", s.Lines)
	}
	// One rail goes to the short bar, and seven of 847 mm take 5947 mm.
	if d.Free != 30*mm {
		t.Errorf("free %v", d.Free)
	}
}

// Two dimensions that save nothing alone: three pieces of each, 14 mm too much
// in all for one bar, and each may get 3 mm shorter.
func TestTogether(t *testing.T) {
	j := workshop(t)
	addOffer(j, 0, 3010*mm, 0, 500)
	addPiece(j, "A", 599*mm, 3)
	addPiece(j, "B", 400*mm, 3) // 2997 + 15 in kerfs is 12 above 3000
	addDimension(j, "a", 3, 0, job.Side{Mark: "A", Factor: 1})
	addDimension(j, "b", 3, 0, job.Side{Mark: "B", Factor: 1})
	r := look(t, j)
	if len(r.Dimensions[0].Savings)+len(r.Dimensions[1].Savings) != 0 || !r.Dimensions[0].NoMore {
		t.Errorf("alone: %+v", r.Dimensions)
	}
	if len(r.Pairs) != 1 {
		t.Fatalf("pairs %+v", r.Pairs)
	}
	s := r.Pairs[0]
	if s.Amount != 500 || !s.Smallest || !s.Proven || s.Moves[0].By+s.Moves[1].By != -4*mm {
		t.Errorf("%+v", s)
	}
	if r.Near != nil {
		t.Errorf("near %+v", r.Near)
	}
}

// Sides that no dimension moves: 9 mm too long in all, so one piece of three may
// be 9 mm shorter, two 5 mm each; a panel 6 mm too wide to lie twice on a sheet.
func TestNear(t *testing.T) {
	j := workshop(t)
	addOffer(j, 0, 3010*mm, 0, 500)
	addPiece(j, "A", 1403*mm, 1)
	addPiece(j, "B", 800*mm, 2) // 3003 + 6
	addOffer(j, 1, 2010*mm, 1014*mm, 900)
	addPanel(j, "S", 1900*mm, 506*mm, false, 2) // 1004 can be used, less 4 is 500 each
	r := look(t, j)
	var got []string
	for _, s := range r.Near {
		m := s.Moves[0]
		if !s.Proven || !s.Smallest || s.Least != s.Amount || m.Name != "" || len(m.Sides) != 1 {
			t.Errorf("%+v", s)
		}
		text := fmt.Sprintf("%s %d %s", m.Sides[0].Spell(), -m.By/mm, s.Amount)
		if s.Fit != nil {
			text += fmt.Sprintf(" %d in %d", s.Fit.Count, s.Fit.Of/mm)
		}
		got = append(got, text)
	}
	if want := "A 9 5.00; B 5 5.00; S width 6 9.00 2 in 1014"; strings.Join(got, "; ") != want {
		t.Errorf("got %s, want %s", strings.Join(got, "; "), want)
	}
	// No one of many does alone: 51 mm too much.
	j = workshop(t)
	addOffer(j, 0, 3010*mm, 0, 500)
	for i := range 10 {
		addPiece(j, fmt.Sprint("P", i), length.Length(302+i%2)*mm, 1) // 3025 + 27
	}
	r = look(t, j)
	if len(r.Near) != 1 || r.Near[0].Moves[0].Material != "rail" || r.Near[0].Moves[0].By != -6*mm || len(r.Near[0].Moves[0].Sides) != 10 {
		t.Errorf("all together: %+v", r.Near)
	}
}

// With one stage and no trimming cut a panel must be as wide as its sheet, so
// that longer is cheaper: 5 mm more and B comes out of the sheet that A leaves
// half of. What lies between fits no sheet at all, so every step is looked at.
func TestExactStages(t *testing.T) {
	j := workshop(t)
	j.Processes[1] = job.Process{Key: "panel saw", Kind: job.PanelSaw, Stages: 1, Exact: true}
	addOffer(j, 1, 1000*mm, 500*mm, 900)
	addOffer(j, 1, 500*mm, 495*mm, 700)
	addPanel(j, "A", 500*mm, 500*mm, false, 1)
	addPanel(j, "B", 500*mm, 495*mm, false, 1)
	addDimension(j, "b", 3, 10, job.Side{Mark: "B", Of: job.PanelWidth, Factor: 1})
	d := look(t, j).Dimensions[0]
	if len(d.Savings) != 1 || d.Cut || !d.NoMore {
		t.Fatalf("%+v", d)
	}
	if s := d.Savings[0]; s.Moves[0].By != 5*mm || s.Amount != 700 || !s.Proven || !s.Smallest {
		t.Errorf("%+v", s)
	}
}

// Against a smallest order nothing is saved: what is not bought is charged.
func TestSmallOrder(t *testing.T) {
	rails := func(minimum int64) *job.Job {
		j := workshop(t)
		j.Suppliers[0].Minimum = minimum
		addOffer(j, 0, 5960*mm, 0, 2140)
		addOffer(j, 0, 1500*mm, 0, 800)
		addPiece(j, "R1", 743*mm, 8)
		addDimension(j, "bay width", 20, 0, job.Side{Mark: "R1", Factor: 1})
		return j
	}
	if d := look(t, rails(3000)).Dimensions[0]; len(d.Savings) != 0 {
		t.Errorf("%+v", d.Savings)
	}
	// 29.40 is 0.60 short of it, but for what the sheet from the same supplier adds.
	j := rails(3000)
	addOffer(j, 1, 1000*mm, 500*mm, 900)
	addPanel(j, "S", 500*mm, 300*mm, false, 1)
	if d := look(t, j).Dimensions[0]; len(d.Savings) != 1 || d.Savings[0].Amount != 800 || len(d.Savings[0].Part.Panels) != 1 {
		t.Errorf("%+v", d.Savings)
	}
	// Half of the saving goes into the charge.
	d := look(t, rails(2540)).Dimensions[0]
	want := []Charge{{Supplier: "Curlew", What: plan.SmallOrder, Old: 0, New: 400}}
	if len(d.Savings) != 1 || d.Savings[0].Amount != 400 || !slices.Equal(d.Savings[0].Charges, want) {
		t.Errorf("%+v", d.Savings)
	}
}

// Materials that no supplier ties together are planned apart, and what a change
// saves on each is told apart and added up.
func TestParts(t *testing.T) {
	j := workshop(t)
	addOffer(j, 0, 5960*mm, 0, 2140)
	addOffer(j, 0, 1500*mm, 0, 800)
	addPiece(j, "R1", 743*mm, 8)
	addOffer(j, 1, 2010*mm, 1014*mm, 900)
	addPanel(j, "S", 1900*mm, 506*mm, false, 2)
	addDimension(j, "bay width", 20, 0, job.Side{Mark: "R1", Factor: 1}, job.Side{Mark: "S", Of: job.PanelWidth, Factor: 1})
	d := look(t, j).Dimensions[0]
	if len(d.Savings) != 2 || !d.NoMore {
		t.Fatalf("%+v", d)
	}
	a, b := d.Savings[0], d.Savings[1]
	if a.Moves[0].By != -2*mm || a.Amount != 800 || a.InAll != 800 || b.Moves[0].By != -6*mm || b.Amount != 900 || b.InAll != 1700 {
		t.Errorf("%+v", d.Savings)
	}
	if len(a.Part.Panels) != 0 || len(b.Part.Pieces) != 0 {
		t.Error("the parts hold more than they must")
	}
}

// Interrupted after each number of plans, the search tells what it has found by
// then; nothing of it changes later.
func TestInterrupted(t *testing.T) {
	j := workshop(t)
	addOffer(j, 0, 5960*mm, 0, 2140)
	addOffer(j, 0, 1500*mm, 0, 800)
	addPiece(j, "R1", 743*mm, 8)
	addDimension(j, "bay width", 20, 30, job.Side{Mark: "R1", Factor: 1})
	last := -1
	for most := 1; ; most++ {
		ctx, stop := context.WithCancel(context.Background())
		made := 0
		r, err := Make(ctx, j, Options{Solve: func(ctx context.Context, j *job.Job) (*plan.Plan, error) {
			if made++; made > most {
				stop()
			}
			return planned(ctx, j)
		}})
		stop()
		if err != nil {
			t.Fatal(err)
		}
		d := r.Dimensions[0]
		if n := len(d.Savings); n < last {
			t.Errorf("%d plans tell of %d savings, fewer of %d", most, n, last)
		} else {
			last = n
		}
		if r.Struck == "" {
			if last != 1 {
				t.Errorf("%+v", d)
			}
			break
		}
		if r.Struck != "interrupt" || d.NoMore && last == 0 || d.Stopped == d.NoMore {
			t.Errorf("after %d plans: struck %q, %+v", most, r.Struck, d)
		}
	}
}

// A plan that fails its proof is told, not used.
func TestUnproved(t *testing.T) {
	j := workshop(t)
	addOffer(j, 0, 5960*mm, 0, 2140)
	addPiece(j, "R1", 743*mm, 8)
	addDimension(j, "bay width", 20, 30, job.Side{Mark: "R1", Factor: 1})
	_, err := Make(context.Background(), j, Options{Solve: func(ctx context.Context, j *job.Job) (*plan.Plan, error) {
		p, err := planned(ctx, j)
		if err == nil && j.Pieces[0].Length != 743*mm {
			p.Total--
		}
		return p, err
	}})
	var unproved *check.Unproved
	if !errors.As(err, &unproved) || !strings.Contains(err.Error(), "the plan for bay width fails its proof") {
		t.Errorf("got %v", err)
	}
}
