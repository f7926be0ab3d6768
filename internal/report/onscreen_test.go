package report

import (
	"fmt"
	"regexp"
	"slices"
	"strings"
	"testing"

	"sawbill/internal/report/screen"
)

// figuresOf are the figures of a text, each once.
func figuresOf(text string) map[string]bool {
	all := map[string]bool{}
	for _, f := range regexp.MustCompile(`\d[\d.,]*\d`).FindAllString(text, -1) {
		all[f] = true
	}
	return all
}

// TestScreen: every figure that poppler reads from the papers is on the screen,
// but those of the title blocks and of the bar that shows the scale.
func TestScreen(t *testing.T) {
	for _, e := range examples(t) {
		files, _ := pack(t, e)
		papers, err := Screen(e.plan, e.job)
		if err != nil {
			t.Fatal(err)
		}
		if len(papers) != 3 {
			t.Fatalf("%s: %d papers", e.name, len(papers))
		}
		for _, p := range papers {
			said := figuresOf(wordsOf(p) + e.plan.Number + " " + e.plan.Job.Date + " " + e.job.Revision)
			var lines []string
			for _, page := range strings.Split(text(t, find(t, files, p.Name)), "\f") { // each ends with its title block
				lines = append(lines, page[:max(0, strings.LastIndex(page, "Plan no."))])
			}
			read := figuresOf(strings.Join(lines, "\n"))
			if len(read) < 5 {
				t.Errorf("%s, %s: only %d figures were read", e.name, p.Name, len(read))
			}
			for f := range read {
				if !said[f] && !substitute(f) {
					t.Errorf("%s, %s: %s is on paper alone", e.name, p.Name, f)
				}
			}
		}
	}
}

// substitute tells whether a figure is of a character that the papers spell out, as
// in ‹U+001B›, and that a screen can show.
func substitute(figure string) bool {
	return slices.ContainsFunc([]rune(strings.Join(hardMarks, "")), func(r rune) bool { return strings.Contains(fmt.Sprintf("%04X", r), figure) })
}

func wordsOf(p screen.Paper) string {
	var b strings.Builder
	say := func(texts ...string) {
		for _, t := range texts {
			b.WriteString(t + "\n")
		}
	}
	for _, k := range p.Blocks {
		say(k.Text, k.Figure)
		for _, c := range k.Columns {
			say(c.Head)
		}
		for _, r := range k.Rows {
			say(r.Group)
			if len(r.Cells) > 0 && len(r.Cells) != len(k.Columns) {
				say("a row with other columns than its table")
			}
			for _, c := range r.Cells {
				say(c.Text, c.More)
			}
		}
	}
	return b.String()
}

// TestScreenColumns: every row has a cell for each column that is shown.
func TestScreenColumns(t *testing.T) {
	for _, e := range examples(t) {
		papers, err := Screen(e.plan, e.job)
		if err != nil {
			t.Fatal(err)
		}
		for _, p := range papers {
			if strings.Contains(wordsOf(p), "a row with other columns") {
				t.Errorf("%s, %s", e.name, p.Name)
			}
		}
	}
}
