// Package parallel runs independent tasks side by side.
package parallel

import (
	"runtime"
	"sync"
)

// Each runs task for 0 to n-1, as many at once as there are processors, and
// returns what each returned, by number.
func Each(n int, task func(i int) error) []error {
	errs := make([]error, n)
	slots := make(chan struct{}, runtime.GOMAXPROCS(0))
	var wait sync.WaitGroup
	for i := range n {
		slots <- struct{}{}
		wait.Go(func() {
			defer func() { <-slots }()
			errs[i] = task(i)
		})
	}
	wait.Wait()
	return errs
}
