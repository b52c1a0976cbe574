package thrift

import (
	"os"
	"runtime/debug"
)

// lean is how much the heap may grow, in per cent, before it is collected. Measured
// on runs of a million labels: a fifth less memory than with 100, and processor time
// that can't be told apart with symbols, a tenth more with text alone.
const lean = 25

// Collect lets garbage be collected sooner, until what it returns is called. Who set
// GOGC has chosen otherwise.
func Collect() (back func()) {
	if os.Getenv("GOGC") != "" {
		return func() {}
	}
	before := debug.SetGCPercent(lean)
	return func() { debug.SetGCPercent(before) }
}
