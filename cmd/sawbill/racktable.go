package main

import (
	"bytes"
	"encoding/csv"
	"fmt"
	"io"
	"os"
	"strconv"
	"text/tabwriter"

	"github.com/spf13/cobra"

	"sawbill/internal/length"
	"sawbill/internal/rack"
	"sawbill/internal/replace"
)

func rackListCommand(file *string) *cobra.Command {
	var asCSV, old bool
	c := &cobra.Command{
		Use:   "list",
		Short: "list what lies on the rack",
		Args:  exactly(0, "no argument but its flags"),
		RunE: func(c *cobra.Command, _ []string) error {
			r, err := openRack(c.Context(), *file)
			if err != nil {
				return err
			}
			defer r.Close()
			var all []rack.Offcut
			if old {
				all, err = r.Out(c.Context(), today())
			} else {
				all, err = r.List(c.Context())
			}
			if err != nil {
				return fail(exitFiles, "the rack cannot be read: %v", err)
			}
			if asCSV {
				return csv.NewWriter(c.OutOrStdout()).WriteAll(rack.Rows(all))
			}
			return listed(c.OutOrStdout(), all)
		},
	}
	c.Flags().BoolVar(&asCSV, "csv", false, "as CSV, every length exact")
	c.Flags().BoolVar(&old, "old", false, "only what falls out by the rules of 'sawbill rack keep'")
	return c
}

// listed prints pieces for the eye.
func listed(out io.Writer, all []rack.Offcut) error {
	w := tabwriter.NewWriter(out, 0, 0, 2, ' ', 0)
	fmt.Fprintln(w, "no.\tmaterial\tlength\twidth\tplace\tdate\treserved for\tjob\tnote")
	folder := map[string]string{} // by job: one that it is reserved in
	twins := map[string]bool{}    // names of jobs in several
	for _, o := range all {
		if o.Held != nil {
			first, met := folder[o.Held.Job]
			twins[o.Held.Job] = twins[o.Held.Job] || met && first != o.Held.Folder
			folder[o.Held.Job] = o.Held.Folder
		}
	}
	for _, o := range all {
		wide, held := "", ""
		if o.Width > 0 {
			wide = o.Width.String()
		}
		if o.Held != nil {
			held = o.Held.Job + ", plan " + o.Held.Plan
			if twins[o.Held.Job] && o.Held.Folder != "" {
				held += ", in " + o.Held.Folder
			}
		}
		fmt.Fprintf(w, "%d\t%s\t%s\t%s\t%s\t%s\t%s\t%s\t%s\n", o.ID, o.Material, o.Length, wide, o.Place, o.Date, held, o.Job, o.Note)
	}
	return w.Flush()
}

func rackExportCommand(file *string) *cobra.Command {
	return &cobra.Command{
		Use:   "export [FILE.csv]",
		Short: "write the rack as CSV, which import reads",
		Args:  atMost(1, "one file or none"),
		RunE: func(c *cobra.Command, args []string) error {
			r, err := openRack(c.Context(), *file)
			if err != nil {
				return err
			}
			defer r.Close()
			all, err := r.List(c.Context())
			if err != nil {
				return fail(exitFiles, "the rack cannot be read: %v", err)
			}
			var b bytes.Buffer
			// A bytes.Buffer takes every write.
			_ = csv.NewWriter(&b).WriteAll(rack.Rows(all))
			if len(args) == 0 {
				_, err = c.OutOrStdout().Write(b.Bytes())
			} else {
				err = replace.File(args[0], b.Bytes())
			}
			if err != nil {
				return fail(exitFiles, "the rack cannot be written as CSV: %w", err)
			}
			return nil
		},
	}
}

// atMost wants up to n arguments.
func atMost(n int, names string) cobra.PositionalArgs {
	return func(c *cobra.Command, args []string) error {
		if len(args) <= n {
			return nil
		}
		return exactly(n, names)(c, args)
	}
}

// largestTable is of a table of pieces, in bytes.
const largestTable = 32 << 20

func rackImportCommand(file *string) *cobra.Command {
	return &cobra.Command{
		Use:   "import FILE.csv",
		Short: "put the pieces of a CSV table on the rack, all or none",
		Long: `Import reads a table as 'sawbill rack export' writes it: material and length are
needed, and where they are sheets width; place, date, note, job and what they are
reserved for may be left out. A piece keeps the number under id, and gets one
where there is none. Bare numbers are millimetres.

` + exitHelp,
		Args: exactly(1, "one CSV file"),
		RunE: func(c *cobra.Command, args []string) error {
			info, err := os.Stat(args[0])
			if err == nil && info.Size() > largestTable {
				return fail(exitFiles, "%s is larger than %d MB; check the name", args[0], largestTable>>20)
			}
			data, err := os.ReadFile(args[0])
			if err != nil {
				return fail(exitFiles, "the table cannot be read: %w", err)
			}
			pieces, err := rack.ReadCSV(args[0], data)
			if err != nil {
				return &failure{exitFaults, err}
			}
			for i := range pieces {
				if pieces[i].ID == 0 && pieces[i].Date == "" {
					pieces[i].Date = today()
				}
			}
			r, err := openRack(c.Context(), *file)
			if err != nil {
				return err
			}
			defer r.Close()
			if _, err := r.Import(c.Context(), pieces); err != nil {
				return fail(exitFaults, "%s: %w", args[0], err)
			}
			fmt.Fprintf(c.OutOrStdout(), "put %s on the rack\n", piecesText(len(pieces)))
			return nil
		},
	}
}

func piecesText(n int) string {
	if n == 1 {
		return "1 piece"
	}
	return fmt.Sprintf("%d pieces", n)
}

// number reads the number of a piece.
func number(text string) (int64, error) {
	id, err := strconv.ParseInt(text, 10, 64)
	if err != nil {
		return 0, fail(exitUsage, "%q is not a number of a piece; 'sawbill rack list' tells them", text)
	}
	return id, nil
}

func numbers(texts []string) ([]int64, error) {
	var ids []int64
	for _, text := range texts {
		id, err := number(text)
		if err != nil {
			return nil, err
		}
		ids = append(ids, id)
	}
	return ids, nil
}

func rackEditCommand(file *string) *cobra.Command {
	var material, long, wide, place, note string
	c := &cobra.Command{
		Use:     "edit ID",
		Short:   "change what is written of a piece",
		Example: `  sawbill rack edit 17 --length 2390 --place "bin 4"`,
		Args:    exactly(1, "the number of a piece"),
		RunE: func(c *cobra.Command, args []string) error {
			id, err := number(args[0])
			if err != nil {
				return err
			}
			given := c.Flags().Changed
			var spelling string
			if given("material") {
				if spelling, _, err = rack.Material(material); err != nil {
					return fail(exitUsage, "--material: %v", err)
				}
			}
			var l, w length.Length
			if given("length") {
				if l, err = measure("--length", long); err != nil {
					return err
				}
			}
			if given("width") {
				if w, err = measure("--width", wide); err != nil {
					return err
				}
			}
			if spelling == "" && l == 0 && w == 0 && !given("place") && !given("note") {
				return fail(exitUsage, "nothing is to be changed; write for example --length 2390 or --place \"bin 4\"")
			}
			r, err := openRack(c.Context(), *file)
			if err != nil {
				return err
			}
			defer r.Close()
			after, err := r.Edit(c.Context(), id, func(o *rack.Offcut) error {
				if spelling != "" {
					o.Material = spelling
				}
				if l > 0 {
					o.Length = l
				}
				if w > 0 {
					o.Width = w
				}
				if given("place") {
					o.Place = place
				}
				if given("note") {
					o.Note = note
				}
				switch _, sheet, err := rack.Material(o.Material); {
				case err != nil:
					return err
				case sheet && o.Width == 0:
					return fmt.Errorf("no. %d would be a sheet without a width; write it with --width", id)
				case !sheet && o.Width > 0:
					return fmt.Errorf("no. %d would be a bar with a width; drop it and add it anew", id)
				}
				return nil
			})
			if err != nil {
				return &failure{exitFaults, err}
			}
			return listed(c.OutOrStdout(), []rack.Offcut{after})
		},
	}
	f := c.Flags()
	f.StringVar(&material, "material", "", "section and material")
	f.StringVar(&long, "length", "", "length, in mm unless a unit is written")
	f.StringVar(&wide, "width", "", "width of a sheet")
	f.StringVar(&place, "place", "", "where it lies")
	f.StringVar(&note, "note", "", "anything else")
	return c
}

func rackDropCommand(file *string) *cobra.Command {
	var byRule bool
	c := &cobra.Command{
		Use:   "drop ID...",
		Short: "take pieces off the rack, all that are named or none",
		Args: func(c *cobra.Command, args []string) error {
			switch {
			case byRule && len(args) > 0:
				return fail(exitUsage, "--by-rule takes no numbers: it takes off all that 'sawbill rack list --old' lists")
			case !byRule && len(args) == 0:
				return fail(exitUsage, "%s takes the numbers of pieces, and nothing was given; see '%[1]s --help'", c.CommandPath())
			}
			return nil
		},
		RunE: func(c *cobra.Command, args []string) error {
			ids, err := numbers(args)
			if err != nil {
				return err
			}
			r, err := openRack(c.Context(), *file)
			if err != nil {
				return err
			}
			defer r.Close()
			if byRule {
				out, err := r.Out(c.Context(), today())
				if err != nil {
					return fail(exitFiles, "the rack cannot be read: %v", err)
				}
				for _, o := range out {
					ids = append(ids, o.ID)
				}
				if err := listed(c.OutOrStdout(), out); err != nil {
					return err
				}
			}
			if err := r.Drop(c.Context(), ids...); err != nil {
				return &failure{exitFaults, err}
			}
			return nil
		},
	}
	c.Flags().BoolVar(&byRule, "by-rule", false, "what 'sawbill rack list --old' lists")
	return c
}

func rackKeepCommand(file *string) *cobra.Command {
	var bar, sheet string
	var days int64
	c := &cobra.Command{
		Use:   "keep",
		Short: "set, or show, what is worth keeping on the rack",
		Long: `Keep sets the rules by which 'sawbill rack list --old' lists and 'sawbill rack
drop --by-rule' takes off; 0 takes a rule back. What is reserved stays. Booking
a job keeps what the job's keep-over says, and what the rules say of materials
of which the job says nothing. Without flags it shows the rules.

` + exitHelp,
		Example: `  sawbill rack keep --bar 400 --sheet "500 x 300" --days 730`,
		Args:    exactly(0, "no argument but its flags"),
		RunE: func(c *cobra.Command, _ []string) error {
			given := c.Flags().Changed
			var k rack.Rules
			var err error
			if given("bar") && bar != "0" {
				if k.Bar, err = measure("--bar", bar); err != nil {
					return err
				}
			}
			if given("sheet") && sheet != "0" {
				if k.SheetLength, k.SheetWidth, err = sides("--sheet", sheet); err != nil {
					return err
				}
			}
			if days < 0 || days > 1_000_000 {
				return fail(exitUsage, "--days %d is no number of days; write one such as 730, or 0 for no rule", days)
			}
			r, err := openRack(c.Context(), *file)
			if err != nil {
				return err
			}
			defer r.Close()
			now, err := r.SetRules(c.Context(), func(was *rack.Rules) {
				if given("bar") {
					was.Bar = k.Bar
				}
				if given("sheet") {
					was.SheetLength, was.SheetWidth = k.SheetLength, k.SheetWidth
				}
				if given("days") {
					was.Days = days
				}
			})
			if err != nil {
				return fail(exitFiles, "the rules cannot be written: %v", err)
			}
			say := func(is bool, text string, values ...any) {
				if is {
					fmt.Fprintf(c.OutOrStdout(), text+"\n", values...)
				}
			}
			say(now == rack.Rules{}, "there are no rules: everything stays")
			say(now.Bar > 0, "bars of %s and more", now.Bar)
			say(now.SheetLength > 0, "sheets of %s x %s and more", now.SheetLength, now.SheetWidth)
			say(now.Days > 0, "for %d days", now.Days)
			return nil
		},
	}
	f := c.Flags()
	f.StringVar(&bar, "bar", "", "the shortest `LENGTH` of bar, in mm unless a unit is written")
	f.StringVar(&sheet, "sheet", "", "the smallest sheet, `LENGTH x WIDTH`")
	f.Int64Var(&days, "days", 0, "the most `DAYS` that a piece stays")
	return c
}
