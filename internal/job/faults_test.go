package job

import (
	"os"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
)

// sound is a job without faults, to be spoilt in one place at a time.
const sound = `[job]
name = "Screen"
unit = "mm"
currency = "EUR"
[material.tube]
stock = "SHS 25x25x2"
alloy = "6063-T6"
process = "saw"
[material.skin]
stock = "sheet 1.5"
alloy = "5005-H14"
process = "laser"
[process.saw]
kerf = 2.5
[process.laser]
spacing = 5
margin = 10
[tables]
offers = '''
supplier, material, size, price
North, tube, 6000, 21.40 each
East, skin, 2500 x 1250, 58
'''
pieces = '''
mark, material, length, left, right, quantity
P1, tube, 1200, 45, 45, 4
'''
panels = '''
mark, material, length, width, quantity
S1, skin, 600, 400, 2
'''
`

func TestSoundJob(t *testing.T) {
	j, err := readText(t, sound)
	if err != nil || len(j.Remarks) > 0 {
		t.Fatalf("%v, remarks %v", err, j.Remarks)
	}
}

// TestFaults spoils the sound job as testdata/faults.txt says and compares
// every message, its place and its sentence. Each case is
//
//	= what stands there → what is written in its place
//	the messages, one a line; a remark has "remark: " in front
//
// "= ↑ text" puts the text in front of the job, "= ∎ text" in place of it; ⏎
// is a line end and ⇥ a tab. A case that is no fault has no other line than
// its remarks.
func TestFaults(t *testing.T) {
	data, err := os.ReadFile("testdata/faults.txt")
	if err != nil {
		t.Fatal(err)
	}
	cases := strings.Split(strings.TrimSpace(string(data)), "\n= ")
	if len(cases) < 100 {
		t.Fatalf("only %d cases", len(cases))
	}
	for _, c := range cases {
		head, want, _ := strings.Cut(strings.TrimPrefix(c, "= "), "\n")
		if strings.HasPrefix(head, "#") {
			continue
		}
		t.Run(head, func(t *testing.T) {
			text := spoil(t, head)
			j, err := readText(t, text)
			var got []string
			if err != nil {
				got = strings.Split(err.Error(), "\n")
			} else {
				for _, m := range j.Remarks {
					got = append(got, "remark: "+m.String())
				}
			}
			if d := cmp.Diff(strings.TrimSpace(want), strings.Join(got, "\n")); d != "" {
				t.Error(d)
			}
		})
	}
}

func spoil(t *testing.T, head string) string {
	t.Helper()
	plain := strings.NewReplacer("⏎", "\n", "⇥", "\t")
	if text, ok := strings.CutPrefix(head, "↑ "); ok {
		return plain.Replace(text) + sound
	}
	if text, ok := strings.CutPrefix(head, "∎"); ok {
		return plain.Replace(strings.TrimPrefix(text, " "))
	}
	old, fresh, ok := strings.Cut(head, " → ")
	if !ok {
		old, ok = strings.CutSuffix(head, " →")
	}
	old, fresh = plain.Replace(old), plain.Replace(fresh)
	if !ok || strings.Count(sound, old) == 0 {
		t.Fatalf("%q is not in the sound job", old)
	}
	return strings.Replace(sound, old, fresh, 1)
}
