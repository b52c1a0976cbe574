package job

import (
	"cmp"
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

// at returns the place of a key, or of the nearest one around it: for
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

// ArtworkKey returns the key of an artwork's entry in the job file, for At.
func (j *Job) ArtworkKey(artwork int) string {
	if artwork < len(j.source.entries) {
		artwork = j.source.entries[artwork]
	}
	return fmt.Sprintf("artworks[%d]", artwork)
}

// PasswordOf returns the password of an artwork's file; "" for none.
func (j *Job) PasswordOf(file string) string {
	for _, a := range j.Artworks {
		if a.Password != "" && (a.File == file || j.Path(a.File) == file) {
			return a.Password
		}
	}
	return j.Password
}

// ContentFiles returns the paths of all files whose content an imposition of the job
// is made from, once the job is read: artworks, drawing, profile, records and
// fonts. Drawings are those of dies, which a job is planned without where they
// can't be read.
func ContentFiles(j *Job) (files, drawings []string) {
	for _, path := range namedFiles(j) {
		if !slices.Contains(files, path) {
			files = append(files, path)
		}
	}
	for _, path := range j.Dies.Outlines() {
		if !slices.Contains(drawings, path) {
			drawings = append(drawings, path)
		}
	}
	return files, drawings
}

// namedFiles lists the files that the job itself names, but for keys.
func namedFiles(j *Job) (files []string) {
	add := func(file string) {
		if file != "" {
			files = append(files, j.Path(file))
		}
	}
	if j.Outline != ArtworkOutline {
		add(j.Outline)
	}
	add(j.Output.Profile)
	fields := j.Fields
	if d := j.Data; d != nil {
		add(d.File)
		if c := d.ChangeOver; c != nil {
			add(c.Artwork)
			fields = slices.Concat(fields, c.Fields)
		}
	}
	for _, f := range fields {
		for _, font := range f.Fonts {
			add(font)
		}
	}
	for _, a := range j.Artworks {
		add(a.File)
	}
	return files
}

// LeaveFor returns who permits to place an artwork whose permissions forbid it;
// "" where nobody does.
func LeaveFor(j *Job, a Artwork) string { return cmp.Or(a.PermittedBy, j.PermittedBy) }

// HouseLists returns the paths of the house files, the press and the die room that the job
// rests on: files of which what they say counts.
func HouseLists(j *Job) (files []string) {
	for _, t := range j.Took {
		files = append(files, t.Path)
	}
	if p := j.Press; p != nil && p.source.path != "" {
		files = append(files, p.source.path)
	}
	if d := j.Dies; d != nil && d.path != "" {
		files = append(files, d.path)
	}
	return files
}

// Files returns the paths of all files that the job is read from or names: an
// output must replace none of them.
func (j *Job) Files() (files []string) {
	if path := j.source.path; path != "" {
		files = append(files, path)
	}
	files = append(files, HouseLists(j)...)
	if j.Data != nil {
		for _, r := range j.Data.Randoms {
			if r.Key != "" {
				files = append(files, j.Path(r.Key))
			}
		}
	}
	return append(files, namedFiles(j)...)
}

// Path returns the file that the press was read from; "" for none.
func (p *Press) Path() string { return p.source.path }
