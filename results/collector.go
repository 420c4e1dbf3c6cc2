package results

import (
	"runtime/debug"
	"sync"

	"crankwright/study"
)

// slow is the pace below which a problem spends its time in the analysis of engines: a lot of short-lived values on a small
// heap, so that the garbage collector would run several hundred times a second and keep one core from another.
const slow = 100_000

// rare lets the heap grow so many per cent over what lives before it is collected: tens of megabytes of a slow problem.
const rare = 1000

// collector counts who wants the garbage collector to be rare; it belongs to the whole process.
type collector struct {
	sync.Mutex
	wants int
	was   int
}

var garbage collector

// Unhurried lets the garbage collector come rarely while a slow problem is worked at, and returns what ends that. Two cores
// then do nearly twice the work of one, instead of a third more. Fast problems, whose front may be large, change nothing.
func Unhurried(p study.Problem) (end func()) {
	if p.Pace() >= slow {
		return func() {}
	}
	garbage.Lock()
	defer garbage.Unlock()
	if garbage.wants == 0 {
		garbage.was = debug.SetGCPercent(rare)
	}
	garbage.wants++
	return sync.OnceFunc(func() {
		garbage.Lock()
		defer garbage.Unlock()
		if garbage.wants--; garbage.wants == 0 {
			debug.SetGCPercent(garbage.was)
		}
	})
}
