package main

import (
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"sawbill/internal/job"
)

func offersCommand() *cobra.Command {
	c := &cobra.Command{
		Use:   "offers",
		Short: "prices from suppliers: read a filled-in enquiry",
		Args:  exactly(0, "the name of what to do, such as read"),
		RunE: func(c *cobra.Command, args []string) error {
			return fail(exitUsage, "%s takes the name of what to do, such as read; see '%[1]s --help'", c.CommandPath())
		},
	}
	c.AddCommand(offersReadCommand())
	return c
}

func offersReadCommand() *cobra.Command {
	var supplier, out string
	c := &cobra.Command{
		Use:   "read JOB FILE",
		Short: "turn an enquiry that a supplier filled in into offers",
		Long: `Read takes FILE, the enquiry.csv of JOB's pack as a supplier filled it in (CSV
or XLSX), and prints the rows to add to the job's table of offers, or of quotes
where single marks are priced. With -o they are written to a table: added below
its rows when it is there already and none of them is for the same goods.
Delivery, smallest order and cuts are printed as lines for the job file.

` + exitHelp,
		Args: exactly(2, "a job file and a filled-in enquiry"),
		RunE: func(c *cobra.Command, args []string) error {
			if strings.TrimSpace(supplier) == "" {
				return fail(exitUsage, "say who filled in the enquiry with --supplier NAME")
			}
			return readOffers(args[0], args[1], strings.TrimSpace(supplier), out, c.OutOrStdout(), c.ErrOrStderr())
		},
	}
	c.Flags().StringVar(&supplier, "supplier", "", "`NAME` of the supplier, as in the job")
	c.Flags().StringVarP(&out, "out", "o", "", "CSV `FILE` to write the rows to, or add them to")
	return c
}

func readOffers(jobPath, path, supplier, out string, stdout, stderr io.Writer) error {
	j, err := readJob(jobPath)
	if err != nil {
		return err
	}
	a, err := job.ReadAnswer(path, j, supplier)
	if err != nil {
		return &failure{readCode(path), err}
	}
	printRemarks(stderr, a.Remarks)
	offers, quotes := a.OfferRows(j, supplier), a.QuoteRows(supplier)
	if out != "" {
		rows := offers
		switch {
		case len(a.Offers) > 0 && len(a.Quotes) > 0:
			return fail(exitFaults, "%s has prices for stock and for marks, which are two tables; leave -o out and copy the rows", path)
		case len(a.Quotes) > 0:
			rows = quotes
		}
		if len(rows) > 1 {
			if err := addRows(out, rows, stdout); err != nil {
				return err
			}
		}
	} else {
		printTable(stdout, "offers", offers)
		printTable(stdout, "quotes", quotes)
	}
	if len(a.Terms) > 0 || len(a.Quotes) > 0 {
		fmt.Fprintf(stderr, "for the job file:\n%s", a.SupplierText(supplier))
	}
	return nil
}

// printTable prints a table that has rows, under a comment that names it.
func printTable(w io.Writer, name string, rows [][]string) {
	if len(rows) > 1 {
		fmt.Fprintf(w, "# %s\n%s", name, rowsText(rows))
	}
}

func rowsText(rows [][]string) []byte {
	var b bytes.Buffer
	w := csv.NewWriter(&b)
	// A bytes.Buffer takes every write.
	_ = w.WriteAll(rows)
	return b.Bytes()
}

// keys are the columns that tell what a row of a table is for; the price is not one.
var keys = []string{"supplier", "material", "size", "mark", "from"}

// addRows writes a table, or adds its rows to one that has the same heads.
func addRows(path string, rows [][]string, stdout io.Writer) error {
	have, err := os.ReadFile(path)
	if errors.Is(err, fs.ErrNotExist) {
		if err := writeNew(path, rowsText(rows)); err != nil {
			return err
		}
		fmt.Fprintf(stdout, "wrote %s with %s\n", path, rowCount(len(rows)-1))
		return nil
	}
	if err != nil {
		return fail(exitFiles, "%s cannot be read: %w", path, err)
	}
	met, err := rowsOf(path, have, rows[0])
	if err != nil {
		return err
	}
	for _, row := range rows[1:] {
		if line, twice := met[keyOf(rows[0], row)]; twice {
			return fail(exitFaults, "%s has a row for %s already, line %d; take it out first, or name another file with -o", path, strings.Join(keyCells(rows[0], row), ", "), line)
		}
	}
	var gap []byte
	if !bytes.HasSuffix(have, []byte("\n")) {
		gap = []byte("\n")
	}
	if err := appendTo(path, append(gap, rowsText(rows[1:])...)); err != nil {
		return fail(exitFiles, "%s cannot be written: %w", path, err)
	}
	fmt.Fprintf(stdout, "added %s to %s\n", rowCount(len(rows)-1), path)
	return nil
}

// rowsOf finds the line of every row of a table that is there already.
func rowsOf(path string, data []byte, heads []string) (map[string]int, error) {
	r := csv.NewReader(bytes.NewReader(data))
	r.FieldsPerRecord, r.Comment = -1, '#'
	met := map[string]int{}
	for first := true; ; first = false {
		row, err := r.Read()
		switch {
		case err == io.EOF && !first:
			return met, nil
		case err != nil && err != io.EOF:
			return nil, fail(exitFaults, "%s is no table with commas: %w; name another file with -o", path, err)
		case first && !slices.Equal(row, heads):
			return nil, fail(exitFaults, "%s has other heads than %s; name another file with -o", path, strings.Join(heads, ","))
		case !first:
			line, _ := r.FieldPos(0)
			met[keyOf(heads, row)] = line
		}
	}
}

func appendTo(path string, data []byte) error {
	f, err := os.OpenFile(path, os.O_WRONLY|os.O_APPEND, 0)
	if err != nil {
		return err
	}
	_, err = f.Write(data)
	return errors.Join(err, f.Close())
}

// keyCells are the filled cells of a row that tell what it is for.
func keyCells(heads, row []string) []string {
	var cells []string
	for i, h := range heads {
		if slices.Contains(keys, h) && i < len(row) && row[i] != "" {
			cells = append(cells, row[i])
		}
	}
	return cells
}

func keyOf(heads, row []string) string { return strings.Join(keyCells(heads, row), "\x00") }

func rowCount(n int) string {
	if n == 1 {
		return "1 row"
	}
	return fmt.Sprintf("%d rows", n)
}
