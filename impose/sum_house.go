package impose

import (
	"path/filepath"

	"quoin/impose/job"
	"quoin/impose/summary"
)

// TookFrom says what the job took from house files, the nearest first.
func TookFrom(j *job.Job, w Written) []summary.House {
	var list []summary.House
	for _, t := range j.Took {
		if len(t.Keys) == 0 {
			continue
		}
		one := summary.House{Path: housePath(t, w)}
		for _, k := range t.Keys {
			one.Took = append(one.Took, summary.Taken{Key: k.Key, Value: k.Value, Line: k.Line})
		}
		list = append(list, one)
	}
	return list
}

// housePath names a house file as the summary names others.
func housePath(t job.Took, w Written) string {
	if w.Name != nil && !filepath.IsAbs(t.Path) {
		return filepath.ToSlash(w.Name(t.Path))
	}
	return filepath.ToSlash(t.Path)
}
