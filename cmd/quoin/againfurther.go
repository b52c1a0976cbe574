package main

import (
	"context"
	"errors"
	"path/filepath"
	"slices"

	"quoin/geometry"
	"quoin/impose"
	"quoin/impose/artwork"
	"quoin/impose/job"
)

// further lists what else stands in the way of the new artworks, behind the first
// obstacle: the job is opened again without what that may rest on, its label's size,
// its die, its lanes and rows.
func (f *againFlags) further(ctx context.Context, j *job.Job, first error) (more []string) {
	said := []string{first.Error()}
	for _, relax := range []func(*job.Job){
		func(j *job.Job) { j.Label = geometry.Size{} },
		func(j *job.Job) { j.Die, j.Dies = "", nil },
		func(j *job.Job) { j.Lanes, j.Rows = 0, 0 },
	} {
		relax(j)
		im, err := impose.Open(ctx, j)
		if err == nil || ctx.Err() != nil {
			if im != nil {
				im.Close()
			}
			return more
		}
		if !slices.Contains(said, err.Error()) && f.concerns(j, err) {
			said = append(said, err.Error())
			if file, ok := errors.AsType[*job.FileError](err); ok {
				more = append(more, file.OneLine())
			} else {
				more = append(more, err.Error())
			}
		}
	}
	return more
}

// concerns reports whether an error is about the new artworks or the frame, and not
// about an old artwork that now lacks what it rested on.
func (f *againFlags) concerns(j *job.Job, err error) bool {
	bad, ok := errors.AsType[*artwork.Error](err)
	if !ok {
		return true
	}
	return slices.ContainsFunc(f.replaced, func(i int) bool {
		return filepath.Base(bad.Path) == filepath.Base(j.Artworks[i].File)
	})
}
