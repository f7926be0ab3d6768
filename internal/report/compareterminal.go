package report

import (
	"fmt"
	"io"
	"strings"

	"sawbill/internal/job"
	"sawbill/internal/plan/option"
)

// CompareSummary writes a comparison in lines of at most 80 columns. The
// folder of its papers is named as given. Its error is the writer's.
func CompareSummary(w io.Writer, t *option.Table, j *job.Job, dir string) error {
	c := &terminal{style: styleOf(compareRef(t), j), plan: compareRef(t), job: j}
	c.head()
	c.options("Option", t.Rows)
	if len(t.WhatIfs) > 0 {
		c.line("")
		c.options("What if there were sheets of", t.WhatIfs)
	}
	c.line("")
	for _, text := range append(c.style.advice(t), starMeans, alikeMeans) {
		c.wrapped(text)
	}
	c.line("")
	c.line("Papers in %s: compare.pdf, compare.svg, compare.csv", clipMiddle(printable(dir), columns-50))
	c.line("%s", shortCaution)
	_, err := w.Write(c.out.Bytes())
	return err
}

const nameRoom = 35

func (t *terminal) options(head string, rows []option.Row) {
	t.line("%s%s%s%s%s%s", padRight("  "+head, nameRoom), padLeft("in all", 11), padLeft("build "+t.massUnit(), 10),
		padLeft("scrap", 8), padLeft("stock", 7), padLeft("cuts", 6))
	for _, r := range rows {
		mark := "  "
		if r.Undominated {
			mark = "* "
		}
		name := padRight(mark+r.Name, nameRoom)
		if !r.Planned {
			t.line("%s  %s", name, strings.Join(r.Notes, "; "))
			continue
		}
		note := ""
		if r.Alike {
			note = "  ="
		}
		t.line("%s%s%s%s%s%s%s", name, padLeft(t.money(r.Total), 11), padLeft(t.bareMass(r.Mass.Pieces), 10),
			padLeft(t.share(r.ScrapShare()), 8), padLeft(fmt.Sprint(r.Stocks), 7), padLeft(fmt.Sprint(r.Cuts), 6), note)
	}
}
