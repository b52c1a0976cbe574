package plan

import (
	"slices"
	"strings"
)

// Allowed reports whether a key is one that a page may change: of the outermost
// keys that the desk knows, at any depth.
func Allowed(key string) bool {
	name := key
	if i := strings.IndexAny(key, ".["); i >= 0 {
		name = key[:i]
	}
	return slices.Contains(Order, name)
}
