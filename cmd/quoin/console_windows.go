package main

import (
	"io"
	"os"

	"golang.org/x/sys/windows"
)

// takesColours asks the console to understand the sequences of ISO/IEC 6429,
// which older ones print as they stand.
func takesColours(w io.Writer) bool {
	f, ok := w.(*os.File)
	if !ok {
		return false
	}
	var mode uint32
	console := windows.Handle(f.Fd())
	return windows.GetConsoleMode(console, &mode) == nil &&
		windows.SetConsoleMode(console, mode|windows.ENABLE_VIRTUAL_TERMINAL_PROCESSING) == nil
}
