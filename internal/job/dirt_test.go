package job

import (
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/xuri/excelize/v2"
)

// withPieces is the sound job with its pieces in a file.
func withPieces(file string) string {
	from := strings.Index(sound, "pieces = '''")
	to := strings.Index(sound, "panels = '''")
	return sound[:from] + "pieces = \"" + file + "\"\n" + sound[to:]
}

// listing is what the pieces come to: mark, millimetres, angles, quantity.
func listing(j *Job) []string {
	var all []string
	for _, p := range j.Pieces {
		all = append(all, fmt.Sprintf("%s %v %g %g %d", p.Mark, p.Length, float64(p.Left)/1000, float64(p.Right)/1000, p.Quantity))
	}
	return all
}

func remarks(j *Job) []string {
	var all []string
	for _, m := range j.Remarks {
		all = append(all, m.String())
	}
	return all
}

// One list, two pieces, in the ways that programs and people write it.
func TestDirtyTables(t *testing.T) {
	plain := []string{"P1 1200.5 mm 45 -45 4", "P2 800 mm 0 0 2"}
	cases := []struct {
		name, text string
		remarks    []string
	}{
		{"plain", "mark,material,length,left,right,quantity\nP1,tube,1200.5,45,-45,4\nP2,tube,800,0,0,2\n", nil},
		{"no last line end", "mark,material,length,left,right,quantity\nP1,tube,1200.5,45,-45,4\nP2,tube,800,,,2", nil},
		{"byte-order mark", "\ufeffmark,material,length,left,right,quantity\nP1,tube,1200.5,45,-45,4\nP2,tube,800,0,0,2\n", nil},
		{"CRLF", "mark,material,length,left,right,quantity\r\nP1,tube,1200.5,45,-45,4\r\nP2,tube,800,0,0,2\r\n", nil},
		{"CR", "mark,material,length,left,right,quantity\rP1,tube,1200.5,45,-45,4\rP2,tube,800,0,0,2\r", nil},
		{"blanks and blank rows", "  mark , material,length,left,right,quantity\n\n   \nP1, tube ,1200.5, 45,-45, 4\n,,,,,\nP2,tube,800,0,0,2\n\n\n", nil},
		{"comments", "# from the drawing\nmark,material,length,left,right,quantity\n  # long ones\nP1,tube,1200.5,45,-45,4\nP2,tube,800,0,0,2\n", nil},
		{"marks that begin with a hash", "mark,material,length,left,right,quantity\nP1,tube,1200.5,45,-45,4\n#P3,tube,300,0,0,1\n# P4,tube,300,0,0,1\nP2,tube,800,0,0,2\n",
			[]string{"list.csv:3:1: the row begins with # and was taken for a comment; put its mark in double quotes if it is one"}},
		{"units below the heads", "mark,material,length,left,right,quantity\n,,cm,°,[°],pcs\nP1,tube,120.05,45,-45,4\nP2,tube,80,0,0,2\n", nil},
		{"headings of assemblies", "mark,material,length,left,right,quantity\nNorth wall,,,,,\nP1,tube,1200.5,45,-45,4\n,,,,,\nDoor:,,,,,\nP2,tube,800,0,0,2\n",
			[]string{`list.csv:2:1: the row "North wall" was taken for a heading of the rows below it`, `list.csv:5:1: the row "Door" was taken for a heading of the rows below it`}},
		{"thousands of the Swiss", "mark;material;length;left;right;quantity\nP1;tube;1'200.5;45;-45;4\nP2;tube;800;0;0;2\n", nil},
		{"cuts A and B", "mark,material,length,Cut A,Cut B,Weld angle,quantity\nP1,tube,1200.5,45,-45,,4\nP2,tube,800,0,0,,2\n",
			[]string{`list.csv:1:34: the column "Weld angle" is not read; if it holds end angles, give each end a column, named left and right`}},
		{"trailing empty columns", "mark,material,length,left,right,quantity,,\nP1,tube,1200.5,45,-45,4,,\nP2,tube,800,0,0,2,,,,\n", nil},
		{"semicolons and decimal commas", "mark;material;length;left;right;quantity\nP1;tube;1200,5;45;-45;4\nP2;tube;800;0;0;2\n", nil},
		{"semicolons and decimal points", "mark;material;length;left;right;quantity\nP1;tube;1200.5;45;-45;4\nP2;tube;800;0;0;2\n", nil},
		{"tabs and decimal commas", "mark\tmaterial\tlength\tleft\tright\tquantity\nP1\ttube\t1200,5\t45\t-45\t4\nP2\ttube\t800\t\t\t2\n", nil},
		{"tabs and decimal points", "mark\tmaterial\tlength\tleft\tright\tquantity\nP1\ttube\t1200.5\t45\t-45\t4\nP2\ttube\t800\t\t\t2\n", nil},
		{"thousands", "mark;material;length;left;right;quantity\nP1;tube;1.200,5;45;-45;4\nP2;tube;800;0;0;2\n", nil},
		{"quoted cells", "\"mark\",\"material\",\"length\",\"left\",\"right\",\"quantity\"\n\"P1\",\"tube\",\"1,200.5\",\"45\",\"-45\",\"4\"\n\"P2\",\"tube\",\"800\",\"0\",\"0\",\"2\"\n", nil},
		{"separator in a quoted head", "mark,material,\"finish; colour\",length,left,right,quantity\nP1,tube,,1200.5,45,-45,4\nP2,tube,,800,0,0,2\n",
			[]string{`list.csv:1:15: the column "finish; colour" is not read`}},
		{"title rows", "Cut list; rev B;;;;\nDrawn by; the warden;;;;\n;;;;;\nmark;material;length;left;right;quantity\nP1;tube;1200,5;45;-45;4\nP2;tube;800;0;0;2\n",
			[]string{"list.csv:1:1: 2 rows above the heads were not read"}},
		{"totals", "mark,material,length,left,right,quantity\nP1,tube,1200.5,45,-45,4\nP2,tube,800,0,0,2\nTotal,,6402,,,6\n",
			[]string{"list.csv:4:1: the row of totals was not read"}},
		{"Summe", "Pos.;Profil;Länge [mm];Winkel links;Winkel rechts;Anzahl\nP1;tube;1200,5;45;-45;4\nP2;tube;800;0;0;2\n;;;;Summe:;6\n",
			[]string{"list.csv:4:1: the row of totals was not read"}},
		{"Total général", "Repère;Profil;Longueur (mm);Angle gauche;Angle droit;Quantité\nP1;tube;1200,5;45;-45;4\nP2;tube;800;0;0;2\nTotal général;;6402;;;6\n",
			[]string{"list.csv:4:1: the row of totals was not read"}},
		{"totals without a word", "mark,material,length,left,right,quantity\nP1,tube,1200.5,45,-45,4\nP2,tube,800,0,0,2\n,,6402.0,,,6\n",
			[]string{"list.csv:4:1: the row of totals was not read"}},
		{"columns in any order, some not wanted", "quantity,finish,right,left,length,mark\n4,mill,-45,45,1200.5,P1\n2,mill,0,0,800,P2\n",
			[]string{`list.csv:1:10: the column "finish" is not read`}},
		{"columns without a head", ",mark,material,length,left,right,quantity\n0,P1,tube,1200.5,45,-45,4\n1,P2,tube,800,0,0,2\n", nil},
		{"German", "Pos.;Werkstoff;Länge;Winkel links;Winkel rechts;Stück\nP1;tube;1200,5;45°;-45°;4 Stk\nP2;tube;800;;;2\n", nil},
		{"German capitals without umlaut", "TEIL;HALBZEUG;LAENGE;WINKEL LINKS;WINKEL RECHTS;STUECK\nP1;tube;1200,5;45;-45;4\nP2;tube;800;;;2\n", nil},
		{"French", "Repère;Matériau;Longueur;Angle gauche;Angle droit;Qté\nP1;tube;1200,5;45;-45;4\nP2;tube;800;;;2\n", nil},
		{"Spanish", "Pieza;Perfil;Longitud;Ángulo izquierdo;Ángulo derecho;Cantidad\nP1;tube;1200,5;45;-45;4\nP2;tube;800;;;2\n", nil},
		{"English of the shop", "Item No.,Section,Cut length (mm),Angle 1,Angle 2,No. off\nP1,tube,1200.5,45,-45,4\nP2,tube,800,,,2\n", nil},
		{"unit in the head", "mark,material,length_cm,left,right,qty\nP1,tube,120.05,45,-45,4\nP2,tube,80,0,0,2\n", nil},
		{"unit in the head, own unit in a cell", "mark,material,Length (m),left,right,qty\nP1,tube,1.2005,45,-45,4\nP2,tube,800 mm,0,0,2\n", nil},
		{"designations for materials", "mark,section,length,left,right,qty\nP1,shs 25 x 25 x 2,1200.5,45,-45,4\nP2,SHS 25x25x2 6063-T6,800,0,0,2\n", nil},
		{"heads again on the next page", "mark,material,length,left,right,quantity\nP1,tube,1200.5,45,-45,4\nmark,material,length,left,right,quantity\nP2,tube,800,0,0,2\n",
			[]string{"list.csv:3:1: the heads stand here again and were not read as a row"}},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			j, err := readText(t, withPieces("list.csv"), "list.csv", c.text)
			if err != nil {
				t.Fatal(err)
			}
			got := remarks(j)
			if d := cmp.Diff(plain, listing(j)) + cmp.Diff(c.remarks, got); d != "" {
				t.Error(d)
			}
		})
	}
}

// A figure with both signs settles what the others of its table mean.
func TestThousandsShownByANeighbour(t *testing.T) {
	for _, c := range []struct{ text, want string }{
		{"mark;length\nP1;1.200,5\nP2;2.100\nP3;3,125\n", "P1 1200.5 mm 0 0 1, P2 2100 mm 0 0 1, P3 3.125 mm 0 0 1"},
		{"mark;length\nP1;1,200.5\nP2;2,100\n", ""}, // the separator says comma
		{"mark,length\nP1,\"1,200.5\"\nP2,\"2,100\"\nP3,3.125\n", "P1 1200.5 mm 0 0 1, P2 2100 mm 0 0 1, P3 3.125 mm 0 0 1"},
		{"mark,length\nP1,\"1,200.5\"\nP2,\"2,100\"\nP3,\"1.200,5\"\n", ""},
		{"mark,length\nP1,1200.5\nP2,\"2,100\"\n", ""},
		{"mark;length\nP1;80.125\nP2;54.5\n", "P1 80.125 mm 0 0 1, P2 54.5 mm 0 0 1"},
		{"mark;length\nP1;80.125\nP2;54\n", ""},
		{"mark;length;left\nP1;80.125;22.5\nP2;54;0\n", ""},
		{"mark;length\nP1;1.200 mm\nP2;54\n", ""},
	} {
		j, err := readText(t, withPieces("list.csv"), "list.csv", c.text)
		if c.want == "" {
			if err == nil {
				t.Errorf("%q is read as %v", c.text, listing(j))
			}
			continue
		}
		if err != nil {
			t.Errorf("%q: %v", c.text, err)
		} else if got := strings.Join(listing(j), ", "); got != c.want {
			t.Errorf("%q: %s", c.text, got)
		}
	}
}

// A row of one word is an unfinished row and no heading; a heading is the group
// of the rows below it.
func TestHeadings(t *testing.T) {
	for _, text := range []string{"mark,length,note\nP9,,\nP1,1200,\n", "mark,length,note\nP1,1200,\nP 9,,\n", "mark,length,note\n3 off,,\nP1,1200,\n"} {
		if j, err := readText(t, withPieces("list.csv"), "list.csv", text); err == nil {
			t.Errorf("%q is read as %v", text, listing(j))
		}
	}
	j, err := readText(t, withPieces("list.csv"), "list.csv", "mark,length,note\nP1,1200,\nNorth wall,,\nP2,800,\n")
	if err != nil || j.Pieces[0].Group != "" || j.Pieces[1].Group != "North wall" {
		t.Errorf("%v %+v", err, j)
	}
}

// Feet and inches, as a spreadsheet quotes them and as people type them.
func TestInchMarks(t *testing.T) {
	const want = "P1 1203.325 mm 22.5 0 1" // 3 ft 11 3/8 in = 47.375 in = 47.375 × 25.4 mm
	for _, cell := range []string{`"3' 11-3/8"""`, `3' 11-3/8"`, `47 3/8 in`, `47-3/8"`, `"47 3/8"""`, `47⅜ in`, `3′ 11⅜″`, `3 ft 11.375 in`} {
		for _, separator := range []string{",", ";", "\t"} {
			text := strings.ReplaceAll("mark|length|left|note\nP1|"+cell+"|22-1/2|a 5\" long note\n", "|", separator)
			if separator != "," {
				text = strings.ReplaceAll(text, "11.375", "11,375")
			}
			j, err := readText(t, withPieces("list.txt"), "list.txt", text)
			if err != nil {
				t.Errorf("%s: %v", cell, err)
				continue
			}
			if got := listing(j); len(got) != 1 || got[0] != want {
				t.Errorf("%s between %q: %v", cell, separator, got)
			}
		}
	}
}

func TestRefusedTables(t *testing.T) {
	cases := []struct{ name, text, want string }{
		{"Latin-1", "mark,length\nP1,1200\nBr\xfccke,800\n", `list.csv:3:3: byte 0xfc is not UTF-8; save the file as UTF-8 ("CSV UTF-8" in a spreadsheet program)`},
		{"UTF-16", "\xff\xfem\x00a\x00r\x00k\x00,\x00", `list.csv:1:1: the file is in UTF-16; save it as UTF-8 ("CSV UTF-8" in a spreadsheet program)`},
		{"UTF-16 without its mark", "m\x00a\x00r\x00k\x00,\x00l\x00", `list.csv:1:1: the file is in UTF-16; save it as UTF-8 ("CSV UTF-8" in a spreadsheet program)`},
		{"binary", "mark,length\nP1,12\x00\n", `list.csv:2:6: the file holds a zero byte and is no text; save it as UTF-8 text`},
		{"empty", " \n", `list.csv: the file is empty; write a row of heads such as mark, material, length, left, right, quantity and the rows below it`},
		{"no heads", "P1,tube,1200,4\nP2,tube,800,2\n", `list.csv:1:1: no row of the table of pieces names the columns; begin it with a row of heads such as mark, material, length, left, right, quantity, separated by commas, semicolons or tabs`},
		{"no length", "mark,material,quantity\nP1,tube,4\n", `list.csv:1:1: the table of pieces has no column for the length; name it "length", or say which it is with [columns.pieces] and length = "its head"`},
		{"broken zip", "PK\x03\x04 and no more", `list.csv: "list.csv" is not a workbook that can be read; save it again as XLSX, or as CSV (UTF-8)`},
		{"point in a table with commas", "mark;length\nP1;1200,5\nP2;800.5\n", `list.csv:3:4: length: "800.5" has a point where the decimal sign is a comma; write 800,5, or say decimal = "."`},
		{"a point that may divide thousands", "mark;length\nP1;1.200\n", `list.csv:2:4: length: "1.200" could be 1200 or 1,200; write 1200, or 1,2, or say decimal = "."`},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			_, err := readText(t, withPieces("list.csv"), "list.csv", c.text)
			if err == nil || err.Error() != c.want {
				t.Errorf("got  %v\nwant %s", err, c.want)
			}
		})
	}
}

// The faults of the job and of every table come in one go, the job's first.
func TestAllFaultsAtOnce(t *testing.T) {
	text := strings.Replace(withPieces("list.csv"), "kerf = 2.5", "kerf = 2,5", 1)
	text = strings.Replace(text, "2500 x 1250, 58", "2500 x 1250,", 1)
	_, err := readText(t, text, "list.csv", "mark,length,quantity\nP1,12OO,1\nP2,800,none\n")
	want := []string{
		`job.toml:14:8: "2,5" has a decimal comma; write kerf = 2.5`,
		`job.toml:22:25: the row has no price; write one such as 21.40 each, 3.70 per m or 4.20 per kg, or take the row out`,
		`list.csv:2:4: length: "OO" in "12OO" is not a unit of length; write mm, cm, m, in or ft`,
		`list.csv:3:8: quantity: "none" is not a quantity; write a whole number from 1 up`,
	}
	if err == nil {
		t.Fatal("no fault")
	}
	if d := cmp.Diff(want, strings.Split(err.Error(), "\n")); d != "" {
		t.Error(d)
	}
}

// A list with a fault in every row is cut short when printed.
func TestManyFaults(t *testing.T) {
	_, err := readText(t, withPieces("list.csv"), "list.csv", "mark,length\n"+strings.Repeat("P1,x\n", 3000))
	faults, ok := err.(Faults)
	if !ok || len(faults) != mostFaults {
		t.Fatalf("%d faults", len(faults))
	}
	lines := strings.Split(err.Error(), "\n")
	if len(lines) != printed+1 || lines[printed] != "and 950 more" {
		t.Errorf("%d lines, the last %q", len(lines), lines[len(lines)-1])
	}
}

func TestTooManyRows(t *testing.T) {
	var b bytes.Buffer
	b.WriteString("mark,length\n")
	for i := range mostRows + 10 {
		fmt.Fprintf(&b, "P%d,1200\n", i)
	}
	_, err := readText(t, withPieces("list.csv"), "list.csv", b.String())
	const want = "list.csv:200001:1: the table has more than 200000 rows; check the file"
	if err == nil || err.Error() != want {
		t.Errorf("got %.200v", err)
	}
}

func TestColumnsOfTheJob(t *testing.T) {
	text := strings.Replace(withPieces("list.csv"), "[tables]", "[columns.pieces]\nmark = \"Name\"\nlength = \"L1 (cm)\"\nquantity = \"times\"\n[tables]", 1)
	j, err := readText(t, text, "list.csv", "Part,Name,L1 (cm),length,times\nx,P1,120.05,1,4\nx,P2,80,1,2\n")
	if err != nil {
		t.Fatal(err)
	}
	if d := cmp.Diff([]string{"P1 1200.5 mm 0 0 4", "P2 800 mm 0 0 2"}, listing(j)); d != "" {
		t.Error(d)
	}
}

// workbook is a workbook of four worksheets, one of them hidden and one that
// is not the list though it looks like one.
func workbook(t *testing.T, third ...any) string {
	t.Helper()
	f := excelize.NewFile()
	check := func(err error) {
		t.Helper()
		if err != nil {
			t.Fatal(err)
		}
	}
	row := func(sheet, at string, cells ...any) { check(f.SetSheetRow(sheet, at, &cells)) }
	check(f.SetSheetName("Sheet1", "Notes"))
	row("Notes", "A1", "mark", "length")
	row("Notes", "A2", "X1", 1)
	for _, name := range []string{"Hidden", "Pieces"} {
		_, err := f.NewSheet(name)
		check(err)
	}
	row("Hidden", "A1", "mark", "length", "quantity")
	check(f.SetSheetVisible("Hidden", false))
	row("Pieces", "A1", "Frame of the screen")
	row("Pieces", "A3", "Mark", "Length (mm)", "Left", "Right", "Qty")
	row("Pieces", "A4", "P1", 1200.5, 45, -45, 4)
	row("Pieces", "A5", third...)
	row("Pieces", "A6", "P2", "800 mm", nil, nil, 2.0)
	row("Pieces", "A7", nil, nil, nil, "Total", 6)
	// A number shown without decimals is read as stored.
	style, err := f.NewStyle(&excelize.Style{NumFmt: 1})
	check(err)
	check(f.SetCellStyle("Pieces", "B4", "B4", style))
	var b bytes.Buffer
	_, err = f.WriteTo(&b)
	check(err)
	return b.String()
}

func TestWorkbook(t *testing.T) {
	j, err := readText(t, withPieces("list.xlsx"), "list.xlsx", workbook(t))
	if err != nil {
		t.Fatal(err)
	}
	if d := cmp.Diff([]string{"P1 1200.5 mm 45 -45 4", "P2 800 mm 0 0 2"}, listing(j)); d != "" {
		t.Error(d)
	}
	if d := cmp.Diff([]string{"list.xlsx[Pieces]:1: 1 row above the heads was not read", "list.xlsx[Pieces]:7: the row of totals was not read"}, remarks(j)); d != "" {
		t.Error(d)
	}
	_, err = readText(t, withPieces("list.xlsx"), "list.xlsx", workbook(t, "P3", "long", nil, nil, 0, nil, "extra"))
	want := strings.Join([]string{
		`list.xlsx[Pieces]:5:7: the row has 7 cells and there are 5 heads; give its column a head, or take the extra cell out`,
	}, "\n")
	if err == nil || err.Error() != want {
		t.Errorf("got %v", err)
	}
	_, err = readText(t, withPieces("list.xlsx"), "list.xlsx", workbook(t, "P3", "long", nil, nil, 0))
	want = strings.Join([]string{
		`list.xlsx[Pieces]:5:2: length: "long" is not a length; write a number such as 1200, 1.2 m or 47 3/8 in`,
		`list.xlsx[Pieces]:5:5: quantity: "0" is not a quantity; write a whole number from 1 up`,
	}, "\n")
	if err == nil || err.Error() != want {
		t.Errorf("got %v", err)
	}
}

// The same bytes give the same job, whatever folder they lie in.
func TestDigest(t *testing.T) {
	a, err := readText(t, sound)
	if err != nil {
		t.Fatal(err)
	}
	b, err := readText(t, sound)
	if err != nil {
		t.Fatal(err)
	}
	c, err := readText(t, sound+"# more\n")
	if err != nil {
		t.Fatal(err)
	}
	if a.Digest != b.Digest || a.Digest == c.Digest {
		t.Errorf("%s, %s, %s", a.Digest, b.Digest, c.Digest)
	}
}

func TestByteOrderMarkOfTheJob(t *testing.T) {
	j, err := readText(t, "\ufeff"+sound)
	if err != nil || len(j.Remarks) != 1 || j.Remarks[0].Pos.String() != "job.toml:1:1" {
		t.Errorf("%v, %v", err, j)
	}
}

func TestTableInASubfolder(t *testing.T) {
	dir := t.TempDir()
	if err := os.Mkdir(filepath.Join(dir, "lists"), 0o700); err != nil {
		t.Fatal(err)
	}
	for name, text := range map[string]string{"job.toml": strings.Replace(withPieces("X"), `"X"`, `'lists\pieces.csv'`, 1), "lists/pieces.csv": "mark,length\nP1,900\n"} {
		if err := os.WriteFile(filepath.Join(dir, name), []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	j, err := Read(filepath.Join(dir, "job.toml"))
	if err != nil || len(j.Pieces) != 1 {
		t.Errorf("%v", err)
	}
}
