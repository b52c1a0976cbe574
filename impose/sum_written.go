package impose

import (
	"fmt"
	"maps"
	"slices"
	"strings"
	"unicode/utf8"

	"quoin/geometry"
	"quoin/impose/draw"
	"quoin/impose/pdfobj"
	"quoin/impose/press"
	"quoin/impose/summary"
)

// sumWritten says what the written file must hold; nil where none was written.
func sumWritten(im *Imposition, written Written) *summary.Written {
	if written.Pages == 0 {
		return nil
	}
	l := im.Layout
	w := &summary.Written{
		Pages:    written.Pages,
		Proved:   written.Proved,
		Mirrored: im.Job.Mirror,
		SizePt:   [2]float64{l.Web.Width.Points(), l.Repeat.Points()},
		Breaches: im.breaches,
		Intent:   intentSummary(im.intent, im.number(im.intent.From)),
		Layers:   sumLayers(im), Renames: []summary.Rename{}, Shared: []summary.Shared{}, Bare: []string{},
		Drawn: sumDrawn(im),
	}
	if len(im.breaches) == 0 {
		w.Marker = "PDF/X-4"
	}
	if b := blend(im.Pages); b.From != nil {
		w.BlendSpace = &summary.Source{Artwork: im.number(b.From)}
	}
	renames := im.names.renames()
	for _, from := range slices.Sorted(maps.Keys(renames)) {
		w.Renames = append(w.Renames, summary.Rename{From: spelled(from), To: spelled(renames[from])})
	}
	for _, s := range im.names.shared() {
		w.Shared = append(w.Shared, summary.Shared{Ink: spelled(s.Name), Artwork: im.number(s.From)})
	}
	for _, name := range bareInks(im.Sources) {
		w.Bare = append(w.Bare, spelled(name))
	}
	if im.track != (geometry.Box{}) {
		track := press.BoxPoints(im.face.box(im.track), l.Repeat)
		w.EyeTrackPt = &track
	}
	return w
}

// spelled returns a name of the file as text: see summary.Written.
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

// sumLayers lists the layers of all artworks and then those that the engine
// makes, each once.
func sumLayers(im *Imposition) []summary.Layer {
	type key struct {
		doc *pdfobj.Document
		ref pdfobj.Ref
	}
	seen := map[key]bool{}
	parts := []summary.Layer{}
	for i, p := range im.Pages {
		for _, l := range p.Layers {
			if k := (key{p.Doc, l.Ref}); !seen[k] {
				seen[k] = true
				parts = append(parts, summary.Layer{Artwork: i + 1, Name: l.Name, On: l.On})
			}
		}
	}
	for _, item := range im.Frame.Items {
		name, on := press.StepName(item.On())
		if part := (summary.Layer{Name: name, On: on}); name != "" && !slices.Contains(parts, part) {
			parts = append(parts, part)
		}
	}
	return parts
}

// sumDrawn lists what the engine draws.
func sumDrawn(im *Imposition) []summary.Drawn {
	parts := []summary.Drawn{}
	placed := false
	for _, item := range im.Frame.Items {
		d := summary.Drawn{Layer: string(item.On()), Under: !placed}
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
			d.Path = pathOnPage(im, it.Path)
		case draw.Stroke:
			d.What, box, paint = "stroke", it.Path.Bounds(), it.Paint
			d.LinePt, d.Path = it.Width.Points(), pathOnPage(im, it.Path)
		case draw.Text:
			d.What, box, paint = "text", it.Fill().Path.Bounds(), it.Paint
		}
		if item.On() == draw.Dimensions {
			continue // for pictures only
		}
		d.BoxPt, d.Overprint = press.BoxPoints(im.face.box(box), im.Layout.Repeat), paint.Overprint
		d.Inks = []summary.Tint{}
		for _, t := range paint.Tints {
			d.Inks = append(d.Inks, summary.Tint{Ink: t.Ink, TintPercent: 100 * t.Amount})
		}
		d.Eye = slices.Contains(im.eyes, box)
		d.Matrix = item.On() == draw.Marks && slices.Contains(im.matrix, box)
		parts = append(parts, d)
	}
	return parts
}

// placements returns the placements of the frame, in the order of its stations.
func placements(f draw.Frame) (list []draw.Place) {
	for _, item := range f.Items {
		if p, ok := item.(draw.Place); ok {
			list = append(list, p)
		}
	}
	return list
}

// pathOnPage says of a path what tells it from others, on the page.
func pathOnPage(im *Imposition, p draw.Path) *summary.Path {
	part := &summary.Path{Points: len(p.Points)}
	for i, at := range p.Points {
		b := press.BoxPoints(im.face.box(geometry.Box{Min: at, Max: at}), im.Layout.Repeat)
		part.SumPt[0] += float64(1+i%7) * b[0]
		part.SumPt[1] += float64(1+i%7) * b[1]
	}
	return part
}
