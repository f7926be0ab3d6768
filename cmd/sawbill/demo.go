package main

import (
	"bytes"
	"embed"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"

	"github.com/spf13/cobra"
)

//go:embed demo
var demoFiles embed.FS

// demoDir is where the example goes unless the user says otherwise.
const demoDir = "bird-hide"

func demoCommand() *cobra.Command {
	return &cobra.Command{
		Use:   "demo [DIR]",
		Short: "write and plan the example: a bird hide, and a barrow in inches",
		Long: `Demo writes a complete example job into DIR (default "` + demoDir + `"), plans it into
DIR/pack, and puts a smaller example in inches under DIR/barrow. It can be run
again; files you have changed since are kept and planned as they are.

` + exitHelp,
		Args: func(c *cobra.Command, args []string) error {
			if len(args) <= 1 {
				return nil
			}
			return exactly(1, "one folder or none")(c, args)
		},
		RunE: func(c *cobra.Command, args []string) error {
			dir := demoDir
			if len(args) == 1 {
				dir = args[0]
			}
			stdout, stderr := c.OutOrStdout(), c.ErrOrStderr()
			kept, err := writeDemo(dir)
			if err != nil {
				return err
			}
			for _, path := range kept {
				fmt.Fprintf(stderr, "note: %s was changed by you and is kept\n", path)
			}
			s := settings{effort: "normal", seed: 1, limit: defaultLimit}
			path, pack := filepath.Join(dir, "job.toml"), filepath.Join(dir, "pack")
			if err := planJob(path, pack, s, rackChoice{}, stdout, stderr); err != nil {
				return err
			}
			barrow := filepath.Join(dir, "barrow", "job.toml")
			fmt.Fprintf(stdout, `
The job is %[1]s with its three tables; the pack is in %[2]s.
Look at %[3]s first. Then try:
  sawbill check %[1]s %[4]s
  sawbill compare %[1]s
  sawbill savings %[1]s
  sawbill plan %[5]s
`, shellWord(path), pack, filepath.Join(pack, "summary.pdf"), shellWord(filepath.Join(pack, "plan.json")), shellWord(barrow))
			return nil
		},
	}
}

// writeDemo lays out the example's files, leaves alone those that differ from
// what it would write, and returns their paths.
func writeDemo(dir string) (kept []string, err error) {
	files, err := fs.Sub(demoFiles, "demo")
	if err != nil {
		return nil, err
	}
	err = fs.WalkDir(files, ".", func(name string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		want, err := fs.ReadFile(files, name)
		if err != nil {
			return err
		}
		path := filepath.Join(dir, filepath.FromSlash(name))
		have, err := os.ReadFile(path)
		switch {
		case errors.Is(err, fs.ErrNotExist):
			return writeFile(path, want)
		case err != nil:
			return err
		case !bytes.Equal(have, want):
			kept = append(kept, path)
		}
		return nil
	})
	if err != nil {
		return nil, fail(exitFiles, "the example cannot be written: %w", err)
	}
	return kept, nil
}
