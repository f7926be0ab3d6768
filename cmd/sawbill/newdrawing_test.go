package main

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"sawbill/internal/job"
	"sawbill/internal/length"
)

// triangle is a panel as an R12 drawing (Autodesk's DXF reference): 400 x 300 mm
// with the right angle at the lower left.
const triangle = "0\nSECTION\n2\nHEADER\n9\n$INSUNITS\n70\n4\n0\nENDSEC\n0\nSECTION\n2\nENTITIES\n0\nPOLYLINE\n8\nCUT\n66\n1\n70\n1\n" +
	"0\nVERTEX\n8\nCUT\n10\n100\n20\n50\n0\nVERTEX\n8\nCUT\n10\n500\n20\n50\n0\nVERTEX\n8\nCUT\n10\n100\n20\n350\n0\nSEQEND\n0\nENDSEC\n0\nEOF\n"

// TestNewDrawing: a drawing becomes a job with its panel, cut by the drawing.
func TestNewDrawing(t *testing.T) {
	dir := t.TempDir()
	path := filepath.Join(dir, "gusset plate.dxf")
	if err := os.WriteFile(path, []byte(triangle), 0o644); err != nil {
		t.Fatal(err)
	}
	if err := newDrawing(path, dir); err != nil {
		t.Fatal(err)
	}
	file := filepath.Join(dir, "job.toml")
	text, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	filled := strings.NewReplacer(`stock = "?"`, `stock = "sheet 1.5"`, `alloy = "?"`, `alloy = "5005-H14"`).Replace(string(text))
	if i := strings.Index(filled, "Supplier, skin,"); i >= 0 {
		end := i + strings.Index(filled[i:], "\n")
		filled = filled[:i] + "Avocet, skin, 2000 x 1000, 41.50" + filled[end:]
	}
	if err := os.WriteFile(file, []byte(filled), 0o644); err != nil {
		t.Fatal(err)
	}
	j, err := job.Read(file)
	if err != nil {
		t.Fatalf("%v\n%s", err, filled)
	}
	p := j.Panels[0]
	if shape := p.Shape(); p.Mark != "gusset plate" || p.Length != 400*length.Millimetre || p.Width != 300*length.Millimetre || p.Form == nil || len(shape.Outer) != 3 {
		t.Errorf("%+v", p)
	}
	for name, text := range map[string]string{"none": "no drawing", "two": strings.Replace(triangle, "0\nENDSEC\n0\nEOF", strings.ReplaceAll(triangle[strings.Index(triangle, "0\nPOLY"):strings.Index(triangle, "0\nENDSEC\n0\nEOF")], "\n10\n", "\n10\n1")+"0\nENDSEC\n0\nEOF", 1)} {
		dir := t.TempDir()
		path := filepath.Join(dir, name+".dxf")
		if err := os.WriteFile(path, []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
		if err := newDrawing(path, dir); err == nil {
			t.Errorf("%s is taken", name)
		}
	}
}
