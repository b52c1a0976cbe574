package thrift

import (
	"os"
	"runtime"
	"runtime/debug"
	"sync"
)

// Lean is how much the heap may grow, in per cent, before it is collected. The proof of
// 100,000 labels takes 9 MB less so than with 100, and no more time that could be told.
const Lean = 25

// percent guards what the heap may grow by, which several may set and set back.
var percent sync.Mutex

// Collect lets garbage be collected sooner, until what it returns is called. Who set
// GOGC has chosen otherwise.
func Collect(growth int) (back func()) {
	if os.Getenv("GOGC") != "" {
		return func() {}
	}
	percent.Lock()
	defer percent.Unlock()
	before := debug.SetGCPercent(growth)
	if before == beginning {
		before = usual
	}
	return func() { debug.SetGCPercent(before) }
}

// What the heap may grow by as the runtime has it, and before it is collected for the
// first time: the least heap that is collected, 4 MB by the first, is 16 MB by the
// second.
const usual, beginning = 100, 400

// Begin lets the heap reach 16 MB before it is collected for the first time, which few
// runs do that impose one label: they collected it five times in 40 ms. From then
// on all is as usual. A program calls it once, when it starts.
func Begin() {
	if os.Getenv("GOGC") != "" || os.Getenv("GOMEMLIMIT") != "" {
		return
	}
	debug.SetGCPercent(beginning)
	runtime.AddCleanup(new(*byte), func(struct{}) {
		percent.Lock()
		defer percent.Unlock()
		if now := debug.SetGCPercent(usual); now != beginning {
			debug.SetGCPercent(now) // somebody else's choice
		}
	}, struct{}{})
}
