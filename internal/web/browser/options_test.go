package browser

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
)

// hide is a small job with more than one way to buy it.
const hide = `[job]
name = "Hide door"
unit = "mm"
currency = "EUR"
[material.tube]
stock = "SHS 25x25x2"
alloy = "6063-T6"
process = "saw"
[process.saw]
kerf = 3
[supplier.Curlew]
delivery = 20
[supplier.Avocet]
delivery = 9
[tables]
offers = '''
supplier, material, size, price
Curlew, tube, 6000, 24.40
Curlew, tube, 2500, 11
Avocet, tube, 4000, 17.50
'''
pieces = '''
mark, material, length, quantity
P1, tube, 1800, 4
P2, tube, 760, 6
'''
`

// TestOptions: a job's options are compared and one is taken, by the keyboard too.
func TestOptions(t *testing.T) {
	b := visit(t, map[string]string{"door/job.toml": hide})
	b.open("/compare?f=door/job.toml")
	b.do(chromedp.Click("form[action='/compare/start'] button"))
	b.until("the options are shown", "document.querySelector('#take')")
	b.until("the chart is drawn", "document.querySelector('figure.drawing svg')")
	b.says("Avocet alone")
	b.shot("compared")
	b.do(chromedp.Evaluate[chromedp.Void]("[...document.querySelectorAll('.list a')].find((a) => a.textContent === 'Avocet alone').focus()"), chromedp.KeyEvent("\r"))
	b.until("it is told what changes", "document.querySelector('details.take[open]')?.innerText.includes('Curlew, tube, 2500, 11')")
	b.shot("take")
	b.do(chromedp.Evaluate[chromedp.Void]("document.querySelector('details.take[open] button').focus()"), chromedp.KeyEvent("\r"))
	b.until("the tables are shown", "document.querySelector('table[data-table=offers]')")
	want := strings.Replace(hide, "Curlew, tube, 6000", "# Curlew, tube, 6000", 1)
	want = strings.Replace(want, "Curlew, tube, 2500", "# Curlew, tube, 2500", 1)
	if got := b.file("door/job.toml"); got != want {
		t.Errorf("the job is\n%s", got)
	}
	b.says("No faults.")
	b.do(chromedp.Click("form[action='/job/undo'] button"))
	b.says("Undo (0)")
	if got := b.file("door/job.toml"); got != hide {
		t.Errorf("taken back, the job is\n%s", got)
	}
}

// TestSearchWatched: the bound and the best plan are seen as they close in on each
// other, and a search is stopped by hand.
func TestSearchWatched(t *testing.T) {
	var list strings.Builder
	list.WriteString("mark, material, length, left, right, quantity\n")
	rows := strings.Split(strings.TrimSpace(hundred()), "\r\n")
	for _, row := range rows {
		f := strings.Split(row, "\t")
		list.WriteString(f[0] + ", tube, " + f[2] + ", 45, 30, 3\n")
	}
	plain := strings.NewReplacer("[supplier.Curlew]\ndelivery = 20\n[supplier.Avocet]\ndelivery = 9\n", "", "Avocet", "Curlew").Replace(hide)
	long := plain[:strings.Index(plain, "mark, material")] + list.String() + "'''\n"
	b := visit(t, map[string]string{"long/job.toml": long})
	b.open("/plan?f=long/job.toml")
	b.do(chromedp.Click("form[action='/plan/start'] button"))
	b.until("the plot is drawn", "document.querySelector('#run svg polyline.bound')?.getAttribute('points').includes(',')")
	b.shot("search")
	b.do(chromedp.Click("form[action='/stop'] button"))
	b.until("the plan is shown", "document.querySelector('.block')")
	b.shot("stopped")
}

// TestTwoPages: what is changed elsewhere meanwhile is not written over, and what
// was typed in vain is told.
func TestTwoPages(t *testing.T) {
	b := visit(t, map[string]string{"door/job.toml": hide})
	b.open("/job?f=door/job.toml")
	changed := strings.Replace(hide, "1800", "1810", 1)
	if err := os.WriteFile(filepath.Join(b.dir, "door", "job.toml"), []byte(changed), 0o644); err != nil {
		t.Fatal(err)
	}
	b.write("table[data-table=pieces] tr[data-r='0'] td:nth-child(3) input", "1790")
	b.says("changed elsewhere meanwhile")
	b.says(`length of row 1, which is "1810", to be "1790"`)
	if got := b.file("door/job.toml"); got != changed {
		t.Errorf("the job is\n%s", got)
	}
	b.write("table[data-table=pieces] tr[data-r='0'] td:nth-child(3) input", "1790")
	b.says("Saved in door/job.toml")
	if got := b.file("door/job.toml"); got != strings.Replace(hide, "1800", "1790", 1) {
		t.Errorf("the job is\n%s", got)
	}
}
