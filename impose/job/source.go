package job

import "strings"

// source remembers where each key's value stood.
type source struct {
	path string
	keys map[string]place
	line int // of a record as a whole
}

type place struct{ line, col int }

// at gives the place of a key, or of the nearest one around it: for
// "artworks[0].page" that is "artworks[0]", then "artworks".
func (s source) at(key string) Position {
	for key != "" {
		if p, ok := s.keys[key]; ok {
			return Position{s.path, p.line, p.col}
		}
		key = key[:max(0, strings.LastIndexAny(key, ".["))]
	}
	return Position{Path: s.path, Line: s.line}
}
