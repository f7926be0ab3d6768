package report

import (
	"fmt"
	"strings"

	"sawbill/internal/plan"
	"sawbill/internal/report/drawing"
	"sawbill/internal/report/svg"
)

// figuresFolder holds the drawings of the layouts.
const figuresFolder = "workshop/svg"

// figures writes every different layout as a drawing of its own.
func (s *set) figures() {
	s.add(under(figuresFolder, "README.txt"), s.readme(s.jobTitle()+": layouts for a screen", [][2]string{
		{"*.svg", "for a screen: every different layout, named by its material and pattern"}}))
	eachFigure(s.plan, func(m plan.Material, pt pattern, path string) {
		var fig *drawing.Page
		if m.Kind == plan.Bar {
			var list []string
			fig, list = s.barView(m, 250).figure(pt)
			s.listBelow(fig, list)
		} else {
			var v *sheetView
			v, fig = s.sheetView(m, pt, sheetScale(m, 250, 160), 250)
			fig = s.withDetail(v, fig)
		}
		s.add(path, svg.Write(s.alone(fig, m), s.clean(figureTitle(m, pt))))
	})
}

// withDetail puts the detail and the names of small panels under a sheet.
func (s *set) withDetail(v *sheetView, fig *drawing.Page) *drawing.Page {
	for i := range v.detailed {
		if detail, e, _ := s.detailFor(v, i, fig.Width, 100); detail != nil {
			fig.Place(detail, 0, fig.Height)
			fig.Height += detail.Height
			v.key = e.key
		}
	}
	s.listBelow(fig, v.keyLines())
	return fig
}

// eachFigure goes through the different layouts of a plan and where their drawings are.
func eachFigure(p *plan.Plan, do func(m plan.Material, pt pattern, path string)) {
	taken := map[string]bool{"readme": true}
	for _, m := range p.Materials {
		base := uniqueName(safeName(m.Key, "material"), taken)
		for _, pt := range patterns(m, "") {
			do(m, pt, under(figuresFolder, fmt.Sprintf("%s-%02d.svg", base, pt.Pattern)))
		}
	}
}

func figureTitle(m plan.Material, pt pattern) string {
	return fmt.Sprintf("%s, pattern %d", materialName(m), pt.Pattern)
}

// listBelow makes the figure higher and writes a list under it.
func (s *set) listBelow(fig *drawing.Page, list []string) {
	if len(list) == 0 {
		return
	}
	for _, line := range s.face.Wrap(s.clean(strings.Join(list, "; ")), 9, false, fig.Width) {
		fig.Height += 4.4
		s.write(fig, 0, fig.Height-1, fig.Width+1, line, font{size: 9})
	}
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
