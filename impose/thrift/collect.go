package thrift

import (
	"os"
	"runtime"
	"runtime/debug"
	"slices"
	"sync"
)

// Lean is how much the heap may grow, in per cent, before it is collected. The proof of
// 100,000 labels takes 9 MB less so than with 100, and no more time that could be told.
const Lean = 25

// Ample is the same for searches that hold little and leave much behind: the plan by money
// of 1,000 orders takes 6 per cent fewer processor seconds so, and some 45 MB more.
const Ample = 300

// percent guards what the heap may grow by, which several may ask for at a time: the last
// of those asks, or what was before all of them, holds.
var percent struct {
	sync.Mutex
	asked  []*int
	before int
}

// Collect lets the heap grow so much before garbage is collected, until what it returns is
// called. Who set GOGC has chosen otherwise.
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
	if len(percent.asked) == 0 {
		percent.before = before
	}
	mine := &growth
	percent.asked = append(percent.asked, mine)
	return func() { setBack(mine) }
}

// setBack takes what was asked for back.
func setBack(mine *int) {
	percent.Lock()
	defer percent.Unlock()
	percent.asked = slices.DeleteFunc(percent.asked, func(a *int) bool { return a == mine })
	if n := len(percent.asked); n > 0 {
		debug.SetGCPercent(*percent.asked[n-1])
	} else {
		debug.SetGCPercent(percent.before)
	}
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
