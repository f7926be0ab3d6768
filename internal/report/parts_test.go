package report

import (
	"fmt"
	"math"
	"sort"
	"strings"
	"testing"
	"unicode/utf8"

	"pgregory.net/rapid"

	"sawbill/internal/job"
	"sawbill/internal/length"
	"sawbill/internal/plan"
	"sawbill/internal/report/drawing"
	"sawbill/internal/section"
)

// Rules for file names: Microsoft, Naming Files, Paths, and Namespaces.
func TestFolders(t *testing.T) {
	device := []string{"CON", "PRN", "AUX", "NUL", "COM1", "LPT9"}
	rapid.Check(t, func(t *rapid.T) {
		names := rapid.SliceOfDistinct(rapid.OneOf(rapid.String(), rapid.SampledFrom([]string{"con", "CON", "Com1", "lpt9 ", "..", "../x", "workshop", "", "a/b", `a\b`, "a b"})),
			func(s string) string { return s }).Draw(t, "names")
		met := map[string]bool{"workshop": true}
		for _, n := range names {
			f := folders(names)[n]
			if f == "" || len(f) > 200 || !utf8.ValidString(f) || strings.ContainsAny(f, `/\:*?"<>|. `) {
				t.Fatalf("%q for %q", f, n)
			}
			for _, d := range device {
				if strings.EqualFold(f, d) {
					t.Fatalf("%q is a device", f)
				}
			}
			if met[fold(f)] {
				t.Fatalf("%q is given twice", f)
			}
			met[fold(f)] = true
		}
	})
}

// The labels are the least-squares answer: no other feasible one is nearer.
func TestSpread(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		wanted := rapid.SliceOfN(rapid.Float64Range(0, 100), 1, 20).Draw(t, "wanted")
		sort.Float64s(wanted)
		got, ok := spread(wanted, 4, 0, 100)
		if !ok {
			if float64(len(wanted)-1)*4 <= 100 {
				t.Fatal("refused though there is room")
			}
			return
		}
		feasible(t, got)
		// Another feasible placement, made from random gaps.
		gaps := rapid.SliceOfN(rapid.Float64Range(0, 1), len(wanted)+1, len(wanted)+1).Draw(t, "gaps")
		sum := 0.0
		for _, g := range gaps {
			sum += g
		}
		if sum == 0 {
			return
		}
		free := 100 - 4*float64(len(wanted)-1)
		at, other := 0.0, make([]float64, len(wanted))
		for i := range wanted {
			at += gaps[i] / sum * free
			other[i] = at + 4*float64(i)
		}
		if squares(got, wanted) > squares(other, wanted)+1e-6 {
			t.Fatalf("%v is farther than %v", got, other)
		}
	})
}

func feasible(t *rapid.T, at []float64) {
	for i, x := range at {
		if x < -1e-9 || x > 100+1e-9 || (i > 0 && x-at[i-1] < 4-1e-9) {
			t.Fatalf("not spread: %v", at)
		}
	}
}

func squares(a, b []float64) float64 {
	s := 0.0
	for i := range a {
		s += (a[i] - b[i]) * (a[i] - b[i])
	}
	return s
}

// hold against all ways to hold the pieces.
func TestHold(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		j := &job.Job{}
		n := rapid.IntRange(1, 5).Draw(t, "n")
		var pieces []plan.Piece
		at := length.Length(0)
		for i := range n {
			mark := string(rune('A' + i))
			angles := rapid.SampledFrom([]int64{0, 45000, -45000, 22500, -30000})
			j.Pieces = append(j.Pieces, job.Piece{Mark: mark, Length: 200 * mm, Left: angles.Draw(t, "left"), Right: angles.Draw(t, "right")})
			pieces = append(pieces, plan.Piece{Mark: mark, At: at})
			at += 200*mm + mm*length.Length(rapid.IntRange(-30, 5).Draw(t, "gap"))
		}
		s := &set{lists: listsOf(j)}
		tube := section.Section{Shape: section.SquareTube, Width: 25 * mm, Height: 25 * mm}
		got := s.hold(pieces, tube, 2*mm)
		best := int64(math.MaxInt64)
		for code := range 1 << (2 * n) {
			total := int64(0)
			var last held
			for i, p := range pieces {
				h := s.listed(p, tube).in(code >> (2 * i) & 3)
				if i > 0 {
					total += tightness(last, h, 2*mm)
				}
				last = h
			}
			best = min(best, total)
		}
		total := int64(0)
		for i := 1; i < n; i++ {
			total += tightness(got[i-1], got[i], 2*mm)
		}
		// The way of holding may weigh up to a few units of 1/8 base unit.
		if total > best+int64(8*n) {
			t.Fatalf("held with %d, %d is possible", total, best)
		}
	})
}

// In the nested example every slant keeps its kerf: the pieces lie 21.464 mm
// into each other, of 25 mm across the face at 45°, tan 45° = 1.
func TestNestedSlantsLieApart(t *testing.T) {
	p, j := hide(t)
	s := &set{lists: listsOf(j)}
	got := s.hold(p.Materials[0].Layouts[0].Pieces, j.Materials[0].Section, 5*mm/2)
	for i := 1; i < len(got); i++ {
		if d := tightness(got[i-1], got[i], 5*mm/2); d != 0 {
			t.Errorf("pieces %d and %d lack %d", i, i+1, d)
		}
	}
	if got[0].left != 45000 {
		t.Error("the first piece is rolled for no need")
	}
}

// A panel that lies turned is lettered upright, so that its length and width are
// told apart even where they are nearly the same.
func TestTurnedPanelsAreLetteredUpright(t *testing.T) {
	p, j := hide(t)
	s, err := newSet(p, j)
	if err != nil {
		t.Fatal(err)
	}
	s.panels["Q"] = job.Panel{Mark: "Q", Length: 919 * mm, Width: 884 * mm}
	for _, turned := range []bool{false, true} {
		l := plan.Layout{Stock: plan.Stock{Length: 2000 * mm, Width: 1000 * mm}, Panels: []plan.Panel{{Mark: "Q", Copy: 1, Turned: turned}}}
		_, fig := s.sheetView(p.Materials[1], pattern{Layout: l, Numbers: []int{1}}, 0.08, 250)
		want := map[bool]float64{false: 0, true: 90}[turned]
		met := 0
		for _, it := range fig.Items {
			if x, ok := it.(drawing.Text); ok && (x.Text == "Q" || x.Text == "919 × 884") {
				met++
				if x.Angle != want {
					t.Errorf("turned %v: %q stands at %g°", turned, x.Text, x.Angle)
				}
			}
		}
		if met != 2 {
			t.Errorf("turned %v: %d of 2 texts", turned, met)
		}
	}
}

// Panels too small to letter are listed in columns, each once, page after page.
func TestKeyInColumns(t *testing.T) {
	p, j := hide(t)
	s, err := newSet(p, j)
	if err != nil {
		t.Fatal(err)
	}
	for _, n := range []int{1, 5, 30, 700} {
		var key []string
		for i := range n {
			key = append(key, fmt.Sprintf("Q%d", i))
			s.panels[key[i]] = job.Panel{Length: 100 * mm, Width: 80 * mm}
		}
		d := s.document("key", true)
		d.need(150)
		d.y += 120
		d.keyRows(key)
		d.save("key.pdf")
		written := map[string]int{}
		for i, page := range d.pages {
			textsApart(t, "key", i+1, &page.Page)
			for _, it := range page.Items {
				if x, ok := it.(drawing.Text); ok {
					written[x.Text]++
				}
			}
		}
		for i, mark := range key {
			if line := d.keyLine(i, mark); written[line] != 1 {
				t.Errorf("of %d, %q is written %d times", n, line, written[line])
			}
		}
		if most := 1 + (n+149)/150; len(d.pages) > most {
			t.Errorf("%d lines take %d pages", n, len(d.pages))
		}
	}
}

// The cut list has every mark whole, be it a sentence.
func TestLongMarkIsWholeInTheCutList(t *testing.T) {
	p, j := hide(t)
	long := strings.Repeat("left post of the north wall ", 7)
	j.Pieces[2].Mark = long
	for i := range p.Materials[0].Layouts {
		for k := range p.Materials[0].Layouts[i].Pieces {
			if x := &p.Materials[0].Layouts[i].Pieces[k]; x.Mark == "P3" {
				x.Mark = long
			}
		}
	}
	s, err := newSet(p, j)
	if err != nil {
		t.Fatal(err)
	}
	d := s.document("list", false)
	d.cutList("")
	d.save("list.pdf")
	all := ""
	for i, page := range d.pages {
		textsApart(t, "list", i+1, &page.Page)
		for _, it := range page.Items {
			if x, ok := it.(drawing.Text); ok {
				all += x.Text + " "
			}
		}
	}
	if n := strings.Count(all, "north wall"); n < 7 || strings.Contains(all, "…") {
		t.Errorf("the mark of 7 parts is clipped: %s", all)
	}
}

func TestNeighbours(t *testing.T) {
	row := func(l int) cut { return cut{piece: job.Piece{Length: length.Length(l) * mm}} }
	got := neighbours([]cut{row(1200), row(1153), row(1150), row(1150), row(1144), row(800)})
	for i, w := range []bool{false, true, true, true, false, false} {
		if got[i] != w {
			t.Errorf("row %d: %v", i, got[i])
		}
	}
}

// Numbers as the unit's reader writes them; 20-3/64 in is 509.190625 mm.
func TestNumbers(t *testing.T) {
	l := 20*length.Inch + 3*length.Sixtyfourth
	for _, c := range []struct {
		s    style
		want string
	}{
		{style{unit: length.MM}, "509.2 mm"},
		{style{unit: length.MM, comma: true}, "509,2 mm"},
		{style{unit: length.CM}, "50.92 cm"},
		{style{unit: length.In, fraction: 64}, "20-3/64 in"},
		{style{unit: length.In}, "20.047 in"},
		{style{unit: length.Ft, fraction: 64}, `1' 8-3/64"`},
	} {
		if got := c.s.withUnit(l); got != c.want {
			t.Errorf("%q, want %q", got, c.want)
		}
	}
	for _, c := range []struct {
		s    style
		l    length.Length
		want string
	}{
		{style{unit: length.In, fraction: 16}, l, "20-3/64"},
		{style{unit: length.In, fraction: 16}, 20*length.Inch + 4*length.Sixtyfourth, "20-1/16"},
		{style{unit: length.In, fraction: 16}, l + 40, "20-3/64"},
		{style{unit: length.MM}, 62*mm + 55*mm/100, "62.55"},
	} {
		if got := c.s.own(c.l); got != c.want {
			t.Errorf("%q, want %q", got, c.want)
		}
	}
	if got := (style{comma: true}).degrees(-22500); got != "−22,5°" {
		t.Errorf("%q", got)
	}
	// 1 kg = 2.204623 lb (NIST Special Publication 811, from the exact pound of 1959).
	if got := (style{unit: length.In}).mass(plan.Mass(1_000_000_000)); got != "2204.62 lb (1000.00 kg)" {
		t.Errorf("%q", got)
	}
}

// No plan makes Pack panic, however little it fits the job.
func TestPackOfAnything(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		odd := rapid.Custom(func(t *rapid.T) length.Length {
			return length.Length(rapid.OneOf(rapid.Int64Range(-10, 10), rapid.Int64Range(0, 1e9), rapid.Int64Range(0, 40e9)).Draw(t, "l"))
		})
		p := &plan.Plan{Number: rapid.String().Draw(t, "number"), Job: plan.JobRef{Name: rapid.String().Draw(t, "job"), Date: rapid.String().Draw(t, "date")}}
		j := &job.Job{Author: rapid.String().Draw(t, "author"), Note: rapid.String().Draw(t, "note")}
		for range rapid.IntRange(0, 1).Draw(t, "materials") {
			m := plan.Material{Key: rapid.String().Draw(t, "key"), Kind: rapid.SampledFrom([]string{plan.Bar, plan.Sheet}).Draw(t, "kind")}
			m.Buy = []plan.Line{{Supplier: rapid.String().Draw(t, "supplier"), Length: odd.Draw(t, "long"), Width: odd.Draw(t, "wide")}}
			for n := range rapid.IntRange(0, 2).Draw(t, "layouts") {
				l := plan.Layout{Number: n, Pattern: n, Stock: plan.Stock{Supplier: m.Buy[0].Supplier, Length: odd.Draw(t, "stock"), Width: odd.Draw(t, "stock width")},
					Offcut: odd.Draw(t, "offcut"), Kept: rapid.Bool().Draw(t, "kept")}
				for range rapid.IntRange(0, 4).Draw(t, "count") {
					mark := rapid.String().Draw(t, "mark")
					l.Pieces = append(l.Pieces, plan.Piece{Mark: mark, At: odd.Draw(t, "at")})
					l.Panels = append(l.Panels, plan.Panel{Mark: mark, X: odd.Draw(t, "x"), Y: odd.Draw(t, "y")})
					j.Pieces = append(j.Pieces, job.Piece{Mark: mark, Length: odd.Draw(t, "length"), Left: rapid.Int64Range(-60000, 60000).Draw(t, "left")})
					j.Panels = append(j.Panels, job.Panel{Mark: mark, Length: odd.Draw(t, "length"), Width: odd.Draw(t, "width")})
				}
				if rapid.Bool().Draw(t, "tree") {
					l.Tree = &plan.Part{Length: odd.Draw(t, "tl"), Width: odd.Draw(t, "tw"), Cut: plan.AlongLength, Parts: []*plan.Part{{Length: odd.Draw(t, "pl"), Kept: true}, {Width: odd.Draw(t, "pw")}}}
				}
				m.Layouts = append(m.Layouts, l)
			}
			p.Materials = append(p.Materials, m)
		}
		if _, _, err := Pack(p, j); err != nil {
			t.Fatal(err)
		}
	})
}
