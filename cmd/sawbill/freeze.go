package main

import (
	"bufio"
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"sawbill/internal/job"
	"sawbill/internal/length"
	"sawbill/internal/order"
	"sawbill/internal/plan"
	"sawbill/internal/plan/change"
	"sawbill/internal/report"
)

func freezeCommand() *cobra.Command {
	var to, date string
	c := &cobra.Command{
		Use:   "freeze JOB PLAN --to SUPPLIER",
		Short: "note that an order was sent, with its revision, date and price",
		Long: `Freeze notes, in orders.json beside the plan, what was ordered from a supplier:
the revision of the job, the plan no., the goods, the price, and the papers of
the pack that were sent. When the job changes afterwards, 'sawbill changes
orders.json JOB' says what to add to and cancel from that order; plan the job
and freeze it again when the supplier has agreed.

An order is frozen again only for a new revision, or when something in it has
changed. PLAN is a pack or its plan.json.

` + exitHelp,
		Args: exactly(2, "a job file and a plan"),
		RunE: func(c *cobra.Command, args []string) error {
			if strings.TrimSpace(to) == "" {
				return fail(exitUsage, "say who was sent the order with --to SUPPLIER")
			}
			if date == "" {
				date = today()
			}
			if _, err := time.Parse(time.DateOnly, date); err != nil {
				return fail(exitUsage, "--date %q is no date; write it as 2026-05-02", date)
			}
			w, err := openWork(args[0], args[1])
			if err != nil {
				return err
			}
			return w.freeze(strings.TrimSpace(to), date, c.OutOrStdout())
		},
	}
	c.Flags().StringVar(&to, "to", "", "the `SUPPLIER` who was sent the order, as in the job")
	c.Flags().StringVar(&date, "date", "", "the `DATE` on which it was sent (default today)")
	return c
}

func (w *work) freeze(to, date string, out io.Writer) error {
	o, ok := orderOf(w.job, w.plan, to)
	if !ok {
		return fail(exitFaults, "plan no. %s places no order with %q; it orders from %s", w.plan.Number, to, orderedFrom(w.plan))
	}
	o.Date = date
	var err error
	if o.Sent, err = sent(w.dir, report.SupplierFolder(w.plan, w.job, to)); err != nil {
		return err
	}
	err = order.Add(w.dir, o)
	if frozen := (*order.Frozen)(nil); errors.As(err, &frozen) {
		return &failure{exitFaults, err}
	}
	if err != nil {
		return fail(exitFiles, "the order was not noted: %w", err)
	}
	rev := ""
	if o.Job.Revision != "" {
		rev = "revision " + o.Job.Revision + ", "
	}
	fmt.Fprintf(out, "order to %s: %splan no. %s, %s, %s %s", o.Supplier, rev, o.Plan, o.Date, o.Price(), o.Currency)
	switch n := len(o.Sent); n {
	case 0:
		fmt.Fprintln(out, "; no papers of it lie beside the plan")
	case 1:
		fmt.Fprintln(out, ", 1 paper")
	default:
		fmt.Fprintf(out, ", %d papers\n", n)
	}
	return nil
}

// orderedFrom names those with whom a plan places orders.
func orderedFrom(p *plan.Plan) string {
	var names []string
	for _, o := range p.Orders {
		if o.Way != plan.OnHand {
			names = append(names, fmt.Sprintf("%q", o.Supplier))
		}
	}
	if len(names) == 0 {
		return "nobody"
	}
	return strings.Join(names, ", ")
}

// sent are the papers of a folder of the pack, which must be as the pack was written.
func sent(dir, folder string) ([]order.Paper, error) {
	data, err := os.ReadFile(filepath.Join(dir, contentsName))
	if err != nil {
		return nil, nil // a plan without its pack
	}
	var papers []order.Paper
	for lines := bufio.NewScanner(bytes.NewReader(data)); lines.Scan(); {
		digest, path, ok := strings.Cut(lines.Text(), "  ")
		if !ok || !strings.HasPrefix(path, folder+"/") || !filepath.IsLocal(filepath.FromSlash(path)) {
			continue
		}
		data, err := os.ReadFile(filepath.Join(dir, filepath.FromSlash(path)))
		if err != nil {
			return nil, fail(exitFiles, "a paper of the order cannot be read: %w", err)
		}
		if sum := sha256.Sum256(data); hex.EncodeToString(sum[:]) != digest {
			return nil, fail(exitFaults, "%s is not as the pack was written; plan the job again, or put it back", filepath.Join(dir, filepath.FromSlash(path)))
		}
		papers = append(papers, order.Paper{Path: path, Digest: digest})
	}
	return papers, nil
}

// frozenOrders reads orders.json, of itself or of the pack it lies in; nil where
// the path names something else.
func frozenOrders(path string) (*order.File, error) {
	if info, err := os.Stat(path); err == nil && info.IsDir() {
		path = filepath.Join(path, order.FileName)
	} else if filepath.Base(path) != order.FileName {
		return nil, nil
	}
	f, err := order.Load(path)
	switch {
	case err != nil:
		return nil, &failure{exitFaults, err}
	case f == nil || len(f.Orders) == 0:
		return nil, fail(exitFiles, "no order was frozen in %s; freeze one with 'sawbill freeze JOB PLAN --to SUPPLIER'", path)
	}
	return f, nil
}

// packOf is the folder of frozen orders.
func packOf(path string) string {
	if filepath.Base(path) == order.FileName {
		return filepath.Dir(path)
	}
	return path
}

// orderOf is the order that a plan of a job places with a supplier.
func orderOf(j *job.Job, p *plan.Plan, supplier string) (order.Order, bool) {
	return order.Of(p, supplier, func(mark string) (l, w length.Length, digest string) { return change.Cut(j, mark) })
}

// linesOf are the lines of an order. Where it does not tell how a mark is cut, that is
// taken to be as in another order.
func linesOf(o, other order.Order) []change.Line {
	var lines []change.Line
	for _, g := range o.Goods {
		lines = append(lines, change.Line{Supplier: o.Supplier, Stock: g.Stock, Alloy: g.Alloy, Length: g.Length, Width: g.Width, New: g.Count})
	}
	for _, m := range o.Marks {
		if i := slices.IndexFunc(other.Marks, func(n order.Mark) bool { return n.Mark == m.Mark }); i >= 0 && m.Stock == "" {
			n := m.Count
			m = other.Marks[i]
			m.Count = n
		}
		lines = append(lines, change.Line{Supplier: o.Supplier, Stock: m.Stock, Alloy: m.Alloy, Length: m.Length, Width: m.Width, Mark: m.Mark, Cut: m.Cut, New: m.Count})
	}
	return lines
}

// changeOrders holds the last order to each supplier, or to one, against a job.
func changeOrders(f *order.File, oldPath, newPath, to, out string, s settings, c rackChoice, stdout, stderr io.Writer) error {
	j, err := readJob(newPath)
	if err != nil {
		return err
	}
	printRemarks(stderr, j.Remarks)
	names := f.Suppliers()
	if to != "" {
		if f.Last(to) == nil {
			return fail(exitFaults, "no order to %q was frozen; there are orders to %s", to, strings.Join(names, ", "))
		}
		names = []string{to}
	}
	for _, name := range names {
		if o := f.Last(name); o.Currency != j.Currency {
			return fail(exitFaults, "the order to %s is in %q and the job in %q, so they cannot be compared; write one currency in both", name, o.Currency, j.Currency)
		}
	}
	if out != "" {
		if err := writable(out); err != nil {
			return err
		}
	}
	if j.Rack.File == "" && c.file == "" {
		if j, err = c.asPlanned(j, packOf(oldPath)); err != nil {
			return err
		}
	}
	p, err := provedPlan(newPath, j, s, c, stderr)
	if err != nil {
		return err
	}
	var all []report.OrderChange
	for _, name := range names {
		was, is := f.Last(name), order.Order{}
		is, _ = orderOf(j, p, name)
		d := change.Plans(j, j, was.Bought(), is.Bought())
		d.Lines = change.Lines(linesOf(*was, is), linesOf(is, is))
		all = append(all, report.OrderChange{Supplier: name, Date: was.Date, Diff: d, Priced: !was.Same(is)})
	}
	if out != "" {
		draw := func() ([]report.File, []job.Message, error) { return report.OrderChanges(all, j) }
		if err := papers("the notes", out, stderr, draw); err != nil {
			return err
		}
	}
	var fresh []string
	for _, o := range p.Orders {
		if o.Way != plan.OnHand && !slices.Contains(f.Suppliers(), o.Supplier) && to == "" {
			fresh = append(fresh, o.Supplier)
		}
	}
	if err := report.OrderChangeSummary(stdout, all, fresh, p, j, out); err != nil {
		return fail(exitFiles, "the summary could not be printed: %w", err)
	}
	return nil
}
