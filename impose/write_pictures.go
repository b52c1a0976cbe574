package impose

import (
	"context"
	"io"
	"maps"
	"slices"

	"quoin/geometry"
	"quoin/impose/draw"
	"quoin/impose/ink"
	"quoin/impose/press"
)

// Pictures writes what pictures of an imposition are made from. Their renderer
// knows no overprint, so white and varnish, which overprint, would hide the
// labels. Where white is printed, a picture is put together from the plates
// instead, and elsewhere it leaves varnish out.
type Pictures struct{ im *Imposition }

// Pictures returns what pictures are made from.
func (im *Imposition) Pictures() Pictures { return Pictures{im} }

// Colours writes the frame for a picture, as it is seen, without its white
// and varnish.
func (p Pictures) Colours(ctx context.Context, w io.Writer) error {
	return p.writeSeen(ctx, w, p.im.Frame, p.colours())
}

// Whole writes the frame in all its inks, as it is seen, to be separated: without
// the white and varnish that the engine lays over it, which touch no other plate.
func (p Pictures) Whole(ctx context.Context, w io.Writer) error {
	return p.writeSeen(ctx, w, p.im.Frame, p.im.document())
}

// White writes where the engine prints white on the frame, as it is seen: in
// black. The artworks' own white is on their plates.
func (p Pictures) White(ctx context.Context, w io.Writer) error {
	return p.writeSeen(ctx, w, p.whiteFrame(p.im.Frame), p.im.document())
}

// Label writes one artwork of the job for a picture, as it is seen, without
// its white and varnish: its trim with the job's bleed around, upright, on a page
// of its own.
func (p Pictures) Label(ctx context.Context, w io.Writer, art int) error {
	return p.LabelWith(ctx, w, art, p.im.Layout.Bleed)
}

// LabelWith is Label with a bleed of its own.
func (p Pictures) LabelWith(ctx context.Context, w io.Writer, art int, bleed geometry.Length) error {
	frame, _ := p.labelFrame(art, bleed)
	return p.writeSeen(ctx, w, frame, p.colours())
}

// LabelWhole writes an artwork in all its inks, as Label does, to be separated.
func (p Pictures) LabelWhole(ctx context.Context, w io.Writer, art int) error {
	frame, _ := p.labelFrame(art, p.im.Layout.Bleed)
	return p.writeSeen(ctx, w, frame, p.im.document())
}

// LabelWhite writes where the engine prints white under an artwork, as Label
// does.
func (p Pictures) LabelWhite(ctx context.Context, w io.Writer, art int) error {
	return p.LabelWhiteWith(ctx, w, art, p.im.Layout.Bleed)
}

// LabelWhiteWith is LabelWhite with a bleed of its own.
func (p Pictures) LabelWhiteWith(ctx context.Context, w io.Writer, art int, bleed geometry.Length) error {
	frame, label := p.labelFrame(art, bleed)
	whites, _, err := drawWhites(p.im.Job.Inks.Underprint, []draw.Place{label}, false)
	if err != nil {
		return err
	}
	frame.Items = append(frame.Items, whites...)
	return p.writeSeen(ctx, w, p.whiteFrame(frame), p.im.document())
}

// Underprint reports whether the engine prints white.
func (p Pictures) Underprint() bool { return p.im.Job.Inks.Underprint != nil }

// Film reports whether the labels are to be seen on a ground that is no white
// paper: the material lets light through or shines, or white is printed under
// the labels.
func (p Pictures) Film() bool { return p.HasWhite() || seeThrough(p.im.Job.Material.Kind) }

// HasWhite reports whether the job prints white.
func (p Pictures) HasWhite() bool {
	return slices.ContainsFunc(p.im.PrintingInks(), func(i ink.Ink) bool { return i.Kind == ink.White })
}

func (p Pictures) labelFrame(art int, bleed geometry.Length) (draw.Frame, draw.Place) {
	whole := geometry.BoxAt(geometry.Position{}, p.im.LabelSize(art)).Outset(bleed).Moved(geometry.Size{Across: bleed, Around: bleed})
	label := draw.Place{Art: art, Trim: whole.Outset(-bleed), Clip: draw.Rectangle(whole)}
	return draw.Frame{Size: whole.Size(), Items: []draw.Item{label}}, label
}

// colours is the document of the frame with white and varnish silenced.
func (p Pictures) colours() press.Setup {
	setup := p.im.document()
	renames := maps.Clone(setup.Renames)
	for _, page := range allPages(p.im.Sources) {
		for _, u := range page.Inks {
			if e, ok := p.im.Inks.Find(p.im.names.rules.Name(u.Name)); ok && (e.Kind == ink.White || e.Kind == ink.Varnish) {
				renames[u.Raw] = press.None
			}
		}
	}
	setup.Renames = renames
	return setup
}

// writeSeen writes a frame as it is seen, without what is white or varnish alone
// and overprints: on a second surface, through the film.
func (p Pictures) writeSeen(ctx context.Context, w io.Writer, frame draw.Frame, setup press.Setup) error {
	setup.Mirror = false
	unseen := func(item draw.Item) bool {
		paint, ok := paintOf(item)
		if !ok || !paint.Overprint {
			return false
		}
		return !slices.ContainsFunc(paint.Tints, func(t draw.Tint) bool {
			e, _ := p.im.Inks.Find(t.Ink)
			return e.Kind != ink.White && e.Kind != ink.Varnish
		})
	}
	frame.Items = slices.DeleteFunc(slices.Clone(frame.Items), unseen)
	return writeDocument(ctx, w, frame, setup)
}

// whiteFrame returns a frame on which black stands for the engine's white.
func (p Pictures) whiteFrame(frame draw.Frame) draw.Frame {
	out := draw.Frame{Size: frame.Size}
	for _, item := range frame.Items {
		paint, ok := paintOf(item)
		if !ok {
			continue
		}
		white := draw.Tint{Ink: ink.Black}
		for _, t := range paint.Tints {
			if e, _ := p.im.Inks.Find(t.Ink); e.Kind == ink.White {
				white.Amount = max(white.Amount, t.Amount)
			}
		}
		if white.Amount == 0 && paint.Overprint {
			continue
		}
		paint = draw.Paint{Tints: []draw.Tint{white}}
		switch it := item.(type) {
		case draw.Cover:
			it.Paint = paint
			item = it
		case draw.Fill:
			it.Paint = paint
			item = it
		case draw.Stroke:
			it.Paint = paint
			item = it
		case draw.Text:
			it.Paint = paint
			item = it
		}
		out.Items = append(out.Items, item)
	}
	return out
}
