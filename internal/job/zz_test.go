package job

import (
	"fmt"
	"os"
	"strings"
	"testing"
)

const base = `[job]
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

func TestZZ(t *testing.T) {
	b, _ := os.ReadFile("/tmp/jt2/cases.txt")
	for _, l := range strings.Split(strings.TrimSpace(string(b)), "\n") {
		if l == "" {
			continue
		}
		text := base
		if l[0] == '+' {
			text = unq(l[1:]) + base
		} else if l[0] == '!' {
			text = unq(l[1:])
		} else {
			p := strings.SplitN(l, " => ", 2)
			if len(p) < 2 {
				p = append(p, "")
			}
			o, n := unq(p[0]), unq(p[1])
			if !strings.Contains(text, o) {
				t.Errorf("no %q", o)
				continue
			}
			text = strings.Replace(text, o, n, 1)
		}
		j, err := readText(t, text)
		fmt.Println("##", l)
		if err != nil {
			fmt.Println(err)
		}
		if j != nil {
			fmt.Println("OK", j.Remarks)
		}
	}
}
func unq(s string) string {
	return strings.NewReplacer(`\n`, "\n", `\t`, "\t", `\r`, "\r", `\b`, `\`).Replace(s)
}
