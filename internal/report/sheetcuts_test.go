package report

import (
	"cmp"
	"fmt"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"sawbill/internal/job"
	"sawbill/internal/length"
	"sawbill/internal/plan"
)

// The cuts of the example's sheet, found by hand from its tree.
func TestSheetCuts(t *testing.T) {
	p, j := hide(t)
	s, err := newSet(p, j)
	if err != nil {
		t.Fatal(err)
	}
	// 804 + 400 − 10 = 1194; 1204 + 1190 − 10 = 2384; 614 + 600 − 10 = 1204.
	want := []orderLine{
		{head: "Sheet 2500 × 1250"},
		{numbers: "1", kind: "trim left", at: "10"},
		{numbers: "2", kind: "trim right", at: "2480"},
		{head: "Sheet 2480 × 1250, turn"},
		{numbers: "3", kind: "trim lower", at: "10"},
		{numbers: "4", kind: "trim upper", at: "1230"},
		{head: "Trimmed sheet 2480 × 1230"},
		{numbers: "5", kind: "rip", at: "790", text: "part A 2480 × 790"},
		{numbers: "6", kind: "rip", at: "1194", text: "part B 2480 × 400"},
		{kind: "rest", text: "scrap"},
		{head: "Part A 2480 × 790, turn"},
		{numbers: "7–8", kind: "crosscut", at: "1190 … 2384", text: "every 1190: 2 × S1 1190 × 790"},
		{kind: "rest", text: "scrap"},
		{head: "Part B 2480 × 400, turn"},
		{numbers: "9–10", kind: "crosscut", at: "600 … 1204", text: "every 600: 2 × S2 600 × 400"},
		{numbers: "11", kind: "crosscut", at: "1268", text: "part C 60 × 400"},
		{kind: "rest", text: "keep 1208 × 400"},
		{head: "Part C 60 × 400, turn"},
		{numbers: "12–13", kind: "rip", at: "40 … 84", text: "every 40: 2 × S3 60 × 40"},
		{kind: "rest", text: "scrap"},
	}
	order := sheetOrderOf(skinLayout(1))
	got := s.orderLines(order)
	for i := range max(len(got), len(want)) {
		if i >= len(got) || i >= len(want) || got[i] != want[i] {
			t.Fatalf("line %d:\n got %v\nwant %v", i+1, got[min(i, len(got)):], want[min(i, len(want)):])
		}
	}
	if order.cuts != 13 || order.turns != 4 {
		t.Errorf("%d cuts, %d turns; by hand 13 and 4", order.cuts, order.turns)
	}
}

// sawn is a rectangle of the simulated saw, where it lies on the sheet. from is the
// lower left corner of the lot's part that it remained of.
type sawn struct{ x, y, length, width, fromX, fromY length.Length }

func (r sawn) fresh() sawn { r.fromX, r.fromY = r.x, r.y; return r }

// simulation carries out printed lines one by one, from their texts alone.
type simulation struct {
	t     *rapid.T
	unit  length.Length
	kerf  length.Length
	piles map[string][]sawn // by the name in a lot's head
	made  map[string][]sawn // by mark, "keep" or "scrap"
	hand  []sawn
	cuts  int
}

func (s *simulation) measure(text string) length.Length {
	v, err := strconv.ParseInt(strings.TrimSuffix(text, ".000"), 10, 64)
	if err != nil {
		s.t.Fatalf("%q is no length: %v", text, err)
	}
	return length.Length(v) * s.unit
}

var (
	lotPattern  = regexp.MustCompile(`^(?:(\d+) × )?((?i:sheet|trimmed sheet|part [A-Z]+)) ([\d.]+) × ([\d.]+)(?:, turn)?$`)
	giftPattern = regexp.MustCompile(`^(?:(\d+) × )?(.+?)(?: ([\d.]+) × ([\d.]+))?$`)
)

// carryOut does all lines.
func (s *simulation) carryOut(lines []orderLine) {
	for _, l := range lines {
		switch {
		case l.head != "":
			s.take(l.head)
		case l.numbers == "":
			s.give(l.text, s.hand)
			s.hand = nil
		default:
			s.cut(l)
		}
	}
	s.dust()
}

// take takes in hand what a head names; the trimmed sheet is the sheet.
func (s *simulation) take(text string) {
	m := lotPattern.FindStringSubmatch(text)
	if m == nil {
		s.t.Fatalf("head %q", text)
	}
	if name := strings.ToLower(m[2][:1]) + m[2][1:]; name != "trimmed sheet" && !(name == "sheet" && s.hand != nil) {
		s.dust()
		s.hand = s.piles[name]
		delete(s.piles, name)
	}
	if n := len(s.hand); n != 1 && m[1] != fmt.Sprint(n) || n == 1 && m[1] != "" {
		s.t.Fatalf("%q, but %d are in hand", text, n)
	}
	for i, r := range s.hand {
		s.hand[i] = r.fresh()
		if r.length != s.measure(m[3]) || r.width != s.measure(m[4]) {
			s.t.Fatalf("%q, but %v is in hand", text, r)
		}
	}
}

// dust lets go of what is left, which must be no more than the saw turned to dust.
func (s *simulation) dust() {
	for _, r := range s.hand {
		if r.length > 0 && r.width > 0 {
			s.t.Fatalf("nothing is said of the rest %v", r)
		}
	}
	s.hand = nil
}

// give shares out what came off as a text says.
func (s *simulation) give(text string, off []sawn) {
	off = slices.Clone(off)
	for _, g := range strings.Split(text, ", ") {
		m := giftPattern.FindStringSubmatch(g)
		n, err := strconv.Atoi(cmp.Or(m[1], "1"))
		if err != nil {
			s.t.Fatal(err)
		}
		if m[2] == "scrap" {
			n = min(n, len(off))
		}
		for range n {
			r := off[0]
			off = off[1:]
			if m[3] != "" && (r.length != s.measure(m[3]) || r.width != s.measure(m[4])) {
				s.t.Fatalf("%q, but %v came off", g, r)
			}
			if strings.HasPrefix(m[2], "part ") {
				s.piles[m[2]] = append(s.piles[m[2]], r)
			} else {
				s.made[m[2]] = append(s.made[m[2]], r)
			}
		}
	}
	if len(off) > 0 {
		s.t.Fatalf("%q: nothing is said of %v", text, off)
	}
}

// cut carries out one row of cuts.
func (s *simulation) cut(l orderLine) {
	first, last, several := strings.Cut(l.numbers, "–")
	if !several {
		last = first
	}
	from, _ := strconv.Atoi(first)
	to, _ := strconv.Atoi(last)
	if from != s.cuts+1 || to < from || (to-from+1)%len(s.hand) != 0 {
		s.t.Fatalf("cuts %s follow cut %d, with %d in hand", l.numbers, s.cuts, len(s.hand))
	}
	s.cuts = to
	near, far, _ := strings.Cut(l.at, " … ")
	text, each := l.text, (to-from+1)/len(s.hand)
	if each > 1 {
		word, rest, _ := strings.Cut(l.text, ": ")
		if text = rest; s.measure(far)-s.measure(near) != length.Length(each-1)*(s.measure(strings.TrimPrefix(word, "every "))+s.kerf) {
			s.t.Fatalf("line %v: the last cut lies elsewhere", l)
		}
	}
	var off []sawn
	for k := range each {
		for i := range s.hand {
			r := &s.hand[i]
			at := s.measure(near) + length.Length(k)*(s.measure(cmp.Or(far, near))-s.measure(near))/length.Length(max(1, each-1))
			kerf := s.kerf
			piece := r.fresh()
			switch l.kind {
			case "trim left": // holds its kerf
				r.x, r.length = r.x+at, r.length-at
				continue
			case "trim lower":
				r.y, r.width = r.y+at, r.width-at
				continue
			case "trim right":
				r.length = at
				continue
			case "trim upper":
				r.width = at
				continue
			case "crosscut":
				piece.length = r.fromX + at - r.x
				kerf = min(kerf, r.length-piece.length)
				r.x, r.length = r.x+piece.length+kerf, r.length-piece.length-kerf
			case "rip":
				piece.width = r.fromY + at - r.y
				kerf = min(kerf, r.width-piece.width)
				r.y, r.width = r.y+piece.width+kerf, r.width-piece.width-kerf
			}
			if piece.length <= 0 || piece.width <= 0 || r.length < 0 || r.width < 0 {
				s.t.Fatalf("line %v cannot be cut of %v", l, r)
			}
			off = append(off, piece)
		}
	}
	if off != nil {
		s.give(text, off)
	}
}

// randomLayout is a sheet cut at random, with strips alike more often than not.
func randomLayout(t *rapid.T, unit, kerf length.Length) plan.Layout {
	pick := func(label string, low, high int) length.Length {
		return length.Length(rapid.IntRange(low, high).Draw(t, label)) * unit
	}
	l := plan.Layout{Stock: plan.Stock{Length: pick("length", 300, 3000), Width: pick("width", 200, 1500)}}
	trim := func() length.Length { return pick("trim", 0, 1) * 10 }
	x, y := trim(), trim()
	root := &plan.Part{X: x, Y: y, Length: l.Stock.Length - x - trim(), Width: l.Stock.Width - y - trim()}
	var fill func(p *plan.Part, stage int, before string)
	// clone cuts q as p is cut.
	var clone func(p, q *plan.Part)
	panel := func(p *plan.Part, mark string) {
		l.Panels = append(l.Panels, plan.Panel{Mark: mark, X: p.X, Y: p.Y})
		p.Panel = len(l.Panels)
	}
	clone = func(p, q *plan.Part) {
		q.Cut, q.Stage, q.Kept = p.Cut, p.Stage, p.Kept
		if p.Panel > 0 {
			panel(q, l.Panels[p.Panel-1].Mark)
		}
		for _, c := range p.Parts {
			d := &plan.Part{X: c.X - p.X + q.X, Y: c.Y - p.Y + q.Y, Length: c.Length, Width: c.Width}
			clone(c, d)
			q.Parts = append(q.Parts, d)
		}
	}
	fill = func(p *plan.Part, stage int, before string) {
		if stage > 4 || p.Length < 20*unit || p.Width < 20*unit || stage > 1 && rapid.IntRange(0, 2).Draw(t, "leaf") == 0 {
			switch rapid.IntRange(0, 3).Draw(t, "kind") {
			case 0:
			case 1:
				p.Kept = true
			default:
				panel(p, rapid.SampledFrom([]string{"P1", "P2", "P3"}).Draw(t, "mark"))
			}
			return
		}
		p.Stage, p.Cut = stage, plan.AlongLength
		if before == plan.AlongLength || before == "" && rapid.Bool().Draw(t, "first") {
			p.Cut = plan.AlongWidth
		}
		at := length.Length(0)
		extent := p.Width
		if p.Cut == plan.AlongWidth {
			extent = p.Length
		}
		for at < extent {
			size := pick("strip", 1, int((extent-at)/unit))
			again := rapid.IntRange(1, 4).Draw(t, "again")
			var like *plan.Part
			for range again {
				if at+size > extent {
					break
				}
				c := &plan.Part{X: p.X, Y: p.Y + at, Length: p.Length, Width: size}
				if p.Cut == plan.AlongWidth {
					c = &plan.Part{X: p.X + at, Y: p.Y, Length: size, Width: p.Width}
				}
				if like != nil && rapid.IntRange(0, 3).Draw(t, "other") > 0 {
					clone(like, c)
				} else {
					fill(c, stage+1, p.Cut)
					like = c
				}
				p.Parts = append(p.Parts, c)
				at += size + kerf
			}
		}
	}
	fill(root, 1, "")
	l.Tree = root
	return l
}

// Carried out one by one, the printed cuts give exactly the layout's panels and
// offcuts, each where the layout has it.
func TestPrintedCutsGiveTheLayout(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		unit := rapid.SampledFrom([]length.Unit{length.MM, length.In}).Draw(t, "unit")
		kerf := length.Length(rapid.IntRange(0, 4).Draw(t, "kerf")) * unit.Size()
		l := randomLayout(t, unit.Size(), kerf)
		set, err := newSet(&plan.Plan{}, &job.Job{Unit: unit})
		if err != nil {
			t.Fatal(err)
		}
		order := sheetOrderOf(l)
		s := &simulation{t: t, unit: unit.Size(), kerf: kerf, made: map[string][]sawn{},
			piles: map[string][]sawn{"sheet": {{length: l.Stock.Length, width: l.Stock.Width}}}}
		lines := set.orderLines(order)
		if len(lines) == 0 {
			return // the sheet is one panel as it is
		}
		s.carryOut(lines)
		if s.cuts != order.cuts {
			t.Fatalf("%d cuts carried out, %d counted", s.cuts, order.cuts)
		}
		if len(s.piles) > 0 && fmt.Sprint(s.piles) != "map[sheet:[]]" {
			t.Fatalf("parts are left over: %v", s.piles)
		}
		want := map[string][]sawn{}
		for _, leaf := range leaves(l.Tree) {
			name := "scrap"
			switch {
			case leaf.Panel > 0:
				name = l.Panels[leaf.Panel-1].Mark
			case leaf.Kept:
				name = "keep"
			}
			want[name] = append(want[name], sawn{x: leaf.X, y: leaf.Y, length: leaf.Length, width: leaf.Width})
		}
		for _, made := range []map[string][]sawn{s.made, want} {
			for name := range made {
				slices.SortFunc(made[name], func(a, b sawn) int {
					return cmp.Or(cmp.Compare(a.x, b.x), cmp.Compare(a.y, b.y))
				})
				for i := range made[name] {
					made[name][i].fromX, made[name][i].fromY = 0, 0
				}
			}
		}
		if fmt.Sprint(s.made) != fmt.Sprint(want) {
			t.Fatalf("cut:\n%v\nwanted:\n%v\nby\n%v", s.made, want, lines)
		}
	})
}

// What the cuts make is as large as the list says, however coarse the job's fraction is:
// 7 7/64 in is no sixteenth, and 12.02 in none of the 64 (12 1/64 is nearest, by hand).
func TestSheetCutsAreAsFineAsThePanels(t *testing.T) {
	const inch, high, wide = length.Inch, 7*length.Inch + 7*length.Sixtyfourth, 12*length.Inch + length.Inch/50
	strip := &plan.Part{Length: 48 * inch, Width: wide, Cut: plan.AlongWidth, Stage: 2, Parts: []*plan.Part{
		{Length: high, Width: wide, Panel: 1}, {X: high, Length: high, Width: wide, Panel: 2}, {X: 2 * high, Length: 48*inch - 2*high, Width: wide},
	}}
	root := &plan.Part{Length: 48 * inch, Width: 96 * inch, Cut: plan.AlongLength, Stage: 1, Parts: []*plan.Part{strip, {Y: wide, Length: 48 * inch, Width: 96*inch - wide}}}
	l := plan.Layout{Stock: plan.Stock{Length: 48 * inch, Width: 96 * inch}, Tree: root, Panels: []plan.Panel{{Mark: "S1", Copy: 1}, {Mark: "S1", Copy: 2, X: high}}}
	s, err := newSet(&plan.Plan{}, &job.Job{Unit: length.In, Fraction: 16})
	if err != nil {
		t.Fatal(err)
	}
	want := []orderLine{
		{head: "Sheet 48 × 96"},
		{numbers: "1", kind: "rip", at: "12-1/64", text: "part A 48 × 12-1/64"},
		{kind: "rest", text: "scrap"},
		{head: "Part A 48 × 12-1/64, turn"},
		{numbers: "2–3", kind: "crosscut", at: "7-7/64 … 14-7/32", text: "every 7-7/64: 2 × S1 7-7/64 × 12-1/64"},
		{kind: "rest", text: "scrap"},
	}
	if got := s.orderLines(sheetOrderOf(l)); !slices.Equal(got, want) {
		t.Errorf("got %v\nwant %v", got, want)
	}
}
