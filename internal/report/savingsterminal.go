package report

import (
	"io"
	"strings"

	"sawbill/internal/job"
	"sawbill/internal/plan/saving"
)

// SavingsSummary writes what small changes save in lines of at most 80 columns.
// The folder of the papers is named as given; without one there are none. Its
// error is the writer's.
func SavingsSummary(w io.Writer, r *saving.Result, j *job.Job, dir string) error {
	t := &terminal{style: styleOf(r.Base, j), plan: r.Base, job: j}
	t.head()
	t.wrapped(t.asItIs(r))
	t.line("")
	for _, p := range t.savingsOf(r) {
		t.wrapped(p.name)
		if p.limits != "" {
			t.indented(p.limits, 2)
		}
		for _, row := range p.rows {
			text := row.change + ": saves " + row.saves
			if row.inAll != "" {
				text += ", " + row.inAll + " in all"
			}
			t.indented(text, 4)
			for _, goods := range row.goods {
				t.indented(goods, 8)
			}
			t.indented(row.sure, 8)
		}
		for _, text := range p.after {
			t.indented(text, 2)
		}
		t.line("")
	}
	for _, text := range t.savingsNotes(r) {
		t.wrapped(text)
	}
	if dir != "" {
		t.line("Papers in %s: savings.pdf, savings.csv", clipMiddle(printable(dir), columns-40))
	}
	t.line("%s", shortCaution)
	_, err := w.Write(t.out.Bytes())
	return err
}

// indented breaks a sentence at spaces, all its lines set in alike.
func (t *terminal) indented(text string, by int) {
	margin := strings.Repeat(" ", by)
	line := ""
	for _, word := range strings.Fields(text) {
		if line != "" && by+cellWidth(line)+1+cellWidth(word) > columns {
			t.line("%s%s", margin, line)
			line = ""
		}
		line = strings.TrimPrefix(line+" "+word, " ")
	}
	t.line("%s%s", margin, line)
}
