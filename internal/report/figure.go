package report

import (
	"fmt"

	"sawbill/internal/plan"
	"sawbill/internal/report/drawing"
	"sawbill/internal/report/svg"
)

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
