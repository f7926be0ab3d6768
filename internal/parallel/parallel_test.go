package parallel_test

import (
	"errors"
	"fmt"
	"runtime"
	"sync/atomic"
	"testing"

	"sawbill/internal/parallel"
)

func TestEach(t *testing.T) {
	odd := errors.New("odd")
	var running, most atomic.Int64
	errs := parallel.Each(50, func(i int) error {
		now := running.Add(1)
		for m := most.Load(); now > m && !most.CompareAndSwap(m, now); m = most.Load() {
		}
		runtime.Gosched()
		running.Add(-1)
		if i%2 == 1 {
			return fmt.Errorf("%d: %w", i, odd)
		}
		return nil
	})
	if len(errs) != 50 {
		t.Fatalf("%d results of 50 tasks", len(errs))
	}
	for i, err := range errs {
		if want := i%2 == 1; errors.Is(err, odd) != want || want && err.Error() != fmt.Sprintf("%d: odd", i) {
			t.Errorf("task %d returned %v", i, err)
		}
	}
	if most.Load() > int64(runtime.GOMAXPROCS(0)) {
		t.Errorf("%d tasks ran at once on %d processors", most.Load(), runtime.GOMAXPROCS(0))
	}
	if errs := parallel.Each(0, nil); len(errs) != 0 {
		t.Errorf("no tasks returned %v", errs)
	}
}
