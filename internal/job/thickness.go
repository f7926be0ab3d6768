package job

import (
	"slices"
	"strings"

	"sawbill/internal/length"
	"sawbill/internal/section"
)

// A list of panels may say what a panel is made of in one column and how thick
// it is in another; the two together name the material.

// byThickness finds the sheet material of a row that states a thickness. It is
// done when found is true; else the name alone decides, with no word said.
func (c record) byThickness(to *int) (found, fine bool) {
	r, v := c.t.r, c.cell("thickness")
	if v.text == "" {
		return false, true
	}
	thick, ok := r.length(v.at, "thickness", v.text, c.reading("thickness"))
	if !ok {
		return true, false
	}
	fits, named := c.withThickness(thick)
	if len(fits) == 1 {
		*to = fits[0]
		return true, true
	}
	name := c.cell("material").text
	var keys []string
	for _, i := range fits {
		keys = append(keys, r.job.Materials[i].Key)
	}
	switch {
	case len(fits) > 1:
		r.fault(v.at, "%s of that thickness fits several materials; write one of %s", quote(strings.TrimSpace(name+" "+v.text)), list(keys))
		return true, false
	case len(named) > 0 && !r.lostHeader:
		r.fault(v.at, "thickness %s is not that of %s, which is %s; add a [material.NAME] of that thickness", quote(v.text), quote(r.job.Materials[named[0]].Key), r.job.Materials[named[0]].Section)
		return true, false
	}
	return false, true
}

// withThickness finds the sheet materials that a row's name may mean, and of them
// those of a thickness.
func (c record) withThickness(thick length.Length) (fits, named []int) {
	r, name := c.t.r, c.cell("material").text
	alloy, err := section.LookupMaterial(name)
	for i, m := range r.job.Materials {
		if m.Section.Canonical == "" || !m.Sheet() {
			continue
		}
		key := fold(m.Key)
		same := name == "" || key == fold(name) || strings.HasPrefix(key, fold(name)+" ") ||
			err == nil && m.Alloy.Name == alloy.Name || slices.Contains(r.bySection(name), i)
		if !same {
			continue
		}
		named = append(named, i)
		if m.Section.Thickness == thick {
			fits = append(fits, i)
		}
	}
	return fits, named
}

// withThickness makes of a name and a thickness the key and the stock of a new
// job's material: birch ply and 18 are ply 18.
func (l *cutList) withThickness(name, thickness string) listed {
	m := listed{key: strings.Join(strings.Fields(name+" "+thickness), " "), stock: "?", sheet: true}
	alloy, err := section.LookupMaterial(name)
	if err != nil {
		return m
	}
	m.alloy = name
	word := map[section.Family]string{
		section.PlywoodFamily: "ply", section.FoamFamily: "foam", section.Aluminium: "sheet", section.Steel: "sheet", section.Stainless: "sheet",
	}[alloy.Family]
	if word == "" {
		word = "board"
	}
	if s, err := section.Parse(word+" "+thickness, l.unit); err == nil {
		m.stock, m.section = word+" "+thickness, s
	}
	return m
}
