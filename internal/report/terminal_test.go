package report

import (
	"bytes"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"sawbill/internal/plan"
)

func TestSummaryLines(t *testing.T) {
	for _, e := range examples(t) {
		var b bytes.Buffer
		if err := Summary(&b, e.plan, e.job, strings.Repeat("a/very/deep/folder/", 9)+"pack"); err != nil {
			t.Fatal(err)
		}
		narrow(t, b.String())
	}
}

func narrow(t rapid.TB, text string) {
	t.Helper()
	for _, l := range strings.Split(text, "\n") {
		if n := cellWidth(l); n > columns {
			t.Errorf("%d columns: %q", n, l)
		}
		if strings.ContainsAny(l, "\x1b\x07\r") {
			t.Errorf("a control character reaches the terminal: %q", l)
		}
	}
}

// Nothing a user names or pays may break the lines.
func TestSummaryOfAnything(t *testing.T) {
	p, j := hide(t)
	rapid.Check(t, func(t *rapid.T) {
		q := *p
		q.Job.Name = rapid.String().Draw(t, "name")
		q.Currency = rapid.StringN(0, 8, -1).Draw(t, "currency")
		q.Total = plan.Money(rapid.Int64Range(0, 1e15).Draw(t, "total"))
		q.Payable, q.Status = q.Total, plan.Open
		q.Charges = []plan.Charge{{Supplier: rapid.String().Draw(t, "supplier"), What: rapid.String().Draw(t, "what"), Amount: q.Total}}
		q.Materials = append([]plan.Material(nil), p.Materials...)
		q.Materials[0].Key = rapid.String().Draw(t, "key")
		q.Materials[0].Stock = rapid.String().Draw(t, "stock")
		q.Materials[0].Buy = []plan.Line{{Supplier: rapid.String().Draw(t, "from"), Length: 1, Count: rapid.Int64Range(0, 1e12).Draw(t, "count"), Amount: q.Total}}
		var b bytes.Buffer
		if err := Summary(&b, &q, j, rapid.String().Draw(t, "dir")); err != nil {
			t.Fatal(err)
		}
		narrow(t, b.String())
	})
}

func TestSummarySays(t *testing.T) {
	p, j := hide(t)
	var b bytes.Buffer
	if err := Summary(&b, p, j, "hide/pack"); err != nil {
		t.Fatal(err)
	}
	for _, w := range []string{"SHS 25x25x2 mm, 6063-T6", "21.40", "107.00", "274.77", "Charges, North Reach Metals        35.00", "To pay, EUR       309.77",
		"at most 3.40 EUR could still be saved", "proven cheapest", "88.1 %", "Papers in hide/pack", "North-Reach-Metals/order.pdf", "not a structural design"} {
		if !strings.Contains(b.String(), w) {
			t.Errorf("the summary does not say %q:\n%s", w, b.String())
		}
	}
	for effort, more := range map[string]bool{"normal": true, "long": false} {
		p.Struck, p.Options.Effort = "effort", effort
		b.Reset()
		if err := Summary(&b, p, j, "pack"); err != nil {
			t.Fatal(err)
		}
		if !strings.Contains(b.String(), "ended at the effort set for it.") || strings.Contains(b.String(), "--effort long") != more {
			t.Errorf("effort %s:\n%s", effort, b.String())
		}
	}
	p.Status, p.Bound = plan.Proven, p.Total
	b.Reset()
	if err := Summary(&b, p, j, "pack"); err != nil {
		t.Fatal(err)
	}
	if w := "proven cheapest for the prices entered on 2026-11-24"; !strings.Contains(b.String(), w) {
		t.Errorf("the summary does not say %q", w)
	}
}

// Widths from Unicode's annex 11: ideographs are wide, combining marks take no
// column.
func TestRuneColumns(t *testing.T) {
	for text, want := range map[string]int{"abc": 3, "屋根": 4, "e\u0301": 1, "🐦": 2, "Ａ": 2} {
		if got := cellWidth(text); got != want {
			t.Errorf("%q takes %d columns, want %d", text, got, want)
		}
	}
}
