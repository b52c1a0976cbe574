package impose

import (
	"fmt"
	"slices"

	"quoin/geometry"
	"quoin/impose/draw"
	"quoin/impose/ink"
	"quoin/impose/job"
	"quoin/impose/say"
)

// The white underprint: its inks, which are read; its shapes, which are
// composed; and when the press prints it.

// addWhites returns the table the inks of the job's underprint: each hit is
// printed by a station of its own, so each is an ink of its own.
func addWhites(table *ink.Table, u *job.Underprint) (said remarks, err error) {
	if u == nil {
		return said, nil
	}
	for _, name := range whiteHits(u) {
		e, known := table.Find(name)
		switch {
		case !known:
			table.Add(ink.Ink{Name: name, Kind: ink.White})
		case e.Kind != ink.White || e.Silenced:
			return said, say.Refuse(say.BadFile, "name another ink in the job's inks.underprint, or list this one in inks.white",
				"the underprint is to be in %q, which is an ink of the artworks that is no white or doesn't print", name)
		case e.Idle != "":
			table.Wake(name)
		default:
			said.note(codeUnderprintJoins, "the artworks print in %q themselves: the underprint joins it on one plate", name)
		}
	}
	return said, nil
}

// whiteHits names the ink of each hit: White, White 2, White 3.
func whiteHits(u *job.Underprint) []string {
	names := []string{u.Ink}
	for n := 2; n <= u.Hits; n++ {
		names = append(names, fmt.Sprintf("%s %d", u.Ink, n))
	}
	return names
}

// drawWhites draws the white under the labels that were placed; shaped says that
// they are clipped along their outlines. It stands after the artworks, with
// overprint on, whatever the press prints first: painted beneath, an artwork
// that doesn't overprint or that blends in a group of its own would erase it
// (ISO 32000-1 8.6.7, 11.6.6), and painted above without overprint it would
// erase the artwork.
func drawWhites(u *job.Underprint, labels []draw.Place, shaped bool) (items []draw.Item, said remarks, err error) {
	if u == nil {
		return nil, said, nil
	}
	said.note(codeUnderprintPreview, "the white is painted last and overprints: a viewer shows the colours beneath it only with its overprint preview on")
	// All hits at once: their inks are the RIP's to part, and a shape is costly.
	paint := draw.Together(whiteHits(u)...)
	paint.Overprint = true
	for _, label := range labels {
		if label.Clip, err = choked(label.Clip, u.Choke); err != nil {
			return nil, said, err
		}
		if u.Shape == job.Flood {
			items = append(items, draw.Fill{Layer: draw.White, Path: label.Clip, Paint: paint})
		} else {
			items = append(items, draw.Cover{Layer: draw.White, Choke: u.Choke, Paint: paint, Place: label})
		}
	}
	if shaped && u.Choke > 0 {
		said.warn(codeUnderprintOutline, "the white is not choked along the labels' outlines: it ends where the bleed does")
	}
	return items, said, nil
}

// choked returns what may be white of a label's clip: a box is choked, an outline
// with its bleed is taken as it is.
func choked(clip draw.Path, choke geometry.Length) (draw.Path, error) {
	b, isBox := clip.Box()
	if !isBox {
		return clip, nil
	}
	if b = b.Outset(-choke); b.Empty() {
		return clip, say.Refuse(say.BadFile, "choke the white less: 0.1mm to 0.2mm is common practice",
			"a choke of %s leaves no white on a label of %s", choke, clip.Bounds().Size())
	}
	return draw.Rectangle(b), nil
}

// printingOrder puts whites where the press prints them: beneath the colours,
// before them on the first surface and after them on the second, where the
// viewer looks through the film (common practice, no source).
func printingOrder(inks []ink.Ink, secondSurface bool) []ink.Ink {
	if secondSurface {
		return inks // whites stand behind process inks and spots in the table
	}
	white := func(i ink.Ink) bool { return i.Kind == ink.White }
	first := slices.DeleteFunc(slices.Clone(inks), func(i ink.Ink) bool { return !white(i) })
	return append(first, slices.DeleteFunc(slices.Clone(inks), white)...)
}
