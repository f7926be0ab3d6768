package job

import (
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"

	"sawbill/internal/length"
)

// adjusting is the sound job with a table of dimensions.
func adjusting(rows string) string {
	text := strings.Replace(sound, "S1, skin, 600, 400, 2\n", "S1, skin, 600, 400, 2\n2x4, skin, 300, 200, 1\n", 1)
	return text + "adjust = '''\n" + rows + "'''\n"
}

func TestReadAdjust(t *testing.T) {
	j, err := readText(t, adjusting(`Dimension; Parts; Shorter by; Longer by (cm); Step
bay width; P1, 2x S1 width + S1 length; 20; ; 0,5
;          2x4 Breite; ; 1,5;
`))
	if err != nil {
		t.Fatal(err)
	}
	want := []Dimension{
		{Name: "bay width", Less: mm(20), Step: mm(0.5), Sides: []Side{{"P1", PieceLength, 1}, {"S1", PanelWidth, 2}, {"S1", PanelLength, 1}}},
		{Name: "2x4 Breite", More: mm(15), Step: mm(1), Sides: []Side{{"2x4", PanelWidth, 1}}},
	}
	if d := cmp.Diff(want, j.Dimensions, cmpopts.IgnoreFields(Dimension{}, "Pos")); d != "" {
		t.Error(d)
	}
	if j.Dimensions[0].StepsLess() != 40 || j.Dimensions[0].StepsMore() != 0 || j.Dimensions[1].StepsMore() != 15 {
		t.Error("steps")
	}
	moved := j.Moved([]int64{-3, 15})
	if moved.Pieces[0].Length != mm(1198.5) || moved.Panels[0].Length != mm(598.5) || moved.Panels[0].Width != mm(397) || moved.Panels[1].Width != mm(215) {
		t.Errorf("moved: %+v %+v", moved.Pieces, moved.Panels)
	}
	if j.Pieces[0].Length != mm(1200) || j.Panels[0].Width != mm(400) {
		t.Error("the job itself moved")
	}
}

func TestAdjustStepInInches(t *testing.T) {
	text := strings.NewReplacer(`unit = "mm"`, `unit = "in"`, "25x25x2", "25x25x2 mm", "sheet 1.5", "sheet 1.5 mm", "1200", "48", "6000", "240", "600, 400", "24, 16", "2500 x 1250", "96 x 48", "spacing = 5", "spacing = 0.2", "margin = 10", "margin = 0.4", "kerf = 2.5", "kerf = 0.1").Replace(sound)
	j, err := readText(t, text+"adjust = '''\nname, marks, less\nheight, P1, 1/2\n'''\n")
	if err != nil {
		t.Fatal(err)
	}
	if d := j.Dimensions[0]; d.Less != length.Inch/2 || d.Step != length.Inch/16 {
		t.Errorf("%+v", d)
	}
}

// Each row is told in one sentence what is wrong with it, at its place.
func TestAdjustFaults(t *testing.T) {
	for _, c := range []struct{ row, want string }{
		{`w, P7, 5, 0, 1`, `35:4: "w": there is no piece and no panel "P7"; the nearest is "P1"`},
		{`w, pillar, 5, 0, 1`, `35:4: "w": there is no piece and no panel "pillar"; write a mark of the pieces or panels`},
		{`w, S1, 5, 0, 1`, `35:4: "w": "S1" is a panel; write S1 length or S1 width`},
		{`w, P1 width, 5, 0, 1`, `35:4: "w": "P1" is a piece, which only its length can move; write P1`},
		{`w, P1 + P1 length, 5, 0, 1`, `35:4: "w": "P1" stands twice; keep one, with a factor such as 2x P1`},
		{`w, 0x P1, 5, 0, 1`, `35:4: "w": the factor of "0x P1" is not a whole number from 1 to 100; write one such as 2x P1`},
		{`w, ;, 5, 0, 1`, `35:4: marks ";" names no mark; write what the dimension moves, such as P1, P2, S1 width`},
		{`w, , 5, 0, 1`, `35:4: the row names no marks; write what the dimension moves, such as P1, P2, S1 width`},
		{`w, P1, , , 1`, `35:1: "w" may get neither shorter nor longer; write under less or more by how much it may, such as 10`},
		{`w, P1, -5, 0, 1`, `35:8: less "-5" is negative; write 0 or more`},
		{`w, P1, 5, 0, 0`, `35:14: step "0" is not more than 0; write one such as 1 mm, or leave it empty for that`},
		{`w, P1, 5, 0, 6`, `35:14: the step 6 mm of "w" is more than it may move, 5 mm; write a smaller step`},
		{`w, P1, 5, 0, 0.0001`, `35:1: "w" may move by 5 mm, more than 10000 steps of 0.0001 mm; write a larger step`},
		{`w, P1, 1200, 0, 1`, `35:8: "w": moved as far as it may, it takes 1200 mm from "P1", which is 1200 mm; write a smaller limit under less`},
		{`w, P1, 1150, 0, 1`, `35:8: "w": moved as far as it may, it leaves nothing on the short side of "P1", between its mitres; write a smaller limit under less`},
		{`w, 2x S1 width, 200, 0, 1`, `35:17: "w": moved as far as it may, it takes 400 mm from "S1 width", which is 400 mm; write a smaller limit under less`},
		{`w, P1, 0, 1 km, 1`, ``},
		{"w, P1, 5, 0, 1\nW, S1 width, 5, 0, 1", `36:1: the dimension "W" stands twice, first in line 35; give this row another name`},
		{"w, P1, 700, 0, 1\nv, P1, 700, 0, 1", `36:8: "v": moved as far as it may, it takes 1400 mm from "P1", which is 1200 mm; write a smaller limit under less`},
	} {
		_, err := readText(t, adjusting("name, marks, less, more, step\n"+c.row+"\n"))
		if c.want == "" {
			if err == nil || !strings.Contains(err.Error(), "35:") {
				t.Errorf("%s: %v", c.row, err)
			}
			continue
		}
		if err == nil || err.Error() != "job.toml:"+c.want {
			t.Errorf("%s:\n got %v\nwant job.toml:%s", c.row, err, c.want)
		}
	}
}
