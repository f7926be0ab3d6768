package nest1d

import (
	"bufio"
	"context"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
)

// readExample reads a worked example: lines "bar length supply price",
// "piece length demand" and "cost published optimum"; # starts a comment that
// names the source.
func readExample(t *testing.T, file string) (p Problem, cost int64) {
	t.Helper()
	f, err := os.Open(file)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	number := func(s string) int64 {
		if s == "unlimited" {
			return Unlimited
		}
		v, err := strconv.ParseInt(s, 10, 64)
		if err != nil {
			t.Fatalf("%s: %v", file, err)
		}
		return v
	}
	for s := bufio.NewScanner(f); s.Scan(); {
		w := strings.Fields(s.Text())
		switch w[0] {
		case "#":
		case "bar":
			p.Stocks = append(p.Stocks, Stock{Length: number(w[1]), Supply: number(w[2]), Price: number(w[3]), Kerf: []int64{0}})
		case "piece":
			p.Pieces = append(p.Pieces, Piece{Length: number(w[1]), Demand: number(w[2])})
		case "cost":
			cost = number(w[1])
		default:
			t.Fatalf("%s: a line starts with %q", file, w[0])
		}
	}
	return p, cost
}

// TestTextbook solves worked examples to their published optima; each file
// names its source.
func TestTextbook(t *testing.T) {
	files, err := filepath.Glob(filepath.Join("..", "testdata", "csp", "*.txt"))
	if err != nil || len(files) == 0 {
		t.Fatalf("no worked examples: %v", err)
	}
	for _, file := range files {
		t.Run(strings.TrimSuffix(filepath.Base(file), ".txt"), func(t *testing.T) {
			p, want := readExample(t, file)
			res, err := Solve(context.Background(), p, Options{})
			if err != nil {
				t.Fatal(err)
			}
			verify(t, &p, &res)
			verifyCertificate(t, &p, &res)
			if res.Cost.Value != want || res.Cost.Status != Proven {
				t.Errorf("cost %+v, published optimum %d", res.Cost, want)
			}
		})
	}
}
