package report

import (
	"fmt"
	"io"
	"slices"
	"strings"

	"sawbill/internal/job"
	"sawbill/internal/plan"
)

// GoOn is what a new plan for what remains means at the saw.
type GoOn struct {
	// Plan answers Job, what remains of the whole job.
	Plan *plan.Plan
	Job  *job.Job
	// Stays are layouts of earlier plans to be cut as they are; GivenUp are those
	// of which nothing more is to be cut.
	Stays, GivenUp []LayoutRef
	// Sources say what layouts of Plan are cut from that was at hand.
	Sources []SourceRef
}

// LayoutRef names a layout of a plan.
type LayoutRef struct {
	Plan, Material string
	Number         int
}

// SourceRef says what a layout is cut from.
type SourceRef struct {
	LayoutRef
	What string
}

// GoOnPack is the pack of the new plan with a page that says how to go on with
// it and the earlier ones.
func GoOnPack(g *GoOn) ([]File, []job.Message, error) {
	s, err := newSet(g.Plan, g.Job)
	if err != nil {
		return nil, nil, err
	}
	s.rests = map[string]string{}
	for _, from := range g.Sources {
		s.rests[numbered(from.Material, from.Number)] = from.What
	}
	d := s.document("Going on", false)
	d.goOn(g)
	d.save("going-on.pdf")
	return s.pack([][2]string{{"going-on.pdf", "for the saw: read it first; what of the older sheets is void, what is still cut from them, what by the new ones"}})
}

func (d *document) goOn(g *GoOn) {
	d.newPage()
	d.heading("Going on with plan no. "+g.Plan.Number, 18)
	d.paragraph(g.extra(d.style), 10)
	d.gap(3)
	if len(g.GivenUp) > 0 {
		d.heading("Do not cut any more", 12)
		d.paragraph("Strike these out on the older sheets: "+refs(g.GivenUp)+".", 10)
		d.gap(2)
	}
	if len(g.Stays) > 0 {
		d.heading("Cut as they are, from the older sheets", 12)
		d.paragraph(refs(g.Stays)+".", 10)
		d.gap(2)
	}
	d.heading("Cut by the new sheets", 12)
	t := d.table(10, column{head: "ok", share: 8, tick: true}, column{head: "layout", share: 34, bold: true}, column{head: "from", share: 80, wrap: true}, column{head: "size", share: 40}, column{head: "what is cut", share: 60, wrap: true})
	for _, m := range g.Plan.Materials {
		for _, l := range m.Layouts {
			t.row("", fmt.Sprintf("%s %d", m.Key, l.Number), g.from(m.Key, l), d.size(l.Stock.Length, l.Stock.Width), marksIn(l))
		}
	}
	t.end()
	d.paragraph("Measure every rest before you cut it. Edges are sharp, and rests are easily mistaken for each other.", 9.5)
}

// from says where a layout's bar or sheet comes from.
func (g *GoOn) from(material string, l plan.Layout) string {
	i := slices.IndexFunc(g.Sources, func(s SourceRef) bool { return s.Material == material && s.Number == l.Number })
	if i < 0 {
		if piece := fromRack(g.Job, l.Stock.Offer); piece != "" {
			return "from " + source(g.Job, l.Stock)
		}
		return "new, from " + l.Stock.Supplier
	}
	return g.Sources[i].What
}

// numbered names a layout of a plan.
func numbered(material string, number int) string { return fmt.Sprintf("%s %d", material, number) }

// restsOf says what layouts of a material are cut from that was at hand; "" where that is
// bought or in stock.
func (s *set) restsOf(material string, numbers []int) string {
	var out []string
	for _, n := range numbers {
		if what := s.rests[numbered(material, n)]; what != "" && !slices.Contains(out, what) {
			out = append(out, what)
		}
	}
	return strings.Join(out, "; ")
}

// cutFrom says where the bars or sheets of a pattern come from.
func (s *set) cutFrom(material string, pt pattern) string {
	if rests := s.restsOf(material, pt.Numbers); rests != "" {
		return "from " + rests
	}
	if pt.Stock.Supplier == "" {
		return ""
	}
	return "from " + source(s.job, pt.Stock)
}

func marksIn(l plan.Layout) string {
	var list []string
	for _, p := range l.Pieces {
		list = append(list, fmt.Sprintf("%s/%d", p.Mark, p.Copy))
	}
	for _, p := range l.Panels {
		list = append(list, fmt.Sprintf("%s/%d", p.Mark, p.Copy))
	}
	return strings.Join(list, ", ")
}

// refs lists layouts by plan and material: "tube 1 to 3, 7; skin 2 of plan no. 1a2b3c4d".
func refs(list []LayoutRef) string {
	var out []string
	for i := 0; i < len(list); {
		k, numbers := i, []int{}
		for ; k < len(list) && list[k].Plan == list[i].Plan && list[k].Material == list[i].Material; k++ {
			numbers = append(numbers, list[k].Number)
		}
		text := list[i].Material + " " + runs(numbers)
		if k == len(list) || list[k].Plan != list[i].Plan {
			text += " of plan no. " + list[i].Plan
		}
		out = append(out, text)
		i = k
	}
	return strings.Join(out, "; ")
}

// runs lists ascending numbers, three or more in a row as "4 to 7".
func runs(numbers []int) string {
	var out []string
	for i := 0; i < len(numbers); {
		k := i + 1
		for k < len(numbers) && numbers[k] == numbers[k-1]+1 {
			k++
		}
		if k-i > 2 {
			out = append(out, fmt.Sprintf("%d to %d", numbers[i], numbers[k-1]))
		} else {
			for _, n := range numbers[i:k] {
				out = append(out, fmt.Sprint(n))
			}
		}
		i = k
	}
	return strings.Join(out, ", ")
}

// extra says what is to be bought, or that nothing is.
func (g *GoOn) extra(s style) string {
	bought := map[string]bool{}
	for _, b := range bills(g.Plan, g.Job) {
		if !b.onHand {
			bought[b.supplier] = true
		}
	}
	if len(bought) == 0 {
		return "Nothing has to be bought: what is left will do."
	}
	return "To be bought beyond what was bought before, tax included: " + s.money(g.Plan.Payable) + " " + s.currency + "."
}

// GoingOn writes the same in lines of at most 80 columns.
func GoingOn(w io.Writer, g *GoOn, packDir string) error {
	t := &terminal{style: styleOf(g.Plan, g.Job), plan: g.Plan, job: g.Job}
	t.head()
	t.wrapped(g.extra(t.style))
	t.line("")
	if len(g.Plan.Materials) > 0 {
		t.buy()
		t.line("")
	}
	if len(g.GivenUp) > 0 {
		t.wrapped("Do not cut any more: " + refs(g.GivenUp) + ".")
	}
	if len(g.Stays) > 0 {
		t.wrapped("Cut as they are: " + refs(g.Stays) + ".")
	}
	t.line("Cut by the new sheets:")
	for _, m := range g.Plan.Materials {
		for _, l := range m.Layouts {
			t.wrapped(fmt.Sprintf("  %s %d, %s (%s): %s", m.Key, l.Number, g.from(m.Key, l), t.size(l.Stock.Length, l.Stock.Width), marksIn(l)))
		}
	}
	t.line("")
	t.line("Papers in %s; look at going-on.pdf first.", clipMiddle(printable(packDir), columns-45))
	t.line("%s", shortCaution)
	_, err := w.Write(t.out.Bytes())
	return err
}
