package thrift

import (
	"os"
	"runtime/debug"
)

// Lean is how much the heap may grow, in per cent, before it is collected. The proof of
// 100,000 labels takes 9 MB less so than with 100, and no more time that could be told.
const Lean = 25

// Collect lets garbage be collected sooner, until what it returns is called. Who set
// GOGC has chosen otherwise.
func Collect(percent int) (back func()) {
	if os.Getenv("GOGC") != "" {
		return func() {}
	}
	before := debug.SetGCPercent(percent)
	return func() { debug.SetGCPercent(before) }
}
