package thrift

import (
	"os"
	"runtime"
	"runtime/debug"
	"testing"
	"time"
)

// growth gives what the heap may grow by now.
func growth() int {
	now := debug.SetGCPercent(usual)
	debug.SetGCPercent(now)
	return now
}

// A program begins with a roomy heap, and from the first collection on has the usual
// one; what somebody else chose stays.
func TestBeginEndsWithTheFirstCollection(t *testing.T) {
	if os.Getenv("GOGC") != "" || os.Getenv("GOMEMLIMIT") != "" {
		t.Skip("somebody has chosen otherwise")
	}
	defer debug.SetGCPercent(debug.SetGCPercent(usual))
	collected := func(want int) {
		t.Helper()
		for range 200 {
			runtime.GC()
			if growth() == want {
				return
			}
			time.Sleep(5 * time.Millisecond) // cleanups run beside
		}
		t.Errorf("the heap may grow by %d per cent, not %d", growth(), want)
	}
	Begin()
	if growth() != beginning {
		t.Errorf("at first the heap may grow by %d per cent", growth())
	}
	collected(usual)
	Begin()
	back := Collect(Lean)
	for range 20 {
		runtime.GC()
		time.Sleep(5 * time.Millisecond)
	}
	collected(Lean)
	back()
	if growth() != usual {
		t.Errorf("set back, the heap may grow by %d per cent", growth())
	}
}

// Of several that ask at a time the last holds, in whatever order they end.
func TestCollectIsAskedBySeveral(t *testing.T) {
	if os.Getenv("GOGC") != "" {
		t.Skip("somebody has chosen otherwise")
	}
	defer debug.SetGCPercent(debug.SetGCPercent(usual))
	first, second := Collect(Ample), Collect(Lean)
	for _, step := range []struct {
		end  func()
		want int
	}{{func() {}, Lean}, {first, Lean}, {second, usual}} {
		if step.end(); growth() != step.want {
			t.Errorf("the heap may grow by %d per cent, not %d", growth(), step.want)
		}
	}
}
