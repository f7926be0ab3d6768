package nest1d

import (
	"fmt"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
)

// TestAgainstGeneralSolver holds jobs too large to list all plans of against
// glpsol, which is given every pattern, found here by plain recursion, and the
// programme that the package states. Nothing of the engine is used.
func TestAgainstGeneralSolver(t *testing.T) {
	if _, err := exec.LookPath("glpsol"); err != nil {
		t.Skip("SKIPPED: the programmes are not solved, for glpsol is not installed; on Debian: apt-get install glpk-utils")
	}
	compared, proven, impossible, ended := 0, 0, 0, 0
	for seed := range uint64(full(40, 600)) {
		p := middling(rand.New(rand.NewPCG(seed, 127)))
		text, ok := programme(&p, full(300, 2000))
		if !ok {
			continue
		}
		least, optimal, feasible := glpsol(t, text)
		res := mustSolve(t, p, Options{Seed: int64(seed)})
		verify(t, &p, &res)
		if !optimal {
			if ended++; feasible && res.Cost.Bound > least {
				t.Errorf("seed %d: %+v, a plan costs %d: %+v", seed, res.Cost, least, p)
			}
			continue
		}
		compared++
		switch {
		case !feasible:
			if impossible++; res.Outcome == Planned {
				t.Errorf("seed %d: planned the impossible: %+v", seed, p)
			}
		case res.Outcome != Planned || res.Cost.Value < least || res.Cost.Bound > least || res.Certificate.Bound > least:
			t.Errorf("seed %d: outcome %d, %+v, the least cost is %d: %+v", seed, res.Outcome, res.Cost, least, p)
		case res.Cost.Status == Proven:
			proven++
		default:
			t.Logf("seed %d left open: %+v, the least cost is %d", seed, res.Cost, least)
		}
	}
	t.Logf("%d compared, %d of them proven here and %d without a plan; glpsol did not end in %d", compared, proven, impossible, ended)
	if proven == 0 {
		t.Error("nothing was proven, so nothing was tested")
	}
}

// middling draws a job of 12 to 63 pieces with bars on sale and offcuts, and among
// the pieces some of which a few just fill a bar.
func middling(r *rand.Rand) Problem {
	var p Problem
	for range 1 + r.IntN(3) {
		length := 3000 + r.Int64N(4500)
		s := Stock{Length: length * mm, Supply: Unlimited, Price: length/3 + r.Int64N(300), Kerf: []int64{anyOf[int64](r, 0, 3) * mm}}
		if r.IntN(3) == 0 {
			s.Supply = 1 + r.Int64N(8)
		}
		if r.IntN(2) == 0 {
			s.TrimLeft, s.TrimRight = 10*mm, 10*mm
		}
		if r.IntN(3) == 0 {
			s.Tail = 120 * mm
		}
		p.Stocks = append(p.Stocks, s)
	}
	for range r.IntN(4) {
		p.Stocks = append(p.Stocks, Stock{Length: (900 + r.Int64N(2500)) * mm, Supply: 1 + r.Int64N(2), Kerf: []int64{3 * mm}})
	}
	for range 4 + r.IntN(6) {
		q := Piece{Length: (700 + r.Int64N(2000)) * mm, Demand: 3 + r.Int64N(5)}
		if r.IntN(2) == 0 {
			s := &p.Stocks[r.IntN(len(p.Stocks))]
			room := s.Length - s.TrimLeft - s.TrimRight - s.Tail
			if s.Tail == 0 {
				room += s.Kerf[0]
			}
			if l := room/(2+r.Int64N(3)) - s.Kerf[0]; l > 600*mm {
				q.Length = l
			}
		}
		p.Pieces = append(p.Pieces, q)
	}
	return p
}

// programme writes the problem, of one kind of cut and no settled layouts, in the
// LP format of glpsol; false when there are more patterns than most.
func programme(p *Problem, most int) (string, bool) {
	var cost []string
	rows, bars := make([][]string, len(p.Pieces)), make([][]string, len(p.Stocks))
	n := 0
	for k, s := range p.Stocks {
		// With a tail every piece has its kerf, else all but the last.
		room := s.Length - s.TrimLeft - s.TrimRight - s.Tail
		if s.Tail == 0 {
			room += s.Kerf[0]
		}
		counts := make([]int64, len(p.Pieces))
		var list func(i int, room int64)
		list = func(i int, room int64) {
			if n > most {
				return
			}
			if i < len(counts) {
				w := p.Pieces[i].Length + s.Kerf[0]
				for c := int64(0); c <= p.Pieces[i].Demand && c*w <= room; c++ {
					counts[i] = c
					list(i+1, room-c*w)
				}
				counts[i] = 0
				return
			}
			if !anyPositive(counts) {
				return
			}
			n++
			name := fmt.Sprintf("x%d", n)
			cost = append(cost, fmt.Sprintf("%d %s", s.Price, name))
			bars[k] = append(bars[k], name)
			for i, c := range counts {
				if c > 0 {
					rows[i] = append(rows[i], fmt.Sprintf("%d %s", c, name))
				}
			}
		}
		list(0, room)
	}
	var b strings.Builder
	fmt.Fprintf(&b, "minimize\n cost: %s\nsubject to\n", strings.Join(cost, "\n + "))
	for i, q := range p.Pieces {
		if len(rows[i]) == 0 {
			return "", false // fits no bar
		}
		fmt.Fprintf(&b, " p%d: %s >= %d\n", i, strings.Join(rows[i], "\n + "), q.Demand)
	}
	for k, s := range p.Stocks {
		if s.Supply != Unlimited && len(bars[k]) > 0 {
			fmt.Fprintf(&b, " s%d: %s <= %d\n", k, strings.Join(bars[k], "\n + "), s.Supply)
		}
	}
	b.WriteString("general\n")
	for i := range n {
		fmt.Fprintf(&b, " x%d\n", i+1)
	}
	b.WriteString("end\n")
	return b.String(), n <= most
}

// glpsol solves a programme. The value is that of the best plan found, which is
// least when optimal; with neither a plan nor a proof both are false, and optimal
// without a plan means that there is none.
func glpsol(t *testing.T, programme string) (value int64, optimal, feasible bool) {
	t.Helper()
	dir := t.TempDir()
	in, out := filepath.Join(dir, "in.lp"), filepath.Join(dir, "out.txt")
	if err := os.WriteFile(in, []byte(programme), 0o600); err != nil {
		t.Fatal(err)
	}
	if text, err := exec.Command("glpsol", "--lp", in, "--cuts", "--tmlim", full("1", "5"), "--write", out).CombinedOutput(); err != nil {
		t.Fatalf("glpsol: %v\n%s", err, text)
	}
	text, err := os.ReadFile(out)
	if err != nil {
		t.Fatal(err)
	}
	for line := range strings.Lines(string(text)) {
		// s mip ROWS COLUMNS STATUS VALUE
		f := strings.Fields(line)
		if len(f) != 6 || f[0] != "s" || f[1] != "mip" {
			continue
		}
		v, err := strconv.ParseFloat(f[5], 64)
		if err != nil {
			t.Fatalf("glpsol: %v in %q", err, line)
		}
		return int64(v + 0.5), f[4] == "o" || f[4] == "n", f[4] == "o" || f[4] == "f"
	}
	t.Fatalf("glpsol says nothing of its result:\n%.300s", text)
	return 0, false, false
}
