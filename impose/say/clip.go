package say

import (
	"fmt"
	"unicode/utf8"
)

// Clip shortens a text of more than so many bytes by its middle, and says how
// much is left out: what a file holds may be megabytes of one line.
func Clip(text string, most int) string {
	if len(text) <= most {
		return text
	}
	head, tail := most*2/3, len(text)-most/3
	for head > 0 && !utf8.RuneStart(text[head]) {
		head--
	}
	for tail < len(text) && !utf8.RuneStart(text[tail]) {
		tail++
	}
	return fmt.Sprintf("%s ... (%s bytes left out) ... %s", text[:head], Number(tail-head), text[tail:])
}
