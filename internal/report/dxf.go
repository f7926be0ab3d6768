package report

import (
	"bytes"
	"fmt"
	"slices"

	"sawbill/internal/dxf"
	"sawbill/internal/job"
	"sawbill/internal/plan"
)

// sheetFile is the drawing of a layout that a supplier cuts.
type sheetFile struct {
	path     string
	material plan.Material
	pattern
}

// sheetWhat tells what a drawing of a sheet is for.
func (s *set) sheetWhat(f sheetFile) string {
	return fmt.Sprintf("a sheet of %s, %s, with all its panels in place, nominal size, seen from the %s: cut %s so", f.material.Key,
		s.size(f.Stock.Length, f.Stock.Width), face(s.materials[f.material.Key]), plural(int64(len(f.Numbers)), "sheet"))
}

// wants is how a supplier wants its drawings.
func (s *set) wants(name string) job.Supplier {
	i := slices.IndexFunc(s.job.Suppliers, func(v job.Supplier) bool { return v.Name == name })
	if i < 0 {
		return job.Supplier{}
	}
	return s.job.Suppliers[i]
}

// beamed are what a supplier cuts with a beam as part of the order: panels, plain
// ones too, for a laser asks a drawing of each; or sheets, where it wants these
// and we lay them out.
func (s *set) beamed(name string) (panels []cut, sheets []sheetFile) {
	var parts []orderedPart
	for _, part := range s.orderedParts(billOf(s.plan, s.job, name)) {
		if part.material.Kind == plan.Sheet && s.processes[part.material.Key].Kind == job.Beam {
			parts = append(parts, part)
		}
	}
	taken := map[string]bool{}
	for _, part := range parts {
		if !s.wants(name).DXFSheets || part.material.ByMark == name {
			panels = append(panels, part.cuts...)
			continue
		}
		for _, pt := range patterns(part.material, name) {
			file := fmt.Sprintf("SHEET-%d", pt.Pattern)
			if len(parts) > 1 {
				file = safeName(part.material.Key, "material") + "-" + file
			}
			sheets = append(sheets, sheetFile{"dxf/" + uniqueName(file, taken) + ".dxf", part.material, pt})
		}
	}
	return panels, sheets
}

// drawings writes each panel or sheet that a supplier cuts with a beam as a DXF
// file, as that supplier wants them.
func (s *set) drawings(name, folder string) {
	v := s.wants(name)
	options := dxf.Options{Inches: s.job.Unit.Imperial(), R12: v.DXFR12, InsideOutside: v.DXFInsideOutside, Engrave: v.DXFEngraved}
	taken := map[string]bool{}
	cuts, sheets := s.beamed(name)
	for _, c := range cuts {
		path := "dxf/" + uniqueName(safeName(c.mark, "panel"), taken) + ".dxf"
		s.dxf(under(folder, path), fmt.Sprintf("%q", c.mark), []dxf.Placed{{Shape: c.panel.Shape(), Mark: c.mark}}, options)
	}
	for _, f := range sheets {
		var panels []dxf.Placed
		for _, p := range f.Panels {
			panels = append(panels, dxf.Placed{Shape: lying(s.panels[p.Mark], p), Mark: p.Mark})
		}
		s.dxf(under(folder, f.path), fmt.Sprintf("sheet %d", f.Numbers[0]), panels, options)
	}
}

// dxf adds one drawing, without marks where these cannot be engraved.
func (s *set) dxf(path, what string, panels []dxf.Placed, options dxf.Options) {
	var b bytes.Buffer
	err := dxf.WriteSheet(&b, panels, options)
	if err != nil && options.Engrave {
		b.Reset()
		options.Engrave = false
		plain := dxf.WriteSheet(&b, panels, options)
		if plain == nil {
			s.messages = append(s.messages, job.Message{Text: fmt.Sprintf("the drawing of %s has no mark on it: %v", what, err)})
		}
		err = plain
	}
	if err != nil {
		if s.err == nil {
			s.err = fmt.Errorf("%s cannot be drawn: %w", what, err)
		}
		return
	}
	s.add(path, b.Bytes())
}
