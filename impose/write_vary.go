package impose

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"fmt"

	"quoin/geometry"
	"quoin/impose/data"
	"quoin/impose/job"
	"quoin/impose/mark"
	"quoin/impose/say"
	"quoin/impose/vary"
)

// Records opens the job's records.
func (im *Imposition) Records() (*data.Records, error) { return openRecords(im.Job) }

// Vary prepares the run that prints each record on a label of its own, or only
// the records of the numbers given. All records are checked before it returns.
// The warnings are those of the imposition and of its records.
func (im *Imposition) Vary(ctx context.Context, records *data.Records, only []int64) (*vary.Run, say.Notes, error) {
	if err := oneProduct(im.Planned); err != nil {
		return nil, nil, err
	}
	p := vary.Request{
		Layout: im.Layout, Items: im.Frame.Items, Setup: im.document(), Records: records, Route: im.Job.Route(),
		Across: im.Job.Data.Order == job.OrderAcross, PerRoll: im.perRoll[0], Spare: vary.Spare(im.Job.Data.Spare),
		Void: mark.Darkest(im.Inks.Printing()).Name, Only: only,
		Device: device(im.Job), Unique: im.Job.Data.Unique,
	}
	if u := im.Job.Inks.Underprint; u != nil && u.Shape == job.ByShape {
		p.Under = whiteHits(u)
		if len(im.Named) > 0 {
			return nil, nil, say.Refuse(say.BadFile, "take an underprint that floods the label", "a white in the shape of the artwork doesn't follow other pages that stand on labels")
		}
	}
	p.Artwork, p.Pictures = im.Job.Data.Artwork, map[vary.Named]vary.Picture{}
	for i, page := range im.Named {
		p.Pictures[im.NamedBy[i]] = vary.Picture{Art: len(im.Pages) + i, Size: page.Size()}
	}
	for lane, art := range im.lanes {
		if art >= 0 {
			p.Lanes = append(p.Lanes, lane+1)
		}
	}
	fonts := openedFonts{}
	var err error
	if p.Fields, err = variedFields(im.Sources, fonts, im.Job.Fields); err != nil {
		return nil, nil, err
	}
	if c := im.Job.Data.ChangeOver; c != nil {
		p.ChangeOver = &vary.ChangeOver{Labels: c.Labels, Artwork: c.Artwork}
		fields := c.Fields
		if len(fields) == 0 && c.Artwork == "" {
			fields = endOfRoll(im.LabelSize(0), p.Void)
		}
		if p.ChangeOver.Fields, err = variedFields(im.Sources, fonts, fields); err != nil {
			return nil, nil, err
		}
	}
	r, err := vary.Prepare(ctx, p)
	if err != nil {
		return nil, nil, err
	}
	said := im.remarks()
	for _, w := range r.Warnings {
		said.warn(w.Code, "%s", w.Text)
	}
	for _, c := range im.Job.Data.Counters {
		if c.Step == 0 {
			said.warn(codeCounterStands, "the counter %s has a step of 0, which counts as 1; a value that stays the same is written into the field itself", c.Name)
		}
	}
	if q := im.Job.Artworks[0].Quantity; only == nil && q > 0 && q != records.Count {
		said.warn(codeRecordsDiffer, "%s ordered, and there %s", say.CountOf(q, "label is", "labels are"), say.CountOf(records.Count, "record", "records"))
	}
	return r, said.warnings, nil
}

// endOfRoll is what a change-over label says by default: which roll ends there.
func endOfRoll(label geometry.Size, ink string) []job.Field {
	across, around := label.Across/10, label.Around/10
	return []job.Field{{
		Name: "end of roll", Value: "END OF ROLL {roll} of {rolls}\nlane {lane}, records {first} to {last}", Ink: ink, Font: string(vary.Bold),
		At: geometry.Size{Across: across, Around: around}, Width: label.Across - 2*across, Height: label.Around - 2*around,
		Cap: min(around, 3*geometry.Millimetre), Fit: string(vary.Shrink), Least: min(around, 800*geometry.Micrometre),
	}}
}

// oneProduct refuses frames on which records and stations don't go together one
// by one.
func oneProduct(p *Planned) error {
	switch {
	case len(p.Job.Artworks) != 1:
		return say.Refuse(say.BadFile, "print variable data with one artwork in a job",
			"%d products share the frame, and the records would not know which is theirs", len(p.Job.Artworks))
	case p.Job.Route().Check() != nil:
		return say.Refuse(say.BadFile, "say windings: 1 when the press winds the finished rolls, 2 with a finishing line behind it",
			"how often the web is wound is not said, so the first label on the roll is not known")
	case len(p.Layout.Station) != p.Layout.Across*p.Layout.Around:
		return say.Refuse(say.BadFile, "lay them out without nesting", "the labels don't stand in lanes and rows, so that no order of records follows them")
	}
	frame := geometry.BoxAt(geometry.Position{}, geometry.Size{Across: p.Layout.Web.Width, Around: p.Layout.Repeat})
	for _, s := range p.Layout.Station {
		if !frame.Contains(s.Trim) {
			return say.Refuse(say.BadFile, "lay the labels out without nesting or stagger", "a label stands across the frame's seam, where two frames print it")
		}
	}
	return nil
}

// Identity stands for all that the written file depends on beside the layout,
// the fields and the records: the artworks' bytes, and what the job says of
// them.
func (im *Imposition) Identity() (string, error) {
	setup := im.document()
	h := sha256.New()
	for _, path := range im.files.order {
		sum, err := im.files.sums[path]()
		if err != nil {
			return "", err
		}
		fmt.Fprintln(h, sum)
	}
	text, err := json.Marshal([]any{setup.Info, setup.Inks, setup.Renames, im.Job.Artworks[0].Page, im.Job.Inks, im.Job.Output})
	if err != nil {
		return "", err
	}
	h.Write(text)
	h.Write(im.intent.Profile)
	return hex.EncodeToString(h.Sum(nil)), nil
}
