package impose

import (
	"slices"

	"quoin/impose/conform"
	"quoin/impose/draw"
	"quoin/impose/ink"
	"quoin/impose/summary"
)

// breaches finds what stands in the way of the PDF/X-4 marker: the file carries
// it only where nothing does.
func breaches(in *Sources, frame draw.Frame) []summary.Breach {
	list := []summary.Breach{}
	found := func(artwork string, breaches ...conform.Breach) {
		for _, b := range breaches {
			list = append(list, summary.Breach{Rule: b.Rule, Text: b.Text, Artwork: artwork, Page: b.Page, Object: b.Object})
		}
	}
	space, wrong := intentSpace(in.intent)
	found("", wrong...)
	for i, p := range in.Pages {
		found(in.Job.Artworks[i].File, conform.Content(p, space)...)
	}
	for i, p := range in.Named {
		found(in.NamedBy[i].Name, conform.Content(p, space)...)
	}
	if space != "CMYK" && drawsDevice(in, frame) {
		found("", conform.Breach{Rule: conform.DeviceColour, Text: "marks, targets and fields are in DeviceCMYK, which needs an output intent for CMYK"})
	}
	for _, e := range in.Inks.Inks {
		if in.names.differs(e) && in.names.source(e.Name) == nil {
			found("", conform.Breach{Rule: conform.Spots, Text: e.Name + " has several looks, and no artwork has a colour space for it alone"})
		}
	}
	if dateOf(in).IsZero() {
		found("", conform.Breach{Rule: conform.Metadata, Text: "neither the artworks nor the job give a date"})
	}
	if side := max(frame.Size.Across, frame.Size.Around).Points(); side > 14_400 {
		found("", conform.Breach{Rule: conform.Size, Text: "the frame is longer than 14,400 points"})
	}
	return list
}

// drawsDevice reports whether the engine draws in DeviceCMYK, or in spots of its
// own that stand on it.
func drawsDevice(in *Sources, frame draw.Frame) bool {
	uses := func(p draw.Paint) bool {
		return slices.ContainsFunc(p.Tints, func(t draw.Tint) bool {
			return ink.IsProcess(t.Ink) || in.names.source(t.Ink) == nil || len(p.Tints) > 1
		})
	}
	for _, f := range in.Job.Fields {
		if uses(draw.Solid(f.Ink)) {
			return true
		}
	}
	for _, item := range frame.Items {
		_, cover := item.(draw.Cover)
		if paint, painted := paintOf(item); painted && !cover && uses(paint) {
			return true
		}
	}
	return false
}

// paintOf returns what an item is painted in; false for an artwork.
func paintOf(item draw.Item) (draw.Paint, bool) {
	switch it := item.(type) {
	case draw.Cover:
		return it.Paint, true
	case draw.Fill:
		return it.Paint, true
	case draw.Stroke:
		return it.Paint, true
	case draw.Text:
		return it.Paint, true
	}
	return draw.Paint{}, false
}
