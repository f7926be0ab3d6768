package job

import (
	"fmt"
	"regexp"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"sawbill/internal/length"
	"sawbill/nest2d/geom"
)

var offeredSeam = regexp.MustCompile(`([xy]) (\d+) mm(?: and| in a table)`)

// TestOfferedSeams: what is offered for a panel larger than every sheet is taken
// as it is written, and every part fits.
func TestOfferedSeams(t *testing.T) {
	offered, none := 0, 0
	outer := t
	rapid.Check(t, func(t *rapid.T) {
		n := func(name string, from, to int) int { return rapid.IntRange(from, to).Draw(t, name) }
		long, wide := n("length", 800, 4000), n("width", 800, 4000)
		sheetLong, sheetWide := n("sheet length", 1000, 3000), n("sheet width", 700, 1500)
		load := n("load", 0, 1) * n("longest", 900, 3000)
		turn := []string{"no", "yes"}[n("turn", 0, 1)]
		text := fmt.Sprintf("panels = '''\nmark, material, length, width, turn\nROOF, skin, %d, %d, %s\n'''\n", long, wide, turn)
		text += "rows = '''\nmark, from, to, member, rivet, pitch\n"
		for i := range n("along", 1, 4) {
			y := n(fmt.Sprint("y", i), 50, wide-50)
			text += fmt.Sprintf("ROOF, 0; %d, %d; %d, tube, 4, 100\n", y, long, y)
		}
		for i := range n("upright", 0, 3) {
			x := n(fmt.Sprint("x", i), 50, long-50)
			text += fmt.Sprintf("ROOF, %d; 0, %d; %d, tube, 4, 100\n", x, x, wide)
		}
		text += "'''\n"
		if n("opening", 0, 1) == 1 {
			text += fmt.Sprintf("openings = '''\nmark, x, y, length, width\nROOF, %d, %d, 200, 150\n'''\n", n("ox", 100, long-400), n("oy", 100, wide-400))
		}
		base := strings.Replace(seamJob(text), "9000 x 9000", fmt.Sprintf("%d x %d", sheetLong, sheetWide), 1)
		if load > 0 {
			base = strings.Replace(base, "currency = \"EUR\"\n", fmt.Sprintf("currency = \"EUR\"\nlongest-load = %d\n", load), 1)
		}
		_, err := readText(outer, base)
		if err == nil {
			t.Skip("it fits")
		}
		if lines := strings.Count(err.Error(), "\n"); lines > 0 || !strings.Contains(err.Error(), "or split the panel") {
			t.Skip(err)
		}
		_, offer, _ := strings.Cut(err.Error(), "it fits: write")
		found := offeredSeam.FindAllStringSubmatch(offer, -1)
		if len(found) == 0 {
			if !strings.Contains(err.Error(), "a member is needed") {
				t.Fatal(err)
			}
			none++
			return
		}
		offered++
		seams := "seams = '''\nmark, x, y\n"
		for _, f := range found {
			if f[1] == "x" {
				seams += fmt.Sprintf("ROOF, %s,\n", f[2])
			} else {
				seams += fmt.Sprintf("ROOF, , %s\n", f[2])
			}
		}
		j, parted := readText(outer, base+seams+"'''\n")
		if parted != nil {
			t.Fatalf("%v\nwas offered, and then:\n%v", err, parted)
		}
		if len(j.Panels) < 2 {
			t.Errorf("%d parts", len(j.Panels))
		}
	})
	if offered == 0 || none == 0 {
		t.Errorf("%d offers and %d without: the test tests nothing", offered, none)
	}
}

// TestSeamsOfTheOtherHand: the parts of a mirrored panel are the mirror images of
// the parts of the panel, and the same part lies over the other.
func TestSeamsOfTheOtherHand(t *testing.T) {
	const text = `panels = '''
mark, material, length, width
ROOF, skin, 2000, 2300
RIGHT, skin, 2000, 2300
'''
outlines = '''
mark, x, y, mirror
ROOF, 0, 0,
ROOF, 2000, 0,
ROOF, 1900, 2300,
ROOF, 0, 2300,
RIGHT, , , ROOF
'''
rows = '''
mark, name, from, to, member, rivet, pitch
ROOF, beam, 0; 1190, 2000; 1190, tube, 4, 100
ROOF, up, 600; 0, 600; 2300, tube, 4, 100
ROOF, far, 1300; 0, 1300; 2300, tube, 4, 100
'''
seams = '''
mark, x, y, over, lap
ROOF, , 1190, ,
ROOF, 600, , left, 20
ROOF, 1300, , right, 24
'''
`
	j, err := readText(t, seamJob(text))
	if err != nil {
		t.Fatal(err)
	}
	part := func(mark string) Panel {
		i := slices.IndexFunc(j.Panels, func(p Panel) bool { return p.Mark == mark })
		if i < 0 {
			t.Fatalf("no part %s", mark)
		}
		return j.Panels[i]
	}
	other := map[string]string{"ROOF.1": "RIGHT.3", "ROOF.2": "RIGHT.2", "ROOF.3": "RIGHT.1", "ROOF.4": "RIGHT.6", "ROOF.5": "RIGHT.5", "ROOF.6": "RIGHT.4"}
	if len(j.Panels) != 2*len(other) {
		t.Fatalf("%d parts", len(j.Panels))
	}
	for one, two := range other {
		p, q := part(one), part(two)
		if q.Form.Hand != one || p.Form.Hand != "" {
			t.Errorf("%s is the other hand of %q, want %s", two, q.Form.Hand, one)
		}
		if p.Length != q.Length || p.Width != q.Width {
			t.Errorf("%s is %v x %v, %s %v x %v", one, p.Length, p.Width, two, q.Length, q.Width)
		}
		holes := map[geom.Point]int{}
		for _, h := range p.Form.Shape.Holes {
			holes[geom.Point{X: int64(p.Length) - h.Center.X, Y: h.Center.Y}]++
		}
		for _, h := range q.Form.Shape.Holes {
			holes[h.Center]--
		}
		for at, k := range holes {
			if k != 0 {
				t.Errorf("%s and %s differ in the hole at %v", one, two, at)
			}
		}
	}
	// Of the whole's holes, those on seams are in two parts of either hand.
	key := func(s Seam) string { return fmt.Sprint(s.Over, s.Under, s.Lap) }
	have := map[string]bool{}
	for _, s := range j.Seams {
		have[key(s)] = true
	}
	for _, s := range j.Seams {
		if s.Panel == "ROOF" && !have[key(Seam{Over: other[s.Over], Under: other[s.Under], Lap: s.Lap})] {
			t.Errorf("%s lies over %s and %s not over %s, or with another lap", s.Over, s.Under, other[s.Over], other[s.Under])
		}
	}
	if !have[key(Seam{Over: "ROOF.1", Under: "ROOF.2", Lap: 20 * length.Millimetre})] || !have[key(Seam{Over: "RIGHT.3", Under: "RIGHT.2", Lap: 20 * length.Millimetre})] {
		t.Errorf("%+v", j.Seams)
	}
}
