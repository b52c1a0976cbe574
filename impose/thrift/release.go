// Package thrift gives back memory that the program doesn't need for a while, so
// that what comes next begins low.
package thrift

import "runtime/debug"

// Release gives back what the collector finds free, and the pages of the program
// itself that are in memory: starting touches most of them, and what comes next
// few. Those that are needed again are read anew from the system's cache.
func Release() {
	debug.FreeOSMemory()
	releaseProgram()
}
