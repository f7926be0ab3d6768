package lptest_test

import (
	"context"
	"math"
	"os"
	"strings"
	"testing"

	"sawbill/solver"
	"sawbill/solver/embedded"
	"sawbill/solver/lptest"
)

func read(t *testing.T, name string) *lptest.Problem {
	t.Helper()
	f, err := os.Open("testdata/" + name)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	p, err := lptest.ReadMPS(f)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

func TestReadMPSOptima(t *testing.T) {
	for name, optimum := range map[string]float64{"wyndor.mps": -36, "bounds.mps": -0.5} {
		p := read(t, name)
		lp := embedded.Engine{}.New()
		p.Load(lp)
		if s := lp.Solve(context.Background(), 0); s != solver.Optimal {
			t.Errorf("%s: status %v", name, s)
		}
		if got := lp.Objective() + p.Constant; math.Abs(got-optimum) > 1e-9 {
			t.Errorf("%s: objective %g, want %g", name, got, optimum)
		}
	}
}

func TestReadMPSData(t *testing.T) {
	p := read(t, "bounds.mps")
	inf := math.Inf(1)
	rows := map[string][2]float64{"e1": {4, 6}, "e2": {-2, 1}, "l1": {6, 10}, "g1": {-5, 2}, "r0": {0, 0}}
	for _, r := range p.Rows {
		if want, ok := rows[r.Name]; !ok || want != [2]float64{r.Lower, r.Upper} {
			t.Errorf("row %s: [%g, %g], want %v", r.Name, r.Lower, r.Upper, want)
		}
	}
	columns := map[string][2]float64{"x": {0, 4}, "y": {-inf, inf}, "z": {3, 3}, "w": {-inf, -1},
		"v": {2, 9}, "u": {-inf, inf}, "b": {0, 1}, "i": {-2, 2}}
	for _, c := range p.Columns {
		if want, ok := columns[c.Name]; !ok || want != [2]float64{c.Lower, c.Upper} {
			t.Errorf("column %s: [%g, %g], want %v", c.Name, c.Lower, c.Upper, want)
		}
		if c.Integer != (c.Name == "b" || c.Name == "i") {
			t.Errorf("column %s: integer %v", c.Name, c.Integer)
		}
	}
	if len(p.Rows) != len(rows) || len(p.Columns) != len(columns) {
		t.Errorf("%d rows, %d columns", len(p.Rows), len(p.Columns))
	}
	if p := read(t, "wyndor.mps"); p.Rows[2].Name != "PLANT 3" || p.Rows[2].Upper != 18 {
		t.Errorf("third row %+v", p.Rows[2])
	}
}

func TestReadMPSRefuses(t *testing.T) {
	for text, want := range map[string]string{
		"":                                "no ENDATA",
		"ROWS\n X r\nENDATA\n":            `row kind "X"`,
		"ROWS\n N c\nCOLUMNS\n x r 1\n":   `row "r" is not in ROWS`,
		"ROWS\n N c\nCOLUMNS\n x c one\n": `"one" is not a number`,
		"BOUNDS\n UP b x 1\n":             `column "x" is not in COLUMNS`,
		"SIDES\n a b\n":                   `data in section "SIDES"`,
	} {
		_, err := lptest.ReadMPS(strings.NewReader(text))
		if err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%q: error %v, want one with %q", text, err, want)
		}
	}
}
