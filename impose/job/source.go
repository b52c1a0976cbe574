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
	for _, path := range i.named() {
		if !slices.Contains(files, path) {
			files = append(files, path)
		}
	}
	for _, path := range i.job.Dies.Outlines() {
		if !slices.Contains(drawings, path) {
			drawings = append(drawings, path)
		}
	}
	return files, drawings
}

// named lists the files that the job itself names, but for keys.
func (i Inputs) named() (files []string) {
	add := func(file string) {
		if file != "" {
			files = append(files, i.job.Path(file))
		}
	}
	if i.job.Outline != ArtworkOutline {
		add(i.job.Outline)
	}
	add(i.job.Output.Profile)
	fields := i.job.Fields
	if d := i.job.Data; d != nil {
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
	for _, a := range i.job.Artworks {
		add(a.File)
	}
	return files
}

// LeaveFor gives who permits to place an artwork whose permissions forbid it;
// "" where nobody does.
func (i Inputs) LeaveFor(a Artwork) string { return cmp.Or(a.PermittedBy, i.job.PermittedBy) }

// Lists gives the paths of the house files, the press and the die room that the job
// rests on: files of which what they say counts.
func (i Inputs) Lists() (files []string) {
	for _, t := range i.job.Took {
		files = append(files, t.Path)
	}
	if p := i.job.Press; p != nil && p.source.path != "" {
		files = append(files, p.source.path)
	}
	if d := i.job.Dies; d != nil && d.path != "" {
		files = append(files, d.path)
	}
	return files
}

// Files gives the paths of all files that the job is read from or names: an
// output must replace none of them.
func (i Inputs) Files() (files []string) {
	if path := i.job.source.path; path != "" {
		files = append(files, path)
	}
	files = append(files, i.Lists()...)
	if i.job.Data != nil {
		for _, r := range i.job.Data.Randoms {
			if r.Key != "" {
				files = append(files, i.job.Path(r.Key))
			}
		}
	}
	return append(files, i.named()...)
}

// Path returns the file that the press was read from; "" for none.
func (p *Press) Path() string { return p.source.path }
