package browser

import (
	"testing"

	"github.com/chromedp/chromedp"
)

// TestPairing: where others may ask, everyone enters the code first.
func TestPairing(t *testing.T) {
	b := visit(t, map[string]string{"door/job.toml": hide}, "--addr", "0.0.0.0:0")
	b.phone()
	for _, scheme := range []string{"light", "dark"} {
		b.scheme(scheme)
		b.open("/job?f=door/job.toml")
		b.says("Enter the code")
		b.says("not encrypted")
		b.narrow()
		b.axe("the code, " + scheme)
	}
	b.do(chromedp.SendKeys("input[name=code]", "ABCD 2345"), chromedp.Click("main button"))
	b.says("That is not the code")
	b.shot("wrong")
	b.do(chromedp.SendKeys("input[name=code]", b.code), chromedp.Click("main button"))
	b.says("door/job.toml")
	b.open("/job?f=door/job.toml")
	b.says("No faults.")
	if seen := read(b, chromedp.Evaluate[string]("document.cookie")); seen != "" {
		t.Errorf("scripts see the session: %q", seen)
	}
}
