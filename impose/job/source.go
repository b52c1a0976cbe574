package job

import (
	"fmt"
	"slices"
	"strings"
)

// source remembers where each value of a file stood.
type source struct {
	path   string
	record place // where the whole thing begins
	values []keyPlace
	// entries gives the place in the file's list of each artwork, where one entry
	// stands for several.
	entries []int
}

type keyPlace struct {
	key string
	place
}

// place counts from 1; the column in characters.
type place struct{ line, col int }

func (s *source) find(key string) (place, bool) {
	for _, v := range s.values {
		if v.key == key {
			return v.place, true
		}
	}
	return place{}, false
}

// at gives the place of a key, or of the nearest one around it: for
// "artworks[0].page" that is "artworks[0]", then "artworks".
func (s *source) at(key string) Position {
	for key != "" {
		if p, ok := s.find(key); ok {
			return Position{s.path, p.line, p.col}
		}
		key = key[:max(0, strings.LastIndexAny(key, ".["))]
	}
	return Position{s.path, s.record.line, s.record.col}
}

// ArtworkKey gives the key of an artwork's entry in the job file, for At.
func (j *Job) ArtworkKey(artwork int) string {
	if artwork < len(j.source.entries) {
		artwork = j.source.entries[artwork]
	}
	return fmt.Sprintf("artworks[%d]", artwork)
}

// PasswordOf gives the password of an artwork's file; "" for none.
func (j *Job) PasswordOf(file string) string {
	for _, a := range j.Artworks {
		if a.Password != "" && (a.File == file || j.Path(a.File) == file) {
			return a.Password
		}
	}
	return j.Password
}

// Contents returns the paths of all files whose content an imposition of the job
// is made from, once the job is read: artworks, drawings, profile and records.
func (j *Job) Contents() []string {
	var files []string
	add := func(path string) {
		if !slices.Contains(files, path) {
			files = append(files, path)
		}
	}
	for _, a := range j.Artworks {
		add(j.Path(a.File))
	}
	if j.Outline != "" && j.Outline != ArtworkOutline {
		add(j.Path(j.Outline))
	}
	if j.Output.Profile != "" {
		add(j.Path(j.Output.Profile))
	}
	if j.Data != nil && j.Data.File != "" {
		add(j.Path(j.Data.File))
	}
	if j.Dies != nil {
		for _, d := range j.Dies.Dies {
			if d.Outline != "" {
				add(j.Dies.Path(d.Outline))
			}
		}
	}
	return files
}

// Files gives the paths of all files that the job is read from or names: an
// output must replace none of them.
func (j *Job) Files() []string {
	var files []string
	add := func(path string) {
		if path != "" {
			files = append(files, path)
		}
	}
	add(j.source.path)
	if j.Press != nil {
		add(j.Press.source.path)
	}
	if j.Dies != nil {
		add(j.Dies.path)
	}
	named := func(path string) {
		if path != "" {
			add(j.Path(path))
		}
	}
	if j.Outline != ArtworkOutline {
		named(j.Outline)
	}
	named(j.Output.Profile)
	if j.Data != nil {
		named(j.Data.File)
	}
	for _, a := range j.Artworks {
		named(a.File)
	}
	return files
}
