package report

import (
	"fmt"
	"io"
	"slices"
	"strings"

	"sawbill/internal/job"
	"sawbill/internal/plan"
	"sawbill/internal/plan/change"
)

// OrderChange is what an order that was sent is to be changed by.
type OrderChange struct {
	Supplier string
	Date     string // on which it was sent
	// Diff is between what was ordered and what a new plan orders there, and of
	// nothing else.
	Diff *change.Diff
	// Priced says that something in the order changes, be it only the price.
	Priced bool
}

// counted says that some line is to be added to or cancelled.
func (c OrderChange) counted() bool { return len(notesOf(c.Diff)) > 0 }

// SupplierFolder is the folder of a pack with the papers for one supplier.
func SupplierFolder(p *plan.Plan, j *job.Job, name string) string {
	return folders(ordered(p, j))[name]
}

// OrderChanges makes a note for each supplier whose order changes, as Changes does.
func OrderChanges(all []OrderChange, j *job.Job) ([]File, []job.Message, error) {
	var files []File
	var messages []job.Message
	var names []string
	for _, c := range all {
		names = append(names, c.Supplier)
	}
	where := folders(names)
	for _, c := range all {
		s, err := newSet(changeRef(c.Diff), j)
		if err != nil {
			return nil, nil, err
		}
		for _, n := range notesOf(c.Diff) {
			d := s.document("Change of order", false)
			d.changeNote(c.Diff, n)
			d.save(under(where[c.Supplier], "change.pdf"))
			s.add(under(where[c.Supplier], "change.csv"), s.noteTable(c.Diff, n))
		}
		if s.err != nil {
			return nil, nil, s.err
		}
		files, messages = append(files, s.files...), append(messages, s.messages...)
	}
	return files, messages, nil
}

// OrderChangeSummary writes the changes of orders in lines of at most 80 columns;
// fresh are suppliers of the new plan who were sent no order. Its error is the
// writer's.
func OrderChangeSummary(w io.Writer, all []OrderChange, fresh []string, p *plan.Plan, j *job.Job, dir string) error {
	t := &terminal{style: styleOf(p, j), plan: p, job: j}
	t.head()
	var noted []string
	for _, c := range all {
		rev := ""
		if r := c.Diff.Old.Job.Revision; r != "" {
			rev = "revision " + r + ", "
		}
		t.wrapped(fmt.Sprintf("Order to %s of %s, %splan no. %s", c.Supplier, c.Date, rev, c.Diff.Old.Number))
		switch {
		case c.counted():
			noted = append(noted, c.Supplier)
			t.orders(c.Diff)
		case c.Priced:
			t.line("  nothing to add or cancel; what is charged is another")
		default:
			t.line("  stays as it is")
		}
		if old, new := c.Diff.Old.Payable, c.Diff.New.Payable; old != new {
			t.line("  to pay there, tax included: %s %s, was %s", t.money(new), t.currency, t.money(old))
		}
		t.line("")
	}
	if len(fresh) > 0 {
		t.wrapped("No order was sent to: " + strings.Join(fresh, ", ") + ".")
	}
	if len(noted) > 0 {
		t.wrapped("What can still be cancelled is for the supplier to say.")
	}
	if dir != "" && len(noted) > 0 {
		var names []string
		for _, c := range all {
			names = append(names, c.Supplier)
		}
		where := folders(names)
		t.line("Papers in %s:", clipMiddle(printable(dir), columns-30))
		for _, n := range names {
			if slices.Contains(noted, n) {
				t.line("  %s/change.pdf  the change for %s", where[n], n)
			}
		}
	}
	t.line("%s", shortCaution)
	_, err := w.Write(t.out.Bytes())
	return err
}
