package truth

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"testing"

	"pgregory.net/rapid"

	"sawbill/internal/job"
	"sawbill/internal/length"
	"sawbill/internal/section"
)

// source draws small jobs in which suppliers charge for everything they can.
type source struct {
	*rapid.T
	job *job.Job
}

func (s source) pick(name string, from ...int64) int64 {
	return rapid.SampledFrom(from).Draw(s.T, name)
}

// seldom is true in one of n draws.
func (s source) seldom(name string, n int64) bool { return rapid.Int64Range(1, n).Draw(s.T, name) == n }

const mm = int64(length.Millimetre)

func (s source) supplier(name string) {
	v := job.Supplier{Name: name, CutKerf: -1, Fetched: true}
	if s.seldom("own", 6) {
		v.OnHand, v.Delivers = true, false
		s.job.Suppliers = append(s.job.Suppliers, v)
		return
	}
	switch s.pick("ways", 0, 1, 2) {
	case 0:
		v.Delivers, v.Fetched = true, false
	case 1:
		v.Delivers = true
	}
	if v.Delivers {
		v.Delivery = s.pick("delivery", 0, 900, 2500, 3500)
	}
	if v.Fetched {
		v.Fetch = s.pick("fetch", 0, 0, 700)
	}
	v.Minimum = s.pick("minimum", 0, 0, 5000, 9000)
	v.Cut = s.pick("cut", 0, 120, 200)
	v.Mitre = s.pick("mitre", 0, 180, 350)
	if v.Cut > 0 {
		v.FreeCuts = s.pick("free cuts", 0, 0, 3, 5)
	}
	if s.seldom("cut kerf", 3) {
		v.CutKerf = length.Length(s.pick("own kerf", 0, 2, 5) * mm)
	}
	v.CutMetre = s.pick("metre", 0, 90_000, 140_500)
	v.Pierce = s.pick("pierce", 0, 0, 35_500)
	v.PerSheet = s.pick("handling", 0, 0, 500)
	v.SetUp = s.pick("set-up", 0, 0, 1500)
	v.Tax = s.pick("tax", 0, 19_000, 8_875)
	s.job.Suppliers = append(s.job.Suppliers, v)
}

func (s source) offer(material int, long, wide int64) {
	o := job.Offer{
		Supplier: rapid.IntRange(0, len(s.job.Suppliers)-1).Draw(s.T, "seller"), Material: material,
		Length: length.Length(long * mm), Width: length.Length(wide * mm), Pack: 1, Stock: -1,
	}
	// Rows of one size are one offer to the reader.
	for _, other := range s.job.Offers {
		if other.Supplier == o.Supplier && other.Material == material && other.Length == o.Length {
			o.Length += length.Millimetre
		}
	}
	if s.seldom("stock", 4) {
		o.Stock = s.pick("in stock", 1, 2, 3)
	}
	if s.seldom("packs", 4) {
		o.Pack = s.pick("pack", 2, 3)
	}
	price := rapid.Int64Range(400, 4000).Draw(s.T, "price") * o.Pack
	if s.job.Suppliers[o.Supplier].OnHand {
		if o.Stock < 0 {
			o.Stock = 2
		}
		o.Pack, price = 1, s.pick("value", 0, 500, 1500)
	}
	o.Price = price
	o.Tiers = []job.Tier{{From: s.pick("from", 1, 1, 1, 2), Price: price}}
	if price > 0 && s.seldom("tiers", 2) {
		next := o.Tiers[0].From + s.pick("next", 1, 2, 3)
		o.Tiers = append(o.Tiers, job.Tier{From: next, Price: price * s.pick("percent", 60, 75, 90) / 100})
	}
	if o.Stock >= 0 {
		least := (o.Tiers[0].From + o.Pack - 1) / o.Pack * o.Pack
		o.Stock = max(o.Stock, least)
	}
	s.job.Offers = append(s.job.Offers, o)
}

func (s source) material(key, stock string, p job.Process) int {
	v, err := section.Parse(stock, length.MM)
	if err != nil {
		s.Fatal(err)
	}
	alloy, err := section.LookupMaterial("6063-T6")
	if err != nil {
		s.Fatal(err)
	}
	p.Key = key
	p.BySupplier = p.Kind == job.Beam || s.seldom("cut there", 2)
	m := job.Material{Key: key, Section: v, Alloy: alloy, Density: alloy.Density, Process: len(s.job.Processes)}
	if s.seldom("spares", 4) {
		m.Spare, m.SparePercent = s.pick("spare", 0, 1), s.pick("spare percent", 0, 2000)
	}
	s.job.Processes = append(s.job.Processes, p)
	s.job.Materials = append(s.job.Materials, m)
	return len(s.job.Materials) - 1
}

func (s source) bars(key, stock string, most int64) {
	p := job.Process{Kind: job.Saw, Kerf: length.Length(s.pick("kerf", 0, 3, 10) * mm)}
	if s.seldom("trims", 3) {
		p.TrimLeft, p.TrimRight = length.Length(10*mm), length.Length(s.pick("right", 0, 10)*mm)
	}
	if s.seldom("tails", 4) {
		p.Tail = length.Length(60 * mm)
	}
	p.SharedMitres, p.OneWay = s.seldom("shared mitres", 2), s.seldom("one way", 4)
	m := s.material(key, stock, p)
	s.job.Materials[m].GoodSide = s.seldom("good side", 4)
	for range s.pick("bar offers", 1, 2, 2, 3) {
		s.offer(m, s.pick("bar", 2000, 3000, 4000, 6000), 0)
	}
	for range s.pick("piece rows", 1, 2, 3) {
		q := job.Piece{
			Mark: fmt.Sprintf("P%d", len(s.job.Pieces)+1), Material: m, Quantity: rapid.Int64Range(1, most).Draw(s.T, "quantity"),
			Length: length.Length(10 * mm * rapid.Int64Range(40, 190).Draw(s.T, "length")),
		}
		if s.seldom("mitred", 2) {
			q.Left, q.Right = s.pick("left", 0, 45_000), s.pick("right end", 0, 45_000, -45_000, 30_000)
			if !s.job.Materials[m].Section.EqualFaces() {
				q.LeftFace, q.RightFace = s.side(q.Left), s.side(q.Right)
			}
		}
		s.job.Pieces = append(s.job.Pieces, q)
	}
}

// side is a side to lay an end on, the narrow one where it is square.
func (s source) side(angle int64) section.Face {
	if angle == 0 {
		return section.Narrow
	}
	return section.Face(s.pick("side", 0, 1))
}

// tube is a section of one symmetry or another, mostly square.
func (s source) tube() string {
	return rapid.SampledFrom([]string{"SHS 25x25x2", "SHS 25x25x2", "RHS 40x20x2", "RHS 100x40x3", "L 40x40x4", "L 60x40x5", "channel 50x25x3x3"}).Draw(s.T, "section")
}

func (s source) sheets(key, stock string, most int64) {
	p := job.Process{Kind: job.Beam, Kerf: length.Length(s.pick("spacing", 0, 5) * mm)}
	if s.seldom("at home", 3) {
		p.Kind = job.PanelSaw
	}
	m := s.material(key, stock, p)
	for range s.pick("sheet offers", 1, 2, 2) {
		if s.seldom("large sheet", 3) {
			s.offer(m, 2500, 1250)
		} else {
			s.offer(m, 2000, 1000)
		}
	}
	for range s.pick("panel rows", 1, 2) {
		s.job.Panels = append(s.job.Panels, job.Panel{
			Mark: fmt.Sprintf("S%d", len(s.job.Panels)+1), Material: m, Quantity: rapid.Int64Range(1, most).Draw(s.T, "panels"),
			Length: length.Length(10 * mm * rapid.Int64Range(40, 125).Draw(s.T, "long")),
			Width:  length.Length(10 * mm * rapid.Int64Range(30, 90).Draw(s.T, "wide")), Turn: s.seldom("turn", 2),
		})
	}
}

// quotes lets a supplier price marks instead of bars and sheets.
func (s source) quotes() {
	at := len(s.job.Suppliers)
	s.job.Suppliers = append(s.job.Suppliers, job.Supplier{
		Name: "Ready", Delivers: true, Delivery: s.pick("ready delivery", 0, 1500), Minimum: s.pick("ready minimum", 0, 9000), CutKerf: -1, ByMark: true,
	})
	for _, p := range s.job.Pieces {
		if !s.seldom("not quoted", 8) {
			s.job.Quotes = append(s.job.Quotes, job.Quote{Supplier: at, Mark: p.Mark, Price: rapid.Int64Range(300, 1500).Draw(s.T, "quote")})
		}
	}
	for _, p := range s.job.Panels {
		s.job.Quotes = append(s.job.Quotes, job.Quote{Supplier: at, Mark: p.Mark, Price: rapid.Int64Range(700, 3000).Draw(s.T, "quote")})
	}
}

func full() bool { return os.Getenv("SAWBILL_FULL") != "" }

func drawJob(t *rapid.T) *job.Job {
	s := source{t, &job.Job{Name: "Hide", Revision: "A", Date: "2026-11-24", Currency: "EUR", Digest: "0123456789abcdef"}}
	for _, name := range []string{"Curlew", "Avocet", "Dunlin"}[:s.pick("suppliers", 1, 2, 2, 3)] {
		s.supplier(name)
	}
	// Sheets take long to plan: few of them, where there is no time for all.
	kind := s.pick("materials", 0, 1, 0, 1, 0, 1, 0, 1, 0, 1, 0, 1, 0, 1, 0, 1, 2, 3)
	if full() {
		kind = s.pick("materials", 0, 1, 2, 3)
	}
	switch kind {
	case 0:
		s.bars("tube", s.tube(), 4)
	case 1:
		s.bars("tube", s.tube(), 2)
		s.bars("rail", "flat 40x5", 2)
	case 2:
		s.bars("tube", s.tube(), 2)
		s.sheets("skin", "sheet 1.5", 2)
	case 3:
		s.sheets("skin", "sheet 1.5", 3)
	}
	if s.seldom("ready made", 4) {
		s.quotes()
	}
	if s.seldom("load", 2) {
		s.job.LongestLoad = length.Length(s.pick("longest", 1500, 2000, 3000) * mm)
		if len(s.job.Panels) > 0 && s.seldom("wide load", 2) {
			s.job.WidestLoad = length.Length(s.pick("widest", 1000, 1250) * mm)
		}
	}
	return s.job
}

// draw gives a job at random that the reader lets pass, with its least total. What
// the reader refuses must be impossible.
func draw(t *rapid.T, dir string) (*job.Job, *world, int64) {
	j := drawJob(t)
	w, err := newWorld(j)
	if err != nil {
		t.Fatal(err)
	}
	least, err := w.brute()
	if errors.Is(err, errTooLarge) {
		t.Skip("too large")
	} else if err != nil {
		t.Fatal(err)
	}
	path := filepath.Join(dir, "job.toml")
	if err := os.WriteFile(path, []byte(tell(j)), 0o600); err != nil {
		t.Fatal(err)
	}
	read, err := job.Read(path)
	switch {
	case err != nil && least < never:
		t.Fatalf("the job is refused, and can be had for %d: %v\n%s", least, err, tell(j))
	case err != nil:
		t.Skip("impossible, and refused")
	}
	if w, err = newWorld(read); err != nil {
		t.Fatal(err)
	}
	if again, err := w.brute(); err != nil || again != least {
		t.Fatalf("as read the least total is %d %v, as drawn %d\n%s", again, err, least, tell(j))
	}
	return read, w, least
}

// TestModelAtRandom compares the two models with each other on jobs at random.
func TestModelAtRandom(t *testing.T) {
	needSolver(t)
	dir := t.TempDir()
	rapid.Check(t, func(t *rapid.T) {
		j, w, least := draw(t, dir)
		solved, err := w.solve(dir)
		if err != nil {
			t.Fatal(err)
		}
		if solved != least {
			t.Fatalf("the model gives %d, brute force %d\n%s", solved, least, tell(j))
		}
	})
}
