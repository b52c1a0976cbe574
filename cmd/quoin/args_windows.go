package main

import "path/filepath"

// matching does what no shell of Windows does: it puts the files that match a
// pattern in its place.
func matching(args []string) (list []string) {
	for _, a := range args {
		if found, err := filepath.Glob(a); err == nil && len(found) > 0 {
			list = append(list, found...)
		} else {
			list = append(list, a)
		}
	}
	return list
}
