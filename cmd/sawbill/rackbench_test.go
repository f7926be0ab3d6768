package main

import (
	"context"
	"fmt"
	"io"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"sawbill/internal/length"
	"sawbill/internal/plan/planner"
	"sawbill/internal/rack"
)

// rackJob writes a job of 600 pieces of 30 lengths, and a rack of offcuts that all
// hold one of them; charges tie the purchase together.
func rackJob(b *testing.B, offcuts int, charges string) string {
	dir := b.TempDir()
	random := rand.New(rand.NewPCG(3, 5))
	var rows strings.Builder
	for i := range 30 {
		fmt.Fprintf(&rows, "P%d, tube, %d, 20\n", i+1, 200+random.IntN(2300))
	}
	path := filepath.Join(dir, "job.toml")
	text := "[job]\nname = \"Hide\"\nunit = \"mm\"\ncurrency = \"EUR\"\n[material.tube]\nstock = \"SHS 25x25x2\"\nalloy = \"6063-T6\"\nprocess = \"saw\"\nkeep-over = 400\n" +
		"[process.saw]\nkerf = 2.5\ntrim-each-end = 10\n[rack]\nfile = \"rack.db\"\n" + charges +
		"[tables]\noffers = '''\nsupplier, material, size, price\nNorth, tube, 6000, 21.40 each\nNorth, tube, 5000, 3.70 per m\n'''\npieces = '''\nmark, material, length, quantity\n" + rows.String() + "'''\n"
	if err := os.WriteFile(path, []byte(text), 0o644); err != nil {
		b.Fatal(err)
	}
	r, err := rack.Open(context.Background(), filepath.Join(dir, "rack.db"))
	if err != nil {
		b.Fatal(err)
	}
	defer r.Close()
	pieces := make([]rack.Offcut, offcuts)
	for i := range pieces {
		pieces[i] = rack.Offcut{Material: "SHS 25x25x2 mm, 6063-T6", Length: length.Length(600+random.IntN(2600)) * length.Millimetre}
	}
	if _, err := r.Add(context.Background(), pieces...); err != nil {
		b.Fatal(err)
	}
	return path
}

// BenchmarkRackPlan plans with 300 offcuts, each one of its kind, and tells the gap.
func BenchmarkRackPlan(b *testing.B) {
	for name, charges := range map[string]string{"free": "", "delivered": "[supplier.North]\ndelivery = 35\nminimum = 80\n"} {
		b.Run(name, func(b *testing.B) {
			path := rackJob(b, 300, charges)
			for b.Loop() {
				j, err := readJob(path)
				if err != nil {
					b.Fatal(err)
				}
				j, on, err := rackChoice{}.stocked(context.Background(), j, path)
				if err != nil {
					b.Fatal(err)
				}
				on.close()
				p, err := planner.Make(context.Background(), j, planner.Options{Seed: 1})
				if err != nil {
					b.Fatal(err)
				}
				if len(p.Rack.Pieces) < 290 || len(p.FromRack()) == 0 {
					b.Fatalf("%d pieces of the rack fit, %d are used", len(p.Rack.Pieces), len(p.FromRack()))
				}
				b.ReportMetric(100*float64(p.Total-p.Bound)/float64(p.Total), "%gap")
			}
		})
	}
}

// BenchmarkRackList lists 5,000 offcuts as the command does.
func BenchmarkRackList(b *testing.B) {
	path := rackJob(b, 5000, "")
	for b.Loop() {
		if code := run([]string{"rack", "list", "--rack", filepath.Join(filepath.Dir(path), "rack.db")}, io.Discard, os.Stderr); code != 0 {
			b.Fatal(code)
		}
	}
}
