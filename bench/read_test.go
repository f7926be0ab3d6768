package main

import (
	"reflect"
	"strings"
	"testing"
)

func TestReadBars(t *testing.T) {
	tests := []struct {
		name, text string
		want       barProblem
	}{
		{
			"cutting stock, tabs and carriage returns", "3\r\n30\r\n15\t3\r\n10\t5\r\n6\t9\r\n",
			barProblem{[]barPiece{{15, 3}, {10, 5}, {6, 9}}, []barStock{{30, -1, 1}}},
		},
		{
			"bin packing, equal lengths apart", "5\n100\n50\n60\n50\n30\n60\n",
			barProblem{[]barPiece{{50, 2}, {60, 2}, {30, 1}}, []barStock{{100, -1, 1}}},
		},
		{
			"bin packing on one line", "2 10 4 6",
			barProblem{[]barPiece{{4, 1}, {6, 1}}, []barStock{{10, -1, 1}}},
		},
		{
			"several lengths", "3\n5 50 6\n6 50 7\n9 50 10\n3\n4 20\n3 10\n2 20\n",
			barProblem{[]barPiece{{4, 20}, {3, 10}, {2, 20}}, []barStock{{5, 50, 6}, {6, 50, 7}, {9, 50, 10}}},
		},
		{
			"one length with supply and cost", "1\n100 4 250\n1\n30 7\n",
			barProblem{[]barPiece{{30, 7}}, []barStock{{100, 4, 250}}},
		},
		{
			"equal lengths at two costs", "2\n100 4 9\n100 9 12\n2\n30 7\n20 1\n",
			barProblem{[]barPiece{{30, 7}, {20, 1}}, []barStock{{100, 4, 9}, {100, 9, 12}}},
		},
		{
			"one kind, the shortest of its form", "1 10 4 2",
			barProblem{[]barPiece{{4, 2}}, []barStock{{10, -1, 1}}},
		},
		{
			"one piece, the shortest of its form", "1 10 4",
			barProblem{[]barPiece{{4, 1}}, []barStock{{10, -1, 1}}},
		},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			got, err := readBars(test.text)
			if err != nil {
				t.Fatal(err)
			}
			if !reflect.DeepEqual(got, test.want) {
				t.Errorf("read %v, want %v", got, test.want)
			}
		})
	}
}

func TestReadBarsFaults(t *testing.T) {
	tests := []struct{ name, text, want string }{
		{"empty", "", "no instance"},
		{"one number", "4", "no instance"},
		{"no kinds", "0 100", "no instance"},
		{"a number short", "2\n100\n50 3\n40\n", "fit none of the known forms"},
		{"a number over", "2\n100\n50 3\n40 1\n7\n", "fit none of the known forms"},
		{"kinds fewer than said", "2\n5 50 6\n6 50 7\n3\n4 20\n3 10\n", "fit none of the known forms"},
		{"a word", "2\n100\n50 3\n40 two\n", `"two"`},
		{"a fraction", "1\n188.5\n59 2\n", `"188.5"`},
		{"below zero", "1\n100\n-5 2\n", `"-5"`},
		{"beyond the range", "1\n99999999999999999999\n5 2\n", `"99999999999999999999"`},
		{"bar of no length", "1\n0\n5 2\n", "bar of length 0"},
		{"piece of no length", "2\n100\n5 2\n0 1\n", "piece of length 0"},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			_, err := readBars(test.text)
			if err == nil || !strings.Contains(err.Error(), test.want) {
				t.Errorf("error %v, want one that says %q", err, test.want)
			}
		})
	}
}

func TestReadSheets(t *testing.T) {
	text := `{"Name":"plain","Objects":[{"Length":10,"Height":8,"Stock":null,"Cost":80}],"Items":[{"Length":5,"Height":9,"Demand":1,"DemandMax":null,"Value":45}]}

{"Objects":[{"Length":33.0,"Height":69.0,"Stock":2.0},{"Length":20,"Height":10,"Cost":17.25}],"Items":[{"Length":31.0,"Height":43.0,"Demand":3.0},{"Length":3,"Height":4}]}`
	got, faults := readSheets("dir/file.jsonl", "file", []byte(text))
	if len(faults) > 0 {
		t.Fatal(faults)
	}
	want := []sheetProblem{
		{name: "plain", items: []panelKind{{5, 9, 1, 45}}, sheets: []sheetKind{{10, 8, -1, 1}}},
		{
			name: "file_3", items: []panelKind{{31, 43, 3, 31 * 43}, {3, 4, 1, 12}}, decimals: 2,
			sheets: []sheetKind{{33, 69, 2, 227700}, {20, 10, -1, 1725}},
		},
	}
	if !reflect.DeepEqual(got, want) {
		t.Errorf("read %v, want %v", got, want)
	}
	for cost, text := range map[int64]string{227700: "2277", 1725: "17.25", 5: "0.05", 0: "0", 110: "1.1"} {
		if got := got[1].amount(cost); got != text {
			t.Errorf("amount(%d) = %q, want %q", cost, got, text)
		}
	}
}

func TestReadSheetsFaults(t *testing.T) {
	const item = `"Items":[{"Length":5,"Height":9,"Demand":1}]`
	tests := []struct{ name, text, want string }{
		{"empty", "\n\n", "no instance"},
		{"not JSON", "10 10", "not an instance"},
		{"no sheets", `{"Objects":[],` + item + `}`, "needs Objects"},
		{"no items", `{"Objects":[{"Length":10,"Height":10}],"Items":[]}`, "needs Objects"},
		{"fractional size", `{"Objects":[{"Length":10.5,"Height":10}],` + item + `}`, `Length "10.5"`},
		{"no height", `{"Objects":[{"Length":10}],` + item + `}`, `Height ""`},
		{"negative stock", `{"Objects":[{"Length":10,"Height":10,"Stock":-1}],` + item + `}`, `Stock "-1"`},
		{"huge size", `{"Objects":[{"Length":1e300,"Height":10}],` + item + `}`, `Length "1e300"`},
		{"negative cost", `{"Objects":[{"Length":1,"Height":1,"Cost":-2},{"Length":1,"Height":1}],` + item + `}`, "Cost -2"},
		{"cost too fine", `{"Objects":[{"Length":1,"Height":1,"Cost":1e-9},{"Length":1,"Height":1}],` + item + `}`, "Cost 0.000000001"},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			_, faults := readSheets("f", "f", []byte(test.text))
			if len(faults) != 1 || !strings.Contains(faults[0].Error(), test.want) {
				t.Errorf("faults %v, want one that says %q", faults, test.want)
			}
		})
	}
	good := `{"Objects":[{"Length":10,"Height":10}],` + item + `}`
	problems, faults := readSheets("f", "f", []byte(good+"\n{\n"+good))
	if len(problems) != 2 || len(faults) != 1 || !strings.HasPrefix(faults[0].Error(), "f:2: ") {
		t.Errorf("a bad line among good ones: %d problems, faults %v", len(problems), faults)
	}
}
