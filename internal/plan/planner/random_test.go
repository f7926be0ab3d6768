package planner_test

import (
	"fmt"

	"pgregory.net/rapid"

	"sawbill/internal/job"
	"sawbill/internal/length"
	"sawbill/internal/section"
)

const mm = length.Millimetre

// A source of jobs of every kind that the reader lets pass: offers that are
// sold out or free, prices up to the dearest, trims that leave nothing of a
// sheet, kerfs of nothing and of a hand, panels that fill a sheet to the last
// unit. Where planted is set, pieces and panels are cut from bars and sheets
// at random and then wanted, so that a plan is known.
type source struct {
	*rapid.T
	job *job.Job
	// goods are what the planted plan buys from each supplier, and how many.
	goods, bought [2]int64
}

func (s source) int(name string, low, high int) int {
	return rapid.IntRange(low, high).Draw(s.T, name)
}

// among draws one of a few lengths in millimetres.
func (s source) among(name string, choices ...float64) length.Length {
	return length.Length(rapid.SampledFrom(choices).Draw(s.T, name) * float64(mm))
}

// extent draws a length between two numbers of millimetres: whole, or of any
// number of units.
func (s source) extent(name string, low, high int) length.Length {
	l := length.Length(s.int(name, low, high)) * mm
	if l > 0 && s.int(name+" odd", 0, 3) == 0 {
		l -= length.Length(s.int(name+" units", 0, int(mm)-1))
	}
	return max(l, 1)
}

func (s source) section(text string) section.Section {
	v, err := section.Parse(text, length.MM)
	if err != nil {
		s.Fatal(err)
	}
	return v
}

func newSource(t *rapid.T) source {
	s := source{T: t, job: &job.Job{
		Name: "Hide", Revision: "A", Date: "2026-11-24", Currency: "EUR", Digest: "0123456789abcdef",
		Suppliers: []job.Supplier{{Name: "Curlew", Delivers: true, Delivery: 3500, Minimum: 8000, CutKerf: -1}, {Name: "Avocet", Fetched: true, CutKerf: -1}},
	}}
	return s
}

var (
	barSections   = []string{"SHS 25x25x2", "RHS 60x30x2", "flat 40x5", "angle 50x30x4", "L 40x40x4", "CHS 33.7x2.6", "channel 50x25x3x3"}
	sheetSections = []string{"sheet 1.5", "sheet 3"}
)

func (s source) material(key string, sections []string) (int, *job.Material) {
	alloy, err := section.LookupMaterial(rapid.SampledFrom([]string{"6063-T6", "S235"}).Draw(s.T, "alloy"))
	if err != nil {
		s.Fatal(err)
	}
	m := job.Material{
		Key: key, Section: s.section(rapid.SampledFrom(sections).Draw(s.T, "section")), Alloy: alloy, Density: alloy.Density,
		Process: len(s.job.Processes), Growth: rapid.SampledFrom([]int64{0, 1, 300, 10_000}).Draw(s.T, "growth"),
	}
	switch s.int("density", 0, 5) {
	case 0:
		m.Alloy = alloy.WithDensity(1234.5)
		m.Density = 1234.5
	case 1:
		m.Density = 7777.7
	}
	s.job.Materials = append(s.job.Materials, m)
	i := len(s.job.Materials) - 1
	return i, &s.job.Materials[i]
}

// stock and price: what costs nothing has an end.
func (s source) terms(o job.Offer) job.Offer {
	o.Supplier = s.int("supplier", 0, 1)
	o.Stock = rapid.SampledFrom([]int64{-1, -1, -1, 0, 1, 2, 3, 1000}).Draw(s.T, "stock")
	o.Price = rapid.SampledFrom([]int64{0, 1, 500, 500, 2999, 100_000_000_000}).Draw(s.T, "price")
	if o.Price == 500 {
		o.Price = int64(s.int("cents", 1, 9000))
	}
	if o.Price == 0 && o.Stock < 0 {
		o.Stock = 2
	}
	o.Pack, o.Tiers = 1, []job.Tier{{From: 1, Price: o.Price}}
	return o
}

// afford raises the stock of an offer by one when the planted plan needs one
// more than there are, and pays.
func (s *source) afford(offer int, used []int64) {
	o := &s.job.Offers[offer]
	used[offer]++
	if o.Stock >= 0 {
		o.Stock = max(o.Stock, used[offer])
	}
	s.goods[o.Supplier] += o.Price
	s.bought[o.Supplier]++
}

// cost is what the planted plan costs, with what the suppliers charge.
func (s *source) cost() int64 {
	var sum int64
	for i, v := range s.job.Suppliers {
		if s.bought[i] > 0 {
			sum += v.Delivery + max(v.Minimum, s.goods[i])
		}
	}
	return sum
}

// bars adds a material in bars.
func (s *source) bars(key string, planted bool) {
	index, m := s.material(key, barSections)
	m.KeepOver = s.among("keep", 0, 0, 1, 300, 6000, 100_000)
	p := job.Process{
		Key: key + " saw", Kind: job.Saw, Kerf: s.among("kerf", 0, 0, 2.5, 3, 0.000025, 40),
		TrimLeft: s.among("trim left", 0, 0, 5, 10.5), TrimRight: s.among("trim right", 0, 0, 7),
		Tail: s.among("tail", 0, 0, 0, 60, 150), SharedMitres: s.int("shared mitres", 0, 3) > 0, OneWay: s.int("one way", 0, 3) == 0,
	}
	m.GoodSide = s.int("good side", 0, 5) == 0
	s.job.Processes = append(s.job.Processes, p)
	first := len(s.job.Offers)
	for range s.int("bar offers", 1, 4) {
		o := s.terms(job.Offer{Material: index, Length: s.extent("bar", 400, 7000)})
		if len(s.job.Offers) > first && s.int("same bar", 0, 3) == 0 {
			o.Length = s.job.Offers[first].Length
		}
		s.job.Offers = append(s.job.Offers, o)
	}
	angle := rapid.SampledFrom([]int64{0, 0, 0, 45_000, -45_000, 60_000, -60_000, 22_500, 1})
	if s.int("square", 0, 1) == 0 {
		angle = rapid.Just(int64(0))
	}
	add := func(l length.Length, left, right, quantity int64) {
		p := job.Piece{Mark: fmt.Sprintf("P%d", len(s.job.Pieces)), Material: index, Length: l, Left: left, Right: right, Quantity: quantity}
		side := func(angle int64) section.Face {
			if angle == 0 || s.job.Materials[index].Section.EqualFaces() {
				return section.Narrow
			}
			return section.Face(s.int("side", 0, 1))
		}
		p.LeftFace, p.RightFace = side(left), side(right)
		if !s.job.Cuttable(p) {
			p.Left, p.Right, p.LeftFace, p.RightFace = 0, 0, section.Narrow, section.Narrow
		}
		s.job.Pieces = append(s.job.Pieces, p)
	}
	if planted {
		used := make([]int64, len(s.job.Offers))
		for range s.int("bars", 1, 6) {
			offer := s.int("offer", first, len(s.job.Offers)-1)
			usable := s.job.Offers[offer].Length - p.TrimLeft - p.TrimRight - p.Tail
			// Two kerfs of the steepest cut for each joint are always enough.
			cut := 4 * p.Kerf
			n := 0
			for ; n < 8; n++ {
				room := usable
				if p.Tail > 0 {
					room -= cut
				}
				if room < 200*mm {
					break
				}
				l := room
				if s.int("part", 0, 3) > 0 {
					l = 200*mm + (room-200*mm)*length.Length(s.int("share", 0, 100))/100
				}
				add(l, angle.Draw(s.T, "left"), angle.Draw(s.T, "right"), 1)
				usable -= l + cut
			}
			if n > 0 {
				s.afford(offer, used)
			}
		}
		return
	}
	for range s.int("pieces", 0, 8) {
		l := s.extent("piece", 100, 3000)
		if s.int("whole", 0, 6) == 0 {
			o := s.job.Offers[first]
			l = max(100*mm, (o.Length-p.TrimLeft-p.TrimRight-p.Tail-length.Length(s.int("less", 0, 2))*p.Kerf)/length.Length(s.int("parts", 1, 3)))
		}
		add(l, angle.Draw(s.T, "left"), angle.Draw(s.T, "right"), int64(rapid.SampledFrom([]int{1, 2, 5, 40}).Draw(s.T, "quantity")))
	}
}

// sheets adds a material in sheets.
func (s *source) sheets(key string, planted bool) {
	index, m := s.material(key, sheetSections)
	m.Grain = s.int("grain", 0, 2) == 0
	m.KeepLength, m.KeepWidth = s.among("keep length", 0, 1, 300), s.among("keep width", 0, 1, 200)
	p := job.Process{
		Key: key + " cut", Kind: rapid.SampledFrom([]job.ProcessKind{job.Saw, job.PanelSaw, job.Beam, job.Shear}).Draw(s.T, "kind"),
		Kerf:     s.among("sheet kerf", 0, 0, 3, 4.5, 0.000025, 300),
		TrimLeft: s.among("left", 0, 0, 10), TrimRight: s.among("right", 0, 0, 5.5, 900),
		TrimBottom: s.among("bottom", 0, 0, 10), TrimTop: s.among("top", 0, 0, 10, 700),
		Stages: rapid.SampledFrom([]int{0, 0, 1, 2, 2, 3, 4}).Draw(s.T, "stages"), MinStrip: s.among("strip", 0, 0, 15, 90, 1300),
	}
	p.Exact = p.Stages > 0 && s.int("exact", 0, 1) == 1
	p.FirstCut = rapid.SampledFrom([]job.CutDirection{"", "", job.CutsAlongLength, job.CutsAlongWidth}).Draw(s.T, "direction")
	p.Blade = s.among("blade", 0, 0, 700, 1200, 2000)
	s.job.Processes = append(s.job.Processes, p)
	first := len(s.job.Offers)
	for range s.int("sheet offers", 1, 4) {
		o := s.terms(job.Offer{Material: index, Length: s.extent("length", 500, 3000), Width: s.extent("width", 400, 1500)})
		if len(s.job.Offers) > first && s.int("same sheet", 0, 3) == 0 {
			o.Length, o.Width = s.job.Offers[first].Length, s.job.Offers[first].Width
		}
		s.job.Offers = append(s.job.Offers, o)
		// What the reader refuses.
		along, across := o.Length > p.Blade, o.Width > p.Blade
		if p.TrimBottom+p.TrimTop > 0 && along || p.TrimLeft+p.TrimRight > 0 && across ||
			p.FirstCut == job.CutsAlongLength && along || p.FirstCut == job.CutsAlongWidth && across {
			p.Blade = 0
		}
	}
	s.job.Processes[len(s.job.Processes)-1] = p
	add := func(l, w length.Length, turn bool, quantity int64) {
		s.job.Panels = append(s.job.Panels, job.Panel{
			Mark: fmt.Sprintf("S%d", len(s.job.Panels)), Material: index, Length: l, Width: w, Turn: turn, Quantity: quantity,
		})
	}
	turn := func() bool { return !m.Grain && s.int("turn", 0, 1) == 1 }
	if planted {
		used := make([]int64, len(s.job.Offers))
		left := 24
		for range s.int("sheets", 1, 5) {
			offer := s.int("offer", first, len(s.job.Offers)-1)
			o := s.job.Offers[offer]
			before := len(s.job.Panels)
			c := cutting{s, p, turn, add, &left}
			l, w := o.Length-p.TrimLeft-p.TrimRight, o.Width-p.TrimBottom-p.TrimTop
			if l > 0 && w > 0 {
				axis := s.int("first cut", 0, 1)
				switch p.FirstCut {
				case job.CutsAlongLength:
					axis = 1
				case job.CutsAlongWidth:
					axis = 0
				}
				c.cut(l, w, axis, 1, true, true)
			}
			if len(s.job.Panels) > before {
				s.afford(offer, used)
			}
		}
		return
	}
	for range s.int("panels", 0, 7) {
		l, w := s.extent("panel length", 40, 1000), s.extent("panel width", 40, 600)
		o := s.job.Offers[first]
		fill := func(name string, all length.Length) length.Length {
			n := length.Length(s.int(name+" parts", 1, 4))
			return max(1, (all-(n-1)*p.Kerf)/n-length.Length(s.int(name+" dust", 0, 1))*p.Kerf)
		}
		switch s.int("fill", 0, 5) {
		case 0:
			l = fill("length", o.Length-p.TrimLeft-p.TrimRight)
		case 1:
			w = fill("width", o.Width-p.TrimBottom-p.TrimTop)
		case 2:
			l, w = fill("length", o.Length-p.TrimLeft-p.TrimRight), fill("width", o.Width-p.TrimBottom-p.TrimTop)
		case 3:
			w = l
		}
		add(l, w, turn(), int64(rapid.SampledFrom([]int{1, 1, 2, 4, 12}).Draw(s.T, "quantity")))
	}
}

// cutting cuts a sheet as the process allows and wants every part.
type cutting struct {
	*source
	process job.Process
	turn    func() bool
	add     func(l, w length.Length, turn bool, quantity int64)
	left    *int // panels that may still be added
}

// cut cuts a rectangle along an axis (0: parts side by side) in a stage. whole
// says along which sides the rectangle is as large as the sheet is, so that the
// narrowest strip does not bind there.
func (c cutting) cut(l, w length.Length, axis, stage int, wholeL, wholeW bool) {
	limit := c.process.Stages
	narrow := func(x length.Length, whole bool) bool { return x < 1 || !whole && x < c.process.MinStrip }
	if *c.left <= 0 || narrow(l, wholeL) || narrow(w, wholeW) {
		return
	}
	if limit > 0 && stage > limit || c.int("leaf", 0, 3) == 0 {
		*c.left--
		turn := c.turn()
		if turn && c.int("turned", 0, 1) == 1 {
			l, w = w, l
		}
		c.add(l, w, turn, 1)
		return
	}
	rest, line := l, w
	if axis == 1 {
		rest, line = w, l
	}
	all := rest
	for n := 0; rest > 0 && n < 4; n++ {
		part := rest
		switch c.int("cut", 0, 4) {
		case 0:
		case 1:
			part = max(1, rest-c.process.Kerf) // what is left is dust
		default:
			part = max(1, rest*length.Length(c.int("share", 5, 95))/100)
		}
		if c.process.Blade > 0 && line > c.process.Blade {
			part = rest // no cut is so long
		}
		if axis == 0 {
			c.cut(part, w, 1, stage+1, wholeL && part == all, wholeW)
		} else {
			c.cut(l, part, 0, stage+1, wholeL, wholeW && part == all)
		}
		rest -= part + c.process.Kerf
	}
}

// drawJob draws a job of up to four materials.
func drawJob(t *rapid.T, planted bool) source {
	s := newSource(t)
	for i := range s.int("bar materials", 0, 2) {
		s.bars(fmt.Sprintf("tube %d", i), planted)
	}
	if s.int("goals", 0, 2) == 0 {
		s.job.Goals = rapid.Permutation(job.AllGoals).Draw(s.T, "order")[:s.int("named", 1, len(job.AllGoals))]
	}
	for i := range s.int("sheet materials", 0, 2) {
		s.sheets(fmt.Sprintf("skin %d", i), planted)
	}
	return s
}
