package browser

import (
	"encoding/json"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/chromedp"
)

// scheme has the browser prefer light or dark pages.
func (b *tab) scheme(which string) {
	b.Helper()
	_, err := chromedp.Call(b.ctx, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{
		Features: []*emulation.MediaFeature{{Name: "prefers-color-scheme", Value: which}}})
	if err != nil {
		b.Fatal(err)
	}
}

// axe has axe-core 4.14.1 (Deque Systems, MPL 2.0) look for what keeps people from
// using the page, by the rules of WCAG 2.2 A and AA among others.
func (b *tab) axe(of string) {
	b.Helper()
	program, err := os.ReadFile("../testdata/axe/axe.min.js")
	if err != nil {
		b.Fatal(err)
	}
	b.do(chromedp.Evaluate[chromedp.Void](string(program) + "; undefined"))
	found := read(b, chromedp.Evaluate[string](`axe.run(document, { resultTypes: ["violations"] }).then((r) => JSON.stringify({ passed: r.passes.length, faults: r.violations
		.filter((v) => v.impact === "serious" || v.impact === "critical")
		.map((v) => v.id + ": " + v.help + ": " + v.nodes.slice(0, 3).map((n) => n.html + " " + n.failureSummary).join("; ")) }))`, chromedp.EvalAwaitPromise))
	var r struct {
		Passed int
		Faults []string
	}
	if err := json.Unmarshal([]byte(found), &r); err != nil {
		b.Fatal(err)
	}
	if r.Passed < 10 {
		b.Errorf("%s: axe looked at %d rules only", of, r.Passed)
	}
	for _, f := range r.Faults {
		b.Errorf("%s: %s", of, f)
	}
}

// example is the folder of the example, planned and compared.
func example(t *testing.T) *tab {
	t.Helper()
	b := visit(t, nil)
	home := "XDG_DATA_HOME=" + t.TempDir()
	run := func(args ...string) {
		c := exec.Command(binary, args...)
		c.Dir, c.Env = b.dir, append(os.Environ(), home)
		if out, err := c.CombinedOutput(); err != nil {
			t.Fatalf("sawbill %s: %v\n%s", strings.Join(args, " "), err, out)
		}
	}
	run("demo")
	run("compare", "bird-hide/job.toml", "--effort", "quick")
	b.open("/rack")
	for _, o := range [][2]string{{"SHS 50x50x3 6063-T6", "1840"}, {"SHS 50x50x3 6063-T6", "955"}, {"timber 45x145 larch", "2210"}} {
		b.do(chromedp.SendKeys("[action='/rack/add'] [name=material]", o[0]), chromedp.SendKeys("[action='/rack/add'] [name=length]", o[1]), chromedp.SendKeys("[action='/rack/add'] [name=place]", "bin 3"), chromedp.Click("[action='/rack/add'] button"))
		b.says(o[1] + " mm")
	}
	return b
}

// TestLook: every page, light in a wide window and dark on a phone: nothing keeps
// people out, and nothing is wider than the window.
func TestLook(t *testing.T) {
	b := example(t)
	faulty := strings.Replace(b.file("bird-hide/barrow/job.toml"), "\"sq tube 1x1x.125 wall\"", "\"sq tub\"", 1)
	if err := os.WriteFile(filepath.Join(b.dir, "faulty.toml"), []byte(faulty), 0o644); err != nil {
		t.Fatal(err)
	}
	for _, p := range []struct{ name, path string }{
		{"jobs", "/"},
		{"tables", "/job?f=bird-hide/job.toml"},
		{"faults", "/job?f=faulty.toml"},
		{"plan", "/plan?f=bird-hide/job.toml"},
		{"bill", "/paper?f=bird-hide/job.toml&n=bill.pdf"},
		{"cutlist", "/paper?f=bird-hide/job.toml&n=workshop/cutlist.pdf"},
		{"options", "/compare?f=bird-hide/job.toml"},
		{"unplanned", "/plan?f=bird-hide/barrow/job.toml"},
		{"saw", "/saw?f=bird-hide/job.toml"},
		{"rack", "/rack"},
		{"refused", "/job?f=none.toml"},
	} {
		for _, scheme := range []string{"light", "dark"} {
			b.scheme(scheme)
			b.do(chromedp.EmulateViewport(1100, 800))
			if scheme == "dark" {
				b.phone()
			}
			b.open(p.path)
			b.do(chromedp.Evaluate[chromedp.Void]("document.querySelectorAll('details').forEach((d) => { d.open = true; })"))
			if p.name == "options" {
				b.says("Take an option")
			}
			if p.name == "plan" {
				b.do(chromedp.ScrollIntoView("figure.drawing"))
				b.until("a layout is drawn", "document.querySelector('figure.drawing svg')")
			}
			b.narrow()
			b.axe(fmt.Sprintf("%s, %s", p.name, scheme))
			b.shot(p.name + "-" + scheme)
		}
	}
}

// TestPrint: a plan printed from its page has the figures and layouts, and nothing
// to press.
func TestPrint(t *testing.T) {
	b := visit(t, map[string]string{"door/job.toml": hide})
	b.open("/plan?f=door/job.toml")
	b.do(chromedp.Click("form[action='/plan/start'] button"))
	b.until("the plan is there", "document.querySelector('figure.drawing')")
	b.do(chromedp.ScrollIntoView("figure.drawing"))
	b.until("a layout is drawn", "document.querySelector('figure.drawing svg')")
	printed := read(b, chromedp.PrintToPDF())
	if _, err := exec.LookPath("pdftotext"); err != nil {
		t.Skip("LEFT OUT: the printed page was not read (pdftotext is not installed)")
	}
	text := pdfText(t, printed)
	for _, want := range []string{"What it costs", "68.80", "Pattern 1", "1800"} {
		if !strings.Contains(text, want) {
			t.Errorf("%q is not printed:\n%s", want, text)
		}
	}
	for _, never := range []string{"Plan again", "At the saw", "The whole pack", "Larger"} {
		if strings.Contains(text, never) {
			t.Errorf("%q is printed", never)
		}
	}
}
