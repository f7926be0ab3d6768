package report

import (
	"fmt"
	"strings"

	"sawbill/internal/plan"
	"sawbill/internal/report/drawing"
	"sawbill/internal/report/svg"
)

// figures writes every different layout as a drawing of its own.
func (s *set) figures(folder string) {
	taken := map[string]bool{"readme": true}
	s.add(under(folder, "README.txt"), s.readme(s.jobTitle()+": layouts for a screen", [][2]string{
		{"*.svg", "for a screen: every different layout, named by its material and pattern"}}))
	for _, m := range s.plan.Materials {
		base := uniqueName(safeName(m.Key, "material"), taken)
		if m.Kind == plan.Bar {
			v := s.barView(m, 250)
			for _, pt := range patterns(m, "") {
				fig, list := v.figure(pt)
				s.listBelow(fig, list)
				s.figure(folder, base, pt, m, fig)
			}
			continue
		}
		for _, pt := range patterns(m, "") {
			_, fig := s.sheetView(m, pt, sheetScale(m, 250, 160), 250)
			s.figure(folder, base, pt, m, fig)
		}
	}
}

// listBelow makes the figure higher and writes a list under it.
func (s *set) listBelow(fig *drawing.Page, list []string) {
	for _, line := range s.face.Wrap(s.clean(strings.Join(list, "; ")), 9, false, fig.Width) {
		fig.Height += 4.4
		s.write(fig, 0, fig.Height-1, fig.Width+1, line, font{size: 9})
	}
}

// figure adds one layout as an SVG file.
func (s *set) figure(folder, base string, pt pattern, m plan.Material, fig *drawing.Page) {
	name := fmt.Sprintf("%s-%02d", base, pt.Pattern)
	title := s.clean(fmt.Sprintf("%s, pattern %d", materialName(m), pt.Pattern))
	s.add(under(folder, name+".svg"), svg.Write(s.alone(fig, m), title))
}

// alone frames a figure that stands alone and names what it shows.
func (s *set) alone(fig *drawing.Page, m plan.Material) *drawing.Page {
	const edge = 6.0
	page := &drawing.Page{Width: fig.Width + 2*edge, Height: fig.Height + 2*edge + 6}
	text := fmt.Sprintf("%s    plan no. %s", materialName(m), s.plan.Number)
	s.write(page, edge, edge+3, fig.Width, text, font{size: 9, least: 6})
	page.Place(fig, edge, edge+6)
	return page
}
