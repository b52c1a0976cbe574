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
// is made from, once the job is read: artworks, drawing, profile, records and
// fonts. Drawings are those of dies, which a job is planned without where they
// can't be read.
func (j *Job) Contents() (files, drawings []string) {
	add := func(to *[]string, path string) {
		if !slices.Contains(*to, path) {
			*to = append(*to, path)
		}
	}
	for _, a := range j.Artworks {
		add(&files, j.Path(a.File))
	}
	if j.Outline != "" && j.Outline != ArtworkOutline {
		add(&files, j.Path(j.Outline))
	}
	if j.Output.Profile != "" {
		add(&files, j.Path(j.Output.Profile))
	}
	if j.Data != nil && j.Data.File != "" {
		add(&files, j.Path(j.Data.File))
	}
	fields := j.Fields
	if j.Data != nil && j.Data.ChangeOver != nil {
		c := j.Data.ChangeOver
		if fields = slices.Concat(fields, c.Fields); c.Artwork != "" {
			add(&files, j.Path(c.Artwork))
		}
	}
	for _, f := range fields {
		for _, font := range f.Fonts {
			add(&files, j.Path(font))
		}
	}
	if j.Dies != nil {
		for _, d := range j.Dies.Dies {
			if d.Outline != "" {
				add(&drawings, j.Dies.Path(d.Outline))
			}
		}
	}
	return files, drawings
}

// LeaveFor gives who permits to place an artwork whose permissions forbid it;
// "" where nobody does.
func (j *Job) LeaveFor(a Artwork) string { return cmp.Or(a.PermittedBy, j.PermittedBy) }

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
	for _, t := range j.Took {
		add(t.Path)
	}
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
		for _, r := range j.Data.Randoms {
			named(r.Key)
		}
	}
	for _, f := range j.Fields {
		for _, font := range f.Fonts {
			named(font)
		}
	}
	if j.Data != nil {
		named(j.Data.File)
		if c := j.Data.ChangeOver; c != nil {
			named(c.Artwork)
			for _, f := range c.Fields {
				for _, font := range f.Fonts {
					named(font)
				}
			}
		}
	}
	for _, a := range j.Artworks {
		named(a.File)
	}
	return files
}

// Path returns the file that the press was read from; "" for none.
func (p *Press) Path() string { return p.source.path }
