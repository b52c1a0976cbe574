package impose

import (
	"context"
	"fmt"
	"io"
	"os"
	"time"

	"quoin/impose/ink"
	"quoin/impose/press"
)

// WritePDF writes the frame as the press-ready PDF: one page, to be printed as
// often as the summary says. The same input gives the same bytes.
func (im *Imposition) WritePDF(ctx context.Context, w io.Writer) error {
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
	return pw.Close()
}

// setup gathers what the document is begun with.
func (im *Imposition) setup() (press.Setup, error) {
	intent, err := im.intent()
	if err != nil {
		return press.Setup{}, err
	}
	setup := press.Setup{
		Info:     press.Info{Title: im.Job.Name, Date: im.date()},
		Artworks: im.Pages,
		Renames:  im.renames(),
		Blend:    im.blend(),
		Intent:   intent,
	}
	for _, e := range im.Inks.Inks {
		setup.Inks = append(setup.Inks, e.Ink)
	}
	return setup, nil
}

// date is that of the newest artwork, so that the same input gives the same
// bytes.
func (im *Imposition) date() time.Time {
	var newest time.Time
	for _, p := range im.Pages {
		if d := p.File.ModDate(); d.After(newest) {
			newest = d
		}
	}
	return newest
}

// renames gives each spot name in the artworks that the job prints under
// another, or not at all.
func (im *Imposition) renames() press.Renames {
	rules := inkRules(im.Job.Inks)
	renames := press.Renames{}
	for _, e := range im.Inks.Inks {
		for _, spelled := range e.Spelled {
			switch {
			case e.Silenced || e.Kind == ink.Technical:
				renames[spelled] = press.None
			case rules.Name(spelled) != spelled:
				renames[spelled] = rules.Name(spelled)
			}
		}
	}
	return renames
}

// intent takes the job's printing condition, or else that of the artworks,
// which must agree.
func (im *Imposition) intent() (press.Intent, error) {
	if o := im.Job.Output; o.Given() {
		in := press.Intent{Condition: o.Condition, Info: o.Info, Registry: o.Registry}
		if o.Profile != "" {
			profile, err := os.ReadFile(im.Job.Path(o.Profile))
			if err != nil {
				return in, fmt.Errorf("the output intent's profile: %w", err)
			}
			in.Profile = profile
		}
		return in, nil
	}
	for _, p := range im.Pages {
		if p.OutputIntent != nil {
			return press.Intent{From: p}, nil
		}
	}
	return press.Intent{}, nil
}

// blend takes the blend space of the artworks' page groups. Where they differ,
// it is that of the first artwork that has one.
func (im *Imposition) blend() press.Blend {
	for _, p := range im.Pages {
		if p.Group["CS"] != nil {
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
