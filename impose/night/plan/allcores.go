package plan

import (
	"runtime"

	"golang.org/x/sync/errgroup"
)

// onAllCores calls f for 0 to n-1, in that order as cores get free. What one call
// finds may not depend on another, so that plans don't depend on the cores.
func onAllCores(n int, f func(i int)) {
	var g errgroup.Group
	g.SetLimit(runtime.GOMAXPROCS(0))
	for i := range n {
		g.Go(func() error {
			f(i)
			return nil
		})
	}
	g.Wait()
}
