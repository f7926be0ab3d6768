package main

import (
	"context"
	"fmt"
	"os"
	"path/filepath"
	"runtime"

	"github.com/spf13/cobra"

	"sawbill/internal/job"
	"sawbill/internal/length"
	"sawbill/internal/rack"
)

func rackCommand() *cobra.Command {
	var file string
	c := &cobra.Command{
		Use:   "rack",
		Short: "offcuts and spare bars and sheets of the workshop, and what is reserved",
		Long: `Rack keeps the offcuts and the spare bars and sheets of a workshop in one file.
Without --rack it is your own, which lies in your data folder; reserve, release
and book take the one that the job names under [rack].

'sawbill plan JOB --rack FILE' cuts from the rack where that saves, and reserves
what it uses. When the job is done, 'sawbill rack book JOB PLAN' takes off the
rack what was used, and puts on it what is left and worth keeping. 'sawbill rack
keep' sets what is worth it.

` + exitHelp,
		Args: exactly(0, "what to do, such as add or list"),
		RunE: func(c *cobra.Command, _ []string) error { return c.Help() },
	}
	c.PersistentFlags().StringVar(&file, "rack", "", "the rack's `FILE`")
	c.AddCommand(rackAddCommand(&file), rackListCommand(&file), rackEditCommand(&file), rackDropCommand(&file), rackExportCommand(&file), rackImportCommand(&file),
		rackKeepCommand(&file), rackReserveCommand(&file), rackReleaseCommand(&file), rackBookCommand(&file))
	return c
}

// rackFile is the name of the user's own rack in the data folder.
const rackFile = "rack.db"

// openRack opens the file named, or the user's own.
func openRack(ctx context.Context, file string) (*rack.Rack, error) {
	if file == "" || file == job.MyRack {
		folder, err := dataFolder()
		if err != nil {
			return nil, &failure{exitFiles, err}
		}
		if err := os.MkdirAll(folder, 0o755); err != nil {
			return nil, fail(exitFiles, "the folder of the rack cannot be made: %v", err)
		}
		file = filepath.Join(folder, rackFile)
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
		Short:   "put a piece on the rack",
		Example: `  sawbill rack add --material "SHS 25x25x2 6063-T6" --length 2400 --place "bin 3"`,
		Args:    exactly(0, "no argument but its flags"),
		RunE: func(c *cobra.Command, _ []string) error {
			spelling, sheet, err := rack.Material(material)
			if err != nil {
				return fail(exitUsage, "--material: %v", err)
			}
			o := rack.Offcut{Material: spelling, Place: place, Date: today(), Note: note}
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
