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
	"quoin/impose/vary"
)

// mostPictures bounds the pages that the records of one run name: each stays open
// until the run is written.
const mostPictures = 10_000

// recorded is what the job's records name, each thing once, in the order in which
// they come up, and what the labels between their rolls do.
type recorded struct {
	pages []*artwork.Page
	names []vary.Named // of the pages
	cut   []bool       // whether a page is a label's artwork
	inks  []string

	files *artworkFiles
	known map[vary.Named]bool
}

// wanted is a template whose texts name pictures or inks.
type wanted struct {
	text     string
	template *data.Template
	field    *job.Field // of a picture; nil for an artwork
	ink      bool
}

// readRecorded opens the pages that the job's records name, and gathers the inks.
func readRecorded(ctx context.Context, j *job.Job, files *artworkFiles) (*recorded, error) {
	r := &recorded{files: files, known: map[vary.Named]bool{}}
	if j.Data == nil {
		return r, nil
	}
	if c := j.Data.ChangeOver; c != nil && c.Artwork != "" {
		if err := r.open(c.Artwork, nil); err != nil {
			return r, err
		}
	}
	var list []wanted
	if j.Data.Artwork != "" {
		list = append(list, wanted{text: j.Data.Artwork})
	}
	for i, f := range j.Fields {
		if f.Picture {
			list = append(list, wanted{text: f.Value, field: &j.Fields[i]})
		} else if strings.Contains(f.Ink, "{") {
			list = append(list, wanted{text: f.Ink, ink: true})
		}
	}
	if len(list) == 0 {
		return r, nil
	}
	records, err := openRecords(j)
	if err != nil {
		return r, err
	}
	for i := range list {
		if list[i].template, err = data.ParseTemplate(list[i].text, records.Names); err != nil {
			return r, err
		}
	}
	var text []byte
	err = records.Scan(ctx, func(values []string) error {
		for _, w := range list {
			text = w.template.Append(text[:0], values)
			if !w.ink {
				if err := r.open(string(text), w.field); err != nil {
					return err
				}
			} else if !slices.Contains(r.inks, string(text)) {
				r.inks = append(r.inks, string(text))
			}
		}
		return nil
	})
	if err != nil {
		return r, err
	}
	drawn, err := files.drawn()
	for i := range r.pages {
		if r.pages[i] == nil && err == nil {
			r.pages[i], drawn = drawn[0], drawn[1:]
		}
	}
	return r, err
}

// open opens what a record names, for a field, or as a label's artwork.
func (r *recorded) open(name string, field *job.Field) error {
	as := vary.Named{Name: name}
	if field != nil && isPicture(name) {
		as.Room = roomOf(*field)
	}
	if r.known[as] {
		return nil
	}
	if len(r.names) == mostPictures {
		return say.Refuse(say.BadFile, "split the run", "the records name more than %d pictures", mostPictures)
	}
	var page *artwork.Page // of a PNG or JPEG once all are read
	var err error
	switch {
	case field == nil && isPicture(name):
		err = say.Refuse(say.Artwork, "save it as PDF, with its bleed; a PNG or JPEG can be a field, with picture", "%s: a label's artwork is a page of a PDF", say.Clip(name, 200))
	case isPicture(name):
		if err = r.files.picture(name, as.Room); err != nil {
			err = &say.Refusal{Text: say.Clip(name, 200), Err: err}
		}
	case field != nil && field.Fit != "":
		err = say.Refuse(say.BadFile, "leave fit out", "%s: a page of a PDF is placed at its own size, and fit is for PNG and JPEG", say.Clip(name, 200))
	default:
		page, err = r.files.page(pictureOf(name))
	}
	if err != nil {
		return err
	}
	r.known[as] = true
	r.pages, r.names, r.cut = append(r.pages, page), append(r.names, as), append(r.cut, field == nil)
	return nil
}

// said returns what is worth a person's look on the pages, each thing once, with
// how many others it is true of.
func (r *recorded) said() (said remarks) {
	type note struct {
		first, last int // pages
		of          artwork.Finding
		more        int // pages
	}
	var list []*note
	for i, p := range r.pages {
		for _, f := range p.Findings {
			if !r.cut[i] && slices.Contains(artwork.OfTheEdge, f.Code) {
				continue
			}
			k := slices.IndexFunc(list, func(n *note) bool { return n.of.Code == f.Code })
			if k < 0 {
				list = append(list, &note{first: i, last: i, of: f})
			} else if list[k].last != i {
				list[k].last = i
				list[k].more++
			}
		}
	}
	for _, n := range list {
		text := r.names[n.first].Name + ": " + n.of.Text
		if n.more > 0 {
			text += fmt.Sprintf("; so in %d more that the records name", n.more)
		}
		said.found(n.of, text)
	}
	return said
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

// allPages returns the artworks and then the pictures: the pages as the press file counts
// them.
func allPages(in *Sources) []*artwork.Page { return slices.Concat(in.Pages, in.Named) }
