package summary

import (
	"fmt"
	"strings"
)

// House is what a job took from a house file, whose SHA-256 stands among the
// files.
type House struct {
	Path string  `json:"path"`
	Took []Taken `json:"took"`
}

// Taken is one value, as the file writes it.
type Taken struct {
	Key   string `json:"key"` // of a job file, as "marks.register.size"
	Value string `json:"value"`
	Line  int    `json:"line"` // first is 1
}

// row names the values at the top by their text, and of others the key alone.
func (h House) row() string {
	var list []string
	for _, t := range h.Took {
		text := t.Key + " " + t.Value
		if top, _, inner := strings.Cut(t.Key, "."); inner {
			text = top
		}
		if len(list) == 0 || list[len(list)-1] != text {
			list = append(list, text)
		}
	}
	return fmt.Sprintf("%s gives %s", h.Path, strings.Join(list, "; "))
}
