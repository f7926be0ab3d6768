package rack

import (
	"context"
	"math/rand/v2"
	"path/filepath"
	"testing"
	"time"
)

func filled(t testing.TB, n int) *Rack {
	t.Helper()
	ctx := context.Background()
	r, err := Open(ctx, filepath.Join(t.TempDir(), "r.db"))
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { r.Close() })
	random := rand.New(rand.NewPCG(1, 2))
	list := make([]Offcut, n)
	for i := range list {
		list[i] = tube(200 + random.Int64N(5000))
		list[i].Note, list[i].Job = "left of a bar", "Bird hide"
	}
	ids, err := r.Add(ctx, list...)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := r.Reserve(ctx, day("Bird hide", "1a2b3c4d"), ids[:n/10], nil); err != nil {
		t.Fatal(err)
	}
	return r
}

// BenchmarkList lists 5,000 offcuts.
func BenchmarkList(b *testing.B) {
	r := filled(b, 5000)
	for b.Loop() {
		if all, err := r.List(context.Background()); err != nil || len(all) != 5000 {
			b.Fatal(len(all), err)
		}
	}
}

// Listing 5,000 offcuts takes well under 100 ms; a machine that does other things
// may have it thrice.
func TestListIsQuick(t *testing.T) {
	r := filled(t, 5000)
	best := time.Hour
	for range 5 {
		begun := time.Now()
		if _, err := r.List(context.Background()); err != nil {
			t.Fatal(err)
		}
		best = min(best, time.Since(begun))
	}
	if best > 300*time.Millisecond {
		t.Errorf("listing takes %v", best)
	}
}
