package impose

import (
	"context"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"quoin/impose/artwork"
	"quoin/impose/data"
	"quoin/impose/job"
	"quoin/impose/say"
)

// mostPictures bounds the pages that the records of one run name: each stays open
// until the run is written.
const mostPictures = 10_000

// recorded is what the job's records name, each thing once, in the order in which
// they come up.
type recorded struct {
	pages []*artwork.Page
	names []string // of the pages
	inks  []string
}

// readRecorded opens the pages that the job's records name, and gathers the inks.
func readRecorded(ctx context.Context, j *job.Job, files *artworkFiles) (r recorded, err error) {
	var wanted, inks []string
	if j.Data != nil && j.Data.Artwork != "" {
		wanted = append(wanted, j.Data.Artwork)
	}
	for _, f := range j.Fields {
		if f.Picture {
			wanted = append(wanted, f.Value)
		} else if strings.Contains(f.Ink, "{") {
			inks = append(inks, f.Ink)
		}
	}
	if j.Data == nil || len(wanted)+len(inks) == 0 {
		return r, nil
	}
	records, err := openRecords(j)
	if err != nil {
		return r, err
	}
	var templates []*data.Template
	for _, text := range append(wanted, inks...) {
		t, err := data.ParseTemplate(text, records.Names)
		if err != nil {
			return r, err
		}
		templates = append(templates, t)
	}
	known := map[string]bool{}
	var text []byte
	err = records.Scan(ctx, func(values []string) error {
		for i, t := range templates {
			text = t.Append(text[:0], values)
			if known[string(text)] {
				continue
			}
			name := string(text)
			if i >= len(wanted) {
				if !slices.Contains(r.inks, name) {
					r.inks = append(r.inks, name)
				}
				continue
			}
			if len(r.names) == mostPictures {
				return say.Refuse(say.BadFile, "split the run", "the records name more than %d pages", mostPictures)
			}
			page, err := files.page(pictureOf(name))
			if err != nil {
				return fmt.Errorf("%s: %w", name, err)
			}
			known[name] = true
			r.pages, r.names = append(r.pages, page), append(r.names, name)
		}
		return nil
	})
	return r, err
}

// pictureOf reads "file.pdf#2" as a page of a file.
func pictureOf(name string) job.Artwork {
	if file, page, ok := strings.Cut(name, "#"); ok {
		if n, err := strconv.Atoi(page); err == nil && n > 0 {
			return job.Artwork{File: file, Page: n}
		}
	}
	return job.Artwork{File: name, Page: 1}
}

// allPages gives the artworks and then the pictures: the pages as the press file counts
// them.
func allPages(in *Sources) []*artwork.Page { return slices.Concat(in.Pages, in.Named) }
