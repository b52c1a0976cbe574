package impose

import (
	"context"
	"io"
	"path/filepath"
	"strings"
	"time"

	"quoin/geometry"
	"quoin/impose/draw"
	"quoin/impose/press"
)

// WritePDF writes the frame as the press-ready PDF: one page, to be printed as
// often as the summary says. The same input gives the same bytes.
func (im *Imposition) WritePDF(ctx context.Context, w io.Writer) error {
	if len(im.Job.Fields) > 0 {
		im.warn("fields-left-out", "the frame is written without the job's %d fields: print the records with quoin vary", len(im.Job.Fields))
	}
	setup, err := im.setup()
	if err != nil {
		return err
	}
	pw, err := press.New(&cancelled{ctx, w}, setup)
	if err != nil {
		return err
	}
	if err := pw.Frame(im.Frame); err != nil {
		return err
	}
	if err := pw.Close(); err != nil {
		return err
	}
	im.pages = 1
	return nil
}

// WriteLabel writes one artwork of the job as the press gets it: its trim with
// the job's bleed around, upright, on a page of its own.
func (im *Imposition) WriteLabel(ctx context.Context, w io.Writer, artwork int) error {
	setup, err := im.setup()
	if err != nil {
		return err
	}
	pw, err := press.New(&cancelled{ctx, w}, setup)
	if err != nil {
		return err
	}
	bleed := im.Layout.Bleed
	whole := geometry.BoxAt(geometry.Position{}, im.LabelSize(artwork)).Outset(bleed).Moved(geometry.Size{Across: bleed, Around: bleed})
	err = pw.Frame(draw.Frame{Size: whole.Size(), Items: []draw.Item{
		draw.Place{Art: artwork, Trim: whole.Outset(-bleed), Clip: draw.Rectangle(whole)},
	}})
	if err != nil {
		return err
	}
	return pw.Close()
}

// LabelSize gives the trim of an artwork's upright label.
func (im *Imposition) LabelSize(artwork int) geometry.Size {
	if im.Layout.Widths != nil {
		return im.Job.LabelOf(artwork)
	}
	return im.Layout.Label.Turned(im.Layout.Turn)
}

// setup gathers what the document is begun with.
func (im *Imposition) setup() (press.Setup, error) {
	setup := press.Setup{
		Info:     press.Info{Title: im.title(), Date: im.date(), Trapped: im.trapped(), Conforms: len(im.breaches) == 0},
		Artworks: im.Pages,
		Names:    im.names.odd(),
		Renames:  im.names.renames(),
		Shared:   im.names.shared(),
		Blend:    im.blend(),
		Intent:   im.intent,
		Mirror:   im.Job.Mirror,
	}
	for _, e := range im.Inks.Inks {
		setup.Inks = append(setup.Inks, e.Ink)
	}
	return setup, nil
}

// title is the job's name, or else that of its first artwork.
func (im *Imposition) title() string {
	if im.Job.Name != "" {
		return im.Job.Name
	}
	base := filepath.Base(im.Job.Artworks[0].File)
	return strings.TrimSuffix(base, filepath.Ext(base))
}

// date is the job's, or else that of the newest artwork: never the day's own,
// so that the same input gives the same bytes.
func (im *Imposition) date() time.Time {
	newest := im.Job.Date
	for _, p := range im.Pages {
		if d := p.File.ModDate(); im.Job.Date.IsZero() && d.After(newest) {
			newest = d
		}
	}
	return newest
}

// trapped tells whether all artworks say that they are.
func (im *Imposition) trapped() bool {
	for _, p := range im.Pages {
		if !p.File.Trapped() {
			return false
		}
	}
	return true
}

// blend takes DeviceCMYK where the page group of an artwork blends in it. In any
// other space, the frame would convert the process inks of its own targets and
// marks on their way to the plates; artworks that blend in another space keep
// it in a group of their own.
func (im *Imposition) blend() press.Blend {
	for _, p := range im.Pages {
		if p.Doc.Name(p.Group["CS"]) == "DeviceCMYK" {
			return press.Blend{From: p}
		}
	}
	return press.Blend{}
}

// cancelled ends a long write when the run is interrupted.
type cancelled struct {
	ctx context.Context
	w   io.Writer
}

func (c *cancelled) Write(b []byte) (int, error) {
	if err := c.ctx.Err(); err != nil {
		return 0, err
	}
	return c.w.Write(b)
}
