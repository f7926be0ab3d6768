package rack

import (
	"bytes"
	"context"
	"encoding/csv"
	"path/filepath"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"sawbill/internal/length"
)

func written(t interface{ Fatal(...any) }, r *Rack) []byte {
	all, err := r.List(context.Background())
	if err != nil {
		t.Fatal(err)
	}
	var b bytes.Buffer
	if err := csv.NewWriter(&b).WriteAll(Rows(all)); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

// TestRoundTrip: what is exported and put into an empty rack is exported again byte
// for byte, and all pieces are as they were.
func TestRoundTrip(t *testing.T) {
	ctx := context.Background()
	a, b := open(t, filepath.Join(t.TempDir(), "a")), open(t, filepath.Join(t.TempDir(), "b"))
	rapid.Check(t, func(rt *rapid.T) {
		for _, r := range []*Rack{a, b} {
			if _, err := r.db.Exec("DELETE FROM offcut; DELETE FROM sqlite_sequence"); err != nil {
				rt.Fatal(err)
			}
		}
		text := rapid.OneOf(rapid.String(), rapid.SampledFrom([]string{"", " bin 3 ", "a,b;c", "\"", "=1+1", "\r\n", "—\tü", "\ufeff"}))
		var pieces []Offcut
		for range rapid.IntRange(0, 6).Draw(rt, "pieces") {
			o := Offcut{Material: "SHS 25x25x2 mm, 6063-T6", Length: length.Length(rapid.Int64Range(1, int64(length.Max)).Draw(rt, "length")),
				Place: text.Draw(rt, "place"), Note: text.Draw(rt, "note"), Job: text.Draw(rt, "job"), Date: rapid.SampledFrom([]string{"", "2026-02-28"}).Draw(rt, "date")}
			if rapid.Bool().Draw(rt, "sheet") {
				o.Material, o.Width = "sheet 0.0625 in, 5005-H14", length.Length(rapid.Int64Range(1, int64(length.Max)).Draw(rt, "width"))
			}
			pieces = append(pieces, o)
		}
		ids, err := a.Add(ctx, pieces...)
		if err != nil {
			rt.Fatal(err)
		}
		var fates [3][]int64
		for _, id := range ids {
			fate := rapid.IntRange(0, 2).Draw(rt, "fate")
			fates[fate] = append(fates[fate], id)
		}
		if err := a.Drop(ctx, fates[0]...); err != nil {
			rt.Fatal(err)
		}
		if err := a.Extend(ctx, Hold{Owner{"Hide, \"A\"", "/jobs/hide, a"}, "1a2b3c4d", "2026-03-01"}, fates[1], nil); err != nil {
			rt.Fatal(err)
		}
		first := written(rt, a)
		if pieces, err = ReadCSV("rack.csv", first); err != nil {
			rt.Fatalf("%v\n%s", err, first)
		}
		if _, err := b.Import(ctx, pieces); err != nil {
			rt.Fatal(err)
		}
		if second := written(rt, b); !bytes.Equal(first, second) {
			rt.Fatalf("got\n%s\nwant\n%s", second, first)
		}
	})
}

func TestReadCSV(t *testing.T) {
	// A spreadsheet's semicolons, mark at the head, order and inches.
	got, err := ReadCSV("a.csv", []byte("\ufeffLength;Material;place;width\r\n2.4 m;SHS 25x25x2 6063-T6;bin 3;\r\n;;;\r\n\"47 3/8 in\";sheet 1/16 in 5005-H14;;12 in\r\n"))
	if err != nil || len(got) != 2 || got[0].Length != 2400*mm || got[0].Place != "bin 3" || got[1].Width != 12*length.Inch ||
		got[0].Material != "SHS 25x25x2 mm, 6063-T6" || got[1].Material != "sheet 0.0625 in, 5005-H14" {
		t.Errorf("%+v, %v", got, err)
	}
}

// TestFaults: all of them at once, each with file, line and column.
func TestFaults(t *testing.T) {
	for text, want := range map[string]string{
		"":                            "r.csv:1:1: the file is empty; begin it with the heads id,material,",
		"material,lenght\n":           `r.csv:1:10: "lenght" is no head of a rack's table; the heads are id, material, length,`,
		"material\n":                  `r.csv:1:1: there is no head "length"; add the column`,
		"length,material,length\n":    `r.csv:1:17: the head "length" stands twice; leave one out`,
		"material,length\n\"a\"b,1\n": "r.csv:2:",
		"id,material,length,width,place,date\n" +
			"x,SHS 25x25x2 6063-T6,2400,,,\n" +
			"5,SHS 25x25x2 cheese,0,,,\n" +
			"5,SHS 25x25x2 6063-T6,12 banana,300,über,2026-2-1\n" +
			",sheet 1.5 5005-H14,600,,,\n" +
			",SHS 25x25x2 6063-T6,1,5,,,,\n": `r.csv:2:1: id "x" is no number from 1 up
r.csv:3:3: material: "SHS 25x25x2 cheese" is not a section with its material
r.csv:3:22: length "0" is not a length of a piece; write one above 0
r.csv:4:1: the id 5 stands twice, first in line 3
r.csv:4:23: length:
r.csv:4:33: width "300" is given and SHS 25x25x2 mm, 6063-T6 is a bar; leave it empty
r.csv:4:42: date "2026-2-1" is no date; write it as 2026-05-02
r.csv:5:25: sheet 1.5 mm, 5005-H14 is a sheet and has no width
r.csv:6:28: the row has 8 cells and the heads are 6`,
		"material,length,by plan\nSHS 25x25x2 6063-T6,1,abc\n": `r.csv:2:23: the reservation does not say for which job`,
	} {
		got, err := ReadCSV("r.csv", []byte(text))
		if err == nil || got != nil {
			t.Errorf("%q: no fault", text)
			continue
		}
		lines, wants := strings.Split(err.Error(), "\n"), strings.Split(want, "\n")
		if len(lines) != len(wants) {
			t.Errorf("%q: got\n%v", text, err)
			continue
		}
		for i := range wants {
			if !strings.HasPrefix(lines[i], wants[i]) {
				t.Errorf("got  %s\nwant %s", lines[i], wants[i])
			}
		}
	}
}

func TestImportRefuses(t *testing.T) {
	ctx := context.Background()
	r, ids := put3(t)
	fresh, there := tube(900), tube(800)
	there.ID = ids[1]
	if _, err := r.Import(ctx, []Offcut{fresh, there}); err == nil || !strings.Contains(err.Error(), "no. 2 is on the rack already") {
		t.Errorf("got %v", err)
	}
	if all, _ := r.List(ctx); len(all) != 3 {
		t.Errorf("%d pieces after it was refused", len(all))
	}
	far := tube(700)
	far.ID = 50
	if in, err := r.Import(ctx, []Offcut{fresh, far}); err != nil || in[1] != 50 || in[0] != 51 {
		t.Errorf("%v, %v", in, err)
	}
	if err := r.Drop(ctx, 50, 51); err != nil {
		t.Fatal(err)
	}
	if in, err := r.Add(ctx, fresh); err != nil || in[0] != 52 {
		t.Errorf("%v, %v: a number was given again", in, err)
	}
}
