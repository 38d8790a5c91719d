package inorder

import (
	"iter"
	"runtime"
	"sync"
	"sync/atomic"
)

// Each does work on every item of a list, on all processors, and yields the
// results in the order of the list while later ones are still being made. Who
// leaves off early waits for what has begun, and no more.
func Each[T, R any](list []T, work func(T) R) iter.Seq2[int, R] {
	return func(yield func(int, R) bool) {
		done := make([]chan R, len(list))
		for i := range done {
			done[i] = make(chan R, 1)
		}
		var next atomic.Int64
		var working sync.WaitGroup
		for range min(runtime.GOMAXPROCS(0), len(list)) {
			working.Go(func() {
				for i := int(next.Add(1)) - 1; i < len(list); i = int(next.Add(1)) - 1 {
					done[i] <- work(list[i])
				}
			})
		}
		defer working.Wait()
		defer next.Store(int64(len(list)))
		for i := range list {
			if !yield(i, <-done[i]) {
				return
			}
		}
	}
}
