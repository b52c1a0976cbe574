//go:build !linux

package raster

// span is a stretch of addresses.
type span struct{}

// compiledCode finds nothing: systems that write memory out need no help.
func compiledCode() []span { return nil }

func codeToFile([]span) {}
