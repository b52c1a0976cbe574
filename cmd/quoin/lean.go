package main

import "runtime/debug"

// lean has memory collected early, for work that draws: the renderer's own memory
// is most of what such a run takes, and the collector doesn't know of it.
func lean() { debug.SetGCPercent(25) }
