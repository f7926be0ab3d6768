package job

import (
	"strings"
	"testing"
)

// Mitres share cuts where we saw, until the job says that they do not; where the
// supplier saws, once it says that they do.
func TestSharedMitres(t *testing.T) {
	const job = `[job]
name = "Frames of the hide"
revision = "A"
date = 2026-11-24
unit = "mm"
currency = "EUR"
[material.tube]
stock = "SHS 40x40x2"
alloy = "6063-T6"
process = "saw"
[process.saw]
kind = "KIND"
kerf = 2.5
MORE
[tables]
offers = '''
supplier, material, size, price
Curlew, tube, 6000, 21.40 each
'''
pieces = '''
mark, material, length, left, right, quantity
P1, tube, 720, 45, 45, 4
'''
`
	for _, c := range []struct {
		kind, more     string
		shares, oneWay bool
		fault          string
	}{
		{"saw", "", true, false, ""},
		{"mitre saw", `swings = "both ways"`, true, false, ""},
		{"saw", "shared-mitres = false", false, false, ""},
		{"saw", `swings = "one way"`, true, true, ""},
		{"saw", `done-by = "supplier"`, false, false, ""},
		{"saw", "done-by = \"supplier\"\nshared-mitres = true", true, false, ""},
		{"saw", `swings = "left"`, false, false, `write "both ways"`},
		{"saw", `shared-mitres = 1`, false, false, "true or false"},
		{"panel saw", `shared-mitres = true`, false, false, "shared-mitres has no meaning for a panel saw; take the line out"},
		{"panel saw", `swings = "one way"`, false, false, "swings has no meaning for a panel saw; take the line out"},
	} {
		j, err := readText(t, strings.NewReplacer("KIND", c.kind, "MORE", c.more).Replace(job))
		if c.fault != "" {
			if err == nil || !strings.Contains(err.Error(), c.fault) {
				t.Errorf("%s, %s: %v, want %q", c.kind, c.more, err, c.fault)
			}
			continue
		}
		if err != nil {
			t.Errorf("%s, %s: %v", c.kind, c.more, err)
			continue
		}
		if p := j.Processes[0]; p.SharedMitres != c.shares || p.OneWay != c.oneWay {
			t.Errorf("%s, %s: shared %t, one way %t", c.kind, c.more, p.SharedMitres, p.OneWay)
		}
	}
}
