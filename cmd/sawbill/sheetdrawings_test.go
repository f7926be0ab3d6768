package main

import (
	"encoding/json"
	"io"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"sawbill/internal/job"
	"sawbill/internal/plan"
)

// readSheets lists, for each drawing, what ezdxf complains of, its contours and
// the areas that each encloses, arcs as chords a hundredth of a millimetre off.
const readSheets = `
import sys, json, ezdxf
from ezdxf import path
out = {}
for name in sys.argv[1:]:
    doc = ezdxf.readfile(name)
    audit = doc.audit()
    areas, boxes = [], []
    for e in doc.modelspace():
        p = [(v.x, v.y) for v in path.make_path(e).flattening(0.01)]
        areas.append(abs(sum(a[0]*b[1] - b[0]*a[1] for a, b in zip(p, p[1:] + p[:1]))) / 2)
        xs, ys = [x for x, _ in p], [y for _, y in p]
        boxes.append([min(xs), min(ys), max(xs), max(ys)])
    out[name] = {"Audit": len(audit.errors) + len(audit.fixes), "Areas": areas, "Boxes": boxes}
print(json.dumps(out))
`

const sheetsJob = `[job]
name = "Screen"
unit = "mm"
currency = "EUR"
[material.skin]
stock = "sheet 1.5"
alloy = "5005-H14"
process = "laser"
[process.laser]
kind = "laser"
spacing = 5
margin = 10
[supplier.East]
delivery = 10
metre-cut = 2.60
dxf-files = "sheets"
[tables]
offers = '''
supplier, material, size, price
East, skin, 1220 x 820, 28
'''
panels = '''
mark, material, length, width, quantity, turn
F1, skin, 1200, 800, 2, yes
P1, skin, 400, 300, 5, yes
P2, skin, 90, 120, 6, no
'''
openings = '''
mark, x, y, length, width, corner, diameter
F1, 100, 90, 1000, 620, 40,
P1, 60, 60, 200, 150, ,
P2, 45, 60, , , , 40
'''
`

// Whole sheets are drawn where a supplier wants them, and no panels beside them:
// ezdxf reads as many contours as are cut, which enclose what is to be had.
func TestSheetDrawings(t *testing.T) {
	python := ezdxf(t)
	dir := t.TempDir()
	path, pack := filepath.Join(dir, "job.toml"), filepath.Join(dir, "pack")
	if err := os.WriteFile(path, []byte(sheetsJob), 0o600); err != nil {
		t.Fatal(err)
	}
	if err := planJob(path, pack, settings{effort: "quick", seed: 1, limit: defaultLimit}, rackChoice{}, io.Discard, io.Discard); err != nil {
		t.Fatal(err)
	}
	files, err := filepath.Glob(filepath.Join(pack, "*", "dxf", "*.dxf"))
	if err != nil || len(files) == 0 {
		t.Fatal(files, err)
	}
	found, err := exec.Command(python, append([]string{"-c", readSheets}, files...)...).Output()
	if err != nil {
		t.Fatalf("ezdxf: %v", err)
	}
	drawings := map[string]struct {
		Audit int
		Areas []float64
		Boxes [][4]float64
	}{}
	if err := json.Unmarshal(found, &drawings); err != nil {
		t.Fatal(err)
	}
	data, err := os.ReadFile(filepath.Join(pack, "plan.json"))
	if err != nil {
		t.Fatal(err)
	}
	p, err := plan.Decode(data)
	if err != nil {
		t.Fatal(err)
	}
	at := map[int]plan.Layout{} // by pattern
	sheets := map[int]int64{}
	hosted, turned := 0, 0
	for _, l := range p.Materials[0].Layouts {
		sheets[l.Pattern]++
		at[l.Pattern] = l
		for _, q := range l.Panels {
			if q.Turned {
				turned++
			}
			if q.In > 0 {
				hosted++
			}
		}
	}
	if len(files) != len(sheets) || len(p.Materials[0].Layouts) != 2 || hosted != 11 || turned == 0 {
		t.Errorf("%d drawings of %d layouts on %d sheets, %d panels in others, %d turned", len(files), len(sheets), len(p.Materials[0].Layouts), hosted, turned)
	}
	readme, err := os.ReadFile(filepath.Join(pack, "East", "README.txt"))
	if err != nil {
		t.Fatal(err)
	}
	contours, enclosed := int64(0), 0.0
	for pattern, count := range sheets {
		name := "SHEET-" + string(rune('0'+pattern)) + ".dxf"
		if !strings.Contains(string(readme), "dxf/"+name) {
			t.Errorf("the readme does not name %s:\n%s", name, readme)
		}
		d, ok := drawings[filepath.Join(pack, "East", "dxf", name)]
		if !ok || d.Audit > 0 {
			t.Errorf("%s: found %t, ezdxf complains %d times", name, ok, d.Audit)
		}
		for _, q := range at[pattern].Panels {
			for _, box := range boxesOf(q) {
				if !slices.ContainsFunc(d.Boxes, func(b [4]float64) bool { return near(b, box) }) {
					t.Errorf("%s: %s is not drawn in %v", name, q.Mark, box)
				}
			}
		}
		contours += count * int64(len(d.Areas))
		for _, a := range d.Areas {
			enclosed += float64(count) * a
		}
	}
	j, err := job.Read(path)
	if err != nil {
		t.Fatal(err)
	}
	want, outer := int64(0), 0.0
	for _, q := range j.Panels {
		want += q.Quantity * q.Pierces()
		whole := q.Length.Millimetres() * q.Width.Millimetres()
		area, _ := q.Area().Float64()
		outer += float64(q.Quantity) * (2*whole - area/40_000/40_000) // the openings once more
	}
	if contours != want || math.Abs(enclosed-outer) > 2e-5*outer {
		t.Errorf("%d contours enclose %.1f mm², want %d and %.1f", contours, enclosed, want, outer)
	}
}

// boxesOf are the boxes around a panel of the job above and around its opening,
// where it lies: one that is turned, a quarter anticlockwise.
func boxesOf(q plan.Panel) [][4]float64 {
	of := map[string][2][4]float64{
		"F1": {{0, 0, 1200, 800}, {100, 90, 1100, 710}},
		"P1": {{0, 0, 400, 300}, {60, 60, 260, 210}},
		"P2": {{0, 0, 90, 120}, {25, 40, 65, 80}},
	}[q.Mark]
	x, y := q.X.Millimetres(), q.Y.Millimetres()
	var list [][4]float64
	for _, b := range of {
		if q.Turned {
			wide := of[0][3]
			b = [4]float64{wide - b[3], b[0], wide - b[1], b[2]}
		}
		list = append(list, [4]float64{b[0] + x, b[1] + y, b[2] + x, b[3] + y})
	}
	return list
}

func near(a, b [4]float64) bool {
	for i := range a {
		if math.Abs(a[i]-b[i]) > 0.02 {
			return false
		}
	}
	return true
}
