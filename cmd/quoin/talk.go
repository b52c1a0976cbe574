package main

import (
	"fmt"
	"io"
	"os"

	"golang.org/x/term"

	"quoin/impose/say"
)

// How much a person wants to read, by the flags that every verb has:
//
//   - by default warnings, and what happened that nobody asked for;
//   - --quiet: nothing but errors and what was asked for;
//   - --verbose: also notes, which ask for nothing, and each step of the work.

// warn tells of something to look at before the run.
func (s streams) warn(text string, args ...any) {
	if !s.quiet {
		fmt.Fprintf(s.err, "%s %s\n", paint(s.err, "warning:"), fmt.Sprintf(text, args...))
	}
}

// warnings tells of all of a summary's.
func (s streams) warnings(list say.Notes) {
	for _, w := range list {
		s.warn("%s", w.Text)
	}
}

// tell says what happened.
func (s streams) tell(text string, args ...any) {
	if !s.quiet {
		fmt.Fprintf(s.err, text+"\n", args...)
	}
}

// note says what is good to know.
func (s streams) note(text string, args ...any) {
	if s.verbose {
		fmt.Fprintf(s.err, "%s %s\n", paint(s.err, "note:"), fmt.Sprintf(text, args...))
	}
}

// step says what is being done.
func (s streams) step(text string) {
	if s.verbose {
		fmt.Fprintln(s.err, text)
	}
}

// isTerminal reports whether a person would see what is written there.
func isTerminal(w io.Writer) bool {
	f, ok := w.(*os.File)
	return ok && term.IsTerminal(int(f.Fd()))
}

// colours of the words that lines begin with: the terminal's own bold red,
// yellow and blue (ISO/IEC 6429), which people set to what they can read.
var colours = map[string]string{"error:": "1;31", "warning:": "1;33", "hint:": "1;34", "note:": "1"}

// paint colours a word for a person at a terminal.
func paint(w io.Writer, word string) string {
	if !isTerminal(w) || !coloured(os.Getenv) || !takesColours(w) {
		return word
	}
	return "\x1b[" + colours[word] + "m" + word + "\x1b[0m"
}

// coloured reports whether a terminal's user wants colour: not with NO_COLOR set
// to anything (no-color.org), and not where the terminal has none.
func coloured(env func(string) string) bool { return env("NO_COLOR") == "" && env("TERM") != "dumb" }
