package impose

import (
	"fmt"
	"slices"

	"quoin/geometry"
	"quoin/impose/draw"
	"quoin/impose/ink"
	"quoin/impose/job"
)

// addWhites gives the table the inks of the job's underprint: each hit is
// printed by a station of its own, so each is an ink of its own.
func (im *Imposition) addWhites() error {
	u := im.Job.Inks.Underprint
	if u == nil {
		return nil
	}
	for _, name := range hits(u) {
		e, known := im.Inks.Find(name)
		switch {
		case !known:
			im.Inks.Add(ink.Ink{Name: name, Kind: ink.White})
		case e.Kind != ink.White || e.Silenced:
			return &UnderprintError{
				fmt.Sprintf("the underprint is to be in %q, which is an ink of the artworks that is no white or doesn't print", name),
				"name another ink in the job's inks.underprint, or list this one in inks.white",
			}
		default:
			im.notes = append(im.notes, Warning{"underprint-joins", fmt.Sprintf("the artworks print in %q themselves: the underprint joins it on one plate", name)})
		}
	}
	return nil
}

// hits names the ink of each hit: White, White 2, White 3.
func hits(u *job.Underprint) []string {
	names := []string{u.Ink}
	for n := 2; n <= u.Hits; n++ {
		names = append(names, fmt.Sprintf("%s %d", u.Ink, n))
	}
	return names
}

// addUnderprint draws the white. It stands after the artworks, with overprint
// on, whatever the press prints first: painted beneath, an artwork that doesn't
// overprint or that blends in a group of its own would erase it (ISO 32000-1
// 8.6.7, 11.6.6), and painted above without overprint it would erase the
// artwork.
func (im *Imposition) addUnderprint() error {
	u := im.Job.Inks.Underprint
	if u == nil {
		return nil
	}
	im.notes = append(im.notes, Warning{"underprint-preview", "the white is painted last and overprints: a viewer shows the colours beneath it only with its overprint preview on"})
	// All hits at once: their inks are the RIP's to part, and a shape is costly.
	paint := draw.Together(hits(u)...)
	paint.Overprint = true
	clips, err := im.whites(u.Choke)
	if err != nil {
		return err
	}
	for i, s := range im.Seen().Station {
		art := im.Places[i]
		if art < 0 {
			continue
		}
		for _, move := range im.shifts(s) {
			clip := clips[i].Moved(move)
			if u.Shape == job.Flood {
				im.Frame.Items = append(im.Frame.Items, draw.Fill{Layer: draw.White, Path: clip, Paint: paint})
				continue
			}
			im.Frame.Items = append(im.Frame.Items, draw.Cover{
				Layer: draw.White, Choke: u.Choke, Paint: paint,
				Place: draw.Place{Art: art, Trim: s.Trim.Moved(move), Turn: s.Turn, Clip: clip},
			})
		}
	}
	return nil
}

// whites gives what may be white on each station: its box, choked. An outline
// with its bleed is taken as it is, and the summary says so.
func (im *Imposition) whites(choke geometry.Length) ([]draw.Path, error) {
	clips, err := im.clips()
	if err != nil {
		return nil, err
	}
	for i, c := range clips {
		b, isBox := c.Box()
		if !isBox {
			continue
		}
		if b = b.Outset(-choke); b.Empty() {
			return nil, &UnderprintError{
				fmt.Sprintf("a choke of %s leaves no white on a label of %s", choke, c.Bounds().Size()),
				"choke the white less: 0.1mm to 0.2mm is common practice",
			}
		}
		clips[i] = draw.Rectangle(b)
	}
	if im.Layout.Shaped && choke > 0 {
		im.warn("underprint-outline", "the white is not choked along the labels' outlines: it ends where the bleed does")
	}
	return clips, nil
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

// UnderprintError says why the job's underprint can't be printed.
type UnderprintError struct{ Text, Way string }

func (e *UnderprintError) Error() string { return e.Text }

// Hint gives the way out.
func (e *UnderprintError) Hint() string { return e.Way }
