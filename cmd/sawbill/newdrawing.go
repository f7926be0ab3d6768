package main

import (
	"bytes"
	"encoding/csv"
	"os"
	"path/filepath"
	"strings"

	"sawbill/internal/dxf"
	"sawbill/internal/job"
	"sawbill/internal/length"
)

// newDrawing makes a job of a drawing of one panel, in the folder of the drawing:
// a list with the panel and a job file whose outlines name the drawing.
func newDrawing(path, folder string) error {
	data, err := os.ReadFile(path)
	if err != nil {
		return fail(exitFiles, "the drawing cannot be read: %w", err)
	}
	name := filepath.Base(path)
	d, err := dxf.Read(bytes.NewReader(data), dxf.ReadOptions{})
	if err != nil {
		return fail(exitFaults, "the drawing %q cannot be taken: %w", name, err)
	}
	if len(d.Shapes) != 1 {
		return fail(exitFaults, "the drawing %q holds %d panels; save each panel in a drawing of its own", name, len(d.Shapes))
	}
	b := d.Shapes[0].Bounds()
	mark := strings.TrimSuffix(name, filepath.Ext(name))
	list := filepath.Join(folder, "panels.csv")
	rows := [][]string{{"mark", "material", "length", "width", "quantity"},
		{mark, "skin", length.Exact(length.Length(b.Length()), length.MM), length.Exact(length.Length(b.Width()), length.MM), "1"}}
	text, err := table(rows)
	if err != nil {
		return fail(exitBroken, "the list could not be made: %w", err)
	}
	if err := writeNew(list, text); err != nil {
		return err
	}
	made, err := job.New(list)
	if err != nil {
		return err
	}
	outlines, err := table([][]string{{"mark", "file"}, {mark, name}})
	if err != nil {
		return fail(exitBroken, "the outlines could not be made: %w", err)
	}
	if bytes.Contains(outlines, []byte("'''")) {
		return fail(exitFaults, "the name %q has three apostrophes in a row; rename the drawing", name)
	}
	made = append(bytes.TrimRight(made, "\n"), "\n# The drawing that the panel is cut by.\noutlines = '''\n"+string(outlines)+"'''\n"...)
	return writeNew(filepath.Join(folder, "job.toml"), made)
}

// table is rows as CSV.
func table(rows [][]string) ([]byte, error) {
	var b bytes.Buffer
	w := csv.NewWriter(&b)
	err := w.WriteAll(rows)
	return b.Bytes(), err
}
