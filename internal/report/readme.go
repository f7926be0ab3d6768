package report

import (
	"fmt"
	"slices"
	"strings"

	"sawbill/internal/plan"
)

// Each folder has a README.txt that says which file is for whom.

func (s *set) readme(title string, entries [][2]string) []byte {
	var b strings.Builder
	fmt.Fprintf(&b, "%s\n%s\n\n", oneLine(title), oneLine(fmt.Sprintf("Plan no. %s", s.plan.Number)))
	wide := 0
	for _, e := range entries {
		wide = max(wide, cellWidth(e[0]))
	}
	for _, e := range entries {
		fmt.Fprintf(&b, "%s  %s\n", padRight(e[0], wide), oneLine(e[1]))
	}
	return []byte(b.String())
}

func oneLine(text string) string { return printable(text) }

func (s *set) jobTitle() string {
	title := s.plan.Job.Name
	if r := s.plan.Job.Revision; r != "" {
		title += ", revision " + r
	}
	return title
}

func (s *set) packReadme(more [][2]string, names []string, where map[string]string) []byte {
	entries := append(slices.Clone(more), [][2]string{
		{"summary.pdf", "for you alone: what to buy, prices, totals, what is proved; not for suppliers"},
		{"bill.pdf", "for you alone: mass and money of the whole, with room for what is quoted and invoiced"},
		{"bill.csv", "the money of it as a table"},
		{"masses.csv", "the masses of it as a table"},
		{"plan.json", "the plan itself, for the program; keep it with the papers"},
		{"enquiry.pdf", "to send to any suppliers, to ask for prices: what is needed, no prices, no names"},
		{"enquiry.csv", "the same as a table to be filled in; read it back with 'sawbill offers read'"},
		{"workshop/", "for whoever cuts, takes in goods and assembles: layouts, stops, labels, cut list, kits, what to check, tables"},
	}...)
	for _, n := range names {
		entries = append(entries, [2]string{where[n] + "/", "to send to " + n + ", when you order: order, and what they need to cut"})
	}
	return s.readme(s.jobTitle(), entries)
}

func (s *set) workshopReadme(names []string, where map[string]string, stocked bool, more [][2]string) []byte {
	var entries [][2]string
	if stocked {
		entries = append(entries, [2]string{"stock.pdf", "for the store: what to take from our own stock"})
	}
	for _, n := range names {
		entries = append(entries, [2]string{goodsInFile(where[n]), "for when the goods from " + n + " come: count, measure, weigh; not for them"})
	}
	if s.has(plan.Bar, "") {
		entries = append(entries, [2]string{"bars.pdf", "for the saw: every different bar to scale; print at 100 %"})
	}
	if s.has(plan.Sheet, "") {
		entries = append(entries, [2]string{"sheets.pdf", "for the sheet cutter: every different sheet to scale, its cuts numbered in order, what comes off at each, and the turns; print at 100 %"})
	}
	if s.anyFormed(s.plan.Materials, "") {
		entries = append(entries, [2]string{"panels.pdf", "for the bench: every panel with an outline, openings or holes, and where the holes are"})
	}
	entries = append(entries, [2]string{"cutlist.pdf", "for the bench: all pieces and panels, longest first, to tick off"})
	entries = append(entries, more...)
	entries = append(entries,
		[2]string{"buy.csv", "for a spreadsheet: what is bought"},
		[2]string{"cutlist.csv", "for a spreadsheet: what is cut"},
		[2]string{"layouts.csv", "for a spreadsheet or machine: every piece in its place"},
		[2]string{"svg/", "for a screen: every different layout"})
	return s.readme(s.jobTitle()+": workshop", entries)
}

func (s *set) supplierReadme(name string) []byte {
	entries := [][2]string{
		{"order.pdf", "for " + name + ": what we order"},
		{"order.csv", "the same as a table"},
	}
	if materials, kind := s.cutThere(name); len(materials) > 0 {
		entries = append(entries,
			[2]string{"cutlist.pdf", kind + ": the pieces"},
			[2]string{"layouts.pdf", kind + ": how they lie in the stock"})
	}
	if s.anyFormed(s.panelsFor(name), name) {
		entries = append(entries, [2]string{"panels.pdf", "every panel with an outline, openings or holes"})
	}
	cuts, sheets := s.beamed(name)
	for _, f := range sheets {
		entries = append(entries, [2]string{f.path, s.sheetWhat(f)})
	}
	if len(cuts) > 0 {
		entries = append(entries, [2]string{"dxf/", "every panel as a drawing to cut from: one file a mark, nominal size, one of each"})
	}
	return s.readme(s.jobTitle()+": for "+name, entries)
}
