package impose

import (
	"fmt"
	"path/filepath"
	"strings"

	"quoin/impose/artwork"
	"quoin/impose/job"
)

// readPages opens the page of every artwork and hands on what is worth a
// person's look.
func readPages(j *job.Job, files *artworkFiles) (pages []*artwork.Page, said remarks, err error) {
	for i, a := range j.Artworks {
		p, err := files.page(a)
		if err != nil {
			return nil, said, located(j, i, err)
		}
		pages = append(pages, p)
		for _, f := range p.Findings {
			said.found(f, findingOn(a, p, f))
		}
	}
	said.follow(sayOfFiles(j, files, pages))
	return pages, said, nil
}

// findingOn returns what is said of a finding on an artwork's page.
func findingOn(a job.Artwork, p *artwork.Page, f artwork.Finding) string {
	text := pageName(a, p) + ": " + f.Text
	if f.Object != "" {
		text += " (" + f.Object + ")"
	}
	return text
}

// pageName names an artwork's page as the job does.
func pageName(a job.Artwork, p *artwork.Page) string {
	return fmt.Sprintf("%s, page %d", a.File, p.Number)
}

// located says where the job file names the artwork that can't be used.
func located(j *job.Job, artwork int, err error) error {
	at := j.At(j.ArtworkKey(artwork) + ".file")
	if at.Line == 0 {
		return err
	}
	return fmt.Errorf("%s: %w", at, err)
}

// bareName names a file for people: without folder and ending.
func bareName(path string) string {
	base := filepath.Base(path)
	return strings.TrimSuffix(base, filepath.Ext(base))
}
