package main

import (
	"bytes"
	"context"
	"encoding/csv"
	"encoding/json"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
)

// invoke runs the program as from the command line.
func invoke(t *testing.T, args ...string) (code int, rows [][]string, errs string) {
	t.Helper()
	var out, bad bytes.Buffer
	code = run(t.Context(), args, &out, &bad)
	if out.Len() == 0 {
		return code, nil, bad.String()
	}
	rows, err := csv.NewReader(&out).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	if got := strings.Join(rows[0], ","); got != "instance,pieces,kinds,bound,value,proven,seconds" {
		t.Fatalf("header %q", got)
	}
	return code, rows[1:], bad.String()
}

// file writes text to a file of the test's own folder.
func file(t *testing.T, name, text string) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), name)
	if err := os.WriteFile(path, []byte(text), 0o666); err != nil {
		t.Fatal(err)
	}
	return path
}

// readPlan reads a plan file back.
func readPlan(t *testing.T, path string, into any) {
	t.Helper()
	text, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	decoder := json.NewDecoder(bytes.NewReader(text))
	decoder.DisallowUnknownFields()
	if err := decoder.Decode(into); err != nil {
		t.Fatal(err)
	}
}

func TestBars(t *testing.T) {
	// Fieldhouse's instance: 6 bars although the relaxation needs fewer than
	// 5 (D. Fieldhouse 1990, the duality gap in trim problems, SICUP Bulletin 5).
	stock := file(t, "stock.txt", "3\n30\n15 3\n10 5\n6 9\n")
	// GLPK 5.0, examples/bpp.mod: 'The optimal solution is 3 bins'.
	packing := file(t, "packing.txt", "6\n100\n50\n60\n30\n70\n50\n40\n")
	// P. C. Gilmore and R. E. Gomory, Operations Research 9 (1961) 849-859,
	// the example of three lengths.
	lengths := file(t, "lengths.txt", "3\n5 50 6\n6 50 7\n9 50 10\n3\n4 20\n3 10\n2 20\n")
	dir := filepath.Join(t.TempDir(), "made", "here")
	code, rows, errs := invoke(t, "1d", "--plans", dir, stock, packing, "--jobs", "2", lengths)
	if code != 0 || errs != "" || len(rows) != 3 {
		t.Fatalf("exit %d, %d rows, errors %q", code, len(rows), errs)
	}
	for i, want := range []struct {
		head  string
		value int64
	}{{"stock,17,3", 6}, {"packing,6,5", 3}, {"lengths,50,3", 170}} {
		if head := strings.Join(rows[i][:3], ","); head != want.head {
			t.Errorf("row %d begins %q, want %q", i, head, want.head)
		}
		checkRow(t, rows[i], want.value)
		if rows[i][4] != strconv.FormatInt(want.value, 10) {
			t.Errorf("%s: value %s, optimum %d", rows[i][0], rows[i][4], want.value)
		}
	}

	var plan struct {
		Bars []struct {
			Length int64
			Pieces []int64
		}
	}
	readPlan(t, filepath.Join(dir, "lengths.json"), &plan)
	price := map[int64]int64{5: 6, 6: 7, 9: 10}
	made := map[int64]int{}
	var cost int64
	for _, b := range plan.Bars {
		cost += price[b.Length]
		for _, piece := range b.Pieces {
			made[piece]++
			b.Length -= piece
		}
		if b.Length < 0 {
			t.Errorf("a bar is cut %d too far", -b.Length)
		}
	}
	if fmt.Sprint(made) != "map[2:20 3:10 4:20]" || cost != 170 {
		t.Errorf("the plan file makes %v at a cost of %d", made, cost)
	}
}

func TestSheets(t *testing.T) {
	// Twelve by twelve is quartered exactly; the second instance is sold in
	// two sizes, the larger for less than two of the smaller.
	text := `{"Name":"quarters/of four","Objects":[{"Length":12,"Height":12,"Stock":null,"Cost":144}],"Items":[{"Length":6,"Height":6,"Demand":8}]}
{"Name":"two","Objects":[{"Length":10,"Height":4,"Stock":null,"Cost":1.5},{"Length":20,"Height":4,"Stock":null,"Cost":2.75}],"Items":[{"Length":4,"Height":10,"Demand":2}]}`
	path := file(t, "both.jsonl", text)
	dir := t.TempDir()
	code, rows, errs := invoke(t, "2d", "--variant", "RG", "--plans", dir, path)
	if code != 0 || errs != "" || len(rows) != 2 {
		t.Fatalf("exit %d, %d rows, errors %q", code, len(rows), errs)
	}
	if got := strings.Join(rows[0][:6], ","); got != "quarters/of four,8,1,2,2,1" {
		t.Errorf("row %q", got)
	}
	if got := strings.Join(rows[1][:5], ","); !strings.HasSuffix(got, ",2.75") {
		t.Errorf("row %q, want the value 2.75", got)
	}
	type plan struct {
		Sheets []struct {
			Length, Height int64
			Items          []struct {
				Length, Height, X, Y int64
				Turned               bool
			}
		}
	}
	var quarters, two plan
	readPlan(t, filepath.Join(dir, "quarters_of four.json"), &quarters)
	if len(quarters.Sheets) != 2 || len(quarters.Sheets[0].Items) != 4 {
		t.Errorf("plan of quarters: %+v", quarters)
	}
	readPlan(t, filepath.Join(dir, "two.json"), &two)
	if len(two.Sheets) != 1 || len(two.Sheets[0].Items) != 2 {
		t.Fatalf("plan of two: %+v", two)
	}
	for _, it := range two.Sheets[0].Items {
		if it.Length != 4 || it.Height != 10 || !it.Turned || it.Y != 0 || it.X != 0 && it.X != 10 {
			t.Errorf("item %+v, want 4 by 10, turned, beside its like", it)
		}
	}
	// Unturned, nothing of the second instance fits.
	code, rows, _ = invoke(t, "2d", path)
	if code != 0 || len(rows) != 2 || strings.Join(rows[1][:6], ",") != "two,2,1,,,1" {
		t.Errorf("exit %d, rows %q, want an empty bound and value, proved", code, rows)
	}
	// The pinwheel fills one sheet when placement is free, two with cuts.
	path = file(t, "wheel.jsonl", `{"Name":"wheel","Objects":[{"Length":3,"Height":3,"Stock":null,"Cost":1}],"Items":[`+
		`{"Length":2,"Height":1,"Demand":2},{"Length":1,"Height":2,"Demand":2},{"Length":1,"Height":1,"Demand":1}]}`)
	for variant, want := range map[string]string{"og": "wheel,5,3,2,2,1", "of": "wheel,5,3,1,1,1"} {
		code, rows, errs = invoke(t, "2d", "--variant", variant, path)
		if code != 0 || len(rows) != 1 || strings.Join(rows[0][:6], ",") != want {
			t.Errorf("exit %d, rows %q, want %q, errors %q", code, rows, want, errs)
		}
	}
}

func TestFaults(t *testing.T) {
	good := file(t, "good.txt", "1 10 4 2")
	bad := file(t, "bad.txt", "1 10 4 2 7 7")
	tests := []struct {
		name string
		args []string
		code int
		rows int
		want string
	}{
		{"nothing", nil, exitUsage, 0, "say what to cut"},
		{"wrong dimension", []string{"3d", good}, exitUsage, 0, "say what to cut"},
		{"no files", []string{"1d"}, exitUsage, 0, "no file"},
		{"unknown flag", []string{"1d", "--variant", "OG", good}, exitUsage, 0, "variant"},
		{"unknown variant", []string{"2d", "--variant", "XX", good}, exitUsage, 0, `"XX"`},
		{"unknown direction", []string{"2d", "--first", "up", good}, exitUsage, 0, `"up"`},
		{"unknown effort", []string{"1d", "--effort", "much", good}, exitUsage, 0, `"much"`},
		{"negative time", []string{"1d", "--seconds", "-1", good}, exitUsage, 0, "-1"},
		{"no number", []string{"1d", "--seconds", "NaN", good}, exitUsage, 0, "NaN"},
		{"no jobs", []string{"1d", "--jobs", "0", good}, exitUsage, 0, "--jobs 0"},
		{"stages of free placement", []string{"2d", "--variant", "RF", "--stages", "2", good}, exitUsage, 0, "no meaning"},
		{"help", []string{"1d", "--help"}, exitOK, 0, "-seconds S"},
		{"bad and missing among good", []string{"1d", bad, good + ".none", good}, exitFault, 1, "bad.txt"},
		{"sheets of a bar file", []string{"2d", good}, exitFault, 0, "not an instance"},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			code, rows, errs := invoke(t, test.args...)
			if code != test.code || len(rows) != test.rows || !strings.Contains(errs, test.want) {
				t.Errorf("exit %d, %d rows, errors %q, want %d, %d, %q", code, len(rows), errs, test.code, test.rows, test.want)
			}
		})
	}
}

// TestReport runs instances with forged answers.
func TestReport(t *testing.T) {
	forged := func(name string, a answer, err error) instance {
		return instance{name: name, pieces: 1, kinds: 1, solve: func(context.Context, effort) (answer, error) { return a, err }}
	}
	instances := []instance{
		forged("a,b", answer{bound: "1", value: "2"}, nil),
		forged("wrong", answer{}, errors.New("the plan is wrong: a bar is cut too far")),
		forged("last", answer{bound: "3", value: "3", proven: true}, nil),
	}
	var out, errs bytes.Buffer
	sound, err := report(t.Context(), settings{jobs: 1}, instances, &out, &errs)
	if err != nil || sound {
		t.Errorf("report = %v, %v, want false, nil", sound, err)
	}
	if got := errs.String(); got != "bench: wrong: the plan is wrong: a bar is cut too far\n" {
		t.Errorf("errors %q", got)
	}
	lines := strings.Split(out.String(), "\n")
	if len(lines) != 4 || !strings.HasPrefix(lines[1], `"a,b",1,1,1,2,0,`) || !strings.HasPrefix(lines[2], "last,1,1,3,3,1,") {
		t.Errorf("rows %q", lines)
	}

	ctx, cancel := context.WithCancel(t.Context())
	instances[0].solve = func(context.Context, effort) (answer, error) {
		cancel()
		return answer{bound: "1", value: "2"}, nil
	}
	out.Reset()
	if sound, err := report(ctx, settings{jobs: 1}, instances, &out, &errs); err != nil || !sound {
		t.Errorf("interrupted report = %v, %v", sound, err)
	}
	if n := strings.Count(out.String(), "\n"); n != 2 {
		t.Errorf("an interrupted report has %d lines, want the header and the running instance: %q", n, out.String())
	}
}

func TestConsistent(t *testing.T) {
	for _, test := range []struct {
		recounted, value, bound int64
		proven, ok              bool
	}{
		{5, 5, 4, false, true},
		{5, 5, 5, true, true},
		{5, 5, 5, false, true},
		{5, 4, 4, false, false},
		{5, 5, 6, false, false},
		{5, 5, 4, true, false},
	} {
		if err := consistent(test.recounted, test.value, test.bound, test.proven); (err == nil) != test.ok {
			t.Errorf("consistent(%v) = %v", test, err)
		}
	}
}

// checkRow holds a row against a published optimum: a bound never above it,
// a value never below, proven only where they meet.
func checkRow(t *testing.T, row []string, optimum int64) {
	t.Helper()
	bound, err1 := strconv.ParseInt(row[3], 10, 64)
	value, err2 := strconv.ParseInt(row[4], 10, 64)
	if err1 != nil || err2 != nil {
		t.Errorf("%s: bound %q, value %q are not numbers", row[0], row[3], row[4])
		return
	}
	if bound > optimum || value < optimum || (row[5] == "1") != (bound == value) {
		t.Errorf("%s: bound %d, value %d, proven %s, optimum %d", row[0], bound, value, row[5], optimum)
	}
}
