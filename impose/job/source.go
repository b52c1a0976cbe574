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
func (i Inputs) PasswordOf(file string) string {
	for _, a := range i.job.Artworks {
		if a.Password != "" && (a.File == file || i.job.Path(a.File) == file) {
			return a.Password
		}
	}
	return i.job.Password
}

// Contents returns the paths of all files whose content an imposition of the job
// is made from, once the job is read: artworks, drawing, profile, records and
// fonts. Drawings are those of dies, which a job is planned without where they
// can't be read.
func (i Inputs) Contents() (files, drawings []string) {
	add := func(to *[]string, path string) {
		if !slices.Contains(*to, path) {
			*to = append(*to, path)
		}
	}
	for _, a := range i.job.Artworks {
		add(&files, i.job.Path(a.File))
	}
	if i.job.Outline != "" && i.job.Outline != ArtworkOutline {
		add(&files, i.job.Path(i.job.Outline))
	}
	if i.job.Output.Profile != "" {
		add(&files, i.job.Path(i.job.Output.Profile))
	}
	if i.job.Data != nil && i.job.Data.File != "" {
		add(&files, i.job.Path(i.job.Data.File))
	}
	fields := i.job.Fields
	if i.job.Data != nil && i.job.Data.ChangeOver != nil {
		c := i.job.Data.ChangeOver
		if fields = slices.Concat(fields, c.Fields); c.Artwork != "" {
			add(&files, i.job.Path(c.Artwork))
		}
	}
	for _, f := range fields {
		for _, font := range f.Fonts {
			add(&files, i.job.Path(font))
		}
	}
	if i.job.Dies != nil {
		for _, d := range i.job.Dies.Dies {
			if d.Outline != "" {
				add(&drawings, i.job.Dies.Path(d.Outline))
			}
		}
	}
	return files, drawings
}

// LeaveFor gives who permits to place an artwork whose permissions forbid it;
// "" where nobody does.
func (i Inputs) LeaveFor(a Artwork) string { return cmp.Or(a.PermittedBy, i.job.PermittedBy) }

// Files gives the paths of all files that the job is read from or names: an
// output must replace none of them.
func (i Inputs) Files() []string {
	var files []string
	add := func(path string) {
		if path != "" {
			files = append(files, path)
		}
	}
	add(i.job.source.path)
	for _, t := range i.job.Took {
		add(t.Path)
	}
	if i.job.Press != nil {
		add(i.job.Press.source.path)
	}
	if i.job.Dies != nil {
		add(i.job.Dies.path)
	}
	named := func(path string) {
		if path != "" {
			add(i.job.Path(path))
		}
	}
	if i.job.Outline != ArtworkOutline {
		named(i.job.Outline)
	}
	named(i.job.Output.Profile)
	if i.job.Data != nil {
		for _, r := range i.job.Data.Randoms {
			named(r.Key)
		}
	}
	for _, f := range i.job.Fields {
		for _, font := range f.Fonts {
			named(font)
		}
	}
	if i.job.Data != nil {
		named(i.job.Data.File)
		if c := i.job.Data.ChangeOver; c != nil {
			named(c.Artwork)
			for _, f := range c.Fields {
				for _, font := range f.Fonts {
					named(font)
				}
			}
		}
	}
	for _, a := range i.job.Artworks {
		named(a.File)
	}
	return files
}

// Path returns the file that the press was read from; "" for none.
func (p *Press) Path() string { return p.source.path }
