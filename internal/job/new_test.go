package job

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/xuri/excelize/v2"
)

// begin writes a list, makes its job file and reads that back with prices and
// whatever else was asked for filled in. It gives the job file's text and the
// faults of reading it as it was made.
func begin(t *testing.T, name, list string, fill ...string) (text string, asked []string, j *Job) {
	t.Helper()
	dir := t.TempDir()
	path := filepath.Join(dir, name)
	if err := os.WriteFile(path, []byte(list), 0o600); err != nil {
		t.Fatal(err)
	}
	made, err := New(path)
	if err != nil {
		t.Fatal(err)
	}
	text = string(made)
	_, err = readText(t, text, name, list)
	faults, ok := err.(Faults)
	if !ok {
		t.Fatalf("the job as made is read with %v", err)
	}
	for _, f := range faults {
		asked = append(asked, f.String())
	}
	filled := strings.NewReplacer(append(fill, "mm,\n", "mm, 20 each\n", "ft,\n", "ft, 20 each\n", "in,\n", "in, 20 each\n")...).Replace(text)
	j, err = readText(t, filled, name, list)
	if err != nil {
		t.Fatalf("%v\n%s", err, filled)
	}
	return text, asked, j
}

func TestNewFromDesignations(t *testing.T) {
	list := "Cut list; rev B\n\nPos.;Profil;Länge [mm];Anzahl;Winkel links;Oberfläche\n" +
		"P1;SHS 25x25x2 6063-T6;1200,5;4;45;roh\nP2;SHS 40x40x3 6063-T6;800;2;;roh\nP3;SHS 25x25x2 6063-T6;400;1;;roh\nSumme;;;7;;\n"
	text, asked, j := begin(t, "list.csv", list)
	if d := cmp.Diff([]string{"P1 1200.5 mm 45 0 4", "P2 800 mm 0 0 2", "P3 400 mm 0 0 1"}, listing(j)); d != "" {
		t.Error(d)
	}
	if len(j.Materials) != 2 || j.Materials[0].Section.Canonical != "SHS 25x25x2 mm" || j.Materials[1].Alloy.Name != "6063-T6" {
		t.Errorf("materials: %+v", j.Materials)
	}
	if strings.Contains(text, "[columns") {
		t.Errorf("the columns need no map:\n%s", text)
	}
	// Nothing is asked for but the two prices.
	if len(asked) != 2 || !strings.Contains(asked[0], "has no price") || !strings.Contains(asked[1], "has no price") {
		t.Errorf("asked for: %s", strings.Join(asked, "\n"))
	}
}

func TestNewFromNames(t *testing.T) {
	list := "mark,material,length,quantity\nP1,Tube,47 3/8,4\nP2,Rail,3' 2\",2\n"
	text, asked, j := begin(t, "list.csv", list,
		"stock = \"?\"", "stock = \"sq tube 1x1x.125\"", "alloy = \"?\"", "alloy = \"6061-T6\"")
	if len(j.Pieces) != 2 || j.Materials[0].Key != "Tube" || j.Materials[1].Key != "Rail" || j.Unit.String() != "in" || j.Paper != "Letter" {
		t.Errorf("%+v", j)
	}
	for _, want := range []string{`stock is not filled in`, `alloy is not filled in`, `has no price`} {
		if !strings.Contains(strings.Join(asked, "\n"), want) {
			t.Errorf("the job as made does not ask: %s\n%s", want, text)
		}
	}
}

func TestNewFromPanels(t *testing.T) {
	list := "mark\tmaterial\tlength (mm)\twidth (mm)\tqty\nS1\tsheet 1.5\t1150,5\t780\t2\nS2\tply 12\t600\t400\t1\n"
	_, _, j := begin(t, "list.tsv", list,
		`alloy = "?"                     # what it is made of, such as "birch ply"`, `alloy = "birch ply"`, `alloy = "?"`, `alloy = "5005"`)
	if len(j.Panels) != 2 || j.Panels[0].Length != mm(1150.5) || !j.Materials[0].Sheet() {
		t.Errorf("%+v", j)
	}
}

// One list of both, as a drawing program exports it.
func TestNewFromBoth(t *testing.T) {
	list := "Mark,Stock,Length,Width,Qty,Finish\nP1,SHS 25x25x2 6063-T6,1200,,4,mill\nS1,sheet 1.5 5005-H14,600,400,2,mill\nP2,SHS 25x25x2 6063-T6,800,,2,mill\nTotal,,,,8,\n"
	text, asked, j := begin(t, "list.csv", list)
	if d := cmp.Diff([]string{"P1 1200 mm 0 0 4", "P2 800 mm 0 0 2"}, listing(j)); d != "" {
		t.Error(d)
	}
	if len(j.Panels) != 1 || j.Panels[0].Mark != "S1" || j.Panels[0].Width != mm(400) {
		t.Errorf("%+v", j.Panels)
	}
	if d := cmp.Diff([]string{`list.csv:1:29: the column "Finish" is not read`, "list.csv:5:1: the row of totals was not read"}, remarks(j)); d != "" {
		t.Error(d)
	}
	if len(asked) != 2 || len(j.Files) != 2 {
		t.Errorf("%v %v\n%s", asked, j.Files, text)
	}
}

// Two columns that both look like the mark, one list without one.
func TestNewMapsColumns(t *testing.T) {
	text, asked, j := begin(t, "list.csv", "Part,Mark,Length,Qty\nleg,P1,1200,4\nleg,P2,800,2\n",
		"stock = \"?\"", "stock = \"SHS 25x25x2\"", "alloy = \"?\"", "alloy = \"6063\"")
	if !strings.Contains(text, "[columns.pieces]\nmark = \"Mark\"\n") {
		t.Error(text)
	}
	if len(j.Pieces) != 2 || j.Pieces[0].Mark != "P1" || len(asked) == 0 {
		t.Errorf("%+v", j.Pieces)
	}
	text, asked, j = begin(t, "list.csv", "Bez,Abm,Length\nP1,x,1200\nP2,x,800\n",
		"stock = \"?\"", "stock = \"SHS 25x25x2\"", "alloy = \"?\"", "alloy = \"6063\"", "mark = \"?\"", "mark = \"Bez\"")
	if !strings.Contains(text, `# "Bez", "Abm", "Length"`) || !strings.Contains(strings.Join(asked, "\n"), "mark is not filled in") {
		t.Errorf("%s\n%s", text, asked)
	}
	if len(j.Pieces) != 2 || j.Pieces[1].Mark != "P2" {
		t.Errorf("%+v", j.Pieces)
	}
}

func TestNewAlloyBeside(t *testing.T) {
	_, asked, j := begin(t, "list.csv", "mark,profile,material,length\nP1,SHS 25x25x2,6063-T6,1200\nP2,SHS 40x40x3,6063-T6,800\n")
	if len(j.Materials) != 2 || j.Materials[0].Alloy.Name != "6063-T6" || len(asked) != 2 {
		t.Errorf("%+v %v", j.Materials, asked)
	}
}

// Drawing programs name the section under a description and its alloy beside it.
func TestNewFromDescription(t *testing.T) {
	text, asked, j := begin(t, "list.csv", "ITEM NO.,PART NUMBER,DESCRIPTION,MATERIAL,LENGTH,WIDTH,QTY.\n"+
		"1,P1,\"TUBE, SQUARE 40 x 40 x 3\",6063-T6,1200,,4\n2,S1,sheet 1.5,5005-H14,600,400,2\n3,P2,\"TUBE, SQUARE 40 x 40 x 3\",6063-T6,800,,2\n,,,,,Total,8\n")
	if d := cmp.Diff([]string{"P1 1200 mm 0 0 4", "P2 800 mm 0 0 2"}, listing(j)); d != "" {
		t.Error(d)
	}
	if len(j.Panels) != 1 || len(j.Materials) != 2 || j.Materials[0].Key != "tube-square-40-x-40-x-3" || j.Materials[0].Alloy.Name != "6063-T6" || j.Materials[1].Alloy.Name != "5005-H14" || len(asked) != 2 {
		t.Errorf("%+v %v\n%s", j.Materials, asked, text)
	}
}

// A list without marks is numbered, unless a column may hold them.
func TestNewWithoutMarks(t *testing.T) {
	text, asked, j := begin(t, "list.csv", "Qty,Description,Length\n4,SHS 25x25x2 6063,1200\n2,SHS 25x25x2 6063,800\n")
	if d := cmp.Diff([]string{"P1 1200 mm 0 0 4", "P2 800 mm 0 0 2"}, listing(j)); d != "" || len(asked) != 1 {
		t.Errorf("%s %v\n%s", d, asked, text)
	}
	if d := cmp.Diff([]string{"list.csv:1:1: the table of pieces has no marks; its rows are marked P1, P2 and so on"}, remarks(j)); d != "" {
		t.Error(d)
	}
	_, asked, _ = begin(t, "list.csv", "Bez,Qty,Section,Length\na,4,SHS 25x25x2 6063,1200\nb,2,SHS 25x25x2 6063,800\n", `mark = "?"`, `mark = "Bez"`)
	if !strings.Contains(strings.Join(asked, "\n"), "mark is not filled in") {
		t.Errorf("%v", asked)
	}
	// One list of both is numbered by kind.
	_, _, j = begin(t, "list.csv", "Stock,Length,Width,Qty\nSHS 25x25x2 6063,1200,,4\nsheet 1.5 5005,600,400,2\nSHS 25x25x2 6063,800,,2\n")
	if len(j.Panels) != 1 || j.Panels[0].Mark != "S1" || len(j.Pieces) != 2 || j.Pieces[1].Mark != "P2" {
		t.Errorf("%+v %+v", j.Pieces, j.Panels)
	}
}

// What a panel is made of in one column, how thick it is in another.
func TestNewWithThickness(t *testing.T) {
	text, asked, j := begin(t, "list.csv", "Name,Length,Width,Thickness,Material,Qty\nSide,800,400,18,birch ply,2\nTop,600,400,18,Birch ply,1\nBack,800,600,6,birch ply,1\nFace,700,500,1.5,5005-H14,1\n")
	if len(asked) != 3 || len(j.Materials) != 3 || len(j.Panels) != 4 {
		t.Fatalf("%v %+v\n%s", asked, j.Materials, text)
	}
	for i, want := range []string{"ply 18 mm", "ply 18 mm", "ply 6 mm", "sheet 1.5 mm"} {
		if got := j.Materials[j.Panels[i].Material].Section.Canonical; got != want {
			t.Errorf("panel %s is of %s", j.Panels[i].Mark, got)
		}
	}
	_, asked, j = begin(t, "list.csv", "Mark,Length,Width,Thk,Qty\nA,800,400,18,2\nB,600,400,6,1\n",
		"[material.18]\nstock = \"?\"", "[material.18]\nstock = \"ply 18\"", "[material.6]\nstock = \"?\"", "[material.6]\nstock = \"ply 6\"", `alloy = "?"`, `alloy = "birch ply"`)
	if len(j.Materials) != 2 || j.Panels[1].Material != 1 || len(asked) < 4 {
		t.Errorf("%v %+v", asked, j.Panels)
	}
}

// A thickness that the material has not is refused.
func TestThickness(t *testing.T) {
	change := func(old, new string) string { return strings.Replace(sound, old, new, 1) }
	text := change("mark, material, length, width", "mark, material, thickness, length, width")
	if text == sound {
		t.Fatal("the sound job has no such heads")
	}
	for thickness, want := range map[string]string{"1.5": "", "1.5 mm": "", "": "", "2": `thickness "2" is not that of "skin", which is sheet 1.5 mm; add a [material.NAME] of that thickness`, "thin": "thickness"} {
		with := strings.NewReplacer("S1, skin,", "S1, skin, \""+thickness+"\",", "S2, skin,", "S2, skin, \""+thickness+"\",").Replace(text)
		_, err := readText(t, with)
		if (err == nil) != (want == "") || err != nil && !strings.Contains(err.Error(), want) {
			t.Errorf("%q: %v", thickness, err)
		}
	}
}

// Lengths that bring their units, more of one system than of the other.
func TestNewFromBothSystems(t *testing.T) {
	_, _, j := begin(t, "list.csv", "mark,section,length\nP1,SHS 25x25x2 6063,1200 mm\nP2,SHS 25x25x2 6063,1.2 m\nP3,SHS 25x25x2 6063,10 in\n")
	if j.Unit.String() != "mm" || len(j.Pieces) != 3 || j.Pieces[2].Length != mm(254) {
		t.Errorf("%+v", j)
	}
}

// A workbook with a worksheet of each kind, in either order, and a third that
// is not read and not kept silent about.
func TestNewFromTwoWorksheets(t *testing.T) {
	for _, order := range [][]string{{"Tube", "Skin", "Roof"}, {"Skin", "Tube", "Roof"}} {
		f := excelize.NewFile()
		for i, name := range order {
			if i == 0 {
				name = "Sheet1"
			}
			if _, err := f.NewSheet(name); err != nil {
				t.Fatal(err)
			}
			rows := [][]any{{"Mark", "Material", "Length", "Qty"}, {"P1", "SHS 25x25x2 6063", 1200, 4}}
			if order[i] == "Skin" {
				rows = [][]any{{"Mark", "Material", "Length", "Width", "Qty"}, {"S1", "sheet 1.5 5005", 600, 400, 4}}
			} else if i == 2 {
				rows[1][0] = "P9"
			}
			for n, r := range rows {
				if err := f.SetSheetRow(name, fmt.Sprint("A", n+1), &r); err != nil {
					t.Fatal(err)
				}
			}
		}
		b, err := f.WriteToBuffer()
		if err != nil {
			t.Fatal(err)
		}
		text, asked, j := begin(t, "list.xlsx", b.String())
		if len(j.Pieces) != 1 || j.Pieces[0].Mark != "P1" || len(j.Panels) != 1 || len(asked) != 2 {
			t.Errorf("%v: %+v %+v %v\n%s", order, j.Pieces, j.Panels, asked, text)
		}
		if d := cmp.Diff([]string{`list.xlsx[Roof]:1: the worksheet "Roof" looks like a list and was not read; put its rows into the other, or save it as a file for a job of its own`}, remarks(j)); d != "" {
			t.Error(d)
		}
	}
}

func TestNewFromWorkbook(t *testing.T) {
	_, _, j := begin(t, "list.xlsx", workbook(t), "stock = \"?\"", "stock = \"SHS 25x25x2\"", "alloy = \"?\"", "alloy = \"6063\"")
	if d := cmp.Diff([]string{"P1 1200.5 mm 45 -45 4", "P2 800 mm 0 0 2"}, listing(j)); d != "" {
		t.Error(d)
	}
}

func TestNewRefuses(t *testing.T) {
	dir := t.TempDir()
	for name, c := range map[string]struct{ text, want string }{
		"numbers.csv": {"1,2,3\n4,5,6\n", "no row of the list names the columns"},
		"latin.csv":   {"mark,length\nBr\xfccke,1\n", "not UTF-8"},
		"empty.csv":   {"", "no row of the list names the columns"},
	} {
		path := filepath.Join(dir, name)
		if err := os.WriteFile(path, []byte(c.text), 0o600); err != nil {
			t.Fatal(err)
		}
		if text, err := New(path); err == nil || !strings.Contains(err.Error(), c.want) || text != nil {
			t.Errorf("%s: %v", name, err)
		}
	}
	if _, err := New(filepath.Join(dir, "none.csv")); err == nil || !strings.Contains(err.Error(), "does not exist") {
		t.Errorf("%v", err)
	}
}

// What New writes is TOML by another reader's judgement and fits the schema,
// whatever the heads and names are.
func TestNewIsTOML(t *testing.T) {
	s := compileSchema(t)
	for _, head := range []string{"mark", `a "b" c`, `it's`, `back\slash`, `both ' and "`, "tab\there", "näme"} {
		path := filepath.Join(t.TempDir(), `o'clock "list".csv`)
		list := "\"" + strings.ReplaceAll(head, `"`, `""`) + "\",length,material,mark\n1,2,\"" + strings.ReplaceAll(head, `"`, `""`) + "\",P1\n"
		if err := os.WriteFile(path, []byte(list), 0o600); err != nil {
			t.Skipf("this file system has no such names: %v", err)
		}
		text, err := New(path)
		if err != nil {
			t.Errorf("%q: %v", head, err)
			continue
		}
		if err := s.Validate(asJSON(t, text)); err != nil {
			t.Errorf("%q: %v\n%s", head, err, text)
		}
	}
}
