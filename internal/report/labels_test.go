package report

import (
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"sawbill/internal/job"
	"sawbill/internal/length"
	"sawbill/internal/qr"
	"sawbill/internal/report/drawing"
)

// What the codes of a page of labels say, read from a picture of it by zbarimg, which
// is not ours, is mark and copy, job and plan number of each label, in cutting order
// down the page.
func TestCodesAreReadBack(t *testing.T) {
	zbar, ppm := tool(t, "zbarimg"), tool(t, "pdftoppm")
	p, j := hide(t)
	j.Labels = job.DefaultLabels("A4")
	j.Labels.RollWidth, j.Labels.RollHeight = 60*mm, 40*mm
	files, _ := packAgain(t, example{"hide", p, j})
	s, err := newSet(p, j)
	if err != nil {
		t.Fatal(err)
	}
	order := s.cutOrder()
	for name, dpi := range map[string]string{"labels.pdf": "300", "labels-roll.pdf": "203"} {
		dir := t.TempDir()
		file := filepath.Join(dir, name)
		if err := os.WriteFile(file, find(t, files, "workshop/"+name).Data, 0o600); err != nil {
			t.Fatal(err)
		}
		if out, err := exec.Command(ppm, "-r", dpi, "-l", "8", "-gray", file, filepath.Join(dir, "page")).CombinedOutput(); err != nil {
			t.Fatalf("%v\n%s", err, out)
		}
		pages, _ := filepath.Glob(filepath.Join(dir, "page*"))
		var got []string
		for _, page := range pages {
			out, err := exec.Command(zbar, "--nodbus", "-q", "-Sdisable", "-Sqrcode.enable", "--raw", page).Output()
			if err != nil {
				t.Fatalf("%s: no code is read: %v", name, err)
			}
			got = append(got, strings.Split(string(out), p.Number)...)
		}
		if name == "labels.pdf" && len(pages) != (len(order)+23)/24 {
			t.Fatalf("%d pages of %d labels", len(pages), len(order))
		}
		read := map[string]int{}
		for _, g := range got {
			if g = strings.TrimSpace(g); g != "" {
				read[g]++
			}
		}
		want := map[string]int{}
		count := len(order)
		if name != "labels.pdf" {
			count = len(pages)
		}
		for _, m := range order[:count] {
			want[fmt.Sprintf("%s/%d\n%s", m.mark, m.copy, p.Job.Name)]++
		}
		for text, n := range want {
			if read[text] != n {
				t.Errorf("%s: %q is read %d times, printed %d times", name, text, read[text], n)
			}
		}
		if len(read) != len(want) {
			t.Errorf("%s: %d texts are read, %d printed", name, len(read), len(want))
		}
	}
}

// labelPages are labels of sizes that are common or the smallest.
func labelPages(t *testing.T, visit func(name string, m made, p *drawing.Page, s *set)) {
	for _, e := range examples(t) {
		s, err := newSet(e.plan, e.job)
		if err != nil {
			t.Fatal(err)
		}
		order := s.cutOrder()
		met := map[string]int{}
		order = slices.DeleteFunc(order, func(m made) bool { // one of each mark, and few of many alike
			met[m.mark]++
			met[m.material.Key]++
			return met[m.mark] > 1 || met[m.material.Key] > 150
		})
		for _, size := range [][2]float64{{62, 28}, {95, 45}, {54, 36}, {35, 22}} {
			for _, m := range order {
				visit(fmt.Sprintf("%s, %.0f x %.0f, %s/%d", e.name, size[0], size[1], clip(m.mark, 20), m.copy), m, s.label(m, size[0], size[1]), s)
			}
		}
	}
}

// On every label texts keep off each other, off the code and within the label, and
// the mark stands there whole as far as type of 4 points can.
func TestLabelsAreLegible(t *testing.T) {
	labelPages(t, func(name string, m made, p *drawing.Page, s *set) {
		var boxes [][4]float64
		mark := ""
		for _, it := range p.Items {
			switch it := it.(type) {
			case drawing.Text:
				x0, y0, x1, y1 := boxOf(it)
				boxes = append(boxes, [4]float64{x0, y0, x1, y1})
				if it.Bold {
					mark += it.Text
				}
			case drawing.Cells:
				side := float64(it.Count) * it.Side
				boxes = append(boxes, [4]float64{it.X - qr.Quiet*it.Side, it.Y, it.X + side, it.Y + side + qr.Quiet*it.Side})
			}
		}
		for i, a := range boxes {
			if a[0] < -0.01 || a[1] < -0.01 || a[2] > p.Width+0.01 || a[3] > p.Height+0.01 {
				t.Errorf("%s: something leaves the label: %v", name, a)
			}
			for _, b := range boxes[i+1:] {
				if a[0] < b[2]-0.01 && b[0] < a[2]-0.01 && a[1] < b[3]-0.01 && b[1] < a[3]-0.01 {
					t.Errorf("%s: %v and %v overlap", name, a, b)
				}
			}
		}
		if len(m.mark) < 120 && strings.Contains(mark, "…") {
			t.Errorf("%s: the mark is clipped: %s", name, mark)
		}
	})
}

// The slants on a label have the angles of the piece: of a mitre of 45° the tip is as
// far out as the section is wide, of 22.5° tan 22.5° times as far.
func TestEndsOnLabelsAreToScale(t *testing.T) {
	p, j := hide(t)
	s, err := newSet(p, j)
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		mark        string
		left, right float64 // the tangents; above 0 the tip is below
	}{{"P1", 1, 1}, {"P3", 0, 0}, {"B6", 0.41421356, -0.41421356}} {
		fig := &drawing.Page{Width: 60, Height: 20}
		s.endsDrawn(fig, made{material: p.Materials[0], piece: s.pieces[c.mark]}, 5, 5)
		left, right := fig.Items[0].(drawing.Line).Points, fig.Items[1].(drawing.Line).Points
		if got := (left[1].X - left[2].X) / 5; got < c.left-0.001 || got > c.left+0.001 {
			t.Errorf("%s: the left end leans by %v, not %v", c.mark, got, c.left)
		}
		if got := (right[2].X - right[1].X) / 5; got < c.right-0.001 || got > c.right+0.001 {
			t.Errorf("%s: the right end leans by %v, not %v", c.mark, got, c.right)
		}
	}
}

// Bars of one pattern are cut as many at once as fit: a saw that takes 60 x 60 mm
// holds two by two tubes of 25 mm, and of mitred ones two, on each other.
func TestAtOnce(t *testing.T) {
	p, j := hide(t)
	j.Processes[0].CapacityWidth, j.Processes[0].CapacityHeight = 60*mm, 60*mm
	s, err := newSet(p, j)
	if err != nil {
		t.Fatal(err)
	}
	tube := p.Materials[0]
	if n := s.atOnce(tube, tube.Layouts[0]); n != 2 {
		t.Errorf("%d mitred bars at once", n)
	}
	if n := s.atOnce(tube, tube.Layouts[2]); n != 4 {
		t.Errorf("%d square bars at once", n)
	}
	s.processes["tube"] = job.Process{CapacityWidth: 24 * mm, CapacityHeight: length.Metre}
	if n := s.atOnce(tube, tube.Layouts[2]); n != 1 {
		t.Errorf("%d bars at once in a saw that is too small", n)
	}
	// Both bars of the first pattern together: the first piece of each, then the second.
	s, _ = newSet(p, j)
	got := ""
	for _, m := range s.cutOrder()[:4] {
		got += fmt.Sprintf(" %s/%d of %d", m.mark, m.copy, m.number)
	}
	if got != " P1/1 of 1 P1/1 of 2 P1/2 of 1 P1/2 of 2" {
		t.Error(got)
	}
	// Every piece and panel of the layouts once, whatever is cut at once.
	count := 0
	for _, m := range p.Materials {
		for _, l := range m.Layouts {
			count += len(l.Pieces) + len(l.Panels)
		}
	}
	if n := len(s.cutOrder()); n != count || count == 0 {
		t.Errorf("%d of %d are in the cutting order", n, count)
	}
}
