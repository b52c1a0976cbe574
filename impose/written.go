package impose

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"maps"
	"slices"
	"strings"
	"unicode/utf8"

	"quoin/geometry"
	"quoin/impose/artwork"
	"quoin/impose/draw"
	"quoin/impose/pdfobj"
	"quoin/impose/press"
)

// written says what the written file must hold.
func (im *Imposition) written() *WrittenPart {
	l := im.Layout
	w := &WrittenPart{
		Pages:    im.pages,
		Mirrored: im.Job.Mirror,
		SizePt:   [2]float64{l.Web.Width.Points(), l.Repeat.Points()},
		Breaches: append([]BreachPart{}, im.breaches...),
		Layers:   im.layerParts(), Renames: []RenamePart{}, Shared: []SharedPart{},
		Drawn: im.drawnParts(),
	}
	if len(im.breaches) == 0 {
		w.Marker = "PDF/X-4"
	}
	if b := im.blend(); b.From != nil {
		w.BlendSpace = &FromPart{im.number(b.From)}
	}
	w.Intent = im.intentPart()
	renames := im.names.renames()
	for _, from := range slices.Sorted(maps.Keys(renames)) {
		w.Renames = append(w.Renames, RenamePart{spelled(from), spelled(renames[from])})
	}
	for _, s := range im.names.shared() {
		w.Shared = append(w.Shared, SharedPart{spelled(s.Name), im.number(s.From)})
	}
	if im.track != (geometry.Box{}) {
		track := press.BoxPoints(im.mirrored(im.track), l.Repeat)
		w.EyeTrackPt = &track
	}
	return w
}

// number gives the number of an artwork, the first being 1.
func (im *Imposition) number(p *artwork.Page) int { return slices.Index(im.Pages, p) + 1 }

// spelled gives a name of the file as text: see WrittenPart.
func spelled(name pdfobj.Name) string {
	text := utf8.ValidString(string(name))
	var b strings.Builder
	for _, c := range []byte(name) {
		if c == '#' || c >= 0x80 && !text {
			fmt.Fprintf(&b, "#%02X", c)
		} else {
			b.WriteByte(c)
		}
	}
	return b.String()
}

func (im *Imposition) intentPart() *IntentPart {
	in := im.intent
	switch {
	case in.From != nil:
		return &IntentPart{Artwork: im.number(in.From)}
	case in.Condition == "" && in.Profile == nil:
		return nil
	}
	part := &IntentPart{Condition: in.Condition}
	if in.Profile != nil {
		sum := sha256.Sum256(in.Profile)
		part.Profile = hex.EncodeToString(sum[:])
	}
	return part
}

// layerParts lists the layers of all artworks and then those that the engine
// makes, each once.
func (im *Imposition) layerParts() []LayerPart {
	type key struct {
		doc *pdfobj.Document
		ref pdfobj.Ref
	}
	seen := map[key]bool{}
	parts := []LayerPart{}
	for i, p := range im.Pages {
		for _, l := range p.Layers {
			if k := (key{p.Doc, l.Ref}); !seen[k] {
				seen[k] = true
				parts = append(parts, LayerPart{i + 1, l.Name, l.On})
			}
		}
	}
	for _, item := range im.Frame.Items {
		name, ok := press.StepName(item.On())
		if part := (LayerPart{0, name, true}); ok && !slices.Contains(parts, part) {
			parts = append(parts, part)
		}
	}
	return parts
}

// drawnParts lists what the engine draws.
func (im *Imposition) drawnParts() []DrawnPart {
	parts := []DrawnPart{}
	placed := false
	for _, item := range im.Frame.Items {
		d := DrawnPart{Layer: string(item.On()), Under: !placed}
		var box geometry.Box
		var paint draw.Paint
		switch it := item.(type) {
		case draw.Place:
			placed = true
			continue
		case draw.Cover:
			d.What, box, paint = "cover", it.Place.Clip.Bounds(), it.Paint
			d.ChokePt = it.Choke.Points()
		case draw.Fill:
			d.What, box, paint = "fill", it.Path.Bounds(), it.Paint
			d.Path = im.pathPart(it.Path)
		case draw.Stroke:
			d.What, box, paint = "stroke", it.Path.Bounds(), it.Paint
			d.LinePt, d.Path = it.Width.Points(), im.pathPart(it.Path)
		case draw.Text:
			d.What, box, paint = "text", it.Fill().Path.Bounds(), it.Paint
		}
		if item.On() == draw.Dimensions {
			continue // for pictures only
		}
		d.BoxPt, d.Overprint = press.BoxPoints(im.mirrored(box), im.Layout.Repeat), paint.Overprint
		d.Inks = []TintPart{}
		for _, t := range paint.Tints {
			d.Inks = append(d.Inks, TintPart{t.Ink, 100 * t.Amount})
		}
		d.Eye = slices.Contains(im.eyes, box)
		parts = append(parts, d)
	}
	return parts
}

// placements gives the placements of the frame, in the order of its stations.
func (im *Imposition) placements() (list []draw.Place) {
	for _, item := range im.Frame.Items {
		if p, ok := item.(draw.Place); ok {
			list = append(list, p)
		}
	}
	return list
}

// pathPart tells a path from others.
func (im *Imposition) pathPart(p draw.Path) *PathPart {
	part := &PathPart{Points: len(p.Points)}
	for i, at := range p.Points {
		b := press.BoxPoints(im.mirrored(geometry.Box{Min: at, Max: at}), im.Layout.Repeat)
		part.SumPt[0] += float64(1+i%7) * b[0]
		part.SumPt[1] += float64(1+i%7) * b[1]
	}
	return part
}
