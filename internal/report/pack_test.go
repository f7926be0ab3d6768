package report

import (
	"bytes"
	"encoding/csv"
	"encoding/xml"
	"io"
	"os"
	"os/exec"
	"path"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"golang.org/x/text/unicode/norm"

	"sawbill/internal/job"
	"sawbill/internal/length"
	"sawbill/internal/plan"
	"sawbill/internal/report/drawing"
)

type example struct {
	name string
	plan *plan.Plan
	job  *job.Job
}

func examples(t testing.TB) []example {
	p, j := hide(t)
	q, k := barrow(t)
	r, l := hide(t)
	l.DecimalComma, l.Unit, l.Paper = true, length.CM, "Letter"
	o, n := landing(t)
	return []example{{"hide", p, j}, {"barrow", q, k}, {"hide in cm", r, l}, {"landing", o, n}}
}

// packed keeps the packs of the named examples, which no test changes.
var packed = map[string]struct {
	files    []File
	messages []job.Message
}{}

func pack(t testing.TB, e example) ([]File, []job.Message) {
	t.Helper()
	p, met := packed[e.name]
	if !met {
		p.files, p.messages = packAgain(t, e)
		packed[e.name] = p
	}
	return p.files, p.messages
}

func packAgain(t testing.TB, e example) ([]File, []job.Message) {
	t.Helper()
	files, messages, err := Pack(e.plan, e.job)
	if err != nil {
		t.Fatal(err)
	}
	return files, messages
}

// tool finds an independent reader of our files.
func tool(t *testing.T, name string) string {
	t.Helper()
	p, err := exec.LookPath(name)
	if err != nil {
		t.Skipf("SKIPPED: %s is not installed, so no other program has read the PDF files", name)
	}
	return p
}

func run(t *testing.T, f File, name string, args ...string) string {
	t.Helper()
	file := filepath.Join(t.TempDir(), path.Base(f.Path))
	if err := os.WriteFile(file, f.Data, 0o600); err != nil {
		t.Fatal(err)
	}
	for i, a := range args {
		if a == "FILE" {
			args[i] = file
		}
	}
	out, err := exec.Command(name, args...).CombinedOutput()
	if err != nil {
		t.Fatalf("%s %s: %v\n%s", name, f.Path, err, out)
	}
	return string(out)
}

func pdfs(files []File) []File {
	var out []File
	for _, f := range files {
		if strings.HasSuffix(f.Path, ".pdf") {
			out = append(out, f)
		}
	}
	return out
}

func text(t *testing.T, f File) string {
	return run(t, f, tool(t, "pdftotext"), "-layout", "FILE", "-")
}

func TestPDFIsValid(t *testing.T) {
	qpdf := tool(t, "qpdf")
	for _, e := range examples(t) {
		files, _ := pack(t, e)
		for _, f := range pdfs(files) {
			run(t, f, qpdf, "--check", "FILE")
		}
	}
}

// Page sizes in points: ISO 216 A4 and ANSI Letter.
func TestPageSizes(t *testing.T) {
	info := tool(t, "pdfinfo")
	for _, e := range examples(t) {
		short, long := "595.28", "841.89"
		if e.job.Paper == "Letter" {
			short, long = "612", "792"
		}
		files, _ := pack(t, e)
		for name, want := range map[string]string{"summary.pdf": short + " x " + long, "workshop/bars.pdf": long + " x " + short} {
			out := run(t, find(t, files, name), info, "FILE")
			if !strings.Contains(out, want) {
				t.Errorf("%s, %s: no page of %s points:\n%s", e.name, name, want, out)
			}
			if !strings.Contains(out, e.plan.Job.Name) {
				t.Errorf("%s, %s: the title does not name the job:\n%s", e.name, name, out)
			}
		}
	}
}

// flat drops what a reader of a page may put anywhere: blanks, line ends and
// the marks of writing direction.
func flat(s string) string {
	return strings.Map(func(r rune) rune {
		if r == ' ' || r == '\n' || r == '\f' || (r >= 0x200b && r <= 0x200f) || (r >= 0x202a && r <= 0x202e) {
			return -1
		}
		return r
	}, norm.NFKC.String(s))
}

func TestEveryMarkIsOnPaper(t *testing.T) {
	for _, e := range examples(t) {
		files, _ := pack(t, e)
		s, err := newSet(e.plan, e.job)
		if err != nil {
			t.Fatal(err)
		}
		list := flat(text(t, find(t, files, "workshop/cutlist.pdf")))
		drawn := flat(text(t, find(t, files, "workshop/bars.pdf")))
		for mark := range marksPlanned(e.plan, plan.Bar) {
			clean, _ := s.face.Clean(mark)
			want := flat(clean)
			if r := []rune(want); len(r) > 20 { // long marks are clipped with an ellipsis
				want = string(r[:20])
			}
			if !strings.Contains(drawn, want) {
				t.Errorf("%s: %q is not on the bar layouts", e.name, mark)
			}
			// In the list a long mark is broken into lines between other cells.
			if len(mark) < 10 && !strings.Contains(list, want) && !strings.Contains(want, "‹") {
				t.Errorf("%s: %q is not in the cut list", e.name, mark)
			}
		}
		sheets := flat(text(t, find(t, files, "workshop/sheets.pdf")))
		for mark := range marksPlanned(e.plan, plan.Sheet) {
			if !strings.Contains(sheets, mark) || !strings.Contains(list, mark) {
				t.Errorf("%s: panel %q is missing on paper", e.name, mark)
			}
		}
		for _, f := range pdfs(files) {
			if !strings.Contains(flat(text(t, f)), e.plan.Number) {
				t.Errorf("%s: %s does not bear the plan's number", e.name, f.Path)
			}
		}
	}
}

func marksPlanned(p *plan.Plan, kind string) map[string]bool {
	marks := map[string]bool{}
	for _, m := range p.Materials {
		for _, l := range m.Layouts {
			for _, q := range l.Pieces {
				marks[q.Mark] = kind == plan.Bar
			}
			for _, q := range l.Panels {
				marks[q.Mark] = kind == plan.Sheet
			}
		}
	}
	for m, yes := range marks {
		if !yes {
			delete(marks, m)
		}
	}
	return marks
}

func TestSameBytes(t *testing.T) {
	for i := range examples(t) {
		a, am := pack(t, examples(t)[i])
		b, bm := packAgain(t, examples(t)[i])
		if len(a) != len(b) || len(am) != len(bm) {
			t.Fatalf("%d and %d files, %d and %d messages", len(a), len(b), len(am), len(bm))
		}
		for k := range a {
			if a[k].Path != b[k].Path || !bytes.Equal(a[k].Data, b[k].Data) {
				t.Errorf("%s differs between two runs", a[k].Path)
			}
		}
	}
}

// words are what a paper or table tells, without blanks and line ends.
func words(t *testing.T, f File) string {
	if strings.HasSuffix(f.Path, ".pdf") {
		return flat(text(t, f))
	}
	return flat(string(f.Data))
}

// told are the amounts that one supplier is told.
func told(b bill) map[string]bool {
	out := map[string]bool{b.net().String(): true, (b.net() + b.taxSum()).String(): true, b.taxSum().String(): true}
	for _, g := range b.goods {
		out[g.Each.String()], out[g.Amount.String()] = true, true
	}
	for _, m := range b.marks {
		out[m.Each.String()], out[m.Amount.String()] = true, true
	}
	for _, c := range b.charges {
		out[c.Amount.String()] = true
		if c.Count > 0 {
			out[c.Each.String()] = true
		}
	}
	return out
}

// A supplier must not learn who else is asked, what they ask, what is cut from their
// stock, or what is proved; an enquiry tells none of it to anybody.
func TestSuppliersSeeOnlyTheirOwn(t *testing.T) {
	for _, e := range examples(t) {
		if e.name != "hide" && e.name != "landing" { // the barrow's suppliers have prices alike
			continue
		}
		files, _ := pack(t, e)
		all := bills(e.plan, e.job)
		where := folders(ordered(e.plan, e.job))
		always := []string{"proven", "saved", "bound", "lowest", e.plan.Digest[8:20]}
		for _, m := range []plan.Money{e.plan.Goods, e.plan.Total, e.plan.Payable, e.plan.Bound} {
			always = append(always, m.String())
		}
		look := func(f File, own bill) {
			body := words(t, f)
			secrets := append([]string(nil), always...)
			mine := told(own)
			for _, b := range all {
				if b.supplier == own.supplier {
					continue
				}
				secrets = append(secrets, b.supplier)
				for amount := range told(b) {
					if !mine[amount] && amount != "0.00" {
						secrets = append(secrets, amount)
					}
				}
			}
			for mark := range marksPlanned(e.plan, plan.Bar) {
				if own.supplier != "" && !strings.Contains(marksFrom(e.plan, own.supplier), "|"+mark+"|") {
					secrets = append(secrets, mark)
				}
			}
			for _, w := range secrets {
				if strings.Contains(body, flat(w)) {
					t.Errorf("%s: %s contains %q", e.name, f.Path, w)
				}
			}
		}
		seen := 0
		for _, f := range files {
			for _, b := range all {
				if folder := where[b.supplier]; folder != "" && strings.HasPrefix(f.Path, folder+"/") {
					seen++
					look(f, b)
				}
			}
			if strings.HasPrefix(f.Path, "enquiry.") {
				seen++
				look(f, bill{})
			}
		}
		if want := map[string]int{"hide": 12, "landing": 15}[e.name]; seen != want {
			t.Errorf("%s: %d files looked at, want %d", e.name, seen, want)
		}
		for _, f := range files {
			if strings.Contains(f.Path, "Rack") {
				t.Errorf("our own stock is sent %s", f.Path)
			}
		}
	}
	p, j := hide(t)
	files, _ := pack(t, example{"hide", p, j})
	order := text(t, find(t, files, "Eastmere/order.pdf"))
	for _, w := range []string{"2500 × 1250", "98.425 × 49.213", "58.17", "1a2b3c4d", "6063-T6"} {
		if !strings.Contains(order, w) {
			t.Errorf("the order does not say %q:\n%s", w, order)
		}
	}
}

// marksFrom are the marks cut from a supplier's stock, or bought of it, between bars.
func marksFrom(p *plan.Plan, supplier string) string {
	out := "|"
	for _, m := range p.Materials {
		for _, l := range m.Layouts {
			if l.Stock.Supplier != supplier {
				continue
			}
			for _, q := range l.Pieces {
				out += q.Mark + "|"
			}
		}
	}
	return out
}

func TestBuyerReadsWhatIsProved(t *testing.T) {
	p, j := hide(t)
	files, _ := pack(t, example{"hide", p, j})
	body := strings.Join(strings.Fields(text(t, find(t, files, "summary.pdf"))), " ")
	for _, w := range []string{"at most 3.40 EUR could still be saved", "proven cheapest for the prices entered on 2026-11-24",
		"309.77 EUR", "delivery", "18.34 kg", "19.26 kg", "88.1 %", "not a structural design", "effort set", "weigh the finished thing"} {
		if !strings.Contains(body, w) {
			t.Errorf("summary.pdf does not say %q", w)
		}
	}
}

func TestTightBarIsFlagged(t *testing.T) {
	p, j := hide(t)
	files, _ := pack(t, example{"hide", p, j})
	body := text(t, find(t, files, "workshop/bars.pdf"))
	// 216 + 2 × 1150 + 53 × 62.5 and 55 kerfs of 2.5 from 10: 5976 of 5990, and
	// 56 pieces and the trim are 57 cuts within 0.5.
	if !strings.Contains(body, "TIGHT: to spare 14 mm; 57 cuts, each within 0.5 mm") {
		t.Error("the tight bar is not flagged")
	}
	if n := strings.Count(body, "TIGHT"); n != 1 {
		t.Errorf("%d bars flagged, want 1", n)
	}
}

func TestSubstitutesAreReportedOnce(t *testing.T) {
	p, j := barrow(t)
	_, messages := pack(t, example{"barrow", p, j})
	count := map[string]int{}
	for _, m := range messages {
		count[regexp.MustCompile(`U\+[0-9A-F]+`).FindString(m.Text)]++
	}
	for _, r := range []string{"U+1F426", "U+0007", "U+001B", "U+5C4B", "U+6839"} {
		if count[r] != 1 {
			t.Errorf("%s is reported %d times", r, count[r])
		}
	}
	if len(count) != 5 {
		t.Errorf("reported: %v", count)
	}
}

func TestSVGIsWellFormed(t *testing.T) {
	bad := regexp.MustCompile(`="-0"|[0-9]e[-+]?[0-9]|NaN|Inf|[ ,"]-0[ ,"]|\.[0-9]{4}`)
	n := 0
	for _, e := range examples(t) {
		files, _ := pack(t, e)
		for _, f := range files {
			if !strings.HasSuffix(f.Path, ".svg") {
				continue
			}
			n++
			d := xml.NewDecoder(bytes.NewReader(f.Data))
			for {
				tok, err := d.Token()
				if err == io.EOF {
					break
				}
				if err != nil {
					t.Fatalf("%s: %v", f.Path, err)
				}
				el, ok := tok.(xml.StartElement)
				if !ok {
					continue
				}
				for _, a := range el.Attr {
					if bad.MatchString(`"` + a.Value + `"`) {
						t.Fatalf("%s: %s=%q", f.Path, a.Name.Local, a.Value)
					}
				}
			}
		}
	}
	if n < 60 {
		t.Errorf("only %d SVG files", n)
	}
}

func TestTablesAreExact(t *testing.T) {
	p, j := barrow(t)
	files, _ := pack(t, example{"barrow", p, j})
	r := csv.NewReader(bytes.NewReader(find(t, files, "workshop/layouts.csv").Data))
	rows, err := r.ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	column := map[string]int{}
	for i, h := range rows[0] {
		column[h] = i
	}
	at := map[string]length.Length{}
	for _, m := range p.Materials {
		for _, l := range m.Layouts {
			for _, q := range l.Pieces {
				at[m.Key+"|"+q.Mark] += q.At
			}
		}
	}
	for _, row := range rows[1:] {
		if row[column["what"]] != "piece" {
			continue
		}
		v, err := length.Parse(row[column["x_in"]], length.Reading{Unit: length.In})
		if err != nil {
			t.Fatal(err)
		}
		at[row[column["material"]]+"|"+row[column["mark"]]] -= v
	}
	for k, rest := range at {
		if rest != 0 {
			t.Errorf("%q: positions in layouts.csv differ by %v", k, rest)
		}
	}
	if !bytes.Contains(find(t, files, "workshop/cutlist.csv").Data, []byte("20.046875")) {
		t.Error("20-3/64 in is not 20.046875 in cutlist.csv")
	}
}

// boxOf is the space of one text: ascent and descent of the capitals and digits.
func boxOf(x drawing.Text) (x0, y0, x1, y1 float64) {
	const point = 25.4 / 72
	up, w := x.Size*point*0.70, x.Width
	left := 0.0
	switch x.Align {
	case drawing.Centre:
		left = -w / 2
	case drawing.Right:
		left = -w
	}
	if x.Angle == 90 {
		return x.X - up, x.Y - left - w, x.X, x.Y - left
	}
	return x.X + left, x.Y - up, x.X + left + w, x.Y
}

func TestNoTextMeetsAnother(t *testing.T) {
	for _, e := range examples(t) {
		s, err := newSet(e.plan, e.job)
		if err != nil {
			t.Fatal(err)
		}
		bars := s.document("bars", true)
		bars.drawings = true
		bars.barPages("")
		bars.save("bars.pdf")
		list := s.document("list", false)
		list.cutList("")
		list.save("list.pdf")
		sheets := s.document("sheets", true)
		sheets.drawings = true
		sheets.sheetPages("")
		sheets.save("sheets.pdf")
		ask := s.document("enquiry", true)
		ask.enquiry(e.job.Enquiry())
		ask.save("enquiry.pdf")
		papers := []*document{bars, list, sheets, ask, s.stopPaper(), s.paintPaper(s.cutOrder()), s.kitPaper(kits(e.job))}
		for _, name := range ordered(e.plan, e.job) {
			order := s.document("order to "+name, false)
			order.order(name)
			order.save("order.pdf")
			papers = append(papers, order)
		}
		for _, d := range papers {
			for n, p := range d.pages {
				textsApart(t, e.name+" "+d.kind, n+1, &p.Page)
			}
		}
	}
}

func textsApart(t *testing.T, name string, n int, p *drawing.Page) {
	t.Helper()
	var texts []drawing.Text
	for _, it := range p.Items {
		if x, ok := it.(drawing.Text); ok {
			texts = append(texts, x)
		}
	}
	for i, a := range texts {
		ax0, ay0, ax1, ay1 := boxOf(a)
		if ax0 < filing || ay0 < margin || ax1 > p.Width-margin || ay1 > p.Height-margin {
			t.Errorf("%s, page %d: %q leaves the frame", name, n, a.Text)
		}
		for _, b := range texts[i+1:] {
			bx0, by0, bx1, by1 := boxOf(b)
			if ax0 < bx1 && bx0 < ax1 && ay0 < by1 && by0 < ay1 {
				t.Errorf("%s, page %d: %q and %q overlap", name, n, a.Text, b.Text)
			}
		}
	}
}
