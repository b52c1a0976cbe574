package plan

import (
	"slices"
	"strings"

	"quoin/impose/job"
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

// ListFiles returns the paths of the house files, the press and the die room that a
// job rests on: files of which what they say counts.
func ListFiles(j *job.Job) []string {
	var list []string
	for _, t := range j.Took {
		list = append(list, t.Path)
	}
	if j.Press != nil {
		list = append(list, j.Press.Path())
	}
	if j.Dies != nil {
		list = append(list, j.Dies.File())
	}
	return list
}
