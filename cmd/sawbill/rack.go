package main

import (
	"context"
	"encoding/csv"
	"fmt"
	"os"
	"path/filepath"
	"runtime"
	"strconv"
	"text/tabwriter"
	"time"

	"github.com/spf13/cobra"

	"sawbill/internal/length"
	"sawbill/internal/rack"
)

func rackCommand() *cobra.Command {
	var file string
	c := &cobra.Command{
		Use:   "rack",
		Short: "Offcuts and spare bars and sheets: put in, list, take out",
		Long: `Keeps the offcuts and the spare bars and sheets of a workshop in one file.
Without --rack it lies in the user's data folder.

` + exitHelp,
		Args: exactly(0, "add, list or drop"),
		RunE: func(c *cobra.Command, _ []string) error { return c.Help() },
	}
	c.PersistentFlags().StringVar(&file, "rack", "", "the rack's file")
	c.AddCommand(rackAddCommand(&file), rackListCommand(&file), rackDropCommand(&file))
	return c
}

// openRack opens the file named, or the user's own.
func openRack(ctx context.Context, file string) (*rack.Rack, error) {
	if file == "" {
		folder, err := dataFolder()
		if err != nil {
			return nil, &failure{exitFiles, err}
		}
		if err := os.MkdirAll(folder, 0o755); err != nil {
			return nil, fail(exitFiles, "the folder of the rack cannot be made: %v", err)
		}
		file = filepath.Join(folder, "rack.db")
	}
	r, err := rack.Open(ctx, file)
	if err != nil {
		return nil, &failure{exitFiles, err}
	}
	return r, nil
}

// dataFolder is where programs keep a user's data: XDG_DATA_HOME (XDG Base
// Directory Specification 0.8) or what the platform has in its place.
func dataFolder() (string, error) {
	if dir := os.Getenv("XDG_DATA_HOME"); filepath.IsAbs(dir) {
		return filepath.Join(dir, "sawbill"), nil
	}
	if dir := os.Getenv("LOCALAPPDATA"); runtime.GOOS == "windows" && dir != "" {
		return filepath.Join(dir, "sawbill"), nil
	}
	home, err := os.UserHomeDir()
	if err != nil {
		return "", fmt.Errorf("the user's data folder is not known (%v); name a file with --rack", err)
	}
	if runtime.GOOS == "darwin" {
		return filepath.Join(home, "Library", "Application Support", "sawbill"), nil
	}
	return filepath.Join(home, ".local", "share", "sawbill"), nil
}

func rackAddCommand(file *string) *cobra.Command {
	var material, long, wide, place, note string
	c := &cobra.Command{
		Use:     "add",
		Short:   "Put a piece on the rack",
		Example: `  sawbill rack add --material "SHS 25x25x2 6063-T6" --length 2400 --place "bin 3"`,
		Args:    exactly(0, "no argument but its flags"),
		RunE: func(c *cobra.Command, _ []string) error {
			spelling, sheet, err := rack.Material(material)
			if err != nil {
				return fail(exitUsage, "--material: %v", err)
			}
			o := rack.Offcut{Material: spelling, Place: place, Date: time.Now().Format(time.DateOnly), Note: note}
			if o.Length, err = measure("--length", long); err != nil {
				return err
			}
			switch {
			case sheet:
				if o.Width, err = measure("--width", wide); err != nil {
					return err
				}
			case wide != "":
				return fail(exitUsage, "--width %q is given for a bar; leave it out", wide)
			}
			r, err := openRack(c.Context(), *file)
			if err != nil {
				return err
			}
			defer r.Close()
			ids, err := r.Add(c.Context(), o)
			if err != nil {
				return fail(exitFiles, "the piece was not put on the rack: %v", err)
			}
			fmt.Fprintf(c.OutOrStdout(), "%d\n", ids[0])
			return nil
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

// measure reads a length that a piece can have.
func measure(flag, text string) (length.Length, error) {
	l, err := length.Parse(text, length.Reading{Unit: length.MM})
	if err != nil {
		return 0, fail(exitUsage, "%s: %v", flag, err)
	}
	if l <= 0 {
		return 0, fail(exitUsage, "%s %q is not a length of a piece; write one above 0", flag, text)
	}
	return l, nil
}

func rackListCommand(file *string) *cobra.Command {
	var asCSV bool
	c := &cobra.Command{
		Use:   "list",
		Short: "List what lies on the rack",
		Args:  exactly(0, "no argument but its flags"),
		RunE: func(c *cobra.Command, _ []string) error {
			r, err := openRack(c.Context(), *file)
			if err != nil {
				return err
			}
			defer r.Close()
			all, err := r.List(c.Context())
			if err != nil {
				return fail(exitFiles, "the rack cannot be read: %v", err)
			}
			rows := [][]string{{"id", "material", "length", "width", "place", "date", "note"}}
			for _, o := range all {
				wide := ""
				if o.Width > 0 {
					wide = o.Width.String()
				}
				rows = append(rows, []string{strconv.FormatInt(o.ID, 10), o.Material, o.Length.String(), wide, o.Place, o.Date, o.Note})
			}
			if asCSV {
				return csv.NewWriter(c.OutOrStdout()).WriteAll(rows)
			}
			w := tabwriter.NewWriter(c.OutOrStdout(), 0, 0, 2, ' ', 0)
			for _, row := range rows {
				for i, cell := range row {
					end := "\t"
					if i == len(row)-1 {
						end = "\n"
					}
					fmt.Fprint(w, cell, end)
				}
			}
			return w.Flush()
		},
	}
	c.Flags().BoolVar(&asCSV, "csv", false, "as CSV")
	return c
}

func rackDropCommand(file *string) *cobra.Command {
	return &cobra.Command{
		Use:   "drop ID...",
		Short: "Take pieces off the rack, all that are named or none",
		Args:  cobra.MinimumNArgs(1),
		RunE: func(c *cobra.Command, args []string) error {
			var ids []int64
			for _, arg := range args {
				id, err := strconv.ParseInt(arg, 10, 64)
				if err != nil {
					return fail(exitUsage, "%q is not a number of a piece; 'sawbill rack list' tells them", arg)
				}
				ids = append(ids, id)
			}
			r, err := openRack(c.Context(), *file)
			if err != nil {
				return err
			}
			defer r.Close()
			if err := r.Drop(c.Context(), ids...); err != nil {
				return &failure{exitFaults, err}
			}
			return nil
		},
	}
}
