//go:build !windows

package main

import "io"

// takesColours: terminals do, unless TERM says otherwise.
func takesColours(io.Writer) bool { return true }
